/* 64ths of an inch, and millimetres to 16ths. The tables of data/ are exact arithmetic (computed), held here against the
 * library; what is printed elsewhere is held against them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <string.h>

#include "published/figures.h"
#include "unit/length/reading.h"

static size_t ties;

static void expect(bool right, const char *what, const char *of)
{
    if (!right)
        fail_msg("%s of %s", what, of);
}

/* n64, reduced, decimal_in_exact, mm_exact, mm_4dp_half_even, mm_4dp_half_up, tie_at_4dp */
static void check_sixtyfourth(char *f[FIGURES_FIELDS], size_t count)
{
    char written[32], decimal[32], mm[32];
    assert_int_equal(count, 7);
    snprintf(written, sizeof written, "%s in", f[0]);
    snprintf(decimal, sizeof decimal, "%s in", f[2]);
    snprintf(mm, sizeof mm, "%s mm", f[3]);
    struct nmk_rat a = reading_mm(written), b = reading_mm(decimal), c = reading_mm(mm);
    expect(nmk_rat_equal(&a, &b) && nmk_rat_equal(&a, &c), "the size", f[0]);
    expect(figures_is(mm, NMK_IN, f[1]), "the reduced fraction", f[0]);
    expect(figures_round(f[3], "0.0001", NMK_TIE_EVEN, f[4]), "four places, rule A,", f[0]);
    expect(figures_round(f[3], "0.0001", NMK_TIE_LARGER, f[5]), "four places, rule B,", f[0]);
    /* a tie: what follows the fourth place is exactly a half */
    bool tie = strcmp(f[6], "TIE") == 0;
    struct nmk_rat scale = figures_value("10000"), frac = {0};
    nmk_rat_mul(&a, &a, &scale);
    nmk_rat_floor(&frac, &a);
    nmk_rat_sub(&a, &a, &frac);
    expect((a.num == 1 && a.less == 1) == tie, "the tie", f[0]);
    ties += tie;
    nmk_rat_clear(&a);
    nmk_rat_clear(&b);
    nmk_rat_clear(&c);
}

static void test_every_sixtyfourth(void **state)
{
    (void)state;
    ties = 0;
    assert_int_equal(figures_table("sixtyfourths.csv", check_sixtyfourth), 64);
    assert_int_equal(ties, 16); /* the odd 32nds */
}

/* "Principle and Practice of Plumbing", table LXIII, decimals of 64ths: agrees, but for "3/62 = .046875", a misprint for
 * 3/64. */
static void test_a_misprint_of_3_64ths(void **state)
{
    (void)state;
    assert_true(figures_is("3/64 in", NMK_IN, "3/64"));
    struct nmk_rat printed = reading_mm("0.046875 in"), right = reading_mm("3/64 in"), wrong = reading_mm("3/62 in");
    assert_true(nmk_rat_equal(&printed, &right));
    assert_false(nmk_rat_equal(&printed, &wrong));
}

/* Three general tables of 64ths on the web print 1/32 in = 0.7937 mm, 3/32 in = 2.3812 mm, and 15/32 in = 11.9063 or
 * 11.9062 mm: 0.79375 mm is 0.7938 by either rule (a binary float rounds it down); the others follow no one rule. */
static void test_printed_figures_that_no_rule_gives(void **state)
{
    (void)state;
    assert_false(figures_round("0.79375", "0.0001", NMK_TIE_EVEN, "0.7937"));
    assert_false(figures_round("0.79375", "0.0001", NMK_TIE_LARGER, "0.7937"));
    assert_true(figures_round("0.79375", "0.0001", NMK_TIE_EVEN, "0.7938"));
    assert_true(figures_round("2.38125", "0.0001", NMK_TIE_EVEN, "2.3812"));
    assert_true(figures_round("2.38125", "0.0001", NMK_TIE_LARGER, "2.3813"));
    assert_true(figures_round("11.90625", "0.0001", NMK_TIE_EVEN, "11.9062"));
    assert_true(figures_round("11.90625", "0.0001", NMK_TIE_LARGER, "11.9063"));
}

