/* rule_card.h -- the rule card on the screen: how to read each measure, each length from it, and what then holds. */
#ifndef TOOLS_REPORT_SIZES_RULE_CARD_H
#define TOOLS_REPORT_SIZES_RULE_CARD_H

#include "ground/sink.h"
#include "nearmark/rules.h"

void rule_card_show(struct sink *out, const struct nmk_rules *rules);

#endif
