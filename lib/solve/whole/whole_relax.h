/* whole_relax.h -- demands are taken up only once the best values without them do not keep them.
 *
 * Leaving demands out makes nothing worse in any aim, so values that are the best under some of the demands, and keep
 * the others as well as can be, are the best under all: as the order of the aims is total, the very same. Few demands of
 * a large design are in each other's way, so that what has to be solved together stays small. */
#ifndef LIB_SOLVE_WHOLE_RELAX_H
#define LIB_SOLVE_WHOLE_RELAX_H

#include "solve/whole/whole_part.h"

/* values: one of each unknown of the bench's problem. False if there is no answer: infeasible if work.status is NMK_OK. */
bool nmk_relax_solve(int64_t *values, struct nmk_bench *bench);

#endif
