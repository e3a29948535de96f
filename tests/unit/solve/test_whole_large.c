/* Larger problems: parts are independent, the order of the demands is of no account, the work grows with the size. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdlib.h>
#include <string.h>

#include "bench/wholemake.h"
#include "unit/exact/biased.h"

static struct nmk_whole_answer solve(struct made *m)
{
    struct nmk_whole_answer answer = {0};
    m->problem.most_steps = UINT64_C(500000000);
    assert_int_equal(nmk_whole_solve(&answer, &m->problem), NMK_OK);
    assert_true(answer.feasible);
    assert_true(nmk_whole_check(&m->problem, answer.values));
    return answer;
}

static uint64_t steps_of_chain(size_t boxes)
{
    struct made m;
    make_chain(&m, boxes, true);
    struct nmk_whole_answer answer = solve(&m);
    uint64_t steps = answer.steps;
    nmk_whole_answer_clear(&answer);
    make_clear(&m);
    return steps;
}

static void twice_the_boxes_twice_the_steps(void **state)
{
    (void)state;
    uint64_t steps = steps_of_chain(100), twice = steps_of_chain(200), four_times = steps_of_chain(400);
    assert_true(twice * 10 <= steps * 21);
    assert_true(four_times * 10 <= twice * 21);
}

static void swap_demands(struct made *m, size_t a, size_t b)
{
    struct nmk_whole_demand old = m->demands[a];
    m->demands[a] = m->demands[b];
    m->demands[b] = old;
}

/* grade() looks at the demand it is asked about, so the demands can change places. */
static void order_of_demands(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= biased_cases(20); seed++) {
        struct made m;
        make_dense(&m, 5 + biased_below(12), 3 + biased_below(5), 40, biased_bits());
        struct nmk_whole_answer first = solve(&m);
        for (size_t i = 1; i < m.problem.demand_count; i++)
            swap_demands(&m, i, biased_below(i + 1));
        struct nmk_whole_answer second = solve(&m);
        assert_memory_equal(first.values, second.values, m.problem.unknown_count * sizeof *first.values);
        assert_int_equal(nmk_whole_compare(&m.problem, first.values, second.values), 0);
        nmk_whole_answer_clear(&first);
        nmk_whole_answer_clear(&second);
        make_clear(&m);
    }
}

/* No single number moved by one or two makes the answer better. */
static void no_neighbour_is_better(void **state)
{
    (void)state;
    for (size_t n = 10; n <= 40; n += 10) {
        struct made m;
        make_dense(&m, n, 5, 40, n);
        struct nmk_whole_answer answer = solve(&m);
        int64_t *other = malloc(n * sizeof *other);
        assert_non_null(other);
        for (size_t j = 0; j < 2 * n; j++)
            for (int64_t by = -2; by <= 2; by++) {
                memcpy(other, answer.values, n * sizeof *other);
                other[j % n] += by;
                if (j >= n)
                    other[(j * 7 + 1) % n] += by;
                assert_true(!nmk_whole_check(&m.problem, other) ||
                            nmk_whole_compare(&m.problem, answer.values, other) <= 0);
            }
        free(other);
        nmk_whole_answer_clear(&answer);
        make_clear(&m);
    }
}

/* Two problems side by side are answered as each by itself. */
static void parts_are_independent(void **state)
{
    (void)state;
    struct made a, b, both;
    make_dense(&a, 12, 4, 40, 3);
    make_dense(&b, 15, 5, 40, 4);
    make_pair(&both, &a, &b);
    struct nmk_whole_answer answer_a = solve(&a), answer_b = solve(&b), answer = solve(&both);
    size_t n = a.problem.unknown_count;
    assert_memory_equal(answer.values, answer_a.values, n * sizeof *answer.values);
    assert_memory_equal(answer.values + n, answer_b.values, b.problem.unknown_count * sizeof *answer.values);
    nmk_whole_answer_clear(&answer_a);
    nmk_whole_answer_clear(&answer_b);
    nmk_whole_answer_clear(&answer);
    make_clear(&a);
    make_clear(&b);
    make_clear(&both);
}

static int start(void **state)
{
    (void)state;
    biased_start();
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(twice_the_boxes_twice_the_steps),
        cmocka_unit_test(order_of_demands),
        cmocka_unit_test(no_neighbour_is_better),
        cmocka_unit_test(parts_are_independent),
    };
    return cmocka_run_group_tests(tests, start, NULL);
}
