/* Settling, by hand on small designs (DEVELOPERS.md): the order of the aims, marks that bind, punches, conflicts. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "unit/fit/fitting.h"

#define STOCK "stock card thickness 0.3 mm\n"
#define ONE STOCK "piece p of card\n across a = 40.4 mm\n down b = 20 mm\n"
#define MM "edition e unit mm marks 1 mm cut +- 0.2 mm\n"

static void check_marks(const char *text, const char *marks)
{
    struct fitting *f = fitting_of(text, "e");
    fitting_check_marks(f, marks);
    fitting_free(f);
}

/* ---- aims ---- */

/* 40 would be met, but a cut of 39.9 would not: 41 is sure, and one mark further is no gain. */
static void test_surest(void **state)
{
    (void)state;
    check_marks(ONE MM, "40 20"); /* nothing asked: nearest */
    check_marks(ONE "keep p.a at least 40 mm\n" MM, "41 20");
    check_marks(ONE "keep p.a at least 39.8 mm\n" MM, "40 20");
    check_marks(ONE "keep p.a at least 40 mm\nkeep p.a at most 40.9 mm\n" MM, "40 20"); /* only 40 is met as marked */
    /* 41: 3/4 (41.1 less 41 of 0.4); 40: 1/2; the weakest as sure as it can be: at 41 it is 3/4 */
    check_marks(ONE "keep p.a at least 40 mm\nkeep p.a at most 41.1 mm\n" MM, "41 20");
}

/* The weakest first, then the next: a and b share a sum, and both want more. At most 61: 40 20 has 1/2, 1/2, 1; 41 20 has
 * 1/2, 1/2, 1 too (the sum then stands at its bound): the closest. At most 63: 41 21 is sure of all three. */
static void test_order_of_chances(void **state)
{
    (void)state;
    check_marks(ONE "keep p.a at least 40 mm\nkeep p.b at least 20 mm\nkeep p.a + p.b at most 61 mm\n" MM, "40 20");
    check_marks(ONE "keep p.a at least 40 mm\nkeep p.b at least 20 mm\nkeep p.a + p.b at most 60 mm\n" MM, "40 20");
    check_marks(ONE "keep p.a at least 40 mm\nkeep p.b at least 20 mm\nkeep p.a + p.b at most 63 mm\n" MM, "41 21");
}

static void check_sure(const char *text, int64_t percent, const char *marks)
{
    struct fitting *f = fitting_draft(text, "e");
    nmk_rat_set_frac(&f->options.sure, percent, 100);
    fitting_settle(f);
    fitting_check_marks(f, marks);
    fitting_free(f);
}

/* 40 of at least 39.9 has 3/4. --sure 0 and 75: enough; 76 and more: 41. */
static void test_sureness_asked_for(void **state)
{
    (void)state;
    check_sure(ONE "keep p.a at least 39.9 mm\n" MM, 0, "40 20");
    check_sure(ONE "keep p.a at least 39.9 mm\n" MM, 75, "40 20");
    check_sure(ONE "keep p.a at least 39.9 mm\n" MM, 76, "41 20");
    check_sure(ONE "keep p.a at least 39.9 mm\n" MM, 95, "41 20");
    check_sure(ONE "keep p.a at least 39.9 mm\n" MM, 100, "41 20");
    check_sure(ONE "keep p.a at least 40.1 mm\n" MM, 0, "41 20"); /* also then as marked */
}

/* closest: the fewest not at a nearest mark, then the smallest sum. 10.4 + 10.4 = 21 is had by moving one to 11; 22.8 =
 * 3 * 7.6: 8 8 8 less 1 or 2. Equal ones: the smaller list. */
