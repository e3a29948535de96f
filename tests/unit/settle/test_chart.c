/* Charts of designs that bind their parts in ways of their own. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "nearmark/chart.h"
#include "unit/fit/fitting.h"

#define STOCK "stock card thickness 0.3 mm\n"

static void set_size(struct fitting *f, const char *measure, int64_t mm)
{
    struct nmk_rat size = {0};
    nmk_rat_set_int(&size, mm);
    assert_int_equal(nmk_design_set_measure(f->design, nmk_design_find_measure(f->design, measure), &size), NMK_OK);
    nmk_rat_clear(&size);
}

static void settle_anew(struct fitting *f)
{
    struct nmk_draft *draft;
    assert_int_equal(nmk_draft_new(&draft, f->design, 0, NULL, NMK_MM, f->list), NMK_OK);
    nmk_settled_free(f->settled);
    f->settled = NULL;
    nmk_draft_free(f->draft);
    f->draft = draft;
    fitting_settle(f);
}

/* The row is what nmk_settle says at the same sizes. */
static void check_row(struct fitting *f, struct nmk_chart *chart)
{
    struct nmk_chart_row row;
    settle_anew(f);
    assert_int_equal(nmk_chart_settle(&row, chart, f->list), NMK_OK);
    assert_int_equal(row.holds_together, nmk_settled_holds_together(f->settled));
    for (size_t i = 0; row.marks && i < nmk_design_length_count(f->design); i++)
        assert_int_equal(row.marks[i], nmk_settled_marks(f->settled, i));
    if (row.marks)
        assert_int_equal(row.state, nmk_settled_state(f->settled));
}

static void check_grid(const char *text, int64_t first, int64_t last)
{
    struct fitting *f = fitting_draft(text, NULL);
    struct nmk_chart *chart;
    assert_int_equal(nmk_chart_new(&chart, f->design, 0, NULL, NMK_MM, &f->options), NMK_OK);
    check_row(f, chart); /* at the file's own sizes */
    for (int64_t m = last; m >= first; m--)
        for (int64_t n = first; n <= last; n += 3) {
            set_size(f, "m", m);
            set_size(f, "n", n);
            check_row(f, chart);
        }
    nmk_chart_free(chart);
    fitting_free(f);
}

/* At m = n the factor is 0 and nothing binds a and b; later it does. */
static void test_factor_of_measures(void **state)
{
    (void)state;
    check_grid("measure m 20 mm\nmeasure n 20 mm\n" STOCK "piece p of card\n across a = 41.6 mm\n down b = 40 mm\n"
               "keep p.a at least p.b * (m / n - 1) * 3\nkeep p.b at least 37.5 mm\nkeep p.a at most 44 mm\nedition e unit mm marks 1 mm\n", 18, 26);
}

/* The mats shrink with m: at the smallest sizes they would come out below one mark, and bind what else is apart. */
static void test_small_mats(void **state)
{
    (void)state;
    check_grid("measure m 30 mm\nmeasure n 30 mm\n" STOCK "let rim = 3.4 mm\n"
               "piece p of card\n across a over m clear 1.3 mm (0 to 4 mm)\n down b over n clear 1.3 mm (0 to 4 mm)\n"
               "mat u of card on p, smaller by rim\nmat v of card on u, smaller by rim\nkeep rim at least 2.6 mm\n"
               "edition e unit mm marks 1 mm\n", 6, 14);
}

/* As designed a mat is taken to be at least one mark, so that what it lies on matters to its borders. */
static void test_small_mats_as_designed(void **state)
{
    (void)state;
    check_grid("measure m 30 mm\nmeasure n 30 mm\n" STOCK
               "piece p of card\n across a over m clear 0.4 mm (0 to 4 mm)\n down b over n clear 0.4 mm (0 to 4 mm)\n"
               "mat u of card on p, smaller by 5.6 mm shows 1 to 2.9 mm\nedition e unit mm marks 1 mm as designed\n",
               6, 14);
}

