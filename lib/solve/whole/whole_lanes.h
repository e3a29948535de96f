/* whole_lanes.h -- all cells of the variable that is taken out, side by side.
 *
 * A lane is one cell with the sums of what has been looked up for it so far. Each loop of the nest has its lanes: those of
 * the loop further out, without the cells that a table forbids. */
#ifndef LIB_SOLVE_WHOLE_LANES_H
#define LIB_SOLVE_WHOLE_LANES_H

#include "solve/whole/whole_nest.h"

struct nmk_lanes {
    uint32_t count;
    uint32_t *cells;
    uint32_t *unmet, *sets; /* aims 0 and 1 */
    uint64_t *costs;        /* aim 3; limbs each */
};

struct nmk_lane_stack {
    const struct nmk_net *net;
    struct nmk_lanes *levels; /* a level without sources borrows those of the one before */
    size_t level_space, width;
    uint32_t *words; /* of all levels */
    uint64_t *costs;
    size_t word_space, cost_space;
    uint64_t steps; /* how many lanes were looked at, so far */
};

void nmk_lanes_clear(struct nmk_lane_stack *stack);
/* Room for `levels` levels of a variable, and its cells, each with its own cost, as what lies before level 0. */
void nmk_lanes_start(struct nmk_lane_stack *stack, size_t levels, const struct nmk_net_var *var);
/* The lanes of a level of the nest: those of the one before, and what its sources say. How many are left. */
uint32_t nmk_lanes_enter(struct nmk_lane_stack *stack, size_t level, const struct nmk_nest *nest);
/* The lanes of a level that was entered. */
static inline const struct nmk_lanes *nmk_lanes_of(const struct nmk_lane_stack *stack, size_t level)
{
    return &stack->levels[level + 1];
}

#endif
