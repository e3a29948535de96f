/* Enclosures: every result holds what it should, and no end is further out than it must be. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "nearmark/enclosure.h"
#include "unit/exact/biased.h"

enum { cases = 2000 };

static void random_enclosure(struct nmk_enclosure *e)
{
    biased_rat(&e->low);
    if (biased_below(4) == 0)
        nmk_rat_set(&e->high, &e->low);
    else
        biased_rat(&e->high);
    if (nmk_rat_cmp(&e->low, &e->high) > 0)
        nmk_rat_swap(&e->low, &e->high);
}

static bool holds(const struct nmk_enclosure *e, const struct nmk_rat *x)
{
    return nmk_rat_cmp(&e->low, x) <= 0 && nmk_rat_cmp(x, &e->high) <= 0;
}

static bool enclosure_is(const struct nmk_enclosure *e, const struct nmk_rat *low, const struct nmk_rat *high)
{
    return nmk_rat_equal(&e->low, low) && nmk_rat_equal(&e->high, high) && rat_is_sound(&e->low) &&
           rat_is_sound(&e->high) && nmk_rat_cmp(&e->low, &e->high) <= 0;
}

static bool same(const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    return enclosure_is(a, &b->low, &b->high);
}

static bool enclosure_prints(const struct nmk_enclosure *e, const char *low, const char *high)
{
    return rat_prints(&e->low, low) && rat_prints(&e->high, high);
}

/* A number of e: low + k/8 of the width, the ends included. */
static void point_of(struct nmk_rat *out, const struct nmk_enclosure *e, unsigned k)
{
    struct nmk_rat eighths = {0}, width = {0};
    nmk_rat_set_frac(&eighths, (int64_t)k, 8);
    nmk_rat_sub(&width, &e->high, &e->low);
    nmk_rat_set(out, &e->low);
    nmk_rat_addmul(out, &eighths, &width);
    nmk_rat_clear(&eighths);
    nmk_rat_clear(&width);
}

static void enclosures_clear(struct nmk_enclosure *all[], size_t count)
{
    for (size_t i = 0; i < count; i++)
        nmk_enclosure_clear(all[i]);
}

/* ---- operations on two ---- */

typedef void enclosure_operation(struct nmk_enclosure *out, const struct nmk_enclosure *a,
                                 const struct nmk_enclosure *b);
typedef void rat_operation(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);

static void enclosure_quotient(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    assert_int_equal(nmk_enclosure_div(out, a, b), NMK_OK);
}

static void rat_quotient(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    assert_int_equal(nmk_rat_div(out, a, b), NMK_OK);
}

static void rat_least(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    nmk_rat_set(out, nmk_rat_cmp(a, b) < 0 ? a : b);
}

static void rat_greatest(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b)
{
    nmk_rat_set(out, nmk_rat_cmp(a, b) < 0 ? b : a);
}

/* For each number of a and of b (nine of each are tried) the result holds theirs; each end of it is met by one of the
 * four pairs of ends, so that it is no wider than it must be. */
static void check_holds(unsigned long i, const char *what, const struct nmk_enclosure *out,
                        const struct nmk_enclosure *a, const struct nmk_enclosure *b, rat_operation *each)
{
    struct nmk_rat x = {0}, y = {0}, z = {0};
    bool low_met = false, high_met = false;
    biased_check(rat_is_sound(&out->low) && rat_is_sound(&out->high) && nmk_rat_cmp(&out->low, &out->high) <= 0, i, what,
                 &out->low, &out->high);
    for (unsigned k = 0; k < 81; k++) {
        point_of(&x, a, k / 9);
        point_of(&y, b, k % 9);
        each(&z, &x, &y);
        biased_check(holds(out, &z), i, what, &x, &y);
        low_met = low_met || nmk_rat_equal(&z, &out->low);
        high_met = high_met || nmk_rat_equal(&z, &out->high);
    }
    biased_check(low_met && high_met, i, what, &out->low, &out->high);
    nmk_rat_clear(&x);
    nmk_rat_clear(&y);
    nmk_rat_clear(&z);
}

