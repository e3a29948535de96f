/* Exact rationals: life, arithmetic and order, on both paths and over the border between them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "unit/exact/biased.h"

enum { cases = 6000 };

/* ---- life ---- */

static void test_a_zeroed_struct_is_zero(void **state)
{
    (void)state;
    struct nmk_rat zeroed = {0}, started;
    nmk_rat_init(&started);
    assert_true(rat_prints(&zeroed, "0"));
    assert_true(nmk_rat_equal(&zeroed, &started));
    assert_true(rat_is_sound(&zeroed));
    nmk_rat_clear(&zeroed);
    nmk_rat_clear(&zeroed);
    assert_true(rat_prints(&zeroed, "0"));
}

static void test_a_cleared_value_is_zero_and_serves_again(void **state)
{
    (void)state;
    struct nmk_rat r = rat_of("123456789012345678901234567890/7");
    nmk_rat_clear(&r);
    assert_true(nmk_rat_is_zero(&r));
    nmk_rat_set_int(&r, 3);
    assert_true(rat_prints(&r, "3"));
    nmk_rat_clear(&r);
    nmk_rat_clear(&r);
}

static void test_a_copy_is_a_value_of_its_own(void **state)
{
    (void)state;
    const char *const texts[] = {"0", "127/80", "-9223372036854775808", "1/100000000000000000000000"};
    for (size_t i = 0; i < 4; i++) {
        for (size_t j = 0; j < 4; j++) {
            struct nmk_rat a = rat_of(texts[i]), b = rat_of(texts[j]);
            nmk_rat_set(&b, &a);
            assert_true(nmk_rat_equal(&a, &b) && rat_is_sound(&b));
            nmk_rat_set_int(&a, 5);
            assert_true(rat_prints(&b, texts[i]));
            nmk_rat_clear(&a);
            nmk_rat_clear(&b);
        }
    }
}

static void test_values_are_swapped(void **state)
{
    (void)state;
    struct nmk_rat a = rat_of("1/3"), b = rat_of("100000000000000000000");
    nmk_rat_swap(&a, &b);
    assert_true(rat_prints(&a, "100000000000000000000") && rat_prints(&b, "1/3"));
    nmk_rat_swap(&a, &a);
    assert_true(rat_prints(&a, "100000000000000000000"));
    nmk_rat_clear(&a);
    nmk_rat_clear(&b);
}

static void test_fractions_of_any_sign_are_reduced(void **state)
{
    (void)state;
    static const struct {
        int64_t num, den;
        const char *text;
    } rows[] = {
        {254, 160, "127/80"}, {-254, 160, "-127/80"}, {254, -160, "-127/80"}, {-254, -160, "127/80"},
        {0, 5, "0"}, {0, -5, "0"}, {0, INT64_MIN, "0"}, {INT64_MIN, INT64_MIN, "1"},
        {INT64_MIN, 1, "-9223372036854775808"}, {INT64_MIN, -1, "9223372036854775808"},
        {1, INT64_MIN, "-1/9223372036854775808"}, {INT64_MIN, INT64_MAX, "-9223372036854775808/9223372036854775807"},
        {INT64_MAX, INT64_MAX, "1"}, {INT64_MAX, 7, "1317624576693539401"}, {3, INT64_MAX, "3/9223372036854775807"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat r = {0};
        assert_int_equal(nmk_rat_set_frac(&r, rows[i].num, rows[i].den), NMK_OK);
        assert_true(rat_prints(&r, rows[i].text) && rat_is_sound(&r));
        nmk_rat_clear(&r);
    }
}

static void test_a_zero_denominator_is_refused(void **state)
{
    (void)state;
    struct nmk_rat r = rat_of("127/80"), zero = {0};
    assert_int_equal(nmk_rat_set_frac(&r, 1, 0), NMK_DIVISION_BY_ZERO);
    assert_int_equal(nmk_rat_set_frac(&r, 0, 0), NMK_DIVISION_BY_ZERO);
    assert_int_equal(nmk_rat_div(&r, &r, &zero), NMK_DIVISION_BY_ZERO);
    assert_int_equal(nmk_rat_div(&zero, &r, &zero), NMK_DIVISION_BY_ZERO);
    assert_true(rat_prints(&r, "127/80") && rat_prints(&zero, "0"));
}

/* The checks see a broken value: built by hand, since no call makes one. */
static void test_what_is_not_canonical_is_seen(void **state)
{
    (void)state;
    const struct nmk_rat broken[] = {{2, 3, NULL}, {0, 1, NULL}, {1, -1, NULL}, {1, -2, NULL}, {INT64_MIN, 0, NULL},
                                     {1, INT64_MAX, NULL}, {-6, 3, NULL}};
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++)
        assert_false(nmk_rat_is_canonical(&broken[i]));
    static const char *const pairs[][2] = {{"3", "2"}, {"1", "1"}, {"100000000000000000000", "10"},
                                           {"100000000000000000000", "-3"}, {"1", "0"}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        mpq_t q;
        mpq_init(q);
        mpz_set_str(mpq_numref(q), pairs[i][0], 10);
        mpz_set_str(mpq_denref(q), pairs[i][1], 10);
        if (i > 0) { /* 3/2 is small where words are wide and where they are tiny */
            struct nmk_rat r = {.big = q};
            assert_false(nmk_rat_is_canonical(&r));
        }
        struct nmk_rat worded = {.num = 1, .big = q};
        assert_false(nmk_rat_is_canonical(&worded));
        mpq_clear(q);
    }
}

