/* plan_text.h -- a plan on the screen: what to buy, a map of each sheet, the steps; and the cue page. */
#ifndef TOOLS_REPORT_PLAN_PLAN_TEXT_H
#define TOOLS_REPORT_PLAN_PLAN_TEXT_H

#include "ground/sink.h"
#include "nearmark/plan.h"

void plan_text_show(struct sink *out, const struct nmk_plan *plan);
/* The steps with what to say at each. `both`: in both units. */
void plan_text_cue(struct sink *out, const struct nmk_plan *plan, bool both);
/* Which pieces fit no sheet, and why; nothing where all fit. */
void plan_text_unfit(struct sink *out, const struct nmk_plan *plan);

#endif
