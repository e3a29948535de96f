/* The inch. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "published/figures.h"
#include "unit/length/reading.h"

static bool equal(const char *a, const char *b)
{
    struct nmk_rat x = figures_value(a), y = figures_value(b);
    bool right = nmk_rat_equal(&x, &y);
    nmk_rat_clear(&x);
    nmk_rat_clear(&y);
    return right;
}

/* International yard and pound agreement, in force 1 July 1959 (Federal Register of that day, "Refinement of Values for
 * the Yard and the Pound"; Weights and Measures Act 1963, c. 31): 1 yd = 0.9144 m, so 1 in = 914.4/36 mm. */
static void test_an_inch_is_a_36th_of_the_yard_of_1959(void **state)
{
    (void)state;
    struct nmk_rat inch = {0}, yard = figures_value("914.4"), count = figures_value("36");
    nmk_unit_mm(&inch, NMK_IN);
    nmk_rat_mul(&inch, &inch, &count);
    assert_true(nmk_rat_equal(&inch, &yard));
    assert_true(equal("25.4", "127/5"));
    assert_true(figures_is("1 in", NMK_MM, "25.4")); /* ISO 370:1975 uses it too (second hand) */
}

/* NIST SP 811, B.8: foot, 3.048 E-01 m, in bold, so exact. */
static void test_a_foot_is_304_8_mm(void **state)
{
    (void)state;
    assert_true(figures_is("1 ft", NMK_MM, "304.8"));
    assert_true(figures_is("1' 0\"", NMK_MM, "304.8"));
    assert_true(figures_is("12 in", NMK_FT, "1"));
}

/* U.S. Government Paper Specification Standards, vol. 11, 1999: 1 point (of a card's thickness) = 0.001 in = 0.0254 mm. */
static void test_a_mil_is_0_0254_mm(void **state)
{
    (void)state;
    assert_true(figures_is("1 mil", NMK_MM, "0.0254"));
    assert_true(figures_is("10 mil", NMK_MM, "0.254"));
}

/* The U.S. yard of 1893 to 1959 was 3600/3937 m (same pages), about two millionths longer: not the one used. Computed: the
 * two inches differ as 1000000 and 999998, exactly. */
static void test_the_older_inch_is_another(void **state)
{
    (void)state;
    struct nmk_rat inch = {0}, old = figures_value("100000/3937"), ratio = {0}, expected = figures_value("499999/500000");
    nmk_unit_mm(&inch, NMK_IN);
    assert_int_equal(nmk_rat_div(&ratio, &inch, &old), NMK_OK);
    assert_true(nmk_rat_equal(&ratio, &expected));
    nmk_rat_clear(&inch);
    nmk_rat_clear(&old);
    nmk_rat_clear(&ratio);
    nmk_rat_clear(&expected);
}

/* Computed: 1 mm = 5/127 in, so millimetres never end in decimal inches unless 127 divides them. */
static void test_a_millimetre_is_5_127ths_of_an_inch(void **state)
{
    (void)state;
    struct nmk_rat inch = {0}, mm = {0};
    nmk_unit_mm(&inch, NMK_IN);
    for (int64_t n = 1; n <= 1270; n++) {
        int64_t num = 0, den = 0;
        nmk_rat_set_int(&mm, n);
        assert_int_equal(nmk_rat_div(&mm, &mm, &inch), NMK_OK);
        assert_int_equal(nmk_rat_get_frac(&num, &den, &mm), NMK_OK);
        assert_int_equal(den % 127 == 0, n % 127 != 0);
        assert_int_equal(num * 127, n * 5 * den);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_an_inch_is_a_36th_of_the_yard_of_1959),
        cmocka_unit_test(test_a_foot_is_304_8_mm),
        cmocka_unit_test(test_a_mil_is_0_0254_mm),
        cmocka_unit_test(test_the_older_inch_is_another),
        cmocka_unit_test(test_a_millimetre_is_5_127ths_of_an_inch),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
