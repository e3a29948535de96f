/* Marks. Nearest is proved from its definition: no mark is strictly closer, and a tie follows its rule. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "nearmark/marks.h"
#include "unit/exact/biased.h"
#include "unit/length/reading.h"

static void distance(struct nmk_rat *out, const struct nmk_marks *marks, int64_t k, const struct nmk_rat *mm)
{
    nmk_marks_at(out, marks, k);
    nmk_rat_sub(out, out, mm);
    nmk_rat_abs(out, out);
}

static bool is_nearest(const struct nmk_marks *marks, int64_t k, const struct nmk_rat *mm, enum nmk_tie tie)
{
    struct nmk_rat here = {0}, before = {0}, after = {0};
    distance(&here, marks, k, mm);
    distance(&before, marks, k > INT64_MIN ? k - 1 : k, mm);
    distance(&after, marks, k < INT64_MAX ? k + 1 : k, mm);
    int below = k > INT64_MIN ? nmk_rat_cmp(&here, &before) : -1; /* beyond the ends there is no mark */
    int above = k < INT64_MAX ? nmk_rat_cmp(&here, &after) : -1;
    bool right = below <= 0 && above <= 0;
    if (tie == NMK_TIE_LARGER)
        right = right && above < 0; /* in a tie this is the larger */
    else
        right = right && ((below < 0 && above < 0) || k % 2 == 0);
    nmk_rat_clear(&here);
    nmk_rat_clear(&before);
    nmk_rat_clear(&after);
    return right;
}

/* at(k) <= mm < at(k + 1) */
static bool is_below(const struct nmk_marks *marks, int64_t k, const struct nmk_rat *mm)
{
    struct nmk_rat at = {0}, next = {0};
    nmk_marks_at(&at, marks, k);
    nmk_marks_at(&next, marks, k + 1);
    bool right = nmk_rat_cmp(&at, mm) <= 0 && nmk_rat_cmp(mm, &next) < 0;
    nmk_rat_clear(&at);
    nmk_rat_clear(&next);
    return right;
}

/* at(k - 1) < mm <= at(k) */
static bool is_above(const struct nmk_marks *marks, int64_t k, const struct nmk_rat *mm)
{
    struct nmk_rat at = {0}, last = {0};
    nmk_marks_at(&at, marks, k);
    nmk_marks_at(&last, marks, k - 1);
    bool right = nmk_rat_cmp(mm, &at) <= 0 && nmk_rat_cmp(&last, mm) < 0;
    nmk_rat_clear(&at);
    nmk_rat_clear(&last);
    return right;
}

/* A step of a real trimmer or any one; an offset one time in two; a size often on a mark or half way between two. */
static void draw(struct nmk_marks *marks, struct nmk_rat *mm)
{
    static const char *const steps[] = {"1", "1/2", "127/80", "127/160", "127/40", "127/5", "5", "10", "1/100"};
    struct nmk_rat half = {0};
    marks->step = rat_of(steps[biased_below(sizeof steps / sizeof *steps)]);
    while (biased_below(4) == 0 || nmk_rat_is_zero(&marks->step))
        biased_rat(&marks->step);
    nmk_rat_abs(&marks->step, &marks->step);
    if (biased_below(2))
        biased_rat(&marks->offset);
    biased_rat(mm);
    if (biased_below(2)) {
        nmk_marks_at(mm, marks, (int64_t)biased_below(2000) - 1000);
        assert_int_equal(nmk_rat_set_frac(&half, (int64_t)biased_below(2), 2), NMK_OK);
        nmk_rat_addmul(mm, &marks->step, &half);
    }
    nmk_rat_clear(&half);
}

static void clear(struct nmk_marks *marks, struct nmk_rat *mm)
{
    nmk_rat_clear(&marks->step);
    nmk_rat_clear(&marks->offset);
    nmk_rat_clear(mm);
}