/* As designed nothing is moved, though a would have to be for its demand. */
static void test_as_designed(void **state)
{
    (void)state;
    check_grid("measure m 30 mm\nmeasure n 30 mm\n" STOCK
               "piece p of card\n across a over m clear 0.4 mm (0.3 to 4 mm)\n down b over n clear 0.6 mm (0 to 4 mm)\n"
               "edition e unit mm marks 1 mm as designed\n",
               6, 14);
}

/* Where a grows longer than b its score is taken from the other edge, and the error of the cut comes to its own: what was
 * always met is at risk. */
static void test_edges(void **state)
{
    (void)state;
    check_grid("measure m 16 mm\nmeasure n 30 mm\n" STOCK
               "piece p of card\n across a over m clear 1 mm (0.75 to 1.25 mm) | b = 20 mm\n"
               " down c over n clear 1 mm (0 to 4 mm)\n score from both edges\nedition e unit mm marks 1 mm cut +- 0.2 mm\n",
               14, 26);
}

/* Strips of whole marks bind lengths beyond what the demands say. */
static void test_strips(void **state)
{
    (void)state;
    check_grid(
        "measure m 16 mm\nmeasure n 30 mm\n" STOCK
        "piece p of card\n across a over m clear 0.4 mm (0 to 4 mm)\n down b over n clear 0.6 mm (0 to 4 mm)\n"
        "piece q of card\n across c = m + 5.3 mm\n down d = n + 6.4 mm\nborder p on q, shows 1 to 5 mm even whole\nedition e unit mm marks 1 mm\n",
        14, 22);
}

static void test_refused(void **state)
{
    (void)state;
    struct fitting *f = fitting_draft(
        "measure m 30 mm\n" STOCK "piece p of card\n across a = m - 5 mm\n down b = 10 mm\nkeep p.a at least 1 mm\n", NULL);
    struct nmk_chart *chart = NULL;
    struct nmk_chart_row row = {.bad_count = 77};
    struct nmk_rat zero = {0};
    struct nmk_settle_options bad = {.within = -1};
    assert_int_equal(nmk_chart_new(NULL, f->design, 0, NULL, NMK_MM, &f->options), NMK_INVALID);
    assert_int_equal(nmk_chart_new(&chart, NULL, 0, NULL, NMK_MM, &f->options), NMK_INVALID);
    assert_int_equal(nmk_chart_new(&chart, f->design, 2, NULL, NMK_MM, &f->options), NMK_INVALID);
    assert_int_equal(nmk_chart_new(&chart, f->design, 0, NULL, NMK_MM, NULL), NMK_INVALID);
    assert_int_equal(nmk_chart_new(&chart, f->design, 0, NULL, NMK_MM, &bad), NMK_INVALID);
    assert_null(chart);
    assert_int_equal(nmk_chart_new(&chart, f->design, 0, &zero, NMK_MM, &f->options), NMK_OK);
    assert_int_equal(nmk_chart_settle(&row, chart, f->list), NMK_INVALID); /* marks 0 apart */
    nmk_chart_free(chart);
    assert_int_equal(nmk_chart_new(&chart, f->design, 0, NULL, NMK_MM, &f->options), NMK_OK);
    assert_int_equal(nmk_chart_settle(NULL, chart, f->list), NMK_INVALID);
    assert_int_equal(nmk_chart_settle(&row, NULL, f->list), NMK_INVALID);
    set_size(f, "m", 5);
    assert_int_equal(nmk_chart_settle(&row, chart, f->list), NMK_INVALID); /* nothing is left of a */
    assert_int_equal(row.bad_count, 77);
    set_size(f, "m", 6);
    assert_int_equal(nmk_chart_settle(&row, chart, f->list), NMK_OK);
    assert_true(row.holds_together && row.bad_count == 0 && row.marks[0] == 2); /* 1 mm would be at risk */
    nmk_chart_free(chart);
    nmk_chart_free(NULL);
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_factor_of_measures), cmocka_unit_test(test_small_mats),
        cmocka_unit_test(test_small_mats_as_designed), cmocka_unit_test(test_as_designed), cmocka_unit_test(test_edges),
        cmocka_unit_test(test_strips), cmocka_unit_test(test_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
