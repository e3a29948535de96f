/* sofar.h -- what can be said of a design whose settling did not come to its end (NMK_BUDGET, NMK_STOPPED). */
#ifndef NEARMARK_SOFAR_H
#define NEARMARK_SOFAR_H

#include "nearmark/settle.h"

struct nmk_sofar { /* zeroed: empty */
    bool decided;  /* it is proven whether any marks meet every demand: */
    bool feasible;
    /* Of marks that do, the best that were found near the designed sizes; not proven to be the best: */
    struct nmk_rat weakest;   /* the chance of the weakest demand; 1: all are sure */
    size_t moved;             /* lengths not at a nearest mark */
    struct nmk_rat deviation; /* mm */
    /* Proven: no marks make the weakest demand surer than this; 1: nothing is known. */
    struct nmk_rat at_most;
};

/* Looks for marks at most 1, 2, 4 and 8 marks from the nearest, then for any, with so many steps for each; deterministic.
 * `options` as for nmk_settle; its steps and its progress function are not asked. NMK_INVALID for options out of range,
 * no steps, or an edition `as designed`; NMK_TOO_LARGE and the like as nmk_settle. *out is cleared first. */
enum nmk_status nmk_sofar_find(struct nmk_sofar *out, const struct nmk_draft *draft, const struct nmk_settle_options *options,
                               uint64_t steps);
void nmk_sofar_clear(struct nmk_sofar *sofar);

#endif
