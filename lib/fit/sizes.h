/* sizes.h -- the sizes of everything in one column of a check: as designed, each number rounded by itself, settled.
 *
 * ROUNDED and SETTLED sizes are whole numbers of marks; DESIGNED ones are the draft's own. */
#ifndef LIB_FIT_SIZES_H
#define LIB_FIT_SIZES_H

#include "nearmark/fit.h"

struct nmk_sizes {
    const struct nmk_draft *draft;
    enum nmk_column column;
    int64_t *(*lines)[2]; /* by piece and way; NULL in the column DESIGNED */
    int64_t *lengths;     /* by length; NULL in the column DESIGNED */
    size_t *choices;      /* by length, from 0 */
    const struct nmk_rat *offs; /* by measure: +- in place of the design's own, borrowed; NULL: those of the design */
};

/* choices: one entry a length, from 0; NULL: all 0 (only where there are none to make). */
void nmk_sizes_new_designed(struct nmk_sizes **out, const struct nmk_draft *draft, const size_t *choices);
void nmk_sizes_new_rounded(struct nmk_sizes **out, const struct nmk_draft *draft, const size_t *choices);
void nmk_sizes_new_settled(struct nmk_sizes **out, const struct nmk_draft *draft, const int64_t *marks, const size_t *choices);
void nmk_sizes_choose(struct nmk_sizes *sizes, const size_t *choices); /* other choices; all else stays */
void nmk_sizes_free(struct nmk_sizes *sizes);

/* Where a line stands, how wide a stretch is, what a length measures, in mm. */
void nmk_sizes_line(struct nmk_rat *out, const struct nmk_sizes *sizes, size_t piece, size_t way, size_t line);
void nmk_sizes_stretch(struct nmk_rat *out, const struct nmk_sizes *sizes, size_t piece, size_t way, size_t stretch);
void nmk_sizes_length(struct nmk_rat *out, const struct nmk_sizes *sizes, size_t length);
void nmk_sizes_choice(struct nmk_rat *out, const struct nmk_sizes *sizes, size_t length, size_t way);

#endif
