/* enclosure.h -- irrational constants between two rationals.
 *
 * An enclosure is a closed interval [low, high] that holds the true value. pi and roots lie in [k, k+1] / 10^30 with k =
 * floor(10^30 x); the root of a perfect square (of a rational) is exact, low = high. Operations are exact on the ends,
 * so they enclose every result. low <= high always. */
#ifndef NEARMARK_ENCLOSURE_H
#define NEARMARK_ENCLOSURE_H

#include "nearmark/rat.h"

struct nmk_enclosure {
    struct nmk_rat low, high;
};

void nmk_enclosure_init(struct nmk_enclosure *e); /* [0, 0]; a zeroed struct is the same */
void nmk_enclosure_clear(struct nmk_enclosure *e);
void nmk_enclosure_set(struct nmk_enclosure *out, const struct nmk_enclosure *a);
void nmk_enclosure_set_rat(struct nmk_enclosure *out, const struct nmk_rat *a);
bool nmk_enclosure_is_exact(const struct nmk_enclosure *a);
void nmk_enclosure_pi(struct nmk_enclosure *out);
void nmk_enclosure_add(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b);
void nmk_enclosure_sub(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b);
void nmk_enclosure_mul(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b);
/* DIVISION_BY_ZERO if b holds 0. */
enum nmk_status nmk_enclosure_div(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b);
void nmk_enclosure_neg(struct nmk_enclosure *out, const struct nmk_enclosure *a);
void nmk_enclosure_abs(struct nmk_enclosure *out, const struct nmk_enclosure *a);
void nmk_enclosure_min(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b);
void nmk_enclosure_max(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b);
/* NEGATIVE_ROOT if a holds a negative number. */
enum nmk_status nmk_enclosure_sqrt(struct nmk_enclosure *out, const struct nmk_enclosure *a);
void nmk_enclosure_mid(struct nmk_rat *out, const struct nmk_enclosure *a);
void nmk_enclosure_half_width(struct nmk_rat *out, const struct nmk_enclosure *a);

#endif
