/* Toleranced dimensions converted by the two methods: A, each limit to the nearest step; B, each limit inward. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "published/figures.h"
#include "unit/length/reading.h"

struct example {
    const char *low, *high; /* the original limits */
    const char *step;
    const char *a_low, *a_high, *b_low, *b_high; /* NULL: no mark fits */
};

static const struct example examples[] = {
    /* 11 +- 0.3 mm in steps of 0.001 in. The converted limits and A: a published dimensioning article of 2005, second hand;
     * the numbers of B: computed by its rule, which ASME Y14.5M-1994 and ASME A112.18.1-2018/CSA B125.1-18, annex A, give. */
    {"10.7 mm", "11.3 mm", "0.001 in", "0.421 in", "0.445 in", "0.422 in", "0.444 in"},
    /* 1.950 +- 0.016 in in steps of 0.01 mm. The example from memory (ISO 370, ASTM E380); computed anew. */
    {"1.934 in", "1.966 in", "0.01 mm", "49.12 mm", "49.94 mm", "49.13 mm", "49.93 mm"},
    /* 1 +0/-0.1 mm in steps of 0.001 in: computed. */
    {"0.9 mm", "1 mm", "0.001 in", "0.035 in", "0.039 in", "0.036 in", "0.039 in"},
    /* Computed: 11.000 +- 0.010 mm has no mark of 1/16 in inside; the nearest is 7/16 in = 11.1125 mm for both limits. */
    {"10.99 mm", "11.01 mm", "1/16 in", "7/16 in", "7/16 in", NULL, NULL},
    /* Computed: a zone that is one mark holds it. */
    {"11.1125 mm", "11.1125 mm", "1/16 in", "7/16 in", "7/16 in", "7/16 in", "7/16 in"},
};

static bool is_mark(const struct nmk_marks *marks, int64_t k, const char *length)
{
    struct nmk_rat at = {0}, mm = reading_mm(length);
    nmk_marks_at(&at, marks, k);
    bool right = nmk_rat_equal(&at, &mm);
    nmk_rat_clear(&at);
    nmk_rat_clear(&mm);
    return right;
}

static void check(const struct example *e, enum nmk_limits_method method, const char *low, const char *high)
{
    struct nmk_rat from = reading_mm(e->low), to = reading_mm(e->high);
    struct nmk_marks marks = {.step = reading_mm(e->step)};
    int64_t a = 0, b = 0;
    bool fits = !low;
    assert_int_equal(nmk_marks_limits(&a, &b, &fits, &marks, &from, &to, method), NMK_OK);
    assert_int_equal(fits, low != NULL);
    if (low && !(is_mark(&marks, a, low) && is_mark(&marks, b, high)))
        fail_msg("%s to %s, method %c", e->low, e->high, method == NMK_METHOD_A ? 'A' : 'B');
    nmk_rat_clear(&from);
    nmk_rat_clear(&to);
    nmk_rat_clear(&marks.step);
}

static void test_worked_examples(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof examples / sizeof *examples; i++) {
        check(&examples[i], NMK_METHOD_A, examples[i].a_low, examples[i].a_high);
        check(&examples[i], NMK_METHOD_B, examples[i].b_low, examples[i].b_high);
    }
}

/* The same article: 0.4212598425 and 0.4448818897 in, cut off after ten places. */
static void test_the_converted_limits(void **state)
{
    (void)state;
    struct nmk_rat low = reading_mm("10.7 mm"), high = reading_mm("11.3 mm");
    char text[40];
    nmk_length_print_figure(text, sizeof text, &low, NMK_IN, 20, NMK_FRACTION_PLAIN);
    assert_memory_equal(text, "0.4212598425", 12);
    nmk_length_print_figure(text, sizeof text, &high, NMK_IN, 20, NMK_FRACTION_PLAIN);
    assert_memory_equal(text, "0.4448818897", 12);
    assert_true(figures_is("1.966 in", NMK_MM, "49.9364") && figures_is("1.934 in", NMK_MM, "49.1236"));
}