static void test_no_mark_is_nearer_and_ties_follow_their_rule(void **state)
{
    (void)state;
    unsigned long found = 0, cases = biased_cases(10000);
    for (unsigned long n = 0; n < cases; n++) {
        struct nmk_marks marks = {.step = {0}};
        struct nmk_rat mm = {0};
        enum nmk_tie tie = biased_below(2) ? NMK_TIE_EVEN : NMK_TIE_LARGER;
        int64_t k = 77;
        draw(&marks, &mm);
        enum nmk_status status = nmk_marks_nearest(&k, &marks, &mm, tie);
        assert_true(status == NMK_OK || (status == NMK_OVERFLOW && k == 77));
        if (!status && k > INT64_MIN && k < INT64_MAX) {
            biased_check(is_nearest(&marks, k, &mm, tie), n, "nearest (mm, step)", &mm, &marks.step);
            found++;
        }
        clear(&marks, &mm);
    }
    biased_share("have a mark", found, cases, 0.5, 1);
}

static void test_below_and_above_enclose(void **state)
{
    (void)state;
    unsigned long found = 0, cases = biased_cases(10000);
    for (unsigned long n = 0; n < cases; n++) {
        struct nmk_marks marks = {.step = {0}};
        struct nmk_rat mm = {0};
        int64_t below = 77, above = 77;
        draw(&marks, &mm);
        enum nmk_status low = nmk_marks_below(&below, &marks, &mm), high = nmk_marks_above(&above, &marks, &mm);
        assert_true(low == NMK_OK || (low == NMK_OVERFLOW && below == 77));
        assert_true(high == NMK_OK || (high == NMK_OVERFLOW && above == 77));
        if (!low && !high && below > INT64_MIN && above < INT64_MAX) {
            biased_check(is_below(&marks, below, &mm), n, "below (mm, step)", &mm, &marks.step);
            biased_check(is_above(&marks, above, &mm), n, "above (mm, step)", &mm, &marks.step);
            found++;
        }
        clear(&marks, &mm);
    }
    biased_share("have a mark", found, cases, 0.5, 1);
}

struct tie_row {
    const char *mm;
    int64_t even, larger, below, above;
};

/* Ties on marks of 1 mm, on either side of zero. */
static const struct tie_row ties[] = {
    {"1/2", 0, 1, 0, 1},     {"3/2", 2, 2, 1, 2},     {"5/2", 2, 3, 2, 3},     {"-1/2", 0, 0, -1, 0},
    {"-3/2", -2, -1, -2, -1}, {"-5/2", -2, -2, -3, -2}, {"1", 1, 1, 1, 1},       {"-1", -1, -1, -1, -1},
    {"0", 0, 0, 0, 0},       {"49/100", 0, 0, 0, 1},  {"51/100", 1, 1, 0, 1},  {"-51/100", -1, -1, -1, 0},
};

static void test_ties_on_both_sides_of_zero(void **state)
{
    (void)state;
    struct nmk_marks marks = {.step = rat_of("1")};
    for (size_t i = 0; i < sizeof ties / sizeof *ties; i++) {
        struct nmk_rat mm = rat_of(ties[i].mm);
        int64_t k = 77;
        assert_int_equal(nmk_marks_nearest(&k, &marks, &mm, NMK_TIE_EVEN), NMK_OK);
        assert_int_equal(k, ties[i].even);
        assert_int_equal(nmk_marks_nearest(&k, &marks, &mm, NMK_TIE_LARGER), NMK_OK);
        assert_int_equal(k, ties[i].larger);
        assert_int_equal(nmk_marks_below(&k, &marks, &mm), NMK_OK);
        assert_int_equal(k, ties[i].below);
        assert_int_equal(nmk_marks_above(&k, &marks, &mm), NMK_OK);
        assert_int_equal(k, ties[i].above);
        nmk_rat_clear(&mm);
    }
}

