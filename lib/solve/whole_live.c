#include "solve/whole_live.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { FEW_QUEUED = 64 }; /* of more the smallest is not looked for */

static void note(struct nmk_live *l, struct nmk_live_change change)
{
    void *trail = l->trail;
    nmk_memory_reserve(&trail, &l->trail_space, l->trail_count + 1, sizeof *l->trail);
    l->trail = trail;
    l->trail[l->trail_count++] = change;
}

static void enqueue_uses(struct nmk_live *l, uint32_t var)
{
    for (size_t u = l->use_first[var]; u < l->use_first[var + 1]; u++) {
        struct nmk_live_table *t = &l->tables[l->uses[u]];
        if (!t->is_queued)
            l->queue[l->queue_count++] = l->uses[u];
        t->is_queued = true;
    }
}

static void take_cell(struct nmk_live *l, uint32_t var, uint32_t cell)
{
    l->is_live[l->first[var] + cell] = false;
    l->live_count[var]--;
    note(l, (struct nmk_live_change){UINT32_MAX, var, cell, 0});
    enqueue_uses(l, var);
}

/* ---- revising a table ---- */

static bool is_possible(const struct nmk_live *l, const uint32_t *row, uint32_t arity)
{
    for (uint32_t k = 0; k < arity; k++)
        if (!l->is_live[row[k]])
            return false;
    return true;
}

static void mark_support(struct nmk_live *l, const uint32_t *row, uint32_t arity)
{
    for (uint32_t k = 0; k < arity; k++)
        l->support[row[k]] = l->revision;
}

/* Moves what is no longer possible behind; the best of the rest. */
static void sift(struct nmk_live *l, struct nmk_live_table *t)
{
    const struct nmk_net *net = l->net;
    t->best_unmet = 1;
    t->best_set = UINT32_MAX;
    for (uint32_t k = 0; k < t->count;) {
        uint32_t r = t->order[k];
        const uint32_t *row = t->rows + (size_t)r * t->arity;
        if (!is_possible(l, row, t->arity)) {
            t->order[k] = t->order[--t->count];
            t->order[t->count] = r;
            continue;
        }
        mark_support(l, row, t->arity);
        uint32_t unmet = (t->codes[r] - 1) & 1, set = net->sets[(t->codes[r] - 1) >> 1];
        t->best_unmet = unmet < t->best_unmet ? unmet : t->best_unmet;
        if (t->best_set == UINT32_MAX || (t->best_set && set != t->best_set && nmk_multiset_compare(net->pool, set, t->best_set) < 0))
            t->best_set = set;
        k++;
    }
}

static void drop_unsupported(struct nmk_live *l, const struct nmk_live_table *t)
{
    for (uint32_t k = 0; k < t->arity; k++) {
        uint32_t var = t->vars[k];
        for (uint32_t c = 0; c < l->net->vars[var].cells; c++)
            if (nmk_live_has(l, var, c) && l->support[l->first[var] + c] != l->revision)
                take_cell(l, var, c);
    }
}

static bool revise(struct nmk_live *l, uint32_t table)
{
    struct nmk_live_table *t = &l->tables[table];
    struct nmk_live_change before = {table, t->count, t->best_unmet, t->best_set};
    l->revision++;
    sift(l, t);
    if (t->count != before.a || t->best_unmet != before.b || t->best_set != before.c)
        note(l, before);
    if (!t->count)
        return false;
    drop_unsupported(l, t);
    return true;
}

/* A small table is soon looked at, and often spares others. */
static uint32_t take_smallest(struct nmk_live *l)
{
    size_t at = l->queue_count - 1;
    for (size_t k = 2; k <= l->queue_count && k <= FEW_QUEUED; k++)
        if (l->tables[l->queue[l->queue_count - k]].count < l->tables[l->queue[at]].count)
            at = l->queue_count - k;
    uint32_t table = l->queue[at];
    l->queue[at] = l->queue[--l->queue_count];
    return table;
}

/* Revises until nothing changes; on failure the queue is emptied. */
static bool settle(struct nmk_live *l, struct nmk_work *work)
{
    bool possible = true;
    while (l->queue_count) {
        uint32_t table = take_smallest(l);
        l->tables[table].is_queued = false;
        if (possible)
            possible = nmk_work_step(work, l->tables[table].count / 8 + 1) && revise(l, table);
    }
    return possible;
}

bool nmk_live_keep(struct nmk_live *l, uint32_t var, uint32_t cell, struct nmk_work *work)
{
    for (uint32_t c = 0; c < l->net->vars[var].cells; c++)
        if (c != cell && nmk_live_has(l, var, c))
            take_cell(l, var, c);
    return settle(l, work);
}

bool nmk_live_drop(struct nmk_live *l, uint32_t var, uint32_t cell, struct nmk_work *work)
{
    take_cell(l, var, cell);
    return settle(l, work) && l->live_count[var];
}

