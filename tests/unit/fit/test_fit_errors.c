/* Where each line's error comes from (DEVELOPERS.md): by hand, on small designs. cut +- 0.2 mm unless said. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "unit/fit/fitting.h"

#define STOCK "stock card thickness 0.3 mm +- 0.03 mm\n"

/* The errors of one keep on a piece `a | b | c` across (30, 50, 30) and 40 down, with more lines in the piece. */
static void check_piece(const char *lines, const char *demand, const char *errors)
{
    char text[1000];
    snprintf(text, sizeof text, STOCK "piece p of card\n across a = 30 mm | b = 50 mm | c = 30 mm\n down d = 40 mm\n%s%s",
             lines, demand);
    struct fitting *f = fitting_of(text, "metric");
    fitting_check_errors(f, 0, errors);
    fitting_free(f);
}

/* From the first edge: line k lies at d + e_k. A first panel has the error of its score, a middle one of both, the last
 * of its score and of the cut. */
static void test_from_first_edge(void **state)
{
    (void)state;
    check_piece("", "keep p.a at least 1 mm\n", "1/5");
    check_piece("", "keep p.b at least 1 mm\n", "1/5 1/5");
    check_piece("", "keep p.c at least 1 mm\n", "1/5 1/5");
    check_piece("", "keep p.d at least 1 mm\n", "1/5");
    check_piece("", "keep p.across at least 1 mm\n", "1/5");
    check_piece(" score from first edge\n", "keep p.c at least 1 mm\n", "1/5 1/5");
}

/* From the last edge: line k lies at whole + e_cut - d + e_k. The first panel then has the cut's error too; in the middle
 * and at the end the cut cancels. */
static void test_from_last_edge(void **state)
{
    (void)state;
    check_piece(" score from last edge\n", "keep p.a at least 1 mm\n", "1/5 1/5");
    check_piece(" score from last edge\n", "keep p.b at least 1 mm\n", "1/5 1/5");
    check_piece(" score from last edge\n", "keep p.c at least 1 mm\n", "1/5");
    check_piece(" score across from last edge\n", "keep p.c at least 1 mm\n", "1/5");
    check_piece(" score down from last edge\n", "keep p.c at least 1 mm\n", "1/5 1/5");
    check_piece(" score from last edge\n score across from first edge\n", "keep p.c at least 1 mm\n", "1/5 1/5"); /* the later wins */
}

/* Each from the edge it is nearer to: the first score at 30 from the first, the second 30 from the last. The middle panel
 * has both scores and the cut. */
static void test_from_both_edges(void **state)
{
    (void)state;
    check_piece(" score from both edges\n", "keep p.a at least 1 mm\n", "1/5");
    check_piece(" score from both edges\n", "keep p.b at least 1 mm\n", "1/5 1/5 1/5");
    check_piece(" score from both edges\n", "keep p.c at least 1 mm\n", "1/5");
}

/* A tie is taken from the first edge: 40 | 40. Then the last panel has two errors. */
static void test_tie_of_edges(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of(STOCK "piece p of card\n across a = 40 mm | b = 40 mm\n down d = 40 mm\n score from both edges\n"
                         "keep p.b at least 1 mm\n",
                   "metric");
    assert_false(nmk_draft_from_last(f->draft, 0, NMK_ACROSS, 1));
    fitting_check_errors(f, 0, "1/5 1/5");
    fitting_free(f);
}

/* Scores at 30 and 80 of 110. A reach of 79.9 takes the second from the other edge (30 away); of 80 it does not. A reach
 * of 29 helps neither: 30 is out of it from both sides. `both edges` and reach 25: nothing to switch to. */
