/* A part is solved over cells, and wide cells that are used are split, until none is. If that does not come to an end
 * because the cells promise what cannot be (whole_conflict), the part is solved by cases. */
#include "solve/whole/whole_part.h"

#include <string.h>

#include "base/memory.h"
#include "exact/word.h"
#include "solve/whole/whole_bounds.h"
#include "solve/whole/whole_conflict.h"
#include "solve/whole/whole_kept.h"
#include "solve/whole/whole_reach.h"
#include "solve/whole/whole_round.h"

enum {
    MANY_TERMS = 6,   /* in so long a demand one unknown can mostly stand in for another */
    SPLIT_ALIKE = 2,  /* from this round on they are split together */
    LONG_DEMAND = 64, /* longer ones are not asked what they leave of a wide cell */
    MOST_PERIOD = 256, /* longer ones would be too many cells */
    MOST_STRIDE = 1024,
    PATIENCE = 3,     /* rounds before conflicts are looked for, if a cell without end is used */
    LONG_PATIENCE = 9 /* the same, if any wide cell of an open unknown is; and before all are asked how far they reach */
};

/* A case: bounds that hold in it, beyond those of the problem. */
struct state {
    int64_t *low, *high;   /* of the part's unknowns */
    int64_t *least, *most; /* of its demands */
};

struct cases {
    struct nmk_bench *bench;
    struct nmk_part *part;
    struct state *states;
    size_t count, space;
    uint32_t *cells;        /* of the present round */
    struct nmk_cell *chosen; /* the same as cells */
    struct nmk_cell *best;  /* the best single numbers so far */
    bool has_best;
    int64_t *goals;         /* NULL, or of each unknown: where to look for any values */
    bool has_asked;         /* how far the open unknowns reach */
    bool has_strides;       /* by the periods of costs */
    int64_t *rests;         /* of each unknown: how often the remainders come round with it */
    bool is_endless;        /* a chosen cell has no end, or none worth the name, after PATIENCE rounds */
};

/* ---- splitting the wide cells of a solution ---- */

static void set_box(struct nmk_bench *b, const struct nmk_part *part, const struct nmk_cell *chosen)
{
    for (size_t k = 0; k < part->unknown_count; k++) {
        b->box_low[part->unknowns[k]] = chosen[k].low;
        b->box_high[part->unknowns[k]] = chosen[k].high;
    }
}

static size_t term_of(const struct nmk_model *m, size_t demand, size_t unknown)
{
    size_t k = 0;
    while (m->terms[m->demands[demand].first + k].unknown != unknown)
        k++;
    return k;
}

/* Others were not taken up, and may mention unknowns of other parts. */
static bool is_in_part(const struct nmk_part *part, size_t demand)
{
    size_t low = 0, high = part->demand_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (part->demands[middle] < demand)
            low = middle + 1;
        else
            high = middle;
    }
    return low < part->demand_count && part->demands[low] == demand;
}

/* What the others' cells leave of the wide cell of an unknown. */
static void narrow(const struct nmk_bench *b, const struct nmk_part *part, size_t unknown, int64_t *low, int64_t *high)
{
    const struct nmk_model *m = &b->model;
    *low = b->box_low[unknown];
    *high = b->box_high[unknown];
    for (size_t u = m->use_first[unknown]; u < m->use_first[unknown + 1]; u++) {
        int64_t l, h;
        if (m->demands[m->uses[u]].count > LONG_DEMAND || !is_in_part(part, m->uses[u]))
            continue;
        nmk_bounds_of_term(&l, &h, m, m->uses[u], term_of(m, m->uses[u], unknown), b->box_low, b->box_high);
        *low = l > *low ? l : *low;
        *high = h < *high ? h : *high;
    }
}

static size_t cell_at(const struct nmk_cells *cells, struct nmk_cell cell)
{
    size_t at = 0;
    while (at < cells->count && (cells->items[at].low != cell.low || cells->items[at].high != cell.high))
        at++;
    return at;
}

/* How far from the goal a stretch of cells lies, on one side of it. */
struct stretch {
    bool above;
    int64_t near, far; /* far: NMK_MODEL_OPEN if it has no end */
};

