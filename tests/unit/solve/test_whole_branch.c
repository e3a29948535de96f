/* Branching on unmet demands, by itself, against trying everything: what it solves is the best, what it calls impossible
 * is, and it gives up only where not every demand can be met and sure. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "solve/whole/whole_branch.h"
#include "unit/exact/biased.h"
#include "unit/solve/wholecase.h"

enum { CASES = 4000, REACH = 40 };

#ifdef NMK_STRESS
static const bool has_patience = false; /* it gives up after a few looks */
#else
static const bool has_patience = true;
#endif

static int64_t between(int64_t low, int64_t high)
{
    return low + (int64_t)biased_below((uint64_t)(high - low + 1));
}

static bool one_in(uint64_t n)
{
    return biased_below(n) == 0;
}

/* ---- cases as designs make them: small numbers, a few terms a demand ---- */

static void draw_unknown(struct case_unknown *u, bool open)
{
    u->low = between(1, 4);
    u->high = open && one_in(2) ? CASE_OPEN : u->low + between(0, 8);
    u->step = between(1, 3) * 4;
    u->goal = u->low * u->step + between(0, 8 * u->step);
    u->within = between(1, 2);
}

static void draw_demand(struct case_demand *d, const struct whole_case *c, const int64_t *hidden)
{
    int64_t n = 0;
    memset(d, 0, sizeof *d);
    for (size_t k = 0; k < 1 + biased_below(3); k++) {
        size_t j = biased_below(c->unknown_count);
        d->in_demand[j] = true;
        d->times[j] = 4 * between(-3, 3);
    }
    for (size_t j = 0; j < c->unknown_count; j++)
        n += d->times[j] * hidden[j];
    d->constant = between(-8, 8);
    n += d->constant + (one_in(8) ? between(-40, 40) : 0);
    d->least = one_in(5) ? INT32_MIN : n - between(0, 16);
    d->most = one_in(5) ? INT32_MAX : n + between(0, 16);
    d->soft = one_in(6);
    d->graded = one_in(2);
    d->slope = between(1, 30);
    d->still = one_in(2) ? between(0, 16) : 0;
    d->sure_least = d->least == INT32_MIN ? INT32_MIN : d->least + between(0, 8);
    d->sure_most = d->most == INT32_MAX ? INT32_MAX : d->most - between(0, 8);
}

static void draw(struct whole_case *c, bool open)
{
    int64_t hidden[CASE_UNKNOWNS];
    memset(c, 0, sizeof *c);
    c->has_period = true;
    c->has_costs = !one_in(4);
    c->unknown_count = 1 + biased_below(4);
    c->demand_count = 1 + biased_below(7);
    for (size_t j = 0; j < c->unknown_count; j++) {
        draw_unknown(&c->unknowns[j], open);
        hidden[j] = between(c->unknowns[j].low, c->unknowns[j].high == CASE_OPEN ? 12 : c->unknowns[j].high);
    }
    for (size_t i = 0; i < c->demand_count; i++)
        draw_demand(&c->demands[i], c, hidden);
    case_build(c);
}

/* ---- what it says ---- */

static enum nmk_branch_outcome ask(int64_t *values, const struct whole_case *c)
{
    static const size_t all[] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11};
    const struct nmk_part part = {
        .unknown_count = c->unknown_count, .demand_count = c->demand_count, .unknowns = all, .demands = all};
    struct nmk_bench bench;
    nmk_bench_init(&bench, &c->problem);
    enum nmk_branch_outcome outcome = nmk_branch_solve(values, &bench, &part);
    nmk_bench_clear(&bench);
    return outcome;
}

static bool is_sure(const struct case_demand *d, const struct whole_case *c, const int64_t *x)
{
    int64_t n = d->constant;
    for (size_t j = 0; j < c->unknown_count; j++)
        n += d->in_demand[j] ? d->times[j] * x[j] : 0;
    bool met = (d->least == INT32_MIN || n >= d->least) && (d->most == INT32_MAX || n <= d->most);
    if (!met || !d->graded)
        return met;
    if (d->sure_least > d->sure_most) /* then nothing is known to be sure */
        return false;
    return (d->sure_least == INT32_MIN || n >= d->sure_least - d->still) &&
           (d->sure_most == INT32_MAX || n <= d->sure_most + d->still);
}

static bool are_all_sure(const struct whole_case *c, const int64_t *x)
{
    for (size_t i = 0; i < c->demand_count; i++)
        if (!is_sure(&c->demands[i], c, x))
            return false;
    return true;
}

static void fail_at(const char *what, unsigned long number, const struct whole_case *c)
{
    case_print(c);
    biased_check(false, number, what, NULL, NULL);
}

static void try_cases(bool open)
{
    struct whole_case *c = malloc(sizeof *c);
    int64_t best[CASE_UNKNOWNS], found[CASE_UNKNOWNS];
    unsigned long cases = biased_cases(CASES), count[3] = {0}, impossible = 0;
    assert_non_null(c);
    for (unsigned long n = 0; n < cases; n++) {
        draw(c, open);
        bool any = case_best(best, c, open ? REACH / (int64_t)c->unknown_count : REACH);
        enum nmk_branch_outcome outcome = ask(found, c);
        count[outcome]++;
        impossible += !any;
        if (outcome == NMK_BRANCH_SOLVED) {
            if (!case_is_allowed(c, found))
                fail_at("allowed", n, c);
            if (any && (open ? case_compare(c, found, best) > 0 : memcmp(found, best, c->unknown_count * sizeof *best) != 0))
                fail_at("best", n, c);
            if (!any && !open)
                fail_at("nothing is allowed", n, c);
        }
        if (outcome == NMK_BRANCH_IMPOSSIBLE && any)
            fail_at("impossible", n, c);
        if (has_patience && outcome == NMK_BRANCH_UNSUITED && !open && any && are_all_sure(c, best)) /* open, it may take too long */
            fail_at("given up", n, c);
    }
    printf("# %lu are impossible\n", impossible);
    if (has_patience) {
        biased_share("solved", count[NMK_BRANCH_SOLVED], cases, 0.25, 1);
        biased_share("told to be impossible", count[NMK_BRANCH_IMPOSSIBLE], cases, 0.005, 1);
        biased_share("given up", count[NMK_BRANCH_UNSUITED], cases, 0.05, 1);
    }
    free(c);
}

