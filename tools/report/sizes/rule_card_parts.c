#include "report/sizes/rule_card_parts.h"

#include "ground/figure.h"
#include "ground/store.h"
#include "report/edition_text.h"

const char *card_measure_name(const struct rule_card *c, size_t i)
{
    return nmk_design_measure(c->design, i)->name;
}

bool card_is_read(const struct rule_card *c, size_t i)
{
    return nmk_rules_measure(c->rules, i)->read != NMK_READ_FIXED;
}

size_t card_read_count(const struct rule_card *c)
{
    size_t count = 0;
    for (size_t i = 0; i < nmk_design_measure_count(c->design); i++)
        count += card_is_read(c, i);
    return count;
}

/* A reading is a whole number of reading steps. */
static char *reading_figure(const struct rule_card *c, int64_t reading)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, reading);
    nmk_rat_mul(&mm, &mm, nmk_rules_reading_step(c->rules));
    char *figure = figure_length(&mm, draft_unit(c->draft));
    nmk_rat_clear(&mm);
    return figure;
}

void card_add_readings(struct sink *out, const struct rule_card *c, const struct nmk_rule_measure *rule)
{
    if (rule->first > rule->last) {
        sink_string(out, "(no reading is sure to lie in its range)");
        return;
    }
    char *first = reading_figure(c, rule->first), *last = reading_figure(c, rule->last);
    sink_format(out, "from %s to %s", first, last);
    store_free(first);
    store_free(last);
}

static const char *reading_way(enum nmk_reading read)
{
    return read == NMK_READ_UP ? "rounded up to" : read == NMK_READ_DOWN ? "rounded down to" : "to the nearest";
}

void card_add_way(struct sink *out, const struct rule_card *c, enum nmk_reading read)
{
    bool nearest = read == NMK_READ_NEAREST;
    if (nmk_draft_score_marks(c->draft) == 1) {
        sink_format(out, "%s %s", reading_way(read), nearest ? "mark" : "a mark");
        return;
    }
    char *step = reading_figure(c, 1);
    sink_format(out, "%s %s%s", reading_way(read), nearest ? "" : "a whole ", step);
    store_free(step);
}

void card_say(const struct rule_card *c, int indent, struct sink *words)
{
    if (words->size)
        sink_words(c->out, indent, words->data);
    sink_drop(words);
}
