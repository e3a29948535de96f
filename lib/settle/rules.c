#include "nearmark/rules.h"

#include <assert.h>
#include <string.h>

#include "base/diagnose.h"
#include "base/memory.h"
#include "nearmark/marks.h"
#include "settle/carding.h"
#include "settle/keeping.h"
#include "settle/outgrow.h"
#include "settle/own_clearance.h"
#include "settle/settled.h"
#include "settle/subset.h"

struct nmk_rules {
    const struct nmk_draft *draft;
    const struct nmk_design *design;
    struct nmk_settle_options options;
    struct nmk_clearances *clearances;
    struct nmk_carding *carding;
    bool *kept;      /* by demand of the carding's problem */
    int64_t *values; /* by unknown of the carding's problem */
    struct nmk_rule_measure *measures;
    struct nmk_rule_length *lengths;
    struct nmk_rule_demand *demands;
    struct nmk_outgrown outgrown;
};

/* ---- the problem without aims ---- */

static void no_cost(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    (void)context;
    (void)unknown;
    (void)x;
    parts[0] = parts[1] = parts[2] = 0;
}

/* Its lists are copies that borrow. */
struct bare {
    struct nmk_whole_problem problem;
    struct nmk_whole_unknown *unknowns;
    struct nmk_whole_demand *demands;
};

static void bare_init(struct bare *b, const struct nmk_carding *c)
{
    b->problem = c->problem;
    b->unknowns = nmk_memory_new(c->problem.unknown_count, sizeof *b->unknowns);
    b->demands = nmk_memory_new(c->problem.demand_count, sizeof *b->demands);
    for (size_t i = 0; i < c->problem.unknown_count; i++) {
        b->unknowns[i] = c->unknowns[i];
        b->unknowns[i].step = b->unknowns[i].goal = (struct nmk_rat){0};
    }
    for (size_t i = 0; i < c->problem.demand_count; i++) {
        b->demands[i] = c->demands[i];
        b->demands[i].graded = false;
    }
    b->problem.unknowns = b->unknowns;
    b->problem.demands = b->demands;
    b->problem.cost = no_cost;
}

static void bare_clear(struct bare *b)
{
    nmk_memory_free(b->unknowns);
    nmk_memory_free(b->demands);
}

/* ---- the constants ---- */

static enum nmk_status settle_kept(struct nmk_rules *r)
{
    const struct nmk_carding *c = r->carding;
    struct nmk_whole_problem problem = c->problem;
    struct nmk_whole_demand *demands = nmk_memory_new(problem.demand_count, sizeof *demands);
    size_t *origin = nmk_memory_new(problem.demand_count, sizeof *origin), *all = c->origin;
    size_t count = 0;
    for (size_t i = 0; i < problem.demand_count; i++)
        if (r->kept[i]) {
            demands[count] = c->demands[i];
            origin[count++] = all[i];
        }
    problem.demands = demands;
    problem.demand_count = count;
    r->carding->origin = origin; /* grades are asked for by the place among those kept */
    struct nmk_whole_answer answer = {0};
    enum nmk_status status = nmk_whole_solve(&answer, &problem);
    r->carding->origin = all;
    if (status == NMK_OK) {
        assert(answer.feasible && nmk_whole_check(&problem, answer.values));
        memcpy(r->values, answer.values, problem.unknown_count * sizeof *r->values);
    }
    nmk_whole_answer_clear(&answer);
    nmk_memory_free(demands);
    nmk_memory_free(origin);
    return status;
}

