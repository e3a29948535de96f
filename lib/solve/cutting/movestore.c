#include "solve/cutting/movestore.h"

#include <string.h>

#include "base/memory.h"
#include "solve/cutting/moves.h"

enum { FIRST_SLOTS = 64 };

void nmk_movestore_init(struct nmk_movestore *store, size_t words)
{
    *store = (struct nmk_movestore){.words = words, .slot_count = FIRST_SLOTS};
    store->slots = nmk_memory_new(store->slot_count, sizeof *store->slots);
}

void nmk_movestore_clear(struct nmk_movestore *store)
{
    nmk_memory_free(store->nodes);
    nmk_memory_free(store->bits);
    nmk_memory_free(store->slots);
    *store = (struct nmk_movestore){.words = 0};
}

const uint64_t *nmk_movestore_bits(const struct nmk_movestore *store, size_t node)
{
    return store->bits + node * store->words;
}

static size_t hash_of(const uint64_t *bits, size_t words)
{
    uint64_t hash = 0;
    for (size_t i = 0; i < words; i++) {
        hash = (hash ^ bits[i]) * UINT64_C(0x9E3779B97F4A7C15);
        hash ^= hash >> 29;
    }
    return (size_t)(hash >> 20 ^ hash);
}

static size_t slot_of(const struct nmk_movestore *s, const uint64_t *bits)
{
    size_t slot = hash_of(bits, s->words) & (s->slot_count - 1);
    while (s->slots[slot] && memcmp(nmk_movestore_bits(s, s->slots[slot] - 1), bits, s->words * sizeof *bits))
        slot = (slot + 1) & (s->slot_count - 1);
    return slot;
}

static void grow(struct nmk_movestore *s)
{
    nmk_memory_free(s->slots);
    s->slot_count *= 2;
    s->slots = nmk_memory_new(s->slot_count, sizeof *s->slots);
    for (size_t i = 0; i < s->count; i++)
        s->slots[slot_of(s, nmk_movestore_bits(s, i))] = i + 1;
}

static size_t add(struct nmk_movestore *s, const uint64_t *bits, const struct nmk_movenode *node)
{
    void *nodes = s->nodes, *all = s->bits;
    nmk_memory_reserve(&nodes, &s->node_space, s->count + 1, sizeof *s->nodes);
    s->nodes = nodes;
    nmk_memory_reserve(&all, &s->bit_space, (s->count + 1) * s->words, sizeof *s->bits);
    s->bits = all;
    s->nodes[s->count] = *node;
    if (s->words)
        memcpy(s->bits + s->count * s->words, bits, s->words * sizeof *bits);
    return s->count++;
}

size_t nmk_movestore_put(struct nmk_movestore *store, const uint64_t *bits, const struct nmk_movenode *node)
{
    if (2 * store->count >= store->slot_count)
        grow(store);
    size_t slot = slot_of(store, bits);
    if (!store->slots[slot]) {
        size_t new = add(store, bits, node);
        store->slots[slot] = new + 1;
        return new;
    }
    struct nmk_movenode *old = &store->nodes[store->slots[slot] - 1];
    if (old->moves <= node->moves)
        return NMK_MOVES_NONE;
    *old = *node;
    return store->slots[slot] - 1;
}