static void test_closest(void **state)
{
    (void)state;
    check_marks(STOCK "piece p of card\n across a = 10.4 mm | b = 10.4 mm\n down c = 9 mm\nkeep p.across exactly 21 mm\n" MM,
                "10 11 9");
    check_marks(STOCK "piece p of card\n across a = 10.4 mm | b = 10.45 mm\n down c = 9 mm\nkeep p.across exactly 21 mm\n" MM,
                "10 11 9");
    check_marks(STOCK "piece p of card\n across a = 10.45 mm | b = 10.4 mm\n down c = 9 mm\nkeep p.across exactly 21 mm\n" MM,
                "11 10 9");
    check_marks(STOCK "piece p of card\n across a = 10 mm | b = 10 mm | d = 10 mm\n down c = 9 mm\nkeep p.across exactly 34 mm\n" MM, "10 10 14 9"); /* one moved by 4, not each by a little */
    struct fitting *f = fitting_of(
        STOCK "piece p of card\n across a = 10.4 mm | b = 10.4 mm\n down c = 9.5 mm\nkeep p.across exactly 21 mm\n" MM, "e");
    char off[40];
    assert_int_equal(nmk_settled_moved(f->settled), 1);
    nmk_rat_print(off, sizeof off, nmk_settled_deviation(f->settled)); /* 0.4 + 0.6 + 0.5 */
    assert_string_equal(off, "3/2");
    assert_int_equal(fitting_marks(f, "p.c"), 9); /* at a tie both are nearest: the smaller list */
    fitting_check_length(f, "p.c", "19/2", 10);
    fitting_free(f);
}

static void check_easiest(const char *text, int64_t within, const char *marks)
{
    struct fitting *f = fitting_draft(text, "e");
    f->options.prefer = NMK_EASIEST;
    f->options.within = within;
    fitting_settle(f);
    fitting_check_marks(f, marks);
    fitting_free(f);
}

/* easiest: within 2 marks of 40.4 (38.4 to 42.4): 40 is a whole centimetre; of 43.4 (41.4 to 45.4): 45 a half one. Within 0
 * only the size itself is near: everything is far, so that 0 fineness decides and then the distance: 40 for 43.4. */
static void test_easiest(void **state)
{
    (void)state;
    check_easiest(ONE MM, 2, "40 20");
    check_easiest(STOCK "piece p of card\n across a = 43.4 mm\n down b = 22 mm\n" MM, 2, "45 20");
    check_easiest(STOCK "piece p of card\n across a = 43.4 mm\n down b = 22.5 mm\n" MM, 1, "43 22");
    check_easiest(STOCK "piece p of card\n across a = 43.4 mm\n down b = 20 mm\n" MM, 0, "40 20");
    /* inches: 2 7/16 in (39 marks) within 2: 37 .. 41: 40 is a half, 2 1/2 in */
    check_easiest(STOCK "piece p of card\n across a = 2 7/16 in\n down b = 1 15/16 in\nedition e unit in marks 1/16 in\n", 2,
                  "40 32");
    check_easiest(STOCK "piece p of card\n across a = 2 7/16 in\n down b = 1 15/16 in\nedition e unit in marks 1/16 in\n", 0,
                  "39 31");
}

/* ---- what binds marks ---- */

/* A length is at least one mark, and so is its nearest; a mat too. */
static void test_at_least_one_mark(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of(STOCK "piece p of card\n across a = 0.2 mm\n down b = 20 mm\nkeep p.a at most 2 mm\n" MM, "e");
    fitting_check_length(f, "p.a", "1/5", 1);
    fitting_check_marks(f, "1 20");
    assert_int_equal(nmk_settled_moved(f->settled), 0);
    fitting_free(f);
    /* 10.4 - 9.6 = 0.8: nearest 10 and 10 leave no mat; one of them moves. 10.4 to 11: 0.6; 9.6 to 9: 0.6; smaller list */
    check_marks(STOCK "piece p of card\n across a = 10.4 mm\n down b = 20 mm\nmat u of card on p, smaller by 9.6 mm\n" MM,
                "10 20 9");
}

static void test_even_whole(void **state)
{
    (void)state;
    /* (50 - 45) / 2 = 2.5 and (40 - 35) / 2: even, but not whole: one mark less or more each way; the smaller list */
    static const char text[] =
        STOCK "piece p of card\n across a = 50 mm\n down b = 40 mm\npiece q of card\n across c = 45 mm\n down d = 35 mm\n"
              "border q on p, shows 1 to 4 mm even%s\n" MM;
    char with[500];
    snprintf(with, sizeof with, text, "");
    check_marks(with, "50 40 45 35");
    snprintf(with, sizeof with, text, " whole");
    check_marks(with, "49 39 45 35");
}

