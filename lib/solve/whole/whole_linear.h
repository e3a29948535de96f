/* whole_linear.h -- can all bounds on some unknowns and on some sums of them be kept together, in rationals?
 *
 * The general simplex method with bounds (Dutertre and de Moura, A fast linear-arithmetic solver for DPLL(T), 2006):
 * each sum is a row, basic at first; Bland's rule, so that it ends. If the bounds cannot be kept together it says which
 * of them cannot: those of one row. */
#ifndef LIB_SOLVE_WHOLE_LINEAR_H
#define LIB_SOLVE_WHOLE_LINEAR_H

#include "solve/whole/whole_work.h"

struct nmk_linear_bounds {
    bool has_low, has_high;
    int64_t low, high;
};

/* Columns 0 .. columns - 1 are the unknowns; columns .. columns + rows - 1 the sums. */
struct nmk_linear {
    size_t columns, rows;
    int64_t *times; /* rows * columns */
    struct nmk_linear_bounds *bounds; /* columns + rows */
};

struct nmk_linear_conflict {
    size_t count;
    size_t *which; /* columns + rows places: unknowns and sums */
    bool *is_low;  /* is it the low bound that cannot be kept, or the high one? */
};

void nmk_linear_init(struct nmk_linear *linear, size_t columns, size_t rows);
void nmk_linear_clear(struct nmk_linear *linear);
/* True if it is possible, or if the work has to end; else *conflict (cleared by the caller) is set. */
bool nmk_linear_is_possible(struct nmk_linear_conflict *conflict, const struct nmk_linear *linear, struct nmk_work *work);
/* The same, starting from near[]: a number of each column. point[]: what it then finds, rounded to the nearest whole numbers;
 * they need not keep the bounds. False if it is not possible, or the work has to end. */
bool nmk_linear_point(int64_t *point, const struct nmk_linear *linear, const int64_t *near, struct nmk_work *work);
void nmk_linear_conflict_clear(struct nmk_linear_conflict *conflict);

#endif
