/* The best that a demand can have by itself, against asking for every grade. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "solve/whole/whole_best.h"
#include "unit/exact/biased.h"

enum { LEAST = -40, MOST = 40, PLACES = MOST - LEAST + 1 };

struct asked {
    int grade[PLACES]; /* in tenths, by the place */
    int64_t step, unit, offset; /* the unknown comes in steps; an equation leaves it every unit-th place, one of them `offset` */
    struct nmk_whole_demand demands[2];
    struct nmk_whole_term terms[2], equation[2];
    struct nmk_whole_unknown unknowns[3];
    struct nmk_whole_problem problem;
};

static void no_cost(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    (void)context;
    (void)unknown;
    (void)x;
    parts[0] = parts[1] = parts[2] = 0;
}

static void grade(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    const struct asked *a = context;
    int64_t n;
    assert_int_equal(demand, 0);
    assert_int_equal(nmk_rat_get_int(&n, v), NMK_OK);
    assert_in_range(n - LEAST, 0, PLACES - 1);
    (void)nmk_rat_set_frac(out, a->grade[n - LEAST], 10);
}

static int64_t between(int64_t low, int64_t high)
{
    return low + (int64_t)biased_below((uint64_t)(high - low) + 1);
}

/* Rises up to one sure end, falls from the other; between them it is 1, or, where they are crossed, anything. */
static void draw_grades(struct asked *a, int64_t least, int64_t most)
{
    int64_t low = least < most ? least : most, high = least < most ? most : least;
    for (int64_t n = low; n <= high; n++)
        a->grade[n - LEAST] = least <= most ? 10 : (int)between(0, 10);
    for (int64_t n = low - 1; n >= LEAST; n--)
        a->grade[n - LEAST] = (int)between(biased_below(2) ? a->grade[n + 1 - LEAST] : 0, a->grade[n + 1 - LEAST]);
    for (int64_t n = high + 1; n <= MOST; n++)
        a->grade[n - LEAST] = (int)between(biased_below(2) ? a->grade[n - 1 - LEAST] : 0, a->grade[n - 1 - LEAST]);
}

/* times * (step * x) - times * unit * y = times * offset, or none. Where the demand has one more term, that tells nothing. */
static void draw_equation(struct asked *a)
{
    int64_t times = between(1, 3) * (biased_below(2) ? 1 : -1);
    a->unit = a->step;
    if (biased_below(2))
        return;
    a->unit = a->step * between(2, 4);
    a->offset = a->step * between(-3, 3);
    a->equation[0].times = (struct nmk_rat){.num = times * a->step};
    a->equation[1] = (struct nmk_whole_term){.unknown = 1, .times = {.num = -times * a->unit}};
    a->demands[1] = (struct nmk_whole_demand){.count = 2, .terms = a->equation, .has_least = true, .has_most = true};
    a->demands[1].least = a->demands[1].most = (struct nmk_rat){.num = times * a->offset};
    a->problem.demand_count = 2;
    if (biased_below(3) == 0) {
        a->demands[0].count = 2;
        a->unit = a->step;
        a->offset = 0;
    }
}

static void draw(struct asked *a)
{
    int64_t sure[2] = {between(-30, 30), 0}, bounds[2] = {between(-35, 35), 0};
    sure[1] = between(sure[0] - 12, sure[0] + 6);
    sure[1] = sure[1] < -38 ? -38 : sure[1];
    bounds[1] = between(bounds[0], 38);
    memset(a, 0, sizeof *a);
    a->step = between(1, 3);
    draw_grades(a, sure[0], sure[1]);
    for (size_t k = 0; k < 3; k++)
        a->unknowns[k] = (struct nmk_whole_unknown){.low = 1, .high = 0, .step = {.num = 1}, .period = 1};
    a->terms[0].times = a->terms[1].times = (struct nmk_rat){.num = a->step};
    a->terms[1].unknown = 2;
    a->demands[0] = (struct nmk_whole_demand){.count = 1, .terms = a->terms, .has_least = true, .has_most = true, .graded = true,
                                          .soft = biased_below(2), .has_sure_least = true, .has_sure_most = true};
    a->demands[0].least.num = bounds[0];
    a->demands[0].most.num = bounds[1];
    a->demands[0].sure_least.num = sure[0];
    a->demands[0].sure_most.num = sure[1];
    a->problem = (struct nmk_whole_problem){.unknown_count = 3, .demand_count = 1, .unknowns = a->unknowns,
                                            .demands = a->demands, .cost = no_cost, .grade = grade, .context = a};
    draw_equation(a);
}

