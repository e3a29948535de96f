/* Branch and bound. A node is what is still possible (whole_live); it is left when its bound is no better than the best
 * combination so far; it is solved by elimination when what is not fixed has become narrow enough; else one variable is
 * tried at each of its cells, the cheapest first. The first pass over a net that is narrow from the start is thus one
 * elimination. */
#include "solve/whole/whole_search.h"

#include <string.h>

#include "base/memory.h"
#include "solve/whole/whole_live.h"
#include "solve/whole/whole_order.h"

#ifdef NMK_STRESS
enum { MOST_ENTRIES = 64, NARROW = 30, BEARABLE = 200, PATIENCE = 8, NODE = 1, LEAF = 10 };
#else
enum {
    MOST_ENTRIES = 1 << 22,
    NARROW = 1 << 14,   /* so many combinations for one variable: the net is eliminated at once */
    BEARABLE = 1 << 25, /* so many: it is eliminated if the search takes long: */
    PATIENCE = 8,       /* more steps than this part of them */
    NODE = 4,           /* steps that a node counts for, each variable and factor */
    LEAF = 1 << 14      /* so many in all are eliminated at a node of the search */
};
#endif

struct frame {
    uint32_t var, count, next;
    uint32_t *cells; /* to be tried */
    size_t trail;    /* how long it was before */
};

struct search {
    const struct nmk_net *net;
    struct nmk_work *work;
    struct nmk_live live;
    struct frame *frames;
    size_t frame_count, frame_space;
    uint32_t *best, *cells; /* the best combination; a candidate */
    struct nmk_value best_value, value;
    bool has_best;
    uint64_t until; /* steps after which to give up */
    uint32_t *to_small; /* variable -> that of the net of a node */
};

/* ---- the net of what is not fixed ---- */

static bool is_fixed(const struct search *s, uint32_t var)
{
    return s->live.live_count[var] == 1;
}

static uint32_t *live_cells(const struct search *s, struct nmk_arena *arena, uint32_t var)
{
    uint32_t *cells = nmk_arena_new(arena, s->live.live_count[var], sizeof *cells);
    for (uint32_t c = 0, k = 0; c < s->net->vars[var].cells; c++)
        if (nmk_live_has(&s->live, var, c))
            cells[k++] = c;
    return cells;
}

/* Costs and ranks of the live cells alone. */
static void add_small_var(struct nmk_net *small, const struct search *s, uint32_t var)
{
    const struct nmk_net_var *from = &s->net->vars[var];
    struct nmk_net_var copy = {.cells = s->live.live_count[var], .key = from->key};
    const uint32_t *cells = live_cells(s, &small->arena, var);
    unsigned limbs = s->net->limbs;
    if (from->costs) {
        uint64_t *costs = nmk_arena_new(&small->arena, (size_t)copy.cells * limbs, sizeof *costs);
        for (uint32_t k = 0; k < copy.cells; k++)
            memcpy(costs + (size_t)k * limbs, from->costs + (size_t)cells[k] * limbs, limbs * sizeof *costs);
        copy.costs = costs;
    }
    if (from->ranks) {
        int64_t *ranks = nmk_arena_new(&small->arena, copy.cells, sizeof *ranks);
        for (uint32_t k = 0; k < copy.cells; k++)
            ranks[k] = from->ranks[cells[k]];
        copy.ranks = ranks;
    }
    s->to_small[var] = nmk_net_add_var(small, &copy);
}

static void add_small_scope(struct nmk_net *small, const struct search *s, const struct nmk_live_table *t)
{
    struct nmk_net_factor f = {.vars = nmk_arena_new(&small->arena, t->arity, sizeof *f.vars)};
    for (uint32_t k = 0; k < t->arity; k++)
        if (!is_fixed(s, t->vars[k]))
            f.vars[f.count++] = s->to_small[t->vars[k]];
    if (f.count)
        nmk_net_share_factor(small, &f);
}

/* Variables and scopes only. */
static void make_small(struct nmk_net *small, const struct search *s)
{
    *small = (struct nmk_net){.limbs = s->net->limbs, .sets = s->net->sets, .pool = s->net->pool, .any = s->net->any};
    for (uint32_t v = 0; v < s->net->var_count; v++)
        if (!is_fixed(s, v))
            add_small_var(small, s, v);
    for (size_t f = 0; f < s->net->factor_count; f++)
        add_small_scope(small, s, &s->live.tables[f]);
}

static void fill_codes(struct nmk_net *small, const struct search *s, const struct nmk_live_table *t,
                       const uint32_t *place_of, struct nmk_net_factor *f)
{
    uint32_t count = nmk_live_list(s->live.listed, t);
    f->codes = nmk_arena_new(&small->arena, (size_t)nmk_net_size(small, f->vars, f->count), sizeof *f->codes);
    for (uint32_t k = 0; k < count; k++) {
        uint32_t r = s->live.listed[k];
        const uint32_t *row = t->rows + (size_t)r * t->arity;
        size_t at = 0;
        for (uint32_t q = 0; q < t->arity; q++)
            if (!is_fixed(s, t->vars[q]))
                at = at * s->live.live_count[t->vars[q]] + place_of[row[q]];
        f->codes[at] = t->codes[r];
    }
}

