/* subset.h -- can these demands of a problem be met together, and what would help?
 *
 * A problem's first demands may be taken or left out; the ones after them always stay. Aims play no part: the problem
 * must be one without them. */
#ifndef LIB_SETTLE_SUBSET_H
#define LIB_SETTLE_SUBSET_H

#include "nearmark/whole.h"

struct nmk_subset {
    const struct nmk_whole_problem *problem; /* borrowed */
    size_t count;                            /* how many of its demands may be left out */
    struct nmk_whole_demand *taken;          /* room for all */
};

void nmk_subset_init(struct nmk_subset *subset, const struct nmk_whole_problem *problem, size_t count);
void nmk_subset_clear(struct nmk_subset *subset);

/* Can the demands of `in` (by demand) be met together? *met (may be NULL) tells of each whether the values found meet
 * it. */
enum nmk_status nmk_subset_try(bool *feasible, struct nmk_subset *subset, const bool *in, bool *met);

struct nmk_change {
    bool helps;            /* some change of one bound does */
    bool high;             /* of which */
    struct nmk_rat amount; /* by how much outwards */
};

/* The smallest widening of one bound of `demand` with which the demands of `in` and it can be met together; of equal
 * ones the lower bound's. */
enum nmk_status nmk_subset_change(struct nmk_change *out, struct nmk_subset *subset, const bool *in, size_t demand);

#endif
