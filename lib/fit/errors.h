/* errors.h -- the errors of a form over atoms, once it is fixed which stretches its panels are.
 *
 * (1) The first edge of a direction is the origin. The last edge lies at whole + e_cut. A score taken from the first edge
 *     lies at d + e, one taken from the last edge at whole + e_cut - d + e.
 * (2) A stretch is the place of its second line less that of its first; the same stretch named twice has the same errors.
 * (3) All copies of a piece but the first are alike in a total: their errors are kept once, with how many they are. */
#ifndef LIB_FIT_ERRORS_H
#define LIB_FIT_ERRORS_H

#include "fit/clearance.h"
#include "fit/sizes.h"

struct nmk_pick { /* the stretch taken for a panel */
    size_t piece, panel;
    enum nmk_way way;
    size_t stretch;
};

enum nmk_error_kind { NMK_ERROR_LINE, NMK_ERROR_MEASURE, NMK_ERROR_STOCK, NMK_ERROR_PLACE, NMK_ERROR_PRODUCT };

struct nmk_error { /* one independent error, uniform on +- width */
    enum nmk_error_kind kind;
    size_t subject;     /* piece, measure, stock, statement or product */
    bool other_copies;  /* LINE: stands for each copy but the first */
    enum nmk_way way;   /* LINE, PLACE */
    size_t line;        /* LINE */
    size_t times_alike; /* how many independent errors it stands for */
    struct nmk_rat times, width; /* width: |times| times its own +-, > 0 */
};

struct nmk_errors {
    struct nmk_error *all;
    size_t count;
};

/* picks: one for each PANEL atom of the clearance's form and products, sorted as their atoms. */
void nmk_errors_new(struct nmk_errors *out, const struct nmk_clearance *clearance, const struct nmk_pick *picks,
                    size_t pick_count, const struct nmk_sizes *sizes);
void nmk_errors_free(struct nmk_errors *errors);
void nmk_errors_reach(struct nmk_rat *out, const struct nmk_errors *errors); /* the sum of the widths */

/* The nominal size of a form in a column. */
void nmk_errors_nominal(struct nmk_rat *out, const struct nmk_affine *form, const struct nmk_pick *picks, size_t pick_count,
                        const struct nmk_sizes *sizes);

#endif