/* In an edition as designed the constants are the nearest marks; only the punches are chosen, with all demands soft. */
static enum nmk_status take_nearest(struct nmk_rules *r)
{
    struct nmk_carding *c = r->carding;
    struct nmk_marks marks = {.step = *nmk_draft_step(r->draft)};
    struct bare b;
    bare_init(&b, c);
    for (size_t i = 0; i < c->length_count; i++) {
        struct nmk_whole_unknown *u = &b.unknowns[i];
        int64_t k = u->low;
        if (u->is_choice)
            continue;
        if (!c->chart_only[i] && nmk_marks_nearest(&k, &marks, &c->unknowns[i].goal, NMK_TIE_LARGER) == NMK_OK && k < u->low)
            k = u->low;
        u->low = u->high = k;
    }
    for (size_t i = 0; i < c->problem.demand_count; i++) {
        b.demands[i] = c->demands[i];
        b.demands[i].soft = true;
    }
    b.problem.demand_count = c->stated; /* mats and strips bind only marks that are chosen */
    b.problem.remainder_count = 0;
    struct nmk_whole_answer answer = {0};
    enum nmk_status status = nmk_whole_solve(&answer, &b.problem);
    if (status == NMK_OK)
        memcpy(r->values, answer.values, c->problem.unknown_count * sizeof *r->values);
    nmk_whole_answer_clear(&answer);
    bare_clear(&b);
    return status;
}

/* ---- what is said of each demand ---- */

/* The ends of the ranges where the clearance is lowest (or highest); a measure that does not move it at its own size. */
static struct nmk_rule_size *sizes_at(const struct nmk_rules *r, const struct nmk_card_demand *card, bool highest)
{
    struct nmk_rule_size *sizes = nmk_memory_new(card->named.count, sizeof *sizes);
    for (size_t i = 0; i < card->named.count; i++) {
        size_t measure = (size_t)card->named.terms[i].name;
        const struct nmk_measure *m = nmk_design_measure(r->design, measure);
        const struct nmk_rat *times = nmk_affine_times(&card->sizes, measure);
        const struct nmk_rat *at = &m->size;
        if (times)
            at = (nmk_rat_sign(times) > 0) == highest ? &m->to : &m->from;
        else if (nmk_rat_cmp(at, &m->from) < 0)
            at = &m->from;
        else if (nmk_rat_cmp(at, &m->to) > 0)
            at = &m->to;
        sizes[i].measure = measure;
        nmk_rat_set(&sizes[i].mm, at);
    }
    return sizes;
}

static enum nmk_state state_of(const struct nmk_rat *low_bound, const struct nmk_rat *high_bound, const struct nmk_rat *lowest,
                               const struct nmk_rat *highest, bool exact, bool sure)
{
    if (exact)
        return nmk_rat_is_zero(lowest) && nmk_rat_is_zero(highest) ? NMK_HOLDS : NMK_UNEVEN;
    if (low_bound && nmk_rat_cmp(lowest, low_bound) < 0)
        return NMK_TOO_TIGHT;
    if (high_bound && nmk_rat_cmp(highest, high_bound) > 0)
        return NMK_TOO_LOOSE;
    return sure ? NMK_HOLDS : NMK_AT_RISK;
}

static void say_demand(struct nmk_rules *r, size_t i)
{
    struct nmk_carding *c = r->carding;
    size_t demand = c->origin[i];
    struct nmk_rule_demand *out = &r->demands[demand];
    const struct nmk_card_demand *card = &c->cards[demand];
    bool exact = nmk_design_demand(r->design, demand)->exact;
    struct nmk_rat highest = {0}, chance = {0}, reach = {0}, zero = {0};
    nmk_carding_value(&out->view.nominal, c, i, r->values);
    nmk_rat_add(&highest, &out->view.nominal, &card->spread);
    if (!exact)
        nmk_judge_reach(&reach, c->judge, demand);
    nmk_rat_sub(&out->view.least, &out->view.nominal, &reach);
    nmk_rat_add(&out->view.most, &highest, &reach);
    bool at_highest = false;
    if (exact) {
        nmk_rat_set_int(&out->view.chance, nmk_rat_is_zero(&out->view.nominal) && nmk_rat_is_zero(&highest));
        at_highest = nmk_rat_is_zero(&out->view.nominal);
    } else { /* a sureness of more than all: the chances as they are */
        struct nmk_rat two = {0};
        nmk_rat_set_int(&two, 2);
        nmk_judge_grade(&out->view.chance, c->judge, demand, &out->view.nominal, &two);
        nmk_judge_grade(&chance, c->judge, demand, &highest, &two);
        at_highest = nmk_rat_cmp(&chance, &out->view.chance) < 0;
        if (at_highest)
            nmk_rat_swap(&chance, &out->view.chance);
        nmk_rat_clear(&two);
    }
    out->view.state = state_of(nmk_rules_low(r, demand), nmk_rules_high(r, demand), &out->view.nominal, &highest, exact,
                               nmk_rat_cmp(&out->view.chance, &r->options.sure) >= 0);
    out->met = out->view.state == NMK_HOLDS || out->view.state == NMK_AT_RISK;
    out->size_count = card->named.count;
    out->weakest = sizes_at(r, card, at_highest);
    if (!out->met)
        out->fails = sizes_at(r, card, out->view.state == NMK_TOO_LOOSE || (exact && nmk_rat_is_zero(&out->view.nominal)));
    nmk_rat_clear(&highest);
    nmk_rat_clear(&chance);
    nmk_rat_clear(&reach);
    nmk_rat_clear(&zero);
}

