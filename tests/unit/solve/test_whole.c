/* Hand-made problems: each aim, the order of the aims, far answers, the borders of the input; budgets and memory.
 * valgrind: no, the child that runs out of memory ends where it stands. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/memory.h"
#include "unit/solve/wholecase.h"

/* An unknown without choice; goal in marks of one millimetre. */
static void number(struct whole_case *c, int64_t low, int64_t high, int64_t goal_twelfths)
{
    c->unknowns[c->unknown_count++] =
        (struct case_unknown){.low = low, .high = high, .step = CASE_UNIT, .goal = goal_twelfths};
}

static void choice(struct whole_case *c, int64_t options, const int64_t *ranks)
{
    struct case_unknown *u = &c->unknowns[c->unknown_count++];
    *u = (struct case_unknown){.is_choice = true, .low = 0, .high = options - 1};
    memcpy(u->ranks, ranks, (size_t)options * sizeof *ranks);
}

/* sum of times[j] x_j within [least, most], all in whole units; INT32_MIN, INT32_MAX: open. */
static struct case_demand *demand(struct whole_case *c, const int64_t *times, int64_t least, int64_t most)
{
    struct case_demand *d = &c->demands[c->demand_count++];
    *d = (struct case_demand){.slope = CASE_UNIT, .sure_least = INT32_MIN, .sure_most = INT32_MAX};
    for (size_t j = 0; j < c->unknown_count; j++) {
        d->times[j] = times[j] * CASE_UNIT;
        d->in_demand[j] = times[j] != 0;
    }
    d->least = least == INT32_MIN ? INT32_MIN : least * CASE_UNIT;
    d->most = most == INT32_MAX ? INT32_MAX : most * CASE_UNIT;
    return d;
}

static void grade_within(struct case_demand *d, int64_t sure_least, int64_t sure_most)
{
    d->graded = true;
    d->sure_least = sure_least == INT32_MIN ? INT32_MIN : sure_least * CASE_UNIT;
    d->sure_most = sure_most == INT32_MAX ? INT32_MAX : sure_most * CASE_UNIT;
}

static struct whole_case *new_case(void)
{
    struct whole_case *c = calloc(1, sizeof *c);
    assert_non_null(c);
    c->has_costs = true;
    return c;
}

static void expect(struct whole_case *c, const int64_t *wanted)
{
    struct nmk_whole_answer answer = {0};
    case_build(c);
    c->problem.most_steps = 10000000;
    assert_int_equal(nmk_whole_solve(&answer, &c->problem), NMK_OK);
    assert_true(answer.feasible == (wanted != NULL));
    for (size_t j = 0; wanted && j < c->unknown_count; j++)
        assert_int_equal(answer.values[j], wanted[j]);
    assert_true(!wanted || nmk_whole_check(&c->problem, answer.values));
    nmk_whole_answer_clear(&answer);
    nmk_whole_answer_clear(&answer);
    free(c);
}

#define VALUES(...) ((const int64_t[]){__VA_ARGS__})

static void nothing_at_all(void **state)
{
    (void)state;
    expect(new_case(), VALUES(0));
}

static void alone_at_its_goal(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    number(c, 1, CASE_OPEN, 7 * CASE_UNIT + 5); /* 7 5/12: nearest 7 */
    number(c, 1, CASE_OPEN, 6);                 /* a tie of 0 and 1, but at least 1 */
    number(c, -5, CASE_OPEN, -30);              /* -2.5: a tie, to the larger */
    number(c, 1, 4, 100 * CASE_UNIT);
    expect(c, VALUES(7, 1, -2, 4));
}

/* Aim 0 before aim 1: of two soft demands that cannot both be met, one is met, though the other way is surer. */
static void soft_before_sure(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    number(c, 0, 10, 0);
    demand(c, VALUES(1), 8, INT32_MAX)->soft = true;
    demand(c, VALUES(1), 7, INT32_MAX)->soft = true;
    demand(c, VALUES(1), INT32_MIN, 5)->soft = true;
    grade_within(demand(c, VALUES(1), INT32_MIN, INT32_MAX), INT32_MIN, 2);
    expect(c, VALUES(8));
}

/* Aim 1 before aim 3: the number leaves its goal to be sure, no further than needed. */
static void sure_before_close(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    number(c, 1, CASE_OPEN, 5 * CASE_UNIT);
    grade_within(demand(c, VALUES(1), 2, INT32_MAX), 9, INT32_MAX);
    expect(c, VALUES(9));
}

/* Aim 1: the weakest first; two demands a little unsure are better than one very unsure. */
static void the_weakest_counts_first(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    number(c, 0, 10, 0);
    grade_within(demand(c, VALUES(1), INT32_MIN, INT32_MAX), 8, INT32_MAX);
    grade_within(demand(c, VALUES(1), INT32_MIN, INT32_MAX), INT32_MIN, 4);
    expect(c, VALUES(6));
}

