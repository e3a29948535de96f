/* whole_best.h -- how well a demand can be met by itself.
 *
 * (1) If values meet every demand with the best grade that it can have by itself, no values have better grades, all taken
 *     together: then only the price is left to be looked at. */
#ifndef LIB_SOLVE_WHOLE_BEST_H
#define LIB_SOLVE_WHOLE_BEST_H

#include "solve/whole/whole_part.h"

/* The sums with which a demand, which must be scaled, is met with the best grade that there is within its bounds. INT64_MIN,
 * INT64_MAX: open; *least > *most: none are allowed. False if that is not known. */
bool nmk_best_window(int64_t *least, int64_t *most, struct nmk_bench *bench, size_t demand);

/* Puts hard bounds to that effect in place of the grades of a part's demands. *kept: what they were, to be put back and
 * freed by nmk_best_restore. False, and nothing is changed, if that is not known or there are no grades. */
bool nmk_best_narrow(struct nmk_model_demand **kept, struct nmk_bench *bench, const struct nmk_part *part);
void nmk_best_restore(struct nmk_model_demand *kept, struct nmk_bench *bench, const struct nmk_part *part);

#endif
