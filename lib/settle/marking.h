/* marking.h -- a design as a problem in whole numbers of marks, and its way back.
 *
 * (1) One unknown for each length, in the design's order: a number of marks n >= 1, or a choice of punches.
 * (2) For each strip that must be whole marks (`even whole`) one more unknown after them: the strip. It stands for the
 *     border's clearance in the border's own demand, so that the bounds there limit it.
 * (3) A demand's nominal clearance is linear in the unknowns: panels, totals and whole sizes become sums of lengths, and
 *     a mat is what it lies on less its `smaller`.
 * (4) Besides the demands: every mat is at least one mark each way; every score stands on a score mark.
 * (5) Rows: of two lists without `rest` both are as wide as the piece; each `rest` is at least one mark. Where scores stand
 *     on every m-th mark, a list between two rests has one more unknown after the strips, its odd mark, 0 or 1
 *     (row_forms.h). */
#ifndef LIB_SETTLE_MARKING_H
#define LIB_SETTLE_MARKING_H

#include "fit/clearance.h"
#include "fit/judge.h"
#include "nearmark/settle.h"
#include "nearmark/whole.h"

struct nmk_held { /* one length is kept within some marks */
    size_t length;
    int64_t low, high; /* high < low: open above */
};

struct nmk_marking_plan {
    const struct nmk_draft *draft;
    const struct nmk_clearances *clearances;
    const struct nmk_judge *judge;             /* NULL: nothing is graded */
    const struct nmk_settle_options *options;
    bool only_feasible;                        /* no aims: any marks that are allowed */
    bool mats_unbound;                         /* mats may come out below one mark: the caller looks */
    bool strips_apart;                         /* (2) but borders keep their own forms */
    const struct nmk_held *held;               /* NULL: none */
};

/* Where each kind of demand begins in the problem; the design's own stand first. Strips have one unknown each, in the same
 * order, behind those of the lengths. */
struct nmk_marking_places {
    size_t mats, widths, rests, strips;
};

struct nmk_marking;

void nmk_marking_new(struct nmk_marking **out, const struct nmk_marking_plan *plan);
void nmk_marking_free(struct nmk_marking *marking);
const struct nmk_whole_problem *nmk_marking_problem(const struct nmk_marking *marking);
struct nmk_marking_places nmk_marking_places(const struct nmk_marking *marking);

/* The form of a demand over the names of lengths (a length's index: mm a mark) and of choices (index + 2^32 (1 + way): the
 * punched size); the errors left out. */
void nmk_marking_form(struct nmk_affine *out, const struct nmk_marking *marking, size_t demand);

/* The value of a demand of the problem. */
void nmk_marking_value(struct nmk_rat *out, const struct nmk_whole_demand *demand, const int64_t *values);

/* < 0: a is better by the aims, 0: equal, > 0: b is. Both must be allowed; choices from 0. */
int nmk_marking_compare(const struct nmk_marking *marking, const int64_t *a_marks, const size_t *a_choices,
                        const int64_t *b_marks, const size_t *b_choices);

/* A piece's whole size over the names of lengths (mm a mark); borrowed. */
const struct nmk_affine *nmk_marking_whole(const struct nmk_marking *marking, size_t piece, enum nmk_way way);

/* Is the length a matter of no demand? */
bool nmk_marking_unwatched(const struct nmk_marking *marking, size_t length);

#endif
