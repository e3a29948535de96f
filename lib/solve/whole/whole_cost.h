/* whole_cost.h -- aim 3 of each cell, its parts packed into one natural number. */
#ifndef LIB_SOLVE_WHOLE_COST_H
#define LIB_SOLVE_WHOLE_COST_H

#include "solve/whole/whole_part.h"

/* Sets net.limbs and the costs of the variables of the part (variable k is the part's unknown k). Each part has a field
 * wide enough for its sum over all unknowns, so that sums never run over; the distances are multiplied by a common
 * denominator. False (work->status NMK_INVALID) if the caller's function gives a part below 0. */
bool nmk_cost_pack(struct nmk_net *net, struct nmk_bench *bench, const struct nmk_part *part);

#endif
