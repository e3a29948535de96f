#include "solve/whole/whole_round.h"

#include <stdlib.h>

#include "base/memory.h"
#include "solve/whole/whole_cost.h"
#include "solve/whole/whole_table.h"
#include "solve/whole/whole_value.h"

static void add_vars(struct nmk_net *net, struct nmk_bench *b, const struct nmk_part *part)
{
    for (size_t k = 0; k < part->unknown_count; k++) {
        const struct nmk_whole_unknown *u = &b->model.problem->unknowns[part->unknowns[k]];
        struct nmk_net_var var = {.cells = (uint32_t)part->cells[k].count, .key = (uint32_t)part->unknowns[k]};
        if (u->is_choice)
            var.ranks = u->ranks + part->cells[k].items[0].low;
        b->local[part->unknowns[k]] = nmk_net_add_var(net, &var);
    }
}

static bool add_tables(struct nmk_net *net, struct nmk_bench *b, const struct nmk_part *part)
{
    for (size_t k = 0; k < part->demand_count; k++)
        if (!nmk_table_add_demand(net, b, part, part->demands[k]))
            return false;
    for (size_t k = 0; k < part->remainder_count; k++)
        if (!nmk_table_add_remainder(net, b, part, part->remainders[k]))
            return false;
    return true;
}

/* ---- the ranks of the grades that occur ---- */

struct ranked {
    const struct nmk_rat *grade;
    uint32_t number;
};

static int compare_ranked(const void *a, const void *b)
{
    return nmk_rat_cmp(((const struct ranked *)a)->grade, ((const struct ranked *)b)->grade);
}

static void rank_grades(struct nmk_bench *b, struct nmk_multiset_pool *pool)
{
    struct ranked *ranked = nmk_memory_new(b->used_count, sizeof *ranked);
    for (size_t k = 0; k < b->used_count; k++)
        ranked[k] = (struct ranked){&b->grades.grades[b->used[k]], b->used[k]};
    qsort(ranked, b->used_count, sizeof *ranked, compare_ranked);
    nmk_multiset_pool_init(pool, b->used_count);
    for (size_t k = 0; k < b->used_count; k++) {
        b->sets[ranked[k].number] = nmk_multiset_single(pool, k);
        b->is_used[ranked[k].number] = false;
    }
    b->used_count = 0;
    nmk_memory_free(ranked);
}

enum nmk_eliminate_outcome nmk_round_solve(uint32_t *cells, struct nmk_bench *b, const struct nmk_part *part)
{
    struct nmk_net net = {.any = b->model.problem->any};
    struct nmk_multiset_pool pool;
    add_vars(&net, b, part);
    bool ok = add_tables(&net, b, part) && nmk_cost_pack(&net, b, part);
    rank_grades(b, &pool);
    net.pool = &pool;
    net.sets = b->sets;
    enum nmk_eliminate_outcome outcome = NMK_ELIMINATE_ENDED;
    uint32_t *found = nmk_memory_new(net.var_count, sizeof *found);
    if (ok)
        outcome = nmk_search(found, &net, &b->work);
    for (size_t k = 0; k < part->unknown_count; k++)
        cells[k] = found[k];
    nmk_memory_free(found);
    nmk_multiset_pool_clear(&pool);
    nmk_net_clear(&net);
    return outcome;
}

/* ---- two combinations compared ---- */

/* A net without choice: each unknown has one cell. */
struct rival {
    const struct nmk_cell *cells;
    struct nmk_net net;
    uint32_t unmet, set;
};

static struct nmk_cells *single_cells(const struct nmk_part *part, const struct nmk_cell *a, const struct nmk_cell *b)
{
    struct nmk_cells *cells = nmk_memory_new(part->unknown_count, sizeof *cells);
    for (size_t k = 0; k < part->unknown_count; k++) {
        cells[k] = (struct nmk_cells){.count = b ? 2 : 1, .goal = part->cells[k].goal, .stride = part->cells[k].stride};
        cells[k].items = nmk_memory_new(2, sizeof *cells[k].items);
        cells[k].items[0] = a[k];
        cells[k].items[1] = b ? b[k] : a[k];
    }
    return cells;
}

static void free_cells(struct nmk_cells *cells, size_t count)
{
    for (size_t k = 0; k < count; k++)
        nmk_cells_clear(&cells[k]);
    nmk_memory_free(cells);
}