/* ---- borders ---- */

/* Every sum, difference, product and quotient of numbers next to the powers of two, against GMP. */
static void test_all_is_right_round_every_word_boundary(void **state)
{
    (void)state;
    static const unsigned powers[] = {0, 2, 3, 15, 30, 31, 32, 61, 62, 63, 64, 126, 127};
    enum { count = sizeof powers / sizeof *powers * 3 * 4 };
    static struct nmk_rat values[count];
    static mpq_t exact[count];
    for (size_t i = 0; i < count; i++) {
        mpq_init(exact[i]);
        mpz_setbit(mpq_numref(exact[i]), powers[i / 12]);
        mpq_t beside;
        mpq_init(beside);
        mpq_set_si(beside, (long)(i / 4 % 3) - 1, 1);
        mpq_add(exact[i], exact[i], beside);
        mpq_clear(beside);
        if (i & 1)
            mpq_neg(exact[i], exact[i]);
        if ((i & 2) && mpq_sgn(exact[i]))
            mpq_inv(exact[i], exact[i]);
        rat_from(&values[i], exact[i]);
        assert_true(rat_is(&values[i], exact[i]));
    }
    mpq_t q;
    mpq_init(q);
    struct nmk_rat r = {0};
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < count; j++) {
            const struct nmk_rat *a = &values[i], *b = &values[j];
            unsigned long number = i * count + j;
            mpq_add(q, exact[i], exact[j]);
            nmk_rat_add(&r, a, b);
            biased_check(rat_is(&r, q), number, "sum", a, b);
            mpq_sub(q, exact[i], exact[j]);
            nmk_rat_sub(&r, a, b);
            biased_check(rat_is(&r, q), number, "difference", a, b);
            mpq_mul(q, exact[i], exact[j]);
            nmk_rat_mul(&r, a, b);
            biased_check(rat_is(&r, q), number, "product", a, b);
            if (mpq_sgn(exact[j])) {
                mpq_div(q, exact[i], exact[j]);
                biased_check(nmk_rat_div(&r, a, b) == NMK_OK && rat_is(&r, q), number, "quotient", a, b);
            }
            int order = mpq_cmp(exact[i], exact[j]), own = nmk_rat_cmp(a, b);
            biased_check((order > 0) == (own > 0) && (order < 0) == (own < 0), number, "order", a, b);
        }
    }
    nmk_rat_clear(&r);
    mpq_clear(q);
    for (size_t i = 0; i < count; i++) {
        nmk_rat_clear(&values[i]);
        mpq_clear(exact[i]);
    }
}

static void test_whole_numbers_of_int64_go_in(void **state)
{
    (void)state;
    static const struct {
        int64_t n;
        const char *text;
    } rows[] = {{0, "0"}, {7, "7"}, {8, "8"}, {-8, "-8"}, {INT64_MAX, "9223372036854775807"},
                {-INT64_MAX, "-9223372036854775807"}, {INT64_MIN, "-9223372036854775808"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat r = rat_of("1/99999999999999999999999");
        nmk_rat_set_int(&r, rows[i].n);
        assert_true(rat_prints(&r, rows[i].text) && rat_is_sound(&r));
        assert_int_equal(nmk_rat_cmp_int(&r, rows[i].n), 0);
        nmk_rat_clear(&r);
    }
}

/* ---- arithmetic on random numbers ---- */

typedef void rat_operation(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);
typedef void gmp_operation(mpq_ptr out, mpq_srcptr a, mpq_srcptr b);

static void quotient(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    assert_int_equal(nmk_rat_div(out, a, b), NMK_OK);
}

/* out apart from a and b, then the same as each of them; a with itself is asked where both are the same. */
static void check_operation(unsigned long number, const char *name, rat_operation *own, gmp_operation *gmp,
                            mpq_srcptr a, mpq_srcptr b)
{
    struct nmk_rat x = {0}, y = {0}, out = {0};
    mpq_t right;
    mpq_init(right);
    rat_from(&x, a);
    rat_from(&y, b);
    gmp(right, a, b);
    biased_rat(&out);
    own(&out, &x, &y);
    biased_check(rat_is(&out, right) && rat_is(&x, a) && rat_is(&y, b), number, name, &x, &y);
    nmk_rat_set(&out, &x);
    own(&out, &out, &y);
    biased_check(rat_is(&out, right), number, name, &x, &y);
    nmk_rat_set(&out, &y);
    own(&out, &x, &out);
    biased_check(rat_is(&out, right), number, name, &x, &y);
    nmk_rat_clear(&x);
    nmk_rat_clear(&y);
    nmk_rat_clear(&out);
    mpq_clear(right);
}

static void test_sums_products_and_quotients_are_those_of_gmp(void **state)
{
    (void)state;
    mpq_t a, b;
    mpq_inits(a, b, NULL);
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        biased_fraction(a);
        if (biased_below(3))
            biased_fraction(b);
        else
            biased_near(b, a);
        check_operation(i, "sum", nmk_rat_add, mpq_add, a, b);
        check_operation(i, "difference", nmk_rat_sub, mpq_sub, a, b);
        check_operation(i, "product", nmk_rat_mul, mpq_mul, a, b);
        if (mpq_sgn(b))
            check_operation(i, "quotient", quotient, mpq_div, a, b);
    }
    mpq_clears(a, b, NULL);
}