static bool holds_zero(const struct nmk_enclosure *e)
{
    return nmk_rat_sign(&e->low) <= 0 && nmk_rat_sign(&e->high) >= 0;
}

static void check_pair(unsigned long i, const char *what, enclosure_operation *own, rat_operation *each)
{
    struct nmk_enclosure a = {0}, b = {0}, out = {0}, aliased = {0};
    random_enclosure(&a);
    do
        random_enclosure(&b);
    while (each == rat_quotient && holds_zero(&b));
    random_enclosure(&out);
    own(&out, &a, &b);
    check_holds(i, what, &out, &a, &b, each);
    nmk_enclosure_set(&aliased, &a);
    own(&aliased, &aliased, &b);
    biased_check(same(&aliased, &out), i, what, &a.low, &b.low);
    nmk_enclosure_set(&aliased, &b);
    own(&aliased, &a, &aliased);
    biased_check(same(&aliased, &out), i, what, &a.low, &b.low);
    own(&out, &b, &b);
    own(&b, &b, &b);
    biased_check(same(&b, &out), i, what, &b.low, &b.high);
    enclosures_clear((struct nmk_enclosure *[]){&a, &b, &out, &aliased}, 4);
}

static void test_operations_hold_every_result_and_no_more(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases / 10); i++) {
        check_pair(i, "sum", nmk_enclosure_add, nmk_rat_add);
        check_pair(i, "difference", nmk_enclosure_sub, nmk_rat_sub);
        check_pair(i, "product", nmk_enclosure_mul, nmk_rat_mul);
        check_pair(i, "quotient", enclosure_quotient, rat_quotient);
        check_pair(i, "least", nmk_enclosure_min, rat_least);
        check_pair(i, "greatest", nmk_enclosure_max, rat_greatest);
    }
}

static void test_signs_and_sizes(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_enclosure a = {0}, out = {0}, own = {0};
        struct nmk_rat low = {0}, high = {0}, x = {0};
        random_enclosure(&a);
        nmk_enclosure_neg(&out, &a);
        nmk_rat_neg(&low, &a.high);
        nmk_rat_neg(&high, &a.low);
        biased_check(enclosure_is(&out, &low, &high), i, "negation", &a.low, &a.high);
        nmk_enclosure_set(&own, &a);
        nmk_enclosure_neg(&own, &own);
        biased_check(same(&own, &out), i, "negation into itself", &a.low, &a.high);
        nmk_enclosure_abs(&out, &a);
        nmk_rat_abs(&low, &a.low);
        nmk_rat_abs(&high, &a.high);
        if (nmk_rat_cmp(&low, &high) > 0)
            nmk_rat_swap(&low, &high);
        if (holds_zero(&a))
            nmk_rat_set_int(&low, 0);
        biased_check(enclosure_is(&out, &low, &high), i, "size", &a.low, &a.high);
        for (unsigned k = 0; k <= 8; k++) {
            point_of(&x, &a, k);
            nmk_rat_abs(&x, &x);
            biased_check(holds(&out, &x), i, "size", &a.low, &a.high);
        }
        nmk_enclosure_abs(&a, &a);
        biased_check(same(&a, &out), i, "size into itself", &out.low, &out.high);
        enclosures_clear((struct nmk_enclosure *[]){&a, &out, &own}, 3);
        nmk_rat_clear(&low);
        nmk_rat_clear(&high);
        nmk_rat_clear(&x);
    }
}

