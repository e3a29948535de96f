/* rule_promise.h -- what a rule card promises: the statement over all sizes, the weakest demands, those that are not met. */
#ifndef TOOLS_REPORT_SIZES_RULE_PROMISE_H
#define TOOLS_REPORT_SIZES_RULE_PROMISE_H

#include "report/sizes/rule_card_parts.h"

void rule_promise_show(const struct rule_card *c);

#endif