static void test_a_value_with_itself_into_itself(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0}, r = {0}, twice = {0}, square = {0};
        biased_rat(&a);
        nmk_rat_add(&twice, &a, &a);
        nmk_rat_mul(&square, &a, &a);
        nmk_rat_set(&r, &a);
        nmk_rat_add(&r, &r, &r);
        biased_check(nmk_rat_equal(&r, &twice), i, "a + a into a", &a, NULL);
        nmk_rat_set(&r, &a);
        nmk_rat_mul(&r, &r, &r);
        biased_check(nmk_rat_equal(&r, &square), i, "a * a into a", &a, NULL);
        nmk_rat_set(&r, &a);
        nmk_rat_addmul(&r, &r, &r);
        nmk_rat_add(&square, &square, &a);
        biased_check(nmk_rat_equal(&r, &square), i, "a + a * a into a", &a, NULL);
        nmk_rat_set(&r, &a);
        if (!nmk_rat_is_zero(&r)) {
            biased_check(nmk_rat_div(&r, &r, &r) == NMK_OK && rat_prints(&r, "1"), i, "a / a into a", &a, NULL);
            nmk_rat_set(&r, &a);
        }
        nmk_rat_sub(&r, &r, &r);
        biased_check(rat_prints(&r, "0") && rat_is_sound(&r), i, "a - a into a", &a, NULL);
        nmk_rat_clear(&a);
        nmk_rat_clear(&r);
        nmk_rat_clear(&twice);
        nmk_rat_clear(&square);
    }
}

static void test_addmul_adds_a_product(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0}, b = {0}, c = {0}, sum = {0}, out = {0};
        biased_rat(&a);
        biased_rat(&b);
        biased_rat(&c);
        nmk_rat_mul(&sum, &a, &b);
        nmk_rat_add(&sum, &sum, &c);
        nmk_rat_set(&out, &c);
        nmk_rat_addmul(&out, &a, &b);
        biased_check(nmk_rat_equal(&out, &sum) && rat_is_sound(&out), i, "c + a * b", &a, &b);
        nmk_rat_mul(&sum, &a, &b);
        nmk_rat_add(&sum, &sum, &a);
        nmk_rat_set(&out, &a);
        nmk_rat_addmul(&out, &out, &b);
        biased_check(nmk_rat_equal(&out, &sum), i, "a + a * b into a", &a, &b);
        nmk_rat_clear(&a);
        nmk_rat_clear(&b);
        nmk_rat_clear(&c);
        nmk_rat_clear(&sum);
        nmk_rat_clear(&out);
    }
}

static void test_sign_negation_and_size(void **state)
{
    (void)state;
    mpq_t q, other;
    mpq_inits(q, other, NULL);
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0}, out = {0};
        biased_fraction(q);
        rat_from(&a, q);
        biased_rat(&out);
        biased_check(nmk_rat_sign(&a) == mpq_sgn(q), i, "sign", &a, NULL);
        biased_check(nmk_rat_is_zero(&a) == (mpq_sgn(q) == 0), i, "zero", &a, NULL);
        biased_check(nmk_rat_is_int(&a) == (mpz_cmp_ui(mpq_denref(q), 1) == 0), i, "whole", &a, NULL);
        mpq_neg(other, q);
        nmk_rat_neg(&out, &a);
        biased_check(rat_is(&out, other), i, "negation", &a, NULL);
        mpq_abs(other, q);
        nmk_rat_abs(&out, &a);
        biased_check(rat_is(&out, other) && rat_is(&a, q), i, "size", &a, NULL);
        nmk_rat_abs(&a, &a);
        biased_check(rat_is(&a, other), i, "size into itself", &a, NULL);
        mpq_neg(other, other);
        nmk_rat_neg(&a, &a);
        biased_check(rat_is(&a, other), i, "negation into itself", &a, NULL);
        nmk_rat_clear(&a);
        nmk_rat_clear(&out);
    }
    mpq_clears(q, other, NULL);
}

