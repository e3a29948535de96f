/* whole_alone.h -- the best number for an unknown that no demand is asked of. */
#ifndef LIB_SOLVE_WHOLE_ALONE_H
#define LIB_SOLVE_WHOLE_ALONE_H

#include "solve/whole/whole_part.h"

/* True if *out is proved to be the best; else it is some number of the unknown's interval. */
bool nmk_alone_best(int64_t *out, const struct nmk_bench *bench, size_t unknown);

#endif
