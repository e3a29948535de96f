/* whole_model.h -- the problem in whole numbers.
 *
 * (1) Each demand is multiplied by a scale, so that scale * (v - constant) = n = sum c_k x_k (+ tables) with whole c_k.
 *     The constant is taken into the bounds, which then become whole too (least rounded up, most down): the constant
 *     may be any rational without making the numbers long.
 * (2) Where the c_k do not fit NMK_MODEL_COEFFICIENT, `is_scaled` is false and each c_k lies in [low, high] of its term,
 *     on a scale that is a power of two; bounds are rounded outwards. Tightening bounds is still right with such
 *     intervals; the tables of that demand are then worked out with rationals.
 * (3) Unknowns lie in [low, high]; high = NMK_MODEL_OPEN is open. Nothing is looked for beyond NMK_MODEL_FAR. */
#ifndef LIB_SOLVE_WHOLE_MODEL_H
#define LIB_SOLVE_WHOLE_MODEL_H

#include "solve/whole/whole_work.h"

#define NMK_MODEL_FAR ((int64_t)1 << 60)
#define NMK_MODEL_OPEN INT64_MAX
#define NMK_MODEL_COEFFICIENT ((int64_t)1 << 40)

struct nmk_model_term {
    size_t unknown;
    int64_t low, high;                 /* the coefficient; equal if the demand is scaled */
    int64_t *table_low, *table_high;   /* choices: one number an option, else NULL; borrowed from model.tables */
    int64_t least, most;               /* choices: over all options */
};

struct nmk_model_demand {
    size_t first, count; /* model.terms */
    bool is_scaled, is_hard;
    bool is_graded;        /* does its grade matter? */
    int64_t scale;         /* if scaled */
    int64_t unit;          /* if scaled: every n is a multiple of it, and so are the bounds that are not open */
    int64_t number_unit;   /* likewise what the numbers, without the choices, give */
    int64_t least, most;   /* of n; INT64_MIN, INT64_MAX if open, else within +-NMK_MODEL_FAR */
    int64_t must_least, must_most; /* no n outside is allowed: those of a hard demand, or narrower; open if soft */
    int64_t sure_least, sure_most; /* crossed: no n is known to be sure */
};

struct nmk_model {
    const struct nmk_whole_problem *problem;
    size_t term_count, table_size;
    struct nmk_model_term *terms;
    struct nmk_model_demand *demands;
    int64_t *tables;
    int64_t *low, *high;       /* bounds of the unknowns */
    size_t *use_first, *uses;  /* demands of unknown j: uses[use_first[j]] .. uses[use_first[j + 1] - 1] */
};

/* The problem must be valid (nmk_model_is_valid). */
void nmk_model_init(struct nmk_model *model, const struct nmk_whole_problem *problem);
void nmk_model_clear(struct nmk_model *model);
enum nmk_status nmk_model_is_valid(const struct nmk_whole_problem *problem);

#endif
