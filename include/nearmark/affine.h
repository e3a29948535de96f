/* affine.h -- affine forms: a constant plus coefficients times named quantities.
 *
 * A form is c + sum a_i x_i, terms sorted by name, no zero coefficient. A name is a number that the caller gives a
 * meaning to (an uncertainty, a length to be settled); met twice it is the same quantity, so that it cancels or doubles.
 * A zeroed struct is the form 0. The same struct may be output and input at once. */
#ifndef NEARMARK_AFFINE_H
#define NEARMARK_AFFINE_H

#include "nearmark/rat.h"

struct nmk_affine_term {
    uint64_t name;
    struct nmk_rat times;
};

struct nmk_affine {
    struct nmk_rat constant;
    struct nmk_affine_term *terms;
    size_t count, space;
};

void nmk_affine_init(struct nmk_affine *f);
void nmk_affine_clear(struct nmk_affine *f);
void nmk_affine_set(struct nmk_affine *out, const struct nmk_affine *a);
void nmk_affine_swap(struct nmk_affine *a, struct nmk_affine *b);
void nmk_affine_set_rat(struct nmk_affine *out, const struct nmk_rat *c);
void nmk_affine_add(struct nmk_affine *out, const struct nmk_affine *a, const struct nmk_affine *b);
void nmk_affine_sub(struct nmk_affine *out, const struct nmk_affine *a, const struct nmk_affine *b);
void nmk_affine_scale(struct nmk_affine *out, const struct nmk_affine *a, const struct nmk_rat *times);
void nmk_affine_add_rat(struct nmk_affine *f, const struct nmk_rat *c);
void nmk_affine_add_term(struct nmk_affine *f, uint64_t name, const struct nmk_rat *times);
/* Borrowed; the coefficient of `name`, or NULL where it is 0. */
const struct nmk_rat *nmk_affine_times(const struct nmk_affine *f, uint64_t name);
bool nmk_affine_is_constant(const struct nmk_affine *f);
bool nmk_affine_equal(const struct nmk_affine *a, const struct nmk_affine *b);
bool nmk_affine_is_canonical(const struct nmk_affine *f);

#endif
