/* Rationals and whole numbers: rounding, parts, common measures and multiples, leaving for int64, hashes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "unit/exact/biased.h"

enum { cases = 6000 };

/* floor(a) is the whole number with floor(a) <= a < floor(a) + 1; the ceiling the same from the other side. */
static void test_floor_and_ceiling_hold_the_value_between_them(void **state)
{
    (void)state;
    struct nmk_rat one = {.num = 1};
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0}, low = {0}, high = {0}, end = {0};
        biased_rat(&a);
        nmk_rat_floor(&low, &a);
        nmk_rat_ceil(&high, &a);
        nmk_rat_add(&end, &low, &one);
        biased_check(rat_is_sound(&low) && nmk_rat_is_int(&low) && nmk_rat_cmp(&low, &a) <= 0 &&
                         nmk_rat_cmp(&a, &end) < 0, i, "floor", &a, &low);
        nmk_rat_sub(&end, &high, &one);
        biased_check(rat_is_sound(&high) && nmk_rat_is_int(&high) && nmk_rat_cmp(&high, &a) >= 0 &&
                         nmk_rat_cmp(&a, &end) > 0, i, "ceiling", &a, &high);
        nmk_rat_set(&end, &a);
        nmk_rat_floor(&end, &end);
        biased_check(nmk_rat_equal(&end, &low), i, "floor into itself", &a, &end);
        nmk_rat_set(&end, &a);
        nmk_rat_ceil(&end, &end);
        biased_check(nmk_rat_equal(&end, &high), i, "ceiling into itself", &a, &end);
        nmk_rat_clear(&a);
        nmk_rat_clear(&low);
        nmk_rat_clear(&high);
        nmk_rat_clear(&end);
    }
}

static void test_rounding_at_known_places(void **state)
{
    (void)state;
    static const char *const rows[][3] = {
        {"7/2", "3", "4"},   {"-7/2", "-4", "-3"}, {"4", "4", "4"}, {"-4", "-4", "-4"}, {"0", "0", "0"},
        {"1/9223372036854775807", "0", "1"}, {"-1/9223372036854775807", "-1", "0"},
        {"1/9223372036854775808", "0", "1"}, {"-1/9223372036854775808", "-1", "0"},
        {"-9223372036854775807/2", "-4611686018427387904", "-4611686018427387903"},
        {"18446744073709551617/2", "9223372036854775808", "9223372036854775809"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of(rows[i][0]), out = {0};
        nmk_rat_floor(&out, &a);
        assert_true(rat_prints(&out, rows[i][1]));
        nmk_rat_ceil(&out, &a);
        assert_true(rat_prints(&out, rows[i][2]));
        nmk_rat_clear(&a);
        nmk_rat_clear(&out);
    }
}

static void test_the_parts_make_the_whole(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0}, num = {0}, den = {0}, out = {0};
        biased_rat(&a);
        nmk_rat_num(&num, &a);
        nmk_rat_den(&den, &a);
        biased_check(nmk_rat_is_int(&num) && nmk_rat_is_int(&den) && nmk_rat_sign(&den) > 0, i, "parts", &a, &den);
        biased_check(nmk_rat_div(&out, &num, &den) == NMK_OK && nmk_rat_equal(&out, &a), i, "parts", &num, &den);
        size_t bits = nmk_rat_bits(&num) > nmk_rat_bits(&den) ? nmk_rat_bits(&num) : nmk_rat_bits(&den);
        biased_check(nmk_rat_bits(&a) == bits, i, "bits", &a, NULL);
        nmk_rat_set(&out, &a);
        nmk_rat_num(&out, &out);
        biased_check(nmk_rat_equal(&out, &num) && rat_is_sound(&out), i, "numerator into itself", &a, NULL);
        nmk_rat_set(&out, &a);
        nmk_rat_den(&out, &out);
        biased_check(nmk_rat_equal(&out, &den) && rat_is_sound(&out), i, "denominator into itself", &a, NULL);
        nmk_rat_clear(&a);
        nmk_rat_clear(&num);
        nmk_rat_clear(&den);
        nmk_rat_clear(&out);
    }
}

static void test_bits_of_known_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t bits;
    } rows[] = {{"0", 1}, {"1", 1}, {"-2", 2}, {"7", 3}, {"8", 4}, {"1/8", 4}, {"127/80", 7}, {"-9223372036854775807", 63},
                {"9223372036854775808", 64}, {"1/36893488147419103232", 66}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of(rows[i].text);
        assert_int_equal(nmk_rat_bits(&a), rows[i].bits);
        nmk_rat_clear(&a);
    }
}

