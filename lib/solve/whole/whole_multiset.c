#include "solve/whole/whole_multiset.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"

static size_t hash_node(const struct nmk_multiset_node *node)
{
    uint64_t h = 0;
    for (int k = 0; k < NMK_MULTISET_WAYS; k++)
        h = (h ^ node->way[k]) * UINT64_C(0x9E3779B97F4A7C15) + (h >> 29);
    return (size_t)(h ^ (h >> 32));
}

static void place(struct nmk_multiset_pool *p, uint32_t id)
{
    size_t at = hash_node(&p->nodes[id]) & (p->slot_count - 1);
    while (p->slots[at])
        at = (at + 1) & (p->slot_count - 1);
    p->slots[at] = id;
}

static void widen_slots(struct nmk_multiset_pool *p)
{
    nmk_memory_free(p->slots);
    p->slot_count *= 2;
    p->slots = nmk_memory_new(p->slot_count, sizeof *p->slots);
    for (uint32_t id = 1; id < p->count; id++)
        place(p, id);
}

/* The one number of this node. */
static uint32_t intern(struct nmk_multiset_pool *p, const struct nmk_multiset_node *node)
{
    size_t at = hash_node(node) & (p->slot_count - 1);
    for (; p->slots[at]; at = (at + 1) & (p->slot_count - 1))
        if (memcmp(&p->nodes[p->slots[at]], node, sizeof *node) == 0)
            return p->slots[at];
    assert(p->count < UINT32_MAX);
    void *nodes = p->nodes;
    nmk_memory_reserve(&nodes, &p->space, p->count + 1, sizeof *p->nodes);
    p->nodes = nodes;
    p->nodes[p->count] = *node;
    p->slots[at] = (uint32_t)p->count++;
    uint32_t id = p->slots[at];
    if (p->count * 2 > p->slot_count)
        widen_slots(p);
    return id;
}

void nmk_multiset_pool_init(struct nmk_multiset_pool *p, size_t ranks)
{
    *p = (struct nmk_multiset_pool){.count = 1, .slot_count = 16, .levels = 1};
    for (size_t reach = NMK_MULTISET_WAYS; reach < ranks; reach *= NMK_MULTISET_WAYS)
        p->levels++;
    void *nodes = NULL;
    nmk_memory_reserve(&nodes, &p->space, 1, sizeof *p->nodes);
    p->nodes = nodes;
    p->slots = nmk_memory_new(p->slot_count, sizeof *p->slots);
}

void nmk_multiset_pool_clear(struct nmk_multiset_pool *p)
{
    nmk_memory_free(p->nodes);
    nmk_memory_free(p->slots);
    memset(p, 0, sizeof *p);
}

uint32_t nmk_multiset_single(struct nmk_multiset_pool *p, size_t rank)
{
    uint32_t id = 1; /* at level 0: the count */
    for (unsigned level = 0; level < p->levels; level++) {
        struct nmk_multiset_node node = {{0}};
        node.way[rank % NMK_MULTISET_WAYS] = id;
        id = intern(p, &node);
        rank /= NMK_MULTISET_WAYS;
    }
    return id;
}

static uint32_t add_at(struct nmk_multiset_pool *p, uint32_t a, uint32_t b, unsigned level)
{
    if (!a || !b)
        return a ? a : b;
    struct nmk_multiset_node sum;
    for (int k = 0; k < NMK_MULTISET_WAYS; k++) {
        uint32_t x = p->nodes[a].way[k], y = p->nodes[b].way[k];
        sum.way[k] = level ? add_at(p, x, y, level - 1) : x + y;
    }
    return intern(p, &sum);
}

uint32_t nmk_multiset_add(struct nmk_multiset_pool *p, uint32_t a, uint32_t b)
{
    return add_at(p, a, b, p->levels - 1);
}

int nmk_multiset_compare(const struct nmk_multiset_pool *p, uint32_t a, uint32_t b)
{
    if (a == b)
        return 0;
    for (unsigned level = p->levels - 1;; level--) {
        if (!a || !b)
            return a ? 1 : -1;
        int k = 0;
        while (p->nodes[a].way[k] == p->nodes[b].way[k])
            k++;
        a = p->nodes[a].way[k];
        b = p->nodes[b].way[k];
        if (!level)
            return a < b ? -1 : 1;
    }
}
