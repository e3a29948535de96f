/* cue_row.h -- where along its line something is scored or cut, of pieces with rows. */
#ifndef TOOLS_REPORT_PLAN_CUE_ROW_H
#define TOOLS_REPORT_PLAN_CUE_ROW_H

#include "report/plan/cue_words.h"

/* ", only beside flap and back", or ", only from the left edge to 15 mm, and from 168 mm to the right edge"; nothing where it
 * is done from edge to edge, or where a score may run on into what is cut away. */
void cue_row_add_runs(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken);

#endif
