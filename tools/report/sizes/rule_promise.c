#include "report/sizes/rule_promise.h"

#include "ground/figure.h"
#include "ground/store.h"
#include "report/edition_text.h"

enum { PLACES = 4, FEW = 3 };

/* ---- the statement ---- */

static void count_demands(const struct rule_card *c, size_t *holds, size_t *risks, size_t *fails, size_t *charted)
{
    *holds = *risks = *fails = *charted = 0;
    for (size_t i = 0; i < nmk_design_demand_count(c->design); i++) {
        const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
        size_t *count = rule->chart_only ? charted : rule->view.state == NMK_HOLDS ? holds : rule->met ? risks : fails;
        ++*count;
    }
}

/* "For every long from ... to ..., read to the nearest mark, and every short ..., " */
static void add_domain(struct sink *out, const struct rule_card *c)
{
    size_t left = card_read_count(c);
    const char *before = left ? "For every " : "";
    for (size_t i = 0; i < nmk_design_measure_count(c->design); i++) {
        if (!card_is_read(c, i))
            continue;
        const struct nmk_rule_measure *rule = nmk_rules_measure(c->rules, i);
        sink_string(out, before);
        sink_plain(out, card_measure_name(c, i));
        sink_string(out, " ");
        card_add_readings(out, c, rule);
        sink_string(out, rule->read == NMK_READ_NEAREST ? ", read " : ", ");
        card_add_way(out, c, rule->read);
        left--;
        before = left > 1 ? ", every " : ", and every ";
    }
    sink_string(out, out->size ? ", " : "For the sizes as they are, ");
}

static void add_outcome(struct sink *out, size_t holds, size_t risks, size_t fails, size_t charted)
{
    const char *said = charted ? "every demand that the card can speak for" : "every demand";
    if (!fails && !risks)
        sink_format(out, "%s holds.", said);
    else if (!fails)
        sink_format(out, "%s is met as marked, but %zu %s at risk.", said, risks, risks == 1 ? "is" : "are");
    else if (holds + risks)
        sink_format(out, "%s but %zu is met as marked.", said, fails);
    else
        sink_string(out, "no demand is met.");
}

static void show_statement(const struct rule_card *c)
{
    size_t holds, risks, fails, charted;
    struct sink words = {0};
    count_demands(c, &holds, &risks, &fails, &charted);
    if (!nmk_design_demand_count(c->design)) {
        sink_string(&words, "The design has no demands; nothing watches whether it fits.");
    } else if (holds + risks + fails) {
        add_domain(&words, c);
        add_outcome(&words, holds, risks, fails, charted);
    }
    if (charted)
        sink_format(&words, "%sThe card cannot speak for %zu demand%s, about lengths by the chart only.", words.size ? " " : "",
                    charted, charted == 1 ? "" : "s");
    sink_string(c->out, "\n");
    card_say(c, 0, &words);
}

/* ---- the weakest ---- */

static bool is_weaker(const struct nmk_rule_demand *a, const struct nmk_rule_demand *b)
{
    return nmk_rat_cmp(&a->view.chance, &b->view.chance) < 0;
}

/* The weakest but those told already; NMK_NONE: every other is met always. */
static size_t weakest(const struct rule_card *c, const bool *told)
{
    size_t best = NMK_NONE;
    for (size_t i = 0; i < nmk_design_demand_count(c->design); i++) {
        const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
        bool speaks = !rule->chart_only && rule->met && !told[i] && nmk_rat_cmp_int(&rule->view.chance, 1) < 0;
        if (speaks && (best == NMK_NONE || is_weaker(rule, nmk_rules_demand(c->rules, best))))
            best = i;
    }
    return best;
}

/* A clearance is weakest at an end of a range, unless all sizes are the same to it. */
static bool is_end(const struct rule_card *c, const struct nmk_rule_size *size)
{
    const struct nmk_rule_measure *rule = nmk_rules_measure(c->rules, size->measure);
    return nmk_rat_equal(&size->mm, &rule->from) || nmk_rat_equal(&size->mm, &rule->to);
}

