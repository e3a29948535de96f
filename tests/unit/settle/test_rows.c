/* Rows settled, planned and left to a rule card or chart, by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "base/text.h"
#include "nearmark/chart.h"
#include "nearmark/plan.h"
#include "nearmark/rules.h"
#include "settle/planning.h"
#include "unit/fit/fitting.h"

#define STOCK "stock card thickness 0.3 mm\n"

/* The settled lines across, from the first to the last by number. */
static void check_lines(const struct fitting *f, const char *expected)
{
    struct nmk_text text = {0};
    for (size_t i = 0; i < nmk_draft_line_count(f->draft, 0, NMK_ACROSS); i++)
        nmk_text_add_format(&text, "%s%lld", i ? " " : "",
                            (long long)nmk_settled_line(f->settled, NMK_SETTLED, 0, NMK_ACROSS, i));
    if (strcmp(nmk_text_get(&text), expected))
        fail_msg("%s, not %s", nmk_text_get(&text), expected);
    nmk_text_clear(&text);
}

/* 50 wide; 17 are left of the first, 20 of the second list: 8 and 9, 10 and 10. The third leaves 5 at its beginning. */
static void test_an_odd_mark_at_the_last(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        STOCK
        "piece p of card\n down t = 4 mm | u = 4 mm | v = 4 mm | w = 4 mm\n across z = 50 mm beside t\n"
        " across rest | a = 20 mm | b = 13 mm | rest beside u\n across rest | c = 30 mm | rest beside v\n across rest | d = 45 mm beside w\n",
        "metric");
    check_lines(f, "0 8 28 41 10 40 5 50");
    fitting_free(f);
}

/* Twice 10 marks, and 13 and 7, are equally wide as they come. Twice 11 and 21 are not: 22 leaves one length off its nearest
 * mark, 10 and 20 would leave both. */
static void test_equal_widths(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        STOCK
        "piece p of card\n down t = 4 mm | u = 4 mm\n across a = 10.4 mm | a beside t\n across b = 13.4 mm | c = 7.4 mm beside u\n",
        "metric");
    fitting_check_marks(f, "4 4 10 13 7");
    fitting_free(f);
    f = fitting_of(
        STOCK "piece p of card\n down t = 4 mm | u = 4 mm\n across a = 10.6 mm | a beside t\n across b = 21.2 mm beside u\n",
        "metric");
    fitting_check_marks(f, "4 4 11 22");
    fitting_free(f);
}

/* A rest keeps its mark although the panels would like to fill the width; of two each has one. */
static void test_a_rest_is_a_mark(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        STOCK
        "piece p of card\n down t = 4 mm | u = 4 mm\n across a = 20.4 mm beside t\n across rest | b = 19.8 mm | rest beside u\n",
        "metric");
    assert_true(fitting_marks(f, "p.a") - fitting_marks(f, "p.b") == 2);
    fitting_free(f);
    f = fitting_of(
        STOCK
        "piece p of card\n down t = 4 mm | u = 4 mm\n across a = 20.4 mm beside t\n across rest | b = 19.8 mm beside u\nkeep p.a at most 20.4 mm\n"
        "keep p.b at least 19.8 mm\n",
        "metric");
    assert_false(nmk_settled_holds_together(f->settled)); /* 20 and 20 */
    struct nmk_conflict *conflict;
    assert_int_equal(nmk_conflict_new(&conflict, f->settled), NMK_OK);
    assert_int_equal(nmk_conflict_count(conflict), 2);
    nmk_conflict_free(conflict);
    fitting_free(f);
}

/* Scores on every 5th mark; cuts need none. 57 wide, 24 left: 12 + 20 is no score mark. y at 4 leaves 21, and 10 + 20 = 30 is
 * one; a at 17 or b at 16 would do as well, 3 off too, but later in the list. From the last edge, 55 wide, 22 left: 55 - (11 +
 * 20) is none; a at 19 leaves 23, and 55 - (11 + 19) = 25. */
static void test_scores_between_rests(void **state)
{
    static const char text[] = STOCK
        "piece p of card\n down t = 5 mm | u = 5 mm\n across z = 50 mm | y = %d mm beside t\n across rest | a = 20 mm | b = 13 mm | rest beside u\n"
        " score from %s edge\nedition e unit mm marks 1 mm scores 5 mm\n";
    char design[500];
    (void)state;
    snprintf(design, sizeof design, text, 7, "first");
    struct fitting *f = fitting_of(design, "e");
    fitting_check_marks(f, "5 5 50 4 20 13");
    check_lines(f, "0 50 10 30 43 54");
    fitting_free(f);
    snprintf(design, sizeof design, text, 5, "last");
    f = fitting_of(design, "e");
    fitting_check_marks(f, "5 5 50 5 19 13");
    check_lines(f, "0 50 11 30 43 55");
    fitting_free(f);
}