static void test_the_middle_is_equally_far_from_both_ends(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_enclosure a = {0};
        struct nmk_rat mid = {0}, half = {0}, end = {0}, other = {0};
        random_enclosure(&a);
        nmk_enclosure_mid(&mid, &a);
        nmk_enclosure_half_width(&half, &a);
        nmk_rat_add(&end, &mid, &half);
        nmk_rat_sub(&other, &mid, &half);
        biased_check(enclosure_is(&a, &other, &end) && rat_is_sound(&mid) && rat_is_sound(&half), i, "middle", &mid, &half);
        biased_check(nmk_enclosure_is_exact(&a) == nmk_rat_is_zero(&half), i, "exact", &a.low, &a.high);
        nmk_enclosure_mid(&a.low, &a); /* into one of its own ends */
        biased_check(nmk_rat_equal(&a.low, &mid), i, "middle into an end", &mid, &half);
        nmk_enclosure_clear(&a);
        nmk_rat_clear(&mid);
        nmk_rat_clear(&half);
        nmk_rat_clear(&end);
        nmk_rat_clear(&other);
    }
}

static void test_copies_and_exact_values(void **state)
{
    (void)state;
    struct nmk_enclosure e, copy = {0};
    nmk_enclosure_init(&e);
    assert_true(enclosure_prints(&e, "0", "0") && nmk_enclosure_is_exact(&e));
    struct nmk_rat x = rat_of("100000000000000000000/3");
    nmk_enclosure_set_rat(&e, &x);
    assert_true(enclosure_is(&e, &x, &x) && nmk_enclosure_is_exact(&e));
    nmk_rat_set_int(&x, 4);
    nmk_rat_swap(&e.high, &x);
    nmk_enclosure_set_rat(&e, &e.high);
    assert_true(enclosure_prints(&e, "4", "4"));
    nmk_enclosure_pi(&e);
    nmk_enclosure_set(&copy, &e);
    nmk_enclosure_set(&e, &e);
    assert_true(same(&copy, &e));
    nmk_enclosure_set_rat(&e, &x);
    assert_true(!nmk_enclosure_is_exact(&copy) && nmk_enclosure_is_exact(&e));
    nmk_enclosure_clear(&e);
    nmk_enclosure_clear(&e);
    nmk_enclosure_clear(&copy);
    nmk_rat_clear(&x);
}

