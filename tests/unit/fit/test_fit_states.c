/* States, the worst stretch, and the three columns (DEVELOPERS.md): by hand, on small designs. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "unit/fit/fitting.h"

#define STOCK "stock card thickness 0.3 mm\n"
#define AS_DESIGNED "edition e unit mm marks 1 mm cut +- 0.2 mm as designed\n"

/* ---- states ---- */

/* One keep of a panel of 50 mm, cut true to 0.2, at its nearest mark: its state, word and chance. */
static void check_state(const char *demand, const char *view, const char *word)
{
    char text[500];
    snprintf(text, sizeof text,
             STOCK "piece p of card\n across a = 50 mm\n down b = 20 mm\npiece q of card\n across c = 46 mm\n down d = 16 mm\n"
                   "%s" AS_DESIGNED,
             demand);
    struct fitting *f = fitting_of(text, "e");
    const struct nmk_view *v = nmk_settled_view(f->settled, 0, NMK_SETTLED);
    fitting_check(f, 0, NMK_SETTLED, view);
    fitting_check(f, 0, NMK_DESIGNED, view);
    assert_string_equal(nmk_state_word(v->state, nmk_design_demand(f->design, 0)), word);
    fitting_free(f);
}

static void test_states(void **state)
{
    (void)state;
    check_state("keep p.a at least 49.8 mm\n", "holds 0 1/5 2/5 1", "holds");
    check_state("keep p.a at least 50 mm\n", "at risk -1/5 0 1/5 1/2", "at risk"); /* the bound itself is inside */
    check_state("keep p.a at least 50.1 mm\n", "too tight -3/10 -1/10 1/10 1/4", "too small");
    check_state("keep p.a at most 49.9 mm\n", "too loose -1/10 1/10 3/10 1/4", "too big");
    check_state("keep p.a at most 50.2 mm\n", "holds -2/5 -1/5 0 1", "holds");
    check_state("keep p.a exactly 50 mm\n", "holds 0 0 0 1", "holds");
    check_state("keep p.a exactly 50.1 mm\n", "uneven -1/10 -1/10 -1/10 0", "not equal");
    check_state("fit p.a over 48 mm clear 2.1 to 3 mm\n", "too tight 9/5 2 11/5 1/4", "too tight");
    check_state("fit p.a over 48 mm clear 1 to 1.9 mm\n", "too loose 9/5 2 11/5 1/4", "too loose");
    /* strips: 2 -+ 0.2, a triangle. 2 mm is its middle; 2.1 leaves one corner of half the side: 1/8 */
    check_state("border q on p.a across, shows 2 to 3 mm\n", "at risk 9/5 2 11/5 1/2", "at risk");
    check_state("border q on p.a across, shows 2.1 to 3 mm\n", "too tight 9/5 2 11/5 1/8", "too narrow");
    check_state("border q on p.b down, shows 1 to 1.9 mm\n", "too loose 9/5 2 11/5 1/8", "too wide");
    check_state("fit p.a over 48 mm clear 1.9 to 2.1 mm\n", "at risk 9/5 2 11/5 1/2", "at risk");
    check_state("fit p.a over 48 mm clear -1.8 to 1.8 mm\n", "too loose 9/5 2 11/5 0", "too loose");
}

static void test_even_word(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        STOCK "piece p of card\n across a = 50 mm\n down b = 20 mm\npiece q of card\n across c = 46 mm\n down d = 17 mm\n"
              "border q on p, shows 1 to 3 mm even\n" AS_DESIGNED,
        "e");
    fitting_check(f, 2, NMK_SETTLED, "uneven 1/2 1/2 1/2 0"); /* 2 less 1.5 */
    assert_string_equal(nmk_state_word(NMK_UNEVEN, nmk_design_demand(f->design, 2)), "uneven");
    assert_int_equal(nmk_settled_state(f->settled), NMK_UNEVEN);
    assert_string_equal(nmk_state_word(NMK_TOO_TIGHT, NULL), "too tight");
    assert_string_equal(nmk_state_name(NMK_UNEVEN), "uneven");
    fitting_free(f);
}

