/* plan_tree.h -- the JSON of `plan` and `cue`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_PLAN_TREE_H
#define TOOLS_REPORT_PLAN_TREE_H

#include "nearmark/plan.h"
#include "report/tree.h"

/* `plan` NULL: nothing meets every demand. `cues`: with the sentences. */
json_t *plan_tree(const struct nmk_settled *settled, const struct nmk_plan *plan, int64_t makers, bool cues, bool both);

#endif
