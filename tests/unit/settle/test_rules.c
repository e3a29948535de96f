/* Rule cards of designs made for one point each. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "nearmark/rules.h"
#include "unit/fit/fitting.h"

/* The least that can be read of a size in the range, in marks of 1 mm: 8 less the error of reading. */
static int64_t twice_least_reading(enum nmk_reading read)
{
    return 2 * 8 + (read == NMK_READ_NEAREST ? -1 : read == NMK_READ_DOWN ? -2 : 0);
}

/* A mat on a panel stays at least one mark wherever the reading's error lies, however narrow the panel's room. */
static void test_mats_stay(void **state)
{
    (void)state;
    bool any_tight = false;
    for (int smaller = 80; smaller <= 125; smaller++) {
        char text[600];
        struct nmk_rules *rules;
        snprintf(text, sizeof text,
                 "measure deep 18 mm +- 0.5 mm from 8 to 38 mm\nstock card thickness 0.3 mm\npiece p of card\n"
                 " across wall over deep clear 3.5 mm (2.1 mm to 4.9 mm)\n down c = 60 mm\n"
                 "mat u of card on p, smaller by %d.%d mm\nedition e unit mm marks 1 mm cut +- 0.1 mm\n", smaller / 10, smaller % 10);
        struct fitting *f = fitting_draft(text, NULL);
        assert_int_equal(nmk_rules_new(&rules, f->draft, &f->options, f->list), NMK_OK);
        const struct nmk_rule_length *wall = nmk_rules_length(rules, fitting_length(f, "p.wall"));
        const struct nmk_rule_length *less = nmk_rules_length(rules, fitting_length(f, "u.smaller"));
        int64_t twice = twice_least_reading(nmk_rules_measure(rules, 0)->read) + 2 * (wall->plus - less->plus);
        assert_true(twice >= 2);
        any_tight |= twice < 4;
        nmk_rules_free(rules);
        fitting_free(f);
    }
    assert_true(any_tight);
}

/* What grows with the size is held against its upper bound at the largest size, and against its lower one at the smallest. */
static void test_bounds_at_both_ends(void **state)
{
    (void)state;
    static const struct {
        const char *bound;
        bool met;
    } cases[] = {{"most 102.5 mm", true}, {"most 100 mm", false}, {"least 60 mm", true}, {"least 66 mm", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[600];
        struct nmk_rules *rules;
        snprintf(text, sizeof text,
                 "measure long 80 mm +- 0.5 mm from 60 mm to 100 mm\nstock card thickness 0.3 mm\npiece p of card\n"
                 " across face over long clear 3 mm (0.5 mm to 4 mm)\n down c = 60 mm\nkeep p.face at %s\n"
                 "edition e unit mm marks 1 mm cut +- 0.1 mm\n", cases[i].bound);
        struct fitting *f = fitting_draft(text, NULL);
        assert_int_equal(nmk_rules_new(&rules, f->draft, &f->options, f->list), NMK_OK);
        assert_true(nmk_rules_demand(rules, 0)->met);
        assert_int_equal(nmk_rules_demand(rules, 1)->met, cases[i].met);
        nmk_rules_free(rules);
        fitting_free(f);
    }
}

/* A length that is the same for every size is held against the smallest and the largest. */
static void test_one_length_for_all_sizes(void **state)
{
    (void)state;
    static const struct {
        const char *bounds;
        int64_t marks;
    } cases[] = {{"0 to 30 mm", 120}, {"0 to 24 mm", 119}, {"6 mm to 40 mm", 121}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[600];
        struct nmk_rules *rules;
        snprintf(text, sizeof text,
                 "measure wide 110 mm +- 0 mm from 95 mm to 115 mm\nstock card thickness 0.3 mm\npiece p of card\n"
                 " across a = 120 mm\n down b = 50 mm\nfit p.a over wide clear %s\n"
                 "edition e unit mm marks 1 mm cut +- 0 mm\n", cases[i].bounds);
        struct fitting *f = fitting_draft(text, NULL);
        assert_int_equal(nmk_rules_new(&rules, f->draft, &f->options, f->list), NMK_OK);
        const struct nmk_rule_length *a = nmk_rules_length(rules, fitting_length(f, "p.a"));
        assert_int_equal(a->term_count, 0);
        assert_int_equal(a->plus, cases[i].marks);
        assert_true(nmk_rules_demand(rules, 0)->met);
        nmk_rules_free(rules);
        fitting_free(f);
    }
}

/* What can be met together is asked without aims: a demand that three layers keep from being met is soon left out, though
 * long sums over all measures hang on the same lengths. */
static void test_what_to_leave_out_is_soon_found(void **state)
{
    (void)state;
    struct nmk_rules *rules;
    struct fitting *f = fitting_draft(
        "stock s thickness 0.3 mm +- 0.03 mm\nmeasure wide 67.5 mm +- 0.3 mm from 57.5 to 87.5 mm\n"
        "measure long 55 mm +- 0.3 mm from 45 to 75 mm\nmeasure high 34 mm from 24 to 54 mm\npiece p of s\n"
        " across tab = 10.5 mm | face over wide clear 2.5 mm (2.2 to 3.2 mm) | side over long clear 0.5 mm (0.1 to 0.9 mm) | tab\n"
        " down top = 24.5 mm | wall over high clear 0.5 mm (0.1 to 0.9 mm) | bottom = 28 mm\n"
        "mat label of s on p, smaller by 7 mm, shows 1.95 to 2.55 mm\nkeep label.smaller at least 6 mm\n"
        "mat layer of s on label, smaller by 4 mm, shows 1.65 to 2.35 mm\n"
        "mat front of s on layer, smaller by 5.5 mm, shows 1.1 to 1.9 mm\nkeep 2 * front.across / 3 at least 42 mm\n"
        "edition e unit mm marks 1 mm cut +- 0.1 mm\n", NULL);
    f->options.most_steps = 3000000;
    assert_int_equal(nmk_rules_new(&rules, f->draft, &f->options, f->list), NMK_OK);
    size_t left_out = 0;
    for (size_t i = 0; i < nmk_design_demand_count(f->design); i++)
        left_out += !nmk_rules_demand(rules, i)->met;
    assert_int_equal(left_out, 1);
    nmk_rules_free(rules);
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mats_stay),
        cmocka_unit_test(test_bounds_at_both_ends),
        cmocka_unit_test(test_one_length_for_all_sizes),
        cmocka_unit_test(test_what_to_leave_out_is_soon_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
