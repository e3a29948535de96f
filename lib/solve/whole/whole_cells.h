/* whole_cells.h -- the numbers an unknown can be, as a few cells: single numbers near its goal, wide cells elsewhere.
 *
 * A wide cell stands for all its numbers at their best: it can only look better than they are. So an optimum over cells
 * that uses single numbers only is the optimum over all numbers; if it uses a wide cell, that cell is split and the
 * search repeated.
 *
 * With a stride a wide cell holds every stride-th number only, so that what comes round with it (how fine a mark is) is
 * the same for all of a cell: else far cells would promise for ever what no number far out can keep. */
#ifndef LIB_SOLVE_WHOLE_CELLS_H
#define LIB_SOLVE_WHOLE_CELLS_H

#include "solve/whole/whole_model.h"

struct nmk_cell {
    int64_t low, high; /* both belong to it; high may be NMK_MODEL_OPEN */
};

struct nmk_cells {
    struct nmk_cell *items; /* each number in one of them; by their low ends, rising */
    size_t count, space;
    int64_t stride; /* >= 1 */
    int64_t goal; /* the number nearest to the goal */
};

static inline bool nmk_cell_is_single(struct nmk_cell cell)
{
    return cell.low == cell.high;
}

/* goal: the number they lie round; NULL: that nearest to the unknown's own goal. */
void nmk_cells_start(struct nmk_cells *cells, const struct nmk_model *model, size_t unknown, int64_t stride,
                     const int64_t *goal);
/* Splits the wide cell at `at`; [low, high] is the part of it in which the others' present cells leave the unknown (may
 * be empty). False if it lies beyond what is looked at. */
bool nmk_cells_split(struct nmk_cells *cells, size_t at, int64_t low, int64_t high);
/* The number of [low, high] nearest to goal / step, the smaller of two. */
int64_t nmk_cells_nearest(const struct nmk_whole_unknown *unknown, int64_t low, int64_t high);
void nmk_cells_clear(struct nmk_cells *cells);

#endif
