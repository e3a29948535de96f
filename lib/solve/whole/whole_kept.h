/* whole_kept.h -- whether given values keep a demand as well as can be. */
#ifndef LIB_SOLVE_WHOLE_KEPT_H
#define LIB_SOLVE_WHOLE_KEPT_H

#include "solve/whole/whole_model.h"

/* Met, and sure to be, so far as that is looked at. False, too, where words do not hold the numbers. values: of each
 * unknown. */
bool nmk_is_kept(const struct nmk_model *model, size_t demand, const int64_t *values);
bool nmk_is_remainder_kept(const struct nmk_whole_remainder *remainder, const int64_t *values);

#endif
