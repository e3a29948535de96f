/* The exact chance that a sum of uniform errors stays within bounds.
 *
 * The slow reference: every width is cut into cells of one size h, of which t is a multiple too. Then U is its cell (a
 * whole number, evenly likely) plus a place within the cell, and the sum of n places lies in [k, k + 1] h with chance
 * A(n, k) / n!, A the Eulerian numbers, by their recursion. Nothing of it is the formula of the library. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/memory.h"
#include "nearmark/chance.h"
#include "unit/exact/biased.h"

enum { MOST_WIDTHS = 7, MOST_CELLS = 40, PLACES = MOST_WIDTHS * (MOST_CELLS + 1) + 2 };

/* ---- the slow reference ---- */

/* out[k] of n + 1: the chance of k <= sum of n uniforms on [0, 1] < k + 1, times n!. */
static void eulerian(uint64_t out[MOST_WIDTHS + 1], size_t n)
{
    for (size_t k = 0; k <= MOST_WIDTHS; k++)
        out[k] = k == 0;
    for (size_t i = 2; i <= n; i++)
        for (size_t k = i; k-- > 0;)
            out[k] = (k + 1) * out[k] + (k ? (i - k) * out[k - 1] : 0);
}

/* P(S <= (at - sum cells / 2) h) for widths of cells[i] h / 2 each. */
static void slow_below(mpq_t out, const unsigned *cells, size_t n, long at)
{
    uint64_t ways[PLACES] = {1}, next[PLACES], euler[MOST_WIDTHS + 1];
    mpz_t all, below;
    mpz_init_set_ui(all, 1);
    mpz_init(below);
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < PLACES; k++) {
            next[k] = 0;
            for (size_t c = 0; c < cells[i] && c <= k; c++)
                next[k] += ways[k - c];
        }
        for (size_t k = 0; k < PLACES; k++)
            ways[k] = next[k];
        mpz_mul_ui(all, all, cells[i]);
        mpz_mul_ui(all, all, i + 1);
    }
    eulerian(euler, n);
    for (size_t k = 0; k < PLACES; k++)
        for (size_t j = 0; j < n; j++)
            if ((long)(k + j) < at) {
                mpz_t both;
                mpz_init_set_ui(both, ways[k]);
                mpz_mul_ui(both, both, euler[j]);
                mpz_add(below, below, both);
                mpz_clear(both);
            }
    mpz_set(mpq_numref(out), below);
    mpz_set(mpq_denref(out), all);
    mpq_canonicalize(out);
    mpz_clears(all, below, (mpz_ptr)NULL);
}

/* ---- helpers ---- */

static struct nmk_chance *of(const char *const *texts, size_t count)
{
    struct nmk_rat widths[300] = {{0}};
    struct nmk_chance *chance = NULL;
    for (size_t i = 0; i < count; i++)
        widths[i] = rat_of(texts[i]);
    assert_int_equal(nmk_chance_new(&chance, widths, count), NMK_OK);
    for (size_t i = 0; i < count; i++)
        nmk_rat_clear(&widths[i]);
    return chance;
}

static struct nmk_chance *of_equal(const char *width, size_t count)
{
    const char *texts[300];
    for (size_t i = 0; i < count; i++)
        texts[i] = width;
    return of(texts, count);
}

static void check_below(const struct nmk_chance *chance, const char *t, const char *expected)
{
    struct nmk_rat at = rat_of(t), out = {0};
    nmk_chance_below(&out, chance, &at);
    if (!rat_prints(&out, expected)) {
        char text[200];
        nmk_rat_print(text, sizeof text, &out);
        fail_msg("P(S <= %s) = %s, not %s", t, text, expected);
    }
    nmk_rat_clear(&at);
    nmk_rat_clear(&out);
}

