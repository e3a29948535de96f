#include "report/sizes/rule_json.h"

#include "report/edition_text.h"
#include "report/verdict_json.h"

static const struct nmk_design *design_of(const struct nmk_rules *rules)
{
    return nmk_draft_design(nmk_rules_draft(rules));
}

/* ---- measures and lengths ---- */

static void put_measure(struct json *j, const struct nmk_rules *rules, size_t i)
{
    static const char *const ways[] = {[NMK_READ_NEAREST] = "nearest", [NMK_READ_UP] = "up", [NMK_READ_DOWN] = "down",
                                       [NMK_READ_FIXED] = "fixed"};
    const struct nmk_rule_measure *rule = nmk_rules_measure(rules, i);
    const struct nmk_measure *measure = nmk_design_measure(design_of(rules), i);
    bool any = rule->read != NMK_READ_FIXED && rule->first <= rule->last;
    json_object(j, NULL);
    json_text(j, "measure", measure->name);
    json_text(j, "label", measure->label);
    json_text(j, "read", ways[rule->read]);
    json_rat(j, "from_mm", &rule->from);
    json_rat(j, "to_mm", &rule->to);
    json_whole_if(j, "first", any, rule->first);
    json_whole_if(j, "last", any, rule->last);
    json_close(j);
}

static void put_terms(struct json *j, const struct nmk_rules *rules, const struct nmk_rule_length *rule)
{
    json_list(j, "terms");
    for (size_t i = 0; i < rule->term_count; i++) {
        json_object(j, NULL);
        json_text(j, "measure", nmk_design_measure(design_of(rules), rule->terms[i].measure)->name);
        json_rat(j, "times", &rule->terms[i].times);
        json_close(j);
    }
    json_close(j);
}

static void put_choice(struct json *j, const struct nmk_rules *rules, const struct nmk_length *length, size_t choice)
{
    const struct nmk_rat *size = nmk_design_punches(design_of(rules), length->punches)->sizes[choice - 1];
    json_count(j, "choice", choice);
    json_rat(j, "across_mm", &size[NMK_ACROSS]);
    json_rat(j, "down_mm", &size[NMK_DOWN]);
}

static void put_length(struct json *j, const struct nmk_rules *rules, size_t i)
{
    static const char *const rounds[] = {[NMK_ROUND_EXACT] = "exact", [NMK_ROUND_DOWN] = "down", [NMK_ROUND_UP] = "up",
                                         [NMK_ROUND_NEAREST] = "nearest"};
    const struct nmk_rule_length *rule = nmk_rules_length(rules, i);
    const struct nmk_length *length = nmk_design_length(design_of(rules), i);
    json_object(j, NULL);
    json_text(j, "name", length->name);
    if (rule->choice) {
        put_choice(j, rules, length, rule->choice);
    } else if (rule->chart_only) {
        json_truth(j, "chart_only", true);
    } else {
        put_terms(j, rules, rule);
        json_text(j, "round", rounds[rule->round]);
        json_whole(j, "plus", rule->plus);
    }
    json_close(j);
}

/* ---- demands ---- */

static void put_sizes(struct json *j, const char *key, const struct nmk_rules *rules, const struct nmk_rule_size *sizes,
                      size_t count)
{
    json_object(j, key);
    for (size_t i = 0; i < count; i++)
        json_rat(j, nmk_design_measure(design_of(rules), sizes[i].measure)->name, &sizes[i].mm);
    json_close(j);
}

static void put_figures(struct json *j, const struct nmk_rules *rules, const struct nmk_rule_demand *rule)
{
    bool widened = !rule->met && rule->widen.helps;
    json_rat(j, "least_mm", &rule->view.least);
    json_rat(j, "nominal_mm", &rule->view.nominal);
    json_rat(j, "most_mm", &rule->view.most);
    json_rat(j, "chance", &rule->view.chance);
    put_sizes(j, "weakest_at", rules, rule->weakest, rule->size_count);
    if (rule->met)
        json_null(j, "fails_at");
    else
        put_sizes(j, "fails_at", rules, rule->fails, rule->size_count);
    json_rat(j, "widen_mm", widened ? &rule->widen.amount : NULL);
    if (widened)
        json_text(j, "widen", rule->widen.high ? "hi" : "lo");
}

static void put_demand(struct json *j, const struct nmk_rules *rules, size_t i)
{
    const struct nmk_demand *demand = nmk_design_demand(design_of(rules), i);
    const struct nmk_rule_demand *rule = nmk_rules_demand(rules, i);
    json_object(j, NULL);
    verdict_json_demand(j, demand);
    verdict_json_allowed(j, nmk_rules_low(rules, i), nmk_rules_high(rules, i));
    if (demand->exact)
        json_truth(j, "exact", true);
    json_text(j, "state", rule->chart_only ? "chart only" : nmk_state_name(rule->view.state));
    if (!rule->chart_only)
        put_figures(j, rules, rule);
    json_close(j);
}

/* ---- the whole ---- */

static void put_outgrow(struct json *j, const struct nmk_rules *rules, size_t i)
{
    const struct nmk_outgrow *outgrow = nmk_rules_outgrow(rules, i);
    json_object(j, NULL);
    json_text(j, "piece", nmk_design_piece(design_of(rules), outgrow->piece)->name);
    json_text(j, "direction", outgrow->way == NMK_ACROSS ? "across" : "down");
    json_text(j, "what", outgrow->reach ? "reach" : "sheet");
    bool none = outgrow->measure == NMK_NONE;
    json_text(j, "measure", none ? NULL : nmk_design_measure(design_of(rules), outgrow->measure)->name);
    json_rat(j, "from_mm", none ? NULL : &outgrow->from);
    json_close(j);
}

static void put_list(struct json *j, const char *key, const struct nmk_rules *rules, size_t count,
                     void (*put)(struct json *, const struct nmk_rules *, size_t))
{
    json_list(j, key);
    for (size_t i = 0; i < count; i++)
        put(j, rules, i);
    json_close(j);
}

void rule_json(struct json *j, const struct nmk_rules *rules)
{
    const struct nmk_draft *draft = nmk_rules_draft(rules);
    const struct nmk_design *design = design_of(rules);
    json_object(j, NULL);
    json_text(j, "design", nmk_design_title(design));
    json_text(j, "edition", nmk_draft_edition(draft)->name);
    json_text(j, "unit", nmk_unit_name(nmk_draft_edition(draft)->unit));
    json_rat(j, "step_mm", nmk_draft_step(draft));
    json_rat(j, "reading_step_mm", nmk_rules_reading_step(rules));
    json_rat(j, "cut_mm", &nmk_draft_edition(draft)->cut);
    json_truth(j, "as_designed", nmk_draft_edition(draft)->as_designed);
    json_rat(j, "sure", &nmk_rules_options(rules)->sure);
    put_list(j, "measures", rules, nmk_design_measure_count(design), put_measure);
    put_list(j, "lengths", rules, nmk_design_length_count(design), put_length);
    put_list(j, "demands", rules, nmk_design_demand_count(design), put_demand);
    put_list(j, "outgrows", rules, nmk_rules_outgrow_count(rules), put_outgrow);
    json_close(j);
}
