/* whole_bounds.h -- what the demands alone leave of each unknown's interval. */
#ifndef LIB_SOLVE_WHOLE_BOUNDS_H
#define LIB_SOLVE_WHOLE_BOUNDS_H

#include "solve/whole/whole_model.h"

/* Room to work in; zeroed between two uses. */
struct nmk_bounds {
    size_t *items; /* a ring of demands; each stands in it once at most */
    size_t first, count, space;
    unsigned char *has;     /* of each demand */
    unsigned char *changes; /* of each unknown */
    size_t *changed;        /* the unknowns that have any */
    size_t changed_count;
};

void nmk_bounds_init(struct nmk_bounds *bounds, const struct nmk_whole_problem *problem);
void nmk_bounds_clear(struct nmk_bounds *bounds);

/* Moves low and high of the model inwards as far as what these demands must keep, taken one by one, allows, and again
 * where they share an unknown moved by them. False if nothing is left or the work has to end (work->status). No allowed
 * point is lost. */
bool nmk_bounds_tighten(struct nmk_bounds *bounds, struct nmk_model *model, const size_t *demands, size_t count,
                        struct nmk_work *work);

/* What demand i alone leaves of the interval of its term k, the others lying in [low[j], high[j]]. */
void nmk_bounds_of_term(int64_t *low_out, int64_t *high_out, const struct nmk_model *model, size_t demand, size_t term,
                        const int64_t *low, const int64_t *high);

#endif