static const char envelope[] =
    "measure wide 148 mm from 100 to 180 mm\nmeasure high 105 mm from 80 to 130 mm\nstock card thickness 0.3 mm sheet A4\npiece p of card\n"
    " down flap = 40 mm | front = high + 5 mm | back = 100 mm\n across tab = 15 mm glue | body = wide + 5 mm | tab glue beside front\n"
    " across rest | body | rest beside flap, back\nfit p.body over wide clear 1 to 9 mm\nedition e unit mm marks 1 mm\n";

/* Lists that take the same of the readings stay equally wide; those that do not are by the chart only. */
static void test_on_the_card(void **state)
{
    static const struct {
        const char *lists;
        bool chart_only;
    } rows[] = {
        {" across a = m + 4 mm | b = 6 mm beside t\n across c = m + 10 mm beside u\n", false},
        {" across a = m + 4 mm | b = 6 mm beside t\n across c = 40 mm beside u\n", true},
        {" across a = m / 2 | a | b = 6 mm beside t\n across c = m + 6 mm beside u\n", true}, /* each is rounded by itself */
        {" across a = m / 2 | b = 6 mm beside t\n across d = 6 mm | c = m / 2 beside u\n", false}, /* both alike */
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[600];
        struct nmk_rules *rules;
        snprintf(text, sizeof text,
                 "measure m 30 mm from 20 to 40 mm\n" STOCK
                 "piece p of card\n down t = 9 mm | u = 9 mm\n%sedition e unit mm marks 1 mm\n",
                 rows[i].lists);
        struct fitting *f = fitting_draft(text, "e");
        assert_int_equal(nmk_rules_new(&rules, f->draft, &f->options, f->list), NMK_OK);
        assert_int_equal(nmk_rules_length(rules, fitting_length(f, "p.a"))->chart_only, rows[i].chart_only);
        assert_int_equal(nmk_rules_length(rules, fitting_length(f, "p.b"))->chart_only, rows[i].chart_only);
        assert_int_equal(nmk_rules_length(rules, fitting_length(f, "p.c"))->chart_only, rows[i].chart_only);
        assert_false(nmk_rules_length(rules, fitting_length(f, "p.t"))->chart_only);
        nmk_rules_free(rules);
        fitting_free(f);
    }
}

/* A size at which two lists are not equally wide has no row on the chart. */
static void test_on_the_chart(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_draft("measure m 30 mm\n" STOCK
                      "piece p of card\n down t = 9 mm | u = 9 mm\n across a = m beside t\n across b = 30 mm beside u\n"
                      "edition e unit mm marks 1 mm\n",
                      "e");
    struct nmk_chart *chart;
    struct nmk_chart_row row = {0};
    struct nmk_rat size = {0};
    assert_int_equal(nmk_chart_new(&chart, f->design, 0, NULL, NMK_MM, &f->options), NMK_OK);
    assert_int_equal(nmk_chart_settle(&row, chart, f->list), NMK_OK);
    assert_true(row.holds_together && row.marks[2] == 30 && row.marks[3] == 30);
    nmk_rat_set_int(&size, 31);
    assert_int_equal(nmk_design_set_measure(f->design, 0, &size), NMK_OK);
    assert_int_equal(nmk_chart_settle(&row, chart, f->list), NMK_INVALID);
    nmk_chart_free(chart);
    fitting_free(f);
}

static struct nmk_plan *plan_of(const struct fitting *f)
{
    struct nmk_plan_options options;
    struct nmk_plan *plan;
    const char *why;
    nmk_plan_options_init(&options);
    assert_int_equal(nmk_plan_new(&plan, f->settled, &options, f->list), NMK_OK);
    assert_true(nmk_plan_check(plan, &why));
    return plan;
}

