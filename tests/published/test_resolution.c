/* A reading rounded to a resolution is off by at most half of it, evenly spread. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "published/figures.h"
#include "unit/length/reading.h"

/* JCGM 100:2008 (GUM), 4.3.7: the variance of a rectangle of half-width a is a*a/3; F.2.2.1 (second hand): of a resolution
 * d it is d*d/12. Both are the same for a = d/2. */
static bool variance_is(const char *resolution, const char *variance)
{
    struct nmk_rat d = reading_mm(resolution), half = {0}, a = {0}, b = {0}, expected = figures_value(variance);
    struct nmk_rat two = figures_value("2"), three = figures_value("3"), twelve = figures_value("12");
    assert_int_equal(nmk_rat_div(&half, &d, &two), NMK_OK);
    nmk_rat_mul(&a, &half, &half);
    assert_int_equal(nmk_rat_div(&a, &a, &three), NMK_OK);
    nmk_rat_mul(&b, &d, &d);
    assert_int_equal(nmk_rat_div(&b, &b, &twelve), NMK_OK);
    return nmk_rat_equal(&a, &b) && nmk_rat_equal(&a, &expected);
}

static void test_variances(void **state)
{
    (void)state;
    assert_true(variance_is("1 mm", "1/12"));              /* the GUM's d = 1, from memory */
    assert_true(variance_is("1/16 in", "16129/76800"));    /* computed */
    assert_false(variance_is("1 mm", "1/4"));              /* the rules of school pages, half a division */
    assert_false(variance_is("1 mm", "1"));
}

/* GUM F.2.2.1 (second hand): u = 0.29 d. Computed: u = 0.458272 mm of marks at 1/16 in. Held as squares, exactly. */
static void test_standard_uncertainties(void **state)
{
    static const struct {
        const char *resolution, *low, *high; /* u lies between */
    } rows[] = {{"1 mm", "0.285", "0.295"}, {"1/16 in", "0.4582715", "0.4582725"}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat d = reading_mm(rows[i].resolution), low = figures_value(rows[i].low), high = figures_value(rows[i].high);
        struct nmk_rat twelve = figures_value("12");
        nmk_rat_mul(&d, &d, &d);
        assert_int_equal(nmk_rat_div(&d, &d, &twelve), NMK_OK);
        nmk_rat_mul(&low, &low, &low);
        nmk_rat_mul(&high, &high, &high);
        assert_true(nmk_rat_cmp(&low, &d) < 0 && nmk_rat_cmp(&d, &high) < 0);
    }
}

/* What the rule rests on: every size within half a step is read as the mark, none beyond is. */
static void test_a_reading_is_within_half_a_step(void **state)
{
    (void)state;
    assert_true(figures_mark("4 15/32 in", "1/16 in", NMK_TIE_LARGER, "4 1/2 in"));
    assert_true(figures_mark("4.468 in", "1/16 in", NMK_TIE_LARGER, "4 7/16 in"));
    assert_true(figures_mark("4.5312 in", "1/16 in", NMK_TIE_LARGER, "4 1/2 in"));
    assert_true(figures_mark("4 17/32 in", "1/16 in", NMK_TIE_LARGER, "4 9/16 in"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_variances),
        cmocka_unit_test(test_standard_uncertainties),
        cmocka_unit_test(test_a_reading_is_within_half_a_step),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