/* ---- what would help a demand that is left out ---- */

static enum nmk_status widen(struct nmk_rules *r, struct nmk_subset *subset)
{
    enum nmk_status status = NMK_OK;
    for (size_t i = 0; i < r->carding->stated && status == NMK_OK; i++) {
        size_t demand = r->carding->origin[i];
        struct nmk_rule_demand *out = &r->demands[demand];
        if (r->kept[i] || nmk_design_demand(r->design, demand)->exact)
            continue;
        struct nmk_change change = {0};
        status = nmk_subset_change(&change, subset, r->kept, i);
        out->widen.helps = change.helps;
        out->widen.high = change.high;
        nmk_rat_swap(&out->widen.amount, &change.amount);
        nmk_rat_clear(&change.amount);
    }
    return status;
}

/* As designed nothing is chosen: the bound has to reach the clearance as it is. */
static void widen_to_nearest(struct nmk_rules *r)
{
    struct nmk_rat highest = {0};
    for (size_t i = 0; i < r->carding->stated; i++) {
        size_t demand = r->carding->origin[i];
        struct nmk_rule_demand *out = &r->demands[demand];
        if (out->met || nmk_design_demand(r->design, demand)->exact)
            continue;
        out->widen.helps = true;
        out->widen.high = out->view.state == NMK_TOO_LOOSE;
        nmk_rat_add(&highest, &out->view.nominal, &r->carding->cards[demand].spread);
        if (out->widen.high)
            nmk_rat_sub(&out->widen.amount, &highest, nmk_rules_high(r, demand));
        else
            nmk_rat_sub(&out->widen.amount, nmk_rules_low(r, demand), &out->view.nominal);
    }
    nmk_rat_clear(&highest);
}

/* ---- measures and lengths ---- */

/* The readings R, in steps, with [R + error's ends] in [from, to]. x: -1 up, 0 nearest, 1 down. */
static void set_readings(struct nmk_rule_measure *out, const struct nmk_rules *r, const struct nmk_measure *m, int64_t x)
{
    struct nmk_rat half = {0}, end = {0};
    for (int high = 0; high <= 1; high++) {
        nmk_rat_div(&end, high ? &m->to : &m->from, &r->carding->reading_step);
        nmk_rat_set_frac(&half, high ? -(1 + x) : 1 - x, 2); /* from - lowest error, to - highest */
        nmk_rat_add(&end, &end, &half);
        (high ? nmk_rat_floor : nmk_rat_ceil)(&end, &end);
        if (nmk_rat_get_int(high ? &out->last : &out->first, &end) != NMK_OK)
            out->first = 1, out->last = 0;
    }
    nmk_rat_clear(&half);
    nmk_rat_clear(&end);
}

static void say_measure(struct nmk_rules *r, size_t i)
{
    static const enum nmk_reading ways[] = {NMK_READ_UP, NMK_READ_NEAREST, NMK_READ_DOWN};
    const struct nmk_measure *m = nmk_design_measure(r->design, i);
    struct nmk_rule_measure *out = &r->measures[i];
    nmk_rat_set(&out->from, m->has_range ? &m->from : &m->size);
    nmk_rat_set(&out->to, m->has_range ? &m->to : &m->size);
    out->read = NMK_READ_FIXED;
    if (!m->has_range)
        return;
    int64_t x = r->values[r->carding->first_reading + i];
    out->read = ways[x + 1];
    set_readings(out, r, m, x);
}