/* A score stands on a score mark counted from the edge it is taken from. */
static void test_scores(void **state)
{
    (void)state;
    check_marks(STOCK
                "piece p of card\n across a = 11 mm | b = 30 mm\n down c = 9 mm\nedition e unit mm marks 1 mm scores 5 mm\n",
                "10 30 9");
    check_marks(
        STOCK
        "piece p of card\n across a = 30 mm | b = 11 mm\n down c = 9 mm\n score from last edge\nedition e unit mm marks 1 mm scores 5 mm\n",
        "30 10 9");
    check_marks(
        STOCK
        "piece p of card\n across a = 11 mm | b = 28 mm | a\n down c = 9 mm\n score from both edges\nedition e unit mm marks 1 mm scores 5 mm\n",
        "10 28 9");
    check_marks(
        STOCK
        "piece p of card\n across a = 11 mm | b = 28 mm\n down c = 9 mm\nedition e unit mm marks 1 mm scores 5 mm as designed\n",
        "11 28 9");
    struct fitting *f = fitting_draft(ONE "edition e unit mm marks 1 mm scores 5 mm as designed\n", "e");
    assert_int_equal(nmk_draft_score_marks(f->draft), 1); /* as designed scores stand on marks */
    fitting_free(f);
    /* marks of 2 mm and scores of 3 mm meet every 6 mm: 3 marks */
    check_marks(STOCK
                "piece p of card\n across a = 11 mm | b = 28 mm\n down c = 9 mm\nedition e unit mm marks 2 mm scores 3 mm\n",
                "6 14 4");
}

/* ---- unwatched ---- */

static void test_unwatched(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "let rim = 4 mm\nlet step = 3 mm\npunches tags 9 x 8 mm\n"
        "piece p of card\n across a = 40 mm | step\n down b = 20 mm\nmat u of card on p, smaller by rim\nopening h from tags through p on p\n"
        "keep p.across - step at least 5 mm\n" MM, "e");
    static const struct {
        const char *name;
        bool unwatched;
    } rows[] = {{"p.a", false}, {"step", true}, {"p.b", true}, {"rim", true}, {"h", true}};
    for (size_t i = 0; i < 5; i++)
        assert_int_equal(nmk_settled_unwatched(f->settled, fitting_length(f, rows[i].name)), rows[i].unwatched);
    fitting_free(f);
}

/* ---- punches ---- */

#define TAGS "punches tags 19 x 14 mm, 25 x 25 mm, 38 x 18 mm, 14 x 19 mm\n"

/* Openings the largest by area (625, 684, 266): 38 x 18; pieces the smallest, of equal ones the earlier. */
static void test_punches(void **state)
{
    (void)state;
    static const char frame[] = STOCK TAGS "piece p of card\n across a = 60 mm\n down b = 60 mm\n";
    char text[600];
    snprintf(text, sizeof text, "%sopening h from tags through p on p\npiece t of card from tags\n" MM, frame);
    check_marks(text, "60 60 3 1");
    snprintf(
        text, sizeof text,
        "%sopening h from tags through p on p\npiece t of card from tags\nkeep h.across at most 30 mm\nkeep t.across at most 18 mm\n" MM,
        frame);
    check_marks(text, "60 60 2 4");
    /* surer before larger: 38 against at most 38.1 - a with an error */
    snprintf(text, sizeof text,
             "%sopening h from tags through p on p\nkeep h.across at most p.a - 22 mm\nkeep p.a at most 60 mm\n" MM, frame);
    check_marks(text, "59 60 2");
    /* as designed: the fewest unmet, then the surest */
    snprintf(
        text, sizeof text,
        "%sopening h from tags through p on p\nkeep h.across at least p.a\nkeep h.down at least p.b - 36 mm\nedition e unit mm marks 1 mm as designed\n",
        frame);
    check_marks(text, "60 60 2");
}

/* ---- conflicts ---- */

