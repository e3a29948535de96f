/* bench_rat.c -- the small path against GMP's mpq, in the same run, on numbers of several sizes.
 *
 * Each figure is the best of several rounds over the same pairs. A ratio above 1 means that nmk_rat is faster. The
 * table is what the limit of the small path (lib/exact/word.h) was chosen by. */
#include <gmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "nearmark/rat.h"

enum { pairs = 1024, rounds = 40, passes = 8 };

static struct nmk_rat rat_a[pairs], rat_b[pairs], rat_out[pairs];
static mpq_t gmp_a[pairs], gmp_b[pairs], gmp_out[pairs];
static volatile int sink;

static uint64_t random_bits(void)
{
    static uint64_t state = 20; /* the same numbers in every run */
    uint64_t z = state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static int64_t now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000000000 + t.tv_nsec;
}

/* ---- the numbers ---- */

static void draw_whole(mpz_ptr out, unsigned bits)
{
    mpz_set_ui(out, 0);
    for (unsigned i = 0; i < bits; i++)
        if (random_bits() & 1)
            mpz_setbit(out, i);
    mpz_setbit(out, bits - 1);
}

static void whole(mpq_ptr q)
{
    mpz_set_ui(mpq_numref(q), random_bits() % 3000 + 1);
}

static void paper(mpq_ptr q) /* lengths and bounds as designs have them */
{
    static const unsigned char dens[] = {1, 2, 5, 10, 20, 80, 100, 160};
    mpz_set_ui(mpq_numref(q), random_bits() % 30000 + 1);
    mpz_set_ui(mpq_denref(q), dens[random_bits() % sizeof dens]);
}

static void of_bits(mpq_ptr q, unsigned num, unsigned den)
{
    draw_whole(mpq_numref(q), num);
    draw_whole(mpq_denref(q), den);
}

static void bits_24(mpq_ptr q) { of_bits(q, 24, 12); }
static void bits_31(mpq_ptr q) { of_bits(q, 31, 31); }
static void bits_45(mpq_ptr q) { of_bits(q, 45, 20); }
static void bits_62(mpq_ptr q) { of_bits(q, 62, 60); }
static void bits_200(mpq_ptr q) { of_bits(q, 200, 190); }

static const struct {
    const char *name;
    void (*draw)(mpq_ptr q);
} kinds[] = {{"whole numbers", whole}, {"paper lengths", paper}, {"24/12 bits", bits_24}, {"31/31 bits", bits_31},
             {"45/20 bits", bits_45}, {"62/60 bits", bits_62}, {"200/190 bits", bits_200}};

static void draw_one(struct nmk_rat *r, mpq_ptr q, void (*draw)(mpq_ptr q))
{
    mpq_set_ui(q, 0, 1);
    draw(q);
    mpq_canonicalize(q);
    char *digits = mpq_get_str(NULL, 10, q);
    if (nmk_rat_parse(r, digits, strlen(digits)) != NMK_OK)
        abort();
    free(digits);
}

/* ---- the work ---- */

#define RAT(name, call)                                                                                                \
    static void rat_##name(void)                                                                                       \
    {                                                                                                                  \
        for (size_t i = 0; i < pairs; i++)                                                                             \
            call;                                                                                                      \
    }
RAT(add, nmk_rat_add(&rat_out[i], &rat_a[i], &rat_b[i]))
RAT(mul, nmk_rat_mul(&rat_out[i], &rat_a[i], &rat_b[i]))
RAT(div, (void)nmk_rat_div(&rat_out[i], &rat_a[i], &rat_b[i]))
RAT(cmp, sink += nmk_rat_cmp(&rat_a[i], &rat_b[i]))
static void gmp_add(void) { for (size_t i = 0; i < pairs; i++) mpq_add(gmp_out[i], gmp_a[i], gmp_b[i]); }
static void gmp_mul(void) { for (size_t i = 0; i < pairs; i++) mpq_mul(gmp_out[i], gmp_a[i], gmp_b[i]); }
static void gmp_div(void) { for (size_t i = 0; i < pairs; i++) mpq_div(gmp_out[i], gmp_a[i], gmp_b[i]); }
static void gmp_cmp(void) { for (size_t i = 0; i < pairs; i++) sink += mpq_cmp(gmp_a[i], gmp_b[i]); }

/* a1 b1 + a2 b2 + ... of sixteen pairs, as sums of contributions are made. */
static void rat_dot(void)
{
    for (size_t i = 0; i < pairs; i++) {
        if (i % 16 == 0)
            nmk_rat_set_int(&rat_out[0], 0);
        nmk_rat_addmul(&rat_out[0], &rat_a[i], &rat_b[i]);
    }
}

static void gmp_dot(void)
{
    for (size_t i = 0; i < pairs; i++) {
        if (i % 16 == 0)
            mpq_set_ui(gmp_out[0], 0, 1);
        mpq_mul(gmp_out[1], gmp_a[i], gmp_b[i]);
        mpq_add(gmp_out[0], gmp_out[0], gmp_out[1]);
    }
}

static const struct {
    const char *name;
    void (*rat)(void), (*gmp)(void);
} works[] = {{"add", rat_add, gmp_add}, {"mul", rat_mul, gmp_mul}, {"div", rat_div, gmp_div},
             {"cmp", rat_cmp, gmp_cmp}, {"dot 16", rat_dot, gmp_dot}};

/* Nanoseconds for one operation, times 100. */
static int64_t best_of(void (*work)(void))
{
    int64_t best = INT64_MAX;
    for (int r = 0; r < rounds; r++) {
        int64_t start = now();
        for (int p = 0; p < passes; p++)
            work();
        int64_t taken = now() - start;
        best = taken < best ? taken : best;
    }
    return best * 100 / (pairs * passes);
}

static void print_row(const char *kind, const char *work, int64_t rat, int64_t gmp)
{
    int64_t ratio = rat ? gmp * 100 / rat : 0;
    printf("%-15s %-8s %6lld.%02lld ns %6lld.%02lld ns %6lld.%02lld\n", kind, work, (long long)(rat / 100),
           (long long)(rat % 100), (long long)(gmp / 100), (long long)(gmp % 100), (long long)(ratio / 100),
           (long long)(ratio % 100));
}

int main(void)
{
    for (size_t i = 0; i < pairs; i++)
        mpq_inits(gmp_a[i], gmp_b[i], gmp_out[i], NULL);
    printf("%-15s %-8s %12s %12s %9s\n", "numbers", "work", "nmk_rat", "mpq", "ratio");
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++) {
        for (size_t i = 0; i < pairs; i++) {
            draw_one(&rat_a[i], gmp_a[i], kinds[k].draw);
            draw_one(&rat_b[i], gmp_b[i], kinds[k].draw);
        }
        for (size_t w = 0; w < sizeof works / sizeof *works; w++)
            print_row(kinds[k].name, works[w].name, best_of(works[w].rat), best_of(works[w].gmp));
    }
    for (size_t i = 0; i < pairs; i++) {
        nmk_rat_clear(&rat_a[i]);
        nmk_rat_clear(&rat_b[i]);
        nmk_rat_clear(&rat_out[i]);
        mpq_clears(gmp_a[i], gmp_b[i], gmp_out[i], NULL);
    }
    return 0;
}
