/* verdict_tree.h -- the JSON of `check` and `cuts`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_VERDICT_TREE_H
#define TOOLS_REPORT_VERDICT_TREE_H

#include "nearmark/settle.h"
#include "report/tree.h"

/* `conflict`: where nothing meets all demands, else NULL. */
json_t *verdict_tree(const struct nmk_settled *settled, const struct nmk_conflict *conflict);

/* The keys that name a demand, and the members of a conflict: for other trees that tell of them too. */
json_t *demand_name_tree(const struct nmk_demand *demand);
json_t *conflict_tree(const struct nmk_settled *settled, const struct nmk_conflict *conflict);

#endif
