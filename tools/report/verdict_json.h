/* verdict_json.h -- the JSON of `check` and `cuts`: one object an edition; its keys are listed in DEVELOPERS.md. */
#ifndef TOOLS_REPORT_VERDICT_JSON_H
#define TOOLS_REPORT_VERDICT_JSON_H

#include "ground/json.h"
#include "nearmark/settle.h"

/* `conflict`: where nothing meets all demands, else NULL. */
void verdict_json(struct json *j, const struct nmk_settled *settled, const struct nmk_conflict *conflict);

/* For other objects that tell of the same: the keys that name a demand; its bounds; the outcome; what is in conflict (NULL:
 * nothing). */
void verdict_json_demand(struct json *j, const struct nmk_demand *demand);
void verdict_json_allowed(struct json *j, const struct nmk_rat *low, const struct nmk_rat *high);
void verdict_json_outcome(struct json *j, const struct nmk_settled *settled, bool holds);
void verdict_json_conflict(struct json *j, const struct nmk_settled *settled, const struct nmk_conflict *conflict);

#endif
