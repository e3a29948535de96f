/* biased.h -- random rationals for property tests, drawn so that they meet the borders of the code.
 *
 * The length in bits is drawn first; one time in four a boundary is drawn instead (0, 1, 2, powers of two and the
 * limits of machine words, and their neighbours), and denominators are often those of paper sizes. The seed is printed
 * as a comment of the test's output and accepted back in NMK_SEED; NMK_TIMES multiplies the number of cases: `10`, `1/20`. */
#ifndef TESTS_UNIT_EXACT_BIASED_H
#define TESTS_UNIT_EXACT_BIASED_H

#include <gmp.h>

#include "nearmark/rat.h"

void biased_start(void); /* reads NMK_SEED, or takes one from the clock; prints it */
unsigned long biased_cases(unsigned long usual);
uint64_t biased_bits(void);                    /* 64 random bits */
uint64_t biased_below(uint64_t bound);         /* 0 to bound - 1 */
void biased_whole(mpz_ptr out, unsigned bits); /* any sign, at most about `bits` long */
void biased_fraction(mpq_ptr out);             /* canonical */
void biased_near(mpq_ptr out, mpq_srcptr other); /* one that has much in common with the other */
void biased_rat(struct nmk_rat *out);

/* Fails the test with the seed, the number of the case, and up to two operands, unless `right`. */
void biased_check(bool right, unsigned long number, const char *what, const struct nmk_rat *a, const struct nmk_rat *b);

/* Says how many of the cases were `what`, and fails the test if that is no chance: were each of the cases so with chance
 * `least` or more, `most` or less, a count like this would come less than once in 10^12 runs. So a test of few cases,
 * under valgrind say, asks for less than one of many. The bound is Chernoff's (Hoeffding, Journal of the American
 * Statistical Association 58, 1963, theorem 1). */
void biased_share(const char *what, unsigned long count, unsigned long cases, double least, double most);

/* A check of its own, not the library's: a is in canonical form and has the value q. */
bool rat_is(const struct nmk_rat *a, mpq_srcptr q);
bool rat_is_sound(const struct nmk_rat *a);
void rat_from(struct nmk_rat *out, mpq_srcptr q); /* by its digits */
struct nmk_rat rat_of(const char *text);          /* parsed; the test fails if that fails */
bool rat_prints(const struct nmk_rat *a, const char *text);

#endif
