/* row_forms.h -- what lies between the lines of a piece with panels, as sums over its lengths.
 *
 * (1) The list that says how wide the piece is gives the whole; what another list leaves of it is cut away at its ends.
 * (2) Between two rests the panels begin at the half of what is left, less its odd mark: half = (left - odd) / 2. A distance d
 *     from there is a multiple of m marks away from the first edge if and only if left - odd + 2 d is a multiple of 2 m.
 *
 * Forms are over names of lengths (their indices), each times how often it counts. */
#ifndef LIB_SETTLE_ROW_FORMS_H
#define LIB_SETTLE_ROW_FORMS_H

#include "nearmark/affine.h"
#include "nearmark/design.h"

/* form += what the list that says how wide the piece is measures. */
void nmk_row_add_whole(struct nmk_affine *form, const struct nmk_piece *piece, int way);
/* form += what a list leaves of it. */
void nmk_row_add_left(struct nmk_affine *form, const struct nmk_piece *piece, int way, const struct nmk_row *row);

bool nmk_row_is_between_rests(const struct nmk_row *row);
bool nmk_row_has_score(const struct nmk_list *list, const struct nmk_row *row);

/* form += how far the line before stretch i of its list lies from the first edge, or, `last`, from the last one. Between two
 * rests twice that, with the unknown `odd` in it: (2). */
void nmk_row_add_distance(struct nmk_affine *form, const struct nmk_piece *piece, int way, size_t i, bool last, uint64_t odd);

#endif
