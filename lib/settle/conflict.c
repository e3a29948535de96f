#include <string.h>

#include "base/memory.h"
#include "settle/hitting.h"
#include "settle/settled.h"
#include "settle/subset.h"

/* (1) A set of demands that cannot be met together has a member in common with every set whose removal makes the rest
 *     possible. So a smallest set that meets all such removals known so far, if it cannot be met, is a smallest conflict;
 *     if it can, what the marks found for it and grown from it leave unmet is one more removal. (Smallest unsatisfiable
 *     subsets by minimal hitting sets: Ignatiev, Previti, Liffiton and Marques-Silva, CP 2015; from memory.)
 * (2) Of equally small conflicts the first in file order: all of them meet all removals, and (1) takes the first. */
struct nmk_conflict {
    struct nmk_conflict_member *members;
    size_t count;
    bool helped; /* by finer marks */
    struct nmk_rat finer;
};

enum { MOST_HALVINGS = 6 };

struct finder {
    const struct nmk_settled *settled;
    struct nmk_subset subset;
    bool *in, *met, *trial;
};

/* Grows `trial`, which can be met, by each demand that can be met beside it; what then stays out is a removal. */
static enum nmk_status grow(struct finder *f)
{
    size_t count = f->subset.demand_count;
    enum nmk_status status = NMK_OK;
    for (size_t i = 0; i < count; i++)
        f->trial[i] |= f->met[i];
    for (size_t i = 0; i < count && status == NMK_OK; i++) {
        if (f->trial[i])
            continue;
        bool feasible = false;
        f->trial[i] = true;
        status = nmk_subset_try(&feasible, &f->subset, f->trial, NMK_NONE, NULL, f->met, NULL);
        f->trial[i] = feasible;
        for (size_t k = 0; feasible && k < count; k++)
            f->trial[k] |= f->met[k];
    }
    return status;
}

static enum nmk_status find_smallest(struct finder *f)
{
    size_t count = f->subset.demand_count;
    struct nmk_hitting removals = {.limit = count};
    bool feasible = true;
    enum nmk_status status = NMK_OK;
    for (;;) {
        nmk_hitting_smallest(f->in, &removals);
        memcpy(f->trial, f->in, count * sizeof *f->trial);
        status = nmk_subset_try(&feasible, &f->subset, f->trial, NMK_NONE, NULL, f->met, NULL);
        if (status != NMK_OK || !feasible)
            break;
        status = grow(f);
        if (status != NMK_OK)
            break;
        for (size_t i = 0; i < count; i++)
            f->trial[i] = !f->trial[i];
        nmk_hitting_add(&removals, f->trial);
    }
    nmk_hitting_clear(&removals);
    return status;
}

/* ---- the smallest change of a bound ---- */

static void set_changed(struct nmk_bounds *b, const struct nmk_rat *low, const struct nmk_rat *high)
{
    b->has_low = low != NULL;
    b->has_high = high != NULL;
    if (low)
        nmk_rat_set(&b->low.metric, low);
    if (high)
        nmk_rat_set(&b->high.metric, high);
}

static void bounds_clear(struct nmk_bounds *b)
{
    nmk_rat_clear(&b->low.metric);
    nmk_rat_clear(&b->high.metric);
}

