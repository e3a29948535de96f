/* cut_list.h -- the cut list of an edition, for reading beside the trimmer: short lines, the mark first. */
#ifndef TOOLS_REPORT_CUT_LIST_H
#define TOOLS_REPORT_CUT_LIST_H

#include "ground/sink.h"
#include "nearmark/settle.h"

/* The pieces and openings, in file order. `column` ROUNDED or SETTLED. */
void cut_list_show(struct sink *out, const struct nmk_settled *settled, enum nmk_column column);
/* The caution about blades, once on a page. */
void cut_list_caution(struct sink *out);

#endif
