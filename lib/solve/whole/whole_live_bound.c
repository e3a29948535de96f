#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "solve/whole/whole_live.h"

/* ---- giving the tables an order ---- */

struct turn {
    uint32_t at, table;
};

static int compare_turns(const void *a, const void *b)
{
    const struct turn *x = a, *y = b;
    if (x->at != y->at)
        return x->at < y->at ? -1 : 1;
    return x->table < y->table ? -1 : x->table > y->table;
}

/* The places of its variables, the last to be eliminated first. */
static void sort_places(struct nmk_live_table *t, const uint32_t *at)
{
    for (uint32_t k = 0; k < t->arity; k++) {
        uint32_t to = k;
        for (; to > 0 && at[t->vars[t->sorted[to - 1]]] < at[t->vars[k]]; to--)
            t->sorted[to] = t->sorted[to - 1];
        t->sorted[to] = k;
    }
}

void nmk_live_set_order(struct nmk_live *l, const uint32_t *order)
{
    const struct nmk_net *net = l->net;
    uint32_t *at = nmk_memory_new(net->var_count, sizeof *at);
    uint32_t *sequence = nmk_arena_new(&l->arena, net->factor_count, sizeof *sequence);
    struct turn *turns = nmk_memory_new(net->factor_count, sizeof *turns);
    size_t cells = 0, rows = 0;
    for (uint32_t k = 0; k < net->var_count; k++) {
        at[order[k]] = k;
        cells += net->vars[k].cells;
    }
    for (uint32_t f = 0; f < net->factor_count; f++) {
        struct nmk_live_table *t = &l->tables[f];
        sort_places(t, at);
        turns[f] = (struct turn){t->arity ? at[t->vars[t->sorted[t->arity - 1]]] : UINT32_MAX, f};
        rows = t->row_count > rows ? t->row_count : rows;
    }
    qsort(turns, net->factor_count, sizeof *turns, compare_turns);
    for (size_t k = 0; k < net->factor_count; k++)
        sequence[k] = turns[k].table;
    nmk_memory_free(turns);
    nmk_memory_free(at);
    l->sequence = sequence;
    l->moved = nmk_arena_new(&l->arena, cells, sizeof *l->moved);
    l->least = nmk_arena_new(&l->arena, cells, sizeof *l->least);
    l->rest = nmk_arena_new(&l->arena, rows, sizeof *l->rest);
}

/* ---- the bound on costs ----
 *
 * The costs of a table's variables are moved into the table; the least of its combinations is owed in any case; what
 * the rest of a combination costs at least for a cell of one variable is moved out to that cell, then to the cells of
 * the next, and so on. Taken in the order of elimination, costs that cannot be avoided gather along the way. */

typedef unsigned __int128 natural;

/* rest[k]: of the k-th of `count` listed rows. The least of them. */
static natural set_rest(struct nmk_live *l, const struct nmk_live_table *t, uint32_t count)
{
    natural least = ~(natural)0;
    for (uint32_t k = 0; k < count; k++) {
        const uint32_t *row = t->rows + (size_t)l->listed[k] * t->arity;
        natural sum = 0;
        for (uint32_t q = 0; q < t->arity; q++)
            sum = sum + l->moved[row[q]];
        l->rest[k] = sum;
        least = sum < least ? sum : least;
    }
    return least;
}

/* Moves the least of what is left of the listed rows, less `owed`, for each cell of the variable at `place` out to it. */
static void move_out(struct nmk_live *l, const struct nmk_live_table *t, uint32_t count, uint32_t place, natural owed)
{
    size_t first = l->first[t->vars[place]];
    uint32_t cells = l->net->vars[t->vars[place]].cells;
    for (uint32_t c = 0; c < cells; c++)
        l->least[first + c] = ~(natural)0;
    for (uint32_t k = 0; k < count; k++) {
        size_t cell = t->rows[(size_t)l->listed[k] * t->arity + place];
        l->least[cell] = l->rest[k] < l->least[cell] ? l->rest[k] : l->least[cell];
    }
    for (uint32_t k = 0; k < count; k++)
        l->rest[k] = l->rest[k] - l->least[t->rows[(size_t)l->listed[k] * t->arity + place]];
    for (uint32_t c = 0; c < cells; c++)
        l->moved[first + c] = nmk_live_has(l, t->vars[place], c) ? l->least[first + c] - owed : 0;
}

