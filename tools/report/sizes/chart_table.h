/* chart_table.h -- a size chart to read and to print. What is the same at every size stands above the table; a table that
 * is too wide goes on in further ones below it. */
#ifndef TOOLS_REPORT_SIZES_CHART_TABLE_H
#define TOOLS_REPORT_SIZES_CHART_TABLE_H

#include "ground/sink.h"
#include "report/sizes/chart_view.h"

enum { CHART_TABLE_MOST_ROWS = 10000 };

struct chart_table {
    struct chart_view view;
    size_t row_count;
    struct chart_table_row *rows;
};

void chart_table_init(struct chart_table *t, const struct chart_view *view, size_t most_rows);
void chart_table_add(struct chart_table *t, const struct nmk_rat *sizes, const struct nmk_chart_row *row); /* copies */
void chart_table_show(struct sink *out, const struct chart_table *t);
void chart_table_clear(struct chart_table *t);

#endif
