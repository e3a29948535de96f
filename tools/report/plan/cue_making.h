/* cue_making.h -- what is done to a piece besides cutting and scoring it, as a sentence. */
#ifndef TOOLS_REPORT_PLAN_CUE_MAKING_H
#define TOOLS_REPORT_PLAN_CUE_MAKING_H

#include "report/plan/cue_words.h"

/* Of every step but a cut and a score; `spoken`: as it is said, else as it is shown. */
void cue_making_put(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken);

#endif
