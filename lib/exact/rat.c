#include "nearmark/rat.h"

#include <assert.h>

#include "base/debug.h"
#include "base/memory.h"
#include "exact/rat_view.h"
#include "exact/word.h"

/* ---- life ---- */

void nmk_rat_init(struct nmk_rat *r)
{
    *r = (struct nmk_rat){0};
}

void nmk_rat_clear(struct nmk_rat *r)
{
    if (r->big) {
        mpq_clear(r->big);
        nmk_memory_free(r->big);
    }
    *r = (struct nmk_rat){0};
}

void nmk_rat_swap(struct nmk_rat *a, struct nmk_rat *b)
{
    struct nmk_rat kept = *a;
    *a = *b;
    *b = kept;
}

void nmk_rat_set(struct nmk_rat *out, const struct nmk_rat *a)
{
    if (out == a)
        return;
    if (!a->big) {
        struct nmk_rat small = *a;
        if (out->big)
            nmk_rat_clear(out);
        *out = small;
        return;
    }
    mpq_t q;
    mpq_init(q);
    mpq_set(q, a->big);
    nmk_rat_take(out, q);
}

void nmk_rat_set_int(struct nmk_rat *out, int64_t n)
{
    nmk_rat_set_words(out, n < 0, nmk_word_size(n), 1);
}

enum nmk_status nmk_rat_set_frac(struct nmk_rat *out, int64_t num, int64_t den)
{
    if (den == 0)
        return NMK_DIVISION_BY_ZERO;
    uint64_t n = nmk_word_size(num), d = nmk_word_size(den), g = nmk_word_gcd(n, d);
    nmk_rat_set_words(out, (num < 0) != (den < 0), n / g, d / g);
    return NMK_OK;
}

/* ---- invariants ---- */

static bool big_is_canonical(mpq_srcptr q)
{
    uint64_t num, den;
    bool fits = nmk_rat_word_of(&num, mpq_numref(q)) && nmk_rat_word_of(&den, mpq_denref(q)) &&
                num <= (uint64_t)NMK_RAT_MAX && den <= (uint64_t)NMK_RAT_MAX;
    return !fits && nmk_rat_is_lowest(q);
}

bool nmk_rat_is_canonical(const struct nmk_rat *a)
{
    if (a->big)
        return a->num == 0 && a->less == 0 && big_is_canonical(a->big);
    if (a->num < -NMK_RAT_MAX || a->num > NMK_RAT_MAX || a->less < 0 || a->less > NMK_RAT_MAX - 1)
        return false;
    return nmk_word_gcd(nmk_word_size(a->num), (uint64_t)a->less + 1) == 1;
}

/* ---- sums and products ----
 *
 * Of small values: first in machine words; a step that leaves the word is done again in two, which always hold it. */

static void set_small(struct nmk_rat *out, int64_t num, int64_t den)
{
    if (out->big || num < -NMK_RAT_MAX || num > NMK_RAT_MAX || den > NMK_RAT_MAX) {
        nmk_rat_set_words(out, num < 0, nmk_word_size(num), (uint64_t)den);
        return;
    }
    NMK_DEBUG_ASSERT(nmk_word_gcd(nmk_word_size(num), (uint64_t)den) == 1);
    out->num = num;
    out->less = den - 1;
}

static nmk_wide_size wide_size(nmk_wide n)
{
    return n < 0 ? 0 - (nmk_wide_size)n : (nmk_wide_size)n;
}

/* (1) With g = gcd(ad, bd), a + b = t / (ad/g * bd) where t = an*(bd/g) + bn*(ad/g), and t shares with that denominator
 * only factors of g (Knuth, The Art of Computer Programming 2, 4.5.1): two short gcds reduce it. |t| < 2^127. */
static void wide_sum(struct nmk_rat *out, int64_t an, int64_t bn, int64_t a_rest, int64_t b_rest, int64_t g)
{
    nmk_wide t = (nmk_wide)an * b_rest + (nmk_wide)bn * a_rest;
    nmk_wide_size size = wide_size(t);
    uint64_t h = nmk_word_gcd((uint64_t)(size % (uint64_t)g), (uint64_t)g);
    nmk_rat_set_wide(out, t < 0, size / h, (nmk_wide_size)a_rest * ((nmk_wide_size)b_rest * (uint64_t)g / h));
}