void nmk_live_undo(struct nmk_live *l, size_t count)
{
    while (l->trail_count > count) {
        struct nmk_live_change *c = &l->trail[--l->trail_count];
        if (c->table == UINT32_MAX) {
            l->is_live[l->first[c->a] + c->b] = true;
            l->live_count[c->a]++;
            continue;
        }
        l->tables[c->table].count = c->a;
        l->tables[c->table].best_unmet = c->b;
        l->tables[c->table].best_set = c->c;
    }
}

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

void nmk_live_set_order(struct nmk_live *l, const uint32_t *order)
{
    const struct nmk_net *net = l->net;
    uint32_t *at = nmk_arena_new(&l->arena, net->var_count, sizeof *at);
    uint32_t *sequence = nmk_arena_new(&l->arena, net->factor_count, sizeof *sequence);
    struct turn *turns = nmk_memory_new(net->factor_count, sizeof *turns);
    size_t cells = 0;
    for (uint32_t k = 0; k < net->var_count; k++) {
        at[order[k]] = k;
        cells += net->vars[k].cells;
    }
    for (uint32_t f = 0; f < net->factor_count; f++) {
        turns[f] = (struct turn){UINT32_MAX, f};
        for (uint32_t k = 0; k < l->tables[f].arity; k++)
            turns[f].at = at[l->tables[f].vars[k]] < turns[f].at ? at[l->tables[f].vars[k]] : turns[f].at;
    }
    qsort(turns, net->factor_count, sizeof *turns, compare_turns);
    for (size_t k = 0; k < net->factor_count; k++)
        sequence[k] = turns[k].table;
    nmk_memory_free(turns);
    l->position = at;
    l->sequence = sequence;
    l->moved = nmk_arena_new(&l->arena, cells, sizeof *l->moved);
    l->least = nmk_arena_new(&l->arena, cells, sizeof *l->least);
}

/* ---- the bound on costs ----
 *
 * The costs of a table's variables are moved into the table; the least of its combinations is owed in any case; what
 * the rest of a combination costs at least for a cell of one variable is moved out to that cell, then to the cells of
 * the next, and so on. Taken in the order of elimination, costs that cannot be avoided gather along the way. */

typedef unsigned __int128 natural;

static natural cost_of_row(const struct nmk_live *l, const struct nmk_live_table *t, const uint32_t *row)
{
    natural sum = 0;
    for (uint32_t k = 0; k < t->arity; k++)
        sum = sum + l->moved[row[k]];
    return sum;
}

static natural least_row(const struct nmk_live *l, const struct nmk_live_table *t)
{
    natural least = ~(natural)0;
    for (uint32_t k = 0; k < t->count; k++) {
        natural cost = cost_of_row(l, t, t->rows + (size_t)t->order[k] * t->arity);
        least = cost < least ? cost : least;
    }
    return least;
}

/* The place, in the table, of the variable with this turn when they are sorted by elimination, the last first. */
static uint32_t place_at(const struct nmk_live *l, const struct nmk_live_table *t, uint32_t turn)
{
    for (uint32_t k = 0; k < t->arity; k++) {
        uint32_t later = 0;
        for (uint32_t q = 0; q < t->arity; q++)
            later += l->position[t->vars[q]] > l->position[t->vars[k]];
        if (later == turn)
            return k;
    }
    return 0;
}

/* rest[r]: what is left of row r. Moves the least for each cell of the variable at `place` out. */
static void move_out(struct nmk_live *l, const struct nmk_live_table *t, natural *rest, uint32_t place)
{
    size_t first = l->first[t->vars[place]];
    for (uint32_t c = 0; c < l->net->vars[t->vars[place]].cells; c++)
        l->least[first + c] = ~(natural)0;
    for (uint32_t k = 0; k < t->count; k++) {
        size_t cell = t->rows[(size_t)t->order[k] * t->arity + place];
        l->least[cell] = rest[k] < l->least[cell] ? rest[k] : l->least[cell];
    }
    for (uint32_t k = 0; k < t->count; k++)
        rest[k] = rest[k] - l->least[t->rows[(size_t)t->order[k] * t->arity + place]];
    for (uint32_t c = 0; c < l->net->vars[t->vars[place]].cells; c++)
        l->moved[first + c] = nmk_live_has(l, t->vars[place], c) ? l->least[first + c] : 0;
}