static void check_within(const struct nmk_chance *chance, const char *nominal, const char *low, const char *high,
                         const char *expected)
{
    struct nmk_rat at = rat_of(nominal), out = {0}, bounds[2] = {{0}, {0}};
    if (low)
        bounds[0] = rat_of(low);
    if (high)
        bounds[1] = rat_of(high);
    nmk_chance_within(&out, chance, &at, low ? &bounds[0] : NULL, high ? &bounds[1] : NULL);
    if (!rat_prints(&out, expected)) {
        char text[200];
        nmk_rat_print(text, sizeof text, &out);
        fail_msg("P(%s <= %s + S <= %s) = %s, not %s", low ? low : "-", nominal, high ? high : "-", text, expected);
    }
    nmk_rat_clear(&at);
    nmk_rat_clear(&out);
    nmk_rat_clear(&bounds[0]);
    nmk_rat_clear(&bounds[1]);
}

/* ---- by hand ---- */

static void test_no_errors(void **state)
{
    (void)state;
    struct nmk_chance *c = of(NULL, 0);
    assert_true(nmk_rat_is_zero(nmk_chance_reach(c)));
    check_below(c, "-1/1000", "0");
    check_below(c, "0", "1");
    check_below(c, "1/1000", "1");
    check_within(c, "2", "2", "2", "1");
    check_within(c, "2", "2", NULL, "1");
    check_within(c, "2", NULL, "2", "1");
    check_within(c, "2", NULL, NULL, "1");
    check_within(c, "2", "3", NULL, "0");
    check_within(c, "2", NULL, "1", "0");
    nmk_chance_free(c);
}

static void test_one_error(void **state)
{
    (void)state;
    struct nmk_chance *c = of((const char *[]){"1/2"}, 1);
    check_below(c, "-1/2", "0");
    check_below(c, "-9", "0");
    check_below(c, "-1/4", "1/4"); /* a quarter of the way */
    check_below(c, "0", "1/2");
    check_below(c, "3/10", "4/5");
    check_below(c, "1/2", "1");
    check_below(c, "9", "1");
    check_within(c, "1", "1", "3/2", "1/2");
    check_within(c, "1", "3/4", "5/4", "1/2");
    check_within(c, "1", "1/2", "3/2", "1");
    check_within(c, "1", "1", "1", "0"); /* a single value */
    check_within(c, "1", "3/2", "1/2", "0"); /* bounds the wrong way round hold nothing */
    check_within(c, "1", "3/4", NULL, "3/4");
    check_within(c, "1", NULL, "3/4", "1/4");
    check_within(c, "1", NULL, NULL, "1");
    check_within(c, "5", "1", "2", "0");
    nmk_chance_free(c);
}

/* Two errors of 0.2 and 0.1: the corner that is cut off at t = 0.2 has sides of 0.1, so 1 - 0.1^2 / 2 / (0.4 * 0.2). */
static void test_two_errors(void **state)
{
    (void)state;
    struct nmk_chance *c = of((const char *[]){"1/5", "1/10"}, 2);
    assert_true(rat_prints(nmk_chance_reach(c), "3/10"));
    check_below(c, "1/5", "15/16");
    check_below(c, "-1/5", "1/16");
    check_below(c, "1/10", "3/4"); /* corner of 0.2: 0.02 / 0.08 */
    check_within(c, "1", "4/5", "6/5", "7/8");
    nmk_chance_free(c);
}

static void test_refused(void **state)
{
    (void)state;
    struct nmk_rat widths[25] = {{0}};
    struct nmk_chance *const untouched = (struct nmk_chance *)widths;
    struct nmk_chance *c = untouched;
    nmk_rat_set_int(&widths[0], 1);
    assert_int_equal(nmk_chance_new(&c, widths, 2), NMK_INVALID); /* the second is 0 */
    nmk_rat_set_int(&widths[1], -1);
    assert_int_equal(nmk_chance_new(&c, widths, 2), NMK_INVALID);
    assert_int_equal(nmk_chance_new(&c, NULL, 1), NMK_INVALID);
    assert_int_equal(nmk_chance_new(NULL, widths, 1), NMK_INVALID);
    for (int i = 0; i < 25; i++) /* all sums are different: 2^25 terms */
        nmk_rat_set_int(&widths[i], (int64_t)1 << i);
    assert_int_equal(nmk_chance_new(&c, widths, 25), NMK_TOO_LARGE);
    assert_ptr_equal(c, untouched);
    assert_int_equal(nmk_chance_new(&c, widths, 12), NMK_OK);
    check_below(c, "0", "1/2");
    nmk_chance_free(c);
    nmk_chance_free(NULL);
    for (int i = 0; i < 25; i++)
        nmk_rat_clear(&widths[i]);
}

