/* ease.h -- how far a number of marks is from a designed size, and how easy it is to find. */
#ifndef LIB_SETTLE_EASE_H
#define LIB_SETTLE_EASE_H

#include "nearmark/settle.h"
#include "nearmark/whole.h"

/* Not one of its nearest marks? At a tie both neighbours are nearest, and the nearest is never below one mark. */
bool nmk_marks_moved(const struct nmk_draft *draft, size_t length, int64_t marks);
/* How fine a number of marks is to find, by the unit in which the marks are written: see DEVELOPERS.md. */
int64_t nmk_marks_fineness(const struct nmk_draft *draft, int64_t marks);
/* After so many marks fineness comes round again; 0: not in 2^31. */
int64_t nmk_marks_period(const struct nmk_draft *draft);
/* Further than `within` marks from its designed size? */
bool nmk_marks_far(const struct nmk_draft *draft, size_t length, int64_t marks, int64_t within);

/* The whole parts of what a number of marks costs, by what is preferred (nmk_whole_unknown). */
void nmk_marks_cost(int64_t parts[3], const struct nmk_draft *draft, size_t length, int64_t marks,
                    const struct nmk_settle_options *options);
/* What the designed size of a length makes its unknown aim at; the rationals are borrowed from the draft. */
void nmk_marks_aim(struct nmk_whole_unknown *unknown, const struct nmk_draft *draft, size_t length, bool by_fineness,
                   int64_t within);

#endif