static void bounded(void **state)
{
    (void)state;
    try_cases(false);
}

static void open_above(void **state)
{
    (void)state;
    try_cases(true);
}

/* Larger ones, against the tables, that are used where the solver does not know that part 1 is the same for all: with ties,
 * since all steps are the same and goals are on marks, and many demands on each unknown; or long sums off the marks. */
static void draw_large(struct whole_case *c, bool off_marks)
{
    int64_t hidden[CASE_UNKNOWNS];
    memset(c, 0, sizeof *c);
    c->has_costs = !one_in(3);
    c->unknown_count = off_marks ? 4 + biased_below(2) : 5 + biased_below(4);
    c->demand_count = off_marks ? 1 + biased_below(2) : 4 + biased_below(9);
    for (size_t j = 0; j < c->unknown_count; j++) {
        c->unknowns[j] = (struct case_unknown){.low = 1, .high = 30, .step = 12, .goal = 12 * between(6, 20), .within = 0};
        c->unknowns[j].goal += off_marks ? between(-5, 5) : 0;
        if (off_marks) {
            c->unknowns[j].low = c->unknowns[j].goal / 12 - between(1, 4);
            c->unknowns[j].high = c->unknowns[j].goal / 12 + between(1, 4);
        }
        hidden[j] = off_marks ? between(c->unknowns[j].low, c->unknowns[j].high) : c->unknowns[j].goal / 12 + between(-3, 3);
    }
    for (size_t i = 0; i < c->demand_count; i++) {
        struct case_demand *d = &c->demands[i];
        int64_t n = 0;
        for (size_t k = 0; k < (off_marks ? 4 : 2) + biased_below(2); k++) {
            size_t j = biased_below(c->unknown_count);
            n += d->in_demand[j] ? 0 : (d->times[j] = one_in(2) ? 12 : -12) * hidden[j];
            d->in_demand[j] = true;
        }
        d->sure_least = INT32_MIN;
        d->sure_most = INT32_MAX;
        d->least = n - 12 * between(0, 2);
        d->most = n + 12 * between(0, 2);
        d->slope = 1;
    }
    case_build(c);
}

static void try_large(bool off_marks)
{
    struct whole_case *c = malloc(sizeof *c);
    int64_t found[CASE_UNKNOWNS];
    unsigned long cases = biased_cases(1500), solved = 0;
    assert_non_null(c);
    for (unsigned long n = 0; n < cases; n++) {
        struct nmk_whole_answer by_tables = {0};
        draw_large(c, off_marks);
        assert_int_equal(nmk_whole_solve(&by_tables, &c->problem), NMK_OK);
        assert_true(by_tables.feasible);
        c->has_period = true;
        case_build(c);
        if (ask(found, c) == NMK_BRANCH_SOLVED) {
            solved++;
            if (memcmp(found, by_tables.values, c->unknown_count * sizeof *found) != 0)
                fail_at("the same as by tables", n, c);
        }
        nmk_whole_answer_clear(&by_tables);
    }
    if (has_patience)
        biased_share("solved", solved, cases, 0.995, 1); /* some have very many ties */
    free(c);
}

static void large(void **state)
{
    (void)state;
    try_large(false);
}

static void long_sums(void **state)
{
    (void)state;
    try_large(true);
}

/* Prices that fall again further off are none for this way. */
static void bumpy(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    (void)context;
    (void)unknown;
    parts[0] = parts[1] = 0;
    parts[2] = x == 4;
}

static void bumpy_prices(void **state)
{
    struct whole_case *c = calloc(1, sizeof *c);
    int64_t found[1];
    (void)state;
    assert_non_null(c);
    c->has_period = true;
    c->unknown_count = 1;
    c->unknowns[0] = (struct case_unknown){.low = 1, .high = 9, .step = 12, .goal = 36, .within = 3};
    case_build(c);
    assert_int_equal(ask(found, c), NMK_BRANCH_SOLVED);
    assert_int_equal(found[0], 3);
    c->problem.cost = bumpy;
    assert_int_equal(ask(found, c), NMK_BRANCH_UNSUITED);
    free(c);
}

/* Where nothing is asked of them, all stand at their cheapest numbers, the smaller of a tie. */
static void no_demands(void **state)
{
    struct whole_case *c = calloc(1, sizeof *c);
    int64_t found[2];
    (void)state;
    assert_non_null(c);
    c->has_period = c->has_costs = true;
    c->unknown_count = 2;
    c->unknowns[0] = (struct case_unknown){.low = 1, .high = 9, .step = 12, .goal = 42, .within = 1};
    c->unknowns[1] = (struct case_unknown){.low = 5, .high = CASE_OPEN, .step = 12, .goal = 36, .within = 1};
    case_build(c);
    assert_int_equal(ask(found, c), NMK_BRANCH_SOLVED);
    assert_int_equal(found[0], 4); /* 3.5, and 4 is the nearest mark */
    assert_int_equal(found[1], 5);
    free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bounded),
        cmocka_unit_test(open_above),
        cmocka_unit_test(large),
        cmocka_unit_test(long_sums),
        cmocka_unit_test(bumpy_prices),
        cmocka_unit_test(no_demands),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
