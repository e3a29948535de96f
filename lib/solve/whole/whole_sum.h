/* whole_sum.h -- what a term, or several terms together, add to a demand for each cell of a variable. */
#ifndef LIB_SOLVE_WHOLE_SUM_H
#define LIB_SOLVE_WHOLE_SUM_H

#include "solve/whole/whole_part.h"

/* An end of an interval of sums is within +-NMK_MODEL_FAR, or open: +-NMK_SUM_OPEN. */
#define NMK_SUM_OPEN ((int64_t)1 << 61)

struct nmk_sum {
    int64_t low, high;
    int64_t like, unit; /* every n of it = like (mod unit); unit 0: it is one number */
    bool far_low, far_high; /* is this end the one away from a goal? */
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
/* Of a remainder: what is left of times * x; every number if that is not the same for all of a wide cell. */
void nmk_side_set_remainder(struct nmk_side *side, int64_t times, int64_t modulus, const struct nmk_cells *cells);
void nmk_side_clear(struct nmk_side *side);

static inline struct nmk_sum nmk_sum_single(int64_t n)
{
    return (struct nmk_sum){.low = n, .high = n, .like = n};
}

static inline int64_t nmk_sum_clamp(int64_t n)
{
    return n > NMK_MODEL_FAR ? NMK_SUM_OPEN : n < -NMK_MODEL_FAR ? -NMK_SUM_OPEN : n;
}

/* gcd(a, b); 0 counts as all numbers at once. */
static inline int64_t nmk_sum_gcd(int64_t a, int64_t b)
{
    while (b && a != b) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* `like` is left as it comes out, not brought into [0, unit). */
static inline struct nmk_sum nmk_sum_add(struct nmk_sum a, struct nmk_sum b)
{
    return (struct nmk_sum){nmk_sum_clamp(a.low + b.low), nmk_sum_clamp(a.high + b.high), a.like + b.like,
                            a.unit && b.unit ? nmk_sum_gcd(a.unit, b.unit) : a.unit + b.unit,
                            a.far_low || b.far_low, a.far_high || b.far_high};
}

/* How far apart its numbers are at least. */
static inline int64_t nmk_sum_unit(struct nmk_sum sum)
{
    return sum.unit ? sum.unit : 1;
}

/* The smallest n >= from, and the largest n <= from, with n = like (mod unit). */
static inline int64_t nmk_sum_round_up(int64_t from, int64_t like, int64_t unit)
{
    int64_t rest = unit == 1 ? 0 : (like - from) % unit;
    return from + (rest < 0 ? rest + unit : rest);
}

static inline int64_t nmk_sum_round_down(int64_t from, int64_t like, int64_t unit)
{
    int64_t rest = unit == 1 ? 0 : (from - like) % unit;
    return from - (rest < 0 ? rest + unit : rest);
}

/* The n of a demand that a combination of cells can give, and that are allowed; of these, if any meets the demand, only
 * those that do: unmet is worse whatever the grade. False if there is none. */
struct nmk_sum_window {
    struct nmk_sum n;
    bool met;
};
bool nmk_sum_window_set(struct nmk_sum_window *window, const struct nmk_model_demand *demand, struct nmk_sum sum);

#endif
