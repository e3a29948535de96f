#include "settle/subset.h"

#include "base/memory.h"

void nmk_subset_init(struct nmk_subset *subset, const struct nmk_whole_problem *problem, size_t count)
{
    *subset = (struct nmk_subset){.problem = problem, .count = count};
    subset->taken = nmk_memory_new(problem->demand_count, sizeof *subset->taken);
}

void nmk_subset_clear(struct nmk_subset *subset)
{
    nmk_memory_free(subset->taken);
    *subset = (struct nmk_subset){0};
}

/* ---- one question ---- */

static void value_of(struct nmk_rat *out, const struct nmk_whole_demand *d, const int64_t *values)
{
    struct nmk_rat x = {0}, sum = {0};
    nmk_rat_set(&sum, &d->constant);
    for (size_t i = 0; i < d->count; i++) {
        const struct nmk_whole_term *term = &d->terms[i];
        if (term->table) {
            nmk_rat_add(&sum, &sum, &term->table[values[term->unknown]]);
            continue;
        }
        nmk_rat_set_int(&x, values[term->unknown]);
        nmk_rat_addmul(&sum, &x, &term->times);
    }
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&x);
    nmk_rat_clear(&sum);
}

static bool is_met(const struct nmk_whole_demand *d, const int64_t *values)
{
    struct nmk_rat v = {0};
    value_of(&v, d, values);
    bool met = (!d->has_least || nmk_rat_cmp(&d->least, &v) <= 0) && (!d->has_most || nmk_rat_cmp(&v, &d->most) <= 0);
    nmk_rat_clear(&v);
    return met;
}

/* A demand taken with other bounds than its own; NULL: open. */
struct bounded {
    size_t demand;
    const struct nmk_rat *least, *most;
};

static struct nmk_whole_demand with_bounds(struct nmk_whole_demand d, const struct bounded *b)
{
    d.has_least = b->least != NULL;
    d.has_most = b->most != NULL;
    d.least = b->least ? *b->least : (struct nmk_rat){0};
    d.most = b->most ? *b->most : (struct nmk_rat){0};
    return d;
}

static enum nmk_status ask(struct nmk_whole_answer *answer, struct nmk_subset *subset, const bool *in, const struct bounded *b)
{
    struct nmk_whole_problem problem = *subset->problem;
    size_t count = 0;
    for (size_t i = 0; i < problem.demand_count; i++) {
        if (b && i == b->demand)
            subset->taken[count++] = with_bounds(problem.demands[i], b); /* borrows what it points to */
        else if (i >= subset->count || in[i])
            subset->taken[count++] = problem.demands[i];
    }
    problem.demands = subset->taken;
    problem.demand_count = count;
    return nmk_whole_solve(answer, &problem);
}

enum nmk_status nmk_subset_try(bool *feasible, struct nmk_subset *subset, const bool *in, bool *met)
{
    struct nmk_whole_answer answer = {0};
    enum nmk_status status = ask(&answer, subset, in, NULL);
    if (status == NMK_OK)
        *feasible = answer.feasible;
    for (size_t i = 0; status == NMK_OK && answer.feasible && met && i < subset->count; i++)
        met[i] = is_met(&subset->problem->demands[i], answer.values);
    nmk_whole_answer_clear(&answer);
    return status;
}

/* ---- the smallest change of a bound ---- */

/* The grid of a demand's value: all its values differ by whole multiples of it. */
static void grid_of(struct nmk_rat *out, const struct nmk_subset *subset, size_t demand)
{
    const struct nmk_whole_problem *problem = subset->problem;
    const struct nmk_whole_demand *d = &problem->demands[demand];
    struct nmk_rat grid = {0}, between = {0};
    for (size_t i = 0; i < d->count; i++) {
        const struct nmk_whole_term *term = &d->terms[i];
        if (!term->table)
            nmk_rat_gcd(&grid, &grid, &term->times);
        for (int64_t k = 1; term->table && k <= problem->unknowns[term->unknown].high; k++) {
            nmk_rat_sub(&between, &term->table[k], &term->table[0]);
            nmk_rat_gcd(&grid, &grid, &between);
        }
    }
    nmk_rat_swap(out, &grid);
    nmk_rat_clear(&grid);
    nmk_rat_clear(&between);
}

struct gainer {
    struct nmk_subset *subset;
    const bool *in;
    const struct nmk_whole_demand *d;
    size_t demand;
    bool high; /* which bound is moved */
};

