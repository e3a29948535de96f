/* whole_order.h -- in which order variables are taken out of a net. */
#ifndef LIB_SOLVE_WHOLE_ORDER_H
#define LIB_SOLVE_WHOLE_ORDER_H

#include "solve/whole_net.h"

/* order: var_count places. Always next the variable whose table, with all its neighbours of then, is the smallest
 * (sizes compared by sums of rounded logarithms; of equals the first), so that a tree is taken in from its leaves. */
void nmk_order_find(uint32_t *order, const struct nmk_net *net);

#endif
