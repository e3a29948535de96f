/* Published fits and stacks of toleranced sizes, as demands of a design: the clearance of a hole over a shaft is hole less
 * shaft, its least the smallest hole less the largest shaft (ISO 286-1:2010, 3.3; from memory). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "published/figures.h"
#include "unit/fit/fitting.h"

/* A toleranced size is a measure at its middle +- half its tolerance. */
static void add_measure(char *text, size_t size, const char *name, const char *low, const char *high)
{
    struct nmk_rat a = figures_value(low), b = figures_value(high), half = figures_value("1/2"), middle = {0}, off = {0};
    char written[2][60];
    size_t used = 0;
    while (text[used])
        used++;
    nmk_rat_add(&middle, &a, &b);
    nmk_rat_mul(&middle, &middle, &half);
    nmk_rat_sub(&off, &b, &middle);
    nmk_rat_print_decimal(written[0], sizeof written[0], &middle, 6);
    nmk_rat_print_decimal(written[1], sizeof written[1], &off, 6);
    snprintf(text + used, size - used, "measure %s %s mm +- %s mm\n", name, written[0], written[1]);
    nmk_rat_clear(&a);
    nmk_rat_clear(&b);
    nmk_rat_clear(&half);
    nmk_rat_clear(&middle);
    nmk_rat_clear(&off);
}

static const char piece[] = "stock card thickness 0.3 mm\npiece p of card\n across a = 50 mm\n down b = 50 mm\n";

/* The least and most clearance, as decimals of a millimetre, are these; and what a bound of 0 makes of it. */
static bool clearance_is(const char *hole_low, const char *hole_high, const char *shaft_low, const char *shaft_high,
                         const char *least, const char *most)
{
    char text[600] = "";
    add_measure(text, sizeof text, "hole", hole_low, hole_high);
    add_measure(text, sizeof text, "shaft", shaft_low, shaft_high);
    snprintf(text + strlen(text), sizeof text - strlen(text), "%sfit hole over shaft clear -1 to 1 mm\n", piece);
    struct fitting *f = fitting_of(text, "metric");
    struct nmk_rat low = figures_value(least), high = figures_value(most);
    const struct nmk_view *v = nmk_settled_view(f->settled, 0, NMK_SETTLED);
    bool right = nmk_rat_equal(&v->least, &low) && nmk_rat_equal(&v->most, &high);
    nmk_rat_clear(&low);
    nmk_rat_clear(&high);
    fitting_free(f);
    return right;
}

static void test_clearances(void **state)
{
    (void)state;
    /* 50 H8/f7: a published encyclopedia article, "Engineering fit", second hand. */
    assert_true(clearance_is("50", "50.039", "49.950", "49.975", "0.025", "0.089"));
    /* 25 H7/h6, 0.000 to 0.034: a web page, second hand; limits by ISO 286 (0.021, 0.013). */
    assert_true(clearance_is("25", "25.021", "24.987", "25", "0", "0.034"));
    /* 25 H7/f7: limits from a web page, the result computed. */
    assert_true(clearance_is("25", "25.021", "24.959", "24.980", "0.020", "0.062"));
    /* 50 H7/g6: g6 from memory, the result computed. */
    assert_true(clearance_is("50", "50.025", "49.975", "49.991", "0.009", "0.050"));
    /* The textbook Machine Drawing, p. 225: a bush pressed into a housing, an interference. */
    assert_true(clearance_is("100", "100.035", "100.037", "100.059", "-0.059", "-0.002"));
    /* The same: a shaft in the bush. The book prints the shaft as 49.050 / 49.075, a misprint for 49.950 / 49.975. */
    assert_true(clearance_is("50", "50.025", "49.950", "49.975", "0.025", "0.075"));
    assert_false(clearance_is("50", "50.025", "49.050", "49.075", "0.025", "0.075"));
}

/* Hole 25 -0.01/+0.02, shaft 25 -0.02/-0.004: an examination question, second hand, calls it a clearance fit. Computed:
 * -0.006 to 0.040, so that the parts may be in each other's way: a transition. */
static void test_transition(void **state)
{
    (void)state;
    assert_true(clearance_is("24.99", "25.02", "24.98", "24.996", "-0.006", "0.040"));
    char text[600] = "";
    add_measure(text, sizeof text, "hole", "24.99", "25.02");
    add_measure(text, sizeof text, "shaft", "24.98", "24.996");
    snprintf(text + strlen(text), sizeof text - strlen(text), "%sfit hole over shaft clear at least 0 mm\n", piece);
    struct fitting *f = fitting_of(text, "metric");
    assert_int_equal(nmk_settled_state(f->settled), NMK_AT_RISK);
    fitting_free(f);
}

