/* explain_tree.h -- the JSON of `explain`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_EXPLAIN_TREE_H
#define TOOLS_REPORT_EXPLAIN_TREE_H

#include "report/explained.h"
#include "report/tree.h"

json_t *explain_tree(const struct explained *e);

#endif
