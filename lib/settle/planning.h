/* planning.h -- a plan in the making. Sizes are counted in a grid that all sheets and the marks have in common. */
#ifndef LIB_SETTLE_PLANNING_H
#define LIB_SETTLE_PLANNING_H

#include "nearmark/cutting.h"
#include "nearmark/plan.h"

struct nmk_plan_cut { /* a node of a sheet's tree that is cut; as long as the plan is made */
    size_t part, first, second;
    int64_t distance; /* in the grid */
    bool across, from_first;
};

struct nmk_plan {
    const struct nmk_settled *settled;
    const struct nmk_draft *draft;
    const struct nmk_design *design;
    int64_t makers;
    struct nmk_rat grid, marks_of_grid; /* mm; how many marks one of it is */
    int64_t step, reach;                /* in the grid; reach rounded down, 0: none */
    struct nmk_plan_piece *pieces;      /* by piece */
    size_t *unfit;                      /* pieces that are larger than every sheet */
    struct nmk_plan_stock *stocks;
    struct nmk_plan_sheet *sheets;
    struct nmk_plan_part *parts;
    struct nmk_plan_step *steps;
    struct nmk_plan_cut *cuts;
    size_t unfit_count, stock_count, sheet_count, part_count, step_count, cut_count;
    size_t unfit_space, stock_space, sheet_space, part_space, step_space, cut_space;
    size_t moves, moves_bound, numbers; /* numbers: of steps given so far */
};

/* plan_sheets.c: which sheets, cut how; fills stocks, sheets, parts and cuts. */
enum nmk_status nmk_plan_take_sheets(struct nmk_plan *plan, const struct nmk_plan_options *options,
                                     struct nmk_diagnostics *list);
/* plan_order.c: the cuts in their order, as steps. STOPPED. */
enum nmk_status nmk_plan_order_cuts(struct nmk_plan *plan, const struct nmk_plan_options *options);
/* plan_say.c: what is said before the cuts, put between them; and, as the next steps, what a piece says at a place. */
void nmk_plan_say_before_cuts(struct nmk_plan *plan);
void nmk_plan_say(struct nmk_plan *plan, size_t piece, enum nmk_say_place place);
/* plan_make.c: everything after the cuts. */
void nmk_plan_make_up(struct nmk_plan *plan);

/* A new step, zeroed but for act and number; NMK_NONE in its indices. */
struct nmk_plan_step *nmk_plan_add_step(struct nmk_plan *plan, enum nmk_plan_act act);
/* The same, done to every copy of a piece. */
struct nmk_plan_step *nmk_plan_add_piece_step(struct nmk_plan *plan, enum nmk_plan_act act, size_t piece);
/* The edge at the mark for a line measured along a way, and the one that then lies against the fence when the measured edge
 * is turned to the left: a quarter turn to the left brings the upper edge there, and the right one to the fence. */
void nmk_plan_lay_edges(struct nmk_plan_step *step, bool across, bool from_first);

#endif