static void test_an_offset_moves_every_mark(void **state)
{
    (void)state;
    struct nmk_marks marks = {.step = rat_of("5"), .offset = rat_of("1/2")};
    struct nmk_rat mm = rat_of("8"), at = {0};
    int64_t k = 77;
    assert_int_equal(nmk_marks_nearest(&k, &marks, &mm, NMK_TIE_EVEN), NMK_OK); /* 5.5 and 10.5: a tie */
    assert_int_equal(k, 2);
    nmk_marks_at(&at, &marks, k);
    assert_true(rat_prints(&at, "21/2"));
    assert_int_equal(nmk_marks_below(&k, &marks, &mm), NMK_OK);
    assert_int_equal(k, 1);
    nmk_marks_at(&marks.offset, &marks, 3); /* output and input at once */
    assert_true(rat_prints(&marks.offset, "31/2"));
    nmk_rat_clear(&mm);
    nmk_rat_clear(&at);
}

/* ---- the ends of int64_t ---- */

struct end_row {
    const char *mm;
    enum nmk_status status;
    int64_t larger, even;
};

static const struct end_row ends[] = {
    {"9223372036854775807", NMK_OK, INT64_MAX, INT64_MAX},
    {"18446744073709551613/2", NMK_OK, INT64_MAX, INT64_MAX - 1}, /* 2^63 - 3/2 */
    {"18446744073709551615/2", NMK_OVERFLOW, 0, 0},               /* 2^63 - 1/2: the even and the larger one is 2^63 */
    {"9223372036854775808", NMK_OVERFLOW, 0, 0},
    {"-9223372036854775808", NMK_OK, INT64_MIN, INT64_MIN},
    {"-18446744073709551617/2", NMK_OK, INT64_MIN, INT64_MIN}, /* -2^63 - 1/2 */
    {"-9223372036854775809", NMK_OVERFLOW, 0, 0},
};

static void test_the_ends_of_the_range(void **state)
{
    (void)state;
    struct nmk_marks marks = {.step = rat_of("1")};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        struct nmk_rat mm = rat_of(ends[i].mm);
        int64_t k = 77;
        assert_int_equal(nmk_marks_nearest(&k, &marks, &mm, NMK_TIE_LARGER), ends[i].status);
        assert_int_equal(k, ends[i].status ? 77 : ends[i].larger);
        k = 77;
        assert_int_equal(nmk_marks_nearest(&k, &marks, &mm, NMK_TIE_EVEN), ends[i].status);
        assert_int_equal(k, ends[i].status ? 77 : ends[i].even);
        nmk_rat_clear(&mm);
    }
}

static void test_wrong_calls_are_answered(void **state)
{
    (void)state;
    struct nmk_marks zero = {.step = {0}}, negative = {.step = rat_of("-1")}, one = {.step = rat_of("1")};
    struct nmk_rat mm = rat_of("5"), less = rat_of("4");
    int64_t k = 77, j = 88;
    bool fits = true;
    assert_int_equal(nmk_marks_nearest(&k, &zero, &mm, NMK_TIE_EVEN), NMK_INVALID);
    assert_int_equal(nmk_marks_nearest(&k, &negative, &mm, NMK_TIE_EVEN), NMK_INVALID);
    assert_int_equal(nmk_marks_nearest(&k, &one, &mm, (enum nmk_tie)7), NMK_INVALID);
    assert_int_equal(nmk_marks_nearest(&k, NULL, &mm, NMK_TIE_EVEN), NMK_INVALID);
    assert_int_equal(nmk_marks_nearest(&k, &one, NULL, NMK_TIE_EVEN), NMK_INVALID);
    assert_int_equal(nmk_marks_nearest(NULL, &one, &mm, NMK_TIE_EVEN), NMK_INVALID);
    assert_int_equal(nmk_marks_below(&k, &zero, &mm), NMK_INVALID);
    assert_int_equal(nmk_marks_above(NULL, &one, &mm), NMK_INVALID);
    assert_int_equal(nmk_marks_limits(&k, &j, &fits, &one, &mm, &less, NMK_METHOD_B), NMK_INVALID);
    assert_int_equal(nmk_marks_limits(&k, &j, &fits, &zero, &less, &mm, NMK_METHOD_A), NMK_INVALID);
    assert_int_equal(nmk_marks_limits(&k, &j, &fits, &one, &less, &mm, (enum nmk_limits_method)7), NMK_INVALID);
    assert_int_equal(nmk_marks_limits(&k, &j, NULL, &one, &less, &mm, NMK_METHOD_A), NMK_INVALID);
    assert_true(k == 77 && j == 88 && fits);
    nmk_marks_at(NULL, &one, 3);
    nmk_marks_at(&mm, NULL, 3);
    assert_true(rat_prints(&mm, "5"));
}

