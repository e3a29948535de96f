/* Patterns in fractions: the optimum is proved by its prices, as the duality theorem of linear programming says. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "solve/cutting/mixture.h"
#include "unit/exact/biased.h"

static struct nmk_cutjob job_of(uint64_t most_steps)
{
    return (struct nmk_cutjob){.most_steps = most_steps, .next_call = UINT64_MAX};
}

/* Demands 10 and 9; two of the first or three of the second a sheet, or one and two: 7.25 sheets, so 8. */
static void test_a_mixture_by_hand(void **state)
{
    (void)state;
    const int64_t demands[] = {10, 9};
    const int32_t singles[] = {2, 3}, both[] = {1, 2};
    struct nmk_cutjob job = job_of(1000000);
    struct nmk_mixture mix;
    nmk_mixture_init(&mix, 2, demands, singles);
    assert_true(nmk_mixture_solve(&mix, &job));
    assert_int_equal(nmk_mixture_bound(&mix), 8); /* 5 + 3 */
    nmk_mixture_add(&mix, both);
    assert_true(nmk_mixture_solve(&mix, &job));
    /* 4.5 of both and 2.75 of the first: 7.25 */
    assert_int_equal(nmk_mixture_bound(&mix), 8);
    assert_int_equal(nmk_mixture_whole(&mix, 0) + nmk_mixture_whole(&mix, 1), 6);
    nmk_mixture_clear(&mix);
    nmk_mixture_clear(&mix);
}

static void test_a_budget_ends_it(void **state)
{
    (void)state;
    const int64_t demands[] = {10, 9};
    const int32_t singles[] = {2, 3}, both[] = {1, 2};
    struct nmk_cutjob job = job_of(1);
    struct nmk_mixture mix;
    nmk_mixture_init(&mix, 2, demands, singles);
    nmk_mixture_add(&mix, both);
    assert_false(nmk_mixture_solve(&mix, &job));
    nmk_mixture_clear(&mix);
}

/* amounts >= 0 that give every demand, surplus counted */
static bool is_feasible(const struct nmk_mixture *m, const int64_t *demands)
{
    struct nmk_rat sum = {0}, count = {0};
    bool right = true;
    for (size_t i = 0; i < m->rows; i++) {
        nmk_rat_set_int(&sum, 0);
        for (size_t r = 0; r < m->rows; r++) {
            right = right && nmk_rat_sign(&m->amounts[r]) >= 0;
            bool surplus = m->basis[r] >= NMK_MIXTURE_SURPLUS;
            int64_t times = surplus ? -(m->basis[r] - NMK_MIXTURE_SURPLUS == i) : m->columns[m->basis[r] * m->rows + i];
            nmk_rat_set_int(&count, times);
            nmk_rat_addmul(&sum, &count, &m->amounts[r]);
        }
        right = right && nmk_rat_cmp_int(&sum, demands[i]) == 0;
    }
    nmk_rat_clear(&sum);
    nmk_rat_clear(&count);
    return right;
}

/* Prices >= 0, no column worth more than a sheet, and all demands worth as much as the sheets taken: no mixture is less. */
static bool is_optimal(const struct nmk_mixture *m, const int64_t *demands)
{
    struct nmk_rat sum = {0}, count = {0}, worth = {0};
    bool right = true;
    for (size_t c = 0; c < m->column_count; c++) {
        nmk_rat_set_int(&sum, 0);
        for (size_t i = 0; i < m->rows; i++) {
            nmk_rat_set_int(&count, m->columns[c * m->rows + i]);
            nmk_rat_addmul(&sum, &count, &m->prices[i]);
            right = right && nmk_rat_sign(&m->prices[i]) >= 0;
        }
        right = right && nmk_rat_cmp_int(&sum, 1) <= 0;
    }
    nmk_rat_set_int(&sum, 0);
    for (size_t i = 0; i < m->rows; i++) {
        nmk_rat_set_int(&count, demands[i]);
        nmk_rat_addmul(&worth, &count, &m->prices[i]);
        if (m->basis[i] < NMK_MIXTURE_SURPLUS)
            nmk_rat_add(&sum, &sum, &m->amounts[i]);
    }
    right = right && nmk_rat_equal(&sum, &worth);
    nmk_rat_ceil(&sum, &sum);
    right = right && nmk_rat_cmp_int(&sum, nmk_mixture_bound(m)) == 0;
    nmk_rat_clear(&sum);
    nmk_rat_clear(&count);
    nmk_rat_clear(&worth);
    return right;
}

static void test_prices_prove_the_optimum(void **state)
{
    (void)state;
    unsigned long cases = biased_cases(400);
    for (unsigned long n = 0; n < cases; n++) {
        size_t rows = 1 + biased_below(9);
        int64_t demands[9];
        int32_t counts[9];
        struct nmk_cutjob job = job_of(UINT64_MAX);
        struct nmk_mixture mix;
        for (size_t i = 0; i < rows; i++) {
            demands[i] = 1 + (int64_t)biased_below(biased_below(2) ? 5 : 1000);
            counts[i] = 1 + (int32_t)biased_below(6);
        }
        nmk_mixture_init(&mix, rows, demands, counts);
        for (int round = 0; round < 3; round++) {
            for (size_t c = biased_below(40); c > 0; c--) {
                for (size_t i = 0; i < rows; i++)
                    counts[i] = biased_below(2) ? 0 : (int32_t)biased_below(5);
                nmk_mixture_add(&mix, counts);
            }
            biased_check(nmk_mixture_solve(&mix, &job), n, "it comes to an end", NULL, NULL);
            biased_check(is_feasible(&mix, demands), n, "the demands are met", NULL, NULL);
            biased_check(is_optimal(&mix, demands), n, "the prices prove it", NULL, NULL);
        }
        nmk_mixture_clear(&mix);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_mixture_by_hand),
        cmocka_unit_test(test_a_budget_ends_it),
        cmocka_unit_test(test_prices_prove_the_optimum),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
