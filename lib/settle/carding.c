#include "settle/carding.h"

#include "base/memory.h"
#include "settle/card_forms.h"
#include "settle/ease.h"

/* ---- the problem ---- */

/* The constant at which the length is one mark at the sizes where it is smallest. */
static void set_constant(struct nmk_carding *c, size_t length)
{
    struct nmk_whole_unknown *u = &c->unknowns[length];
    struct nmk_rat lowest = {0}, spread = {0}, size = {0}, one = {0};
    nmk_carding_range(&lowest, &spread, c, &c->multiples[length]);
    nmk_rat_set_int(&one, 1);
    nmk_rat_div(&lowest, &lowest, nmk_draft_step(c->draft));
    nmk_rat_sub(&lowest, &one, &lowest);
    nmk_rat_ceil(&lowest, &lowest);
    if (nmk_rat_get_int(&u->low, &lowest) != NMK_OK)
        u->low = -((int64_t)1 << 50);
    u->high = u->low - 1;
    nmk_rat_set(&u->step, nmk_draft_step(c->draft));
    nmk_rat_set(&u->goal, nmk_draft_designed(c->draft, length));
    for (size_t i = 0; i < c->multiples[length].count; i++) {
        const struct nmk_affine_term *term = &c->multiples[length].terms[i];
        nmk_rat_mul(&size, &term->times, &nmk_design_measure(c->design, (size_t)term->name)->size);
        nmk_rat_sub(&u->goal, &u->goal, &size);
    }
    nmk_rat_div(&size, &u->goal, &u->step);
    nmk_rat_floor(&size, &size);
    int64_t near;
    if (nmk_rat_get_int(&near, &size) != NMK_OK)
        near = u->low;
    u->period = c->options->prefer == NMK_EASIEST ? nmk_marks_period(c->draft) : 1;
    u->settled_low = near - c->options->within - 2;
    u->settled_high = near + c->options->within + 3;
    nmk_rat_clear(&lowest);
    nmk_rat_clear(&spread);
    nmk_rat_clear(&size);
    nmk_rat_clear(&one);
}

static void set_way(struct nmk_whole_unknown *u, bool free)
{
    u->low = free ? -1 : 0;
    u->high = free ? 1 : 0;
    u->settled_low = -1;
    u->settled_high = 1;
}

static void make_unknowns(struct nmk_carding *c)
{
    const struct nmk_whole_problem *p = nmk_marking_problem(c->marking);
    c->first_reading = p->unknown_count;
    c->first_rounding = c->first_reading + c->measure_count;
    size_t count = c->first_rounding + c->group_count;
    bool free = !nmk_draft_edition(c->draft)->as_designed;
    c->unknowns = nmk_memory_new(count, sizeof *c->unknowns);
    for (size_t i = 0; i < p->unknown_count; i++) {
        if (i >= c->length_count || p->unknowns[i].is_choice)
            c->unknowns[i] = p->unknowns[i]; /* ranks are borrowed; the others have no step and no goal */
        else if (!c->chart_only[i])
            set_constant(c, i);
    }
    for (size_t i = 0; i < c->measure_count; i++)
        set_way(&c->unknowns[c->first_reading + i], free && nmk_design_measure(c->design, i)->has_range);
    for (size_t i = 0; i < c->group_count; i++)
        set_way(&c->unknowns[c->first_rounding + i], free);
    c->problem.unknowns = c->unknowns;
    c->problem.unknown_count = count;
}

static void add_term(struct nmk_whole_demand *d, size_t unknown, const struct nmk_rat *times)
{
    struct nmk_whole_term *term = (struct nmk_whole_term *)&d->terms[d->count];
    if (nmk_rat_is_zero(times))
        return;
    term->unknown = unknown;
    nmk_rat_set(&term->times, times);
    d->count++;
}

static void take_away(struct nmk_rat *from, struct nmk_rat *size)
{
    nmk_rat_abs(size, size);
    nmk_rat_sub(from, from, size);
}

/* The shifts of the nominal by ways of reading and rounding: (1). `losses` are used up. `worst`: v is the least that can be,
 * every error of reading and rounding at that end. */
static void add_ways(struct nmk_carding *c, struct nmk_whole_demand *d, const struct nmk_affine *readings,
                     struct nmk_rat *losses, bool worst)
{
    struct nmk_rat shift = {0};
    for (size_t i = 0; i < readings->count; i++) {
        nmk_card_half_reading(&shift, c, &readings->terms[i]);
        add_term(d, c->first_reading + (size_t)readings->terms[i].name, &shift);
        if (worst)
            take_away(&d->constant, &shift);
    }
    for (size_t k = 0; k < c->group_count; k++) {
        add_term(d, c->first_rounding + k, &losses[k]);
        if (worst)
            take_away(&d->constant, &losses[k]);
        nmk_rat_clear(&losses[k]);
    }
    nmk_memory_free(losses);
    nmk_rat_clear(&shift);
}

