#include "solve/whole/whole_order.h"

#include <string.h>

#include "base/memory.h"

enum { MANY_NEAR = 64 }; /* with more neighbours new edges are not counted */

struct graph {
    size_t count;
    uint64_t *weight;   /* 64 log2 of own and neighbouring cells */
    uint32_t *size_log; /* 64 log2 of own cells */
    bool by_fill;       /* the fewest new edges first, then the least weight */
    uint64_t *fill;     /* pairs of neighbours that are none of each other; 0 without by_fill */
    uint32_t *stale, *stamp; /* variables whose fill is to be counted again */
    size_t stale_count;
    uint32_t stamp_now;
    bool *done;
    uint32_t **near;    /* neighbours, some perhaps done */
    size_t *near_count, *near_space;
    uint64_t *edges;    /* a hash table of pairs, 0 is free */
    size_t edge_count, edge_slots;
    uint32_t *heap, *place; /* place in the heap of each variable */
    size_t heap_count;
    const struct nmk_net *net;
    size_t *map_first, *maps; /* the maps of each variable */
    bool *map_used;
    uint64_t *wait; /* added to the weight: of an unknown that a map takes in, what the map gives */
};

/* 64 log2(n), rounded down, by squaring: the same on every machine. */
static uint32_t log_of(uint32_t n)
{
    unsigned whole = 31U - (unsigned)__builtin_clz(n);
    uint64_t x = (uint64_t)n << (31 - whole); /* in [2^31, 2^32) */
    uint32_t log = whole;
    for (int k = 0; k < 6; k++) {
        x = x * x >> 31;
        log *= 2;
        if (x >> 32) {
            log++;
            x >>= 1;
        }
    }
    return log;
}

/* ---- edges ---- */

static size_t hash_edge(uint64_t edge)
{
    edge *= UINT64_C(0x9E3779B97F4A7C15);
    return (size_t)(edge ^ (edge >> 32));
}

static bool add_to_slots(uint64_t *slots, size_t slot_count, uint64_t edge)
{
    size_t at = hash_edge(edge) & (slot_count - 1);
    for (; slots[at]; at = (at + 1) & (slot_count - 1))
        if (slots[at] == edge)
            return false;
    slots[at] = edge;
    return true;
}

static void widen_edges(struct graph *g)
{
    size_t slots = g->edge_slots ? 2 * g->edge_slots : 64;
    uint64_t *edges = nmk_memory_new(slots, sizeof *edges);
    for (size_t k = 0; k < g->edge_slots; k++)
        if (g->edges[k])
            add_to_slots(edges, slots, g->edges[k]);
    nmk_memory_free(g->edges);
    g->edges = edges;
    g->edge_slots = slots;
}

static void add_near(struct graph *g, uint32_t a, uint32_t b)
{
    void *near = g->near[a];
    nmk_memory_reserve(&near, &g->near_space[a], g->near_count[a] + 1, sizeof **g->near);
    g->near[a] = near;
    g->near[a][g->near_count[a]++] = b;
    g->weight[a] += g->size_log[b];
}

/* True if the two were not neighbours yet. */
static bool join(struct graph *g, uint32_t a, uint32_t b)
{
    if (a == b)
        return false;
    if (2 * (g->edge_count + 1) > g->edge_slots)
        widen_edges(g);
    uint64_t edge = a < b ? ((uint64_t)a << 32) + b : ((uint64_t)b << 32) + a;
    if (!add_to_slots(g->edges, g->edge_slots, edge))
        return false;
    g->edge_count++;
    add_near(g, a, b);
    add_near(g, b, a);
    return true;
}

/* ---- heap by (fill, weight, variable) ---- */

static bool is_before(const struct graph *g, uint32_t a, uint32_t b)
{
    if (g->fill[a] != g->fill[b])
        return g->fill[a] < g->fill[b];
    uint64_t weight_a = g->weight[a] + g->wait[a], weight_b = g->weight[b] + g->wait[b];
    return weight_a != weight_b ? weight_a < weight_b : a < b;
}

static void put(struct graph *g, size_t at, uint32_t var)
{
    g->heap[at] = var;
    g->place[var] = (uint32_t)at;
}

static void move_up(struct graph *g, size_t at)
{
    uint32_t var = g->heap[at];
    for (; at > 0 && is_before(g, var, g->heap[(at - 1) / 2]); at = (at - 1) / 2)
        put(g, at, g->heap[(at - 1) / 2]);
    put(g, at, var);
}