static bool make_rival(struct rival *r, struct nmk_bench *b, const struct nmk_part *part)
{
    struct nmk_part alone = *part;
    alone.cells = single_cells(part, r->cells, NULL);
    add_vars(&r->net, b, &alone);
    bool ok = add_tables(&r->net, b, &alone);
    free_cells(alone.cells, part->unknown_count);
    return ok;
}

/* By the problem's own bounds: what was found in one case need not be allowed in another. */
static bool make_rival_of_problem(struct rival *r, struct nmk_bench *b, const struct nmk_part *part)
{
    int64_t *must = nmk_memory_new(2 * part->demand_count, sizeof *must);
    for (size_t k = 0; k < part->demand_count; k++) {
        struct nmk_model_demand *d = &b->model.demands[part->demands[k]];
        must[2 * k] = d->must_least;
        must[2 * k + 1] = d->must_most;
        d->must_least = d->is_hard ? d->least : INT64_MIN;
        d->must_most = d->is_hard ? d->most : INT64_MAX;
    }
    bool ok = make_rival(r, b, part);
    for (size_t k = 0; k < part->demand_count; k++) {
        b->model.demands[part->demands[k]].must_least = must[2 * k];
        b->model.demands[part->demands[k]].must_most = must[2 * k + 1];
    }
    nmk_memory_free(must);
    return ok;
}

/* False where a demand cannot be met within these cells: sums that were cut into parts let more through. */
static bool add_up(struct rival *r, struct nmk_bench *b, struct nmk_multiset_pool *pool)
{
    for (size_t f = 0; f < r->net.factor_count; f++) {
        const struct nmk_net_factor *factor = &r->net.factors[f];
        uint32_t code = factor->map ? *factor->map : *factor->codes; /* of the only combination */
        if (!code--)
            return false;
        r->unmet += code & 1;
        r->set = nmk_multiset_add(pool, r->set, b->sets[code >> 1]);
    }
    return true;
}

static int compare_numbers(struct nmk_bench *b, const struct nmk_part *part, const struct rival *r, bool choices)
{
    for (size_t k = 0; k < part->unknown_count; k++) {
        const struct nmk_whole_unknown *u = &b->model.problem->unknowns[part->unknowns[k]];
        int64_t x = r[0].cells[k].low, y = r[1].cells[k].low;
        if (u->is_choice == choices && x != y)
            return (choices ? u->ranks[x] < u->ranks[y] : x < y) ? -1 : 1;
    }
    return 0;
}

static int compare_costs(struct nmk_bench *b, const struct nmk_part *part, const struct rival *r)
{
    struct nmk_part both = *part;
    struct nmk_net net = {0};
    int order = 0;
    both.cells = single_cells(part, r[0].cells, r[1].cells);
    add_vars(&net, b, &both);
    if (nmk_cost_pack(&net, b, &both)) {
        uint64_t *sums = nmk_memory_new(2 * (size_t)net.limbs, sizeof *sums);
        for (size_t k = 0; k < part->unknown_count; k++) {
            nmk_cost_add(sums, net.vars[k].costs, net.limbs);
            nmk_cost_add(sums + net.limbs, net.vars[k].costs + net.limbs, net.limbs);
        }
        order = nmk_cost_compare(sums, sums + net.limbs, net.limbs);
        nmk_memory_free(sums);
    }
    nmk_net_clear(&net);
    free_cells(both.cells, part->unknown_count);
    return order;
}

int nmk_round_compare(struct nmk_bench *bench, const struct nmk_part *part, const struct nmk_cell *a,
                      const struct nmk_cell *b)
{
    struct rival r[2] = {{.cells = a}, {.cells = b}};
    struct nmk_multiset_pool pool;
    int order = 0;
    bool ok = make_rival(&r[0], bench, part) && make_rival_of_problem(&r[1], bench, part);
    rank_grades(bench, &pool);
    if (ok && !(add_up(&r[0], bench, &pool) && add_up(&r[1], bench, &pool))) {
        order = -1; /* nothing is known of a: its cells have to be split first */
    } else if (ok) {
        order = r[0].unmet != r[1].unmet ? (r[0].unmet < r[1].unmet ? -1 : 1)
                                         : nmk_multiset_compare(&pool, r[0].set, r[1].set);
        if (order == 0)
            order = compare_numbers(bench, part, r, true);
        if (order == 0)
            order = compare_costs(bench, part, r);
        if (order == 0)
            order = compare_numbers(bench, part, r, false);
    }
    nmk_multiset_pool_clear(&pool);
    nmk_net_clear(&r[0].net);
    nmk_net_clear(&r[1].net);
    return order;
}
