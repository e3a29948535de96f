/* rule_card_parts.h -- what the parts of a rule card on the screen share. */
#ifndef TOOLS_REPORT_SIZES_RULE_CARD_PARTS_H
#define TOOLS_REPORT_SIZES_RULE_CARD_PARTS_H

#include "ground/sink.h"
#include "nearmark/rules.h"

enum { CARD_INDENT = 2 };

struct rule_card {
    struct sink *out;
    const struct nmk_rules *rules;
    const struct nmk_draft *draft;
    const struct nmk_design *design;
};

const char *card_measure_name(const struct rule_card *c, size_t measure); /* borrowed */
bool card_is_read(const struct rule_card *c, size_t measure);
size_t card_read_count(const struct rule_card *c);
/* "from 2 13/16 in to 6 1/4 in"; no reading may be sure to lie in the range. */
void card_add_readings(struct sink *out, const struct rule_card *c, const struct nmk_rule_measure *rule);
/* "to the nearest mark", "rounded up to a mark"; where scores are on fewer marks: "to the nearest 1/8 in". */
void card_add_way(struct sink *out, const struct rule_card *c, enum nmk_reading read);
/* The words as lines, indented; they are let go. */
void card_say(const struct rule_card *c, int indent, struct sink *words);

#endif