static void test_division_by_what_holds_zero_is_refused(void **state)
{
    (void)state;
    static const char *const rows[][2] = {{"0", "0"}, {"-1", "1"}, {"0", "1"}, {"-1", "0"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_enclosure a = {rat_of("1"), rat_of("2")}, b = {rat_of(rows[i][0]), rat_of(rows[i][1])};
        struct nmk_enclosure out = {rat_of("5"), rat_of("7")};
        assert_int_equal(nmk_enclosure_div(&out, &a, &b), NMK_DIVISION_BY_ZERO);
        assert_true(enclosure_prints(&out, "5", "7"));
        assert_int_equal(nmk_enclosure_div(&b, &a, &b), NMK_DIVISION_BY_ZERO);
        assert_true(enclosure_prints(&b, rows[i][0], rows[i][1]));
        enclosures_clear((struct nmk_enclosure *[]){&a, &b, &out}, 3);
    }
}

/* ---- pi ---- */

/* 10^50 arctan(1/n) by its series: fewer than 40 terms for n >= 5, each cut short by less than 2. */
static void arctan_of(mpz_ptr out, unsigned long n)
{
    mpz_t power, term;
    mpz_inits(power, term, NULL);
    mpz_ui_pow_ui(power, 10, 50);
    mpz_fdiv_q_ui(power, power, n);
    mpz_set_ui(out, 0);
    for (unsigned long k = 1; mpz_sgn(power); k += 2) {
        mpz_fdiv_q_ui(term, power, k);
        if (k % 4 == 1)
            mpz_add(out, out, term);
        else
            mpz_sub(out, out, term);
        mpz_fdiv_q_ui(power, power, n * n);
    }
    mpz_clears(power, term, NULL);
}

/* Machin (1706): pi = 16 arctan(1/5) - 4 arctan(1/239). With 10^50 in place of 1 the error is below 20 * 80 < 10^4;
 * k = floor(10^30 pi) is proved if what is 10^4 below and what is 10^4 above give the same. */
static void test_pi_is_that_of_machin(void **state)
{
    (void)state;
    mpz_t pi, part, k, unit;
    mpz_inits(pi, part, k, unit, NULL);
    arctan_of(pi, 5);
    mpz_mul_ui(pi, pi, 16);
    arctan_of(part, 239);
    mpz_submul_ui(pi, part, 4);
    mpz_ui_pow_ui(unit, 10, 20);
    mpz_sub_ui(pi, pi, 10000);
    mpz_fdiv_q(k, pi, unit);
    mpz_add_ui(pi, pi, 20000);
    mpz_fdiv_q(part, pi, unit);
    assert_int_equal(mpz_cmp(k, part), 0);
    mpq_t low, high;
    mpq_inits(low, high, NULL);
    mpq_set_z(low, k);
    mpz_add_ui(k, k, 1);
    mpq_set_z(high, k);
    mpz_ui_pow_ui(mpq_denref(low), 10, 30);
    mpz_set(mpq_denref(high), mpq_denref(low));
    mpq_canonicalize(low);
    mpq_canonicalize(high);
    struct nmk_enclosure e = {0};
    nmk_enclosure_pi(&e);
    assert_true(rat_is(&e.low, low) && rat_is(&e.high, high));
    nmk_enclosure_clear(&e);
    mpq_clears(low, high, NULL);
    mpz_clears(pi, part, k, unit, NULL);
}

/* ---- roots ---- */

/* e is the root of x: its ends squared hold x; it is exact, or one unit of 10^-30 wide from a whole number of units. */
static void check_root(unsigned long i, const struct nmk_enclosure *e, const struct nmk_rat *x)
{
    struct nmk_rat low = {0}, high = {0}, unit = rat_of("1/1000000000000000000000000000000"), width = {0}, count = {0};
    nmk_rat_mul(&low, &e->low, &e->low);
    nmk_rat_mul(&high, &e->high, &e->high);
    biased_check(nmk_rat_sign(&e->low) >= 0, i, "root", x, &e->low);
    if (nmk_enclosure_is_exact(e)) {
        biased_check(nmk_rat_equal(&low, x), i, "exact root", x, &e->low);
    } else {
        biased_check(nmk_rat_cmp(&low, x) < 0 && nmk_rat_cmp(x, &high) < 0, i, "root", x, &e->low);
        nmk_rat_sub(&width, &e->high, &e->low);
        assert_int_equal(nmk_rat_div(&count, &e->low, &unit), NMK_OK);
        biased_check(nmk_rat_equal(&width, &unit) && nmk_rat_is_int(&count), i, "units of a root", x, &e->low);
    }
    struct nmk_rat *all[] = {&low, &high, &unit, &width, &count};
    for (size_t k = 0; k < sizeof all / sizeof *all; k++)
        nmk_rat_clear(all[k]);
}

/* A root that is inexact though x is a square would pass `check_root` only if it held the root strictly inside: that
 * is asked of squares apart. */
static void test_roots_squared_hold_the_number(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_enclosure e = {0};
        struct nmk_rat x = {0}, root = {0};
        biased_rat(&root);
        nmk_rat_abs(&root, &root);
        nmk_rat_mul(&x, &root, &root);
        nmk_enclosure_set_rat(&e, &x);
        assert_int_equal(nmk_enclosure_sqrt(&e, &e), NMK_OK);
        biased_check(enclosure_is(&e, &root, &root), i, "root of a square", &x, &e.low);
        nmk_enclosure_set_rat(&e, &root);
        assert_int_equal(nmk_enclosure_sqrt(&e, &e), NMK_OK);
        check_root(i, &e, &root);
        nmk_enclosure_clear(&e);
        nmk_rat_clear(&x);
        nmk_rat_clear(&root);
    }
}

