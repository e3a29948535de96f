#include "report/rule_tree.h"

#include "report/edition_text.h"

static void set(json_t *object, const char *key, json_t *value)
{
    json_object_set_new_nocheck(object, key, value);
}

static const struct nmk_design *design_of(const struct nmk_rules *rules)
{
    return nmk_draft_design(nmk_rules_draft(rules));
}

/* ---- measures and lengths ---- */

static json_t *measure_tree(const struct nmk_rules *rules, size_t i)
{
    static const char *const ways[] = {[NMK_READ_NEAREST] = "nearest", [NMK_READ_UP] = "up", [NMK_READ_DOWN] = "down",
                                       [NMK_READ_FIXED] = "fixed"};
    const struct nmk_rule_measure *rule = nmk_rules_measure(rules, i);
    const struct nmk_measure *measure = nmk_design_measure(design_of(rules), i);
    bool any = rule->read != NMK_READ_FIXED && rule->first <= rule->last;
    json_t *tree = json_object();
    set(tree, "measure", tree_text(measure->name));
    set(tree, "label", tree_text(measure->label));
    set(tree, "read", json_string(ways[rule->read]));
    set(tree, "from_mm", tree_rat(&rule->from));
    set(tree, "to_mm", tree_rat(&rule->to));
    set(tree, "first", any ? json_integer(rule->first) : json_null());
    set(tree, "last", any ? json_integer(rule->last) : json_null());
    return tree;
}

static json_t *terms_tree(const struct nmk_rules *rules, const struct nmk_rule_length *rule)
{
    json_t *all = json_array();
    for (size_t i = 0; i < rule->term_count; i++) {
        json_t *term = json_object();
        set(term, "measure", tree_text(nmk_design_measure(design_of(rules), rule->terms[i].measure)->name));
        set(term, "times", tree_rat(&rule->terms[i].times));
        json_array_append_new(all, term);
    }
    return all;
}

static void set_choice(json_t *tree, const struct nmk_rules *rules, const struct nmk_length *length, size_t choice)
{
    const struct nmk_rat *size = nmk_design_punches(design_of(rules), length->punches)->sizes[choice - 1];
    set(tree, "choice", json_integer((json_int_t)choice));
    set(tree, "across_mm", tree_rat(&size[NMK_ACROSS]));
    set(tree, "down_mm", tree_rat(&size[NMK_DOWN]));
}

static json_t *length_tree(const struct nmk_rules *rules, size_t i)
{
    static const char *const rounds[] = {[NMK_ROUND_EXACT] = "exact", [NMK_ROUND_DOWN] = "down", [NMK_ROUND_UP] = "up",
                                         [NMK_ROUND_NEAREST] = "nearest"};
    const struct nmk_rule_length *rule = nmk_rules_length(rules, i);
    const struct nmk_length *length = nmk_design_length(design_of(rules), i);
    json_t *tree = json_object();
    set(tree, "name", tree_text(length->name));
    if (rule->choice) {
        set_choice(tree, rules, length, rule->choice);
    } else if (rule->chart_only) {
        set(tree, "chart_only", json_true());
    } else {
        set(tree, "terms", terms_tree(rules, rule));
        set(tree, "round", json_string(rounds[rule->round]));
        set(tree, "plus", json_integer(rule->plus));
    }
    return tree;
}

/* ---- demands ---- */

static json_t *sizes_tree(const struct nmk_rules *rules, const struct nmk_rule_size *sizes, size_t count)
{
    json_t *tree = json_object();
    for (size_t i = 0; i < count; i++)
        set(tree, nmk_design_measure(design_of(rules), sizes[i].measure)->name, tree_rat(&sizes[i].mm));
    return tree;
}