/* The marking holds the measures at the file's own sizes: they leave, and the lowest over the ranges comes in: then v is
 * the lowest nominal, and bounds and sureness leave room for the spread. */
static void set_range(struct nmk_carding *c, struct nmk_whole_demand *d, size_t demand)
{
    const struct nmk_card_demand *card = &c->cards[demand];
    struct nmk_affine own = {0};
    struct nmk_rat part = {0};
    if (demand < c->demand_count)
        nmk_card_own_measures(&own, c, demand);
    for (size_t i = 0; i < own.count; i++) {
        nmk_rat_mul(&part, &own.terms[i].times, &nmk_design_measure(c->design, (size_t)own.terms[i].name)->size);
        nmk_rat_sub(&d->constant, &d->constant, &part);
    }
    nmk_rat_add(&d->constant, &d->constant, &card->lowest);
    nmk_rat_sub(&d->most, &d->most, &card->spread);
    if (d->graded) {
        nmk_judge_sure_range(&d->sure_least, &d->has_sure_least, &d->sure_most, &d->has_sure_most, c->judge, demand,
                             &c->options->sure);
        nmk_rat_sub(&d->sure_most, &d->sure_most, &card->spread);
    }
    nmk_affine_clear(&own);
    nmk_rat_clear(&part);
}

/* Strips follow the readings by themselves: nothing of them is lost to ways of reading. */
static bool follows(const struct nmk_carding *c, size_t demand)
{
    return demand >= nmk_marking_places(c->marking).strips;
}

static void make_demand(struct nmk_carding *c, struct nmk_whole_demand *d, size_t i)
{
    const struct nmk_whole_demand *from = &nmk_marking_problem(c->marking)->demands[i];
    struct nmk_whole_term *terms = nmk_memory_new(from->count + c->measure_count + c->group_count, sizeof *terms);
    *d = (struct nmk_whole_demand){.terms = terms, .has_least = from->has_least, .has_most = from->has_most};
    for (size_t k = 0; k < from->count; k++) {
        terms[k].unknown = from->terms[k].unknown;
        terms[k].table = from->terms[k].table; /* borrowed */
        nmk_rat_set(&terms[k].times, &from->terms[k].times);
    }
    d->count = from->count;
    nmk_rat_set(&d->constant, &from->constant);
    nmk_rat_set(&d->least, &from->least);
    nmk_rat_set(&d->most, &from->most);
    d->graded = i < c->demand_count && !nmk_design_demand(c->design, i)->exact;
    if (!follows(c, i))
        add_ways(c, d, &c->cards[i].readings, nmk_card_losses(c, i), i >= c->demand_count);
    set_range(c, d, i);
}

/* A length is at least one mark, whatever is read. */
static void make_length_demand(struct nmk_carding *c, struct nmk_whole_demand *d, size_t length)
{
    struct nmk_rat *losses = nmk_memory_new(c->group_count, sizeof *losses), spread = {0};
    *d = (struct nmk_whole_demand){.has_least = true};
    d->terms = nmk_memory_new(1 + c->measure_count + c->group_count, sizeof *d->terms);
    add_term(d, length, nmk_draft_step(c->draft));
    nmk_rat_set(&d->least, nmk_draft_step(c->draft));
    nmk_carding_range(&d->constant, &spread, c, &c->multiples[length]);
    if (c->groups[length]) {
        nmk_rat_set_frac(&losses[c->groups[length] - 1], 1, 2);
        nmk_rat_mul(&losses[c->groups[length] - 1], &losses[c->groups[length] - 1], nmk_draft_step(c->draft));
    }
    add_ways(c, d, &c->multiples[length], losses, true);
    nmk_rat_clear(&spread);
}

static void make_length_demands(struct nmk_carding *c)
{
    for (size_t i = 0; i < c->length_count; i++) {
        if (c->chart_only[i] || !c->multiples[i].count)
            continue;
        make_length_demand(c, &c->demands[c->problem.demand_count], i);
        c->origin[c->problem.demand_count++] = nmk_marking_problem(c->marking)->demand_count; /* none of its */
    }
}

