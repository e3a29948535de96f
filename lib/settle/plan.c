#include "nearmark/plan.h"

#include <assert.h>

#include "base/memory.h"
#include "settle/planning.h"

void nmk_plan_options_init(struct nmk_plan_options *options)
{
    *options = (struct nmk_plan_options){.makers = 1};
}

struct nmk_plan_step *nmk_plan_add_step(struct nmk_plan *plan, enum nmk_plan_act act)
{
    void *steps = plan->steps;
    nmk_memory_reserve(&steps, &plan->step_space, plan->step_count + 1, sizeof *plan->steps);
    plan->steps = steps;
    struct nmk_plan_step *step = &plan->steps[plan->step_count++];
    *step = (struct nmk_plan_step){.act = act, .number = plan->numbers, .part = NMK_NONE, .first = NMK_NONE, .second = NMK_NONE,
                                   .piece = NMK_NONE, .line = NMK_NONE, .opening = NMK_NONE, .say = NMK_NONE};
    return step;
}

struct nmk_plan_step *nmk_plan_add_piece_step(struct nmk_plan *plan, enum nmk_plan_act act, size_t piece)
{
    struct nmk_plan_step *step = nmk_plan_add_step(plan, act);
    step->piece = piece;
    step->count = plan->pieces[piece].count;
    return step;
}

void nmk_plan_lay_edges(struct nmk_plan_step *step, bool across, bool from_first)
{
    static const enum nmk_plan_edge edges[2][2] = {{NMK_PLAN_LOWER, NMK_PLAN_UPPER}, {NMK_PLAN_RIGHT, NMK_PLAN_LEFT}};
    static const enum nmk_plan_edge fences[2][2] = {{NMK_PLAN_LEFT, NMK_PLAN_RIGHT}, {NMK_PLAN_LOWER, NMK_PLAN_UPPER}};
    step->edge = edges[across][from_first];
    step->fence = fences[across][from_first];
}

enum nmk_status nmk_plan_new(struct nmk_plan **out, const struct nmk_settled *settled, const struct nmk_plan_options *options,
                             struct nmk_diagnostics *list)
{
    if (!out || !settled || !options || options->makers < 1 || !nmk_settled_holds_together(settled))
        return NMK_INVALID;
    struct nmk_plan *plan = nmk_memory_new(1, sizeof *plan);
    plan->settled = settled;
    plan->draft = nmk_settled_draft(settled);
    plan->design = nmk_draft_design(plan->draft);
    plan->makers = options->makers;
    enum nmk_status status = nmk_plan_take_sheets(plan, options, list);
    if (!status && !plan->unfit_count)
        status = nmk_plan_order_cuts(plan, options);
    if (status) {
        nmk_plan_free(plan);
        return status;
    }
    if (!plan->unfit_count) {
        nmk_plan_say_before_cuts(plan);
        nmk_plan_make_up(plan);
    }
    *out = plan;
    return NMK_OK;
}

static void clear_pair(struct nmk_rat pair[2])
{
    nmk_rat_clear(&pair[0]);
    nmk_rat_clear(&pair[1]);
}

void nmk_plan_free(struct nmk_plan *plan)
{
    if (!plan)
        return;
    for (size_t i = 0; plan->pieces && i < nmk_design_piece_count(plan->design); i++)
        clear_pair(plan->pieces[i].size);
    for (size_t i = 0; i < plan->stock_count; i++)
        clear_pair(plan->stocks[i].offcut);
    for (size_t i = 0; i < plan->sheet_count; i++)
        clear_pair(plan->sheets[i].size);
    for (size_t i = 0; i < plan->part_count; i++) {
        clear_pair(plan->parts[i].at);
        clear_pair(plan->parts[i].size);
    }
    for (size_t i = 0; i < plan->step_count; i++)
        nmk_rat_clear(&plan->steps[i].at);
    nmk_rat_clear(&plan->grid);
    nmk_rat_clear(&plan->marks_of_grid);
    nmk_memory_free(plan->pieces);
    nmk_memory_free(plan->unfit);
    nmk_memory_free(plan->stocks);
    nmk_memory_free(plan->sheets);
    nmk_memory_free(plan->parts);
    nmk_memory_free(plan->steps);
    nmk_memory_free(plan->cuts);
    nmk_memory_free(plan);
}

/* ---- what stands in it ---- */

const struct nmk_settled *nmk_plan_settled(const struct nmk_plan *plan)
{
    return plan->settled;
}

int64_t nmk_plan_makers(const struct nmk_plan *plan)
{
    return plan->makers;
}

size_t nmk_plan_unfit_count(const struct nmk_plan *plan)
{
    return plan->unfit_count;
}

size_t nmk_plan_unfit(const struct nmk_plan *plan, size_t i)
{
    assert(i < plan->unfit_count);
    return plan->unfit[i];
}

const struct nmk_plan_piece *nmk_plan_piece(const struct nmk_plan *plan, size_t piece)
{
    assert(piece < nmk_design_piece_count(plan->design));
    return &plan->pieces[piece];
}

size_t nmk_plan_stock_count(const struct nmk_plan *plan)
{
    return plan->stock_count;
}

const struct nmk_plan_stock *nmk_plan_stock(const struct nmk_plan *plan, size_t i)
{
    assert(i < plan->stock_count);
    return &plan->stocks[i];
}

size_t nmk_plan_sheet_count(const struct nmk_plan *plan)
{
    return plan->sheet_count;
}

const struct nmk_plan_sheet *nmk_plan_sheet(const struct nmk_plan *plan, size_t i)
{
    assert(i < plan->sheet_count);
    return &plan->sheets[i];
}

size_t nmk_plan_part_count(const struct nmk_plan *plan)
{
    return plan->part_count;
}

const struct nmk_plan_part *nmk_plan_part(const struct nmk_plan *plan, size_t i)
{
    assert(i < plan->part_count);
    return &plan->parts[i];
}

size_t nmk_plan_step_count(const struct nmk_plan *plan)
{
    return plan->step_count;
}

const struct nmk_plan_step *nmk_plan_step(const struct nmk_plan *plan, size_t i)
{
    assert(i < plan->step_count);
    return &plan->steps[i];
}

size_t nmk_plan_moves(const struct nmk_plan *plan)
{
    return plan->moves;
}

size_t nmk_plan_moves_bound(const struct nmk_plan *plan)
{
    return plan->moves_bound;
}
