/* verdict_tree.h -- the JSON of `check` and `cuts`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_VERDICT_TREE_H
#define TOOLS_REPORT_VERDICT_TREE_H

#include "nearmark/settle.h"
#include "report/tree.h"

/* `conflict`: where nothing meets all demands, else NULL. */
json_t *verdict_tree(const struct nmk_settled *settled, const struct nmk_conflict *conflict);

#endif