static bool is_whole_multiple(const struct nmk_rat *a, const struct nmk_rat *of)
{
    struct nmk_rat times = {0};
    bool whole = nmk_rat_div(&times, a, of) == NMK_OK && nmk_rat_is_int(&times);
    nmk_rat_clear(&times);
    return whole;
}

/* a/g and b/g are whole; that no whole number above 1 divides both is seen by Euclid's rule on them, here by GMP. */
static bool is_greatest(const struct nmk_rat *g, mpq_srcptr a, mpq_srcptr b)
{
    mpq_t x, y, divisor;
    mpq_inits(x, y, divisor, NULL);
    mpz_t rest;
    mpz_init(rest);
    char text[1024];
    nmk_rat_print(text, sizeof text, g);
    mpq_set_str(divisor, text, 10);
    mpq_div(x, a, divisor);
    mpq_div(y, b, divisor);
    mpz_gcd(rest, mpq_numref(x), mpq_numref(y));
    bool greatest = mpz_cmp_ui(mpq_denref(x), 1) == 0 && mpz_cmp_ui(mpq_denref(y), 1) == 0 && mpz_cmp_ui(rest, 1) == 0;
    mpz_clear(rest);
    mpq_clears(x, y, divisor, NULL);
    return greatest;
}

static void check_common(unsigned long i, mpq_srcptr p, mpq_srcptr q)
{
    struct nmk_rat a = {0}, b = {0}, g = {0}, l = {0}, out = {0}, product = {0};
    rat_from(&a, p);
    rat_from(&b, q);
    nmk_rat_gcd(&g, &a, &b);
    nmk_rat_lcm(&l, &a, &b);
    biased_check(rat_is_sound(&g) && rat_is_sound(&l) && nmk_rat_sign(&g) >= 0 && nmk_rat_sign(&l) >= 0, i,
                 "gcd and lcm", &a, &b);
    if (mpq_sgn(p) || mpq_sgn(q))
        biased_check(is_greatest(&g, p, q), i, "gcd", &a, &b);
    nmk_rat_mul(&product, &a, &b);
    nmk_rat_abs(&product, &product);
    nmk_rat_mul(&out, &g, &l);
    biased_check(nmk_rat_equal(&out, &product), i, "gcd * lcm = |a * b|", &g, &l);
    if (!nmk_rat_is_zero(&l))
        biased_check(is_whole_multiple(&l, &a) && is_whole_multiple(&l, &b), i, "lcm", &a, &b);
    nmk_rat_set(&out, &a);
    nmk_rat_gcd(&out, &out, &b);
    biased_check(nmk_rat_equal(&out, &g), i, "gcd into the first", &a, &b);
    nmk_rat_set(&out, &b);
    nmk_rat_gcd(&out, &a, &out);
    biased_check(nmk_rat_equal(&out, &g), i, "gcd into the second", &a, &b);
    nmk_rat_set(&out, &a);
    nmk_rat_lcm(&out, &out, &b);
    biased_check(nmk_rat_equal(&out, &l), i, "lcm into the first", &a, &b);
    nmk_rat_set(&out, &b);
    nmk_rat_lcm(&out, &a, &out);
    biased_check(nmk_rat_equal(&out, &l), i, "lcm into the second", &a, &b);
    struct nmk_rat *all[] = {&a, &b, &g, &l, &out, &product};
    for (size_t k = 0; k < sizeof all / sizeof *all; k++)
        nmk_rat_clear(all[k]);
}

static void test_common_measures_and_multiples(void **state)
{
    (void)state;
    mpq_t p, q;
    mpq_inits(p, q, NULL);
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        biased_fraction(p);
        if (biased_below(2))
            biased_fraction(q);
        else
            biased_near(q, p);
        check_common(i, p, q);
    }
    mpq_clears(p, q, NULL);
}