/* The design's state is its worst settled one: holds, at risk, uneven, too loose, too tight. */
static void test_state_of_the_design(void **state)
{
    (void)state;
    static const char *const demands[] = {"keep p.a at least 40 mm\n", "keep p.a at least 50 mm\n", "keep p.a exactly 51 mm\n",
                                          "keep p.a at most 40 mm\n", "keep p.a at least 60 mm\n"};
    char text[700] = STOCK "piece p of card\n across a = 50 mm\n down b = 20 mm\n" AS_DESIGNED;
    for (int i = 0; i < 5; i++) {
        strcat(text, demands[i]);
        struct fitting *f = fitting_of(text, "e");
        assert_int_equal(nmk_settled_state(f->settled), i);
        fitting_free(f);
    }
}

/* Sure is a chance of at least what is asked. 50 -+ 0.2 at least 49.81: 0.01 of 0.4 lies outside: 0.975. */
static void test_sure(void **state)
{
    (void)state;
    static const struct {
        int64_t num, den;
        enum nmk_state state;
    } rows[] = {
        {999, 1000, NMK_AT_RISK}, {975, 1000, NMK_HOLDS}, {976, 1000, NMK_AT_RISK}, {0, 1, NMK_HOLDS}, {1, 1, NMK_AT_RISK}};
    struct fitting *f = fitting_draft(
        STOCK "piece p of card\n across a = 50 mm\n down b = 20 mm\nkeep p.a at least 49.81 mm\n" AS_DESIGNED, "e");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        nmk_rat_set_frac(&f->options.sure, rows[i].num, rows[i].den);
        fitting_settle(f);
        assert_int_equal(nmk_settled_view(f->settled, 0, NMK_SETTLED)->state, rows[i].state);
        fitting_check(f, 0, NMK_SETTLED,
                      rows[i].state == NMK_HOLDS ? "holds -1/100 19/100 39/100 39/40" : "at risk -1/100 19/100 39/100 39/40");
    }
    fitting_free(f);
}

/* ---- the worst stretch ---- */

/* `a` stands first (one error) and in the middle (two). The weakest chance is that of the middle one: at least 49.9: first
 * 3/4, middle: 1 - (1/2)(3/4)^2 = 23/32; 3/4 = 24/32. */
static void test_smallest_chance(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "piece p of card\n across a = 50 mm | b = 20 mm | a | c = 9 mm\n down d = 20 mm\n"
                                   "keep p.a at least 49.9 mm\nkeep p.a at least 10 mm\nkeep p.a at least 50.1 mm\n" AS_DESIGNED, "e");
    fitting_check(f, 0, NMK_SETTLED, "at risk -3/10 1/10 1/2 23/32");
    fitting_check(f, 1, NMK_SETTLED, "holds 198/5 40 202/5 1");         /* both are sure: the widest range */
    fitting_check(f, 2, NMK_SETTLED, "too tight -3/10 -1/10 1/10 1/4"); /* 1/4 is less than 9/32 */
    fitting_free(f);
}

/* Rounded, each stretch has its own size: 10.4 | 10.4 | 10.4 | 10.4 by 1 mm: lines 10, 21, 31, 42 (41.6): stretches 10,
 * 11, 10, 11. At most 10.5 mm is worst at 11 (too loose), at least 10.5 at 10: the third stretch, whose
 * range of two errors is wider than that of the first; neither has any chance. */
static void test_rounded_stretches(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "piece p of card\n across a = 10.4 mm | a | a | a\n down d = 20 mm\n"
                                   "keep p.a at most 10.5 mm\nkeep p.a at least 10.5 mm\nkeep p.a exactly 10 mm\nkeep p.across at least 1 mm\n"
                                   AS_DESIGNED, "e");
    assert_int_equal(nmk_settled_line(f->settled, NMK_ROUNDED, 0, NMK_ACROSS, 1), 10);
    assert_int_equal(nmk_settled_line(f->settled, NMK_ROUNDED, 0, NMK_ACROSS, 2), 21);
    assert_int_equal(nmk_settled_line(f->settled, NMK_ROUNDED, 0, NMK_ACROSS, 3), 31);
    assert_int_equal(nmk_settled_line(f->settled, NMK_ROUNDED, 0, NMK_ACROSS, 4), 42);
    fitting_check(f, 0, NMK_ROUNDED, "too loose 1/10 1/2 9/10 0");
    fitting_check(f, 1, NMK_ROUNDED, "too tight -9/10 -1/2 -1/10 0"); 
    fitting_check(f, 2, NMK_ROUNDED, "uneven 1 1 1 0");
    fitting_check(f, 3, NMK_ROUNDED, "holds 204/5 41 206/5 1");
    assert_int_equal(nmk_settled_line(f->settled, NMK_SETTLED, 0, NMK_ACROSS, 4), 40);
    fitting_free(f);
}

