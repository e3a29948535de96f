/* The problem is put in whole numbers (whole_model). Demands are taken up as they are needed (whole_relax), and what they
 * join is solved by itself (whole_part): in tightened intervals (whole_bounds), over cells (whole_cells) as tables
 * (whole_table), by elimination (whole_eliminate, whole_search). */
#include "nearmark/whole.h"

#include <string.h>

#include "base/memory.h"
#include "solve/whole/whole_grid.h"
#include "solve/whole/whole_relax.h"

/* What has no terms is met or not whatever the unknowns are. */
static bool are_empty_ones_met(const struct nmk_model *m)
{
    const struct nmk_whole_problem *p = m->problem;
    for (size_t i = 0; i < p->remainder_count; i++)
        if (!p->remainders[i].count && p->remainders[i].residue % p->remainders[i].modulus)
            return false;
    for (size_t i = 0; i < p->demand_count; i++)
        if (!p->demands[i].count && (m->demands[i].must_least > 0 || m->demands[i].must_most < 0))
            return false;
    return true;
}

static enum nmk_status solve_valid(struct nmk_whole_answer *out, const struct nmk_whole_problem *p)
{
    struct nmk_bench b;
    nmk_bench_init(&b, p);
    int64_t *values = nmk_memory_new(p->unknown_count, sizeof *values);
    bool solved = are_empty_ones_met(&b.model) && nmk_relax_solve(values, &b);
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
    struct nmk_whole_answer found = {0};
    if (!nmk_grid_build(&grid, p)) {
        *out = (struct nmk_whole_answer){.feasible = false};
        return NMK_OK;
    }
    enum nmk_status status = solve_valid(&found, &grid.problem);
    if (status == NMK_OK && found.feasible && !nmk_grid_restore(&grid, found.values)) {
        nmk_whole_answer_clear(&found);
        status = NMK_OVERFLOW;
    }
    if (status == NMK_OK)
        *out = found;
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