static void set_figures(json_t *tree, const struct nmk_rules *rules, const struct nmk_rule_demand *rule)
{
    set(tree, "least_mm", tree_rat(&rule->view.least));
    set(tree, "nominal_mm", tree_rat(&rule->view.nominal));
    set(tree, "most_mm", tree_rat(&rule->view.most));
    set(tree, "chance", tree_rat(&rule->view.chance));
    set(tree, "weakest_at", sizes_tree(rules, rule->weakest, rule->size_count));
    set(tree, "fails_at", rule->met ? json_null() : sizes_tree(rules, rule->fails, rule->size_count));
    set(tree, "widen_mm", !rule->met && rule->widen.helps ? tree_rat(&rule->widen.amount) : json_null());
    if (!rule->met && rule->widen.helps)
        set(tree, "widen", json_string(rule->widen.high ? "hi" : "lo"));
}

static json_t *demand_tree(const struct nmk_rules *rules, size_t i)
{
    const struct nmk_demand *demand = nmk_design_demand(design_of(rules), i);
    const struct nmk_rule_demand *rule = nmk_rules_demand(rules, i);
    json_t *tree = json_object(), *allowed = json_array();
    json_array_append_new(allowed, tree_rat(nmk_rules_low(rules, i)));
    json_array_append_new(allowed, tree_rat(nmk_rules_high(rules, i)));
    set(tree, "kind", json_string(demand_kind(demand)));
    set(tree, "name", tree_text(demand->name));
    if (demand_way(demand))
        set(tree, "direction", json_string(demand_way(demand)));
    set(tree, "allowed_mm", allowed);
    if (demand->exact)
        set(tree, "exact", json_true());
    set(tree, "state", json_string(rule->chart_only ? "chart only" : nmk_state_name(rule->view.state)));
    if (!rule->chart_only)
        set_figures(tree, rules, rule);
    return tree;
}

/* ---- the whole ---- */

static json_t *outgrow_tree(const struct nmk_rules *rules, size_t i)
{
    const struct nmk_outgrow *outgrow = nmk_rules_outgrow(rules, i);
    json_t *tree = json_object();
    set(tree, "piece", tree_text(nmk_design_piece(design_of(rules), outgrow->piece)->name));
    set(tree, "direction", json_string(outgrow->way == NMK_ACROSS ? "across" : "down"));
    set(tree, "what", json_string(outgrow->reach ? "reach" : "sheet"));
    set(tree, "measure", tree_text(nmk_design_measure(design_of(rules), outgrow->measure)->name));
    set(tree, "from_mm", tree_rat(&outgrow->from));
    return tree;
}

static json_t *list_tree(const struct nmk_rules *rules, size_t count, json_t *(*tree)(const struct nmk_rules *, size_t))
{
    json_t *all = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(all, tree(rules, i));
    return all;
}

json_t *rule_tree(const struct nmk_rules *rules)
{
    const struct nmk_draft *draft = nmk_rules_draft(rules);
    const struct nmk_design *design = design_of(rules);
    json_t *tree = json_object();
    set(tree, "design", tree_text(nmk_design_title(design)));
    set(tree, "edition", tree_text(nmk_draft_edition(draft)->name));
    set(tree, "unit", json_string(nmk_unit_name(nmk_draft_edition(draft)->unit)));
    set(tree, "step_mm", tree_rat(nmk_draft_step(draft)));
    set(tree, "reading_step_mm", tree_rat(nmk_rules_reading_step(rules)));
    set(tree, "cut_mm", tree_rat(&nmk_draft_edition(draft)->cut));
    set(tree, "as_designed", json_boolean(nmk_draft_edition(draft)->as_designed));
    set(tree, "sure", tree_rat(&nmk_rules_options(rules)->sure));
    set(tree, "measures", list_tree(rules, nmk_design_measure_count(design), measure_tree));
    set(tree, "lengths", list_tree(rules, nmk_design_length_count(design), length_tree));
    set(tree, "demands", list_tree(rules, nmk_design_demand_count(design), demand_tree));
    set(tree, "outgrows", list_tree(rules, nmk_rules_outgrow_count(rules), outgrow_tree));
    return tree;
}