/* ---- against the reference ---- */

static void check_random(unsigned long number)
{
    unsigned cells[MOST_WIDTHS], total = 0;
    struct nmk_rat widths[MOST_WIDTHS] = {{0}}, h = {0}, half = {0}, at = {0}, out = {0};
    size_t n = 1 + biased_below(MOST_WIDTHS);
    mpq_t expected;
    mpq_init(expected);
    do
        biased_rat(&h);
    while (nmk_rat_sign(&h) <= 0);
    nmk_rat_set_frac(&half, 1, 2);
    nmk_rat_mul(&half, &half, &h);
    for (size_t i = 0; i < n; i++) {
        cells[i] = i && !biased_below(3) ? cells[i - 1] : 1 + (unsigned)biased_below(MOST_CELLS);
        total += cells[i];
        nmk_rat_set_int(&widths[i], cells[i]);
        nmk_rat_mul(&widths[i], &widths[i], &half);
    }
    struct nmk_chance *c;
    assert_int_equal(nmk_chance_new(&c, widths, n), NMK_OK);
    for (int k = 0; k < 4; k++) { /* sum of the widths is total / 2 h */
        long place = (long)biased_below(total + 3) - 1;
        slow_below(expected, cells, n, place);
        nmk_rat_set_int(&at, 2 * place - (long)total);
        nmk_rat_mul(&at, &at, &half);
        nmk_chance_below(&out, c, &at);
        biased_check(rat_is(&out, expected), number, "chance below", &at, &out);
    }
    nmk_chance_free(c);
    for (size_t i = 0; i < n; i++)
        nmk_rat_clear(&widths[i]);
    nmk_rat_clear(&h);
    nmk_rat_clear(&half);
    nmk_rat_clear(&at);
    nmk_rat_clear(&out);
    mpq_clear(expected);
}

static void test_against_cells(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long i = 0; i < biased_cases(400); i++)
        check_random(i);
}

/* Widths with nothing in common: symmetric, rising, and the chance within is what lies between. */
static void check_shape(unsigned long number)
{
    struct nmk_rat widths[6] = {{0}}, t = {0}, minus = {0}, a = {0}, b = {0}, c = {0}, last = {0}, one = {0}, eighth = {0},
                   zero = {0};
    size_t n = 1 + biased_below(6);
    struct nmk_chance *chance;
    for (size_t i = 0; i < n; i++)
        do
            biased_rat(&widths[i]);
        while (nmk_rat_sign(&widths[i]) <= 0);
    assert_int_equal(nmk_chance_new(&chance, widths, n), NMK_OK);
    nmk_rat_set_int(&one, 1);
    for (int64_t k = -9; k <= 9; k++) {
        nmk_rat_set_frac(&eighth, k, 8);
        nmk_rat_mul(&t, nmk_chance_reach(chance), &eighth);
        nmk_rat_neg(&minus, &t);
        nmk_chance_below(&a, chance, &t);
        nmk_chance_below(&b, chance, &minus);
        nmk_rat_add(&c, &a, &b);
        biased_check(nmk_rat_equal(&c, &one), number, "both sides together", &a, &b);
        biased_check(k <= -8  ? nmk_rat_is_zero(&a)
                     : k >= 8 ? nmk_rat_equal(&a, &one)
                              : nmk_rat_cmp(&last, &a) < 0,
                     number, "rises", &last, &a);
        nmk_chance_within(&b, chance, &zero, &minus, &t); /* P(-t <= S <= t) = 2 P(S <= t) - 1 */
        nmk_rat_add(&c, &a, &a);
        nmk_rat_sub(&c, &c, &one);
        biased_check(k < 0 ? nmk_rat_is_zero(&b) : nmk_rat_equal(&b, &c), number, "within", &b, &c);
        nmk_rat_set(&last, &a);
    }
    nmk_chance_free(chance);
    for (size_t i = 0; i < n; i++)
        nmk_rat_clear(&widths[i]);
    nmk_rat_clear(&t);
    nmk_rat_clear(&minus);
    nmk_rat_clear(&a);
    nmk_rat_clear(&b);
    nmk_rat_clear(&c);
    nmk_rat_clear(&last);
    nmk_rat_clear(&one);
    nmk_rat_clear(&eighth);
}

