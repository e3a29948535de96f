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

static uint64_t bit_of(uint32_t n)
{
    return (uint64_t)1 << n % 64;
}

/* ---- taking cells away ---- */

static void enqueue(struct nmk_live *l, struct nmk_live_use use)
{
    struct nmk_live_table *t = &l->tables[use.table];
    if (!t->changed)
        l->queue[l->queue_count++] = use.table;
    t->changed |= bit_of(use.place);
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
        if (changed & bit_of(k)) {
            unite(l, t, k);
            any = keep_rows(l, table) || any;
        }
    if (!any)
        return true;
    t->is_stale = t->has_codes;
    for (uint32_t k = 0; k < t->arity && t->index_count; k++)
        if (changed != bit_of(k) || t->arity > 64) /* the only one that changed loses no more */
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
        if (t->best_set == UINT32_MAX || (t->best_set && set != t->best_set && nmk_multiset_compare(net->pool, set, t->best_set) < 0))
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

/* ---- making it ---- */

/* The variables of a factor that are run through: of a map the first two, the third follows. */
static uint32_t free_vars(const struct nmk_net_factor *f)
{
    return f->map ? 2 : f->count;
}

/* Its rows one after the other: all cells of the last variable that is run through, after these of the others. */
struct walk {
    const uint32_t *table;
    uint64_t at, size;
    uint32_t outer, width;
    uint32_t *row;
};

static struct walk walk_of(const struct nmk_net *net, const struct nmk_net_factor *f, uint32_t *row)
{
    struct walk w = {.table = f->map ? f->map : f->codes, .size = nmk_net_size(net, f->vars, free_vars(f)), .row = row};
    w.outer = free_vars(f) ? free_vars(f) - 1 : 0;
    w.width = free_vars(f) ? net->vars[f->vars[w.outer]].cells : 1;
    return w;
}

static void advance(struct walk *w, const struct nmk_net *net, const struct nmk_net_factor *f)
{
    w->at += w->width;
    for (uint32_t k = w->outer; k-- > 0;) {
        if (++w->row[k] < net->vars[f->vars[k]].cells)
            return;
        w->row[k] = 0;
    }
}

static void count_rows(struct nmk_live_table *t, const struct nmk_net_factor *f, uint64_t size)
{
    const uint32_t *table = f->map ? f->map : f->codes;
    for (uint64_t at = 0; at < size; at++)
        t->row_count += table[at] != 0;
    for (uint64_t at = 0; f->map && at < size; at++)
        if (f->map[at])
            t->runs[2][f->map[at] - 1].count++;
}

/* Room for all words that the rows of each cell can stand in. */
static void make_runs(struct nmk_live *l, struct nmk_live_table *t, const struct nmk_net_factor *f, uint64_t size)
{
    uint64_t words = (t->row_count + 63) / 64;
    size_t total = 0;
    for (uint32_t k = 0; k < t->arity; k++)
        for (uint32_t c = 0, cells = l->net->vars[t->vars[k]].cells; c < cells; c++) {
            uint32_t *count = &t->runs[k][c].count;
            uint64_t rows = k < free_vars(f) ? size / cells : *count;
            *count = (uint32_t)(rows < words ? rows : words);
            total += *count;
        }
    uint32_t *all_words = nmk_arena_new(&l->arena, total, sizeof *all_words);
    uint64_t *all_masks = nmk_arena_new(&l->arena, total, sizeof *all_masks);
    for (uint32_t k = 0; k < t->arity; k++)
        for (uint32_t c = 0; c < l->net->vars[t->vars[k]].cells; c++) {
            uint32_t room = t->runs[k][c].count;
            t->runs[k][c] = (struct nmk_live_run){.words = all_words, .masks = all_masks};
            all_words += room;
            all_masks += room;
        }
}

static void add_to_run(struct nmk_live_run *r, uint32_t n)
{
    if (!r->count || r->words[r->count - 1] != n / 64)
        r->words[r->count++] = n / 64;
    r->masks[r->count - 1] |= bit_of(n);
}

static void add_row(struct nmk_live *l, struct nmk_live_table *t, uint32_t n, const uint32_t *row, uint32_t code)
{
    uint32_t *cells = t->rows + (size_t)n * t->arity;
    for (uint32_t k = 0; k < t->arity; k++) {
        cells[k] = (uint32_t)l->first[t->vars[k]] + row[k];
        add_to_run(&t->runs[k][row[k]], n);
    }
    t->codes[n] = code;
    t->has_codes = t->has_codes || code != t->codes[0];
    t->now[n / 64] |= bit_of(n);
}

static void list_rows(struct nmk_live *l, struct nmk_live_table *t, const struct nmk_net_factor *f)
{
    uint32_t n = 0, *row = nmk_memory_new(f->count, sizeof *row);
    for (struct walk w = walk_of(l->net, f, row); w.at < w.size; advance(&w, l->net, f))
        for (uint32_t c = 0; c < w.width; c++) {
            uint32_t found = w.table[w.at + c];
            if (!found)
                continue;
            if (t->arity)
                row[w.outer] = c;
            if (f->map)
                row[2] = found - 1;
            add_row(l, t, n++, row, f->map ? 1 : found);
        }
    nmk_memory_free(row);
}

static void make_table(struct nmk_live *l, struct nmk_live_table *t, const struct nmk_net_factor *f)
{
    uint64_t size = nmk_net_size(l->net, f->vars, free_vars(f));
    *t = (struct nmk_live_table){.arity = f->count, .vars = f->vars};
    t->runs = nmk_arena_new(&l->arena, f->count, sizeof *t->runs);
    t->sorted = nmk_arena_new(&l->arena, f->count, sizeof *t->sorted);
    for (uint32_t k = 0; k < f->count; k++)
        t->runs[k] = nmk_arena_new(&l->arena, l->net->vars[f->vars[k]].cells, sizeof *t->runs[k]);
    count_rows(t, f, size);
    make_runs(l, t, f, size);
    uint32_t words = (t->row_count + 63) / 64;
    t->rows = nmk_arena_new(&l->arena, (size_t)t->row_count * f->count, sizeof *t->rows);
    t->codes = nmk_arena_new(&l->arena, t->row_count, sizeof *t->codes);
    t->now = nmk_arena_new(&l->arena, words, sizeof *t->now);
    t->index = nmk_arena_new(&l->arena, words, sizeof *t->index);
    for (; t->index_count < words; t->index_count++)
        t->index[t->index_count] = t->index_count;
    list_rows(l, t, f);
    t->is_stale = t->row_count > 0;
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
        make_table(l, &l->tables[f], &net->factors[f]);
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
