/* Published chances of sums of uniform errors. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "nearmark/chance.h"
#include "published/figures.h"

/* n errors of +-half each. */
static struct nmk_chance *errors_of(size_t n, const char *half)
{
    struct nmk_rat widths[12] = {{0}};
    struct nmk_chance *chance;
    assert_true(n <= 12);
    for (size_t i = 0; i < n; i++)
        widths[i] = figures_value(half);
    assert_int_equal(nmk_chance_new(&chance, widths, n), NMK_OK);
    for (size_t i = 0; i < n; i++)
        nmk_rat_clear(&widths[i]);
    return chance;
}

/* F_n(x): n uniforms on [0, 1] are n/2 plus n errors of +-1/2. */
static void irwin_hall(struct nmk_rat *out, size_t n, const struct nmk_rat *x)
{
    struct nmk_chance *chance = errors_of(n, "1/2");
    struct nmk_rat middle = {0};
    nmk_rat_set_frac(&middle, (int64_t)n, 2);
    nmk_rat_sub(&middle, x, &middle);
    nmk_chance_below(out, chance, &middle);
    nmk_rat_clear(&middle);
    nmk_chance_free(chance);
}

static bool is(const struct nmk_rat *value, const char *text)
{
    struct nmk_rat expected = figures_value(text);
    bool right = nmk_rat_equal(value, &expected);
    nmk_rat_clear(&expected);
    return right;
}

static bool irwin_hall_is(size_t n, const char *x, const char *text)
{
    struct nmk_rat at = figures_value(x), out = {0};
    irwin_hall(&out, n, &at);
    bool right = is(&out, text);
    nmk_rat_clear(&at);
    nmk_rat_clear(&out);
    return right;
}

/* The Irwin-Hall distribution, F_n(x) = (1/n!) sum (-1)^k C(n, k) (x - k)^n (P. Hall, Biometrika 19 (1927) 240-245, as
 * cited in Int. J. Math. Math. Sci. 2017, 3571419). The values were computed by it and agree with OEIS A188668. */
static void test_values(void **state)
{
    (void)state;
    assert_true(irwin_hall_is(2, "3/2", "7/8"));
    assert_true(irwin_hall_is(3, "3/2", "1/2"));
    assert_true(irwin_hall_is(3, "5/2", "47/48"));
    assert_false(irwin_hall_is(2, "3/2", "3/4"));
}

static void check_row(char *fields[FIGURES_FIELDS], size_t count)
{
    struct nmk_rat x = figures_value(fields[1]), out = {0}, cut = {0}, shift = {0};
    assert_int_equal(count, 4);
    irwin_hall(&out, strtoul(fields[0], NULL, 10), &x);
    nmk_rat_set_int(&shift, 1000000000000);
    nmk_rat_mul(&cut, &out, &shift); /* the decimals are cut off, not rounded */
    nmk_rat_floor(&cut, &cut);
    nmk_rat_div(&cut, &cut, &shift);
    if (!is(&out, fields[2]) || !is(&cut, fields[3]))
        fail_msg("F_%s(%s) is not %s", fields[0], fields[1], fields[2]);
    nmk_rat_clear(&x);
    nmk_rat_clear(&cut);
    nmk_rat_clear(&shift);
    nmk_rat_clear(&out);
}

/* The same formula, computed apart from this library for n = 1 .. 12 in half steps. */
static void test_table(void **state)
{
    (void)state;
    assert_int_equal(figures_table("irwin_hall.csv", check_row), 168);
}

/* The pieces of F_2 and F_3 as OEIS A188668 prints them. */
static void polynomial(struct nmk_rat *out, const int64_t *c, size_t count, int64_t den, const struct nmk_rat *x)
{
    struct nmk_rat term = {0}, sum = {0};
    for (size_t i = count; i-- > 0;) {
        nmk_rat_mul(&sum, &sum, x);
        nmk_rat_set_frac(&term, c[i], den);
        nmk_rat_add(&sum, &sum, &term);
    }
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&term);
}

