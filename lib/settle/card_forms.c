#include "settle/card_forms.h"

#include "base/memory.h"

/* ---- multiples of the readings ---- */

static bool all_whole(const struct nmk_affine *form)
{
    bool whole = true;
    for (size_t i = 0; i < form->count; i++)
        whole &= nmk_rat_is_int(&form->terms[i].times);
    return whole;
}

static bool same_multiples(const struct nmk_affine *a, const struct nmk_affine *b)
{
    bool same = a->count == b->count;
    for (size_t i = 0; same && i < a->count; i++)
        same = a->terms[i].name == b->terms[i].name && nmk_rat_equal(&a->terms[i].times, &b->terms[i].times);
    return same;
}

/* Every multiple that is not whole as a simple fraction, close enough over the whole range. */
static void set_fractions(struct nmk_carding *c, size_t length, const struct nmk_affine *form)
{
    struct nmk_rat half = {0}, within = {0}, fraction = {0};
    nmk_rat_set_frac(&half, 1, 2);
    nmk_rat_mul(&half, &half, nmk_draft_step(c->draft));
    for (size_t i = 0; i < form->count; i++) {
        const struct nmk_measure *m = nmk_design_measure(c->design, (size_t)form->terms[i].name);
        nmk_rat_set(&fraction, &form->terms[i].times);
        if (!nmk_rat_is_int(&fraction)) {
            nmk_rat_sub(&within, &m->to, &m->from);
            if (nmk_rat_div(&within, &half, &within) != NMK_OK)
                nmk_rat_set_int(&within, 1);
            nmk_multiples_fraction(&fraction, &form->terms[i].times, &within);
        }
        if (!nmk_rat_is_zero(&fraction))
            nmk_affine_add_term(&c->multiples[length], form->terms[i].name, &fraction);
    }
    nmk_rat_clear(&half);
    nmk_rat_clear(&within);
    nmk_rat_clear(&fraction);
}

static void set_group(struct nmk_carding *c, size_t length)
{
    if (all_whole(&c->multiples[length]))
        return;
    for (size_t i = 0; i < length && !c->groups[length]; i++)
        if (c->groups[i] && same_multiples(&c->multiples[i], &c->multiples[length]))
            c->groups[length] = c->groups[i];
    if (!c->groups[length])
        c->groups[length] = ++c->group_count;
}

/* A score must stand on a score mark for every reading: only whole multiples of the readings see to that. */
static void bar_unsteady_scores(struct nmk_carding *c)
{
    const struct nmk_whole_problem *p = nmk_marking_problem(c->marking);
    for (size_t i = 0; i < p->remainder_count; i++)
        for (size_t k = 0; k < p->remainders[i].count; k++) {
            size_t unknown = p->remainders[i].unknowns[k];
            if (unknown < c->length_count)
                c->chart_only[unknown] |= !all_whole(&c->multiples[unknown]);
        }
}

/* How often the lengths of a demand of the marking take each reading, `times` a mark. */
static void sum_readings(struct nmk_affine *out, const struct nmk_carding *c, const struct nmk_whole_demand *d)
{
    struct nmk_affine scaled = {0};
    struct nmk_rat times = {0};
    for (size_t k = 0; k < d->count; k++) {
        if (d->terms[k].unknown >= c->length_count || d->terms[k].table)
            continue;
        nmk_rat_div(&times, &d->terms[k].times, nmk_draft_step(c->draft));
        nmk_affine_scale(&scaled, &c->multiples[d->terms[k].unknown], &times);
        nmk_affine_add(out, out, &scaled);
    }
    nmk_affine_clear(&scaled);
    nmk_rat_clear(&times);
}

/* Two lists are equally wide for every reading only if what they take of the readings is the same, and they round the same:
 * then nothing is left, of the whole multiples and of each group of those that are not. */