static void test_powers_are_repeated_products(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases / 10); i++) {
        struct nmk_rat a = {0}, product = {0}, out = {0};
        biased_rat(&a);
        nmk_rat_set_int(&product, 1);
        for (unsigned n = 0; n < 9; n++) {
            nmk_rat_pow(&out, &a, n);
            biased_check(nmk_rat_equal(&out, &product) && rat_is_sound(&out), i, "power", &a, NULL);
            nmk_rat_mul(&product, &product, &a);
        }
        nmk_rat_pow(&a, &a, 9);
        biased_check(nmk_rat_equal(&a, &product), i, "power into itself", &a, NULL);
        nmk_rat_clear(&a);
        nmk_rat_clear(&product);
        nmk_rat_clear(&out);
    }
}

static void test_powers_of_0_1_and_minus_1_need_no_room(void **state)
{
    (void)state;
    struct nmk_rat out = {0}, zero = {0}, one = {.num = 1}, minus = {.num = -1};
    nmk_rat_pow(&out, &zero, 0);
    assert_true(rat_prints(&out, "1"));
    nmk_rat_pow(&out, &zero, 4000000000u);
    assert_true(rat_prints(&out, "0"));
    nmk_rat_pow(&out, &one, 4000000000u);
    assert_true(rat_prints(&out, "1"));
    nmk_rat_pow(&out, &minus, 4000000001u);
    assert_true(rat_prints(&out, "-1"));
}

/* ---- order ---- */

static void test_order_is_the_sign_of_the_difference(void **state)
{
    (void)state;
    mpq_t p, q;
    mpq_inits(p, q, NULL);
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0}, b = {0};
        biased_fraction(p);
        if (biased_below(2))
            biased_fraction(q);
        else
            biased_near(q, p);
        rat_from(&a, p);
        rat_from(&b, q);
        int right = mpq_cmp(p, q), order = nmk_rat_cmp(&a, &b);
        biased_check((order > 0) - (order < 0) == (right > 0) - (right < 0), i, "order", &a, &b);
        order = nmk_rat_cmp(&b, &a);
        biased_check((order < 0) - (order > 0) == (right > 0) - (right < 0), i, "order the other way", &a, &b);
        biased_check(nmk_rat_equal(&a, &b) == (right == 0), i, "equality", &a, &b);
        nmk_rat_clear(&a);
        nmk_rat_clear(&b);
    }
    mpq_clears(p, q, NULL);
}

static void test_order_against_whole_numbers(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0}, whole = {0};
        int64_t n = biased_below(4) ? (int64_t)(biased_bits() >> biased_below(64))
                                    : (int64_t[]){0, 1, -1, 7, 8, -8, INT64_MAX, INT64_MIN}[biased_below(8)];
        biased_rat(&a);
        nmk_rat_set_int(&whole, n);
        int right = nmk_rat_cmp(&a, &whole), order = nmk_rat_cmp_int(&a, n);
        biased_check((order > 0) == (right > 0) && (order < 0) == (right < 0), i, "order", &a, &whole);
        nmk_rat_clear(&a);
        nmk_rat_clear(&whole);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_zeroed_struct_is_zero),
        cmocka_unit_test(test_a_cleared_value_is_zero_and_serves_again),
        cmocka_unit_test(test_a_copy_is_a_value_of_its_own),
        cmocka_unit_test(test_values_are_swapped),
        cmocka_unit_test(test_fractions_of_any_sign_are_reduced),
        cmocka_unit_test(test_a_zero_denominator_is_refused),
        cmocka_unit_test(test_what_is_not_canonical_is_seen),
        cmocka_unit_test(test_all_is_right_round_every_word_boundary),
        cmocka_unit_test(test_whole_numbers_of_int64_go_in),
        cmocka_unit_test(test_sums_products_and_quotients_are_those_of_gmp),
        cmocka_unit_test(test_a_value_with_itself_into_itself),
        cmocka_unit_test(test_addmul_adds_a_product),
        cmocka_unit_test(test_sign_negation_and_size),
        cmocka_unit_test(test_powers_are_repeated_products),
        cmocka_unit_test(test_powers_of_0_1_and_minus_1_need_no_room),
        cmocka_unit_test(test_order_is_the_sign_of_the_difference),
        cmocka_unit_test(test_order_against_whole_numbers),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