/* The whole rectangle is cut; all scores come before anything is cut away; a fold line is cut where nothing is beside it. */
static void test_the_plan(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(envelope, "e");
    struct nmk_plan *plan = plan_of(f);
    struct nmk_text text = {0};
    assert_int_equal(nmk_plan_piece(plan, 0)->marks[NMK_ACROSS], 183);
    assert_int_equal(nmk_plan_piece(plan, 0)->marks[NMK_DOWN], 250);
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++) {
        const struct nmk_plan_step *step = nmk_plan_step(plan, i);
        if (step->act != NMK_PLAN_CUT)
            nmk_text_add_format(&text, "%s%s%lld", text.size ? " " : "",
                                step->act == NMK_PLAN_SCORE   ? "score "
                                : step->act == NMK_PLAN_KNIFE ? "knife "
                                                              : "make ",
                                (long long)step->marks);
    }
    assert_string_equal(nmk_text_get(&text),
                        "score 15 score 168 score 40 score 150 knife 15 knife 168 knife 40 knife 150 make 0 make 0");
    nmk_text_clear(&text);
    nmk_plan_free(plan);
    fitting_free(f);
}

static void no_cut(struct nmk_plan_step *step)
{
    step->act = NMK_PLAN_SCORE;
}

static void on_another_line(struct nmk_plan_step *step)
{
    step->line = 1; /* a score beside the front */
    step->marks = 15;
}

static void off_its_line(struct nmk_plan_step *step)
{
    nmk_rat_set_int(&step->at, ++step->marks);
}

static void too_early(struct nmk_plan_step *step)
{
    struct nmk_plan_step was = *step, *before = step - 4;
    memmove(before + 1, before, 4 * sizeof *before);
    *before = was;
}

static void twice(struct nmk_plan_step *step)
{
    step[1] = *step;
}

/* The checker sees what is cut that is to be scored, off its line, twice, or before the scores. */
static void test_spoilt_plans(void **state)
{
    static void (*const spoils[])(struct nmk_plan_step *) = {no_cut, on_another_line, off_its_line, too_early, twice};
    (void)state;
    for (size_t i = 0; i < sizeof spoils / sizeof *spoils; i++) {
        struct fitting *f = fitting_of(envelope, "e");
        struct nmk_plan *plan = plan_of(f);
        const char *why;
        size_t at = 0;
        while (plan->steps[at].act != NMK_PLAN_KNIFE)
            at++;
        struct nmk_rat over = plan->steps[at + 1].at; /* what is written over is given back */
        spoils[i](&plan->steps[at]);
        assert_false(nmk_plan_check(plan, &why));
        assert_non_null(why);
        if (spoils[i] == twice)
            plan->steps[at + 1].at = over;
        nmk_plan_free(plan);
        fitting_free(f);
    }
}

/* Scores on every second mark between two rests: of eight lengths that hang together by what is left over, two have to move. */
static void test_scores_between_rests_are_soon_settled(void **state)
{
    (void)state;
    struct fitting *f = fitting_draft(STOCK "piece p of card\n across t = 25 mm | u = 4 mm\n"
                                      " down a = 88 mm || b = 88 mm || c = 89 mm beside t\n"
                                      " down rest | d = 58 mm | e = 58 mm | f = 58 mm | g = 58 mm | rest beside u\n"
                                      " score from both edges\nedition e unit in marks 1/12 in scores 1/6 in\n", NULL);
    f->options.most_steps = 20000000;
    assert_int_equal(nmk_settle(&f->settled, f->draft, &f->options, f->list), NMK_OK);
    assert_true(nmk_settled_holds_together(f->settled));
    assert_int_equal(nmk_settled_moved(f->settled), 2);
    fitting_free(f);
}

/* What is only cut through is not folded. */
static void test_nothing_to_fold(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "piece p of card\n down t = 40 mm\n across a = 30 mm || b = 20 mm || a\n", "metric");
    struct nmk_plan *plan = plan_of(f);
    size_t knife = 0;
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++) {
        assert_true(nmk_plan_step(plan, i)->act == NMK_PLAN_CUT || nmk_plan_step(plan, i)->act == NMK_PLAN_KNIFE);
        knife += nmk_plan_step(plan, i)->act == NMK_PLAN_KNIFE;
    }
    assert_int_equal(knife, 2);
    nmk_plan_free(plan);
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_an_odd_mark_at_the_last),
                                       cmocka_unit_test(test_equal_widths),
                                       cmocka_unit_test(test_a_rest_is_a_mark),
                                       cmocka_unit_test(test_scores_between_rests),
                                       cmocka_unit_test(test_on_the_card),
                                       cmocka_unit_test(test_on_the_chart),
                                       cmocka_unit_test(test_the_plan),
                                       cmocka_unit_test(test_spoilt_plans),
                                       cmocka_unit_test(test_nothing_to_fold),
                                       cmocka_unit_test(test_scores_between_rests_are_soon_settled)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
