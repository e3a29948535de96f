/* sheeter.h -- the first aim: the fewest sheets, and the bound that proves it.
 *
 * In this order, as long as plan and bound differ: quick plans by rules; where demands are large, patterns in fractions,
 * the whole parts of which are kept and the rest planned anew; the exact search; more quick plans. */
#ifndef LIB_SOLVE_SHEETER_H
#define LIB_SOLVE_SHEETER_H

#include "solve/cutting/bestfit.h"
#include "solve/cutting/cutjob.h"
#include "solve/cutting/cutplan.h"
#include "solve/cutting/dualbound.h"

struct nmk_sheeter {
    const struct nmk_cutting_problem *problem;
    struct nmk_cutjob job;
    struct nmk_duals duals;
    struct nmk_bestfit bestfit;
    struct nmk_cutplan best;
    int64_t bound;
    uint64_t rule; /* the next quick rule */
    bool is_rest;  /* plans what was left by another */
};

/* The problem must be valid and have no piece too big. */
void nmk_sheeter_init(struct nmk_sheeter *sheeter, const struct nmk_cutting_problem *problem);
void nmk_sheeter_clear(struct nmk_sheeter *sheeter);
/* Sets best and bound; the job must have pieces. */
void nmk_sheeter_plan(struct nmk_sheeter *sheeter);

#endif
