/* check_table.h -- every demand as drawn, rounded and settled, side by side. */
#ifndef TOOLS_REPORT_CHECK_TABLE_H
#define TOOLS_REPORT_CHECK_TABLE_H

#include "ground/sink.h"
#include "nearmark/settle.h"

void check_table_show(struct sink *out, const struct nmk_settled *settled);
/* One demand of it. */
void check_table_demand(struct sink *out, const struct nmk_settled *settled, size_t demand);
/* What no demand watches; nothing is written if all is watched. */
void check_table_unwatched(struct sink *out, const struct nmk_settled *settled);
/* How many hold in each column, and what was moved. */
void check_table_summary(struct sink *out, const struct nmk_settled *settled);
/* The demands that do not hold in a column, one a line; how many. */
size_t check_table_broken(struct sink *out, const struct nmk_settled *settled, enum nmk_column column);

#endif
