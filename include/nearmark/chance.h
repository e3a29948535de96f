/* chance.h -- the exact chance that a sum of independent uniform errors stays between two bounds.
 *
 * (1) S = sum w_i U_i, U_i independent and uniform on [-1, 1], w_i > 0, n of them, W = sum w_i.
 * (2) P(S <= t) = (1 / (n! prod 2 w_i)) sum_e c_e max(0, t + W - e)^n, where the e and c_e are the exponents and
 *     coefficients of prod (1 - x^(2 w_i)): the part of a box on one side of a plane. Equal sums of widths share a term,
 *     so that many equal widths cost little. (Irwin-Hall for equal widths; P. Hall, Biometrika 19 (1927) 240-245.) */
#ifndef NEARMARK_CHANCE_H
#define NEARMARK_CHANCE_H

#include "nearmark/rat.h"

struct nmk_chance;

/* widths: count half-widths > 0 (count may be 0: S = 0). NMK_INVALID for a width <= 0, NMK_TOO_LARGE where (2) would
 * have more than 2^20 terms. */
enum nmk_status nmk_chance_new(struct nmk_chance **out, const struct nmk_rat *widths, size_t count);
void nmk_chance_free(struct nmk_chance *chance); /* NULL allowed */
const struct nmk_rat *nmk_chance_reach(const struct nmk_chance *chance); /* W, borrowed */
/* P(S <= t), exact. */
void nmk_chance_below(struct nmk_rat *out, const struct nmk_chance *chance, const struct nmk_rat *t);
/* P(low <= nominal + S <= high), exact; low and high may be NULL (open). */
void nmk_chance_within(struct nmk_rat *out, const struct nmk_chance *chance, const struct nmk_rat *nominal,
                       const struct nmk_rat *low, const struct nmk_rat *high);

#endif