/* A forum converts 1 +0/-0.1 mm to 0.039 +0.000/-0.004 in: its lower limit, 0.035 in = 0.889 mm, lies below 0.9 mm. */
static void test_a_published_slip_leaves_the_zone(void **state)
{
    (void)state;
    struct nmk_rat wrong = reading_mm("0.035 in"), limit = reading_mm("0.9 mm");
    assert_true(figures_is("0.035 in", NMK_MM, "0.889"));
    assert_true(nmk_rat_cmp(&wrong, &limit) < 0);
    assert_false(is_mark(&(struct nmk_marks){.step = reading_mm("0.001 in")}, 36, "0.035 in"));
    nmk_rat_clear(&wrong);
    nmk_rat_clear(&limit);
}

static void check_inward(const char *value, const char *step, const char *as_upper, const char *as_lower)
{
    struct nmk_marks marks = {.step = figures_value(step)};
    struct nmk_rat v = figures_value(value), upper = figures_value(as_upper), lower = figures_value(as_lower), at = {0};
    int64_t k = 0;
    assert_int_equal(nmk_marks_below(&k, &marks, &v), NMK_OK);
    nmk_marks_at(&at, &marks, k);
    assert_true(nmk_rat_equal(&at, &upper));
    assert_int_equal(nmk_marks_above(&k, &marks, &v), NMK_OK);
    nmk_marks_at(&at, &marks, k);
    assert_true(nmk_rat_equal(&at, &lower));
    nmk_rat_clear(&v);
    nmk_rat_clear(&at);
}

/* A vehicle service manual, "Upper and Lower Limits": 2.7 kgf/cm2 = 264 kPa = 38.4 psi is 260 kPa, 38 psi as an upper
 * limit, 270 kPa, 39 psi as a lower one. */
static void test_one_value_rounds_both_ways(void **state)
{
    (void)state;
    check_inward("264", "10", "260", "270");
    check_inward("38.4", "1", "38", "39");
}

/* The dimensioning article, second hand: a part measured at .236 in is not within a maximum of .23 in by rounding; a
 * maximum of .236 in written with two places is .23 in, never .24 in. */
static void test_a_maximum_is_rounded_down(void **state)
{
    (void)state;
    check_inward("0.236", "0.01", "0.23", "0.24");
}

/* The worst overrun of method A, step/2 over the smallest tolerance of its class (ISO 370:1975, tables 1 and 2, from
 * memory). The Swedish edition SIS-TR 18:2007 prints 2 % and 2.5 %; exactly they are 1.9685 % and 2.54 %. */
static void test_the_worst_overruns_of_method_a(void **state)
{
    (void)state;
    struct nmk_rat tolerance = reading_mm("0.01 in"), half = figures_value("5/1000"), percent = {0};
    assert_int_equal(nmk_rat_div(&percent, &half, &tolerance), NMK_OK); /* 0.01 in: to 0.01 mm */
    struct nmk_rat two = figures_value("0.02"), exact = figures_value("5/254");
    assert_true(nmk_rat_equal(&percent, &exact) && nmk_rat_cmp(&percent, &two) < 0);
    half = reading_mm("0.00005 in");
    tolerance = figures_value("0.05"); /* mm: to 0.0001 in */
    assert_int_equal(nmk_rat_div(&percent, &half, &tolerance), NMK_OK);
    exact = figures_value("0.0254");
    two = figures_value("0.025");
    assert_true(nmk_rat_equal(&percent, &exact) && nmk_rat_cmp(&percent, &two) > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_worked_examples),
        cmocka_unit_test(test_the_converted_limits),
        cmocka_unit_test(test_a_published_slip_leaves_the_zone),
        cmocka_unit_test(test_one_value_rounds_both_ways),
        cmocka_unit_test(test_a_maximum_is_rounded_down),
        cmocka_unit_test(test_the_worst_overruns_of_method_a),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
