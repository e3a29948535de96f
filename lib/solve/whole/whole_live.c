#include "solve/whole/whole_live.h"

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

/* ---- taking cells away ---- */

static void enqueue(struct nmk_live *l, struct nmk_live_use use)
{
    struct nmk_live_table *t = &l->tables[use.table];
    if (!t->changed)
        l->queue[l->queue_count++] = use.table;
    t->changed |= nmk_live_bit(use.place);
}

/* but: the table that tells it, whose rows are as they should be; UINT32_MAX: none. */
static void take_cell(struct nmk_live *l, uint32_t var, uint32_t cell, uint32_t but)
{
    l->is_live[l->first[var] + cell] = false;
    l->live_count[var]--;
    note(l, (struct nmk_live_change){UINT32_MAX, cell, var});
    for (size_t u = l->use_first[var]; u < l->use_first[var + 1]; u++)
        if (l->uses[u].table != but)
            enqueue(l, l->uses[u]);
}

/* Leaves the rows in `kept`. True if that takes any away. */
static bool keep_rows(struct nmk_live *l, uint32_t table)
{
    struct nmk_live_table *t = &l->tables[table];
    bool any = false;
    for (uint32_t k = t->index_count; k-- > 0;) {
        uint32_t w = t->index[k];
        uint64_t old = t->now[w], now = old & l->kept[w];
        if (now == old)
            continue;
        any = true;
        note(l, (struct nmk_live_change){table, w, old});
        t->now[w] = now;
        if (now)
            continue;
        t->index[k] = t->index[--t->index_count];
        t->index[t->index_count] = w;
    }
    return any;
}

/* The rows of the live cells of a place into `kept`. */
static void unite(struct nmk_live *l, const struct nmk_live_table *t, uint32_t place)
{
    uint32_t var = t->vars[place];
    for (uint32_t k = 0; k < t->index_count; k++)
        l->kept[t->index[k]] = 0;
    for (uint32_t c = 0; c < l->net->vars[var].cells; c++) {
        if (!nmk_live_has(l, var, c))
            continue;
        const struct nmk_live_run *r = &t->runs[place][c];
        for (uint32_t k = 0; k < r->count; k++)
            l->kept[r->words[k]] |= r->masks[k];
    }
}

static bool has_row(const struct nmk_live_table *t, struct nmk_live_run *r)
{
    if (r->count && t->now[r->words[r->last]] & r->masks[r->last])
        return true;
    for (uint32_t k = 0; k < r->count; k++)
        if (t->now[r->words[k]] & r->masks[k]) {
            r->last = k;
            return true;
        }
    return false;
}

static void drop_unheld(struct nmk_live *l, uint32_t table, uint32_t place)
{
    const struct nmk_live_table *t = &l->tables[table];
    uint32_t var = t->vars[place];
    for (uint32_t c = 0; c < l->net->vars[var].cells; c++)
        if (nmk_live_has(l, var, c) && !has_row(t, &t->runs[place][c]))
            take_cell(l, var, c, table);
}

static bool revise(struct nmk_live *l, uint32_t table)
{
    struct nmk_live_table *t = &l->tables[table];
    uint64_t changed = t->changed;
    bool any = false;
    t->changed = 0;
    for (uint32_t k = 0; k < t->arity; k++)
        if (changed & nmk_live_bit(k)) {
            unite(l, t, k);
            any = keep_rows(l, table) || any;
        }
    if (!any)
        return true;
    t->is_stale = t->has_codes;
    for (uint32_t k = 0; k < t->arity && t->index_count; k++)
        if (changed != nmk_live_bit(k) || t->arity > 64) /* the only one that changed loses no more */
            drop_unheld(l, table, k);
    return t->index_count > 0;
}

