/* marks.h -- places a trimmer can be set to: evenly spaced, (k * step + offset) for whole k. */
#ifndef NEARMARK_MARKS_H
#define NEARMARK_MARKS_H

#include "nearmark/rat.h"

struct nmk_marks {
    struct nmk_rat step;   /* > 0, mm */
    struct nmk_rat offset; /* mm; usually 0 */
};

/* ISO 80000-1, annex B: rule A takes the even multiple, rule B the larger one. Larger is towards plus infinity, also
 * below zero. */
enum nmk_tie { NMK_TIE_EVEN, NMK_TIE_LARGER };

/* The number k of the mark. nearest: |k step + offset - mm| is the smallest; of two equally near by `tie` (even: k is).
 * below: the largest not above mm; above: the smallest not below it. INVALID if step <= 0, OVERFLOW beyond int64_t. */
enum nmk_status nmk_marks_nearest(int64_t *out, const struct nmk_marks *marks, const struct nmk_rat *mm, enum nmk_tie tie);
enum nmk_status nmk_marks_below(int64_t *out, const struct nmk_marks *marks, const struct nmk_rat *mm);
enum nmk_status nmk_marks_above(int64_t *out, const struct nmk_marks *marks, const struct nmk_rat *mm);
/* Where mark k lies. */
void nmk_marks_at(struct nmk_rat *mm, const struct nmk_marks *marks, int64_t k);

/* A toleranced dimension [from, to] taken to marks. Method A: each limit to the nearest mark (a tie to the larger), so
 * that a limit may be overrun by up to half a step; method B: each limit rounded inward, so that the original zone is
 * never left (the two methods of ISO 370:1975). Method B may find no mark: then NMK_OK, *fits is false and *low and *high
 * are untouched. INVALID if step <= 0 or from > to, OVERFLOW. */
enum nmk_limits_method { NMK_METHOD_A, NMK_METHOD_B };
enum nmk_status nmk_marks_limits(int64_t *low, int64_t *high, bool *fits, const struct nmk_marks *marks,
                                 const struct nmk_rat *from, const struct nmk_rat *to, enum nmk_limits_method method);

#endif