/* The first and the last place with the best grade; false if others lie between them, or there are none. */
static bool find_best(int64_t *first, int64_t *last, const struct asked *a)
{
    int best = -1;
    bool together = false;
    for (int64_t n = a->demands[0].least.num; n <= a->demands[0].most.num; n++) {
        if ((n - a->offset) % a->unit || a->grade[n - LEAST] < best)
            continue;
        bool better = a->grade[n - LEAST] > best;
        together = better || (together && *last == n - a->unit);
        *first = better ? n : *first;
        *last = n;
        best = a->grade[n - LEAST];
    }
    return together;
}

static void test_windows(void **state)
{
    (void)state;
    unsigned long cases = biased_cases(20000), known = 0, apart = 0;
    for (unsigned long i = 0; i < cases; i++) {
        struct asked a;
        struct nmk_bench bench;
        int64_t least, most, first = 1, last = 0;
        draw(&a);
        bool together = find_best(&first, &last, &a);
        nmk_bench_init(&bench, &a.problem);
        if (nmk_best_window(&least, &most, &bench, 0) && least <= most) {
            /* a sum is as many numbers as the demand's scale says */
            int64_t scale = bench.model.demands[0].scale;
            biased_check(together && least == first * scale && most == last * scale, i, "the best places", NULL, NULL);
            known++;
        } else {
            apart += first <= last && !together;
        }
        nmk_bench_clear(&bench);
    }
    biased_share("are known", known, cases, 0.5, 1);
    biased_share("have others between the best", apart, cases, 0.005, 1);
}

static void falling(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    int64_t n, best = demand ? 4 : 1;
    (void)context;
    assert_int_equal(nmk_rat_get_int(&n, v), NMK_OK);
    (void)nmk_rat_set_frac(out, 20 - (n > best ? n - best : best - n), 20);
}

/* x - 2 y is best at 1, x at 4: by themselves, though not together. */
static void test_each_by_itself(void **state)
{
    (void)state;
    struct nmk_whole_unknown unknowns[2];
    struct nmk_whole_term terms[] = {{.times = {.num = 1}}, {.unknown = 1, .times = {.num = -2}}};
    struct nmk_whole_demand demands[2];
    for (size_t k = 0; k < 2; k++) {
        unknowns[k] = (struct nmk_whole_unknown){.low = 1, .high = 0, .step = {.num = 1}, .period = 1};
        demands[k] = (struct nmk_whole_demand){.count = 2 - k, .terms = terms, .has_least = true, .has_most = true, .graded = true,
                                               .has_sure_least = true, .has_sure_most = true};
        demands[k].least.num = -9;
        demands[k].most.num = 9;
        demands[k].sure_least.num = demands[k].sure_most.num = k ? 4 : 1;
    }
    struct nmk_whole_problem problem = {.unknown_count = 2, .demand_count = 2, .unknowns = unknowns, .demands = demands,
                                        .cost = no_cost, .grade = falling};
    size_t numbers[] = {0, 1};
    struct nmk_part part = {.unknowns = numbers, .demands = numbers, .unknown_count = 2, .demand_count = 2};
    struct nmk_model_demand *kept;
    struct nmk_bench bench;
    nmk_bench_init(&bench, &problem);
    assert_true(nmk_best_narrow(&kept, &bench, &part));
    for (size_t k = 0; k < 2; k++) {
        const struct nmk_model_demand *d = &bench.model.demands[k];
        assert_int_equal(d->must_least, (k ? 4 : 1) * d->scale);
        assert_int_equal(d->must_most, d->must_least);
    }
    nmk_best_restore(kept, &bench, &part);
    assert_true(bench.model.demands[0].is_graded && bench.model.demands[1].is_graded);
    nmk_bench_clear(&bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_windows), cmocka_unit_test(test_each_by_itself)};
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
