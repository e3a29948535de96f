/* dualbound.h -- lower bounds on sheets by dual feasible functions.
 *
 * (1) A function f with f(x) + f(y) <= f(x + y) on 0 .. W (superadditive) keeps what fits beside each other fitting; so
 *     does g on 0 .. H. The pieces in any rectangle w x h then have together f-g-areas of at most f(w) g(h).
 * (2) So the sum over all pieces of f(width) g(height), divided by f(W) g(H) and rounded up, bounds the sheets from
 *     below. A piece that may be turned counts with the lesser of its two values.
 * (3) On a square sheet g on the width and f on the height holds as well; the sum of both does not change when a piece
 *     is turned, so nothing is lost by turning.
 * (4) By (1) the waste of a build, f(w) g(h) less what its pieces count, is never negative and never falls when the
 *     build is joined to others: what is wasted inside it is lost to its sheet. */
#ifndef LIB_SOLVE_DUALBOUND_H
#define LIB_SOLVE_DUALBOUND_H

#include "solve/cutting/cutjob.h"

/* The functions, by `kind`; k their parameter, n the whole size:
 *   0 PLAIN    f(x) = x
 *   1 BIG      k <= n/2: x > n - k counts n, x < k counts 0, else x
 *              (Fekete and Schepers 2004, "A general framework for bounds for higher-dimensional orthogonal packing
 *              problems"; from memory)
 *   2 ROUNDED  1 <= k <= n/2: x < n/2 counts 2 floor(x/k), x = n/2 floor(n/k), x > n/2 2 (floor(n/k) - floor((n-x)/k))
 *              (Carlier, Clautiaux, Moukrim 2007, "New reduction procedures and lower bounds for the two-dimensional
 *              bin packing problem with fixed orientation"; from memory)
 *   3 SHARES   k >= 1: x (k+1)/n whole: k x, else n floor(x (k+1)/n)   (Fekete and Schepers; from memory) */
struct nmk_dual {
    int kind;
    int32_t k, n;
};
int64_t nmk_dual_value(const struct nmk_dual *f, int32_t x);

struct nmk_dualpair {
    struct nmk_dual f, g;
    bool both;      /* the sum of (f, g) and (g, f): square sheets */
    int64_t *values; /* one a lot */
    int64_t whole;  /* of the sheet */
};

/* A rectangle's value. */
int64_t nmk_dualpair_size(const struct nmk_dualpair *pair, int32_t width, int32_t height);

struct nmk_duals { /* the strongest first */
    size_t count, space;
    struct nmk_dualpair *pairs;
    int64_t bound; /* sheets at least, all pieces */
    struct nmk_format format; /* the sheet they are made for: encloses every kind */
};

/* Keeps the `most` strongest pairs, the plain area always among them. */
void nmk_duals_init(struct nmk_duals *duals, struct nmk_cutjob *job, size_t most);
void nmk_duals_clear(struct nmk_duals *duals);

#endif