/* Place of each live cell among the live ones. */
static uint32_t *places(const struct search *s)
{
    size_t total = 0;
    for (uint32_t v = 0; v < s->net->var_count; v++)
        total += s->net->vars[v].cells;
    uint32_t *place_of = nmk_memory_new(total, sizeof *place_of);
    for (uint32_t v = 0; v < s->net->var_count; v++)
        for (uint32_t c = 0, k = 0; c < s->net->vars[v].cells; c++)
            if (nmk_live_has(&s->live, v, c))
                place_of[s->live.first[v] + c] = k++;
    return place_of;
}

static void fill_small(struct nmk_net *small, const struct search *s)
{
    uint32_t *place_of = places(s);
    size_t next = 0;
    for (size_t f = 0; f < s->net->factor_count; f++) {
        const struct nmk_live_table *t = &s->live.tables[f];
        bool any = false;
        for (uint32_t k = 0; k < t->arity; k++)
            any = any || !is_fixed(s, t->vars[k]);
        if (any)
            fill_codes(small, s, t, place_of, &small->factors[next++]);
    }
    nmk_memory_free(place_of);
}

/* ---- candidates ---- */

static void offer(struct search *s)
{
    nmk_value_set(&s->value, s->net, s->cells);
    if (s->has_best && nmk_value_compare(s->net, &s->value, s->cells, &s->best_value, s->best) >= 0)
        return;
    nmk_value_swap(&s->value, &s->best_value);
    memcpy(s->best, s->cells, s->net->var_count * sizeof *s->best);
    s->has_best = true;
}

/* A combination of the node's net made one of the whole net. */
static void widen(struct search *s, const uint32_t *small_cells)
{
    for (uint32_t v = 0; v < s->net->var_count; v++) {
        uint32_t left = is_fixed(s, v) ? 0 : small_cells[s->to_small[v]], c = 0;
        for (;; c++)
            if (nmk_live_has(&s->live, v, c) && left-- == 0)
                break;
        s->cells[v] = c;
    }
}

/* True if the node is done: eliminated. */
static bool try_leaf(struct search *s, struct nmk_net *small)
{
    uint32_t *order = nmk_memory_new(small->var_count, sizeof *order);
    uint32_t *cells = nmk_memory_new(small->var_count, sizeof *cells);
    uint64_t size = nmk_order_find(order, small, false).total;
    bool done = size <= LEAF || small->var_count < 2;
    if (done) {
        fill_small(small, s);
        if (nmk_eliminate(cells, small, order, UINT64_MAX, s->work) == NMK_ELIMINATE_SOLVED) {
            widen(s, cells);
            offer(s);
        }
    }
    nmk_memory_free(order);
    nmk_memory_free(cells);
    return done;
}

/* ---- branching ---- */

/* The number of different variables not fixed that share a table with each. */
static uint64_t degree(const struct search *s, uint32_t var)
{
    uint64_t sum = 0;
    for (size_t u = s->live.use_first[var]; u < s->live.use_first[var + 1]; u++) {
        const struct nmk_live_table *t = &s->live.tables[s->live.uses[u].table];
        for (uint32_t k = 0; k < t->arity; k++)
            sum += !is_fixed(s, t->vars[k]) && t->vars[k] != var;
    }
    return sum;
}

/* Few cells and many neighbours; of equals the first. */
static uint32_t choose(const struct search *s)
{
    uint32_t best = UINT32_MAX;
    uint64_t best_degree = 0;
    for (uint32_t v = 0; v < s->net->var_count; v++) {
        if (is_fixed(s, v))
            continue;
        uint64_t d = degree(s, v);
        if (best == UINT32_MAX || s->live.live_count[v] * best_degree < s->live.live_count[best] * d) {
            best = v;
            best_degree = d;
        }
    }
    return best;
}

static int compare_cell_costs(const struct search *s, uint32_t var, uint32_t a, uint32_t b)
{
    const struct nmk_net_var *v = &s->net->vars[var];
    if (v->ranks)
        return v->ranks[a] < v->ranks[b] ? -1 : 1;
    return v->costs
               ? nmk_cost_compare(v->costs + (size_t)a * s->net->limbs, v->costs + (size_t)b * s->net->limbs, s->net->limbs)
               : 0;
}

static void push_frame(struct search *s, uint32_t var)
{
    void *frames = s->frames;
    nmk_memory_reserve(&frames, &s->frame_space, s->frame_count + 1, sizeof *s->frames);
    s->frames = frames;
    struct frame *f = &s->frames[s->frame_count++];
    *f = (struct frame){.var = var, .trail = s->live.trail_count};
    f->cells = nmk_memory_new(s->live.live_count[var], sizeof *f->cells);
    for (uint32_t c = 0; c < s->net->vars[var].cells; c++) {
        if (!nmk_live_has(&s->live, var, c))
            continue;
        uint32_t at = f->count++;
        for (; at > 0 && compare_cell_costs(s, var, f->cells[at - 1], c) > 0; at--)
            f->cells[at] = f->cells[at - 1];
        f->cells[at] = c;
    }
}

