/* carding.h -- the rule card as a problem in whole numbers, and what each demand then says over all sizes.
 *
 * (1) Unknowns: for each length its constant k (plus marks), or its choice; the strips of `even whole` and the odd marks of
 *     rows; for each measure a way of reading x and for each group of lengths with the same multiples, not all whole, a way of
 *     rounding y. x, y = -1, 0, 1: rounded up, to the nearest, down for x (the true size lies half a step below, at, above the
 *     reading in the middle), and down, to the nearest, up for y.
 * (2) At true sizes s a demand's clearance is nominal(s) = v + sum A_m s_m, where A_m is what the lengths' multiples (of
 *     which the readings are s less their errors) and the demand's own measures leave of s_m. Over the ranges it lies in
 *     [v + lowest, v + lowest + spread]. A reading error counts as often as the lengths take the reading.
 * (3) So the demand is met for all sizes if and only if low - lowest <= v <= high - lowest - spread, and its chance is the
 *     smaller one at the two ends, since a chance falls to both sides of its best nominal. */
#ifndef LIB_SETTLE_CARDING_H
#define LIB_SETTLE_CARDING_H

#include "settle/marking.h"
#include "settle/multiples.h"

struct nmk_card_demand {
    bool chart_only;
    struct nmk_affine sizes;       /* A, over the indices of measures */
    struct nmk_affine readings;    /* how often the lengths take each reading */
    struct nmk_affine named;       /* measures that stand in it at all, with any times */
    struct nmk_rat lowest, spread; /* mm */
};

struct nmk_carding {
    const struct nmk_draft *draft;
    const struct nmk_design *design;
    const struct nmk_settle_options *options;
    const struct nmk_clearances *clearances;
    struct nmk_marking *marking;
    struct nmk_rat reading_step;
    size_t length_count, measure_count, demand_count; /* of the design */
    bool *chart_only;               /* by length */
    struct nmk_affine *multiples;   /* by length: fractions, over the indices of measures */
    size_t *groups, group_count;    /* by length: 0, or 1 + the group it is rounded with */
    size_t first_reading, first_rounding; /* where those unknowns begin */
    struct nmk_card_demand *cards;  /* by demand of the marking's problem */
    struct nmk_rat *offs;           /* by measure: its own +-; 0 of one that is read, which is true as it is */
    struct nmk_widths *losses;      /* by demand of the design: errors of reading and rounding */
    struct nmk_sizes *rounded;
    struct nmk_judge *judge;
    struct nmk_whole_problem problem; /* all demands that are not chart only, graded */
    struct nmk_whole_unknown *unknowns;
    struct nmk_whole_demand *demands;
    struct nmk_whole_remainder *remainders;
    size_t *origin;                 /* by demand of `problem`: the marking's */
    size_t stated;                  /* how many of them are the design's */
};

enum nmk_status nmk_carding_new(struct nmk_carding **out, const struct nmk_draft *draft,
                                const struct nmk_clearances *clearances, const struct nmk_settle_options *options,
                                struct nmk_diagnostics *list);
void nmk_carding_free(struct nmk_carding *carding);

/* v of a demand of `problem` (3). */
void nmk_carding_value(struct nmk_rat *out, const struct nmk_carding *carding, size_t i, const int64_t *values);

/* sum A_m s_m over sizes in the ranges: the smallest, and the largest less it. */
void nmk_carding_range(struct nmk_rat *lowest, struct nmk_rat *spread, const struct nmk_carding *carding,
                       const struct nmk_affine *sizes);

#endif
