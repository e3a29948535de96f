/* whole_net.h -- one part of the problem as variables with a few cells each and tables over them.
 *
 * A variable stands for an unknown or for a partial sum (an auxiliary: no cost, no place in the order). A factor gives
 * each combination of cells of its variables a code: 0, not allowed; else 1 + 2 * grade + (1 if unmet), the grade a
 * number of struct nmk_grades. Or it is a map of three variables: two give the third, and the code is 1. The best combination
 * is looked for in the order of the aims, costs packed into one natural number of `limbs` words (most significant first), so
 * that adding and comparing are those of numbers. */
#ifndef LIB_SOLVE_WHOLE_NET_H
#define LIB_SOLVE_WHOLE_NET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "solve/whole/whole_multiset.h"

#define NMK_NET_NO_KEY UINT32_MAX

struct nmk_net_var {
    uint32_t cells;
    uint32_t key;          /* the unknown, or NMK_NET_NO_KEY */
    const int64_t *ranks;  /* choices: of each cell; else NULL */
    const uint64_t *costs; /* cells * limbs; NULL: none */
};

struct nmk_net_factor {
    uint32_t count;
    uint32_t *vars;
    uint32_t *codes; /* the last variable runs fastest; NULL: */
    uint32_t *map;   /* of the first two, the second runs fastest: the cell + 1 of the third; 0: not allowed */
};

struct nmk_net {
    struct nmk_net_var *vars;
    struct nmk_net_factor *factors;
    size_t var_count, var_space, factor_count, factor_space;
    unsigned limbs;
    bool has_choices;
    bool any; /* of equals any will do */
    const uint32_t *sets; /* the multiset of each grade */
    struct nmk_multiset_pool *pool;
    struct nmk_arena arena; /* what the variables and factors point to */
};

uint32_t nmk_net_add_var(struct nmk_net *net, const struct nmk_net_var *var);
/* The codes are to be filled in by the caller; vars is copied. */
struct nmk_net_factor *nmk_net_add_factor(struct nmk_net *net, const uint32_t *vars, size_t count);
/* A map, to be filled in by the caller. */
struct nmk_net_factor *nmk_net_add_map(struct nmk_net *net, const uint32_t vars[3]);
/* The code of a combination: one cell of each of the net's variables. */
uint32_t nmk_net_code(const struct nmk_net *net, const struct nmk_net_factor *factor, const uint32_t *cells);
/* A factor of another net with the same cells; its codes are borrowed. */
void nmk_net_share_factor(struct nmk_net *net, const struct nmk_net_factor *factor);
/* The number of combinations of a factor, UINT64_MAX if there are more. */
uint64_t nmk_net_size(const struct nmk_net *net, const uint32_t *vars, size_t count);
void nmk_net_clear(struct nmk_net *net);

#endif
