/* Rounding rules: nearest, and the two rules for a tie. Numbers stand for millimetres here; only the step counts. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "published/figures.h"

struct row {
    const char *value, *step, *even, *larger;
};

static const struct row rows[] = {
    /* JIS Z 8401:1999, a translation of ISO 31-0:1992, annex B (now ISO 80000-1, annex B): no ties */
    {"12.223", "0.1", "12.2", "12.2"},
    {"12.251", "0.1", "12.3", "12.3"},
    {"12.275", "0.1", "12.3", "12.3"},
    {"1222.3", "10", "1220", "1220"},
    {"1225.1", "10", "1230", "1230"},
    {"1227.5", "10", "1230", "1230"},
    /* ties; the same standard's rule A (even multiple) and rule B (larger), these four figures from memory */
    {"12.25", "0.1", "12.2", "12.3"},
    {"12.35", "0.1", "12.4", "12.4"},
    {"1225.0", "10", "1220", "1230"},
    {"1235.0", "10", "1240", "1240"},
    /* JIS Z 8401, older edition: in one step only, not 5.35 and then 5.4 */
    {"5.346", "0.1", "5.3", "5.3"},
    /* ISO 31-0, annex B: in one step, not 12.25 and then 12.2 (from memory) */
    {"12.254", "0.1", "12.3", "12.3"},
    /* NIST SP 811, B.7.1 (second hand): 7, 5, 3 and 2 figures */
    {"6.9749515", "0.000001", "6.974952", "6.974952"},
    {"6.9749515", "0.0001", "6.9750", "6.9750"},
    {"6.9749515", "0.01", "6.97", "6.97"},
    {"6.9749515", "0.1", "7.0", "7.0"},
    {"6.9749505", "0.000001", "6.974950", "6.974951"}, /* a tie; the printed one is the even */
    /* ASME A112.18.1-2018, annex A: half to even */
    {"1.655000", "0.01", "1.66", "1.66"},
    {"1.625000", "0.01", "1.62", "1.63"},
    /* a U.S. military mathematics course: 60.25132 to three figures */
    {"60.25132", "0.1", "60.3", "60.3"},
    /* ASTM E29 as the Iowa transport office modifies it (IM 202): ties go up */
    {"1.861", "0.01", "1.86", "1.86"},
    {"4.25", "1", "4", "4"}, /* slump 4 1/4 in against the limit 4 in */
    {"4.25", "0.1", "4.2", "4.3"},
    /* NIST LC 1137: 36 in = 91 cm, not 91.44; 40.1 in = 101.9 cm, not 101.854 */
    {"91.44", "1", "91", "91"},
    {"101.854", "0.1", "101.9", "101.9"},
    /* NIST SP 811, B.7.2: 36 ft = 10.9728 m is reported as 11.0 m */
    {"10.9728", "0.1", "11.0", "11.0"},
    /* IS 2:1960: other steps: divide, round the quotient, multiply back */
    {"12.5", "5", "10", "15"}, /* quotient 2.5 (computed) */
    {"17.5", "5", "20", "20"},
    {"127/160", "127/80", "0", "127/80"}, /* half a sixteenth of an inch (computed) */
};

static void test_every_row_by_both_rules(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct row *r = &rows[i];
        if (!figures_round(r->value, r->step, NMK_TIE_EVEN, r->even))
            fail_msg("%s to %s, rule A, is not %s", r->value, r->step, r->even);
        if (!figures_round(r->value, r->step, NMK_TIE_LARGER, r->larger))
            fail_msg("%s to %s, rule B, is not %s", r->value, r->step, r->larger);
    }
}

/* What rounding in two steps would give is not found. */
static void test_two_steps_are_not_one(void **state)
{
    (void)state;
    assert_false(figures_round("5.346", "0.1", NMK_TIE_LARGER, "5.4"));
    assert_false(figures_round("12.254", "0.1", NMK_TIE_EVEN, "12.2"));
}

static void test_the_exact_conversions_behind_the_rows(void **state)
{
    (void)state;
    assert_true(figures_is("36 in", NMK_CM, "91.44"));
    assert_true(figures_is("40.1 in", NMK_CM, "101.854"));
    assert_true(figures_is("36 ft", NMK_CM, "1097.28"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_row_by_both_rules),
        cmocka_unit_test(test_two_steps_are_not_one),
        cmocka_unit_test(test_the_exact_conversions_behind_the_rows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
