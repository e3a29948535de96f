/* rat.h -- exact rational numbers.
 *
 * A value is num/den in lowest terms with den >= 1. While both fit the machine-word range the two words are the value
 * (the small path); beyond it `big` points to a GMP rational that the value owns, and the words are 0. The change
 * between the two is never seen by a caller: a value is small if and only if it fits, so that equal values have equal
 * representations (nmk_rat_is_canonical).
 *
 * Lifecycle: nmk_rat_init, any calls, nmk_rat_clear. A zeroed struct is a valid 0 and needs no init; a cleared one is
 * 0 again and may be cleared again. Outputs come first; the same struct may be output and input at once. Operations
 * without a status cannot fail (memory exhausted: status.h). */
#ifndef NEARMARK_RAT_H
#define NEARMARK_RAT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "nearmark/status.h"

struct nmk_rat {
    int64_t num;
    int64_t less; /* den - 1, so that a zeroed struct is 0/1 */
    void *big;    /* NULL on the small path */
};

void nmk_rat_init(struct nmk_rat *r);
void nmk_rat_clear(struct nmk_rat *r);
void nmk_rat_set(struct nmk_rat *out, const struct nmk_rat *a);
void nmk_rat_swap(struct nmk_rat *a, struct nmk_rat *b);
void nmk_rat_set_int(struct nmk_rat *out, int64_t n);
enum nmk_status nmk_rat_set_frac(struct nmk_rat *out, int64_t num, int64_t den); /* any sign; DIVISION_BY_ZERO */

void nmk_rat_add(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);
void nmk_rat_sub(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);
void nmk_rat_mul(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);
enum nmk_status nmk_rat_div(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);
void nmk_rat_addmul(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b); /* out += a * b */
void nmk_rat_neg(struct nmk_rat *out, const struct nmk_rat *a);
void nmk_rat_abs(struct nmk_rat *out, const struct nmk_rat *a);
void nmk_rat_pow(struct nmk_rat *out, const struct nmk_rat *a, unsigned n); /* 0^0 = 1 */

int nmk_rat_cmp(const struct nmk_rat *a, const struct nmk_rat *b); /* < 0, 0, > 0 */
int nmk_rat_cmp_int(const struct nmk_rat *a, int64_t n);
int nmk_rat_sign(const struct nmk_rat *a); /* -1, 0, 1 */
bool nmk_rat_equal(const struct nmk_rat *a, const struct nmk_rat *b);
bool nmk_rat_is_zero(const struct nmk_rat *a);
bool nmk_rat_is_int(const struct nmk_rat *a);
uint64_t nmk_rat_hash(const struct nmk_rat *a); /* equal values, equal hashes; the same on every machine */

void nmk_rat_floor(struct nmk_rat *out, const struct nmk_rat *a);
void nmk_rat_ceil(struct nmk_rat *out, const struct nmk_rat *a);
void nmk_rat_num(struct nmk_rat *out, const struct nmk_rat *a); /* numerator, denominator, as integers */
void nmk_rat_den(struct nmk_rat *out, const struct nmk_rat *a);
/* gcd: the largest g >= 0 of which both are whole multiples (0 and 0: 0); lcm: the smallest positive common whole
 * multiple of two nonzero values, 0 if either is 0. Both for rationals: gcd(1/2, 1/3) = 1/6. */
void nmk_rat_gcd(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);
void nmk_rat_lcm(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);
enum nmk_status nmk_rat_get_int(int64_t *out, const struct nmk_rat *a); /* INVALID if not whole, OVERFLOW */
enum nmk_status nmk_rat_get_frac(int64_t *num, int64_t *den, const struct nmk_rat *a); /* OVERFLOW */
size_t nmk_rat_bits(const struct nmk_rat *a); /* bits of the longer of |num| and den */

/* Reads `-12`, `127/80`, `4.4375`: optional sign, digits, then `/digits` or `.digits`, nothing else. The whole of
 * text[0..size). INVALID, DIVISION_BY_ZERO, TOO_LARGE beyond 4,000 digits. */
enum nmk_status nmk_rat_parse(struct nmk_rat *out, const char *text, size_t size);
/* Writes "127/80", or "12" when whole, NUL-terminated, as snprintf does: returns the length without the NUL, also when
 * `size` was too small for it (then what fits is written). buffer may be NULL when size is 0. */
size_t nmk_rat_print(char *buffer, size_t size, const struct nmk_rat *a);
/* Decimal with `places` digits after the point, rounded half away from zero; "-0.00" is written "0.00". */
size_t nmk_rat_print_decimal(char *buffer, size_t size, const struct nmk_rat *a, unsigned places);

bool nmk_rat_is_canonical(const struct nmk_rat *a);

#endif