/* Aim 2 before aim 3, the first choice before the second. */
static void choices_by_rank(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    number(c, 0, 20, 0);
    choice(c, 3, VALUES(2, 1, 0));
    choice(c, 3, VALUES(0, 1, 2));
    struct case_demand *d = demand(c, VALUES(1, 1, 0), 0, 0); /* x = the first choice's table */
    d->table[1][0] = 0;
    d->table[1][1] = -4 * CASE_UNIT;
    d->table[1][2] = -9 * CASE_UNIT;
    d = demand(c, VALUES(0, 1, 1), 0, 3); /* forbids rank 0 of both together */
    for (int64_t o = 0; o < 3; o++) {
        d->table[1][o] = o * CASE_UNIT;
        d->table[2][o] = (2 - o) * CASE_UNIT;
    }
    expect(c, VALUES(9, 2, 1));
}

/* Aim 3: the fewest moved before the shortest way. */
static void moved_before_distance(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    for (int k = 0; k < 3; k++)
        number(c, 1, CASE_OPEN, 10 * CASE_UNIT);
    demand(c, VALUES(1, 1, 1), 39, 39);
    expect(c, VALUES(10, 10, 19));
}

/* Aim 4: of equals the smallest numbers, the first unknown first, whatever the demands' order. */
static void ties_by_number(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    for (int k = 0; k < 4; k++)
        number(c, 1, 30, 10 * CASE_UNIT);
    c->has_costs = false;
    for (int k = 0; k < 4; k++)
        c->unknowns[k].step = c->unknowns[k].goal = 0;
    demand(c, VALUES(0, 0, 1, -1), 3, 3);
    demand(c, VALUES(-1, 0, 0, 1), 2, 2);
    demand(c, VALUES(1, 1, 0, 0), 12, 12);
    expect(c, VALUES(1, 11, 6, 3));
}

static void far_from_the_goal(void **state)
{
    (void)state;
    struct whole_case *c = new_case(); /* a >= 3 b, b >= 3 c, c >= 3 d, d >= 40 */
    for (int k = 0; k < 4; k++)
        number(c, 1, CASE_OPEN, 5 * CASE_UNIT);
    demand(c, VALUES(1, -3, 0, 0), 0, INT32_MAX);
    demand(c, VALUES(0, 1, -3, 0), 0, INT32_MAX);
    demand(c, VALUES(0, 0, 1, -3), 0, 0);
    demand(c, VALUES(0, 0, 0, 1), 40, INT32_MAX);
    expect(c, VALUES(1080, 360, 120, 40));
}

static void large_coefficients(void **state)
{
    (void)state;
    struct whole_case *c = new_case(); /* 97 a - 89 b = 1: a = 78 + 89 k, b = 85 + 97 k */
    number(c, 1, CASE_OPEN, 1000 * CASE_UNIT);
    number(c, 1, CASE_OPEN, 1000 * CASE_UNIT);
    demand(c, VALUES(97, -89), 1, 1);
    expect(c, VALUES(968, 1055));
}

static void parity_forbids(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    number(c, 1, CASE_OPEN, 60);
    number(c, 1, CASE_OPEN, 60);
    demand(c, VALUES(2, -2), 1, 1);
    expect(c, NULL);
}

/* Each equation by itself, and both in fractions, have solutions. */
static void parity_of_several_forbids(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    for (int k = 0; k < 4; k++)
        number(c, 1, CASE_OPEN, 60);
    demand(c, VALUES(1, 1, -2, 0), 0, 0);
    demand(c, VALUES(1, -1, 0, -2), 1, 1);
    expect(c, NULL);
    c = new_case();
    number(c, 1, CASE_OPEN, 60);
    number(c, 1, CASE_OPEN, 60);
    c->remainder_count = 2;
    c->remainders[0] = (struct case_remainder){.times = {1, 1}, .modulus = 2, .residue = 0};
    c->remainders[1] = (struct case_remainder){.times = {1, -1}, .modulus = 2, .residue = 1};
    expect(c, NULL);
}

static void a_circle_forbids(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    for (int k = 0; k < 3; k++)
        number(c, 1, CASE_OPEN, 60 * CASE_UNIT);
    demand(c, VALUES(1, -1, 0), 1, INT32_MAX);
    demand(c, VALUES(0, 1, -1), 1, 4);
    demand(c, VALUES(-1, 0, 1), 1, INT32_MAX);
    expect(c, NULL);
}

