#include "settle/subset.h"

#include "base/memory.h"

void nmk_subset_init(struct nmk_subset *subset, const struct nmk_draft *draft, const struct nmk_clearances *clearances,
                     const struct nmk_settle_options *options)
{
    struct nmk_marking_plan plan = {.draft = draft, .clearances = clearances, .options = options, .only_feasible = true};
    *subset = (struct nmk_subset){.demand_count = clearances->count, .most_steps = options->most_steps};
    nmk_marking_new(&subset->marking, &plan);
    subset->taken = nmk_memory_new(nmk_marking_problem(subset->marking)->demand_count, sizeof *subset->taken);
}

void nmk_subset_clear(struct nmk_subset *subset)
{
    nmk_marking_free(subset->marking);
    nmk_memory_free(subset->taken);
    *subset = (struct nmk_subset){0};
}

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

enum nmk_status nmk_subset_try(bool *feasible, struct nmk_subset *subset, const bool *in, size_t changed,
                               const struct nmk_bounds *changed_to, bool *met, struct nmk_rat *v)
{
    struct nmk_whole_problem problem = *nmk_marking_problem(subset->marking);
    struct nmk_whole_answer answer = {0};
    const struct nmk_whole_demand *all = problem.demands;
    size_t count = 0;
    for (size_t i = 0; i < problem.demand_count; i++) {
        if (i < subset->demand_count && !in[i])
            continue;
        subset->taken[count] = all[i]; /* borrows what it points to */
        if (i == changed) {
            struct nmk_whole_demand *d = &subset->taken[count];
            d->has_least = changed_to->has_low;
            d->has_most = changed_to->has_high;
            d->least = changed_to->low.metric;
            d->most = changed_to->high.metric;
        }
        count++;
    }
    problem.demands = subset->taken;
    problem.demand_count = count;
    enum nmk_status status = nmk_whole_solve(&answer, &problem);
    if (status == NMK_OK) {
        *feasible = answer.feasible;
        for (size_t i = 0; answer.feasible && met && i < subset->demand_count; i++)
            met[i] = is_met(&all[i], answer.values);
        if (answer.feasible && v)
            value_of(v, &all[changed], answer.values);
    }
    nmk_whole_answer_clear(&answer);
    return status;
}

void nmk_subset_grid(struct nmk_rat *out, const struct nmk_subset *subset, size_t demand)
{
    const struct nmk_whole_problem *problem = nmk_marking_problem(subset->marking);
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
