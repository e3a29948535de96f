/* cases.h -- the combinations of stretches on which a demand is judged.
 *
 * A case is one stretch for each panel that the demand names, all in the first copy. Of combinations with the same errors
 * and the same rounded size only the first is kept: no column can tell them apart. */
#ifndef LIB_FIT_CASES_H
#define LIB_FIT_CASES_H

#include "fit/errors.h"

struct nmk_cases {
    size_t pick_count; /* panels named */
    size_t count;      /* cases, at least 1 */
    struct nmk_pick *picks; /* [case][pick] */
};

/* NMK_TOO_LARGE for more than 2^16 combinations. */
enum nmk_status nmk_cases_new(struct nmk_cases *out, const struct nmk_clearance *clearance, const struct nmk_sizes *rounded);
void nmk_cases_free(struct nmk_cases *cases);
const struct nmk_pick *nmk_cases_picks(const struct nmk_cases *cases, size_t i);

/* All widths of some errors, each as often as it stands, and `more` ones, rising. Owned by the caller. */
size_t nmk_errors_widths(struct nmk_rat **out, const struct nmk_errors *errors, const struct nmk_rat *more, size_t more_count);
void nmk_widths_free(struct nmk_rat *widths, size_t count);
int nmk_widths_cmp(const struct nmk_rat *a, size_t a_count, const struct nmk_rat *b, size_t b_count);

#endif
