/* whole_order.h -- in which order variables are taken out of a net. */
#ifndef LIB_SOLVE_WHOLE_ORDER_H
#define LIB_SOLVE_WHOLE_ORDER_H

#include "solve/whole/whole_net.h"

/* About how many combinations elimination visits at most: in all, and for one variable. UINT64_MAX: too many. */
struct nmk_order_size {
    uint64_t total, largest;
};

/* order: var_count places. Always next the variable whose table, with all its neighbours of then, is the smallest
 * (sizes compared by sums of rounded logarithms; of equals the first), so that a tree is taken in from its leaves.
 * by_fill: the one first that joins the fewest neighbours that had no table in common: dearer, often better for nets
 * that are no trees.
 * The codes of the factors are not looked at. */
struct nmk_order_size nmk_order_find(uint32_t *order, const struct nmk_net *net, bool by_fill);

#endif