static void move_down(struct graph *g, size_t at)
{
    uint32_t var = g->heap[at];
    for (size_t child; (child = 2 * at + 1) < g->heap_count; at = child) {
        if (child + 1 < g->heap_count && is_before(g, g->heap[child + 1], g->heap[child]))
            child++;
        if (!is_before(g, g->heap[child], var))
            break;
        put(g, at, g->heap[child]);
    }
    put(g, at, var);
}

static void move(struct graph *g, uint32_t var)
{
    move_up(g, g->place[var]);
    move_down(g, g->place[var]);
}

static uint32_t take_first(struct graph *g)
{
    uint32_t var = g->heap[0];
    put(g, 0, g->heap[--g->heap_count]);
    move_down(g, 0);
    return var;
}

/* ---- maps ---- */

static void list_maps(struct graph *g)
{
    const struct nmk_net *net = g->net;
    g->map_first = nmk_memory_new(net->var_count + 2, sizeof *g->map_first);
    g->map_used = nmk_memory_new(net->factor_count, sizeof *g->map_used);
    for (size_t f = 0; f < net->factor_count; f++)
        for (size_t k = 0; k < 3 && net->factors[f].map; k++)
            g->map_first[net->factors[f].vars[k] + 2]++;
    for (size_t v = 2; v < net->var_count + 2; v++)
        g->map_first[v] += g->map_first[v - 1];
    g->maps = nmk_memory_new(g->map_first[net->var_count + 1], sizeof *g->maps);
    for (size_t f = 0; f < net->factor_count; f++)
        for (size_t k = 0; k < 3 && net->factors[f].map; k++)
            g->maps[g->map_first[net->factors[f].vars[k] + 1]++] = f;
}

/* The logarithm of the combinations of a variable and its neighbours: what a map gives follows from the others. */
static uint64_t log_of_bucket(const struct graph *g, uint32_t var)
{
    uint64_t log = g->weight[var];
    for (size_t k = g->map_first[var]; k < g->map_first[var + 1]; k++)
        if (!g->map_used[g->maps[k]])
            log -= g->size_log[g->net->factors[g->maps[k]].vars[2]];
    return log;
}

/* Taken out before the partial sum that it is added to, an unknown would leave a table of all pairs of sums. */
static void set_waits(struct graph *g, const struct nmk_net_factor *map, bool waits)
{
    for (size_t k = 0; k < 2; k++)
        if (g->net->vars[map->vars[k]].key != NMK_NET_NO_KEY)
            g->wait[map->vars[k]] += waits ? g->size_log[map->vars[2]] : 0 - (uint64_t)g->size_log[map->vars[2]];
}

static void use_maps(struct graph *g, uint32_t var)
{
    for (size_t k = g->map_first[var]; k < g->map_first[var + 1]; k++) {
        if (!g->map_used[g->maps[k]])
            set_waits(g, &g->net->factors[g->maps[k]], false);
        g->map_used[g->maps[k]] = true;
    }
}

/* ---- elimination ---- */

static void keep_what_stays(struct graph *g, uint32_t var)
{
    size_t kept = 0;
    for (size_t k = 0; k < g->near_count[var]; k++)
        if (!g->done[g->near[var][k]])
            g->near[var][kept++] = g->near[var][k];
    g->near_count[var] = kept;
}

static bool are_near(const struct graph *g, uint32_t a, uint32_t b)
{
    uint64_t edge = a < b ? ((uint64_t)a << 32) + b : ((uint64_t)b << 32) + a;
    size_t at = hash_edge(edge) & (g->edge_slots - 1);
    for (; g->edges[at]; at = (at + 1) & (g->edge_slots - 1))
        if (g->edges[at] == edge)
            return true;
    return false;
}

static void count_fill(struct graph *g, uint32_t var)
{
    keep_what_stays(g, var);
    size_t n = g->near_count[var];
    g->fill[var] = 0;
    if (n > MANY_NEAR) {
        g->fill[var] = n * n;
        return;
    }
    for (size_t k = 1; k < n; k++)
        for (size_t l = 0; l < k; l++)
            g->fill[var] += !are_near(g, g->near[var][k], g->near[var][l]);
}

static void note_stale(struct graph *g, uint32_t var)
{
    if (g->stamp[var] == g->stamp_now || g->done[var])
        return;
    g->stamp[var] = g->stamp_now;
    g->stale[g->stale_count++] = var;
}