/* Tries the set with one bound of a demand moved to `at` (NULL: opened). */
static enum nmk_status try_bound(bool *feasible, struct finder *f, size_t demand, bool high, const struct nmk_rat *at, struct nmk_rat *v)
{
    const struct nmk_clearance *c = &f->settled->clearances->all[demand];
    struct nmk_bounds b = {0};
    set_changed(&b, high ? c->low : at, high ? at : c->high);
    enum nmk_status status = nmk_subset_try(feasible, &f->subset, f->in, demand, &b, NULL, v);
    bounds_clear(&b);
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

/* The clearance nearest to the bound with which the set can be met once that bound is opened: from one that can be
 * reached, by halving the whole number of grid steps that may still be gained. *possible: false if opening does not help. */
static enum nmk_status nearest_reached(struct nmk_rat *best, bool *possible, struct finder *f, size_t demand, bool high)
{
    const struct nmk_clearance *c = &f->settled->clearances->all[demand];
    struct nmk_rat grid = {0}, at = {0}, v = {0};
    enum nmk_status status = try_bound(possible, f, demand, high, NULL, best);
    nmk_subset_grid(&grid, &f->subset, demand);
    int64_t gain = status == NMK_OK && *possible ? steps_between(best, high ? c->high : c->low, &grid) : 0;
    while (gain > 0 && status == NMK_OK) {
        int64_t half = gain / 2 + gain % 2;
        bool feasible = false;
        towards(&at, best, &grid, half, high);
        status = try_bound(&feasible, f, demand, high, &at, &v);
        if (status != NMK_OK)
            break;
        if (!feasible) {
            gain = half - 1;
            continue;
        }
        nmk_rat_set(best, &v);
        int64_t left = steps_between(best, high ? c->high : c->low, &grid);
        gain = left < gain - half ? left : gain - half;
    }
    nmk_rat_clear(&grid);
    nmk_rat_clear(&at);
    nmk_rat_clear(&v);
    return status;
}

/* The smaller of the two changes that help; of equal ones that of the lower bound. */
static enum nmk_status find_change(struct nmk_conflict_member *member, struct finder *f)
{
    const struct nmk_clearance *c = &f->settled->clearances->all[member->demand];
    struct nmk_rat best = {0};
    enum nmk_status status = NMK_OK;
    for (int high = 0; high <= 1 && status == NMK_OK; high++) {
        const struct nmk_rat *bound = high ? c->high : c->low;
        bool possible = false;
        if (!bound)
            continue;
        status = nearest_reached(&best, &possible, f, member->demand, high);
        if (status != NMK_OK || !possible)
            continue;
        nmk_rat_sub(&best, &best, bound);
        nmk_rat_abs(&best, &best);
        if (member->can_change && nmk_rat_cmp(&best, &member->change) >= 0)
            continue;
        nmk_rat_set(&member->change, &best);
        member->high = high;
        member->can_change = true;
    }
    nmk_rat_clear(&best);
    return status;
}

static enum nmk_status list_members(struct nmk_conflict *conflict, struct finder *f)
{
    enum nmk_status status = NMK_OK;
    conflict->members = nmk_memory_new(f->subset.demand_count, sizeof *conflict->members);
    for (size_t i = 0; i < f->subset.demand_count && status == NMK_OK; i++) {
        if (!f->in[i])
            continue;
        struct nmk_conflict_member *member = &conflict->members[conflict->count++];
        member->demand = i;
        if (!nmk_design_demand(nmk_draft_design(f->settled->draft), i)->exact)
            status = find_change(member, f);
    }
    return status;
}

/* ---- finer marks ---- */

static enum nmk_status serves(bool *feasible, const struct nmk_settled *s, const struct nmk_rat *step)
{
    const struct nmk_design *design = nmk_draft_design(s->draft);
    const struct nmk_edition *edition = nmk_draft_edition(s->draft);
    struct nmk_draft *draft = NULL;
    struct nmk_clearances *clearances = NULL;
    struct nmk_subset subset = {0};
    enum nmk_status status = nmk_draft_new(&draft, design, nmk_design_find_edition(design, edition->name), step,
                                           nmk_draft_step_unit(s->draft), NULL);
    if (status == NMK_OK)
        status = nmk_clearances_new(&clearances, draft, NULL);
    if (status == NMK_OK) {
        bool *all = nmk_memory_new(clearances->count, sizeof *all);
        memset(all, true, clearances->count * sizeof *all);
        nmk_subset_init(&subset, draft, clearances, &s->options);
        status = nmk_subset_try(feasible, &subset, all, NMK_NONE, NULL, NULL, NULL);
        nmk_subset_clear(&subset);
        nmk_memory_free(all);
    }
    nmk_clearances_free(clearances);
    nmk_draft_free(draft);
    return status;
}

static enum nmk_status find_finer(struct nmk_conflict *conflict, const struct nmk_settled *s)
{
    struct nmk_rat step = {0}, two = {0};
    enum nmk_status status = NMK_OK;
    nmk_rat_set_int(&two, 2);
    nmk_rat_set(&step, nmk_draft_step(s->draft));
    for (int i = 0; i < MOST_HALVINGS && status == NMK_OK && !conflict->helped; i++) {
        nmk_rat_div(&step, &step, &two);
        status = serves(&conflict->helped, s, &step);
    }
    if (conflict->helped)
        nmk_rat_swap(&conflict->finer, &step);
    nmk_rat_clear(&step);
    nmk_rat_clear(&two);
    return status;
}

/* ---- the conflict ---- */

enum nmk_status nmk_conflict_new(struct nmk_conflict **out, const struct nmk_settled *settled)
{
    if (!out || !settled || settled->holds_together)
        return NMK_INVALID;
    struct nmk_conflict *conflict = nmk_memory_new(1, sizeof *conflict);
    struct finder f = {.settled = settled};
    nmk_subset_init(&f.subset, settled->draft, settled->clearances, &settled->options);
    f.in = nmk_memory_new(settled->demand_count, sizeof *f.in);
    f.met = nmk_memory_new(settled->demand_count, sizeof *f.met);
    f.trial = nmk_memory_new(settled->demand_count, sizeof *f.trial);
    enum nmk_status status = find_smallest(&f);
    if (status == NMK_OK)
        status = list_members(conflict, &f);
    if (status == NMK_OK)
        status = find_finer(conflict, settled);
    nmk_memory_free(f.in);
    nmk_memory_free(f.met);
    nmk_memory_free(f.trial);
    nmk_subset_clear(&f.subset);
    if (status == NMK_OK)
        *out = conflict;
    else
        nmk_conflict_free(conflict);
    return status;
}

void nmk_conflict_free(struct nmk_conflict *conflict)
{
    if (!conflict)
        return;
    for (size_t i = 0; i < conflict->count; i++)
        nmk_rat_clear(&conflict->members[i].change);
    nmk_rat_clear(&conflict->finer);
    nmk_memory_free(conflict->members);
    nmk_memory_free(conflict);
}

size_t nmk_conflict_count(const struct nmk_conflict *conflict)
{
    return conflict->count;
}

const struct nmk_conflict_member *nmk_conflict_member(const struct nmk_conflict *conflict, size_t i)
{
    return i < conflict->count ? &conflict->members[i] : NULL;
}

const struct nmk_rat *nmk_conflict_finer(const struct nmk_conflict *conflict)
{
    return conflict->helped ? &conflict->finer : NULL;
}