static void test_shape(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long i = 0; i < biased_cases(200); i++)
        check_shape(i);
}

/* The order of the widths does not matter, nor their scale together with t. */
static void test_order_and_scale(void **state)
{
    (void)state;
    struct nmk_chance *a = of((const char *[]){"1/5", "3/10", "1/2", "1/5"}, 4);
    struct nmk_chance *b = of((const char *[]){"127/2", "254/10", "254/10", "381/10"}, 4); /* 127 times as wide */
    struct nmk_rat t = rat_of("1/10"), wide = rat_of("127/10"), x = {0}, y = {0};
    nmk_chance_below(&x, a, &t);
    nmk_chance_below(&y, b, &wide);
    assert_true(nmk_rat_equal(&x, &y));
    assert_true(nmk_rat_cmp_int(&x, 1) < 0);
    nmk_rat_clear(&t);
    nmk_rat_clear(&wide);
    nmk_rat_clear(&x);
    nmk_rat_clear(&y);
    nmk_chance_free(a);
    nmk_chance_free(b);
}

/* 200 equal errors share their terms. At t = W/200 - W half of one width is left: (1/2)^200 / 200!. */
static void test_many_equal(void **state)
{
    (void)state;
    struct nmk_chance *c = of_equal("1/5", 200);
    struct nmk_rat t = rat_of("-199/5"), out = {0};
    mpq_t expected;
    mpq_init(expected);
    mpz_fac_ui(mpq_denref(expected), 200);
    mpz_mul_2exp(mpq_denref(expected), mpq_denref(expected), 200);
    mpz_set_ui(mpq_numref(expected), 1);
    check_below(c, "0", "1/2");
    check_below(c, "-40", "0");
    check_below(c, "40", "1");
    assert_true(rat_prints(nmk_chance_reach(c), "40"));
    nmk_chance_below(&out, c, &t);
    assert_true(rat_is(&out, expected));
    mpq_clear(expected);
    nmk_rat_clear(&t);
    nmk_rat_clear(&out);
    nmk_chance_free(c);
}

/* The same struct as input and output. */
static void test_aliases(void **state)
{
    (void)state;
    struct nmk_chance *c = of((const char *[]){"1/2", "1/2"}, 2);
    struct nmk_rat t = rat_of("1/2"), nominal = rat_of("1/2"), low = rat_of("0"), high = rat_of("1");
    nmk_chance_below(&t, c, &t);
    assert_true(rat_prints(&t, "7/8"));
    nmk_chance_within(&nominal, c, &nominal, &low, &high); /* 1 - 2 / 8 */
    assert_true(rat_prints(&nominal, "3/4"));
    nmk_rat_set_frac(&nominal, 1, 2);
    nmk_chance_within(&low, c, &nominal, &low, &high);
    assert_true(rat_prints(&low, "3/4"));
    nmk_rat_clear(&t);
    nmk_rat_clear(&nominal);
    nmk_rat_clear(&low);
    nmk_rat_clear(&high);
    nmk_chance_free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_errors),  cmocka_unit_test(test_one_error),     cmocka_unit_test(test_two_errors),
        cmocka_unit_test(test_refused),    cmocka_unit_test(test_against_cells), cmocka_unit_test(test_shape),
        cmocka_unit_test(test_order_and_scale), cmocka_unit_test(test_many_equal), cmocka_unit_test(test_aliases),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