static void pop_frame(struct search *s)
{
    struct frame *f = &s->frames[--s->frame_count];
    nmk_live_undo(&s->live, f->trail);
    nmk_memory_free(f->cells);
}

/* Could something better than the best be here? */
static bool is_promising(struct search *s)
{
    if (!s->has_best)
        return true;
    nmk_live_bound(&s->value, s->cells, &s->live);
    return nmk_value_compare(s->net, &s->value, s->cells, &s->best_value, s->best) < 0;
}

static void open_node(struct search *s)
{
    if (!nmk_work_step(s->work, NODE * (s->net->var_count + s->net->factor_count)) || !is_promising(s))
        return;
    struct nmk_net small;
    make_small(&small, s);
    if (!try_leaf(s, &small))
        push_frame(s, choose(s));
    nmk_net_clear(&small);
}

/* Goes on with the last frame: its next cell, the ones before taken away. */
static void go_on(struct search *s)
{
    struct frame *f = &s->frames[s->frame_count - 1];
    nmk_live_undo(&s->live, f->trail);
    if (f->next == f->count) {
        pop_frame(s);
        return;
    }
    uint32_t cell = f->cells[f->next++];
    if (nmk_live_keep(&s->live, f->var, cell, s->work))
        open_node(s);
}

/* TOO_WIDE if it is not done after `steps` steps. */
static enum nmk_eliminate_outcome branch(uint32_t *cells, const struct nmk_net *net, const uint32_t *order, uint64_t steps,
                                         struct nmk_work *work)
{
    struct search s = {.net = net, .work = work};
    s.until = steps < UINT64_MAX - work->steps ? work->steps + steps : UINT64_MAX;
    s.best = nmk_memory_new(net->var_count, sizeof *s.best);
    s.cells = nmk_memory_new(net->var_count, sizeof *s.cells);
    s.to_small = nmk_memory_new(net->var_count, sizeof *s.to_small);
    nmk_value_init(&s.value, net);
    nmk_value_init(&s.best_value, net);
    bool possible = nmk_live_init(&s.live, net, work);
    nmk_live_set_order(&s.live, order);
    if (possible)
        open_node(&s);
    while (s.frame_count && work->steps <= s.until && nmk_work_step(work, 1))
        go_on(&s);
    bool done = !s.frame_count;
    while (s.frame_count)
        pop_frame(&s);
    if (done && s.has_best)
        memcpy(cells, s.best, net->var_count * sizeof *cells);
    nmk_live_clear(&s.live);
    nmk_value_clear(&s.value);
    nmk_value_clear(&s.best_value);
    nmk_memory_free(s.best);
    nmk_memory_free(s.cells);
    nmk_memory_free(s.to_small);
    nmk_memory_free(s.frames);
    if (work->status != NMK_OK)
        return NMK_ELIMINATE_ENDED;
    if (!done)
        return NMK_ELIMINATE_TOO_WIDE;
    return s.has_best ? NMK_ELIMINATE_SOLVED : NMK_ELIMINATE_INFEASIBLE;
}

static struct nmk_order_size find_order(uint32_t *order, const struct nmk_net *net)
{
    struct nmk_order_size size = nmk_order_find(order, net, false);
    if (size.largest <= NARROW)
        return size;
    uint32_t *other = nmk_memory_new(net->var_count, sizeof *other);
    struct nmk_order_size by_fill = nmk_order_find(other, net, true);
    if (by_fill.largest < size.largest || (by_fill.largest == size.largest && by_fill.total < size.total)) {
        memcpy(order, other, net->var_count * sizeof *order);
        size = by_fill;
    }
    nmk_memory_free(other);
    return size;
}

/* A narrow net is eliminated at once. Of others some are so tight that the search is soon done; if it is not, and the
 * tables are bearable, they are eliminated after all. */
enum nmk_eliminate_outcome nmk_search(uint32_t *cells, const struct nmk_net *net, struct nmk_work *work)
{
    uint32_t *order = nmk_memory_new(net->var_count, sizeof *order);
    enum nmk_eliminate_outcome outcome = NMK_ELIMINATE_TOO_WIDE;
    struct nmk_order_size size = find_order(order, net);
    if (size.largest > NARROW)
        outcome = branch(cells, net, order, size.largest <= BEARABLE ? size.total / PATIENCE : UINT64_MAX, work);
    if (outcome == NMK_ELIMINATE_TOO_WIDE)
        outcome = nmk_eliminate(cells, net, order, MOST_ENTRIES, work);
    if (outcome == NMK_ELIMINATE_TOO_WIDE)
        outcome = branch(cells, net, order, UINT64_MAX, work);
    nmk_memory_free(order);
    return outcome;
}
