/* rule_tree.h -- the JSON of `rules`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_RULE_TREE_H
#define TOOLS_REPORT_RULE_TREE_H

#include "nearmark/rules.h"
#include "report/tree.h"

json_t *rule_tree(const struct nmk_rules *rules);

#endif