static void small_sum(struct nmk_rat *out, int64_t an, int64_t ad, int64_t bn, int64_t bd)
{
    assert(ad >= 1 && bd >= 1);
    int64_t left, right, sum, den;
    int64_t g = (int64_t)nmk_word_gcd((uint64_t)ad, (uint64_t)bd);
    int64_t a_rest = g == 1 ? ad : ad / g, b_rest = g == 1 ? bd : bd / g;
    if (__builtin_mul_overflow(an, b_rest, &left) || __builtin_mul_overflow(bn, a_rest, &right) ||
        __builtin_add_overflow(left, right, &sum)) {
        wide_sum(out, an, bn, a_rest, b_rest, g);
        return;
    }
    int64_t h = g == 1 ? 1 : (int64_t)nmk_word_gcd(nmk_word_size(sum), (uint64_t)g);
    if (h != 1) {
        sum /= h;
        bd /= h;
    }
    if (__builtin_mul_overflow(a_rest, bd, &den))
        nmk_rat_set_wide(out, sum < 0, nmk_word_size(sum), (nmk_wide_size)a_rest * (uint64_t)bd);
    else
        set_small(out, sum, den);
}

/* (2) What a numerator has in common with the other's denominator is taken out first: the product is in lowest terms. */
static void small_product(struct nmk_rat *out, int64_t an, int64_t ad, int64_t bn, int64_t bd)
{
    assert(ad >= 1 && bd >= 1);
    int64_t num, den;
    int64_t g = (int64_t)nmk_word_gcd(nmk_word_size(an), (uint64_t)bd);
    int64_t h = (int64_t)nmk_word_gcd(nmk_word_size(bn), (uint64_t)ad);
    if (g != 1) {
        an /= g;
        bd /= g;
    }
    if (h != 1) {
        bn /= h;
        ad /= h;
    }
    if (__builtin_mul_overflow(an, bn, &num) || __builtin_mul_overflow(ad, bd, &den))
        nmk_rat_set_wide(out, (an < 0) != (bn < 0), wide_size((nmk_wide)an * bn), (nmk_wide_size)ad * (uint64_t)bd);
    else
        set_small(out, num, den);
}

typedef void big_operation(mpq_ptr out, mpq_srcptr a, mpq_srcptr b);

static void by_gmp(big_operation *operation, struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    struct nmk_rat_view a_room, b_room;
    mpq_t result;
    mpq_init(result);
    operation(result, nmk_rat_view(&a_room, a), nmk_rat_view(&b_room, b));
    nmk_rat_take(out, result);
}

static bool both_small(const struct nmk_rat *a, const struct nmk_rat *b)
{
    return !a->big && !b->big;
}

void nmk_rat_add(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (both_small(a, b))
        small_sum(out, a->num, a->less + 1, b->num, b->less + 1);
    else
        by_gmp(mpq_add, out, a, b);
}

void nmk_rat_sub(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (both_small(a, b))
        small_sum(out, a->num, a->less + 1, -b->num, b->less + 1);
    else
        by_gmp(mpq_sub, out, a, b);
}

void nmk_rat_mul(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (both_small(a, b))
        small_product(out, a->num, a->less + 1, b->num, b->less + 1);
    else
        by_gmp(mpq_mul, out, a, b);
}

enum nmk_status nmk_rat_div(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (nmk_rat_is_zero(b))
        return NMK_DIVISION_BY_ZERO;
    int64_t over = b->num < 0 ? -(b->less + 1) : b->less + 1; /* a / b = a * over / under */
    int64_t under = b->num < 0 ? -b->num : b->num;
    if (both_small(a, b))
        small_product(out, a->num, a->less + 1, over, under);
    else
        by_gmp(mpq_div, out, a, b);
    return NMK_OK;
}