static void say_length(struct nmk_rules *r, size_t i)
{
    static const enum nmk_rounding ways[] = {NMK_ROUND_DOWN, NMK_ROUND_NEAREST, NMK_ROUND_UP};
    const struct nmk_carding *c = r->carding;
    struct nmk_rule_length *out = &r->lengths[i];
    if (nmk_design_length(r->design, i)->kind == NMK_LENGTH_CHOICE) {
        out->choice = (size_t)r->values[i] + 1;
        return;
    }
    out->chart_only = c->chart_only[i];
    if (out->chart_only)
        return;
    out->plus = r->values[i];
    out->round = c->groups[i] ? ways[r->values[c->first_rounding + c->groups[i] - 1] + 1] : NMK_ROUND_EXACT;
    out->term_count = c->multiples[i].count;
    out->terms = nmk_memory_new(out->term_count, sizeof *out->terms);
    for (size_t k = 0; k < out->term_count; k++) {
        out->terms[k].measure = (size_t)c->multiples[i].terms[k].name;
        nmk_rat_set(&out->terms[k].times, &c->multiples[i].terms[k].times);
    }
}

/* ---- the rules ---- */

static enum nmk_status settle_for_all(struct nmk_rules *r)
{
    const struct nmk_carding *c = r->carding;
    struct bare b;
    struct nmk_subset subset;
    bare_init(&b, c);
    b.problem.any = true; /* it is only asked what can be met together */
    nmk_subset_init(&subset, &b.problem, c->stated);
    for (size_t i = c->stated; i < c->problem.demand_count; i++)
        r->kept[i] = true;
    enum nmk_status status = nmk_keeping_choose(r->kept, &subset);
    if (status == NMK_OK)
        status = settle_kept(r);
    for (size_t i = 0; status == NMK_OK && i < c->stated; i++)
        say_demand(r, i);
    if (status == NMK_OK)
        status = widen(r, &subset);
    nmk_subset_clear(&subset);
    bare_clear(&b);
    return status;
}

static enum nmk_status judge_nearest(struct nmk_rules *r)
{
    enum nmk_status status = take_nearest(r);
    for (size_t i = 0; status == NMK_OK && i < r->carding->stated; i++)
        say_demand(r, i);
    if (status == NMK_OK)
        widen_to_nearest(r);
    return status;
}

static enum nmk_status make_rules(struct nmk_rules *r, struct nmk_diagnostics *list)
{
    enum nmk_status status = nmk_clearances_new(&r->clearances, r->draft, list);
    if (status == NMK_OK)
        status = nmk_carding_new(&r->carding, r->draft, r->clearances, &r->options, list);
    if (status != NMK_OK)
        return status;
    r->kept = nmk_memory_new(r->carding->problem.demand_count, sizeof *r->kept);
    r->values = nmk_memory_new(r->carding->problem.unknown_count, sizeof *r->values);
    status = nmk_draft_edition(r->draft)->as_designed ? judge_nearest(r) : settle_for_all(r);
    if (status == NMK_INVALID)
        nmk_diagnostics_say(list, false, "no-rule-card", (struct nmk_span){0},
                            "give the measures narrower ranges, or finer marks",
                            "no constants keep every length, mat and rest at least one mark long for all sizes in the ranges");
    if (status != NMK_OK)
        return status;
    for (size_t i = 0; i < nmk_design_demand_count(r->design); i++)
        r->demands[i].chart_only = r->carding->cards[i].chart_only;
    for (size_t i = 0; i < nmk_design_measure_count(r->design); i++)
        say_measure(r, i);
    for (size_t i = 0; i < nmk_design_length_count(r->design); i++)
        say_length(r, i);
    nmk_outgrown_find(&r->outgrown, r->carding, r->values);
    return NMK_OK;
}