/* Both sure is impossible with both open above: they are as sure as can be, near their goals. */
static void a_circle_of_sureness(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    number(c, 1, CASE_OPEN, 60 * CASE_UNIT);
    number(c, 1, CASE_OPEN, 60 * CASE_UNIT);
    grade_within(demand(c, VALUES(1, -1), -9, 9), 2, 9);
    grade_within(demand(c, VALUES(-1, 1), -9, 9), 2, 9);
    expect(c, VALUES(60, 60));
}

static void remainders(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    number(c, 1, CASE_OPEN, 10 * CASE_UNIT);
    number(c, 1, CASE_OPEN, 10 * CASE_UNIT);
    c->remainder_count = 2;
    c->remainders[0] = (struct case_remainder){.times = {1, 1}, .modulus = 7, .residue = -1};
    c->remainders[1] = (struct case_remainder){.times = {1, 0}, .modulus = 4, .residue = 3};
    expect(c, VALUES(3, 10)); /* one moved, though (11, 9) is nearer */
    c = new_case();
    number(c, 1, CASE_OPEN, 10 * CASE_UNIT);
    number(c, 1, CASE_OPEN, 20 * CASE_UNIT);
    c->remainder_count = 1;
    c->remainders[0] = (struct case_remainder){.times = {1, 1}, .modulus = 300, .residue = 0}; /* comes round late */
    expect(c, VALUES(10, 290));
}

/* ---- input ---- */

static enum nmk_status status_of(struct whole_case *c)
{
    struct nmk_whole_answer answer = {.steps = 77};
    enum nmk_status status = nmk_whole_solve(&answer, &c->problem);
    if (status != NMK_OK)
        assert_true(!answer.feasible && !answer.values && answer.steps == 77);
    nmk_whole_answer_clear(&answer);
    return status;
}

static struct whole_case *sound_case(void)
{
    struct whole_case *c = new_case();
    for (int k = 0; k < 3; k++)
        number(c, 1, CASE_OPEN, 9 * CASE_UNIT + k);
    choice(c, 3, VALUES(1, 0, 2));
    demand(c, VALUES(1, -1, 0, 1), 2, 3)->table[3][1] = CASE_UNIT;
    grade_within(demand(c, VALUES(0, 1, -1, 0), 2, 6), 4, 5);
    case_build(c);
    return c;
}

static void wrong_input(void **state)
{
    (void)state;
    struct whole_case *c = sound_case();
    assert_int_equal(status_of(c), NMK_OK);
    assert_int_equal(nmk_whole_solve(NULL, &c->problem), NMK_INVALID);
    struct nmk_whole_answer answer = {0};
    assert_int_equal(nmk_whole_solve(&answer, NULL), NMK_INVALID);

    c->terms[0][1].unknown = 9;
    assert_int_equal(status_of(c), NMK_INVALID);
    c->terms[0][1].unknown = 0; /* twice */
    assert_int_equal(status_of(c), NMK_INVALID);
    case_build(c);
    c->terms[0][0].table = c->tables[0][0]; /* a table for a number */
    assert_int_equal(status_of(c), NMK_INVALID);
    case_build(c);
    c->nmk_unknowns[3].ranks = NULL;
    assert_int_equal(status_of(c), NMK_INVALID);
    case_build(c);
    c->problem.grade = NULL;
    assert_int_equal(status_of(c), NMK_INVALID);
    case_build(c);
    c->nmk_unknowns[0].low = INT64_MIN;
    assert_int_equal(status_of(c), NMK_TOO_LARGE);
    case_build(c);
    c->problem.cost = NULL; /* allowed: no whole parts */
    assert_int_equal(status_of(c), NMK_OK);
    free(c);
}

/* Everything beyond 2^60 is out of reach, and said to be. */
static void beyond_reach(void **state)
{
    (void)state;
    struct whole_case *c = new_case();
    for (int k = 0; k < 8; k++)
        number(c, 1, CASE_OPEN, CASE_UNIT);
    for (int k = 0; k < 7; k++) {
        int64_t times[8] = {0};
        times[k] = 1;
        times[k + 1] = -1000;
        demand(c, times, 0, INT32_MAX);
    }
    case_build(c);
    assert_int_equal(status_of(c), NMK_OVERFLOW);
    free(c);
}