/* Stacks: worst cases are exact, roots of sums of squares are compared as squares. */
struct stack {
    const char *measures, *demand, *least, *nominal, *most, *squares;
};

static const struct stack stacks[] = {
    /* A page on tolerance stacks, second hand: 3.00; +-0.23 computed, and 0.0159 = 0.1^2 + 0.05^2 + 0.03^2 + 0.05^2. */
    {"measure a 40 mm +- 0.1 mm\nmeasure b 25 mm +- 0.05 mm\nmeasure c 2 mm +- 0.03 mm\nmeasure d 10 mm +- 0.05 mm\n",
     "fit a over b + c + d clear at least 0 mm\n", "277/100", "3", "323/100", "159/10000"},
    /* A page on design, second hand: 0.020 +- 0.015; squares computed: 63/1000000. */
    {"measure a 4.02 mm +- 0.005 mm\nmeasure b 2 mm +- 0.005 mm\nmeasure c 1.5 mm +- 0.003 mm\nmeasure d 0.5 mm +- 0.002 mm\n",
     "fit a over b + c + d clear at least 0 mm\n", "1/200", "1/50", "7/200", "63/1000000"},
    /* The same, second hand: 0.20, 0.10, 0.15 make +-0.45; 0.2693^2 = 0.0725 computed. */
    {"measure a 9 mm +- 0.2 mm\nmeasure b 2 mm +- 0.1 mm\nmeasure c 1 mm +- 0.15 mm\n",
     "fit a over b + c clear at least 0 mm\n", "111/20", "6", "129/20", "29/400"},
};

static bool is(const struct nmk_rat *value, const char *text)
{
    struct nmk_rat expected = figures_value(text);
    bool right = nmk_rat_equal(value, &expected);
    nmk_rat_clear(&expected);
    return right;
}

static void sum_squares(struct nmk_rat *out, const struct nmk_settled *s)
{
    nmk_rat_set_int(out, 0);
    for (size_t i = 0; i < nmk_settled_contribution_count(s, 0, NMK_DESIGNED); i++) {
        const struct nmk_rat *off = &nmk_settled_contribution(s, 0, NMK_DESIGNED, i)->off;
        nmk_rat_addmul(out, off, off);
    }
}

static void test_stacks(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof stacks / sizeof *stacks; i++) {
        char text[800];
        struct nmk_rat squares = {0};
        snprintf(text, sizeof text, "%s%s%s", stacks[i].measures, piece, stacks[i].demand);
        struct fitting *f = fitting_of(text, "metric");
        const struct nmk_view *v = nmk_settled_view(f->settled, 0, NMK_DESIGNED);
        assert_true(is(&v->least, stacks[i].least) && is(&v->nominal, stacks[i].nominal) && is(&v->most, stacks[i].most));
        sum_squares(&squares, f->settled);
        assert_true(is(&squares, stacks[i].squares));
        nmk_rat_clear(&squares);
        fitting_free(f);
    }
}

/* Ten of +-0.1: +-1.0 (a page on stacks, second hand), and sqrt(0.1) = 0.316: ten stretches of one piece share lines, so
 * ten copies of one stretch are taken, each cut by itself. */
static void test_ten_alike(void **state)
{
    (void)state;
    struct fitting *f = fitting_of("stock card thickness 0.3 mm\npiece p 10 of card\n across a = 50 mm\n down b = 50 mm\n"
                                   "keep total p.a at least 100 mm\nedition e unit mm marks 1 mm cut +- 0.1 mm\n", "e");
    struct nmk_rat squares = {0};
    fitting_check(f, 0, NMK_DESIGNED, "holds 399 400 401 1");
    sum_squares(&squares, f->settled);
    assert_true(is(&squares, "1/10"));
    nmk_rat_clear(&squares);
    fitting_free(f);
}

/* A size read to r is off by r/2 (JCGM 100:2008, F.2.2.1, second hand): a reading to 1/16 in, by 1/32 in. */
static void test_read_to(void **state)
{
    (void)state;
    struct fitting *f = fitting_of("measure a 4 in read to 1/16 in\nmeasure b 50 mm read to 1 mm\nstock card thickness 0.3 mm\n"
                                   "piece p of card\n across c = 50 mm\n down d = 50 mm\nfit a over b clear at least 0 mm\n", "metric");
    fitting_check_errors(f, 0, "127/160 1/2"); /* 25.4 / 32 = 0.79375 */
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_clearances), cmocka_unit_test(test_transition), cmocka_unit_test(test_stacks),
        cmocka_unit_test(test_ten_alike),  cmocka_unit_test(test_read_to),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
