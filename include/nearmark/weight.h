/* weight.h -- paper weights in pounds.
 *
 * A weight in pounds is that of a ream of 500 sheets of the grade's basis size, so
 *   g/m2 = lb * 453.59237 / (500 * area in square inches * 0.00064516)
 * exactly (avoirdupois pound and inch of 1959). The basis sizes are custom of the paper trade. A thickness never follows
 * from a weight. */
#ifndef NEARMARK_WEIGHT_H
#define NEARMARK_WEIGHT_H

#include "nearmark/rat.h"

/* Grams per square metre of `pounds` of the grade text[0..size), in any case: bond, writing, ledger, cover, book, text,
 * offset, index, tag, newsprint, bristol, blotting, blanks. INVALID where the grade is not known or pounds < 0. */
enum nmk_status nmk_weight_gsm(struct nmk_rat *out, const struct nmk_rat *pounds, const char *grade, size_t size);

/* The grades, for whoever looks for the nearest one. */
size_t nmk_weight_grade_count(void);
const char *nmk_weight_grade_name(size_t i); /* static; NULL beyond the last */

#endif
