#include "solve/whole_part.h"

#include <stdlib.h>

#include "base/memory.h"
#include "solve/whole_bounds.h"
#include "solve/whole_cost.h"
#include "solve/whole_hull.h"
#include "solve/whole_search.h"
#include "solve/whole_table.h"

enum {
    LONG_DEMAND = 64, /* longer ones are not asked what they leave of a wide cell */
    ROUNDS_BEFORE_HULL = 4
};

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

/* The best cells, over the cells as they are now. */
static enum nmk_eliminate_outcome solve_once(uint32_t *cells, struct nmk_bench *b, const struct nmk_part *part)
{
    struct nmk_net net = {0};
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

/* ---- splitting the wide cells of a solution ---- */

static void set_box(struct nmk_bench *b, const struct nmk_part *part, const uint32_t *cells)
{
    for (size_t k = 0; k < part->unknown_count; k++) {
        b->box_low[part->unknowns[k]] = part->cells[k].items[cells[k]].low;
        b->box_high[part->unknowns[k]] = part->cells[k].items[cells[k]].high;
    }
}

static size_t term_of(const struct nmk_model *m, size_t demand, size_t unknown)
{
    size_t k = 0;
    while (m->terms[m->demands[demand].first + k].unknown != unknown)
        k++;
    return k;
}

/* What the others' cells leave of the wide cell of an unknown. */
static void narrow(struct nmk_bench *b, size_t unknown, int64_t *low, int64_t *high)
{
    const struct nmk_model *m = &b->model;
    *low = b->box_low[unknown];
    *high = b->box_high[unknown];
    for (size_t u = m->use_first[unknown]; u < m->use_first[unknown + 1]; u++) {
        int64_t l, h;
        if (m->demands[m->uses[u]].count > LONG_DEMAND)
            continue;
        nmk_bounds_of_term(&l, &h, m, m->uses[u], term_of(m, m->uses[u], unknown), b->box_low, b->box_high);
        *low = l > *low ? l : *low;
        *high = h < *high ? h : *high;
    }
}

/* False if a cell lies too far out. Sets *split if any cell was wide. */
static bool split_wide(struct nmk_bench *b, struct nmk_part *part, const uint32_t *cells, bool *split)
{
    *split = false;
    set_box(b, part, cells);
    for (size_t k = 0; k < part->unknown_count; k++) {
        if (nmk_cell_is_single(part->cells[k].items[cells[k]]))
            continue;
        int64_t low, high;
        narrow(b, part->unknowns[k], &low, &high);
        *split = true;
        if (!nmk_cells_split(&part->cells[k], cells[k], low, high))
            return nmk_work_fail(&b->work, NMK_OVERFLOW);
    }
    return true;
}

static void start_cells(struct nmk_bench *b, struct nmk_part *part)
{
    for (size_t k = 0; k < part->unknown_count; k++) {
        nmk_cells_clear(&part->cells[k]);
        nmk_cells_start(&part->cells[k], &b->model, part->unknowns[k]);
    }
}

/* After a few rounds the open unknowns are asked whether all demands together limit them. */
static bool refine(uint32_t *cells, struct nmk_bench *b, struct nmk_part *part)
{
    size_t round = 0;
    for (bool split = true; split; round++) {
        if (round == ROUNDS_BEFORE_HULL) {
            enum nmk_hull_outcome outcome = nmk_hull_bound(b, part);
            if (outcome == NMK_HULL_EMPTY || (outcome == NMK_HULL_TIGHTER && !nmk_bounds_tighten(&b->model, &b->work)))
                return false;
            if (outcome == NMK_HULL_TIGHTER)
                start_cells(b, part);
        }
        if (solve_once(cells, b, part) != NMK_ELIMINATE_SOLVED || !split_wide(b, part, cells, &split))
            return false;
    }
    return true;
}

bool nmk_part_solve(int64_t *values, struct nmk_bench *b, struct nmk_part *part)
{
    part->cells = nmk_memory_new(part->unknown_count, sizeof *part->cells);
    uint32_t *cells = nmk_memory_new(part->unknown_count, sizeof *cells);
    start_cells(b, part);
    bool solved = refine(cells, b, part);
    for (size_t k = 0; solved && k < part->unknown_count; k++)
        values[part->unknowns[k]] = part->cells[k].items[cells[k]].low;
    for (size_t k = 0; k < part->unknown_count; k++)
        nmk_cells_clear(&part->cells[k]);
    nmk_memory_free(part->cells);
    nmk_memory_free(cells);
    part->cells = NULL;
    return solved;
}