/* What the table owes in any case. */
static natural move_through(struct nmk_live *l, const struct nmk_live_table *t)
{
    uint32_t count = nmk_live_list(l->listed, t);
    if (count < 2)
        return 0;
    natural owed = set_rest(l, t, count);
    for (uint32_t k = 0; k < t->arity; k++)
        move_out(l, t, count, t->sorted[k], k ? 0 : owed);
    return owed;
}

static void set_moved(struct nmk_live *l)
{
    const struct nmk_net *net = l->net;
    for (uint32_t v = 0; v < net->var_count; v++)
        for (uint32_t c = 0; c < net->vars[v].cells; c++) {
            const uint64_t *cost = net->vars[v].costs ? net->vars[v].costs + (size_t)c * net->limbs : NULL;
            natural n = 0;
            for (unsigned k = 0; cost && k < net->limbs; k++)
                n = (n << 64) + cost[k];
            l->moved[l->first[v] + c] = n;
        }
}

static natural least_moved(const struct nmk_live *l, uint32_t var)
{
    natural least = ~(natural)0;
    for (uint32_t c = 0; c < l->net->vars[var].cells; c++)
        if (nmk_live_has(l, var, c) && l->moved[l->first[var] + c] < least)
            least = l->moved[l->first[var] + c];
    return least;
}

static void bound_cost(uint64_t *cost, struct nmk_live *l)
{
    natural sum = 0;
    set_moved(l);
    for (size_t f = 0; f < l->net->factor_count; f++)
        if (l->tables[l->sequence[f]].arity > 1)
            sum = sum + move_through(l, &l->tables[l->sequence[f]]);
    for (uint32_t v = 0; v < l->net->var_count; v++)
        sum = sum + least_moved(l, v);
    for (unsigned k = l->net->limbs; k-- > 0; sum >>= 64)
        cost[k] = (uint64_t)sum;
}

/* Costs of more than two words: the cheapest cell of each variable. */
static void add_least_cost(uint64_t *sum, const struct nmk_live *l, uint32_t var)
{
    const struct nmk_net *net = l->net;
    const uint64_t *least = NULL;
    for (uint32_t c = 0; c < net->vars[var].cells && net->vars[var].costs; c++) {
        const uint64_t *cost = net->vars[var].costs + (size_t)c * net->limbs;
        if (nmk_live_has(l, var, c) && (!least || nmk_cost_compare(cost, least, net->limbs) < 0))
            least = cost;
    }
    if (least)
        nmk_cost_add(sum, least, net->limbs);
}

/* ---- the bound ---- */

static uint32_t first_cell(const struct nmk_live *l, uint32_t var)
{
    const struct nmk_net_var *v = &l->net->vars[var];
    uint32_t best = UINT32_MAX;
    for (uint32_t c = 0; c < v->cells; c++)
        if (nmk_live_has(l, var, c) && (best == UINT32_MAX || (v->ranks && v->ranks[c] < v->ranks[best])))
            best = c;
    return best;
}

static void look_for_best(struct nmk_live *l, struct nmk_live_table *t)
{
    const struct nmk_net *net = l->net;
    uint32_t count = nmk_live_list(l->listed, t);
    t->is_stale = false;
    t->best_unmet = 1;
    t->best_set = UINT32_MAX;
    for (uint32_t k = 0; k < count; k++) {
        uint32_t code = t->codes[l->listed[k]] - 1, unmet = code & 1, set = net->sets[code >> 1];
        t->best_unmet = unmet < t->best_unmet ? unmet : t->best_unmet;
        if (t->best_set == UINT32_MAX ||
            (t->best_set && set != t->best_set && nmk_multiset_compare(net->pool, set, t->best_set) < 0))
            t->best_set = set;
    }
}

void nmk_live_bound(struct nmk_value *value, uint32_t *cells, struct nmk_live *l)
{
    value->unmet = value->set = 0;
    memset(value->cost, 0, l->net->limbs * sizeof *value->cost);
    for (size_t f = 0; f < l->net->factor_count; f++) {
        if (l->tables[f].is_stale)
            look_for_best(l, &l->tables[f]);
        value->unmet += l->tables[f].best_unmet;
        value->set = nmk_multiset_add(l->net->pool, value->set, l->tables[f].best_set);
    }
    for (uint32_t v = 0; v < l->net->var_count; v++) {
        cells[v] = first_cell(l, v);
        if (l->net->limbs > 2)
            add_least_cost(value->cost, l, v);
    }
    if (l->net->limbs <= 2)
        bound_cost(value->cost, l);
}
