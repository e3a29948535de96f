/* multiples.h -- the designed size of each length as multiples of the measures that have a range.
 *
 * designed = constant + sum times_m measure_m, where it can be put so; an irrational multiple is taken at the middle of
 * its enclosure, far closer than any mark. */
#ifndef LIB_SETTLE_MULTIPLES_H
#define LIB_SETTLE_MULTIPLES_H

#include "nearmark/affine.h"
#include "nearmark/draft.h"

struct nmk_multiple {
    bool affine;            /* else the rest means nothing */
    struct nmk_affine form; /* over the indices of measures */
};

struct nmk_multiples {
    size_t count;
    struct nmk_multiple *lengths; /* by length */
};

void nmk_multiples_new(struct nmk_multiples **out, const struct nmk_draft *draft);
void nmk_multiples_free(struct nmk_multiples *multiples);

/* The fraction of smallest denominator with |fraction - value| < within; of two equally close ones the smaller. within > 0. */
void nmk_multiples_fraction(struct nmk_rat *out, const struct nmk_rat *value, const struct nmk_rat *within);

#endif