/* What the table owes in any case. */
static natural move_through(struct nmk_live *l, const struct nmk_live_table *t)
{
    natural owed = least_row(l, t);
    natural *rest = nmk_memory_new(t->count, sizeof *rest);
    for (uint32_t k = 0; k < t->count; k++)
        rest[k] = cost_of_row(l, t, t->rows + (size_t)t->order[k] * t->arity) - owed;
    for (uint32_t turn = 0; turn < t->arity; turn++)
        move_out(l, t, rest, place_at(l, t, turn));
    nmk_memory_free(rest);
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
        if (l->tables[l->sequence[f]].arity > 1 && l->tables[l->sequence[f]].count > 1)
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

void nmk_live_bound(struct nmk_value *value, uint32_t *cells, struct nmk_live *l)
{
    value->unmet = value->set = 0;
    memset(value->cost, 0, l->net->limbs * sizeof *value->cost);
    for (size_t f = 0; f < l->net->factor_count; f++) {
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

/* ---- making it ---- */

/* The variables of a factor that are run through: of a map the first two, the third follows. */
static uint32_t free_vars(const struct nmk_net_factor *f)
{
    return f->map ? 2 : f->count;
}

static void advance(const struct nmk_net *net, const struct nmk_net_factor *f, uint32_t *row)
{
    for (uint32_t k = free_vars(f); k-- > 0;) {
        if (++row[k] < net->vars[f->vars[k]].cells)
            return;
        row[k] = 0;
    }
}

static void make_table(struct nmk_live *l, struct nmk_live_table *t, const struct nmk_net_factor *f)
{
    const uint32_t *table = f->map ? f->map : f->codes;
    uint64_t size = nmk_net_size(l->net, f->vars, free_vars(f));
    size_t allowed = 0;
    for (uint64_t at = 0; at < size; at++)
        allowed += table[at] != 0;
    *t = (struct nmk_live_table){.arity = f->count, .vars = f->vars, .count = (uint32_t)allowed, .is_queued = true};
    t->rows = nmk_arena_new(&l->arena, allowed * f->count, sizeof *t->rows);
    t->codes = nmk_arena_new(&l->arena, allowed, sizeof *t->codes);
    t->order = nmk_arena_new(&l->arena, allowed, sizeof *t->order);
    uint32_t *row = nmk_arena_new(&l->arena, f->count, sizeof *row);
    for (uint64_t at = 0, r = 0; at < size; at++, advance(l->net, f, row)) {
        if (!table[at])
            continue;
        if (f->map)
            row[2] = f->map[at] - 1;
        for (uint32_t k = 0; k < f->count; k++)
            t->rows[r * f->count + k] = (uint32_t)l->first[f->vars[k]] + row[k];
        t->codes[r] = f->map ? 1 : f->codes[at];
        t->order[r] = (uint32_t)r;
        r++;
    }
}

static void list_uses(struct nmk_live *l)
{
    const struct nmk_net *net = l->net;
    size_t total = 0;
    l->use_first = nmk_memory_new(net->var_count + 2, sizeof *l->use_first);
    for (size_t f = 0; f < net->factor_count; f++)
        for (uint32_t k = 0; k < net->factors[f].count; k++, total++)
            l->use_first[net->factors[f].vars[k] + 2]++;
    for (size_t v = 2; v < net->var_count + 2; v++)
        l->use_first[v] += l->use_first[v - 1];
    l->uses = nmk_memory_new(total, sizeof *l->uses);
    for (size_t f = 0; f < net->factor_count; f++)
        for (uint32_t k = 0; k < net->factors[f].count; k++)
            l->uses[l->use_first[net->factors[f].vars[k] + 1]++] = (uint32_t)f;
}

bool nmk_live_init(struct nmk_live *l, const struct nmk_net *net, struct nmk_work *work)
{
    *l = (struct nmk_live){.net = net};
    size_t cells = 0;
    l->first = nmk_memory_new(net->var_count, sizeof *l->first);
    l->live_count = nmk_memory_new(net->var_count, sizeof *l->live_count);
    for (size_t v = 0; v < net->var_count; cells += net->vars[v].cells, v++) {
        l->first[v] = cells;
        l->live_count[v] = net->vars[v].cells;
    }
    l->is_live = nmk_memory_new(cells, sizeof *l->is_live);
    memset(l->is_live, 1, cells * sizeof *l->is_live);
    l->support = nmk_memory_new(cells, sizeof *l->support);
    l->tables = nmk_memory_new(net->factor_count, sizeof *l->tables);
    l->queue = nmk_memory_new(net->factor_count, sizeof *l->queue);
    list_uses(l);
    for (size_t f = 0; f < net->factor_count; f++) {
        make_table(l, &l->tables[f], &net->factors[f]);
        l->queue[l->queue_count++] = (uint32_t)f;
    }
    return settle(l, work);
}

void nmk_live_clear(struct nmk_live *l)
{
    nmk_memory_free(l->tables);
    nmk_memory_free(l->first);
    nmk_memory_free(l->is_live);
    nmk_memory_free(l->live_count);
    nmk_memory_free(l->support);
    nmk_memory_free(l->use_first);
    nmk_memory_free(l->uses);
    nmk_memory_free(l->queue);
    nmk_memory_free(l->trail);
    nmk_arena_clear(&l->arena);
}