static void test_roots_of_known_numbers(void **state)
{
    (void)state;
    static const char *const rows[][4] = {
        /* [a, b] and its root; the places of the roots of 2 and 3 are from memory, and agree with check_root */
        {"0", "0", "0", "0"},
        {"9/4", "9/4", "3/2", "3/2"},
        {"4", "16129/6400", "2", "127/80"},
        {"2", "2", "1.414213562373095048801688724209", "1.414213562373095048801688724210"},
        {"3", "4", "1.732050807568877293527446341505", "2"},
        {"1", "3", "1", "1.732050807568877293527446341506"},
        {"0", "0.0000000000000000000000000000000000000000000000000000000000000000000002", "0",
         "0.000000000000000000000000000001"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_enclosure e = {rat_of(rows[i][0]), rat_of(rows[i][1])}, out = {0};
        struct nmk_rat low = rat_of(rows[i][2]), high = rat_of(rows[i][3]);
        if (nmk_rat_cmp(&e.low, &e.high) > 0) {
            nmk_rat_swap(&e.low, &e.high);
            nmk_rat_swap(&low, &high);
        }
        assert_int_equal(nmk_enclosure_sqrt(&out, &e), NMK_OK);
        assert_true(enclosure_is(&out, &low, &high));
        enclosures_clear((struct nmk_enclosure *[]){&e, &out}, 2);
        nmk_rat_clear(&low);
        nmk_rat_clear(&high);
    }
}

static void test_roots_of_enclosures_hold_those_of_their_numbers(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases / 5); i++) {
        struct nmk_enclosure a = {0}, out = {0}, point = {0};
        struct nmk_rat x = {0};
        random_enclosure(&a);
        nmk_enclosure_abs(&a, &a);
        assert_int_equal(nmk_enclosure_sqrt(&out, &a), NMK_OK);
        biased_check(nmk_rat_cmp(&out.low, &out.high) <= 0, i, "root", &a.low, &a.high);
        for (unsigned k = 0; k <= 8; k++) {
            point_of(&x, &a, k);
            nmk_enclosure_set_rat(&point, &x);
            assert_int_equal(nmk_enclosure_sqrt(&point, &point), NMK_OK);
            biased_check(holds(&out, &point.low) && holds(&out, &point.high), i, "root", &a.low, &x);
        }
        enclosures_clear((struct nmk_enclosure *[]){&a, &out, &point}, 3);
        nmk_rat_clear(&x);
    }
}

static void test_roots_of_negative_numbers_are_refused(void **state)
{
    (void)state;
    static const char *const rows[][2] = {{"-1", "-1"}, {"-1/1000000000000000000000000000000000000000", "4"}, {"-9", "0"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_enclosure a = {rat_of(rows[i][0]), rat_of(rows[i][1])}, out = {rat_of("5"), rat_of("7")};
        assert_int_equal(nmk_enclosure_sqrt(&out, &a), NMK_NEGATIVE_ROOT);
        assert_true(enclosure_prints(&out, "5", "7"));
        assert_int_equal(nmk_enclosure_sqrt(&a, &a), NMK_NEGATIVE_ROOT);
        assert_true(enclosure_prints(&a, rows[i][0], rows[i][1]));
        enclosures_clear((struct nmk_enclosure *[]){&a, &out}, 2);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_operations_hold_every_result_and_no_more),
        cmocka_unit_test(test_signs_and_sizes),
        cmocka_unit_test(test_the_middle_is_equally_far_from_both_ends),
        cmocka_unit_test(test_copies_and_exact_values),
        cmocka_unit_test(test_division_by_what_holds_zero_is_refused),
        cmocka_unit_test(test_pi_is_that_of_machin),
        cmocka_unit_test(test_roots_squared_hold_the_number),
        cmocka_unit_test(test_roots_of_known_numbers),
        cmocka_unit_test(test_roots_of_enclosures_hold_those_of_their_numbers),
        cmocka_unit_test(test_roots_of_negative_numbers_are_refused),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
