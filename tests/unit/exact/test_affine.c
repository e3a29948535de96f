/* Affine forms, held against an array with one place for each name. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "nearmark/affine.h"
#include "unit/exact/biased.h"

enum { cases = 800, names = 12 };

/* ---- a form by its definition: a coefficient for each of few names, most of them 0 ---- */

struct naive {
    struct nmk_rat constant, times[names];
};

static uint64_t name_of(size_t i)
{
    return i == names - 1 ? UINT64_MAX : (uint64_t)i * i * UINT64_C(1000000007);
}

static void naive_clear(struct naive *n)
{
    nmk_rat_clear(&n->constant);
    for (size_t i = 0; i < names; i++)
        nmk_rat_clear(&n->times[i]);
}

/* The form has these coefficients and no others, sorted, none 0. */
static bool affine_is(const struct nmk_affine *f, const struct naive *n)
{
    size_t count = 0;
    bool same = nmk_rat_equal(&f->constant, &n->constant) && rat_is_sound(&f->constant);
    for (size_t i = 0; i < names; i++) {
        const struct nmk_rat *times = nmk_affine_times(f, name_of(i));
        same = same && !times == nmk_rat_is_zero(&n->times[i]);
        if (times) {
            same = same && nmk_rat_equal(times, &n->times[i]) && rat_is_sound(times);
            same = same && f->terms[count].name == name_of(i) && times == &f->terms[count].times;
            count++;
        }
    }
    return same && f->count == count && nmk_affine_is_constant(f) == (count == 0) && nmk_affine_is_canonical(f);
}

/* The same random form twice; built in a random order of names, some in two steps. */
static void random_form(struct nmk_affine *f, struct naive *n)
{
    struct nmk_rat x = {0};
    biased_rat(&x);
    nmk_affine_set_rat(f, &x);
    nmk_rat_set(&n->constant, &x);
    for (size_t steps = biased_below(2 * names); steps; steps--) {
        size_t i = biased_below(names);
        biased_rat(&x);
        if (biased_below(4) == 0)
            nmk_rat_neg(&x, &n->times[i]); /* cancels what is there */
        nmk_rat_add(&n->times[i], &n->times[i], &x);
        nmk_affine_add_term(f, name_of(i), &x);
    }
    nmk_rat_clear(&x);
}

static void check(bool right, unsigned long i, const char *what)
{
    biased_check(right, i, what, NULL, NULL);
}

/* ---- tests ---- */

static void test_a_zeroed_form_is_zero(void **state)
{
    (void)state;
    struct nmk_affine f, zeroed = {0};
    struct naive zero = {0};
    nmk_affine_init(&f);
    assert_true(affine_is(&f, &zero) && affine_is(&zeroed, &zero) && nmk_affine_equal(&f, &zeroed));
    assert_null(nmk_affine_times(&f, 0));
    nmk_affine_clear(&f);
    nmk_affine_clear(&f);
}

static void test_terms_are_added_and_cancel(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_affine f = {0};
        struct naive n = {0};
        random_form(&f, &n);
        check(affine_is(&f, &n), i, "terms");
        for (size_t k = 0; k < names; k++) {
            struct nmk_rat x = {0};
            nmk_rat_neg(&x, &n.times[k]);
            nmk_affine_add_term(&f, name_of(k), &x);
            nmk_rat_set_int(&n.times[k], 0);
            check(affine_is(&f, &n), i, "terms taken away");
            nmk_rat_clear(&x);
        }
        nmk_affine_clear(&f);
        check(nmk_rat_is_zero(&f.constant) && f.count == 0 && !f.terms, i, "cleared");
        naive_clear(&n);
    }
}

typedef void affine_operation(struct nmk_affine *out, const struct nmk_affine *a, const struct nmk_affine *b);
typedef void rat_operation(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);