static void test_common_measures_at_known_places(void **state)
{
    (void)state;
    static const char *const rows[][4] = {
        {"1/2", "1/3", "1/6", "1"},     {"0", "0", "0", "0"},         {"0", "-3/4", "3/4", "0"},
        {"-3/4", "0", "3/4", "0"},      {"127/80", "1", "1/80", "127"}, {"-6", "4", "2", "12"},
        {"1/9223372036854775807", "1/9223372036854775806", "1/85070591730234615838173535747377725442", "1"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of(rows[i][0]), b = rat_of(rows[i][1]), out = {0};
        nmk_rat_gcd(&out, &a, &b);
        assert_true(rat_prints(&out, rows[i][2]));
        nmk_rat_lcm(&out, &a, &b);
        assert_true(rat_prints(&out, rows[i][3]));
        nmk_rat_clear(&a);
        nmk_rat_clear(&b);
        nmk_rat_clear(&out);
    }
}

static void test_what_fits_int64_comes_out(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        enum nmk_status whole, frac;
        int64_t num, den;
    } rows[] = {
        {"0", NMK_OK, NMK_OK, 0, 1},
        {"-12", NMK_OK, NMK_OK, -12, 1},
        {"127/80", NMK_INVALID, NMK_OK, 127, 80},
        {"9223372036854775807", NMK_OK, NMK_OK, INT64_MAX, 1},
        {"9223372036854775808", NMK_OVERFLOW, NMK_OVERFLOW, 0, 0},
        {"-9223372036854775808", NMK_OK, NMK_OK, INT64_MIN, 1},
        {"-9223372036854775809", NMK_OVERFLOW, NMK_OVERFLOW, 0, 0},
        {"18446744073709551616", NMK_OVERFLOW, NMK_OVERFLOW, 0, 0},
        {"-9223372036854775808/9223372036854775807", NMK_INVALID, NMK_OK, INT64_MIN, INT64_MAX},
        {"1/9223372036854775808", NMK_INVALID, NMK_OVERFLOW, 0, 0},
        {"100000000000000000000/3", NMK_INVALID, NMK_OVERFLOW, 0, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of(rows[i].text);
        int64_t n = 42, num = 43, den = 44;
        assert_int_equal(nmk_rat_get_int(&n, &a), rows[i].whole);
        assert_true(n == (rows[i].whole == NMK_OK ? rows[i].num : 42));
        assert_int_equal(nmk_rat_get_frac(&num, &den, &a), rows[i].frac);
        assert_true(num == (rows[i].frac == NMK_OK ? rows[i].num : 43));
        assert_true(den == (rows[i].frac == NMK_OK ? rows[i].den : 44));
        nmk_rat_clear(&a);
    }
}

/* Frozen: the same on every machine, and wherever the border of the small path lies. */
static void test_hashes_never_change(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        uint64_t hash;
    } rows[] = {
        {"0", UINT64_C(0x449356e76b1ec655)},
        {"127/80", UINT64_C(0x0db3417b4b6bc39f)},
        {"-127/80", UINT64_C(0xb0ba4488c3251d96)},
        {"9223372036854775807", UINT64_C(0xe0f2542a0c4653dc)},
        {"100000000000000000000000000000/3", UINT64_C(0xd1fbd4e5ade1ada8)},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of(rows[i].text);
        if (nmk_rat_hash(&a) != rows[i].hash)
            fail_msg("the hash of %s is 0x%016llx", rows[i].text, (unsigned long long)nmk_rat_hash(&a));
        nmk_rat_clear(&a);
    }
}

/* 2^k, -2^k, 1/2^k, -1/2^k and 2^k + 1 for many k: all different, and with a good hash so are all hashes. */
static void test_different_values_have_different_hashes(void **state)
{
    (void)state;
    enum { count = 5 * 200 };
    static uint64_t hashes[count];
    struct nmk_rat one = {.num = 1}, two = {.num = 2}, r = {0};
    for (unsigned i = 0; i < count; i++) {
        nmk_rat_pow(&r, &two, i / 5 + 1);
        if (i % 5 == 4)
            nmk_rat_add(&r, &r, &one);
        else if (i % 5 >= 2)
            assert_int_equal(nmk_rat_div(&r, &one, &r), NMK_OK);
        if (i % 5 == 1 || i % 5 == 3)
            nmk_rat_neg(&r, &r);
        hashes[i] = nmk_rat_hash(&r);
        for (unsigned j = 0; j < i; j++)
            assert_true(hashes[j] != hashes[i]);
    }
    nmk_rat_clear(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_floor_and_ceiling_hold_the_value_between_them),
        cmocka_unit_test(test_rounding_at_known_places),
        cmocka_unit_test(test_the_parts_make_the_whole),
        cmocka_unit_test(test_bits_of_known_numbers),
        cmocka_unit_test(test_common_measures_and_multiples),
        cmocka_unit_test(test_common_measures_at_known_places),
        cmocka_unit_test(test_what_fits_int64_comes_out),
        cmocka_unit_test(test_hashes_never_change),
        cmocka_unit_test(test_different_values_have_different_hashes),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
