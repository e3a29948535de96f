/* explain_json.h -- the JSON of `explain`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_EXPLAIN_JSON_H
#define TOOLS_REPORT_EXPLAIN_JSON_H

#include "ground/json.h"
#include "report/explained.h"

void explain_json(struct json *j, const struct explained *e);

#endif
