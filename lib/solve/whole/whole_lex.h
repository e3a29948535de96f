/* whole_lex.h -- the entries of one table in lexicographic order, without their lists.
 *
 * Each entry stands for a list of numbers, one at each of the keys that the table has taken in. Only comparisons between
 * entries of one table are ever needed, and for these it is enough to know, in sorted order, the first key at which
 * neighbours differ: the first key at which any two differ is the smallest on the way from one to the other. When tables
 * over different keys are added, the sums differ first at the smallest of their first keys. So a list of any length costs
 * two words, and a comparison does not depend on the length. */
#ifndef LIB_SOLVE_WHOLE_LEX_H
#define LIB_SOLVE_WHOLE_LEX_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

#define NMK_LEX_SAME UINT32_MAX

struct nmk_lex {
    size_t count;
    const uint32_t *rank;   /* place of an entry in sorted order */
    const uint32_t *first;  /* first[r]: first key at which the entries at places r - 1 and r differ */
    const uint32_t *blocks; /* blocks[l * block_count + b]: the smallest of 2^l blocks of `first` from block b on */
    size_t block_count;
};

/* Two sums: where they differ first, and which is the smaller (< 0: the first). */
struct nmk_lex_difference {
    uint32_t key; /* NMK_LEX_SAME: nowhere */
    int sign;
};

/* Compares entries a and b of a table that is being made. */
typedef struct nmk_lex_difference (*nmk_lex_compare)(const void *context, uint32_t a, uint32_t b);

void nmk_lex_build(struct nmk_lex *out, struct nmk_arena *arena, size_t count, nmk_lex_compare compare,
                   const void *context);
struct nmk_lex_difference nmk_lex_differ(const struct nmk_lex *lex, uint32_t a, uint32_t b);

#endif
