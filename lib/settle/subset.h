/* subset.h -- can these demands of a design be met together? */
#ifndef LIB_SETTLE_SUBSET_H
#define LIB_SETTLE_SUBSET_H

#include "settle/marking.h"

/* A marking without aims, of which any demands may be taken. Mats of at least a mark, score marks and whole strips always
 * stay. */
struct nmk_subset {
    struct nmk_marking *marking;
    size_t demand_count;  /* of the design */
    struct nmk_whole_demand *taken; /* room for all */
    uint64_t most_steps;
};

void nmk_subset_init(struct nmk_subset *subset, const struct nmk_draft *draft, const struct nmk_clearances *clearances,
                     const struct nmk_settle_options *options);
void nmk_subset_clear(struct nmk_subset *subset);

/* in: by demand, which are to be met. `changed` (NMK_NONE: none) is met with the bounds `changed_to` instead. *met (may be
 * NULL) gains by demand whether the values found meet it too; *v (may be NULL) the clearance of `changed`. */
enum nmk_status nmk_subset_try(bool *feasible, struct nmk_subset *subset, const bool *in, size_t changed,
                               const struct nmk_bounds *changed_to, bool *met, struct nmk_rat *v);

/* The grid of a demand's clearance: all its values differ by whole multiples of it. */
void nmk_subset_grid(struct nmk_rat *out, const struct nmk_subset *subset, size_t demand);

#endif