static bool side_is(const char *mm, const char *mark,
                    enum nmk_status (*side)(int64_t *, const struct nmk_marks *, const struct nmk_rat *))
{
    struct nmk_marks marks = {.step = reading_mm("1/16 in")};
    struct nmk_rat value = figures_value(mm), expected = {0}, at = {0};
    char written[32];
    int64_t k = 0;
    snprintf(written, sizeof written, "%s in", mark);
    expected = reading_mm(written);
    assert_int_equal(side(&k, &marks, &value), NMK_OK);
    nmk_marks_at(&at, &marks, k);
    return nmk_rat_equal(&at, &expected);
}

/* mm, inch_exact, sixteenths, nearest A, nearest B, down, up, error of A in mm */
static void check_sixteenth(char *f[FIGURES_FIELDS], size_t count)
{
    char mm[32], inch[32], a[32], b[32], text[32];
    assert_int_equal(count, 8);
    snprintf(mm, sizeof mm, "%s mm", f[0]);
    snprintf(inch, sizeof inch, "%s in", f[1]);
    snprintf(a, sizeof a, "%s in", f[3]);
    snprintf(b, sizeof b, "%s in", f[4]);
    struct nmk_rat value = reading_mm(mm), exact = reading_mm(inch), even = reading_mm(a);
    expect(nmk_rat_equal(&value, &exact), "inches", mm);
    expect(figures_mark(mm, "1/16 in", NMK_TIE_EVEN, a), "nearest, rule A,", mm);
    expect(figures_mark(mm, "1/16 in", NMK_TIE_LARGER, b), "nearest, rule B,", mm);
    expect(side_is(f[0], f[5], nmk_marks_below), "below", mm);
    expect(side_is(f[0], f[6], nmk_marks_above), "above", mm);
    nmk_length_print_figure(text, sizeof text, &even, NMK_IN, 4, NMK_FRACTION_PLAIN);
    assert_string_equal(text, f[3]);
    nmk_rat_sub(&value, &value, &even);
    nmk_rat_print_decimal(text, sizeof text, &value, 6);
    assert_string_equal(text, f[7]);
}

static void test_millimetres_to_sixteenths(void **state)
{
    (void)state;
    assert_true(figures_table("mm_to_sixteenths.csv", check_sixteenth) >= 40);
}

/* Computed: the ties of sixteenths are the odd multiples of 1/32 in = 127/160 mm; the rules differ at every other one. */
static void test_the_ties_of_sixteenths(void **state)
{
    (void)state;
    for (unsigned odd = 1; odd < 400; odd += 2) {
        char tie[32], down[32], up[32];
        snprintf(tie, sizeof tie, "%u/32 in", odd);
        snprintf(down, sizeof down, "%u/16 in", odd / 2);
        snprintf(up, sizeof up, "%u/16 in", odd / 2 + 1);
        assert_true(figures_mark(tie, "1/16 in", NMK_TIE_LARGER, up));
        assert_true(figures_mark(tie, "1/16 in", NMK_TIE_EVEN, odd / 2 % 2 ? up : down));
    }
}

/* Common practice, no source. */
static void test_sizes_published_with_sleeves(void **state)
{
    (void)state;
    assert_true(figures_mark("113 mm", "1/16 in", NMK_TIE_LARGER, "4 7/16 in"));
    assert_true(figures_mark("99 mm", "1/16 in", NMK_TIE_LARGER, "3 7/8 in"));
    assert_true(figures_mark("120 mm", "1/16 in", NMK_TIE_LARGER, "4 3/4 in"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_sixtyfourth),
        cmocka_unit_test(test_a_misprint_of_3_64ths),
        cmocka_unit_test(test_printed_figures_that_no_rule_gives),
        cmocka_unit_test(test_millimetres_to_sixteenths),
        cmocka_unit_test(test_the_ties_of_sixteenths),
        cmocka_unit_test(test_sizes_published_with_sleeves),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
