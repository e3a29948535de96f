/* Rows as drawn up and judged, by hand: where their lines stand, which of them are folds, whose errors they have. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "unit/fit/fitting.h"

#define STOCK "stock card thickness 0.3 mm +- 0.03 mm\n"

static void check_line(const struct fitting *f, size_t line, int64_t num, int64_t den, bool last)
{
    struct nmk_rat want = {0};
    nmk_rat_set_frac(&want, num, den);
    assert_true(nmk_rat_equal(nmk_draft_line(f->draft, 0, NMK_ACROSS, line), &want));
    assert_int_equal(nmk_draft_from_last(f->draft, 0, NMK_ACROSS, line), last);
    nmk_rat_clear(&want);
}

/* 30 + 50 + 35 = 115 wide. Row 1 leaves 65: 32 1/2 at each end; row 2 leaves 35 at its end, row 3 at its beginning. Cuts
 * are taken from the first edge, scores from the nearer one. */
static void test_places_as_drawn(void **state)
{
    (void)state;
    struct fitting *f = fitting_draft(STOCK "piece p of card\n down t = 9 mm | u = 9 mm | v = 9 mm | w = 9 mm\n"
                                      " across a = 30 mm | b = 50 mm | c = 35 mm beside t\n across rest | d = 10 mm | e = 40 mm | rest beside u\n"
                                      " across a | b | rest beside v\n across rest | a || b beside w\n score from both edges\n", "metric");
    assert_int_equal(nmk_draft_line_count(f->draft, 0, NMK_ACROSS), 11);
    check_line(f, 0, 0, 1, false);
    check_line(f, 1, 30, 1, false);
    check_line(f, 2, 80, 1, true);
    check_line(f, 3, 65, 2, false); /* rest, so cut */
    check_line(f, 4, 85, 2, false);
    check_line(f, 5, 165, 2, false); /* cut: also from the first edge */
    check_line(f, 6, 30, 1, false);
    check_line(f, 7, 80, 1, false); /* cut */
    check_line(f, 8, 35, 1, false);
    check_line(f, 9, 65, 1, false); /* cut through */
    check_line(f, 10, 115, 1, false);
    fitting_free(f);
}

/* The whole is that of the first list without rest, wherever it stands; its own later panels may name it. */
static void test_the_whole_size(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        STOCK "piece p of card\n across rest | a = 10 mm beside t\n across b = 30 mm | a beside u\n across a | b beside v\n"
              " down t = 9 mm | u = p.across - 20 mm | v = 3 mm\nkeep p.across exactly 40 mm\nkeep p.u exactly 20 mm\n",
        "metric");
    fitting_check_length(f, "p.u", "20", 20);
    fitting_check(f, 0, NMK_SETTLED, "holds 0 0 0");
    fitting_check(f, 1, NMK_SETTLED, "holds 0 0 0");
    fitting_free(f);
}

/* What a demand on a panel of a piece is made of. In row 1 (a | b | c, 30 50 35) scores, in row 2 cuts. */
static void check_errors(const char *panel, const char *lists, const char *score, const char *errors)
{
    char text[1000];
    snprintf(text, sizeof text, STOCK "piece p of card\n down t = 9 mm | u = 9 mm\n%s score from %s\nkeep p.%s at least 1 mm\n",
             lists, score, panel);
    struct fitting *f = fitting_of(text, "metric");
    fitting_check_errors(f, 0, errors);
    fitting_free(f);
}

/* A score of a row has the error of the whole cut when it is taken from the last edge; a cut within the piece has its own
 * alone, whatever the scores are taken from. */
static void test_errors(void **state)
{
    (void)state;
    static const char lists[] =
        " across a = 30 mm | b = 50 mm | c = 35 mm beside t\n across rest | d = 10 mm | e = 40 mm | rest beside u\n";
    static const char through[] = " across a = 30 mm || b = 50 mm || c = 35 mm beside t\n across rest | d = 10 mm beside u\n";
    check_errors("a", lists, "first edge", "1/5");
    check_errors("b", lists, "last edge", "1/5 1/5");
    check_errors("a", lists, "last edge", "1/5 1/5");
    check_errors("c", lists, "last edge", "1/5");
    check_errors("d", lists, "first edge", "1/5 1/5");
    check_errors("d", lists, "last edge", "1/5 1/5 1/5"); /* cut, score, and the cut size that the score is taken from */
    check_errors("e", lists, "last edge", "1/5 1/5 1/5");
    check_errors("a", through, "last edge", "1/5");
    check_errors("b", through, "last edge", "1/5 1/5");
    check_errors("c", through, "last edge", "1/5 1/5");
    check_errors("d", through, "last edge", "1/5 1/5"); /* at the last edge: the whole cut and its own */
}