static struct stretch stretch_of(const struct nmk_cells *cells, int64_t low, int64_t high)
{
    if (low > cells->goal)
        return (struct stretch){true, low - cells->goal, high == NMK_MODEL_OPEN ? high : high - cells->goal};
    return (struct stretch){false, cells->goal - high, cells->goal - low};
}

/* Splits the first wide cell that has numbers so far from its goal, if there is any. */
static bool split_stretch(struct nmk_cells *cells, struct stretch s)
{
    int64_t low = cells->goal + s.near, high = s.far == NMK_MODEL_OPEN ? s.far : cells->goal + s.far;
    if (!s.above) {
        low = s.far == NMK_MODEL_OPEN ? -NMK_MODEL_FAR : cells->goal - s.far;
        high = cells->goal - s.near;
    }
    for (size_t c = 0; c < cells->count; c++)
        if (!nmk_cell_is_single(cells->items[c]) && cells->items[c].low <= high && cells->items[c].high >= low)
            return nmk_cells_split(cells, c, low, high);
    return true;
}

/* Where a long sum is to be made up for, each of its unknowns promises in turn to do so by itself: if one is split, so are
 * the others, as far from their goals, on the side that adds to the sum in the same way. */
static bool split_alike(struct nmk_bench *b, struct nmk_part *part, size_t which, struct stretch stretch)
{
    const struct nmk_model *m = &b->model;
    size_t unknown = part->unknowns[which];
    for (size_t u = m->use_first[unknown]; u < m->use_first[unknown + 1]; u++) {
        const struct nmk_model_demand *d = &m->demands[m->uses[u]];
        if (d->count < MANY_TERMS || !is_in_part(part, m->uses[u]))
            continue;
        const struct nmk_model_term *terms = &m->terms[d->first];
        bool rises = terms[term_of(m, m->uses[u], unknown)].low > 0;
        for (size_t k = 0; k < d->count; k++) {
            if (terms[k].table_low || terms[k].unknown == unknown)
                continue;
            struct stretch same = stretch;
            same.above = (terms[k].low > 0) == rises ? stretch.above : !stretch.above;
            if (!split_stretch(&part->cells[b->local[terms[k].unknown]], same))
                return nmk_work_fail(&b->work, NMK_OVERFLOW);
        }
    }
    return true;
}

/* False if a cell lies too far out. Sets *split if any cell was wide. */
static bool split_wide(struct nmk_bench *b, struct nmk_part *part, const struct nmk_cell *chosen, size_t round, bool *split)
{
    *split = false;
    set_box(b, part, chosen);
    for (size_t k = 0; k < part->unknown_count; k++) {
        if (nmk_cell_is_single(chosen[k]))
            continue;
        int64_t low, high;
        size_t at = cell_at(&part->cells[k], chosen[k]);
        if (at == part->cells[k].count)
            continue; /* split with another */
        narrow(b, part, part->unknowns[k], &low, &high);
        *split = true;
        if (!nmk_cells_split(&part->cells[k], at, low, high))
            return nmk_work_fail(&b->work, NMK_OVERFLOW);
        struct stretch stretch =
            stretch_of(&part->cells[k], low <= high ? low : chosen[k].low, low <= high ? high : chosen[k].high);
        if (round >= SPLIT_ALIKE && !split_alike(b, part, k, stretch))
            return false;
    }
    return true;
}

/* ---- cases ---- */

static void push_case(struct cases *c)
{
    struct nmk_model *m = &c->bench->model;
    const struct nmk_part *part = c->part;
    void *states = c->states;
    nmk_memory_reserve(&states, &c->space, c->count + 1, sizeof *c->states);
    c->states = states;
    struct state *s = &c->states[c->count++];
    s->low = nmk_memory_new(2 * (part->unknown_count + part->demand_count), sizeof *s->low);
    s->high = s->low + part->unknown_count;
    s->least = s->high + part->unknown_count;
    s->most = s->least + part->demand_count;
    for (size_t k = 0; k < part->unknown_count; k++) {
        s->low[k] = m->low[part->unknowns[k]];
        s->high[k] = m->high[part->unknowns[k]];
    }
    for (size_t k = 0; k < part->demand_count; k++) {
        s->least[k] = m->demands[part->demands[k]].must_least;
        s->most[k] = m->demands[part->demands[k]].must_most;
    }
}

