#include "nearmark/rules.h"

#include <assert.h>
#include <string.h>

#include "base/diagnose.h"
#include "base/memory.h"
#include "nearmark/marks.h"
#include "settle/carding.h"
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
    struct nmk_outgrow *outgrown;
    size_t outgrow_count, outgrow_space;
};

/* ---- which demands can be met together for all sizes ---- */

static void no_cost(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    (void)context;
    (void)unknown;
    (void)x;
    parts[0] = parts[1] = parts[2] = 0;
}

/* The carding's problem without aims; its lists are copies that borrow. */
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

/* The fewest stated demands unmet, those of `hard` met; *met tells which are. SIZE_MAX: `hard` cannot be met. */
static enum nmk_status fewest_unmet(size_t *unmet, bool *met, struct bare *b, const struct nmk_carding *c, const bool *hard)
{
    struct nmk_whole_answer answer = {0};
    for (size_t i = 0; i < c->stated; i++)
        b->demands[i].soft = !hard[i];
    enum nmk_status status = nmk_whole_solve(&answer, &b->problem);
    struct nmk_rat v = {0};
    *unmet = SIZE_MAX;
    if (status == NMK_OK && answer.feasible) {
        *unmet = 0;
        for (size_t i = 0; i < c->stated; i++) {
            nmk_carding_value(&v, c, i, answer.values);
            const struct nmk_whole_demand *d = &b->demands[i];
            met[i] = !(d->has_least && nmk_rat_cmp(&v, &d->least) < 0) && !(d->has_most && nmk_rat_cmp(&v, &d->most) > 0);
            *unmet += !met[i];
        }
    }
    nmk_rat_clear(&v);
    nmk_whole_answer_clear(&answer);
    return status;
}

/* Keeps each demand, in file order, if no more must be left out for it: so that those left out are the fewest, and the
 * latest of equally few. What the marks found meet of the demands ahead needs no question of its own as long as nothing
 * left out stands before it. */