static void check_conflict(const char *text, const char *expected, const char *finer)
{
    struct fitting *f = fitting_of(text, "e");
    struct nmk_conflict *conflict;
    char found[500] = "", figures[60];
    assert_false(nmk_settled_holds_together(f->settled));
    assert_null(nmk_settled_view(f->settled, 0, NMK_SETTLED));
    assert_int_equal(nmk_settled_marks(f->settled, 0), 0);
    assert_int_equal(nmk_conflict_new(&conflict, f->settled), NMK_OK);
    for (size_t i = 0; i < nmk_conflict_count(conflict); i++) {
        const struct nmk_conflict_member *m = nmk_conflict_member(conflict, i);
        nmk_rat_print(figures, sizeof figures, &m->change);
        snprintf(found + strlen(found), sizeof found - strlen(found), "%s%s %s %s", i ? ", " : "",
                 nmk_design_demand(f->design, m->demand)->name, m->can_change ? m->high ? "hi" : "lo" : "-", figures);
    }
    assert_string_equal(found, expected);
    assert_null(nmk_conflict_member(conflict, nmk_conflict_count(conflict)));
    if (nmk_conflict_finer(conflict))
        nmk_rat_print(figures, sizeof figures, nmk_conflict_finer(conflict));
    assert_string_equal(nmk_conflict_finer(conflict) ? figures : "none", finer);
    nmk_conflict_free(conflict);
    fitting_free(f);
}

static void test_conflicts(void **state)
{
    (void)state;
    /* no mark of 1 mm from 40.2 to 40.4; 40 is 0.2 below, 41 0.6 above; 40.25 is a quarter */
    check_conflict(ONE "fit p.a over 0 mm clear 40.2 to 40.4 mm\n" MM, "p.a over 0 mm clear 40.2 to 40.4 mm lo 1/5", "1/4");
    check_conflict(ONE "fit p.a over 0 mm clear 40.6 to 40.9 mm\n" MM, "p.a over 0 mm clear 40.6 to 40.9 mm hi 1/10", "1/4");
    check_conflict(ONE "fit p.a over 0 mm clear 40.5 to 40.5 mm\n" MM, "p.a over 0 mm clear 40.5 to 40.5 mm lo 1/2", "1/2"); /* equal: lo */
    check_conflict(ONE "keep p.a exactly 40.3 mm\n" MM, "p.a exactly 40.3 mm - 0", "none"); /* 1/64 has no 0.3 */
    /* two against each other: a set of one has no conflict; of the pairs the first in file order */
    check_conflict(ONE "keep p.a at least 42 mm\nkeep p.a at most 41 mm\nkeep p.a at most 40 mm\n" MM,
                   "p.a at least 42 mm lo 1, p.a at most 41 mm hi 1", "none");
    /* one alone is smaller than two, though later */
    check_conflict(ONE "keep p.a at least 42 mm\nkeep p.a at most 41 mm\nkeep p.b exactly 20.5 mm\n" MM,
                   "p.b exactly 20.5 mm - 0", "none");
    /* with punches */
    check_conflict(
        STOCK TAGS
        "piece p of card\n across a = 60 mm\n down b = 60 mm\npiece t of card from tags\nkeep t.across at least 40 mm\n" MM,
        "t.across at least 40 mm lo 2", "none");
}

static void test_conflict_refused(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(ONE MM, "e");
    struct nmk_conflict *conflict = NULL;
    assert_int_equal(nmk_conflict_new(&conflict, f->settled), NMK_INVALID); /* it holds together */
    assert_int_equal(nmk_conflict_new(&conflict, NULL), NMK_INVALID);
    assert_int_equal(nmk_conflict_new(NULL, f->settled), NMK_INVALID);
    assert_null(conflict);
    nmk_conflict_free(NULL);
    fitting_free(f);
}

/* ---- what else could be ---- */