static void test_reach(void **state)
{
    (void)state;
    static const struct {
        const char *score, *reach;
        bool last[2];
    } rows[] = {
        {"from first edge", "79.9 mm", {false, true}}, {"from first edge", "80 mm", {false, false}},
        {"from first edge", "29 mm", {false, false}},  {"from last edge", "79 mm", {false, true}},
        {"from last edge", "80 mm", {true, true}},     {"from both edges", "29 mm", {false, true}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[700];
        snprintf(text, sizeof text,
                 STOCK "piece p of card\n across a = 30 mm | b = 50 mm | c = 30 mm\n down d = 40 mm\n score %s\n"
                       "edition e unit mm marks 1 mm reach %s\n",
                 rows[i].score, rows[i].reach);
        struct fitting *f = fitting_of(text, "e");
        for (size_t line = 1; line <= 2; line++)
            assert_int_equal(nmk_draft_from_last(f->draft, 0, NMK_ACROSS, line), rows[i].last[line - 1]);
        assert_false(nmk_draft_from_last(f->draft, 0, NMK_ACROSS, 0));
        assert_false(nmk_draft_from_last(f->draft, 0, NMK_ACROSS, 3));
        fitting_free(f);
    }
}

/* The same panel named twice is the same stretch: it cancels or doubles. a + a: 2 * 0.2; a - a: nothing; a + b (first
 * edge) is line 2 alone; across - a is cut and line 1. */
static void test_the_same_stretch(void **state)
{
    (void)state;
    check_piece("", "keep p.a + p.a at least 1 mm\n", "2/5");
    check_piece("", "keep p.a * 3 - p.a at least 1 mm\n", "2/5");
    check_piece("", "keep p.a + p.b at least 1 mm\n", "1/5");
    check_piece("", "keep p.across - p.a at least 1 mm\n", "1/5 1/5");
    check_piece("", "keep p.across - p.c at least 1 mm\n", "1/5"); /* what is left is line 2 */
    check_piece("", "keep p.a at least p.a - 1 mm\n", "");
    check_piece("", "keep p.b + p.d at least 1 mm\n", "1/5 1/5 1/5");
}

/* All stretches in all copies, each with its own lines: a | b | a | glue of 2 copies. total a: in each copy line 1, and
 * lines 3 less 2: three errors a copy. total and a plain panel share the first copy: total a - a (stretch 0): line 1 of
 * the first copy cancels; or stretch 2: lines 2 and 3 cancel. Worst is the widest of equal chance: five errors. */
static void test_totals(void **state)
{
    (void)state;
    static const char piece[] = STOCK "piece p 2 of card\n across a = 30 mm | b = 50 mm | a\n down d = 40 mm\n";
    static const struct {
        const char *demand, *errors, *view;
    } rows[] = {
        {"keep total p.a at least 0 mm\n", "1/5 1/5 1/5 1/5 1/5 1/5", "holds 594/5 120 606/5 1"},
        {"keep total p.b at least 0 mm\n", "1/5 1/5 1/5 1/5", "holds 496/5 100 504/5 1"},
        {"keep total p.a - p.a at least 0 mm\n", "1/5 1/5 1/5 1/5 1/5", "holds 89 90 91 1"},
        {"keep total p.a * 2 at least 0 mm\n", "2/5 2/5 2/5 2/5 2/5 2/5", "holds 1188/5 240 1212/5 1"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[600];
        snprintf(text, sizeof text, "%s%s", piece, rows[i].demand);
        struct fitting *f = fitting_of(text, "metric");
        fitting_check_errors(f, 0, rows[i].errors);
        fitting_check(f, 0, NMK_DESIGNED, rows[i].view);
        fitting_free(f);
    }
}

/* Which copy and line each contribution is of. */
static void test_contributions(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of(STOCK "measure m 20 mm +- 1 mm\npiece p 2 of card\n across a = 30 mm | b = 50 mm\n down d = 40 mm\n"
                         "fit total p.a over m clear at least 0 mm\n",
                   "metric");
    static const struct {
        enum nmk_source source;
        uint32_t copy;
        size_t line;
        const char *times;
    } rows[] = {{NMK_FROM_MEASURE, 0, 0, "-1"}, {NMK_FROM_LINE, 0, 1, "1"}, {NMK_FROM_LINE, 1, 1, "1"}};
    assert_int_equal(nmk_settled_contribution_count(f->settled, 0, NMK_SETTLED), 3);
    for (size_t i = 0; i < 3; i++) {
        const struct nmk_contribution *c = nmk_settled_contribution(f->settled, 0, NMK_SETTLED, i);
        char times[20];
        nmk_rat_print(times, sizeof times, &c->times);
        assert_int_equal(c->source, rows[i].source);
        assert_string_equal(times, rows[i].times);
        if (c->source == NMK_FROM_LINE)
            assert_true(c->copy == rows[i].copy && c->line == rows[i].line && c->way == NMK_ACROSS && c->subject == 0);
    }
    fitting_free(f);
}

/* outside: the thickness once for each of the panel's lines that is a score; in a ring (glue at one end) the edge at the
 * other end counts too; of several stretches the greatest. */
static void test_outside(void **state)
{
    (void)state;
    static const struct {
        const char *list, *demand, *nominal, *errors;
    } rows[] = {
        /* a has one score, b two, c one; thickness errors 0.03 each */
        {"a = 30 mm | b = 50 mm | c = 20 mm", "keep outside p.a at least 0 mm\n", "303/10", "1/5 3/100"},
        {"a = 30 mm | b = 50 mm | c = 20 mm", "keep outside p.b at least 0 mm\n", "253/5", "1/5 1/5 3/50"},
        {"a = 30 mm | b = 50 mm | c = 20 mm", "keep outside p.c at least 0 mm\n", "203/10", "1/5 1/5 3/100"},
        /* a whole piece has none */
        {"a = 30 mm", "keep outside p.a at least 0 mm\n", "30", "1/5"},
        /* the ring: a has its score and the edge where c is stuck; c keeps one */
        {"a = 30 mm | b = 50 mm | c = 20 mm glue", "keep outside p.a at least 0 mm\n", "153/5", "1/5 3/50"},
        {"a = 30 mm | b = 50 mm | c = 20 mm glue", "keep outside p.c at least 0 mm\n", "203/10", "1/5 1/5 3/100"},
        {"c = 20 mm glue | b = 50 mm | a = 30 mm", "keep outside p.a at least 0 mm\n", "153/5", "1/5 1/5 3/50"},
        /* several stretches: the middle a has two */
        {"a = 30 mm | b = 50 mm | a | c = 20 mm", "keep outside p.a at least 0 mm\n", "153/5", "1/5 1/5 3/50"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[600];
        snprintf(text, sizeof text, STOCK "piece p of card\n across %s\n down d = 40 mm\n%s", rows[i].list, rows[i].demand);
        struct fitting *f = fitting_of(text, "metric");
        char seen[40];
        nmk_rat_print(seen, sizeof seen, &nmk_settled_view(f->settled, 0, NMK_DESIGNED)->nominal);
        assert_string_equal(seen, rows[i].nominal);
        fitting_check_errors(f, 0, rows[i].errors);
        fitting_free(f);
    }
}

/* The sleeve and the lid are of the same stock: its thickness is one error. outside of one (2 scores) over outside of the
 * other (2 scores): cancels; against one score: 0.03 is left. The same measure twice cancels as well. */
static void test_shared(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "stock other thickness 0.3 mm +- 0.01 mm\nmeasure m 50 mm +- 1 mm\n"
        "piece p of card\n across w = 9 mm | a = 52 mm | w\n down d = 40 mm\n"
        "piece q of card\n across y = 9 mm | b = 50 mm | y\n down e = 40 mm\n"
        "piece r of other\n across z = 9 mm | c = 50 mm | z\n down g = 40 mm\n"
        "fit \"one\" outside p.a over outside q.b clear at least 0 mm\n"
        "fit \"two\" outside p.a over outside q.y clear at least 0 mm\n"
        "fit \"three\" outside p.a over outside r.c clear at least 0 mm\n"
        "fit \"four\" p.a - m over q.b - m clear at least 0 mm\n"
        "fit \"five\" p.a + m over q.b - m clear at least 0 mm\n", "metric");
    fitting_check_errors(f, 0, "1/5 1/5 1/5 1/5");
    fitting_check(f, 0, NMK_DESIGNED, "holds 6/5 2 14/5 1");
    fitting_check_errors(f, 1, "1/5 1/5 1/5 1/5 3/100"); /* the last y: cut and score */
    fitting_check_errors(f, 2, "1/5 1/5 1/5 1/5 3/50 1/50");
    fitting_check_errors(f, 3, "1/5 1/5 1/5 1/5");
    fitting_check_errors(f, 4, "2 1/5 1/5 1/5 1/5");
    fitting_free(f);
}

/* A border's strip is half the difference: (cut + cut) / 2, and `place`, one for each direction of each border. */
static void test_borders(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "piece p of card\n across a = 50 mm\n down b = 50 mm\n"
        "piece q of card\n across c = 46 mm\n down d = 44 mm\n"
        "border \"rim\" q on p, shows 1 to 5 mm\n"
        "border \"rim\" q on p, shows 1 to 5 mm even\n"
        "mat m of card on q, smaller by 4 mm shows 1 to 3 mm\n"
        "edition e unit mm marks 1 mm cut +- 0.2 mm place +- 0.5 mm\n", "e");
    assert_int_equal(nmk_design_demand_count(f->design), 8);
    fitting_check_errors(f, 0, "1/2 1/10 1/10");
    fitting_check(f, 0, NMK_DESIGNED, "holds 13/10 2 27/10 1"); /* (50 - 46) / 2 -+ 0.7 */
    fitting_check(f, 1, NMK_DESIGNED, "holds 23/10 3 37/10 1");
    fitting_check_errors(f, 2, "1/2 1/10 1/10");
    fitting_check(f, 4, NMK_DESIGNED, "uneven -1 -1 -1 0"); /* across 2 less down 3; judged at nominal */
    fitting_check_errors(f, 5, "1/2 1/10 1/10"); /* a mat's own cut, and that of what it lies on */
    fitting_check(f, 5, NMK_DESIGNED, "holds 13/10 2 27/10 1");
    fitting_check(f, 7, NMK_DESIGNED, "holds 0 0 0 1");
    fitting_free(f);
}

/* Punched sizes have no error of their own. */
static void test_punched(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "punches tags 40 x 30 mm\npiece p of card\n across a = 50 mm\n down b = 50 mm\n"
        "piece t of card from tags\nopening h from tags through p on p\n"
        "border t on p, shows 1 to 12 mm\nkeep t.across - h.down at least 1 mm\n", "metric");
    fitting_check_errors(f, 0, "1/10");
    fitting_check(f, 0, NMK_DESIGNED, "holds 49/10 5 51/10 1");
    fitting_check(f, 1, NMK_DESIGNED, "holds 99/10 10 101/10 1");
    fitting_check(f, 2, NMK_DESIGNED, "holds 9 9 9 1"); /* 40 - 30 - 1 */
    fitting_free(f);
}

