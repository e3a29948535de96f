/* A part is solved over cells, and wide cells that are used are split, until none is. If that does not come to an end
 * because the cells promise what cannot be (whole_conflict), the part is solved by cases. */
#include "solve/whole_part.h"

#include <string.h>

#include "base/memory.h"
#include "solve/whole_bounds.h"
#include "solve/whole_conflict.h"
#include "solve/whole_reach.h"
#include "solve/whole_round.h"

enum {
    LONG_DEMAND = 64, /* longer ones are not asked what they leave of a wide cell */
    MOST_STRIDE = 256, /* longer periods would be too many cells */
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
    bool has_asked;         /* how far the open unknowns reach */
    bool has_strides;
    bool is_endless;        /* a chosen cell has no end, or none worth the name, after PATIENCE rounds */
};

/* ---- splitting the wide cells of a solution ---- */

static void set_box(struct nmk_bench *b, const struct nmk_part *part, const uint32_t *cells)
{
    for (size_t k = 0; k < part->unknown_count; k++) {
        b->box_low[part->unknowns[k]] = part->cells[k].items[cells[k]].low;
        b->box_high[part->unknowns[k]] = part->cells[k].items[cells[k]].high;
    }
}

static size_t term_of(const struct nmk_model *m, size_t demand, size_t unknown)
{
    size_t k = 0;
    while (m->terms[m->demands[demand].first + k].unknown != unknown)
        k++;
    return k;
}

/* What the others' cells leave of the wide cell of an unknown. */
static void narrow(struct nmk_bench *b, size_t unknown, int64_t *low, int64_t *high)
{
    const struct nmk_model *m = &b->model;
    *low = b->box_low[unknown];
    *high = b->box_high[unknown];
    for (size_t u = m->use_first[unknown]; u < m->use_first[unknown + 1]; u++) {
        int64_t l, h;
        if (m->demands[m->uses[u]].count > LONG_DEMAND)
            continue;
        nmk_bounds_of_term(&l, &h, m, m->uses[u], term_of(m, m->uses[u], unknown), b->box_low, b->box_high);
        *low = l > *low ? l : *low;
        *high = h < *high ? h : *high;
    }
}

/* False if a cell lies too far out. Sets *split if any cell was wide. */
static bool split_wide(struct nmk_bench *b, struct nmk_part *part, const uint32_t *cells, bool *split)
{
    *split = false;
    set_box(b, part, cells);
    for (size_t k = 0; k < part->unknown_count; k++) {
        if (nmk_cell_is_single(part->cells[k].items[cells[k]]))
            continue;
        int64_t low, high;
        narrow(b, part->unknowns[k], &low, &high);
        *split = true;
        if (!nmk_cells_split(&part->cells[k], cells[k], low, high))
            return nmk_work_fail(&b->work, NMK_OVERFLOW);
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

/* Strides cost many cells: only for what has no end. */
static int64_t stride_of(const struct cases *c, size_t unknown)
{
    const struct nmk_whole_unknown *u = &c->bench->model.problem->unknowns[unknown];
    return c->has_strides && !u->is_choice && u->period > 1 && u->period <= MOST_STRIDE ? u->period : 1;
}

static void start_cells(struct cases *c)
{
    for (size_t k = 0; k < c->part->unknown_count; k++)
        nmk_cells_start(&c->part->cells[k], &c->bench->model, c->part->unknowns[k], stride_of(c, c->part->unknowns[k]));
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
        any = any || stride_of(c, c->part->unknowns[k]) > 1;
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
        if (!split_wide(c->bench, c->part, c->cells, &split))
            return false;
    }
    memcpy(c->best, c->chosen, c->part->unknown_count * sizeof *c->best);
    c->has_best = true;
    return true;
}

/* False if the work has to end. */
static bool solve_cases(struct cases *c)
{
    struct nmk_bench *b = c->bench;
    if (!nmk_bounds_tighten(&b->bounds, &b->model, c->part->demands, c->part->demand_count, &b->work))
        return b->work.status == NMK_OK;
    start_cells(c);
    bool ok = refine(c);
    while (ok && c->count > 1) { /* the first is the part as it came */
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
    nmk_memory_free(c.cells);
    nmk_memory_free(c.chosen);
    nmk_memory_free(part->cells);
    part->cells = NULL;
    return solved;
}
