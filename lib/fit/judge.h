/* judge.h -- every demand judged on its worst stretches.
 *
 * A demand that names panels which stand in several stretches is a demand on every combination of them. Combinations
 * that no column can tell apart (the same errors, the same rounded sizes) are one case. */
#ifndef LIB_FIT_JUDGE_H
#define LIB_FIT_JUDGE_H

#include "fit/clearance.h"
#include "fit/sizes.h"
#include "nearmark/chance.h"

struct nmk_judge;

struct nmk_widths { /* > 0 each */
    struct nmk_rat *all;
    size_t count;
};

/* `rounded`: the sizes of the column ROUNDED (the choices do not matter). `more`: by demand, the widths of errors that do
 * not come from its form; NULL: none. Everything passed in must outlive the judge.
 * NMK_TOO_LARGE with a diagnostic for a demand on too many stretches or errors at once. */
enum nmk_status nmk_judge_new(struct nmk_judge **out, const struct nmk_clearances *clearances, const struct nmk_sizes *rounded,
                              const struct nmk_widths *more, struct nmk_diagnostics *list);
void nmk_judge_free(struct nmk_judge *judge);

/* The worst case of a demand in a column: the worst state, then the smallest chance, then the widest range, then the
 * smallest of (least - low, high - most), then the smallest nominal. *which (may be NULL) is the case. */
enum nmk_status nmk_judge_view(struct nmk_view *out, size_t *which, const struct nmk_judge *judge, size_t demand,
                               const struct nmk_sizes *sizes, const struct nmk_rat *sure);
void nmk_view_clear(struct nmk_view *view);

/* The chance of a demand whose nominal clearance is given, the smallest over its cases; 1 where it is at least `sure`. */
void nmk_judge_grade(struct nmk_rat *out, const struct nmk_judge *judge, size_t demand, const struct nmk_rat *nominal,
                     const struct nmk_rat *sure);

/* The greatest sum of the widths over the cases of a demand. */
void nmk_judge_reach(struct nmk_rat *out, const struct nmk_judge *judge, size_t demand);

/* Nominal clearances in [*least, *most] are sure (there may be more); an open end is told by *has. Where the range is
 * empty least > most. */
void nmk_judge_sure_range(struct nmk_rat *least, bool *has_least, struct nmk_rat *most, bool *has_most,
                          const struct nmk_judge *judge, size_t demand, const struct nmk_rat *sure);

/* The contributions of one case in a column, the largest first; owned by the caller, each with nmk_rats to clear. */
size_t nmk_judge_contributions(struct nmk_contribution **out, const struct nmk_judge *judge, size_t demand, size_t which,
                               const struct nmk_sizes *sizes);
void nmk_contributions_free(struct nmk_contribution *all, size_t count);

#endif
