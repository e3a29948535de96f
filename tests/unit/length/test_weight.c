/* Weights in pounds. The exact factors stand in tests/published/test_paper.c. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "nearmark/weight.h"
#include "unit/exact/biased.h"

static void test_a_weight_grows_with_its_pounds(void **state)
{
    (void)state;
    struct nmk_rat pounds = rat_of("80"), one = rat_of("1"), gsm = {0}, factor = {0};
    for (size_t i = 0; i < nmk_weight_grade_count(); i++) {
        const char *grade = nmk_weight_grade_name(i);
        assert_int_equal(nmk_weight_gsm(&factor, &one, grade, strlen(grade)), NMK_OK);
        assert_int_equal(nmk_weight_gsm(&gsm, &pounds, grade, strlen(grade)), NMK_OK);
        nmk_rat_mul(&factor, &factor, &pounds);
        assert_true(nmk_rat_equal(&gsm, &factor));
        assert_true(nmk_rat_cmp_int(&gsm, 100) > 0);
    }
    nmk_rat_clear(&gsm);
    nmk_rat_clear(&factor);
}

static void test_a_grade_is_found_in_any_case_and_into_its_input(void **state)
{
    (void)state;
    struct nmk_rat a = rat_of("65"), b = rat_of("65");
    assert_int_equal(nmk_weight_gsm(&a, &a, "Cover", 5), NMK_OK);
    assert_int_equal(nmk_weight_gsm(&b, &b, "COVERED", 5), NMK_OK);
    assert_true(nmk_rat_equal(&a, &b));
    nmk_rat_clear(&a);
    nmk_rat_clear(&b);
}

static void test_wrong_calls_are_answered(void **state)
{
    static const char *const none[] = {"", "cove", "covers", " cover", "card", "gsm", "#"};
    (void)state;
    struct nmk_rat pounds = rat_of("65"), minus = rat_of("-1"), out = rat_of("7");
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        assert_int_equal(nmk_weight_gsm(&out, &pounds, none[i], strlen(none[i])), NMK_INVALID);
    assert_int_equal(nmk_weight_gsm(&out, &minus, "bond", 4), NMK_INVALID);
    assert_int_equal(nmk_weight_gsm(&out, NULL, "bond", 4), NMK_INVALID);
    assert_int_equal(nmk_weight_gsm(&out, &pounds, NULL, 4), NMK_INVALID);
    assert_int_equal(nmk_weight_gsm(NULL, &pounds, "bond", 4), NMK_INVALID);
    assert_true(rat_prints(&out, "7"));
    assert_null(nmk_weight_grade_name(nmk_weight_grade_count()));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_weight_grows_with_its_pounds),
        cmocka_unit_test(test_a_grade_is_found_in_any_case_and_into_its_input),
        cmocka_unit_test(test_wrong_calls_are_answered),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
