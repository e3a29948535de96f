/* The problem is put in whole numbers (whole_model), its intervals are tightened (whole_bounds), and each connected part
 * is solved by itself (whole_part): over cells (whole_cells) as tables (whole_table), by elimination (whole_eliminate,
 * whole_search). */
#include "nearmark/whole.h"

#include <string.h>

#include "base/memory.h"
#include "solve/whole_bounds.h"
#include "solve/whole_grid.h"
#include "solve/whole_part.h"

/* Lists of what belongs to each part: items of part p are items[first[p]] .. items[first[p + 1] - 1], ascending. */
struct grouping {
    size_t *first, *items;
};

static size_t root_of(size_t *up, size_t x)
{
    while (up[x] != x)
        x = up[x] = up[up[x]];
    return x;
}

static void join(size_t *up, size_t a, size_t b)
{
    a = root_of(up, a);
    b = root_of(up, b);
    if (a < b)
        up[b] = a;
    else
        up[a] = b;
}

/* The part of each unknown, numbered by its first unknown. */
static size_t find_parts(size_t *part_of, const struct nmk_whole_problem *p)
{
    for (size_t j = 0; j < p->unknown_count; j++)
        part_of[j] = j;
    for (size_t i = 0; i < p->demand_count; i++)
        for (size_t k = 1; k < p->demands[i].count; k++)
            join(part_of, p->demands[i].terms[0].unknown, p->demands[i].terms[k].unknown);
    for (size_t i = 0; i < p->remainder_count; i++)
        for (size_t k = 1; k < p->remainders[i].count; k++)
            join(part_of, p->remainders[i].unknowns[0], p->remainders[i].unknowns[k]);
    size_t *numbers = nmk_memory_new(p->unknown_count, sizeof *numbers);
    size_t parts = 0;
    for (size_t j = 0; j < p->unknown_count; j++) {
        size_t root = root_of(part_of, j);
        if (root == j)
            numbers[j] = parts++;
        part_of[j] = root;
    }
    for (size_t j = 0; j < p->unknown_count; j++)
        part_of[j] = numbers[part_of[j]];
    nmk_memory_free(numbers);
    return parts;
}

/* owner[i]: the part of item i, or SIZE_MAX: none. */
static void group(struct grouping *out, const size_t *owner, size_t count, size_t parts)
{
    out->first = nmk_memory_new(parts + 2, sizeof *out->first);
    out->items = nmk_memory_new(count, sizeof *out->items);
    for (size_t i = 0; i < count; i++)
        if (owner[i] != SIZE_MAX)
            out->first[owner[i] + 2]++;
    for (size_t q = 2; q < parts + 2; q++)
        out->first[q] += out->first[q - 1];
    for (size_t i = 0; i < count; i++)
        if (owner[i] != SIZE_MAX)
            out->items[out->first[owner[i] + 1]++] = i;
}

static void group_all(struct grouping groups[3], const struct nmk_whole_problem *p, const size_t *part_of, size_t parts)
{
    size_t most = p->demand_count > p->remainder_count ? p->demand_count : p->remainder_count;
    size_t *owner = nmk_memory_new(most, sizeof *owner);
    group(&groups[0], part_of, p->unknown_count, parts);
    for (size_t i = 0; i < p->demand_count; i++)
        owner[i] = p->demands[i].count ? part_of[p->demands[i].terms[0].unknown] : SIZE_MAX;
    group(&groups[1], owner, p->demand_count, parts);
    for (size_t i = 0; i < p->remainder_count; i++)
        owner[i] = p->remainders[i].count ? part_of[p->remainders[i].unknowns[0]] : SIZE_MAX;
    group(&groups[2], owner, p->remainder_count, parts);
    nmk_memory_free(owner);
}

static size_t size_of(const struct grouping *g, size_t part)
{
    return g->first[part + 1] - g->first[part];
}

static bool solve_parts(int64_t *values, struct nmk_bench *b, const struct grouping groups[3], size_t parts)
{
    for (size_t q = 0; q < parts; q++) {
        struct nmk_part part = {.unknowns = groups[0].items + groups[0].first[q],
                                .unknown_count = size_of(&groups[0], q),
                                .demands = groups[1].items + groups[1].first[q],
                                .demand_count = size_of(&groups[1], q),
                                .remainders = groups[2].items + groups[2].first[q],
                                .remainder_count = size_of(&groups[2], q)};
        if (!nmk_part_solve(values, b, &part))
            return false;
    }
    return true;
}

/* Demands without terms are met or not whatever the unknowns are; the bounds have seen to hard ones. */
static bool are_empty_remainders_met(const struct nmk_whole_problem *p)
{
    for (size_t i = 0; i < p->remainder_count; i++)
        if (!p->remainders[i].count && p->remainders[i].residue % p->remainders[i].modulus)
            return false;
    return true;
}

static bool solve(int64_t *values, struct nmk_bench *b)
{
    const struct nmk_whole_problem *p = b->model.problem;
    if (!are_empty_remainders_met(p) || !nmk_bounds_tighten(&b->model, NULL, p->demand_count, &b->work))
        return false;
    struct grouping groups[3];
    size_t *part_of = nmk_memory_new(p->unknown_count, sizeof *part_of);
    size_t parts = find_parts(part_of, p);
    group_all(groups, p, part_of, parts);
    bool solved = solve_parts(values, b, groups, parts);
    for (int k = 0; k < 3; k++) {
        nmk_memory_free(groups[k].first);
        nmk_memory_free(groups[k].items);
    }
    nmk_memory_free(part_of);
    return solved;
}

static enum nmk_status solve_valid(struct nmk_whole_answer *out, const struct nmk_whole_problem *p)
{
    struct nmk_bench b;
    nmk_bench_init(&b, p);
    int64_t *values = nmk_memory_new(p->unknown_count, sizeof *values);
    bool solved = solve(values, &b);
    enum nmk_status status = b.work.status;
    if (status == NMK_OK)
        *out = (struct nmk_whole_answer){.feasible = solved, .values = solved ? values : NULL, .steps = b.work.steps};
    if (status != NMK_OK || !solved)
        nmk_memory_free(values);
    nmk_bench_clear(&b);
    return status;
}

/* Remainders that say something of one unknown are taken out first. */
static enum nmk_status solve_on_grid(struct nmk_whole_answer *out, const struct nmk_whole_problem *p)
{
    struct nmk_grid grid;
    if (!nmk_grid_build(&grid, p)) {
        *out = (struct nmk_whole_answer){.feasible = false};
        return NMK_OK;
    }
    enum nmk_status status = solve_valid(out, &grid.problem);
    if (status == NMK_OK && out->feasible)
        nmk_grid_restore(&grid, out->values);
    nmk_grid_clear(&grid);
    return status;
}

enum nmk_status nmk_whole_solve(struct nmk_whole_answer *out, const struct nmk_whole_problem *p)
{
    enum nmk_status status = out ? nmk_model_is_valid(p) : NMK_INVALID;
    if (status != NMK_OK)
        return status;
    return p->remainder_count ? solve_on_grid(out, p) : solve_valid(out, p);
}

void nmk_whole_answer_clear(struct nmk_whole_answer *answer)
{
    nmk_memory_free(answer->values);
    memset(answer, 0, sizeof *answer);
}