static void check_folds(const char *lists, const char *panel, size_t folds)
{
    char text[1000];
    snprintf(text, sizeof text, STOCK "piece p of card\n down t = 9 mm | u = 9 mm\n%skeep outside p.%s at least 1 mm\n", lists,
             panel);
    struct fitting *f = fitting_of(text, "metric");
    const struct nmk_piece *p = nmk_design_piece(f->design, 0);
    size_t at = 0;
    while (strcmp(p->panels[at].name, panel))
        at++;
    assert_int_equal(nmk_piece_folds(p, at), folds);
    struct nmk_rat want = {0};
    nmk_rat_set_frac(&want, (int64_t)folds * 3, 10);
    nmk_rat_add(&want, &want, nmk_draft_designed(f->draft, p->panels[at].length));
    nmk_rat_sub(&want, &want, &nmk_settled_view(f->settled, 0, NMK_DESIGNED)->nominal);
    assert_int_equal(nmk_rat_cmp_int(&want, 1), 0);
    nmk_rat_clear(&want);
    fitting_free(f);
}

/* Only scores fold; of several stretches the greatest; a ring closes at the end of its own row. */
static void test_folds(void **state)
{
    (void)state;
    static const char carton[] =
        " across a = 30 mm | b = 20 mm | a | b | tab = 8 mm glue beside t\n across a || b || a || b || rest beside u\n";
    static const char flaps[] = " across a = 30 mm | b = 20 mm beside t\n across c = 20 mm || d = 30 mm beside u\n";
    static const char rings[] =
        " across w = 90 mm beside t\n across rest | a = 30 mm || b = 20 mm | tab = 8 mm glue | rest beside u\n";
    check_folds(carton, "a", 2);
    check_folds(carton, "b", 2);
    check_folds(carton, "tab", 1);
    check_folds(flaps, "a", 1);
    check_folds(flaps, "c", 0);
    check_folds(flaps, "d", 0);
    check_folds(rings, "w", 0);
    check_folds(rings, "a", 1); /* the ring closes where it begins */
    check_folds(rings, "b", 1);
    check_folds(rings, "tab", 1);
}

/* Stretches of all rows count: total is of all of them, in both copies; a plain name is judged on each. */
static void test_all_stretches(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        STOCK
        "piece p 2 of card\n down t = 9 mm | u = 9 mm\n across a = 30 mm | b = 20 mm beside t\n across rest | a | rest beside u\n"
        " score from first edge\nkeep total p.a at least 100 mm\nkeep p.a at least 29.7 mm\n",
        "metric");
    fitting_check(f, 0, NMK_DESIGNED, "holds 94/5 20 106/5"); /* 4 * 30 - 100; beside t one line, beside u two, in each copy */
    fitting_check(f, 1, NMK_DESIGNED, "at risk -1/10 3/10 7/10 31/32"); /* the weaker: beside u, between two cuts */
    fitting_free(f);
}

static void check_refused(const char *lists, const char *code)
{
    char text[600];
    struct nmk_design *design;
    struct nmk_draft *draft = NULL;
    struct nmk_diagnostics *list;
    snprintf(text, sizeof text, STOCK "measure m 40 mm\npiece p of card\n down t = 9 mm | u = 9 mm\n%s", lists);
    assert_int_equal(nmk_diagnostics_new(&list, 20), NMK_OK);
    assert_int_equal(nmk_design_read(&design, text, strlen(text), list), NMK_OK);
    assert_int_equal(nmk_draft_new(&draft, design, 0, NULL, NMK_MM, list), NMK_INVALID);
    assert_null(draft);
    assert_int_equal(nmk_diagnostics_errors(list), 1);
    size_t at = 0;
    while (nmk_diagnostics_get(list, at)->is_note)
        at++;
    assert_string_equal(nmk_diagnostics_get(list, at)->code, code);
    nmk_diagnostics_free(list);
    nmk_design_free(design);
}

/* A rest is more than nothing, and lists are equally wide. */
static void test_what_is_refused(void **state)
{
    (void)state;
    check_refused(" across a = 30 mm beside t\n across a | rest beside u\n", "not-positive");
    check_refused(" across a = 30 mm beside t\n across rest | a | a | rest beside u\n", "not-positive");
    check_refused(" across a = 30 mm beside t\n across b = m beside u\n", "other-width");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_places_as_drawn), cmocka_unit_test(test_the_whole_size),
                                       cmocka_unit_test(test_errors),          cmocka_unit_test(test_folds),
                                       cmocka_unit_test(test_all_stretches),   cmocka_unit_test(test_what_is_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
