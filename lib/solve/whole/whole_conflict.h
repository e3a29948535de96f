/* whole_conflict.h -- when wide cells promise what cannot be.
 *
 * A wide cell looks at each demand by itself: x >= y + 1 and y >= x + 1 look possible for ever with x and y open above.
 * So when splitting does not come to an end, all that a combination of cells promises (each cell's ends, each demand met
 * or as sure as promised) is put together as linear inequalities. If they have no rational solution, one of those that
 * cannot be kept together is taken: either it holds, or its opposite does, and both cases are solved by themselves. The
 * same is done if the equations among them, with the remainders, have no solution in whole numbers. */
#ifndef LIB_SOLVE_WHOLE_CONFLICT_H
#define LIB_SOLVE_WHOLE_CONFLICT_H

#include "solve/whole/whole_part.h"

enum nmk_conflict_kind {
    NMK_CONFLICT_NONE,       /* the promises can be kept, or there are too many to look at */
    NMK_CONFLICT_INFEASIBLE, /* what always holds cannot be kept */
    NMK_CONFLICT_UNKNOWN,    /* `which` is an unknown: either <= at, or > at */
    NMK_CONFLICT_DEMAND,     /* `which` is a demand: its n likewise, the next n being at + unit */
    NMK_CONFLICT_CHOICE      /* `which` is a choice: each of its options by itself */
};

struct nmk_conflict {
    enum nmk_conflict_kind kind;
    size_t which; /* in the part's lists */
    int64_t at;
};

/* cells: one of each unknown of the part. */
struct nmk_conflict nmk_conflict_find(struct nmk_bench *bench, const struct nmk_part *part, const uint32_t *cells);

#endif
