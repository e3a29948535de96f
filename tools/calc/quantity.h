/* quantity.h -- what a sum works with: a number, a length, an area ... exact, or between two rationals.
 *
 * value is in mm^power: power 0 a number, 1 a length, 2 an area. A zeroed struct is the number 0. */
#ifndef TOOLS_CALC_QUANTITY_H
#define TOOLS_CALC_QUANTITY_H

#include "nearmark/enclosure.h"

struct quantity {
    struct nmk_enclosure value;
    int power;
};

void quantity_clear(struct quantity *q);
void quantity_swap(struct quantity *a, struct quantity *b);

/* `a` becomes a op b. The text is what is wrong, for a message; NULL: nothing, all went well; then `a` is untouched. */
const char *quantity_add(struct quantity *a, const struct quantity *b);
const char *quantity_sub(struct quantity *a, const struct quantity *b);
const char *quantity_mul(struct quantity *a, const struct quantity *b);
const char *quantity_div(struct quantity *a, const struct quantity *b);
const char *quantity_min(struct quantity *a, const struct quantity *b);
const char *quantity_max(struct quantity *a, const struct quantity *b);
const char *quantity_sqrt(struct quantity *a);
void quantity_neg(struct quantity *a);
void quantity_abs(struct quantity *a);

/* One definite value: itself where exact, else the nearest 10^-9 (of mm, or of one). */
void quantity_settle(struct nmk_rat *out, const struct quantity *q);

#endif