/* A small table is soon looked at, and often spares others. */
static uint32_t take_smallest(struct nmk_live *l)
{
    size_t at = l->queue_count - 1;
    for (size_t k = 2; k <= l->queue_count && k <= FEW_QUEUED; k++)
        if (l->tables[l->queue[l->queue_count - k]].index_count < l->tables[l->queue[at]].index_count)
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
        if (possible)
            possible = nmk_work_step(work, l->tables[table].index_count + 1) && revise(l, table);
        l->tables[table].changed = possible ? l->tables[table].changed : 0;
    }
    return possible;
}

bool nmk_live_keep(struct nmk_live *l, uint32_t var, uint32_t cell, struct nmk_work *work)
{
    for (uint32_t c = 0; c < l->net->vars[var].cells; c++)
        if (c != cell && nmk_live_has(l, var, c))
            take_cell(l, var, c, UINT32_MAX);
    return settle(l, work);
}

uint32_t nmk_live_list(uint32_t *rows, const struct nmk_live_table *t)
{
    uint32_t count = 0;
    for (uint32_t w = 0; 64 * (uint64_t)w < t->row_count; w++)
        for (uint64_t left = t->now[w]; left; left &= left - 1)
            rows[count++] = 64 * w + (uint32_t)__builtin_ctzll(left);
    return count;
}

void nmk_live_undo(struct nmk_live *l, size_t count)
{
    while (l->trail_count > count) {
        struct nmk_live_change *c = &l->trail[--l->trail_count];
        if (c->table == UINT32_MAX) {
            l->is_live[l->first[c->old] + c->at] = true;
            l->live_count[c->old]++;
            continue;
        }
        struct nmk_live_table *t = &l->tables[c->table];
        t->index_count += !t->now[c->at]; /* the last that was put behind */
        t->now[c->at] = c->old;
        t->is_stale = t->has_codes;
    }
}

/* ---- making it ---- */

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
            l->uses[l->use_first[net->factors[f].vars[k] + 1]++] = (struct nmk_live_use){(uint32_t)f, k};
}

static void list_cells(struct nmk_live *l)
{
    const struct nmk_net *net = l->net;
    size_t cells = 0;
    l->first = nmk_memory_new(net->var_count, sizeof *l->first);
    l->live_count = nmk_memory_new(net->var_count, sizeof *l->live_count);
    for (size_t v = 0; v < net->var_count; cells += net->vars[v].cells, v++) {
        l->first[v] = cells;
        l->live_count[v] = net->vars[v].cells;
    }
    l->is_live = nmk_memory_new(cells, sizeof *l->is_live);
    memset(l->is_live, 1, cells * sizeof *l->is_live);
}

bool nmk_live_init(struct nmk_live *l, const struct nmk_net *net, struct nmk_work *work)
{
    *l = (struct nmk_live){.net = net};
    list_cells(l);
    l->tables = nmk_memory_new(net->factor_count, sizeof *l->tables);
    l->queue = nmk_memory_new(net->factor_count, sizeof *l->queue);
    list_uses(l);
    bool possible = true;
    uint32_t most = 0;
    for (uint32_t f = 0; f < net->factor_count; f++) {
        nmk_live_make_table(&l->tables[f], l, &net->factors[f]);
        possible = possible && l->tables[f].row_count;
        most = l->tables[f].row_count > most ? l->tables[f].row_count : most;
    }
    l->kept = nmk_arena_new(&l->arena, most / 64 + 1, sizeof *l->kept);
    l->listed = nmk_arena_new(&l->arena, most, sizeof *l->listed);
    for (uint32_t f = 0; f < net->factor_count; f++)
        for (uint32_t k = 0; k < l->tables[f].arity; k++)
            drop_unheld(l, f, k);
    return settle(l, work) && possible;
}

void nmk_live_clear(struct nmk_live *l)
{
    nmk_memory_free(l->tables);
    nmk_memory_free(l->first);
    nmk_memory_free(l->is_live);
    nmk_memory_free(l->live_count);
    nmk_memory_free(l->use_first);
    nmk_memory_free(l->uses);
    nmk_memory_free(l->queue);
    nmk_memory_free(l->trail);
    nmk_arena_clear(&l->arena);
}
