/* rat_whole.c -- rationals and whole numbers: floor, ceiling, the two parts, common measures and multiples, hash. */
#include <assert.h>
#include <gmp.h>

#include "exact/rat_view.h"
#include "exact/word.h"
#include "nearmark/rat.h"

typedef void divide(mpz_ptr out, mpz_srcptr num, mpz_srcptr den);

static void big_quotient(divide *rounding, struct nmk_rat *out, mpq_srcptr a)
{
    mpz_t whole;
    mpz_init(whole);
    rounding(whole, mpq_numref(a), mpq_denref(a));
    nmk_rat_take_whole(out, whole);
}

/* C's quotient is cut towards zero: one less is the floor where the rest is negative. */
void nmk_rat_floor(struct nmk_rat *out, const struct nmk_rat *a)
{
    if (a->big)
        big_quotient(mpz_fdiv_q, out, a->big);
    else
        nmk_rat_set_int(out, a->num / (a->less + 1) - (a->num % (a->less + 1) < 0));
}

void nmk_rat_ceil(struct nmk_rat *out, const struct nmk_rat *a)
{
    if (a->big)
        big_quotient(mpz_cdiv_q, out, a->big);
    else
        nmk_rat_set_int(out, a->num / (a->less + 1) + (a->num % (a->less + 1) > 0));
}

static void set_whole(struct nmk_rat *out, mpz_srcptr z)
{
    mpz_t copy;
    mpz_init_set(copy, z);
    nmk_rat_take_whole(out, copy);
}

void nmk_rat_num(struct nmk_rat *out, const struct nmk_rat *a)
{
    if (a->big)
        set_whole(out, mpq_numref((mpq_srcptr)a->big));
    else
        nmk_rat_set_int(out, a->num);
}

void nmk_rat_den(struct nmk_rat *out, const struct nmk_rat *a)
{
    if (a->big)
        set_whole(out, mpq_denref((mpq_srcptr)a->big));
    else
        nmk_rat_set_int(out, a->less + 1);
}

/* gcd(p/q, r/s) = gcd(p, r) / lcm(q, s) and lcm(p/q, r/s) = lcm(p, r) / gcd(q, s), both in lowest terms since p/q and
 * r/s are: what divides p and r has no factor in common with q or with s. */
static void common(divide *of_nums, divide *of_dens, struct nmk_rat *out, const struct nmk_rat *a,
                   const struct nmk_rat *b)
{
    struct nmk_rat_view a_room, b_room;
    mpq_srcptr p = nmk_rat_view(&a_room, a), r = nmk_rat_view(&b_room, b);
    mpq_t result;
    mpq_init(result);
    of_nums(mpq_numref(result), mpq_numref(p), mpq_numref(r));
    of_dens(mpq_denref(result), mpq_denref(p), mpq_denref(r));
    nmk_rat_take(out, result);
}

static nmk_wide_size word_lcm(uint64_t a, uint64_t b)
{
    assert(a && b);
    return (nmk_wide_size)(a / nmk_word_gcd(a, b)) * b;
}

/* The gcd of 0 and r/s is |r|/s, not |r| over a common denominator. */
void nmk_rat_gcd(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (nmk_rat_is_zero(a))
        nmk_rat_abs(out, b);
    else if (nmk_rat_is_zero(b))
        nmk_rat_abs(out, a);
    else if (a->big || b->big)
        common(mpz_gcd, mpz_lcm, out, a, b);
    else
        nmk_rat_set_wide(out, false, nmk_word_gcd(nmk_word_size(a->num), nmk_word_size(b->num)),
                         word_lcm((uint64_t)a->less + 1, (uint64_t)b->less + 1));
}

