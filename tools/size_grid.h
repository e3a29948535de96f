/* size_grid.h -- the sizes of a chart: every combination of those that --vary gives, the last one going through first. */
#ifndef TOOLS_SIZE_GRID_H
#define TOOLS_SIZE_GRID_H

#include "options.h"

enum { GRID_MOST_MEASURES = 16, GRID_MOST_ROWS = 10000000 };

struct size_grid {
    size_t measure_count;
    size_t measures[GRID_MOST_MEASURES];             /* by index of the design */
    const struct varying *varies[GRID_MOST_MEASURES]; /* borrowed of the call */
    enum nmk_unit units[GRID_MOST_MEASURES];         /* as written */
    int64_t counts[GRID_MOST_MEASURES];
    int64_t row_count;
};

/* false: the message was given. */
bool size_grid_make(struct size_grid *out, const struct nmk_design *design, const struct call *call);

/* Gives the sizes of a row to the design; they also go into `sizes`, one for each varied measure. */
void size_grid_put(const struct size_grid *grid, struct nmk_design *design, int64_t row, struct nmk_rat *sizes);

/* The rows at the corners of the grid, from 0 to 2^measure_count - 1. */
int64_t size_grid_corner(const struct size_grid *grid, unsigned corner);

#endif