/* " at long = 70 mm, short = 120 mm"; false, and nothing, where no size matters. */
static bool add_sizes(struct sink *out, const struct rule_card *c, const struct nmk_rule_size *sizes, size_t count)
{
    const char *before = " at ";
    for (size_t i = 0; i < count; i++) {
        if (!is_end(c, &sizes[i]))
            continue;
        char *size = draft_size(c->draft, &sizes[i].mm);
        sink_string(out, before);
        sink_plain(out, card_measure_name(c, sizes[i].measure));
        sink_format(out, " = %s", size);
        store_free(size);
        before = ", ";
    }
    return *before == ',';
}

static void show_weak(const struct rule_card *c, size_t i)
{
    const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
    struct sink words = {0};
    char *title = demand_title(nmk_design_demand(c->design, i)), *chance = figure_chance(&rule->view.chance);
    sink_format(&words, "%s: %s, met in %s of all cases", title, nmk_state_name(rule->view.state), chance);
    add_sizes(&words, c, rule->weakest, rule->size_count);
    card_say(c, CARD_INDENT, &words);
    store_free(title);
    store_free(chance);
}

/* All that are at risk, and the few weakest of those that hold. */
static void show_weakest(const struct rule_card *c)
{
    bool *told = store_new(nmk_design_demand_count(c->design) + 1, sizeof *told);
    size_t at, few = 0;
    while ((at = weakest(c, told)) != NMK_NONE) {
        told[at] = true;
        if (nmk_rules_demand(c->rules, at)->view.state == NMK_HOLDS && few >= FEW)
            break;
        if (!few++)
            sink_string(c->out, "\nThe weakest:\n");
        show_weak(c, at);
    }
    store_free(told);
}

/* ---- what does not hold ---- */

static void add_widening(struct sink *out, const struct rule_card *c, size_t demand, const struct nmk_rule_demand *rule)
{
    const struct nmk_rat *bound = rule->widen.high ? nmk_rules_high(c->rules, demand) : nmk_rules_low(c->rules, demand);
    if (nmk_design_demand(c->design, demand)->exact || !rule->widen.helps || !bound) {
        sink_string(out, "no wider bound of it would help");
        return;
    }
    struct nmk_rat wider = {0};
    if (rule->widen.high)
        nmk_rat_add(&wider, bound, &rule->widen.amount);
    else
        nmk_rat_sub(&wider, bound, &rule->widen.amount);
    char *was = figure_near(bound, PLACES), *now = rule->widen.high ? figure_up(&wider, PLACES) : figure_down(&wider, PLACES);
    sink_format(out, "it would help to allow at %s %s mm of room instead of %s mm", rule->widen.high ? "most" : "least", now,
                was);
    store_free(was);
    store_free(now);
    nmk_rat_clear(&wider);
}

static void show_failure(const struct rule_card *c, size_t i)
{
    const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
    const struct nmk_demand *demand = nmk_design_demand(c->design, i);
    struct sink words = {0}, help = {0};
    char *title = demand_title(demand);
    sink_format(&words, "%s: %s", title, nmk_state_word(rule->view.state, demand));
    if (!add_sizes(&words, c, rule->fails, rule->size_count))
        sink_string(&words, " at every size");
    card_say(c, CARD_INDENT, &words);
    add_widening(&help, c, i, rule);
    card_say(c, CARD_INDENT + 4, &help);
    store_free(title);
}

static void show_failures(const struct rule_card *c)
{
    bool first = true;
    for (size_t i = 0; i < nmk_design_demand_count(c->design); i++) {
        const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
        if (rule->chart_only || rule->met)
            continue;
        if (first)
            sink_string(c->out, "\nNot met for all these sizes; the chart shows for which:\n");
        first = false;
        show_failure(c, i);
    }
}

void rule_promise_show(const struct rule_card *c)
{
    show_statement(c);
    show_weakest(c);
    show_failures(c);
}
