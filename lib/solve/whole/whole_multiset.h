/* whole_multiset.h -- multisets of small numbers (ranks of grades, 0 the weakest), each known by one number.
 *
 * A multiset is a trie of counts over the ranks, eight ways a level, every node stored once: equal multisets are the
 * same number, so comparing looks at one path only, and adding a few ranks to a long multiset costs a path. 0 is the
 * empty one. Order: the sorted lists compared from the weakest rank up, missing places counting as better than any
 * rank; so at the first rank whose counts differ the larger count is the worse. */
#ifndef LIB_SOLVE_WHOLE_MULTISET_H
#define LIB_SOLVE_WHOLE_MULTISET_H

#include <stddef.h>
#include <stdint.h>

enum { NMK_MULTISET_WAYS = 8 };

struct nmk_multiset_node {
    uint32_t way[NMK_MULTISET_WAYS]; /* counts at level 0, nodes above */
};

struct nmk_multiset_pool {
    struct nmk_multiset_node *nodes; /* nodes[0] is never used */
    size_t count, space;
    uint32_t *slots; /* a hash table of nodes, 0 is free */
    size_t slot_count;
    unsigned levels;
};

/* For ranks below `ranks`. */
void nmk_multiset_pool_init(struct nmk_multiset_pool *pool, size_t ranks);
void nmk_multiset_pool_clear(struct nmk_multiset_pool *pool);
uint32_t nmk_multiset_single(struct nmk_multiset_pool *pool, size_t rank);
uint32_t nmk_multiset_add(struct nmk_multiset_pool *pool, uint32_t a, uint32_t b);
/* < 0: a is better, 0: equal, > 0: b is better. */
int nmk_multiset_compare(const struct nmk_multiset_pool *pool, uint32_t a, uint32_t b);

#endif
