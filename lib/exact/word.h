/* word.h -- machine words for the small path of rat.h: its limit, magnitudes, the greatest common divisor. */
#ifndef LIB_EXACT_WORD_H
#define LIB_EXACT_WORD_H

#include <stdint.h>

/* Numerators from -NMK_RAT_MAX to NMK_RAT_MAX and denominators up to NMK_RAT_MAX are small. Chosen by
 * tests/bench/bench_rat.c: with 31 bits and plain products a sum of paper lengths takes 11.1 ns instead of 11.9, but a
 * sum of sixteen products 102 instead of 44 (GMP: 110). The stress build makes nearly everything big, so that every
 * test walks both paths and the border between them. */
#ifdef NMK_STRESS
#define NMK_RAT_MAX INT64_C(7)
#else
#define NMK_RAT_MAX INT64_MAX
#endif

/* Products of two words. Any compiler for a 64-bit machine has them. */
__extension__ typedef __int128 nmk_wide;
__extension__ typedef unsigned __int128 nmk_wide_size;

static inline uint64_t nmk_word_size(int64_t n)
{
    return n < 0 ? 0 - (uint64_t)n : (uint64_t)n;
}

/* Binary: with a odd, gcd(a, b) = gcd(a, b without its factors 2) = gcd(min, difference). gcd(0, n) = n. Mostly one is
 * much the longer: one division makes it short. */
static inline uint64_t nmk_word_gcd(uint64_t a, uint64_t b)
{
    if (a == 1 || b == 1)
        return 1;
    if (a == 0 || b == 0)
        return a | b;
    if (a >> 3 > b && !(a %= b))
        return b;
    if (b >> 3 > a && !(b %= a))
        return a;
    int shift = __builtin_ctzll(a | b);
    a >>= __builtin_ctzll(a);
    for (;;) {
        b >>= __builtin_ctzll(b);
        if (a == b)
            return a << shift;
        uint64_t least = a < b ? a : b;
        b = a < b ? b - a : a - b;
        a = least;
    }
}

/* Of numbers of any sign, neither -2^63. */
static inline int64_t nmk_word_divisor(int64_t a, int64_t b)
{
    return (int64_t)nmk_word_gcd(nmk_word_size(a), nmk_word_size(b));
}

static inline nmk_wide_size nmk_wide_gcd(nmk_wide_size a, nmk_wide_size b)
{
    while (b) {
        nmk_wide_size rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

#endif
