/* rule_json.h -- the JSON of `rules`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_SIZES_RULE_JSON_H
#define TOOLS_REPORT_SIZES_RULE_JSON_H

#include "ground/json.h"
#include "nearmark/rules.h"

void rule_json(struct json *j, const struct nmk_rules *rules);

#endif