static void check_pair(unsigned long i, const char *what, affine_operation *own, rat_operation *each)
{
    struct nmk_affine a = {0}, b = {0}, out = {0};
    struct naive x = {0}, y = {0}, right = {0};
    random_form(&a, &x);
    random_form(&b, &y);
    random_form(&out, &right);
    each(&right.constant, &x.constant, &y.constant);
    for (size_t k = 0; k < names; k++)
        each(&right.times[k], &x.times[k], &y.times[k]);
    own(&out, &a, &b);
    check(affine_is(&out, &right) && affine_is(&a, &x) && affine_is(&b, &y), i, what);
    nmk_affine_set(&out, &a);
    own(&out, &out, &b);
    check(affine_is(&out, &right), i, what);
    nmk_affine_set(&out, &b);
    own(&out, &a, &out);
    check(affine_is(&out, &right), i, what);
    each(&right.constant, &x.constant, &x.constant);
    for (size_t k = 0; k < names; k++)
        each(&right.times[k], &x.times[k], &x.times[k]);
    own(&a, &a, &a);
    check(affine_is(&a, &right), i, what);
    nmk_affine_clear(&a);
    nmk_affine_clear(&b);
    nmk_affine_clear(&out);
    naive_clear(&x);
    naive_clear(&y);
    naive_clear(&right);
}

static void test_sums_and_differences(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        check_pair(i, "sum", nmk_affine_add, nmk_rat_add);
        check_pair(i, "difference", nmk_affine_sub, nmk_rat_sub);
    }
}

static void scale_naive(struct naive *n, const struct nmk_rat *times)
{
    struct nmk_rat factor = {0};
    nmk_rat_set(&factor, times);
    nmk_rat_mul(&n->constant, &n->constant, &factor);
    for (size_t k = 0; k < names; k++)
        nmk_rat_mul(&n->times[k], &n->times[k], &factor);
    nmk_rat_clear(&factor);
}

/* By a number from outside, by the form's own constant, and by one of its coefficients; into another and into itself. */
static void test_scaling_also_by_a_number_of_its_own(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_affine a = {0}, out = {0};
        struct naive x = {0}, right = {0};
        struct nmk_rat times = {0};
        random_form(&a, &x);
        random_form(&out, &right);
        if (biased_below(4))
            biased_rat(&times);
        nmk_affine_scale(&out, &a, &times);
        check(affine_is(&a, &x), i, "scaled apart");
        scale_naive(&x, &times);
        check(affine_is(&out, &x), i, "scaled");
        nmk_affine_scale(&a, &a, &times);
        check(affine_is(&a, &x), i, "scaled into itself");
        nmk_affine_scale(&a, &a, &a.constant);
        scale_naive(&x, &x.constant);
        check(affine_is(&a, &x), i, "scaled by its constant");
        if (a.count) {
            nmk_affine_set(&out, &a);
            struct nmk_rat own = {0};
            nmk_rat_set(&own, &a.terms[0].times);
            nmk_affine_scale(&out, &out, &out.terms[0].times);
            scale_naive(&x, &own);
            check(affine_is(&out, &x), i, "scaled by its coefficient");
            nmk_rat_clear(&own);
        }
        nmk_affine_clear(&a);
        nmk_affine_clear(&out);
        nmk_rat_clear(&times);
        naive_clear(&x);
        naive_clear(&right);
    }
}

/* A borrowed coefficient of the form itself is given back to it, also where the terms must move for it. */
static void test_a_coefficient_of_its_own_is_added(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_affine f = {0};
        struct naive n = {0};
        random_form(&f, &n);
        for (size_t k = 0; k < names; k++) {
            const struct nmk_rat *own = nmk_affine_times(&f, name_of(k));
            size_t to = biased_below(names);
            if (!own)
                continue;
            nmk_affine_add_term(&f, name_of(to), own);
            nmk_rat_add(&n.times[to], &n.times[to], &n.times[k]);
            check(affine_is(&f, &n), i, "own coefficient as a term");
        }
        if (f.count) {
            nmk_affine_add_rat(&f, &f.terms[0].times);
            size_t k = 0;
            while (name_of(k) != f.terms[0].name)
                k++;
            nmk_rat_add(&n.constant, &n.constant, &n.times[k]);
            check(affine_is(&f, &n), i, "own coefficient as a constant");
        }
        nmk_affine_add_rat(&f, &f.constant);
        nmk_rat_add(&n.constant, &n.constant, &n.constant);
        check(affine_is(&f, &n), i, "own constant");
        nmk_affine_set_rat(&f, &f.constant);
        for (size_t k = 0; k < names; k++)
            nmk_rat_set_int(&n.times[k], 0);
        check(affine_is(&f, &n), i, "own constant alone");
        nmk_affine_clear(&f);
        naive_clear(&n);
    }
}