static void test_pieces(void **state)
{
    (void)state;
    static const struct {
        size_t n, piece;
        int64_t den, c[4];
    } pieces[] = {
        {2, 1, 2, {-2, 4, -1, 0}}, {3, 0, 6, {0, 0, 0, 1}}, {3, 1, 6, {3, -9, 9, -2}}, {3, 2, 6, {-21, 27, -9, 1}},
    };
    struct nmk_rat x = {0}, f = {0}, p = {0};
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++)
        for (int64_t k = 0; k <= 254; k++) {
            nmk_rat_set_frac(&x, (int64_t)pieces[i].piece * 254 + k, 254);
            irwin_hall(&f, pieces[i].n, &x);
            polynomial(&p, pieces[i].c, 4, pieces[i].den, &x);
            assert_true(nmk_rat_equal(&f, &p));
        }
    nmk_rat_clear(&x);
    nmk_rat_clear(&f);
    nmk_rat_clear(&p);
}

/* P(k <= S_n < k + 1) = A(n, k) / n!, the Eulerian numbers (computed; they agree with OEIS A188668). */
static void test_eulerian(void **state)
{
    (void)state;
    static const struct {
        size_t n;
        const char *shares[5];
    } rows[] = {
        {3, {"1/6", "4/6", "1/6"}},
        {4, {"1/24", "11/24", "11/24", "1/24"}},
        {5, {"1/120", "26/120", "66/120", "26/120", "1/120"}},
    };
    struct nmk_rat nominal = {0}, low = {0}, high = {0}, out = {0};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_chance *chance = errors_of(rows[i].n, "1/2");
        nmk_rat_set_frac(&nominal, (int64_t)rows[i].n, 2);
        for (size_t k = 0; k < rows[i].n; k++) {
            nmk_rat_set_int(&low, (int64_t)k);
            nmk_rat_set_int(&high, (int64_t)k + 1);
            nmk_chance_within(&out, chance, &nominal, &low, &high);
            assert_true(is(&out, rows[i].shares[k]));
        }
        nmk_chance_free(chance);
    }
    nmk_rat_clear(&nominal);
    nmk_rat_clear(&low);
    nmk_rat_clear(&high);
    nmk_rat_clear(&out);
}

/* P(|sum of n rounding errors| <= limit) for errors of half a step each (computed; exact). */
static bool rounding_is(size_t n, const char *limit, const char *expected)
{
    struct nmk_chance *chance = errors_of(n, "1/2");
    struct nmk_rat zero = {0}, high = figures_value(limit), low = {0}, out = {0};
    nmk_rat_neg(&low, &high);
    nmk_chance_within(&out, chance, &zero, &low, &high);
    bool right = is(&out, expected);
    nmk_rat_clear(&high);
    nmk_rat_clear(&low);
    nmk_rat_clear(&out);
    nmk_chance_free(chance);
    return right;
}

static void test_rounding_errors(void **state)
{
    (void)state;
    static const struct {
        size_t n;
        const char *step, *half; /* half: NULL where the page gives none */
    } rows[] = {
        {3, "23/24", "2/3"},       {4, "11/12", "115/192"},       {5, "841/960", "11/20"},
        {6, "151/180", NULL},      {8, "15619/20160", NULL},      {10, "655177/907200", NULL},
        {12, "27085381/39916800", NULL},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_true(rounding_is(rows[i].n, "1", rows[i].step));
        if (rows[i].half)
            assert_true(rounding_is(rows[i].n, "1/2", rows[i].half));
    }
    assert_true(rounding_is(2, "1/2", "3/4"));
    assert_false(rounding_is(3, "1", "2/3"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_values),   cmocka_unit_test(test_table),           cmocka_unit_test(test_pieces),
        cmocka_unit_test(test_eulerian), cmocka_unit_test(test_rounding_errors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