static bool width_is_steady(const struct nmk_carding *c, const struct nmk_whole_demand *d)
{
    struct nmk_affine readings = {0};
    struct nmk_rat times = {0};
    bool steady = true;
    sum_readings(&readings, c, d);
    steady = !readings.count;
    for (size_t k = 0; steady && k < d->count; k++) {
        const struct nmk_affine *own = &c->multiples[d->terms[k].unknown];
        if (all_whole(own))
            continue;
        nmk_rat_set_int(&times, 0);
        for (size_t i = 0; i < d->count; i++)
            if (same_multiples(&c->multiples[d->terms[i].unknown], own))
                nmk_rat_add(&times, &times, &d->terms[i].times);
        steady = nmk_rat_is_zero(&times);
    }
    nmk_affine_clear(&readings);
    nmk_rat_clear(&times);
    return steady;
}

/* Do the lengths of a remainder, times as it says, take each reading an even number of times? All of them are whole. */
static bool takes_even(const struct nmk_carding *c, const struct nmk_whole_remainder *r)
{
    struct nmk_affine sum = {0}, scaled = {0};
    struct nmk_rat times = {0}, half = {0};
    bool even = true;
    nmk_rat_set_frac(&half, 1, 2);
    for (size_t k = 0; k < r->count; k++) {
        if (r->unknowns[k] >= c->length_count)
            continue;
        nmk_rat_set_int(&times, r->times[k]);
        nmk_affine_scale(&scaled, &c->multiples[r->unknowns[k]], &times);
        nmk_affine_add(&sum, &sum, &scaled);
    }
    for (size_t i = 0; i < sum.count; i++) {
        nmk_rat_mul(&times, &sum.terms[i].times, &half);
        even &= nmk_rat_is_int(&times);
    }
    nmk_affine_clear(&sum);
    nmk_affine_clear(&scaled);
    nmk_rat_clear(&times);
    nmk_rat_clear(&half);
    return even;
}

/* A score between two rests, whose remainder holds an odd mark, moves by whole score steps only if its double takes each
 * reading an even number of times. */
static void bar_unsteady_halves(struct nmk_carding *c)
{
    const struct nmk_whole_problem *p = nmk_marking_problem(c->marking);
    for (size_t i = 0; i < p->remainder_count; i++) {
        bool between = false;
        for (size_t k = 0; k < p->remainders[i].count; k++)
            between |= p->remainders[i].unknowns[k] >= c->length_count;
        if (!between || takes_even(c, &p->remainders[i]))
            continue;
        for (size_t k = 0; k < p->remainders[i].count; k++)
            if (p->remainders[i].unknowns[k] < c->length_count)
                c->chart_only[p->remainders[i].unknowns[k]] = true;
    }
}

/* Two lists bind their lengths: all of them are on the card, or by the chart only. Whether anything changed. */
static bool bar_width(struct nmk_carding *c, const struct nmk_whole_demand *d)
{
    bool steady = width_is_steady(c, d), changed = false;
    for (size_t k = 0; k < d->count; k++)
        steady &= !c->chart_only[d->terms[k].unknown];
    for (size_t k = 0; !steady && k < d->count; k++) {
        changed |= !c->chart_only[d->terms[k].unknown];
        c->chart_only[d->terms[k].unknown] = true;
    }
    return changed;
}

static void bar_unsteady_widths(struct nmk_carding *c)
{
    const struct nmk_whole_problem *p = nmk_marking_problem(c->marking);
    struct nmk_marking_places at = nmk_marking_places(c->marking);
    bool changed = true;
    while (changed) {
        changed = false;
        for (size_t i = at.widths; i < at.rests; i++)
            changed |= bar_width(c, &p->demands[i]);
    }
}

static void make_multiples(struct nmk_carding *c)
{
    struct nmk_multiples *multiples;
    nmk_multiples_new(&multiples, c->draft);
    for (size_t i = 0; i < c->length_count; i++) {
        bool choice = nmk_design_length(c->design, i)->kind == NMK_LENGTH_CHOICE;
        c->chart_only[i] = !choice && !multiples->lengths[i].affine;
        if (!choice && multiples->lengths[i].affine)
            set_fractions(c, i, &multiples->lengths[i].form);
    }
    bar_unsteady_scores(c);
    bar_unsteady_halves(c);
    bar_unsteady_widths(c);
    for (size_t i = 0; i < c->length_count; i++)
        if (!c->chart_only[i])
            set_group(c, i);
    nmk_multiples_free(multiples);
}

