/* plan_json.h -- the JSON of `plan` and `cue`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_PLAN_PLAN_JSON_H
#define TOOLS_REPORT_PLAN_PLAN_JSON_H

#include "ground/json.h"
#include "nearmark/plan.h"

/* `plan` NULL: nothing meets every demand. `cues`: with the sentences. */
void plan_json(struct json *j, const struct nmk_settled *settled, const struct nmk_plan *plan, int64_t makers, bool cues,
               bool both);

#endif