/* Most coefficients of forms are 1 or -1. */
void nmk_rat_addmul(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (!b->big && b->less == 0 && b->num == 1) {
        nmk_rat_add(out, out, a);
        return;
    }
    if (!b->big && b->less == 0 && b->num == -1) {
        nmk_rat_sub(out, out, a);
        return;
    }
    struct nmk_rat product = {0};
    nmk_rat_mul(&product, a, b);
    nmk_rat_add(out, out, &product);
    nmk_rat_clear(&product);
}

void nmk_rat_neg(struct nmk_rat *out, const struct nmk_rat *a)
{
    nmk_rat_set(out, a);
    if (out->big)
        mpq_neg(out->big, out->big);
    else
        out->num = -out->num;
}

void nmk_rat_abs(struct nmk_rat *out, const struct nmk_rat *a)
{
    if (nmk_rat_sign(a) < 0)
        nmk_rat_neg(out, a);
    else
        nmk_rat_set(out, a);
}

/* Beyond this many bits GMP would end the program by itself: say that memory is exhausted instead. */
static const uint64_t most_bits = UINT64_C(1) << 36;

/* Powers of coprime numbers are coprime: nothing to reduce. */
static void big_pow(struct nmk_rat *out, const struct nmk_rat *a, unsigned n)
{
    assert(n >= 1);
    if (nmk_rat_bits(a) > most_bits / n)
        nmk_memory_exhausted(SIZE_MAX);
    struct nmk_rat_view room;
    mpq_srcptr base = nmk_rat_view(&room, a);
    mpq_t power;
    mpq_init(power);
    mpz_pow_ui(mpq_numref(power), mpq_numref(base), n);
    mpz_pow_ui(mpq_denref(power), mpq_denref(base), n);
    nmk_rat_take(out, power);
}

static bool small_pow(int64_t *out, int64_t base, unsigned n)
{
    int64_t power = 1;
    for (; n; n >>= 1) {
        if ((n & 1) && __builtin_mul_overflow(power, base, &power))
            return false;
        if (n > 1 && __builtin_mul_overflow(base, base, &base))
            return false;
    }
    *out = power;
    return true;
}

void nmk_rat_pow(struct nmk_rat *out, const struct nmk_rat *a, unsigned n)
{
    int64_t num, den;
    if (n == 0)
        nmk_rat_set_int(out, 1);
    else if (!a->big && small_pow(&num, a->num, n) && small_pow(&den, a->less + 1, n))
        set_small(out, num, den);
    else
        big_pow(out, a, n);
}

/* ---- order ---- */

int nmk_rat_cmp(const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (both_small(a, b)) {
        nmk_wide left = (nmk_wide)a->num * (b->less + 1), right = (nmk_wide)b->num * (a->less + 1);
        return (left > right) - (left < right);
    }
    struct nmk_rat_view a_room, b_room;
    return mpq_cmp(nmk_rat_view(&a_room, a), nmk_rat_view(&b_room, b));
}

int nmk_rat_cmp_int(const struct nmk_rat *a, int64_t n)
{
    struct nmk_rat whole = {0};
    nmk_rat_set_int(&whole, n);
    int order = nmk_rat_cmp(a, &whole);
    nmk_rat_clear(&whole);
    return order;
}

int nmk_rat_sign(const struct nmk_rat *a)
{
    return a->big ? mpq_sgn((mpq_srcptr)a->big) : (a->num > 0) - (a->num < 0);
}

/* Representations are unique, so a small and a big value always differ. */
bool nmk_rat_equal(const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (a->big && b->big)
        return mpq_equal(a->big, b->big) != 0;
    return both_small(a, b) && a->num == b->num && a->less == b->less;
}

bool nmk_rat_is_zero(const struct nmk_rat *a)
{
    return !a->big && a->num == 0;
}

bool nmk_rat_is_int(const struct nmk_rat *a)
{
    return a->big ? mpz_cmp_ui(mpq_denref((mpq_srcptr)a->big), 1) == 0 : a->less == 0;
}
