/* mixture.h -- patterns in fractions: the smallest sum of sheets when a pattern may be cut a fraction of a time.
 *
 * (1) Columns a: how many pieces of each lot one sheet of a pattern gives. Wanted: amounts x >= 0, the smallest sum x,
 *     with sum x a >= the demands (Gilmore and Gomory 1961, "A linear programming approach to the cutting-stock
 *     problem"; from memory).
 * (2) Exact: the simplex method in rationals, with the inverse of the basis. The value, rounded up, bounds the sheets
 *     from below if the columns hold every pattern to which nothing can be added. */
#ifndef LIB_SOLVE_MIXTURE_H
#define LIB_SOLVE_MIXTURE_H

#include "nearmark/rat.h"
#include "solve/cutting/cutjob.h"

struct nmk_mixture {
    size_t rows, column_count, column_space;
    int32_t *columns; /* rows numbers each */
    size_t *basis;    /* of each row: a column, or column NMK_MIXTURE_SURPLUS + row */
    struct nmk_rat *amounts;  /* of the basis */
    struct nmk_rat *inverse;  /* rows x rows */
    struct nmk_rat *prices;   /* of the lots */
    struct nmk_rat *direction;
    int64_t *scaled; /* prices in 2^-24, rounded down */
};

#define NMK_MIXTURE_SURPLUS (SIZE_MAX / 2)
enum { NMK_MIXTURE_SCALE = 24 };

/* `singles`: how many of each lot fit a sheet alone, at least 1; these are the first columns. */
void nmk_mixture_init(struct nmk_mixture *mix, size_t rows, const int64_t *demands, const int32_t *singles);
void nmk_mixture_clear(struct nmk_mixture *mix);
void nmk_mixture_add(struct nmk_mixture *mix, const int32_t *counts);
/* To the optimum over the columns; goes on from where it is. False if the budget is used up first. */
bool nmk_mixture_solve(struct nmk_mixture *mix, struct nmk_cutjob *job);
/* The value rounded up. */
int64_t nmk_mixture_bound(const struct nmk_mixture *mix);
/* The amount of a row's basis, rounded down; 0 for surplus. */
int64_t nmk_mixture_whole(const struct nmk_mixture *mix, size_t row);

#endif
