/* whole_grid.h -- remainders taken out of a problem, as far as they say something of one unknown.
 *
 * 3 | a and 3 | a + b say that a and b are multiples of 3. With a = 3 a', b = 3 b' the remainders are gone, and the bounds
 * of the demands, which are whole in the new unknowns too, move inwards: what cannot be met shows at once. */
#ifndef LIB_SOLVE_WHOLE_GRID_H
#define LIB_SOLVE_WHOLE_GRID_H

#include "nearmark/whole.h"

struct nmk_grid {
    const struct nmk_whole_problem *original; /* borrowed */
    struct nmk_whole_problem problem;         /* in the new unknowns: x = modulus y + residue */
    int64_t *modulus, *residue;               /* by unknown; 1 and 0 where nothing is known */
    struct nmk_whole_unknown *unknowns;
    struct nmk_whole_demand *demands;
    struct nmk_whole_remainder *remainders;   /* those that bind several unknowns still */
};

/* The problem must be valid. False if the remainders contradict each other; then nothing is built. */
bool nmk_grid_build(struct nmk_grid *grid, const struct nmk_whole_problem *problem);
void nmk_grid_clear(struct nmk_grid *grid);
/* Values of the new unknowns become those of the original ones, in place; false: they do not fit. */
bool nmk_grid_restore(const struct nmk_grid *grid, int64_t *values);

#endif