/* A length shared by the whole design has no line errors in a demand; as a panel of a piece it has. A let that is no
 * length is put in place as if in parentheses. */
static void test_lets(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "measure m 50 mm +- 1 mm\nlet rim = 5 mm\nlet wide = m + 2 mm\n"
        "piece p of card\n across rim | a = wide * 2 | rim\n down b = 50 mm\n"
        "keep rim at least 1 mm\nkeep p.rim at least 1 mm\nfit p.a over 2 * wide clear -1 to 1 mm\nfit p.a over 2 * wide - wide clear at least 0 mm\n"
        "fit 200 mm - wide - rim over wide * 2 - wide clear at least 0 mm\n", "metric");
    fitting_check_errors(f, 0, "");
    fitting_check_errors(f, 1, "1/5 1/5");      /* the last rim is the widest */
    fitting_check_errors(f, 2, "2 1/5 1/5");    /* 2 (m + 2): not 2 m + 2 */
    fitting_check(f, 2, NMK_DESIGNED, "at risk -12/5 0 12/5");
    fitting_check_errors(f, 3, "1 1/5 1/5");
    fitting_check_errors(f, 4, "2");            /* 200 - (m + 2) - 5 - (m + 2) */
    fitting_check(f, 4, NMK_DESIGNED, "holds 89 91 93");
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_from_first_edge), cmocka_unit_test(test_from_last_edge), cmocka_unit_test(test_from_both_edges),
        cmocka_unit_test(test_tie_of_edges),    cmocka_unit_test(test_reach),          cmocka_unit_test(test_the_same_stretch),
        cmocka_unit_test(test_totals),          cmocka_unit_test(test_contributions),  cmocka_unit_test(test_outside),
        cmocka_unit_test(test_shared),          cmocka_unit_test(test_borders),        cmocka_unit_test(test_punched),
        cmocka_unit_test(test_lets),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