static void make_demands(struct nmk_carding *c)
{
    size_t count = nmk_marking_problem(c->marking)->demand_count;
    c->demands = nmk_memory_new(count + c->length_count, sizeof *c->demands);
    c->origin = nmk_memory_new(count + c->length_count, sizeof *c->origin);
    for (size_t i = 0; i < count; i++) {
        if (c->cards[i].chart_only)
            continue;
        make_demand(c, &c->demands[c->problem.demand_count], i);
        c->stated += i < c->demand_count;
        c->origin[c->problem.demand_count++] = i;
    }
    make_length_demands(c);
    c->problem.demands = c->demands;
}

static void make_remainders(struct nmk_carding *c)
{
    const struct nmk_whole_problem *p = nmk_marking_problem(c->marking);
    c->remainders = nmk_memory_new(p->remainder_count, sizeof *c->remainders);
    for (size_t i = 0; i < p->remainder_count; i++) {
        bool steady = true;
        for (size_t k = 0; k < p->remainders[i].count; k++) {
            size_t unknown = p->remainders[i].unknowns[k];
            steady &= unknown >= c->length_count || !c->chart_only[unknown];
        }
        if (steady)
            c->remainders[c->problem.remainder_count++] = p->remainders[i]; /* borrows its lists */
    }
    c->problem.remainders = c->remainders;
}

/* ---- aims ---- */

void nmk_carding_value(struct nmk_rat *out, const struct nmk_carding *c, size_t i, const int64_t *values)
{
    const struct nmk_whole_demand *d = &c->demands[i];
    struct nmk_rat x = {0}, sum = {0};
    nmk_rat_set(&sum, &d->constant);
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_whole_term *term = &d->terms[k];
        nmk_rat_set_int(&x, values[term->unknown]);
        if (term->table)
            nmk_rat_add(&sum, &sum, &term->table[values[term->unknown]]);
        else
            nmk_rat_addmul(&sum, &x, &term->times);
    }
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&x);
    nmk_rat_clear(&sum);
}

static void grade_of(struct nmk_rat *out, void *context, size_t i, const struct nmk_rat *v)
{
    const struct nmk_carding *c = context;
    size_t demand = c->origin[i];
    struct nmk_rat high = {0};
    nmk_rat_add(&high, v, &c->cards[demand].spread);
    nmk_judge_grade(&high, c->judge, demand, &high, &c->options->sure);
    nmk_judge_grade(out, c->judge, demand, v, &c->options->sure);
    if (nmk_rat_cmp(&high, out) < 0)
        nmk_rat_swap(out, &high);
    nmk_rat_clear(&high);
}

/* 2 |k step - goal| against `limit` steps. */
static int off_against(const struct nmk_whole_unknown *u, int64_t k, int64_t limit)
{
    struct nmk_rat off = {0}, steps = {0};
    nmk_rat_set_int(&off, 2 * k);
    nmk_rat_mul(&off, &off, &u->step);
    nmk_rat_sub(&off, &off, &u->goal);
    nmk_rat_sub(&off, &off, &u->goal);
    nmk_rat_abs(&off, &off);
    nmk_rat_set_int(&steps, limit);
    nmk_rat_mul(&steps, &steps, &u->step);
    int order = nmk_rat_cmp(&off, &steps);
    nmk_rat_clear(&off);
    nmk_rat_clear(&steps);
    return order;
}

/* Readings that are not to the nearest come before all else, then roundings; both are few, lengths below 2^20. */
static void cost_of(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    const struct nmk_carding *c = context;
    parts[0] = parts[1] = parts[2] = 0;
    if (unknown >= c->first_rounding) {
        parts[0] = x ? (int64_t)1 << 20 : 0;
    } else if (unknown >= c->first_reading) {
        parts[0] = x ? (int64_t)1 << 40 : 0;
    } else if (unknown < c->length_count && !c->unknowns[unknown].is_choice && !c->chart_only[unknown]) {
        const struct nmk_whole_unknown *u = &c->unknowns[unknown];
        int64_t moved = off_against(u, x, 1) > 0;
        if (c->options->prefer == NMK_EASIEST) {
            parts[0] = off_against(u, x, 2 * c->options->within) > 0;
            parts[1] = nmk_marks_fineness(c->draft, x);
            parts[2] = moved;
        } else {
            parts[0] = moved;
        }
    }
}

static bool progress_of(void *context, uint64_t steps)
{
    const struct nmk_settle_options *options = ((const struct nmk_carding *)context)->options;
    return options->progress(options->context, steps);
}

/* ---- the carding ---- */

