/* cuttree.h -- from builds to cuts: lays a plan out on its sheets, in the caller's sizes, and counts what the second and
 * third aim ask for. */
#ifndef LIB_SOLVE_CUTTREE_H
#define LIB_SOLVE_CUTTREE_H

#include "solve/cutting/cutplan.h"

/* What happens to room left over along a row of parts: */
enum nmk_spare_way {
    NMK_SPARE_LARGEST, /* it is cut off first where that gives the larger offcut, else left to each part */
    NMK_SPARE_FIRST,   /* it is cut off first */
    NMK_SPARE_LAST,    /* it is left to each part */
    NMK_SPARE_WAYS
};

struct nmk_cuttree {
    size_t sheet_count;
    struct nmk_cutting_pattern *patterns; /* pieces are lots here; turned is not set */
    int64_t settings;
    int64_t offcut_width, offcut_height;
    size_t node_count; /* in all */
};

/* Lays out the whole plan; `reach` in the caller's sizes, 0: none. False if it would take too many cuts (a reach that
 * is tiny beside the sheets). */
bool nmk_cuttree_make(struct nmk_cuttree *out, const struct nmk_cutjob *job, const struct nmk_cutplan *plan,
                      int64_t reach, enum nmk_spare_way way);
void nmk_cuttree_clear(struct nmk_cuttree *tree);

#endif
