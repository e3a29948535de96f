/* draft.h -- a design drawn up for one edition.
 *
 * A draft fixes what the edition fixes and nothing else: the designed size of every length (its reading of lengths that
 * are written twice, irrational results taken to the nearest 10^-9 mm), the nearest marks, where each line stands as
 * designed, and the edge that each score is taken from. It borrows the design, which must outlive it; other sizes given
 * to the design (nmk_design_set_measure) leave it as it was drawn up. */
#ifndef NEARMARK_DRAFT_H
#define NEARMARK_DRAFT_H

#include "nearmark/design.h"

struct nmk_draft;

/* `edition`: an index of the design. `step`: other marks in place of the edition's, with the unit they are written in;
 * NULL: the edition's own. `sure` is no matter of a draft. Errors go into `list`, with the span of what is wrong:
 * NMK_INVALID for a length, mat or rest designed at 0 or less, lists of one direction that are not equally wide, a
 * division by zero, the root of a negative number, an index out of range, a step <= 0. */
enum nmk_status nmk_draft_new(struct nmk_draft **out, const struct nmk_design *design, size_t edition,
                              const struct nmk_rat *step, enum nmk_unit step_unit, struct nmk_diagnostics *list);
void nmk_draft_free(struct nmk_draft *draft); /* NULL allowed */

const struct nmk_design *nmk_draft_design(const struct nmk_draft *draft);
const struct nmk_edition *nmk_draft_edition(const struct nmk_draft *draft); /* its step may differ from the draft's */
const struct nmk_rat *nmk_draft_step(const struct nmk_draft *draft);        /* mm */
enum nmk_unit nmk_draft_step_unit(const struct nmk_draft *draft);
/* Every score's distance from its edge is a whole multiple of this many marks; 1: any mark. */
int64_t nmk_draft_score_marks(const struct nmk_draft *draft);
/* Of a length written twice, the one that the edition takes (borrowed). */
const struct nmk_rat *nmk_draft_twin(const struct nmk_draft *draft, const struct nmk_twin *twin);

/* By the length's index. A choice has no designed size: NULL, and nearest 0. */
const struct nmk_rat *nmk_draft_designed(const struct nmk_draft *draft, size_t length);
int64_t nmk_draft_nearest(const struct nmk_draft *draft, size_t length);

/* Lines of a piece with panels, as numbered in its nmk_list; of a mat 0 and 1. The last one is the last edge. */
size_t nmk_draft_line_count(const struct nmk_draft *draft, size_t piece, enum nmk_way way);
/* Designed place of a line, mm from the first edge. Not for punched pieces. */
const struct nmk_rat *nmk_draft_line(const struct nmk_draft *draft, size_t piece, enum nmk_way way, size_t line);
/* Is the line a score taken from the last edge? false for cuts, also for those that are taken from the first edge. */
bool nmk_draft_from_last(const struct nmk_draft *draft, size_t piece, enum nmk_way way, size_t line);

#endif