/* Every combination of two panels: a (10.4) and b (5.4) as a | b | a | b by 1 mm: lines 10, 16, 26, 32: a is 10 or 10, b 6
 * or 6. With c = 0.2 before: c | a | b | a: lines 0, 11, 16, 26: a 11 or 10. exactly: the smallest nominal of equal ones. */
static void test_combinations(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of(STOCK "piece p of card\n across c = 0.2 mm | a = 10.4 mm | b = 5.4 mm | a | b\n down d = 20 mm\n"
                         "keep p.a + p.b exactly 100 mm\nkeep p.a - p.b at least 1 mm\n" AS_DESIGNED,
                   "e");
    /* lines 0.2, 10.6, 16, 26.4, 31.8: 0, 11, 16, 26, 32. a: 11, 10; b: 5, 6. a + b: 16, 17, 15, 16 */
    fitting_check(f, 0, NMK_ROUNDED, "uneven -85 -85 -85 0");
    /* a - b: 6, 5, 5, 4; less 1. All sure; widest first: stretches 1 and 4, 2 and 3 have 4 errors (e2 - e1 - e5 + e4),
     * 1 and 2, 3 and 4 share a line that doubles: 2 e2 - e1 - e3: 4 * 0.2 too. All are 0.8 wide; then the smallest margin */
    fitting_check(f, 1, NMK_ROUNDED, "holds 11/5 3 19/5 1");
    assert_int_equal(nmk_settled_line(f->settled, NMK_ROUNDED, 0, NMK_ACROSS, 1), 0); /* rounded alone may be 0 */
    fitting_check_length(f, "p.c", "1/5", 1);
    fitting_free(f);
}

/* ---- the rounded column ---- */

/* A tie goes to the larger: 10.5 is 11; a score from the last edge is rounded by its own distance: whole 29 (of 29.1), 19.5
 * from it is 20: the first panel, of 9.6, comes out at 9. */
static void test_ties(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of(STOCK "piece p of card\n across a = 9.6 mm | b = 19.5 mm\n down c = 10.5 mm\n score from last edge\n"
                         "keep p.a exactly 9 mm\nkeep p.b exactly 20 mm\nkeep p.c exactly 11 mm\n" AS_DESIGNED,
                   "e");
    fitting_check(f, 0, NMK_ROUNDED, "holds 0 0 0 1");
    fitting_check(f, 1, NMK_ROUNDED, "holds 0 0 0 1");
    fitting_check(f, 2, NMK_ROUNDED, "holds 0 0 0 1");
    fitting_check_length(f, "p.c", "21/2", 11);
    fitting_free(f);
}

/* A mat's two cut sizes are rounded by themselves, from their designed sizes: 20.6 - 2.2 = 18.4 is 18, not 21 - 2; the
 * shared step 2.2 is 2. */
static void test_rounded_mat(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "let step = 2.2 mm\npiece p of card\n across a = 20.6 mm\n down b = 30 mm\n"
                                   "mat m of card on p, smaller by step\nmat n of card on m, smaller by step + 0 mm\n"
                                   "keep m.across exactly 18 mm\nkeep step exactly 2 mm\nkeep n.smaller exactly 2 mm\nkeep n.across exactly 16 mm\n"
                                   AS_DESIGNED, "e");
    size_t first = fitting_demand(f, "m.across exactly 18 mm", 0);
    for (size_t i = first; i < first + 4; i++)
        fitting_check(f, i, NMK_ROUNDED, "holds 0 0 0 1"); /* 20.6 - 4.4 = 16.2 */
    fitting_check(f, fitting_demand(f, "m", 0), NMK_ROUNDED, "uneven 1/2 1/2 1/2 0"); /* (21 - 18) / 2 less (30 - 28) / 2 */ 
    fitting_check(f, first, NMK_SETTLED, "uneven 1 1 1 0"); /* 21 - 2 */
    assert_int_equal(nmk_settled_line(f->settled, NMK_SETTLED, 1, NMK_ACROSS, 1), 19);
    assert_int_equal(nmk_settled_line(f->settled, NMK_ROUNDED, 1, NMK_ACROSS, 1), 18);
    fitting_free(f);
}