/* ---- demands over all sizes: (2) ---- */

void nmk_carding_range(struct nmk_rat *lowest, struct nmk_rat *spread, const struct nmk_carding *c,
                       const struct nmk_affine *sizes)
{
    struct nmk_rat low = {0}, high = {0};
    for (size_t i = 0; i < sizes->count; i++) {
        const struct nmk_measure *m = nmk_design_measure(c->design, (size_t)sizes->terms[i].name);
        bool rises = nmk_rat_sign(&sizes->terms[i].times) > 0;
        nmk_rat_addmul(&low, &sizes->terms[i].times, rises ? &m->from : &m->to);
        nmk_rat_addmul(&high, &sizes->terms[i].times, rises ? &m->to : &m->from);
    }
    nmk_rat_sub(spread, &high, &low);
    nmk_rat_swap(lowest, &low);
    nmk_rat_clear(&low);
    nmk_rat_clear(&high);
}

/* What the demand itself says of measures that are read. */
void nmk_card_own_measures(struct nmk_affine *out, const struct nmk_carding *c, size_t demand)
{
    const struct nmk_affine *form = &c->clearances->all[demand].form;
    for (size_t i = 0; i < form->count; i++) {
        struct nmk_atom a = nmk_atom_of(form->terms[i].name);
        if (a.kind == NMK_ATOM_MEASURE && nmk_design_measure(c->design, a.subject)->has_range)
            nmk_affine_add_term(out, a.subject, &form->terms[i].times);
    }
}

static void add_named(struct nmk_affine *named, const struct nmk_affine *form)
{
    struct nmk_rat one = {0};
    nmk_rat_set_int(&one, 1);
    for (size_t i = 0; i < form->count; i++)
        if (!nmk_affine_times(named, form->terms[i].name))
            nmk_affine_add_term(named, form->terms[i].name, &one);
    nmk_rat_clear(&one);
}

/* A_m: what each length's multiples bring (times is mm a mark, so that times / step counts mm of the length), and the
 * demand's own. */
static void card_demand(struct nmk_carding *c, size_t i)
{
    const struct nmk_whole_demand *d = &nmk_marking_problem(c->marking)->demands[i];
    struct nmk_card_demand *card = &c->cards[i];
    struct nmk_affine scaled = {0};
    struct nmk_rat times = {0};
    if (i < c->demand_count) {
        nmk_card_own_measures(&card->sizes, c, i);
        card->chart_only = c->clearances->all[i].fixes_range;
    }
    add_named(&card->named, &card->sizes);
    for (size_t k = 0; k < d->count; k++) {
        size_t length = d->terms[k].unknown;
        if (length >= c->length_count || d->terms[k].table)
            continue;
        card->chart_only |= c->chart_only[length];
        nmk_rat_div(&times, &d->terms[k].times, nmk_draft_step(c->draft));
        nmk_affine_scale(&scaled, &c->multiples[length], &times);
        nmk_affine_add(&card->readings, &card->readings, &scaled);
        add_named(&card->named, &c->multiples[length]);
    }
    nmk_affine_add(&card->sizes, &card->sizes, &card->readings);
    nmk_carding_range(&card->lowest, &card->spread, c, &card->sizes);
    nmk_affine_clear(&scaled);
    nmk_rat_clear(&times);
}

/* A strip is a whole number of marks for every reading only if each reading step adds a whole number of marks to it. */
static bool strip_is_steady(const struct nmk_carding *c, const struct nmk_card_demand *card)
{
    struct nmk_rat marks = {0};
    bool steady = true;
    for (size_t i = 0; i < card->sizes.count; i++) {
        nmk_rat_mul(&marks, &card->sizes.terms[i].times, &c->reading_step);
        nmk_rat_div(&marks, &marks, nmk_draft_step(c->draft));
        steady &= nmk_rat_is_int(&marks);
    }
    nmk_rat_clear(&marks);
    return steady;
}