/* A demand with a long irrational-like coefficient is worked out exactly: 3.14159265358979323846264338328 x. */
static void long_rationals(void **state)
{
    (void)state;
    static const char pi[] = "314159265358979323846264338328/100000000000000000000000000000";
    static const char just[] = "3141592653589793238462643383280/100000000000000000000000000000"; /* 10 times */
    struct whole_case *c = new_case();
    number(c, 1, CASE_OPEN, 4 * CASE_UNIT);
    demand(c, VALUES(1), 0, INT32_MAX);
    case_build(c);
    assert_int_equal(nmk_rat_parse(&c->terms[0][0].times, pi, sizeof pi - 1), NMK_OK);
    assert_int_equal(nmk_rat_parse(&c->nmk_demands[0].least, just, sizeof just - 1), NMK_OK);
    struct nmk_whole_answer answer = {0};
    assert_int_equal(nmk_whole_solve(&answer, &c->problem), NMK_OK);
    assert_int_equal(answer.values[0], 10);
    nmk_whole_answer_clear(&answer);
    struct nmk_rat more = {0}; /* the least bit more */
    static const char bit[] = "1/1000000000000000000000000000000000000000";
    assert_int_equal(nmk_rat_parse(&more, bit, sizeof bit - 1), NMK_OK);
    nmk_rat_add(&c->nmk_demands[0].least, &c->nmk_demands[0].least, &more);
    assert_int_equal(nmk_whole_solve(&answer, &c->problem), NMK_OK);
    assert_int_equal(answer.values[0], 11);
    nmk_whole_answer_clear(&answer);
    nmk_rat_clear(&more);
    nmk_rat_clear(&c->terms[0][0].times);
    nmk_rat_clear(&c->nmk_demands[0].least);
    free(c);
}

/* ---- budgets ---- */

static void every_budget(void **state)
{
    (void)state;
    struct whole_case *c = sound_case();
    struct nmk_whole_answer free_answer = {0}, answer;
    assert_int_equal(nmk_whole_solve(&free_answer, &c->problem), NMK_OK);
    uint64_t needed = 0;
    for (uint64_t most = 1; !needed; most++) {
        c->problem.most_steps = most;
        answer = (struct nmk_whole_answer){.steps = 77};
        enum nmk_status status = nmk_whole_solve(&answer, &c->problem);
        if (status == NMK_OK)
            needed = most;
        else
            assert_true(status == NMK_BUDGET && !answer.values && answer.steps == 77);
    }
    assert_int_equal(needed, free_answer.steps);
    assert_memory_equal(answer.values, free_answer.values, c->unknown_count * sizeof *answer.values);
    nmk_whole_answer_clear(&answer);
    nmk_whole_answer_clear(&free_answer);
    free(c);
}

static bool refuse(void *context, uint64_t steps)
{
    (void)context;
    (void)steps;
    return false;
}

static void stopped(void **state)
{
    (void)state;
    struct whole_case *c = new_case(); /* enough steps for a report */
    for (int k = 0; k < 8; k++)
        number(c, 1, 9, 5 * CASE_UNIT);
    for (int k = 0; k < 8; k++)
        for (int l = 0; l < k && c->demand_count < CASE_DEMANDS; l++) {
            int64_t times[8] = {0};
            times[k] = 1;
            times[l] = 1;
            demand(c, times, 11, 30); /* not kept by the goals */
        }
    case_build(c);
    c->problem.progress = refuse;
    assert_int_equal(status_of(c), NMK_STOPPED);
    free(c);
}

/* ---- memory ---- */

static void out_of_memory(size_t wanted)
{
    (void)wanted;
    _exit(3);
}

/* In a child: 3 if memory ran out at the n-th allocation, 0 if there was enough, else something is wrong. */
static int outcome_with_failure_at(struct whole_case *c, size_t n)
{
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        struct nmk_whole_answer answer = {0};
        nmk_memory_handler_set(out_of_memory);
        nmk_memory_fail_at(n);
        _exit(nmk_whole_solve(&answer, &c->problem) == NMK_OK ? 0 : 1);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void every_allocation_fails(void **state)
{
    (void)state;
    struct whole_case *c = sound_case();
    size_t n = 1;
    int outcome;
    while ((outcome = outcome_with_failure_at(c, n)) == 3)
        n += n < 100 ? 1 : 7;
    assert_int_equal(outcome, 0);
    assert_true(n > 50);
    free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_at_all),
        cmocka_unit_test(alone_at_its_goal),
        cmocka_unit_test(soft_before_sure),
        cmocka_unit_test(sure_before_close),
        cmocka_unit_test(the_weakest_counts_first),
        cmocka_unit_test(choices_by_rank),
        cmocka_unit_test(moved_before_distance),
        cmocka_unit_test(ties_by_number),
        cmocka_unit_test(far_from_the_goal),
        cmocka_unit_test(large_coefficients),
        cmocka_unit_test(parity_forbids),
        cmocka_unit_test(parity_of_several_forbids),
        cmocka_unit_test(a_circle_forbids),
        cmocka_unit_test(a_circle_of_sureness),
        cmocka_unit_test(remainders),
        cmocka_unit_test(wrong_input),
        cmocka_unit_test(beyond_reach),
        cmocka_unit_test(long_rationals),
        cmocka_unit_test(every_budget),
        cmocka_unit_test(stopped),
        cmocka_unit_test(every_allocation_fails),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
