/* movestore.h -- sets of jobs that have been met, each once, with the fewest moves that lead to it and the last of them. */
#ifndef LIB_SOLVE_MOVESTORE_H
#define LIB_SOLVE_MOVESTORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct nmk_movenode {
    size_t parent; /* NMK_MOVES_NONE: the beginning */
    size_t setting, moves;
    bool taken;    /* by the search, at these moves */
};

struct nmk_movestore {
    size_t words, count, node_space, bit_space;
    struct nmk_movenode *nodes;
    uint64_t *bits;  /* `words` for each node */
    size_t *slots;   /* node + 1; a power of two of them */
    size_t slot_count;
};

void nmk_movestore_init(struct nmk_movestore *store, size_t words);
void nmk_movestore_clear(struct nmk_movestore *store);
const uint64_t *nmk_movestore_bits(const struct nmk_movestore *store, size_t node);
/* The node of the set, new or with fewer moves than before; NMK_MOVES_NONE: it was met with as few. */
size_t nmk_movestore_put(struct nmk_movestore *store, const uint64_t *bits, const struct nmk_movenode *node);

#endif