/* Rounded by itself, also where the edition has `scores`: a score at 10.4 stands at 10 of marks of 1, not at 12. */
static void test_rounded_scores(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(STOCK "piece p of card\n across a = 10.4 mm | b = 20 mm\n down c = 10 mm\n"
                                   "keep p.a at least 5 mm\nedition e unit mm marks 1 mm scores 4 mm\n", "e");
    assert_int_equal(nmk_draft_score_marks(f->draft), 4);
    assert_int_equal(nmk_settled_line(f->settled, NMK_ROUNDED, 0, NMK_ACROSS, 1), 10);
    assert_int_equal(nmk_settled_line(f->settled, NMK_SETTLED, 0, NMK_ACROSS, 1), 12); /* 1.6 is nearer than 2.4 */
    fitting_free(f);
}

/* ---- designed sizes ---- */

/* A length written twice: each edition takes its own, in sizes, bounds and clearances. */
static void test_twins(void **state)
{
    (void)state;
    static const char text[] = STOCK "let step = 5 mm or 3/16 in\nmeasure m 50 mm\npiece p of card\n"
        " across a over m clear 2 mm or 1/16 in (1 mm or 1/32 in to 3 mm or 1/8 in)\n down step\nkeep step at least 4 mm or 1/8 in\n"
        "edition metric unit mm marks 1 mm\nedition small unit cm marks 1 mm\nedition other unit in marks 1/16 in\n";
    static const struct {
        const char *edition, *a, *step, *low, *high;
        int64_t nearest;
    } rows[] = {{"metric", "52", "5", "1", "3", 52},
                {"small", "52", "5", "1", "3", 52},
                {"other", "4127/80", "381/80", "127/160", "127/40", 32}};
    for (size_t i = 0; i < 3; i++) {
        struct fitting *f = fitting_of(text, rows[i].edition);
        char low[40], high[40];
        fitting_check_length(f, "p.a", rows[i].a, rows[i].nearest); /* 51.5875 / 1.5875 = 32.49 */
        fitting_check_length(f, "step", rows[i].step, i < 2 ? 5 : 3);
        nmk_rat_print(low, sizeof low, nmk_settled_low(f->settled, 0));
        nmk_rat_print(high, sizeof high, nmk_settled_high(f->settled, 0));
        assert_string_equal(low, rows[i].low);
        assert_string_equal(high, rows[i].high);
        assert_null(nmk_settled_high(f->settled, 1));
        fitting_free(f);
    }
}

/* Irrational sizes are taken to the nearest 10^-9 mm, once; the root of a square is exact. pi * 20 = 62.831853071795...;
 * sqrt(2) * 10 = 14.142135623730...; (pi - 3) * 1 = 0.14159265358979. */
static void test_irrational_sizes(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of(STOCK "measure m 20 mm\npiece p of card\n across a = pi * m | b = sqrt(2) * 10 mm | c = sqrt(m * 5 mm) | "
                         "d = (pi * pi - 9) * 1 mm\n down g = max(m, 3 mm) + abs(2 mm - m)\n",
                   "metric");
    fitting_check_length(f, "p.a", "3926990817/62500000", 63);
    fitting_check_length(f, "p.b", "1767766953/125000000", 14);
    fitting_check_length(f, "p.c", "10", 10);
    fitting_check_length(f, "p.d", "869604401/1000000000", 1);
    fitting_check_length(f, "p.g", "38", 38);
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_states),
        cmocka_unit_test(test_even_word),
        cmocka_unit_test(test_state_of_the_design),
        cmocka_unit_test(test_sure),
        cmocka_unit_test(test_smallest_chance),
        cmocka_unit_test(test_rounded_stretches),
        cmocka_unit_test(test_combinations),
        cmocka_unit_test(test_ties),
        cmocka_unit_test(test_rounded_mat),
        cmocka_unit_test(test_rounded_scores),
        cmocka_unit_test(test_twins),
        cmocka_unit_test(test_irrational_sizes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
