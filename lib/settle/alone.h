/* alone.h -- parts of a design settled alone, at one size of the object after another.
 *
 * (1) What does not depend on sizes is kept: the forms of the demands and, while no score changes the edge that it is taken
 *     from, the shapes of their errors with what makes them sure.
 * (2) In settled marks all stretches of a panel measure the same, so that of a demand's cases only the shapes tell: a
 *     part's demands are judged from their forms, without any places of lines. This does not hold of enclosed constants.
 * (3) A part that scores on score marks or strips of whole marks bind is not settled here. */
#ifndef LIB_SETTLE_ALONE_H
#define LIB_SETTLE_ALONE_H

#include "settle/parts.h"

struct nmk_alone;

struct nmk_alone_found { /* borrowed until the next call */
    bool feasible;
    const int64_t *marks; /* by length of the part; of a choice its number from 1 */
    enum nmk_state state; /* the worst */
    const size_t *bad;    /* demands that do not hold, rising */
    size_t bad_count;
};

/* All are borrowed; the marking leaves mats unbound and grades nothing, and is of the draft of the clearances. */
void nmk_alone_new(struct nmk_alone **out, const struct nmk_parts *parts, const struct nmk_clearances *clearances,
                   const struct nmk_marking *marking, const struct nmk_settle_options *options);
void nmk_alone_free(struct nmk_alone *alone);

bool nmk_alone_can(const struct nmk_alone *alone, size_t part);
/* `draft`: of the design at its present sizes. As nmk_settle with mats unbound says of the part. NMK_BUDGET, NMK_STOPPED and
 * the like as nmk_settle. */
enum nmk_status nmk_alone_settle(struct nmk_alone_found *found, struct nmk_alone *alone, size_t part,
                                 const struct nmk_draft *draft, struct nmk_diagnostics *list);

#endif
