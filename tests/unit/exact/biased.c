#include "unit/exact/biased.h"

#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>
/* clang-format off: cmocka wants these first */
#include <setjmp.h>
#include <cmocka.h>

static uint64_t seed, state;

void biased_start(void)
{
    const char *given = getenv("NMK_SEED");
    seed = given ? strtoull(given, NULL, 0) : (uint64_t)time(NULL) * 1000003u + (uint64_t)getpid();
    state = seed;
    printf("# NMK_SEED=%llu\n", (unsigned long long)seed);
    fflush(stdout);
}

unsigned long biased_cases(unsigned long usual)
{
    const char *times = getenv("NMK_TIMES");
    char *end = NULL;
    unsigned long factor = times ? strtoul(times, &end, 10) : 1;
    unsigned long part = end && *end == '/' ? strtoul(end + 1, NULL, 10) : 1;
    unsigned long cases = usual * (factor ? factor : 1) / (part ? part : 1);
    return cases ? cases : 1;
}

/* SplitMix64. */
uint64_t biased_bits(void)
{
    uint64_t z = state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

uint64_t biased_below(uint64_t bound)
{
    return biased_bits() % bound;
}

static void boundary(mpz_ptr out)
{
    static const unsigned powers[] = {3, 7, 8, 15, 16, 30, 31, 32, 61, 62, 63, 64, 65, 126, 127, 128};
    mpz_set_ui(out, (unsigned long)biased_below(3));
    if (biased_below(3) == 0)
        return;
    mpz_set_ui(out, 0);
    mpz_setbit(out, powers[biased_below(sizeof powers / sizeof *powers)]);
    long beside = (long)biased_below(5) - 2;
    if (beside < 0)
        mpz_sub_ui(out, out, (unsigned long)-beside);
    else
        mpz_add_ui(out, out, (unsigned long)beside);
}

void biased_whole(mpz_ptr out, unsigned bits)
{
    if (biased_below(4) == 0) {
        boundary(out);
    } else {
        unsigned length = (unsigned)biased_below(bits + 1);
        mpz_set_ui(out, 0);
        for (unsigned i = 0; i < length; i++)
            if (biased_bits() & 1)
                mpz_setbit(out, i);
    }
    if (biased_below(2))
        mpz_neg(out, out);
}

static unsigned some_bits(void)
{
    return biased_below(8) ? 64 : 400;
}

static void denominator(mpz_ptr out)
{
    static const unsigned char usual[] = {1, 2, 3, 5, 8, 16, 32, 64, 100, 127, 254};
    if (biased_below(2)) {
        mpz_set_ui(out, usual[biased_below(sizeof usual)]);
        return;
    }
    biased_whole(out, some_bits());
    mpz_abs(out, out);
    if (mpz_sgn(out) == 0)
        mpz_set_ui(out, 1);
}

void biased_fraction(mpq_ptr out)
{
    biased_whole(mpq_numref(out), some_bits());
    denominator(mpq_denref(out));
    mpq_canonicalize(out);
}

void biased_near(mpq_ptr out, mpq_srcptr other)
{
    switch (biased_below(5)) {
    case 0:
        mpq_neg(out, other);
        break;
    case 1:
        mpq_set(out, other);
        break;
    case 2:
        if (mpq_sgn(other))
            mpq_inv(out, other);
        break;
    default:
        biased_whole(mpq_numref(out), some_bits());
        mpz_set(mpq_denref(out), mpq_denref(other));
        mpq_canonicalize(out);
    }
}

void biased_rat(struct nmk_rat *out)
{
    mpq_t q;
    mpq_init(q);
    biased_fraction(q);
    rat_from(out, q);
    mpq_clear(q);
}

/* By how much, in cases * nats, a share of count/cases speaks against one of `share`. */
static double surprise(double count, double cases, double share)
{
    double hits = count > 0 ? count * log(count / (cases * share)) : 0;
    double misses = count < cases ? (cases - count) * log((cases - count) / (cases * (1 - share))) : 0;
    return hits + misses;
}

void biased_share(const char *what, unsigned long count, unsigned long cases, double least, double most)
{
    double n = (double)cases, k = (double)count, limit = 12 * log(10);
    printf("# %lu of %lu %s\n", count, cases, what);
    bool rare = k < n * least && surprise(k, n, least) > limit;
    bool common = k > n * most && surprise(k, n, most) > limit;
    if (count > cases || rare || common)
        fail_msg("%s: %lu of %lu, should be %g to %g of them: NMK_SEED=%llu", what, count, cases, least, most,
                 (unsigned long long)seed);
}

static void print_operand(const char *name, const struct nmk_rat *a)
{
    char text[1024];
    if (!a)
        return;
    nmk_rat_print(text, sizeof text, a);
    printf("#   %s = %s\n", name, text);
}

void biased_check(bool right, unsigned long number, const char *what, const struct nmk_rat *a, const struct nmk_rat *b)
{
    if (right)
        return;
    printf("# %s: NMK_SEED=%llu, case %lu\n", what, (unsigned long long)seed, number);
    print_operand("a", a);
    print_operand("b", b);
    fail_msg("%s: NMK_SEED=%llu, case %lu", what, (unsigned long long)seed, number);
}

#ifdef NMK_STRESS
#define LIMIT "7"
#else
#define LIMIT "9223372036854775807"
#endif

static bool fits(mpz_srcptr z)
{
    mpz_t limit;
    mpz_init_set_str(limit, LIMIT, 10);
    bool small = mpz_cmpabs(z, limit) <= 0;
    mpz_clear(limit);
    return small;
}

/* The value a stands for, read from its fields; not reduced. */
static void read_fields(mpq_ptr q, const struct nmk_rat *a)
{
    if (a->big) {
        mpq_set(q, a->big);
        return;
    }
    char num[32], den[32];
    snprintf(num, sizeof num, "%lld", (long long)a->num);
    snprintf(den, sizeof den, "%llu", (unsigned long long)a->less + 1);
    mpz_set_str(mpq_numref(q), num, 10);
    mpz_set_str(mpq_denref(q), den, 10);
}

bool rat_is_sound(const struct nmk_rat *a)
{
    mpq_t q, reduced;
    mpq_inits(q, reduced, NULL);
    read_fields(q, a);
    bool sound = mpz_sgn(mpq_denref(q)) > 0;
    if (sound) {
        mpq_set(reduced, q);
        mpq_canonicalize(reduced);
        sound = mpz_cmp(mpq_numref(q), mpq_numref(reduced)) == 0 && mpz_cmp(mpq_denref(q), mpq_denref(reduced)) == 0;
    }
    bool small = fits(mpq_numref(q)) && fits(mpq_denref(q));
    sound = sound && small == !a->big && (!a->big || (a->num == 0 && a->less == 0));
    mpq_clears(q, reduced, NULL);
    return sound && nmk_rat_is_canonical(a);
}

bool rat_is(const struct nmk_rat *a, mpq_srcptr q)
{
    mpq_t own;
    mpq_init(own);
    read_fields(own, a);
    bool same = mpq_equal(own, q) != 0;
    mpq_clear(own);
    return same && rat_is_sound(a);
}

void rat_from(struct nmk_rat *out, mpq_srcptr q)
{
    char *digits = mpq_get_str(NULL, 10, q);
    assert_int_equal(nmk_rat_parse(out, digits, strlen(digits)), NMK_OK);
    void (*release)(void *, size_t);
    mp_get_memory_functions(NULL, NULL, &release);
    release(digits, strlen(digits) + 1);
}

struct nmk_rat rat_of(const char *text)
{
    struct nmk_rat r = {0};
    if (nmk_rat_parse(&r, text, strlen(text)) != NMK_OK)
        fail_msg("cannot read %s", text);
    return r;
}

bool rat_prints(const struct nmk_rat *a, const char *text)
{
    char own[2048];
    size_t size = nmk_rat_print(own, sizeof own, a);
    if (size == strlen(text) && strcmp(own, text) == 0)
        return true;
    printf("# %s, should be %s\n", own, text);
    return false;
}
