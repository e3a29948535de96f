/* whole_sum.h -- what a term, or several terms together, add to a demand for each cell of a variable. */
#ifndef LIB_SOLVE_WHOLE_SUM_H
#define LIB_SOLVE_WHOLE_SUM_H

#include "solve/whole_part.h"

/* An end of an interval of sums is within +-NMK_MODEL_FAR, or open: +-NMK_SUM_OPEN. */
#define NMK_SUM_OPEN ((int64_t)1 << 61)

struct nmk_sum {
    int64_t low, high;
};

struct nmk_side {
    uint32_t var, cells;
    struct nmk_sum *sums; /* one a cell; NULL if the numbers are too long for words: */
    struct nmk_rat *exact_low, *exact_high;
    bool *open_low, *open_high;
};

/* The sides of a demand. In words if `share`, the largest number allowed a term, is not passed; false if it is. */
bool nmk_side_set(struct nmk_side *side, struct nmk_bench *bench, const struct nmk_model_term *term,
                  const struct nmk_cells *cells, int64_t share);
/* Exact, always possible; `times` or `table` as in the problem. */
void nmk_side_set_exact(struct nmk_side *side, const struct nmk_whole_term *term, const struct nmk_cells *cells);
/* Of a remainder: what is left of times * x; every number if the cell is wide. */
void nmk_side_set_remainder(struct nmk_side *side, int64_t times, int64_t modulus, const struct nmk_cells *cells);
void nmk_side_clear(struct nmk_side *side);

static inline int64_t nmk_sum_clamp(int64_t n)
{
    return n > NMK_MODEL_FAR ? NMK_SUM_OPEN : n < -NMK_MODEL_FAR ? -NMK_SUM_OPEN : n;
}

static inline struct nmk_sum nmk_sum_add(struct nmk_sum a, struct nmk_sum b)
{
    return (struct nmk_sum){nmk_sum_clamp(a.low + b.low), nmk_sum_clamp(a.high + b.high)};
}

#endif
