#include "report/explained.h"

#include <string.h>

#include "ground/store.h"
#include "report/demand_lengths.h"

static void alternative_clear(struct alternative *a)
{
    nmk_conflict_free(a->conflict);
    nmk_settled_free(a->settled);
    *a = (struct alternative){0};
}

void explained_clear(struct explained *e)
{
    for (size_t i = 0; i < e->length_count; i++) {
        alternative_clear(&e->lengths[i].held);
        alternative_clear(&e->lengths[i].next);
    }
    store_free(e->lengths);
    store_free(e->demands);
    *e = (struct explained){0};
}

static const struct nmk_draft *draft_of(const struct explained *e)
{
    return nmk_settled_draft(e->settled);
}

/* Both neighbours of a tie are nearest; no length is below one mark. */
static bool is_moved(const struct explained *e, size_t length)
{
    const struct nmk_rat *designed = nmk_draft_designed(draft_of(e), length);
    int64_t marks = designed && e->column == NMK_SETTLED ? nmk_settled_marks(e->settled, length) : 0;
    if (!designed || e->column != NMK_SETTLED || marks == nmk_draft_nearest(draft_of(e), length))
        return false;
    struct nmk_rat off = {0}, step = {0};
    nmk_rat_set_int(&off, marks);
    nmk_rat_mul(&off, &off, nmk_draft_step(draft_of(e)));
    nmk_rat_sub(&off, &off, designed);
    nmk_rat_abs(&off, &off);
    nmk_rat_add(&off, &off, &off);
    nmk_rat_set(&step, nmk_draft_step(draft_of(e)));
    bool moved = nmk_rat_cmp(&off, &step) > 0;
    nmk_rat_clear(&off);
    nmk_rat_clear(&step);
    return moved;
}

static enum nmk_status add_conflict(struct alternative *a, enum nmk_status status)
{
    if (status == NMK_OK && a->settled && !nmk_settled_holds_together(a->settled))
        status = nmk_conflict_new(&a->conflict, a->settled);
    return status;
}

/* An edition as designed is never moved, so that it has no alternatives. */
static enum nmk_status find_alternatives(struct explained_length *l, const struct explained *e, struct nmk_diagnostics *list)
{
    int64_t nearest = nmk_draft_nearest(draft_of(e), l->length);
    enum nmk_status status = NMK_OK;
    if (e->column != NMK_SETTLED || nmk_draft_edition(draft_of(e))->as_designed || !nmk_draft_designed(draft_of(e), l->length))
        return NMK_OK;
    if (l->moved)
        status = add_conflict(&l->held, nmk_settle_held(&l->held.settled, e->settled, l->length, nearest, nearest, list));
    if (status == NMK_OK)
        status = add_conflict(&l->next, nmk_settle_next(&l->next.settled, e->settled, l->length, list));
    return status;
}

enum nmk_status explained_make(struct explained *out, const struct nmk_settled *settled, const bool *demands,
                               const bool *lengths, struct nmk_diagnostics *list)
{
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(settled));
    size_t demand_count = nmk_design_demand_count(design), length_count = nmk_design_length_count(design);
    bool *in = store_new(length_count + 1, sizeof *in);
    enum nmk_status status = NMK_OK;
    *out = (struct explained){.settled = settled, .column = nmk_settled_holds_together(settled) ? NMK_SETTLED : NMK_ROUNDED};
    out->demands = store_new(demand_count + 1, sizeof *out->demands);
    out->lengths = store_new(length_count + 1, sizeof *out->lengths);
    for (size_t i = 0; i < demand_count; i++)
        if (demands[i]) {
            out->demands[out->demand_count++] = i;
            demand_lengths_mark(in, design, nmk_design_demand(design, i));
        }
    for (size_t i = 0; i < length_count && status == NMK_OK; i++) {
        bool moved = is_moved(out, i);
        if (!lengths[i] && !(in[i] && moved))
            continue;
        struct explained_length *l = &out->lengths[out->length_count++];
        *l = (struct explained_length){.length = i, .moved = moved};
        status = find_alternatives(l, out, list);
    }
    store_free(in);
    return status;
}

bool explained_is_weaker(const struct explained *e, const struct alternative *other, size_t demand)
{
    const struct nmk_rat *sure = &nmk_settled_options(e->settled)->sure;
    const struct nmk_rat *was = &nmk_settled_view(e->settled, demand, NMK_SETTLED)->chance;
    const struct nmk_rat *now = &nmk_settled_view(other->settled, demand, NMK_SETTLED)->chance;
    return nmk_rat_cmp(now, was) < 0 && nmk_rat_cmp(now, sure) < 0; /* every chance that is sure counts as equal */
}