void nmk_rat_lcm(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (nmk_rat_is_zero(a) || nmk_rat_is_zero(b))
        nmk_rat_set_int(out, 0);
    else if (a->big || b->big)
        common(mpz_lcm, mpz_gcd, out, a, b);
    else
        nmk_rat_set_wide(out, false, word_lcm(nmk_word_size(a->num), nmk_word_size(b->num)),
                         nmk_word_gcd((uint64_t)a->less + 1, (uint64_t)b->less + 1));
}

/* *out = z, false if it is outside int64_t. */
static bool signed_word(int64_t *out, mpz_srcptr z)
{
    uint64_t size;
    bool negative = mpz_sgn(z) < 0;
    if (!nmk_rat_word_of(&size, z) || size > (uint64_t)INT64_MAX + negative)
        return false;
    *out = size > (uint64_t)INT64_MAX ? INT64_MIN : negative ? -(int64_t)size : (int64_t)size;
    return true;
}

enum nmk_status nmk_rat_get_frac(int64_t *num, int64_t *den, const struct nmk_rat *a)
{
    int64_t n, d;
    if (!a->big) {
        *num = a->num;
        *den = a->less + 1;
        return NMK_OK;
    }
    mpq_srcptr q = a->big;
    if (!signed_word(&n, mpq_numref(q)) || !signed_word(&d, mpq_denref(q)))
        return NMK_OVERFLOW;
    *num = n;
    *den = d;
    return NMK_OK;
}

enum nmk_status nmk_rat_get_int(int64_t *out, const struct nmk_rat *a)
{
    int64_t den;
    return nmk_rat_is_int(a) ? nmk_rat_get_frac(out, &den, a) : NMK_INVALID;
}

static size_t whole_bits(mpz_srcptr z)
{
    return mpz_sgn(z) ? mpz_sizeinbase(z, 2) : 0;
}

size_t nmk_rat_bits(const struct nmk_rat *a)
{
    if (!a->big) /* den >= 1, so that there is a bit */
        return 64 - (size_t)__builtin_clzll(nmk_word_size(a->num) | ((uint64_t)a->less + 1));
    mpq_srcptr q = a->big;
    size_t num = whole_bits(mpq_numref(q)), den = whole_bits(mpq_denref(q));
    return num > den ? num : den;
}

/* The finalizer of SplitMix64 (Steele, Lea, Flood: Fast splittable pseudorandom number generators, OOPSLA 2014). */
static uint64_t mix(uint64_t hash, uint64_t word)
{
    hash = (hash ^ word) + UINT64_C(0x9e3779b97f4a7c15);
    hash = (hash ^ (hash >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    hash = (hash ^ (hash >> 27)) * UINT64_C(0x94d049bb133111eb);
    return hash ^ (hash >> 31);
}

/* By words of 64 bits, lowest first, however wide a limb is; the sign and the end of the number go in too. */
static uint64_t mix_whole(uint64_t hash, mpz_srcptr z)
{
    size_t limbs = mpz_size(z);
    for (size_t i = 0; i < limbs; i += NMK_RAT_VIEW_LIMBS) {
        uint64_t word = 0;
        for (size_t j = 0; j < NMK_RAT_VIEW_LIMBS; j++)
            word |= (uint64_t)mpz_getlimbn(z, (mp_size_t)(i + j)) << (j * GMP_NUMB_BITS % 64);
        hash = mix(hash, word);
    }
    return mix(hash, (uint64_t)(mpz_sgn(z) + 1));
}

/* The same of a number of one word. */
static uint64_t mix_small(uint64_t hash, uint64_t size, int sign)
{
    return mix(size ? mix(hash, size) : hash, (uint64_t)(sign + 1));
}

uint64_t nmk_rat_hash(const struct nmk_rat *a)
{
    if (!a->big)
        return mix_small(mix_small(0, nmk_word_size(a->num), nmk_rat_sign(a)), (uint64_t)a->less + 1, 1);
    mpq_srcptr q = a->big;
    return mix_whole(mix_whole(0, mpq_numref(q)), mpq_denref(q));
}