/* The strips of an `even whole` that is steady follow the readings by themselves; of one that is not, the demand is by the
 * chart only. Two strips stand for each such demand, in order. */
static void settle_strips(struct nmk_carding *c)
{
    size_t strip = nmk_marking_places(c->marking).strips;
    for (size_t i = 0; i < c->demand_count; i++) {
        if (!nmk_design_demand(c->design, i)->whole)
            continue;
        for (size_t k = strip; k < strip + 2; k++) {
            struct nmk_card_demand *card = &c->cards[k];
            c->cards[i].chart_only |= card->chart_only || !strip_is_steady(c, card);
            nmk_rat_set_int(&card->lowest, 0);
            nmk_rat_set_int(&card->spread, 0);
        }
        c->cards[strip].chart_only = c->cards[strip + 1].chart_only = c->cards[i].chart_only;
        strip += 2;
    }
}

/* ---- errors of reading and rounding ---- */

static void make_offs(struct nmk_carding *c)
{
    c->offs = nmk_memory_new(c->measure_count, sizeof *c->offs);
    for (size_t i = 0; i < c->measure_count; i++)
        if (!nmk_design_measure(c->design, i)->has_range)
            nmk_rat_set(&c->offs[i], &nmk_design_measure(c->design, i)->off);
}

/* How often half a reading step of a measure counts in a demand, in mm: with the reading's error at its upper end the
 * reading, and what the lengths take of it, lies so far below the true size. */
void nmk_card_half_reading(struct nmk_rat *out, const struct nmk_carding *c, const struct nmk_affine_term *reading)
{
    struct nmk_rat half = {0};
    nmk_rat_set_frac(&half, -1, 2);
    nmk_rat_mul(&half, &half, &c->reading_step);
    nmk_rat_mul(out, &half, &reading->times);
    nmk_rat_clear(&half);
}

/* How often half a mark of each group's loss counts in a demand, in mm: by group, owned by the caller. */
struct nmk_rat *nmk_card_losses(const struct nmk_carding *c, size_t demand)
{
    const struct nmk_whole_demand *d = &nmk_marking_problem(c->marking)->demands[demand];
    struct nmk_rat *losses = nmk_memory_new(c->group_count, sizeof *losses), half = {0};
    nmk_rat_set_frac(&half, 1, 2);
    for (size_t k = 0; k < d->count; k++)
        if (d->terms[k].unknown < c->length_count && c->groups[d->terms[k].unknown])
            nmk_rat_addmul(&losses[c->groups[d->terms[k].unknown] - 1], &d->terms[k].times, &half);
    nmk_rat_clear(&half);
    return losses;
}

static void add_width(struct nmk_widths *widths, struct nmk_rat *width)
{
    nmk_rat_abs(width, width);
    if (!nmk_rat_is_zero(width))
        nmk_rat_swap(&widths->all[widths->count++], width);
    nmk_rat_clear(width);
}

static void make_losses(struct nmk_carding *c)
{
    c->losses = nmk_memory_new(c->demand_count, sizeof *c->losses);
    for (size_t i = 0; i < c->demand_count; i++) {
        const struct nmk_affine *readings = &c->cards[i].readings;
        struct nmk_rat *losses = nmk_card_losses(c, i), width = {0};
        c->losses[i].all = nmk_memory_new(c->group_count + readings->count, sizeof width);
        for (size_t k = 0; k < c->group_count; k++)
            add_width(&c->losses[i], &losses[k]);
        for (size_t k = 0; k < readings->count; k++) {
            nmk_card_half_reading(&width, c, &readings->terms[k]);
            add_width(&c->losses[i], &width);
        }
        nmk_memory_free(losses);
    }
}

void nmk_card_forms_make(struct nmk_carding *c)
{
    make_multiples(c);
    for (size_t i = 0; i < nmk_marking_problem(c->marking)->demand_count; i++)
        card_demand(c, i);
    settle_strips(c);
    make_offs(c);
    make_losses(c);
}