static void pop_case(struct cases *c)
{
    struct nmk_model *m = &c->bench->model;
    const struct nmk_part *part = c->part;
    struct state *s = &c->states[--c->count];
    for (size_t k = 0; k < part->unknown_count; k++) {
        m->low[part->unknowns[k]] = s->low[k];
        m->high[part->unknowns[k]] = s->high[k];
    }
    for (size_t k = 0; k < part->demand_count; k++) {
        m->demands[part->demands[k]].must_least = s->least[k];
        m->demands[part->demands[k]].must_most = s->most[k];
    }
    nmk_memory_free(s->low);
}

static int64_t smaller(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

static int64_t larger(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

static void push_options(struct cases *c, size_t which)
{
    size_t first = c->count;
    int64_t low = c->bench->model.low[c->part->unknowns[which]], high = c->bench->model.high[c->part->unknowns[which]];
    for (int64_t option = low; option <= high; option++) {
        push_case(c);
        c->states[first + (size_t)(option - low)].low[which] = option;
        c->states[first + (size_t)(option - low)].high[which] = option;
    }
}

static void push_cases(struct cases *c, struct nmk_conflict conflict)
{
    if (conflict.kind == NMK_CONFLICT_CHOICE)
        push_options(c, conflict.which);
    if (conflict.kind != NMK_CONFLICT_UNKNOWN && conflict.kind != NMK_CONFLICT_DEMAND)
        return;
    push_case(c);
    push_case(c);
    struct state *above = &c->states[c->count - 2], *below = &c->states[c->count - 1]; /* taken up first */
    size_t k = conflict.which;
    if (conflict.kind == NMK_CONFLICT_UNKNOWN) {
        below->high[k] = smaller(below->high[k], conflict.at);
        above->low[k] = larger(above->low[k], conflict.at + 1);
    } else {
        int64_t unit = c->bench->model.demands[c->part->demands[k]].unit;
        below->most[k] = smaller(below->most[k], conflict.at);
        above->least[k] = larger(above->least[k], conflict.at + unit);
    }
}

/* ---- one case ---- */

/* Should conflicts be looked for? */
static bool note_chosen(struct cases *c, size_t round)
{
    bool any_open = false, any_far = false, any_endless = false;
    for (size_t k = 0; k < c->part->unknown_count; k++) {
        c->chosen[k] = c->part->cells[k].items[c->cells[k]];
        bool is_open = c->bench->model.high[c->part->unknowns[k]] == NMK_MODEL_OPEN;
        any_open = any_open || c->chosen[k].high == NMK_MODEL_OPEN ||
                   (is_open && round >= LONG_PATIENCE && !nmk_cell_is_single(c->chosen[k]));
        any_far = any_far || c->chosen[k].low >= NMK_MODEL_FAR / 2;
        any_endless = any_endless || c->chosen[k].high == NMK_MODEL_OPEN;
    }
    c->is_endless = any_far || (any_endless && round >= PATIENCE);
    return any_far || (any_open && round >= PATIENCE);
}

static bool is_beaten(struct cases *c)
{
    return c->has_best && nmk_round_compare(c->bench, c->part, c->chosen, c->best) >= 0;
}

static int64_t common_multiple(int64_t a, int64_t b)
{
    int64_t times = b / nmk_word_divisor(a, b);
    return times > MOST_STRIDE / a ? a : a * times;
}

/* A wide cell must be of one remainder, or it could always be used. */
static void set_rests(struct cases *c)
{
    const struct nmk_bench *b = c->bench;
    for (size_t k = 0; k < c->part->unknown_count; k++) {
        c->rests[k] = 1;
        b->local[c->part->unknowns[k]] = (uint32_t)k;
    }
    for (size_t i = 0; i < c->part->remainder_count; i++) {
        const struct nmk_whole_remainder *r = &b->model.problem->remainders[c->part->remainders[i]];
        for (size_t t = 0; t < r->count; t++) {
            int64_t *rest = &c->rests[b->local[r->unknowns[t]]], times = r->times[t] % r->modulus;
            *rest = common_multiple(*rest, r->modulus / nmk_word_divisor(times, r->modulus));
        }
    }
}

/* Those of costs make many cells: only for what has no end. */
static int64_t stride_of(const struct cases *c, size_t k)
{
    const struct nmk_whole_unknown *u = &c->bench->model.problem->unknowns[c->part->unknowns[k]];
    if (u->is_choice)
        return 1;
    bool counts = c->has_strides && u->period > 1 && u->period <= MOST_PERIOD;
    return counts ? common_multiple(c->rests[k], u->period) : c->rests[k];
}

static void start_cells(struct cases *c)
{
    for (size_t k = 0; k < c->part->unknown_count; k++)
        nmk_cells_start(&c->part->cells[k], &c->bench->model, c->part->unknowns[k], stride_of(c, k),
                        c->goals ? &c->goals[k] : NULL);
}

/* Asked once a part, when its open unknowns first look suspect: how far do they reach? Starts the cells again if that
 * tells anything; EMPTY: the case has no answer. */
static enum nmk_reach_outcome ask_reach(struct cases *c)
{
    struct nmk_bench *b = c->bench;
    c->has_asked = true;
    enum nmk_reach_outcome outcome = nmk_reach_bound(b, c->part);
    if (outcome == NMK_REACH_TIGHTER) {
        if (!nmk_bounds_tighten(&b->bounds, &b->model, c->part->demands, c->part->demand_count, &b->work))
            return NMK_REACH_EMPTY;
        start_cells(c);
    }
    return outcome;
}

static bool start_strides(struct cases *c)
{
    bool any = false;
    c->has_strides = true;
    for (size_t k = 0; k < c->part->unknown_count; k++)
        any = any || stride_of(c, k) > c->rests[k];
    if (any)
        start_cells(c);
    return any;
}

/* False if the work has to end. */
static bool refine(struct cases *c)
{
    bool split = true;
    c->bench->exact_sums = c->has_best; /* from then on cases are held against the best (is_beaten) */
    for (size_t round = 0; split; round++) {
        enum nmk_eliminate_outcome outcome = nmk_round_solve(c->cells, c->bench, c->part);
        if (outcome != NMK_ELIMINATE_SOLVED)
            return outcome == NMK_ELIMINATE_INFEASIBLE;
        bool suspect = note_chosen(c, round);
        if (is_beaten(c))
            return c->bench->work.status == NMK_OK;
        if ((suspect || round >= LONG_PATIENCE) && !c->has_asked) {
            enum nmk_reach_outcome reach = ask_reach(c);
            if (reach == NMK_REACH_EMPTY)
                return c->bench->work.status == NMK_OK;
            if (reach == NMK_REACH_TIGHTER)
                continue; /* over the cells as they are now */
        }
        if (c->is_endless && !c->has_strides && start_strides(c))
            continue;
        if (suspect) {
            struct nmk_conflict conflict = nmk_conflict_find(c->bench, c->part, c->cells);
            push_cases(c, conflict);
            if (conflict.kind != NMK_CONFLICT_NONE)
                return c->bench->work.status == NMK_OK;
        }
        if (!split_wide(c->bench, c->part, c->chosen, round, &split))
            return false;
    }
    memcpy(c->best, c->chosen, c->part->unknown_count * sizeof *c->best);
    c->has_best = true;
    return true;
}

/* ---- where any values will do ---- */

static bool is_allowed(const struct cases *c, const int64_t *values)
{
    const struct nmk_bench *b = c->bench;
    for (size_t k = 0; k < c->part->demand_count; k++)
        if (!nmk_is_kept(&b->model, c->part->demands[k], values))
            return false;
    for (size_t k = 0; k < c->part->remainder_count; k++)
        if (!nmk_is_remainder_kept(&b->model.problem->remainders[c->part->remainders[k]], values))
            return false;
    return true;
}

static bool try_values(struct cases *c, const int64_t *values)
{
    struct nmk_bench *b = c->bench;
    for (size_t k = 0; k < c->part->unknown_count; k++) {
        size_t j = c->part->unknowns[k];
        if (values[k] < b->model.low[j] || values[k] > b->model.high[j])
            return false;
        b->box_low[j] = values[k];
    }
    c->has_best = is_allowed(c, b->box_low);
    for (size_t k = 0; c->has_best && k < c->part->unknown_count; k++)
        c->best[k] = (struct nmk_cell){values[k], values[k]};
    return c->has_best;
}

/* The goals, all lower ends, all upper ends: often the one or the other is allowed. Demands that hold two unknowns apart,
 * x - y >= c, are even met by the ends whenever anything meets them. Leaves the goals in c->goals. */
static bool try_simple(struct cases *c)
{
    const struct nmk_model *m = &c->bench->model;
    for (int kind = 0; kind < 3; kind++) {
        for (size_t k = 0; k < c->part->unknown_count; k++) {
            size_t j = c->part->unknowns[k];
            bool is_high = kind == 0 && m->high[j] != NMK_MODEL_OPEN;
            c->goals[k] = kind == 2 ? nmk_cells_nearest(&m->problem->unknowns[j], m->low[j], m->high[j])
                          : is_high ? m->high[j]
                                    : m->low[j];
        }
        if (try_values(c, c->goals))
            return true;
    }
    return false;
}

/* True if the part is done: there are values, or there are none. */
static bool try_any(struct cases *c)
{
    c->goals = nmk_memory_new(c->part->unknown_count, sizeof *c->goals);
    if (try_simple(c))
        return true;
    enum nmk_reach_outcome outcome = nmk_reach_point(c->goals, c->bench, c->part);
    return outcome == NMK_REACH_EMPTY || (outcome == NMK_REACH_TIGHTER && try_values(c, c->goals));
}

/* False if the work has to end. */
static bool solve_cases(struct cases *c)
{
    struct nmk_bench *b = c->bench;
    bool any = b->model.problem->any;
    if (!nmk_bounds_tighten(&b->bounds, &b->model, c->part->demands, c->part->demand_count, &b->work))
        return b->work.status == NMK_OK;
    if (any && try_any(c))
        return b->work.status == NMK_OK;
    start_cells(c);
    bool ok = refine(c);
    while (ok && c->count > 1 && !(any && c->has_best)) { /* the first is the part as it came */
        pop_case(c);
        if (nmk_bounds_tighten(&b->bounds, &b->model, c->part->demands, c->part->demand_count, &b->work)) {
            start_cells(c);
            ok = refine(c);
        }
        ok = ok && b->work.status == NMK_OK;
    }
    return ok;
}

bool nmk_part_solve(int64_t *values, struct nmk_bench *b, struct nmk_part *part)
{
    struct cases c = {.bench = b, .part = part};
    part->cells = nmk_memory_new(part->unknown_count, sizeof *part->cells);
    c.cells = nmk_memory_new(part->unknown_count, sizeof *c.cells);
    c.chosen = nmk_memory_new(2 * part->unknown_count, sizeof *c.chosen);
    c.best = c.chosen + part->unknown_count;
    c.rests = nmk_memory_new(part->unknown_count, sizeof *c.rests);
    set_rests(&c);
    push_case(&c);
    bool solved = solve_cases(&c) && c.has_best;
    b->exact_sums = false;
    for (size_t k = 0; solved && k < part->unknown_count; k++)
        values[part->unknowns[k]] = c.best[k].low;
    while (c.count)
        pop_case(&c);
    for (size_t k = 0; k < part->unknown_count; k++)
        nmk_cells_clear(&part->cells[k]);
    nmk_memory_free(c.states);
    nmk_memory_free(c.goals);
    nmk_memory_free(c.rests);
    nmk_memory_free(c.cells);
    nmk_memory_free(c.chosen);
    nmk_memory_free(part->cells);
    part->cells = NULL;
    return solved;
}