static enum nmk_status choose_kept(struct nmk_rules *r, struct bare *b)
{
    const struct nmk_carding *c = r->carding;
    size_t fewest, unmet;
    bool *met = nmk_memory_new(c->stated, sizeof *met), *now = nmk_memory_new(c->stated, sizeof *now);
    enum nmk_status status = fewest_unmet(&fewest, met, b, c, r->kept);
    if (status == NMK_OK && fewest == SIZE_MAX)
        status = NMK_INVALID;
    for (size_t i = 0; i < c->stated && status == NMK_OK; i++) {
        r->kept[i] = true;
        if (met[i])
            continue;
        status = fewest_unmet(&unmet, now, b, c, r->kept);
        r->kept[i] = unmet == fewest;
        if (status == NMK_OK && r->kept[i])
            memcpy(met, now, c->stated * sizeof *met);
    }
    nmk_memory_free(met);
    nmk_memory_free(now);
    return status;
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

static enum nmk_status widen(struct nmk_rules *r, struct bare *b)
{
    struct nmk_carding *c = r->carding;
    struct nmk_subset subset;
    enum nmk_status status = NMK_OK;
    for (size_t i = 0; i < c->problem.demand_count; i++)
        b->demands[i].soft = false;
    nmk_subset_init(&subset, &b->problem, c->stated);
    for (size_t i = 0; i < c->stated && status == NMK_OK; i++) {
        struct nmk_rule_demand *out = &r->demands[c->origin[i]];
        if (out->met || nmk_design_demand(r->design, c->origin[i])->exact)
            continue;
        struct nmk_change change = {0};
        status = nmk_subset_change(&change, &subset, r->kept, i);
        out->widen.helps = change.helps;
        out->widen.high = change.high;
        nmk_rat_swap(&out->widen.amount, &change.amount);
        nmk_rat_clear(&change.amount);
    }
    nmk_subset_clear(&subset);
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

/* ---- sizes at which a piece is too large ---- */

/* A whole size as a form over measures, with the constants of the card; false where it is by the chart only. */
static bool size_form(struct nmk_affine *out, const struct nmk_rules *r, size_t piece, enum nmk_way way)
{
    const struct nmk_affine *whole = nmk_marking_whole(r->carding->marking, piece, way);
    struct nmk_affine scaled = {0};
    struct nmk_rat times = {0}, plus = {0};
    bool known = true;
    nmk_affine_clear(out);
    for (size_t i = 0; i < whole->count && known; i++) {
        size_t length = (size_t)whole->terms[i].name;
        known = !r->carding->chart_only[length];
        nmk_rat_div(&times, &whole->terms[i].times, nmk_draft_step(r->draft));
        nmk_affine_scale(&scaled, &r->carding->multiples[length], &times);
        nmk_affine_add(out, out, &scaled);
        nmk_rat_set_int(&plus, r->values[length]);
        nmk_rat_mul(&plus, &plus, &whole->terms[i].times);
        nmk_affine_add_rat(out, &plus);
    }
    nmk_affine_clear(&scaled);
    nmk_rat_clear(&times);
    nmk_rat_clear(&plus);
    return known;
}

/* The largest size of `measure` with form <= limit, the other measures as in the file; false: no bound. */
static bool largest_size(struct nmk_rat *out, const struct nmk_rules *r, const struct nmk_affine *form, size_t measure, const struct nmk_rat *limit)
{
    const struct nmk_rat *times = nmk_affine_times(form, measure);
    struct nmk_rat rest = {0};
    nmk_rat_sub(&rest, limit, &form->constant);
    for (size_t i = 0; i < form->count; i++) {
        struct nmk_rat part = {0};
        if (form->terms[i].name != measure) {
            nmk_rat_mul(&part, &form->terms[i].times, &nmk_design_measure(r->design, (size_t)form->terms[i].name)->size);
            nmk_rat_sub(&rest, &rest, &part);
        }
        nmk_rat_clear(&part);
    }
    bool bounded = true;
    if (times && nmk_rat_sign(times) > 0) {
        nmk_rat_div(out, &rest, times);
    } else if (nmk_rat_sign(&rest) < 0) {
        nmk_rat_set(out, &nmk_design_measure(r->design, measure)->from); /* too large at every size */
    } else {
        bounded = false;
    }
    nmk_rat_clear(&rest);
    return bounded;
}

static void add_outgrow(struct nmk_rules *r, size_t piece, enum nmk_way way, bool reach, size_t measure, const struct nmk_rat *from)
{
    const struct nmk_measure *m = nmk_design_measure(r->design, measure);
    if (nmk_rat_cmp(from, &m->to) >= 0)
        return;
    void *all = r->outgrown;
    nmk_memory_reserve(&all, &r->outgrow_space, r->outgrow_count + 1, sizeof *r->outgrown);
    r->outgrown = all;
    struct nmk_outgrow *o = &r->outgrown[r->outgrow_count++];
    *o = (struct nmk_outgrow){.piece = piece, .way = way, .reach = reach, .measure = measure};
    nmk_rat_set(&o->from, nmk_rat_cmp(from, &m->from) > 0 ? from : &m->from);
}

/* The sheets that a piece may be cut from in the edition: its stock's, if the edition has one of them that one, else the
 * edition's. */
static size_t sheets_of(const struct nmk_sheet **out, const struct nmk_rules *r, const struct nmk_stock *stock)
{
    const struct nmk_edition *edition = nmk_draft_edition(r->draft);
    for (size_t i = 0; i < edition->sheet_count; i++)
        for (size_t k = 0; k < stock->sheet_count; k++)
            if (nmk_rat_equal(&edition->sheets[i].width, &stock->sheets[k].width) &&
                nmk_rat_equal(&edition->sheets[i].height, &stock->sheets[k].height)) {
                *out = &edition->sheets[i];
                return 1;
            }
    *out = stock->sheet_count ? stock->sheets : edition->sheets;
    return stock->sheet_count ? stock->sheet_count : edition->sheet_count;
}

/* The largest size with which a piece fits one of its sheets one way or the other; *way: what stops it there. */
static bool largest_on_sheets(struct nmk_rat *best, enum nmk_way *way, const struct nmk_rules *r, const struct nmk_piece *piece,
                              struct nmk_affine forms[2], size_t measure)
{
    const struct nmk_sheet *sheets;
    size_t count = sheets_of(&sheets, r, nmk_design_stock(r->design, piece->stock));
    struct nmk_rat at[2] = {{0}, {0}};
    bool any = false, bounded = true;
    for (size_t k = 0; k < 2 * count && bounded; k++) {
        const struct nmk_sheet *sheet = &sheets[k / 2];
        const struct nmk_rat *limits[2] = {k % 2 ? &sheet->height : &sheet->width, k % 2 ? &sheet->width : &sheet->height};
        bool has[2];
        for (int w = NMK_ACROSS; w <= NMK_DOWN; w++)
            has[w] = largest_size(&at[w], r, &forms[w], measure, limits[w]);
        bounded = has[0] || has[1];
        int stops = !has[0] || (has[1] && nmk_rat_cmp(&at[1], &at[0]) < 0);
        if (!bounded || (any && nmk_rat_cmp(&at[stops], best) <= 0))
            continue;
        nmk_rat_set(best, &at[stops]);
        *way = (enum nmk_way)stops;
        any = true;
    }
    nmk_rat_clear(&at[0]);
    nmk_rat_clear(&at[1]);
    return bounded && any;
}

static void outgrow_piece(struct nmk_rules *r, size_t i, struct nmk_affine forms[2], size_t measure)
{
    const struct nmk_rat *reach = &nmk_draft_edition(r->draft)->reach;
    struct nmk_rat at = {0};
    enum nmk_way way = NMK_ACROSS;
    if (largest_on_sheets(&at, &way, r, nmk_design_piece(r->design, i), forms, measure))
        add_outgrow(r, i, way, false, measure, &at);
    for (int w = NMK_ACROSS; w <= NMK_DOWN && nmk_rat_sign(reach) > 0; w++)
        if (nmk_affine_times(&forms[w], measure) && largest_size(&at, r, &forms[w], measure, reach))
            add_outgrow(r, i, (enum nmk_way)w, true, measure, &at);
    nmk_rat_clear(&at);
}

static void find_outgrown(struct nmk_rules *r)
{
    for (size_t i = 0; i < nmk_design_piece_count(r->design); i++) {
        struct nmk_affine forms[2] = {{.count = 0}, {.count = 0}};
        bool known = nmk_design_piece(r->design, i)->kind != NMK_PIECE_PUNCHED && size_form(&forms[0], r, i, NMK_ACROSS) &&
                     size_form(&forms[1], r, i, NMK_DOWN);
        for (size_t m = 0; known && m < nmk_design_measure_count(r->design); m++)
            if (nmk_affine_times(&forms[0], m) || nmk_affine_times(&forms[1], m))
                outgrow_piece(r, i, forms, m);
        nmk_affine_clear(&forms[0]);
        nmk_affine_clear(&forms[1]);
    }
}

/* ---- the rules ---- */

static enum nmk_status settle_rules(struct nmk_rules *r)
{
    struct bare b;
    enum nmk_status status;
    if (nmk_draft_edition(r->draft)->as_designed) {
        status = take_nearest(r);
        for (size_t i = 0; status == NMK_OK && i < r->carding->stated; i++)
            say_demand(r, i);
        if (status == NMK_OK)
            widen_to_nearest(r);
        return status;
    }
    bare_init(&b, r->carding);
    status = choose_kept(r, &b);
    for (size_t i = r->carding->stated; i < r->carding->problem.demand_count; i++)
        r->kept[i] = true;
    if (status == NMK_OK)
        status = settle_kept(r);
    for (size_t i = 0; status == NMK_OK && i < r->carding->stated; i++)
        say_demand(r, i);
    if (status == NMK_OK)
        status = widen(r, &b);
    bare_clear(&b);
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
    status = settle_rules(r);
    if (status == NMK_INVALID)
        nmk_diagnostics_say(list, false, "no-rule-card", (struct nmk_span){0}, "give the measures narrower ranges, or finer marks",
                            "no constants keep every length and mat at least one mark long for all sizes in the ranges");
    if (status != NMK_OK)
        return status;
    for (size_t i = 0; i < nmk_design_demand_count(r->design); i++)
        r->demands[i].chart_only = r->carding->cards[i].chart_only;
    for (size_t i = 0; i < nmk_design_measure_count(r->design); i++)
        say_measure(r, i);
    for (size_t i = 0; i < nmk_design_length_count(r->design); i++)
        say_length(r, i);
    find_outgrown(r);
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
    for (size_t i = 0; i < r->outgrow_count; i++)
        nmk_rat_clear(&r->outgrown[i].from);
    nmk_carding_free(r->carding);
    nmk_clearances_free(r->clearances);
    nmk_settle_options_clear(&r->options);
    nmk_memory_free(r->kept);
    nmk_memory_free(r->values);
    nmk_memory_free(r->measures);
    nmk_memory_free(r->lengths);
    nmk_memory_free(r->demands);
    nmk_memory_free(r->outgrown);
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

size_t nmk_rules_outgrow_count(const struct nmk_rules *rules)
{
    return rules->outgrow_count;
}

const struct nmk_outgrow *nmk_rules_outgrow(const struct nmk_rules *rules, size_t i)
{
    return i < rules->outgrow_count ? &rules->outgrown[i] : NULL;
}
