#include <string.h>

#include "base/memory.h"
#include "settle/hitting.h"
#include "settle/marking.h"
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
    const bool *among; /* the demands that are asked about; NULL: all */
    bool *in, *met, *trial;
};

static bool is_asked(const struct finder *f, size_t demand)
{
    return !f->among || f->among[demand];
}

/* Grows `trial`, which can be met, by each demand that can be met beside it; what then stays out is a removal. */
static enum nmk_status grow(struct finder *f)
{
    size_t count = f->subset.count;
    enum nmk_status status = NMK_OK;
    for (size_t i = 0; i < count; i++)
        f->trial[i] |= f->met[i];
    for (size_t i = 0; i < count && status == NMK_OK; i++) {
        if (f->trial[i] || !is_asked(f, i))
            continue;
        bool feasible = false;
        f->trial[i] = true;
        status = nmk_subset_try(&feasible, &f->subset, f->trial, f->met);
        f->trial[i] = feasible;
        for (size_t k = 0; feasible && k < count; k++)
            f->trial[k] |= f->met[k];
    }
    return status;
}

/* f->in: a smallest conflict. Those that are asked about must be one. */
static enum nmk_status find_smallest(struct finder *f)
{
    size_t count = f->subset.count;
    struct nmk_hitting removals = {.limit = count};
    bool feasible = true;
    enum nmk_status status = NMK_OK;
    for (;;) {
        nmk_hitting_smallest(f->in, &removals);
        memcpy(f->trial, f->in, count * sizeof *f->trial);
        status = nmk_subset_try(&feasible, &f->subset, f->trial, f->met);
        if (status != NMK_OK || !feasible)
            break;
        status = grow(f);
        if (status != NMK_OK)
            break;
        for (size_t i = 0; i < count; i++)
            f->trial[i] = !f->trial[i] && is_asked(f, i);
        nmk_hitting_add(&removals, f->trial);
    }
    nmk_hitting_clear(&removals);
    return status;
}

/* ---- members ---- */

static enum nmk_status list_members(struct nmk_conflict *conflict, struct finder *f)
{
    enum nmk_status status = NMK_OK;
    conflict->members = nmk_memory_new(f->subset.count, sizeof *conflict->members);
    for (size_t i = 0; i < f->subset.count && status == NMK_OK; i++) {
        if (!f->in[i])
            continue;
        struct nmk_conflict_member *member = &conflict->members[conflict->count++];
        member->demand = i;
        if (nmk_design_demand(nmk_draft_design(f->settled->draft), i)->exact)
            continue;
        struct nmk_change change = {0};
        status = nmk_subset_change(&change, &f->subset, f->in, i);
        member->high = change.high;
        member->can_change = change.helps;
        nmk_rat_swap(&member->change, &change.amount);
        nmk_rat_clear(&change.amount);
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
        struct nmk_marking *marking;
        nmk_marking_new(&marking, &(struct nmk_marking_plan){.draft = draft, .clearances = clearances, .options = &s->options,
                                                             .only_feasible = true});
        nmk_subset_init(&subset, nmk_marking_problem(marking), clearances->count);
        status = nmk_subset_try(feasible, &subset, all, NULL);
        nmk_subset_clear(&subset);
        nmk_marking_free(marking);
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

static struct nmk_marking *finder_init(struct finder *f, const struct nmk_settled *settled, const bool *among)
{
    struct nmk_marking *marking;
    struct nmk_marking_plan plan = nmk_settled_plan(settled, true);
    nmk_marking_new(&marking, &plan);
    *f = (struct finder){.settled = settled, .among = among};
    nmk_subset_init(&f->subset, nmk_marking_problem(marking), settled->demand_count);
    f->in = nmk_memory_new(settled->demand_count, sizeof *f->in);
    f->met = nmk_memory_new(settled->demand_count, sizeof *f->met);
    f->trial = nmk_memory_new(settled->demand_count, sizeof *f->trial);
    return marking;
}

static void finder_clear(struct finder *f, struct nmk_marking *marking)
{
    nmk_memory_free(f->in);
    nmk_memory_free(f->met);
    nmk_memory_free(f->trial);
    nmk_subset_clear(&f->subset);
    nmk_marking_free(marking);
}

enum nmk_status nmk_conflict_among(bool *in, bool *feasible, const struct nmk_settled *settled, const bool *among)
{
    struct finder f;
    struct nmk_marking *marking = finder_init(&f, settled, among);
    bool possible = false;
    enum nmk_status status = nmk_subset_try(&possible, &f.subset, among, NULL);
    if (status == NMK_OK && !possible)
        status = find_smallest(&f);
    if (status == NMK_OK) {
        *feasible = possible;
        memcpy(in, f.in, settled->demand_count * sizeof *in);
    }
    finder_clear(&f, marking);
    return status;
}

enum nmk_status nmk_conflict_new(struct nmk_conflict **out, const struct nmk_settled *settled)
{
    if (!out || !settled || settled->holds_together)
        return NMK_INVALID;
    struct nmk_conflict *conflict = nmk_memory_new(1, sizeof *conflict);
    struct finder f;
    struct nmk_marking *marking = finder_init(&f, settled, NULL);
    enum nmk_status status = find_smallest(&f);
    if (status == NMK_OK)
        status = list_members(conflict, &f);
    if (status == NMK_OK)
        status = find_finer(conflict, settled);
    finder_clear(&f, marking);
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
