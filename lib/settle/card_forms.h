/* card_forms.h -- what the lengths and demands of a rule card are over all sizes, before anything is settled. */
#ifndef LIB_SETTLE_CARD_FORMS_H
#define LIB_SETTLE_CARD_FORMS_H

#include "settle/carding.h"

/* The multiples and groups of the lengths, the cards of the demands, the errors of reading and rounding. The marking and
 * the counts of the carding stand. */
void nmk_card_forms_make(struct nmk_carding *carding);

/* What the demand itself says of measures that are read: added to *out, over the indices of measures. */
void nmk_card_own_measures(struct nmk_affine *out, const struct nmk_carding *carding, size_t demand);
/* How often half a reading step of a measure counts in a demand, in mm, by one term of its card's readings: with the
 * reading's error at its upper end the reading, and what the lengths take of it, lies so far below the true size. */
void nmk_card_half_reading(struct nmk_rat *out, const struct nmk_carding *carding, const struct nmk_affine_term *reading);
/* How often half a mark of each group's loss counts in a demand, in mm: by group, owned by the caller. */
struct nmk_rat *nmk_card_losses(const struct nmk_carding *carding, size_t demand);

#endif
