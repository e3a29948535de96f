/* Reading designs: what is asked of a design, and its check. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "unit/design/trial.h"

static struct nmk_design *must_read(const char *text, size_t size)
{
    struct nmk_design *design = NULL;
    assert_int_equal(nmk_design_read(&design, text, size, NULL), NMK_OK);
    return design;
}

/* ---- what is asked of a design ---- */

static void answers_what_is_asked(void **state)
{
    (void)state;
    struct nmk_design *d = must_read(trial_small, strlen(trial_small));
    assert_string_equal(nmk_design_title(d), "");
    assert_int_equal(nmk_design_measure_count(d), 1);
    assert_string_equal(nmk_design_measure(d, 0)->name, "long");
    assert_null(nmk_design_measure(d, 1));
    assert_int_equal(nmk_design_stock_count(d), 1);
    assert_null(nmk_design_stock(d, 1));
    assert_int_equal(nmk_design_let_count(d), 1);
    assert_int_equal(nmk_design_let(d, 0)->length, 2);
    assert_null(nmk_design_let(d, NMK_NONE));
    assert_int_equal(nmk_design_piece_count(d), 2);
    assert_string_equal(nmk_design_piece(d, 1)->name, "label");
    assert_null(nmk_design_piece(d, 2));
    assert_int_equal(nmk_design_punches_count(d), 0);
    assert_null(nmk_design_punches(d, 0));
    assert_int_equal(nmk_design_opening_count(d), 0);
    assert_null(nmk_design_opening(d, 0));
    assert_int_equal(nmk_design_length_count(d), 4);
    assert_string_equal(nmk_design_length(d, 3)->name, "label.smaller");
    assert_null(nmk_design_length(d, 4));
    assert_int_equal(nmk_design_demand_count(d), 5);
    assert_null(nmk_design_demand(d, 5));
    assert_int_equal(nmk_design_declared_count(d), 1);
    assert_int_equal(nmk_design_edition_count(d), 3);
    assert_int_equal(nmk_design_find_edition(d, "fine"), 0);
    assert_int_equal(nmk_design_find_edition(d, "imperial"), 2);
    assert_int_equal(nmk_design_find_edition(d, "no"), NMK_NONE);
    assert_int_equal(nmk_design_find_measure(d, "long"), 0);
    assert_int_equal(nmk_design_find_measure(d, "lon"), NMK_NONE);
    assert_int_equal(nmk_design_find_measure(d, NULL), NMK_NONE);
    nmk_design_free(d);
}

static void answers_nothing_of_nothing(void **state)
{
    (void)state;
    struct nmk_design *untouched = NULL;
    assert_string_equal(nmk_design_title(NULL), "");
    assert_int_equal(nmk_design_measure_count(NULL), 0);
    assert_null(nmk_design_piece(NULL, 0));
    assert_int_equal(nmk_design_find_edition(NULL, "metric"), NMK_NONE);
    assert_false(nmk_design_check(NULL));
    assert_int_equal(nmk_design_read(NULL, trial_small, strlen(trial_small), NULL), NMK_INVALID);
    assert_int_equal(nmk_design_read(&untouched, NULL, 5, NULL), NMK_INVALID);
    assert_int_equal(nmk_design_read(&untouched, NULL, 0, NULL), NMK_INVALID);
    assert_null(untouched);
    nmk_design_free(NULL);
}

static void measures_take_another_size(void **state)
{
    (void)state;
    struct nmk_design *d = must_read(trial_small, strlen(trial_small));
    struct nmk_rat size = {0};
    char digits[60];
    assert_int_equal(nmk_design_set_measure(d, 0, &size), NMK_INVALID);
    nmk_rat_set_int(&size, -1);
    assert_int_equal(nmk_design_set_measure(d, 0, &size), NMK_INVALID);
    assert_int_equal(nmk_rat_parse(&size, "10000000000000000000000000000/7", 31), NMK_OK);
    assert_int_equal(nmk_design_set_measure(d, 1, &size), NMK_INVALID);
    assert_int_equal(nmk_design_set_measure(NULL, 0, &size), NMK_INVALID);
    assert_int_equal(nmk_design_set_measure(d, 0, NULL), NMK_INVALID);
    assert_int_equal(nmk_rat_cmp_int(&nmk_design_measure(d, 0)->size, 105), 0);
    assert_int_equal(nmk_design_set_measure(d, 0, &size), NMK_OK);
    nmk_rat_clear(&size);
    nmk_rat_print(digits, sizeof digits, &nmk_design_measure(d, 0)->size);
    assert_string_equal(digits, "10000000000000000000000000000/7");
    assert_int_equal(nmk_rat_cmp_int(&nmk_design_measure(d, 0)->from, 70), 0);
    assert_true(nmk_design_check(d));
    nmk_design_free(d);
}