/* Those next to the eliminated variable, and those next to them, may have another fill now. */
static void recount(struct graph *g, uint32_t var)
{
    g->stamp_now++;
    g->stale_count = 0;
    for (size_t k = 0; k < g->near_count[var]; k++) {
        uint32_t a = g->near[var][k];
        note_stale(g, a);
        for (size_t l = 0; l < g->near_count[a] && g->near_count[a] <= MANY_NEAR; l++)
            note_stale(g, g->near[a][l]);
    }
    for (size_t k = 0; k < g->stale_count; k++) {
        count_fill(g, g->stale[k]);
        move(g, g->stale[k]);
    }
}

static void eliminate(struct graph *g, uint32_t var)
{
    g->done[var] = true;
    use_maps(g, var);
    keep_what_stays(g, var);
    for (size_t k = 0; k < g->near_count[var]; k++) {
        uint32_t a = g->near[var][k];
        g->weight[a] -= g->size_log[var];
        for (size_t l = 0; l < k; l++)
            join(g, a, g->near[var][l]);
    }
    for (size_t k = 0; k < g->near_count[var]; k++)
        move(g, g->near[var][k]);
    if (g->by_fill)
        recount(g, var);
}

static void init(struct graph *g, const struct nmk_net *net)
{
    size_t n = net->var_count;
    *g = (struct graph){.count = n, .heap_count = n, .net = net};
    g->weight = nmk_memory_new(n, sizeof *g->weight);
    g->size_log = nmk_memory_new(n, sizeof *g->size_log);
    g->wait = nmk_memory_new(n, sizeof *g->wait);
    g->fill = nmk_memory_new(n, sizeof *g->fill);
    g->stale = nmk_memory_new(n, sizeof *g->stale);
    g->stamp = nmk_memory_new(n, sizeof *g->stamp);
    g->done = nmk_memory_new(n, sizeof *g->done);
    g->near = nmk_memory_new(n, sizeof *g->near);
    g->near_count = nmk_memory_new(n, sizeof *g->near_count);
    g->near_space = nmk_memory_new(n, sizeof *g->near_space);
    g->heap = nmk_memory_new(n, sizeof *g->heap);
    g->place = nmk_memory_new(n, sizeof *g->place);
    for (size_t v = 0; v < n; v++) {
        g->size_log[v] = log_of(net->vars[v].cells) + 1; /* + 1: of single cells the fewer neighbours first */
        g->weight[v] = g->size_log[v];
    }
    list_maps(g);
    for (size_t f = 0; f < net->factor_count; f++)
        if (net->factors[f].map)
            set_waits(g, &net->factors[f], true);
    for (size_t f = 0; f < net->factor_count; f++)
        for (size_t k = 0; k < net->factors[f].count; k++)
            for (size_t l = 0; l < k; l++)
                join(g, net->factors[f].vars[k], net->factors[f].vars[l]);
}

static void clear(struct graph *g)
{
    for (size_t v = 0; v < g->count; v++)
        nmk_memory_free(g->near[v]);
    nmk_memory_free(g->weight);
    nmk_memory_free(g->size_log);
    nmk_memory_free(g->fill);
    nmk_memory_free(g->stale);
    nmk_memory_free(g->stamp);
    nmk_memory_free(g->done);
    nmk_memory_free(g->near);
    nmk_memory_free(g->near_count);
    nmk_memory_free(g->near_space);
    nmk_memory_free(g->edges);
    nmk_memory_free(g->heap);
    nmk_memory_free(g->place);
    nmk_memory_free(g->map_first);
    nmk_memory_free(g->maps);
    nmk_memory_free(g->map_used);
    nmk_memory_free(g->wait);
}

/* 2^(log / 64), about. */
static uint64_t power_of(uint64_t log)
{
    return log / 64 < 57 ? (((uint64_t)64 + log % 64) << (log / 64)) / 64 : UINT64_MAX;
}

struct nmk_order_size nmk_order_find(uint32_t *order, const struct nmk_net *net, bool by_fill)
{
    struct graph g;
    struct nmk_order_size size = {0, 0};
    init(&g, net);
    g.by_fill = by_fill;
    for (size_t v = 0; v < g.count && by_fill && g.edge_count; v++)
        count_fill(&g, (uint32_t)v);
    for (size_t v = 0; v < g.count; v++) {
        put(&g, v, (uint32_t)v);
        move_up(&g, v);
    }
    for (size_t k = 0; k < g.count; k++) {
        order[k] = take_first(&g);
        uint64_t power = power_of(log_of_bucket(&g, order[k]));
        size.largest = power > size.largest ? power : size.largest;
        if (__builtin_add_overflow(size.total, power, &size.total))
            size.total = UINT64_MAX;
        eliminate(&g, order[k]);
    }
    clear(&g);
    return size;
}