static void test_held_and_next(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(ONE "keep p.a at least 40 mm\nkeep p.a + p.b exactly 61 mm\n" MM, "e");
    struct nmk_settled *other = NULL;
    fitting_check_marks(f, "41 20");
    assert_int_equal(nmk_settle_next(&other, f->settled, 0, f->list), NMK_OK); /* 42 19 is sure, 40 21 is not */
    assert_int_equal(nmk_settled_marks(other, 0), 42);
    assert_int_equal(nmk_settled_marks(other, 1), 19);
    nmk_settled_free(other);
    assert_int_equal(nmk_settle_held(&other, f->settled, 0, 40, 40, f->list), NMK_OK);
    assert_int_equal(nmk_settled_marks(other, 1), 21);
    nmk_settled_free(other);
    assert_int_equal(nmk_settle_held(&other, f->settled, 1, 30, 0, f->list), NMK_OK); /* open above; 40 is not met then */
    assert_false(nmk_settled_holds_together(other));
    nmk_settled_free(other);
    other = NULL;
    assert_int_equal(nmk_settle_held(&other, f->settled, 2, 1, 2, f->list), NMK_INVALID);
    assert_int_equal(nmk_settle_held(&other, f->settled, 0, -3, 0, f->list), NMK_INVALID); /* no marks at all */
    assert_int_equal(nmk_settle_held(&other, NULL, 0, 1, 2, f->list), NMK_INVALID);
    assert_int_equal(nmk_settle_held(NULL, f->settled, 0, 1, 2, f->list), NMK_INVALID);
    assert_int_equal(nmk_settle_next(&other, f->settled, 2, f->list), NMK_INVALID);
    assert_int_equal(nmk_settle_next(&other, NULL, 0, f->list), NMK_INVALID);
    assert_null(other);
    fitting_free(f);
}

/* ---- calls ---- */

static bool stop(void *context, uint64_t steps)
{
    (void)steps;
    ++*(int *)context;
    return false;
}

static void test_refused(void **state)
{
    (void)state;
    struct fitting *f = fitting_draft(ONE "keep p.a at least 40 mm\nkeep p.a + p.b at most 70 mm\n" MM, "e");
    struct nmk_settled *s = NULL;
    struct nmk_settle_options bad[5];
    for (int i = 0; i < 5; i++)
        nmk_settle_options_init(&bad[i]);
    bad[0].within = -1;
    bad[1].prefer = (enum nmk_prefer)7;
    nmk_rat_set_int(&bad[2].sure, 2);
    nmk_rat_set_int(&bad[3].sure, -1);
    bad[4].within = INT64_MAX;
    for (int i = 0; i < 5; i++) {
        assert_int_equal(nmk_settle(&s, f->draft, &bad[i], f->list), NMK_INVALID);
        nmk_settle_options_clear(&bad[i]);
    }
    assert_int_equal(nmk_settle(NULL, f->draft, &f->options, f->list), NMK_INVALID);
    assert_int_equal(nmk_settle(&s, NULL, &f->options, f->list), NMK_INVALID);
    assert_int_equal(nmk_settle(&s, f->draft, NULL, f->list), NMK_INVALID);
    assert_null(s);
    nmk_settled_free(NULL);
    fitting_free(f);
}

/* Every budget up to the one that is enough says so; a progress function that says stop is heard. */
static void test_budgets(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_draft(ONE "keep p.a at least 40 mm\nkeep p.a + p.b at most 70 mm\nkeep p.b * 3 at least p.a\n" MM, "e");
    struct nmk_settled *s = NULL;
    uint64_t steps = 1;
    int calls = 0;
    for (;; steps++) {
        f->options.most_steps = steps;
        enum nmk_status status = nmk_settle(&s, f->draft, &f->options, f->list);
        if (status == NMK_OK)
            break;
        assert_int_equal(status, NMK_BUDGET);
        assert_null(s);
    }
    assert_true(steps > 1 && nmk_settled_marks(s, 0) == 41);
    nmk_settled_free(s);
    f->options.most_steps = 0;
    f->options.progress = stop;
    f->options.context = &calls;
    enum nmk_status status = nmk_settle(&s, f->draft, &f->options, f->list);
    assert_true(status == NMK_STOPPED || (status == NMK_OK && calls == 0)); /* small: perhaps never asked */
    if (status == NMK_OK)
        nmk_settled_free(s);
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_surest),       cmocka_unit_test(test_order_of_chances), cmocka_unit_test(test_sureness_asked_for),
        cmocka_unit_test(test_closest),      cmocka_unit_test(test_easiest),          cmocka_unit_test(test_at_least_one_mark),
        cmocka_unit_test(test_even_whole),   cmocka_unit_test(test_scores),           cmocka_unit_test(test_unwatched),
        cmocka_unit_test(test_punches),      cmocka_unit_test(test_conflicts),        cmocka_unit_test(test_conflict_refused),
        cmocka_unit_test(test_held_and_next), cmocka_unit_test(test_refused),         cmocka_unit_test(test_budgets),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