/* ---- the check ---- */

/* Each of these makes a sound design disagree with itself. */
static void checked_designs_agree_with_themselves(void **state)
{
    (void)state;
    struct nmk_design *d = must_read(trial_small, strlen(trial_small));
    struct nmk_piece *tray = (struct nmk_piece *)(uintptr_t)nmk_design_piece(d, 0), piece = *tray;
    struct nmk_demand *fit = (struct nmk_demand *)(uintptr_t)nmk_design_demand(d, 0), demand = *fit;
    struct nmk_length *length = (struct nmk_length *)(uintptr_t)nmk_design_length(d, 0), first = *length;
    struct nmk_let *let = (struct nmk_let *)(uintptr_t)nmk_design_let(d, 0), one = *let;
    struct nmk_edition *edition = (struct nmk_edition *)(uintptr_t)nmk_design_edition(d, 1), metric = *edition;
    assert_true(nmk_design_check(d));
    tray->stock = 1;
    assert_false(nmk_design_check(d));
    *tray = piece;
    tray->copies = 0;
    assert_false(nmk_design_check(d));
    *tray = piece;
    tray->lists[NMK_DOWN].count = 0;
    assert_false(nmk_design_check(d));
    *tray = piece;
    fit->bounds.low = fit->bounds.high;
    fit->bounds.high = (struct nmk_twin){0};
    assert_false(nmk_design_check(d));
    *fit = demand;
    fit->statement = 1;
    assert_false(nmk_design_check(d));
    *fit = demand;
    fit->inner = NULL;
    assert_false(nmk_design_check(d));
    *fit = demand;
    length->part = 1;
    assert_false(nmk_design_check(d));
    *length = first;
    let->length = 0;
    assert_false(nmk_design_check(d));
    *let = one;
    edition->declared = true;
    assert_false(nmk_design_check(d));
    *edition = metric;
    assert_true(nmk_design_check(d));
    nmk_design_free(d);
}

/* The same of lists beside panels. */
static void checked_rows_agree_with_themselves(void **state)
{
    static const char text[] =
        "stock card thickness 1 mm\npiece p of card\n across a = 9 mm | b = 3 mm glue beside t\n across rest | a | rest beside u\n"
        " down t = 5 mm | u = 6 mm\n";
    (void)state;
    struct nmk_design *d = must_read(text, strlen(text));
    struct nmk_piece *p = (struct nmk_piece *)(uintptr_t)nmk_design_piece(d, 0), piece = *p;
    struct nmk_list *across = &p->lists[NMK_ACROSS];
    struct nmk_stretch *rest = (struct nmk_stretch *)(uintptr_t)&across->stretches[2], stretch = *rest;
    struct nmk_stretch *top = (struct nmk_stretch *)(uintptr_t)&p->lists[NMK_DOWN].stretches[0];
    struct nmk_line *line = (struct nmk_line *)(uintptr_t)&across->lines[2];
    struct nmk_row *row = (struct nmk_row *)(uintptr_t)&across->rows[1], second = *row;
    assert_true(nmk_design_check(d) && nmk_piece_has_rows(p));
    across->widest = 1;
    assert_false(nmk_design_check(d));
    *p = piece;
    across->line_count--;
    assert_false(nmk_design_check(d));
    *p = piece;
    p->snipped = true;
    assert_false(nmk_design_check(d));
    *p = piece;
    rest->panel = 0;
    assert_false(nmk_design_check(d));
    *rest = stretch;
    rest->lines[1]++;
    assert_false(nmk_design_check(d));
    *rest = stretch;
    top->beside = 1;
    assert_false(nmk_design_check(d));
    top->beside = 0;
    line->is_cut = false; /* beside a rest */
    assert_false(nmk_design_check(d));
    line->is_cut = true;
    row->beside_count = 0;
    assert_false(nmk_design_check(d));
    *row = second;
    row->rests[0] = 0;
    assert_false(nmk_design_check(d));
    *row = second;
    assert_true(nmk_design_check(d));
    nmk_design_free(d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers_what_is_asked),
        cmocka_unit_test(answers_nothing_of_nothing),
        cmocka_unit_test(measures_take_another_size),
        cmocka_unit_test(checked_designs_agree_with_themselves), cmocka_unit_test(checked_rows_agree_with_themselves),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