static void test_copies_swaps_and_equality(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_affine a = {0}, b = {0}, difference = {0};
        struct naive x = {0}, y = {0}, none = {0};
        random_form(&a, &x);
        random_form(&b, &y);
        nmk_affine_sub(&difference, &a, &b);
        check(nmk_affine_equal(&a, &b) == affine_is(&difference, &none), i, "equality");
        nmk_affine_swap(&a, &b);
        check(affine_is(&a, &y) && affine_is(&b, &x), i, "swap");
        nmk_affine_set(&a, &b);
        check(affine_is(&a, &x) && affine_is(&b, &x) && nmk_affine_equal(&a, &b), i, "copy");
        nmk_affine_set(&a, &a);
        check(affine_is(&a, &x), i, "copy of itself");
        if (b.count) { /* the copy is a value of its own; one coefficient makes the difference */
            struct nmk_rat one = {.num = 1};
            nmk_affine_add_term(&b, b.terms[b.count - 1].name, &one);
            check(affine_is(&a, &x) && !nmk_affine_equal(&a, &b), i, "one coefficient");
            nmk_affine_set(&a, &b);
            nmk_affine_add_term(&a, UINT64_MAX - 1, &one); /* one term more, behind all or nearly all others */
            check(!nmk_affine_equal(&a, &b) && !nmk_affine_equal(&b, &a), i, "one term more");
            nmk_affine_set(&b, &a);
            nmk_affine_add_rat(&b, &one);
            check(!nmk_affine_equal(&a, &b), i, "another constant");
        }
        nmk_affine_clear(&a);
        nmk_affine_clear(&b);
        nmk_affine_clear(&difference);
        naive_clear(&x);
        naive_clear(&y);
    }
}

static void test_what_is_not_canonical_is_seen(void **state)
{
    (void)state;
    struct nmk_affine_term zero[] = {{.name = 1}}, twice[] = {{1, {1, 0, NULL}}, {1, {1, 0, NULL}}},
                           backwards[] = {{2, {1, 0, NULL}}, {1, {1, 0, NULL}}}, bad[] = {{1, {2, 3, NULL}}};
    const struct nmk_affine broken[] = {{.terms = zero, .count = 1, .space = 1},
                                        {.terms = twice, .count = 2, .space = 2},
                                        {.terms = backwards, .count = 2, .space = 2},
                                        {.terms = bad, .count = 1, .space = 1},
                                        {.terms = bad, .count = 1, .space = 0},
                                        {.constant = {2, 3, NULL}}};
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++)
        assert_false(nmk_affine_is_canonical(&broken[i]));
}

static void test_many_names(void **state)
{
    (void)state;
    enum { many = 2000 };
    struct nmk_affine f = {0}, g = {0};
    struct nmk_rat x = {0};
    for (uint64_t i = 0; i < many; i++) { /* 0, 7, 14 ... in a shuffled order */
        uint64_t name = i * 7919 % many * 7;
        nmk_rat_set_int(&x, (int64_t)name + 1);
        nmk_affine_add_term(&f, name, &x);
    }
    assert_int_equal(f.count, many);
    assert_true(nmk_affine_is_canonical(&f));
    for (uint64_t i = 0; i < many; i++) {
        assert_int_equal(nmk_rat_cmp_int(nmk_affine_times(&f, 7 * i), (int64_t)(7 * i + 1)), 0);
        assert_null(nmk_affine_times(&f, 7 * i + 1));
    }
    nmk_affine_sub(&g, &f, &f);
    assert_true(nmk_affine_is_constant(&g));
    nmk_affine_clear(&f);
    nmk_affine_clear(&g);
    nmk_rat_clear(&x);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_zeroed_form_is_zero),
        cmocka_unit_test(test_terms_are_added_and_cancel),
        cmocka_unit_test(test_sums_and_differences),
        cmocka_unit_test(test_scaling_also_by_a_number_of_its_own),
        cmocka_unit_test(test_a_coefficient_of_its_own_is_added),
        cmocka_unit_test(test_copies_swaps_and_equality),
        cmocka_unit_test(test_what_is_not_canonical_is_seen),
        cmocka_unit_test(test_many_names),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
