/* whole_reach.h -- how far the demands of a part, taken together, let its open unknowns go.
 *
 * Tightening one demand at a time never ends where only several together limit what is open above (a - b at most 1, b - c
 * at most 1, a + c at most 9). In rationals they are asked all at once: whole numbers reach no further. */
#ifndef LIB_SOLVE_WHOLE_REACH_H
#define LIB_SOLVE_WHOLE_REACH_H

#include "solve/whole/whole_part.h"

enum nmk_reach_outcome {
    NMK_REACH_EMPTY,   /* the demands cannot be kept together */
    NMK_REACH_TIGHTER, /* some open unknown of the model has a bound now */
    NMK_REACH_SAME     /* none has, or the part is too large to be asked */
};

/* point[]: a whole number of each unknown of the part; moved to near where all its demands can be kept in rationals (TIGHTER).
 * Where it cannot be told the point stays (SAME). */
enum nmk_reach_outcome nmk_reach_point(int64_t *point, struct nmk_bench *bench, const struct nmk_part *part);
enum nmk_reach_outcome nmk_reach_bound(struct nmk_bench *bench, const struct nmk_part *part);

#endif