enum nmk_status nmk_rules_new(struct nmk_rules **out, const struct nmk_draft *draft, const struct nmk_settle_options *options,
                              struct nmk_diagnostics *list)
{
    if (!out || !draft || !options || !nmk_settle_options_are_good(options))
        return NMK_INVALID;
    struct nmk_rules *r = nmk_memory_new(1, sizeof *r);
    r->draft = draft;
    r->design = nmk_draft_design(draft);
    r->options = *options;
    r->options.sure = (struct nmk_rat){0};
    nmk_rat_set(&r->options.sure, &options->sure);
    r->measures = nmk_memory_new(nmk_design_measure_count(r->design), sizeof *r->measures);
    r->lengths = nmk_memory_new(nmk_design_length_count(r->design), sizeof *r->lengths);
    r->demands = nmk_memory_new(nmk_design_demand_count(r->design), sizeof *r->demands);
    enum nmk_status status = make_rules(r, list);
    if (status == NMK_OK)
        *out = r;
    else
        nmk_rules_free(r);
    return status;
}

static void free_sizes(struct nmk_rule_size *sizes, size_t count)
{
    for (size_t i = 0; sizes && i < count; i++)
        nmk_rat_clear(&sizes[i].mm);
    nmk_memory_free(sizes);
}

void nmk_rules_free(struct nmk_rules *r)
{
    if (!r)
        return;
    for (size_t i = 0; i < nmk_design_measure_count(r->design); i++) {
        nmk_rat_clear(&r->measures[i].from);
        nmk_rat_clear(&r->measures[i].to);
    }
    for (size_t i = 0; i < nmk_design_length_count(r->design); i++) {
        for (size_t k = 0; k < r->lengths[i].term_count; k++)
            nmk_rat_clear(&r->lengths[i].terms[k].times);
        nmk_memory_free(r->lengths[i].terms);
    }
    for (size_t i = 0; i < nmk_design_demand_count(r->design); i++) {
        nmk_view_clear(&r->demands[i].view);
        nmk_rat_clear(&r->demands[i].widen.amount);
        free_sizes(r->demands[i].weakest, r->demands[i].size_count);
        free_sizes(r->demands[i].fails, r->demands[i].size_count);
    }
    nmk_outgrown_clear(&r->outgrown);
    nmk_carding_free(r->carding);
    nmk_clearances_free(r->clearances);
    nmk_settle_options_clear(&r->options);
    nmk_memory_free(r->kept);
    nmk_memory_free(r->values);
    nmk_memory_free(r->measures);
    nmk_memory_free(r->lengths);
    nmk_memory_free(r->demands);
    nmk_memory_free(r);
}

const struct nmk_draft *nmk_rules_draft(const struct nmk_rules *rules)
{
    return rules->draft;
}

const struct nmk_settle_options *nmk_rules_options(const struct nmk_rules *rules)
{
    return &rules->options;
}

const struct nmk_rat *nmk_rules_reading_step(const struct nmk_rules *rules)
{
    return &rules->carding->reading_step;
}

const struct nmk_rule_measure *nmk_rules_measure(const struct nmk_rules *rules, size_t measure)
{
    assert(measure < nmk_design_measure_count(rules->design));
    return &rules->measures[measure];
}

const struct nmk_rule_length *nmk_rules_length(const struct nmk_rules *rules, size_t length)
{
    assert(length < nmk_design_length_count(rules->design));
    return &rules->lengths[length];
}

const struct nmk_rule_demand *nmk_rules_demand(const struct nmk_rules *rules, size_t demand)
{
    assert(demand < nmk_design_demand_count(rules->design));
    return &rules->demands[demand];
}

const struct nmk_rat *nmk_rules_low(const struct nmk_rules *rules, size_t demand)
{
    return rules->clearances->all[demand].low;
}

const struct nmk_rat *nmk_rules_high(const struct nmk_rules *rules, size_t demand)
{
    return rules->clearances->all[demand].high;
}

bool nmk_rules_own_clearance(struct nmk_own_clearance *out, const struct nmk_rules *rules, size_t demand)
{
    assert(demand < nmk_design_demand_count(rules->design));
    return nmk_own_clearance_make(out, rules->carding, demand, rules->values);
}

size_t nmk_rules_outgrow_count(const struct nmk_rules *rules)
{
    return rules->outgrown.count;
}

const struct nmk_outgrow *nmk_rules_outgrow(const struct nmk_rules *rules, size_t i)
{
    return i < rules->outgrown.count ? &rules->outgrown.all[i] : NULL;
}
