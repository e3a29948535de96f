/* How to find a mark: every hint, taken at its word, leads to the mark, and never counts far. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "ground/hint.h"
#include "ground/store.h"

static void step_of(struct nmk_rat *step, int64_t num, int64_t den, enum nmk_unit unit)
{
    struct nmk_rat mm = {0};
    nmk_unit_mm(&mm, unit);
    assert_int_equal(nmk_rat_set_frac(step, num, den), NMK_OK);
    nmk_rat_mul(step, step, &mm);
    nmk_rat_clear(&mm);
}

static void says(int64_t marks, int64_t num, int64_t den, enum nmk_unit step_unit, enum nmk_unit unit, const char *want)
{
    struct nmk_rat step = {0};
    step_of(&step, num, den, step_unit);
    char *hint = hint_mark(marks, &step, step_unit, unit);
    if (want)
        assert_string_equal(hint ? hint : "no hint", want);
    else
        assert_null(hint);
    store_free(hint);
    nmk_rat_clear(&step);
}

static void test_examples(void **state)
{
    (void)state;
    says(71, 1, 16, NMK_IN, NMK_IN, "one mark more than 4 3/8"); /* 4 7/16: the example of the design page */
    says(70, 1, 16, NMK_IN, NMK_IN, NULL);                       /* 4 3/8 */
    says(47, 1, 16, NMK_IN, NMK_IN, "one mark more than 2 7/8");
    says(1, 1, 16, NMK_IN, NMK_IN, "the first mark");
    says(141, 1, 32, NMK_IN, NMK_IN, "one mark more than 4 3/8");  /* 4 13/32 */
    says(142, 1, 32, NMK_IN, NMK_IN, "two marks more than 4 3/8"); /* half-way: from the smaller */
    says(143, 1, 32, NMK_IN, NMK_IN, "one mark less than 4 1/2");
    says(3, 1, 8, NMK_IN, NMK_IN, "one mark more than 1/4");
    says(3, 1, 4, NMK_IN, NMK_IN, "one mark more than 1/2");
    says(84, 1, 1, NMK_MM, NMK_CM, "one mark less than 8.5");
    says(82, 1, 1, NMK_MM, NMK_CM, "two marks more than 8");
    says(83, 1, 1, NMK_MM, NMK_MM, "two marks less than 85");
    says(85, 1, 1, NMK_MM, NMK_CM, NULL);
    says(2, 1, 1, NMK_MM, NMK_MM, "the second mark");
    says(169, 1, 2, NMK_MM, NMK_CM, "one mark more than 8.4"); /* 8.45 cm */
    says(7, 2, 1, NMK_MM, NMK_MM, "two marks more than 10");
    says(0, 1, 16, NMK_IN, NMK_IN, NULL);
    says(7, 3, 7, NMK_MM, NMK_MM, NULL); /* a trimmer of no known kind */
}

/* Splits "N marks more than FIGURE"; how many marks it counts, with its sign. */
static int counted(const char *hint, const char **figure)
{
    static const char *const words[] = {"one mark ", "two marks ", "three marks ", "four marks ", "five marks ",
                                        "six marks ", "seven marks ", "eight marks ", "nine marks ", "ten marks "};
    for (int i = 0; i < 10; i++) {
        size_t size = strlen(words[i]);
        if (strncmp(hint, words[i], size) != 0)
            continue;
        *figure = hint + size + strlen("more than ");
        return strncmp(hint + size, "more than ", strlen("more than ")) ? -(i + 1) : i + 1;
    }
    fail_msg("what is this: %s", hint);
    return 0;
}

static void leads_to(int64_t marks, const struct nmk_rat *step, const char *hint, enum nmk_unit unit)
{
    const char *figure = NULL;
    struct nmk_rat mm = {0}, size = {0}, want = {0};
    struct nmk_length_read read = {.unit = NMK_UNIT_NONE};
    int count = counted(hint, &figure);
    assert_int_equal(nmk_length_parse(&read, figure, strlen(figure), false, NULL), NMK_OK);
    assert_int_equal(read.used, strlen(figure));
    nmk_unit_mm(&mm, unit);
    nmk_rat_mul(&size, &read.mm, &mm);
    nmk_rat_set_int(&want, marks - count);
    nmk_rat_mul(&want, &want, step);
    assert_true(nmk_rat_equal(&size, &want));
    nmk_length_read_clear(&read);
    nmk_rat_clear(&mm);
    nmk_rat_clear(&size);
    nmk_rat_clear(&want);
}

static void test_every_hint_leads_to_its_mark(void **state)
{
    (void)state;
    static const struct { int64_t num, den; enum nmk_unit unit; } steps[] = {
        {1, 64, NMK_IN}, {1, 32, NMK_IN}, {1, 16, NMK_IN}, {1, 8, NMK_IN}, {1, 4, NMK_IN}, {1, 2, NMK_IN}, {1, 10, NMK_IN},
        {1, 10, NMK_MM}, {1, 4, NMK_MM}, {1, 2, NMK_MM}, {1, 1, NMK_MM}, {2, 1, NMK_MM}, {5, 1, NMK_MM}, {1, 1, NMK_CM}};
    size_t given = 0;
    for (size_t s = 0; s < sizeof steps / sizeof *steps; s++)
        for (int64_t marks = 1; marks < 200; marks++) {
            struct nmk_rat step = {0};
            step_of(&step, steps[s].num, steps[s].den, steps[s].unit);
            char *hint = hint_mark(marks, &step, steps[s].unit, steps[s].unit);
            if (hint && strncmp(hint, "the ", 4) != 0) {
                leads_to(marks, &step, hint, steps[s].unit);
                given++;
            }
            store_free(hint);
            nmk_rat_clear(&step);
        }
    assert_true(given > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_examples), cmocka_unit_test(test_every_hint_leads_to_its_mark)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
