/* whole_bounds.h -- what the demands alone leave of each unknown's interval. */
#ifndef LIB_SOLVE_WHOLE_BOUNDS_H
#define LIB_SOLVE_WHOLE_BOUNDS_H

#include "solve/whole_model.h"

/* Moves low and high of the model inwards as far as what these demands must keep, taken one by one, allows, and those
 * that share an unknown moved by them; demands NULL: the first `count`. False if nothing is left or the work has to end
 * (work->status). No allowed point is lost. */
bool nmk_bounds_tighten(struct nmk_model *model, const size_t *demands, size_t count, struct nmk_work *work);

/* What demand i alone leaves of the interval of its term k, the others lying in [low[j], high[j]]. */
void nmk_bounds_of_term(int64_t *low_out, int64_t *high_out, const struct nmk_model *model, size_t demand, size_t term,
                        const int64_t *low, const int64_t *high);

#endif