static const struct nmk_rat *bound_of(const struct gainer *g)
{
    return g->high ? &g->d->most : &g->d->least;
}

/* Tries the moved bound at `at` (NULL: open); *v is the value reached. */
static enum nmk_status try_bound(bool *feasible, struct nmk_rat *v, const struct gainer *g, const struct nmk_rat *at)
{
    struct nmk_whole_answer answer = {0};
    struct bounded b = {g->demand, g->d->has_least ? &g->d->least : NULL, g->d->has_most ? &g->d->most : NULL};
    if (g->high)
        b.most = at;
    else
        b.least = at;
    enum nmk_status status = ask(&answer, g->subset, g->in, &b);
    if (status == NMK_OK)
        *feasible = answer.feasible;
    if (status == NMK_OK && answer.feasible)
        value_of(v, g->d, answer.values);
    nmk_whole_answer_clear(&answer);
    return status;
}

/* best = best +- k * grid, towards the bound. */
static void towards(struct nmk_rat *out, const struct nmk_rat *best, const struct nmk_rat *grid, int64_t k, bool high)
{
    struct nmk_rat steps = {0};
    nmk_rat_set_int(&steps, high ? -k : k);
    nmk_rat_mul(&steps, &steps, grid);
    nmk_rat_add(out, best, &steps);
    nmk_rat_clear(&steps);
}

/* How many grid steps lie between the clearance found and the bound: the search's upper end. */
static int64_t steps_between(const struct nmk_rat *best, const struct nmk_rat *bound, const struct nmk_rat *grid)
{
    struct nmk_rat between = {0};
    int64_t steps = 0;
    nmk_rat_sub(&between, bound, best);
    nmk_rat_abs(&between, &between);
    if (nmk_rat_div(&between, &between, grid) == NMK_OK) {
        nmk_rat_floor(&between, &between);
        if (nmk_rat_get_int(&steps, &between) != NMK_OK)
            steps = INT64_MAX / 2;
    }
    nmk_rat_clear(&between);
    return steps;
}

/* The value nearest to the bound that can be reached once it is opened: from one that is reached, by halving the whole
 * number of grid steps that may still be gained. *possible: false if opening does not help. */
static enum nmk_status reach_nearest(struct nmk_rat *best, bool *possible, const struct gainer *g)
{
    struct nmk_rat grid = {0}, at = {0}, v = {0};
    enum nmk_status status = try_bound(possible, best, g, NULL);
    grid_of(&grid, g->subset, g->demand);
    int64_t gain = status == NMK_OK && *possible ? steps_between(best, bound_of(g), &grid) : 0;
    while (gain > 0 && status == NMK_OK) {
        int64_t half = gain / 2 + gain % 2;
        bool feasible = false;
        towards(&at, best, &grid, half, g->high);
        status = try_bound(&feasible, &v, g, &at);
        if (status == NMK_OK && feasible)
            nmk_rat_set(best, &v);
        if (!feasible)
            gain = half - 1;
        else
            gain =
                steps_between(best, bound_of(g), &grid) < gain - half ? steps_between(best, bound_of(g), &grid) : gain - half;
    }
    nmk_rat_clear(&grid);
    nmk_rat_clear(&at);
    nmk_rat_clear(&v);
    return status;
}

enum nmk_status nmk_subset_change(struct nmk_change *out, struct nmk_subset *subset, const bool *in, size_t demand)
{
    struct gainer g = {.subset = subset, .in = in, .d = &subset->problem->demands[demand], .demand = demand};
    struct nmk_rat best = {0};
    enum nmk_status status = NMK_OK;
    out->helps = false;
    for (int high = 0; high <= 1 && status == NMK_OK; high++) {
        bool possible = false;
        g.high = high;
        if (!(high ? g.d->has_most : g.d->has_least))
            continue;
        status = reach_nearest(&best, &possible, &g);
        if (status != NMK_OK || !possible)
            continue;
        nmk_rat_sub(&best, &best, bound_of(&g));
        nmk_rat_abs(&best, &best);
        if (out->helps && nmk_rat_cmp(&best, &out->amount) >= 0)
            continue;
        nmk_rat_set(&out->amount, &best);
        out->high = high;
        out->helps = true;
    }
    nmk_rat_clear(&best);
    return status;
}