/* ---- limits ---- */

/* Method A: each limit is the nearest; method B: both inside, and one mark further would be outside; no fit exactly
 * where no mark lies in the zone. */
static void check_limits(unsigned long n, const struct nmk_marks *marks, const struct nmk_rat *from, const struct nmk_rat *to)
{
    int64_t low = 77, high = 88, first = 0, last = 0;
    bool fits = false;
    if (nmk_marks_above(&first, marks, from) || nmk_marks_below(&last, marks, to) || first == INT64_MIN || last == INT64_MAX ||
        nmk_marks_limits(&low, &high, &fits, marks, from, to, NMK_METHOD_A))
        return; /* out of range */
    biased_check(fits && is_nearest(marks, low, from, NMK_TIE_LARGER) && is_nearest(marks, high, to, NMK_TIE_LARGER), n,
                 "method A", from, to);
    low = 77;
    high = 88;
    assert_int_equal(nmk_marks_limits(&low, &high, &fits, marks, from, to, NMK_METHOD_B), NMK_OK);
    if (fits)
        biased_check(low <= high && is_above(marks, low, from) && is_below(marks, high, to), n, "method B", from, to);
    else
        biased_check(low == 77 && high == 88 && first > last, n, "method B, empty", from, to);
}

static void test_limits_keep_their_methods(void **state)
{
    (void)state;
    for (unsigned long n = 0, cases = biased_cases(5000); n < cases; n++) {
        struct nmk_marks marks = {.step = {0}};
        struct nmk_rat a = {0}, b = {0};
        draw(&marks, &a);
        if (biased_below(2))
            nmk_rat_add(&b, &a, &marks.step);
        else
            biased_rat(&b);
        if (nmk_rat_cmp(&a, &b) > 0)
            nmk_rat_swap(&a, &b);
        check_limits(n, &marks, &a, &b);
        clear(&marks, &a);
        nmk_rat_clear(&b);
    }
}

/* Common practice, no source: the conversions that are published with every sleeve. */
static void test_usual_sizes_at_sixteenths(void **state)
{
    static const struct {
        const char *mm, *mark;
    } usual[] = {{"113 mm", "4 7/16 in"}, {"99 mm", "3 7/8 in"}, {"120 mm", "4 3/4 in"}};
    (void)state;
    struct nmk_marks marks = {.step = rat_of("127/80")};
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++) {
        struct nmk_rat mm = reading_mm(usual[i].mm);
        int64_t k = 0;
        char text[32];
        assert_int_equal(nmk_marks_nearest(&k, &marks, &mm, NMK_TIE_LARGER), NMK_OK);
        nmk_marks_at(&mm, &marks, k);
        nmk_length_print(text, sizeof text, &mm, NMK_IN, 4, NMK_FRACTION_PLAIN);
        assert_string_equal(text, usual[i].mark);
        nmk_rat_clear(&mm);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_mark_is_nearer_and_ties_follow_their_rule),
        cmocka_unit_test(test_below_and_above_enclose),
        cmocka_unit_test(test_ties_on_both_sides_of_zero),
        cmocka_unit_test(test_an_offset_moves_every_mark),
        cmocka_unit_test(test_the_ends_of_the_range),
        cmocka_unit_test(test_wrong_calls_are_answered),
        cmocka_unit_test(test_limits_keep_their_methods),
        cmocka_unit_test(test_usual_sizes_at_sixteenths),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
