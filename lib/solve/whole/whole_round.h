/* whole_round.h -- a part solved over its cells as they are now. */
#ifndef LIB_SOLVE_WHOLE_ROUND_H
#define LIB_SOLVE_WHOLE_ROUND_H

#include "solve/whole/whole_part.h"
#include "solve/whole/whole_search.h"

/* The best cells, one of each unknown. Never TOO_WIDE. */
enum nmk_eliminate_outcome nmk_round_solve(uint32_t *cells, struct nmk_bench *bench, const struct nmk_part *part);
/* < 0: a promises more than b, > 0: less. One cell of each unknown: a allowed in the present case, b in the problem. */
int nmk_round_compare(struct nmk_bench *bench, const struct nmk_part *part, const struct nmk_cell *a,
                      const struct nmk_cell *b);

#endif
