#include "solve/whole_live.h"

#include <string.h>

#include "base/memory.h"

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

static bool is_possible(const struct nmk_live *l, const struct nmk_live_table *t, const uint32_t *row)
{
    for (uint32_t k = 0; k < t->arity; k++)
        if (!nmk_live_has(l, t->vars[k], row[k]))
            return false;
    return true;
}

static void mark_support(struct nmk_live *l, const struct nmk_live_table *t, const uint32_t *row)
{
    for (uint32_t k = 0; k < t->arity; k++)
        l->support[l->first[t->vars[k]] + row[k]] = l->revision;
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
        if (!is_possible(l, t, row)) {
            t->order[k] = t->order[--t->count];
            t->order[t->count] = r;
            continue;
        }
        mark_support(l, t, row);
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

/* Revises until nothing changes; on failure the queue is emptied. */
static bool settle(struct nmk_live *l, struct nmk_work *work)
{
    bool possible = true;
    while (l->queue_count) {
        uint32_t table = l->queue[--l->queue_count];
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

/* ---- the bound ---- */

/* The cheapest cell's cost, part by part of the whole number: the costs are one number, so its least. */
static void add_least_cost(struct nmk_value *value, const struct nmk_live *l, uint32_t var)
{
    const struct nmk_net *net = l->net;
    const uint64_t *least = NULL;
    for (uint32_t c = 0; c < net->vars[var].cells && net->vars[var].costs; c++) {
        const uint64_t *cost = net->vars[var].costs + (size_t)c * net->limbs;
        if (nmk_live_has(l, var, c) && (!least || nmk_cost_compare(cost, least, net->limbs) < 0))
            least = cost;
    }
    if (least)
        nmk_cost_add(value->cost, least, net->limbs);
}

static uint32_t first_cell(const struct nmk_live *l, uint32_t var)
{
    const struct nmk_net_var *v = &l->net->vars[var];
    uint32_t best = UINT32_MAX;
    for (uint32_t c = 0; c < v->cells; c++)
        if (nmk_live_has(l, var, c) && (best == UINT32_MAX || (v->ranks && v->ranks[c] < v->ranks[best])))
            best = c;
    return best;
}

void nmk_live_bound(struct nmk_value *value, uint32_t *cells, const struct nmk_live *l)
{
    value->unmet = value->set = 0;
    memset(value->cost, 0, l->net->limbs * sizeof *value->cost);
    for (size_t f = 0; f < l->net->factor_count; f++) {
        value->unmet += l->tables[f].best_unmet;
        value->set = nmk_multiset_add(l->net->pool, value->set, l->tables[f].best_set);
    }
    for (uint32_t v = 0; v < l->net->var_count; v++) {
        add_least_cost(value, l, v);
        cells[v] = first_cell(l, v);
    }
}

/* ---- making it ---- */

static void advance(const struct nmk_net *net, const struct nmk_net_factor *f, uint32_t *row)
{
    for (uint32_t k = f->count; k-- > 0;) {
        if (++row[k] < net->vars[f->vars[k]].cells)
            return;
        row[k] = 0;
    }
}

static void make_table(struct nmk_live *l, struct nmk_live_table *t, const struct nmk_net_factor *f)
{
    uint64_t size = nmk_net_size(l->net, f->vars, f->count);
    size_t allowed = 0;
    for (uint64_t at = 0; at < size; at++)
        allowed += f->codes[at] != 0;
    *t = (struct nmk_live_table){.arity = f->count, .vars = f->vars, .count = (uint32_t)allowed, .is_queued = true};
    t->rows = nmk_arena_new(&l->arena, allowed * f->count, sizeof *t->rows);
    t->codes = nmk_arena_new(&l->arena, allowed, sizeof *t->codes);
    t->order = nmk_arena_new(&l->arena, allowed, sizeof *t->order);
    uint32_t *row = nmk_arena_new(&l->arena, f->count, sizeof *row);
    for (uint64_t at = 0, r = 0; at < size; at++, advance(l->net, f, row)) {
        if (!f->codes[at])
            continue;
        memcpy(t->rows + r * f->count, row, f->count * sizeof *row);
        t->codes[r] = f->codes[at];
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