static void size_up(struct nmk_carding *c)
{
    c->design = nmk_draft_design(c->draft);
    c->length_count = nmk_design_length_count(c->design);
    c->measure_count = nmk_design_measure_count(c->design);
    c->demand_count = nmk_design_demand_count(c->design);
    nmk_rat_set_int(&c->reading_step, nmk_draft_score_marks(c->draft));
    nmk_rat_mul(&c->reading_step, &c->reading_step, nmk_draft_step(c->draft));
    c->chart_only = nmk_memory_new(c->length_count, sizeof *c->chart_only);
    c->multiples = nmk_memory_new(c->length_count, sizeof *c->multiples);
    c->groups = nmk_memory_new(c->length_count, sizeof *c->groups);
    c->cards = nmk_memory_new(nmk_marking_problem(c->marking)->demand_count, sizeof *c->cards);
}

enum nmk_status nmk_carding_new(struct nmk_carding **out, const struct nmk_draft *draft,
                                const struct nmk_clearances *clearances, const struct nmk_settle_options *options,
                                struct nmk_diagnostics *list)
{
    struct nmk_carding *c = nmk_memory_new(1, sizeof *c);
    c->draft = draft;
    c->options = options;
    c->clearances = clearances;
    nmk_marking_new(&c->marking, &(struct nmk_marking_plan){.draft = draft, .clearances = clearances, .options = options,
                                                            .strips_apart = true});
    size_up(c);
    nmk_card_forms_make(c);
    nmk_sizes_new_rounded(&c->rounded, draft, NULL);
    c->rounded->offs = c->offs;
    enum nmk_status status = nmk_judge_new(&c->judge, clearances, c->rounded, c->losses, list);
    if (status != NMK_OK) {
        nmk_carding_free(c);
        return status;
    }
    make_unknowns(c);
    make_demands(c);
    make_remainders(c);
    c->problem.grade = grade_of;
    c->problem.cost = cost_of;
    c->problem.context = c;
    c->problem.progress = options->progress ? progress_of : NULL;
    c->problem.most_steps = options->most_steps;
    *out = c;
    return NMK_OK;
}

static void free_demands(struct nmk_carding *c)
{
    for (size_t i = 0; i < c->problem.demand_count; i++) {
        struct nmk_whole_demand *d = &c->demands[i];
        for (size_t k = 0; k < d->count; k++)
            nmk_rat_clear((struct nmk_rat *)&d->terms[k].times);
        nmk_memory_free((struct nmk_whole_term *)d->terms);
        nmk_rat_clear(&d->constant);
        nmk_rat_clear(&d->least);
        nmk_rat_clear(&d->most);
        nmk_rat_clear(&d->sure_least);
        nmk_rat_clear(&d->sure_most);
    }
    nmk_memory_free(c->demands);
}

static void free_cards(struct nmk_carding *c)
{
    for (size_t i = 0; i < nmk_marking_problem(c->marking)->demand_count; i++) {
        nmk_affine_clear(&c->cards[i].sizes);
        nmk_affine_clear(&c->cards[i].named);
        nmk_affine_clear(&c->cards[i].readings);
        nmk_rat_clear(&c->cards[i].lowest);
        nmk_rat_clear(&c->cards[i].spread);
    }
    nmk_memory_free(c->cards);
}

void nmk_carding_free(struct nmk_carding *c)
{
    if (!c)
        return;
    free_demands(c);
    free_cards(c);
    for (size_t i = 0; c->unknowns && i < c->length_count; i++) {
        if (nmk_design_length(c->design, i)->kind == NMK_LENGTH_CHOICE)
            continue;
        nmk_rat_clear(&c->unknowns[i].step);
        nmk_rat_clear(&c->unknowns[i].goal);
    }
    for (size_t i = 0; i < c->length_count; i++)
        nmk_affine_clear(&c->multiples[i]);
    for (size_t i = 0; c->offs && i < c->measure_count; i++)
        nmk_rat_clear(&c->offs[i]);
    for (size_t i = 0; c->losses && i < c->demand_count; i++) {
        for (size_t k = 0; k < c->losses[i].count; k++)
            nmk_rat_clear(&c->losses[i].all[k]);
        nmk_memory_free(c->losses[i].all);
    }
    nmk_judge_free(c->judge);
    nmk_sizes_free(c->rounded);
    nmk_marking_free(c->marking);
    nmk_rat_clear(&c->reading_step);
    nmk_memory_free(c->unknowns);
    nmk_memory_free(c->remainders);
    nmk_memory_free(c->origin);
    nmk_memory_free(c->chart_only);
    nmk_memory_free(c->multiples);
    nmk_memory_free(c->groups);
    nmk_memory_free(c->offs);
    nmk_memory_free(c->losses);
    nmk_memory_free(c);
}
