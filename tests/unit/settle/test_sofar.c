/* What is known of a settling that was not made: held against the settling itself. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "nearmark/sofar.h"
#include "unit/exact/biased.h"
#include "unit/fit/fitting.h"
#include "unit/settle/guess.h"

#define STOCK "stock card thickness 0.3 mm\n"

enum { STEPS = 100000 };

static void check(bool right, unsigned long number, const char *what, const struct guess *g)
{
    if (!right) {
        print_message("# %s\n", nmk_text_get(&g->text));
        biased_check(false, number, what, NULL, NULL);
    }
}

static void weakest_of(struct nmk_rat *out, const struct fitting *f)
{
    nmk_rat_set_int(out, 1);
    for (size_t i = 0; i < nmk_design_demand_count(f->design); i++) {
        const struct nmk_view *v = nmk_settled_view(f->settled, i, NMK_SETTLED);
        if (nmk_rat_cmp(&v->chance, &f->options.sure) < 0 && nmk_rat_cmp(&v->chance, out) < 0)
            nmk_rat_set(out, &v->chance);
    }
}

/* The best marks are no weaker than those found, and no surer than what is proven. */
static void check_one(unsigned long number)
{
    struct guess g;
    struct guess_wish wish = {
        .punches = biased_below(3) == 0, .mats = biased_below(2), .tight = biased_below(3) == 0, .scores = true};
    struct nmk_sofar s = {0};
    struct nmk_settled *settled;
    struct nmk_rat weakest = {0};
    guess_make(&g, &wish);
    struct fitting *f = fitting_draft(nmk_text_get(&g.text), "e");
    f->options.most_steps = STEPS;
    if (nmk_settle(&settled, f->draft, &f->options, f->list) == NMK_OK) {
        f->settled = settled;
        bool holds = nmk_settled_holds_together(settled);
        check(nmk_sofar_find(&s, f->draft, &f->options, STEPS) == NMK_OK, number, "sofar", &g);
        check(!s.decided || s.feasible == holds, number, "feasible", &g);
        if (s.feasible) {
            weakest_of(&weakest, f);
            check(nmk_rat_cmp(&s.weakest, &weakest) <= 0, number, "no better than the best", &g);
            check(nmk_rat_cmp(&weakest, &s.at_most) <= 0, number, "bound", &g);
        }
    }
    nmk_sofar_clear(&s);
    nmk_rat_clear(&weakest);
    fitting_free(f);
    guess_clear(&g);
}

static void test_random(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long i = 0; i < biased_cases(60); i++)
        check_one(i);
}

/* One length, at its second mark in every best answer: moved by one, 0.4 mm off. */
static void test_known(void **state)
{
    (void)state;
    struct fitting *f = fitting_draft("measure m 10 mm\n" STOCK "piece p of card\n across a = 11.4 mm\n down b = 10 mm\n"
                                      "fit p.a over m clear 1.5 to 2.5 mm\nedition e unit mm marks 1 mm cut +- 0.2 mm\n", NULL);
    struct nmk_sofar s = {0};
    struct nmk_rat off = {0};
    assert_int_equal(nmk_sofar_find(&s, f->draft, &f->options, 1000), NMK_OK);
    assert_true(s.decided && s.feasible && s.moved == 1);
    nmk_rat_set_frac(&off, 3, 5);
    assert_true(nmk_rat_equal(&s.deviation, &off));
    assert_int_equal(nmk_rat_cmp_int(&s.weakest, 1), 0);
    assert_int_equal(nmk_rat_cmp_int(&s.at_most, 1), 0);
    nmk_sofar_clear(&s);
    nmk_rat_clear(&off);
    fitting_free(f);
}

/* No mark lies in the middle of the bounds: what is proven is what is found. */
static void test_bound(void **state)
{
    (void)state;
    struct fitting *f = fitting_draft("measure m 10 mm\n" STOCK "piece p of card\n across a = 11.4 mm\n down b = 10 mm\n"
                                      "fit p.a over m clear 0.9 to 1.3 mm\nedition e unit mm marks 1 mm cut +- 0.2 mm\n", NULL);
    struct nmk_sofar s = {0};
    assert_int_equal(nmk_sofar_find(&s, f->draft, &f->options, 1000), NMK_OK);
    assert_true(s.feasible && nmk_rat_cmp_int(&s.at_most, 1) < 0);
    assert_true(nmk_rat_equal(&s.weakest, &s.at_most));
    nmk_sofar_clear(&s);
    fitting_free(f);
}

static void test_none(void **state)
{
    (void)state;
    struct fitting *f = fitting_draft("measure m 10 mm\n" STOCK "piece p of card\n across a = 11.4 mm\n down b = 10 mm\n"
                                      "fit p.a over m clear 0.2 to 0.6 mm\nedition e unit mm marks 1 mm\n", NULL);
    struct nmk_sofar s = {0};
    assert_int_equal(nmk_sofar_find(&s, f->draft, &f->options, 1000), NMK_OK);
    assert_true(s.decided && !s.feasible);
    nmk_sofar_clear(&s);
    assert_int_equal(nmk_sofar_find(NULL, f->draft, &f->options, 1000), NMK_INVALID);
    assert_int_equal(nmk_sofar_find(&s, NULL, &f->options, 1000), NMK_INVALID);
    assert_int_equal(nmk_sofar_find(&s, f->draft, NULL, 1000), NMK_INVALID);
    assert_int_equal(nmk_sofar_find(&s, f->draft, &f->options, 0), NMK_INVALID);
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_random), cmocka_unit_test(test_known),
                                       cmocka_unit_test(test_bound), cmocka_unit_test(test_none)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
