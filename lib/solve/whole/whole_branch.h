/* whole_branch.h -- a part whose demands can all be met wholly, solved by branching on demands that are not yet met.
 *
 * Every unknown stands at its cheapest number in an interval (whole_stand). If a demand is not met so, one of its unknowns
 * has to move on the way that helps: each case keeps the unknowns of the cases before it from doing so. Intervals are
 * tightened after each step, and a case is left when what it costs at least is no better than the best so far. Most
 * parts need a handful of cases, where tables would be made of thousands of combinations. */
#ifndef LIB_SOLVE_WHOLE_BRANCH_H
#define LIB_SOLVE_WHOLE_BRANCH_H

#include "solve/whole/whole_part.h"

enum nmk_branch_outcome {
    NMK_BRANCH_SOLVED,     /* every demand met, every grade 1: nothing is better. Where any will do: allowed values */
    NMK_BRANCH_IMPOSSIBLE, /* no values are allowed */
    NMK_BRANCH_UNSUITED    /* nothing is known: it is none for this way, not every demand can be sure, or it takes long */
};

/* Sets values[] of the part's unknowns if it is solved. Leaves the bench's bounds as they are. */
enum nmk_branch_outcome nmk_branch_solve(int64_t *values, struct nmk_bench *bench, const struct nmk_part *part);

#endif
