/* whole_hull.h -- what the hard demands of a part leave of its unknowns if they need not be whole.
 *
 * Tightening bounds one demand at a time never ends where unknowns are open above and only several demands together
 * limit them (a - b at most 1, b - c at most 1, a - c at least 3). A linear programme over the rationals decides that. */
#ifndef LIB_SOLVE_WHOLE_HULL_H
#define LIB_SOLVE_WHOLE_HULL_H

#include "solve/whole_part.h"

enum nmk_hull_outcome {
    NMK_HULL_EMPTY,  /* the demands cannot be met, not even by fractions */
    NMK_HULL_TIGHTER, /* some open unknown of the model has a bound now */
    NMK_HULL_SAME
};

/* Moves model->high of open unknowns to what can be reached. A part too large to be looked at stays the same. */
enum nmk_hull_outcome nmk_hull_bound(struct nmk_bench *bench, const struct nmk_part *part);

#endif
