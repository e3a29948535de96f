/* fewest.h -- do all pieces fit so many sheets? Decided exactly, for jobs whose sets fit a word.
 *
 * The first piece that is left (the largest) lies on some sheet; every set of the pieces left that holds it and to
 * which nothing can be added is tried for that sheet, and then the rest. Bounds cut off what cannot work out; sets once
 * decided, and rests once shown to be hopeless, are remembered. */
#ifndef LIB_SOLVE_FEWEST_H
#define LIB_SOLVE_FEWEST_H

#include "solve/cutting/bestfit.h"
#include "solve/cutting/cutplan.h"
#include "solve/cutting/onesheet.h"

struct nmk_setmap { /* set -> small number; open addressing */
    uint64_t *sets;
    uint8_t *values;
    size_t count, slot_count;
};

struct nmk_fewest {
    struct nmk_cutjob *job;
    const struct nmk_duals *duals;
    struct nmk_onesheet onesheet;
    struct nmk_bestfit bestfit;
    struct nmk_setmap fits, hopeless;
    int64_t *counts;
    uint64_t *chosen; /* the sets of the sheets so far */
};

void nmk_fewest_init(struct nmk_fewest *search, struct nmk_cutjob *job, const struct nmk_duals *duals);
void nmk_fewest_clear(struct nmk_fewest *search);
/* `sheets` of any kinds, up to 64. On YES the plan is filled. */
enum nmk_fit nmk_fewest_try(struct nmk_fewest *search, int64_t sheets, struct nmk_cutplan *plan);
/* Does the set fit one sheet of some kind? */
enum nmk_fit nmk_fewest_fits(struct nmk_fewest *search, uint64_t set);
/* One more sheet of the plan, cut so many times: the set, which is known to fit. */
void nmk_fewest_lay(struct nmk_fewest *search, uint64_t set, int64_t copies, struct nmk_cutplan *plan);
/* Calls `take` for every set that fits a sheet and to which nothing of the job can be added; false if the budget ran
 * out or `take` said so, before all were met. */
bool nmk_fewest_list(struct nmk_fewest *search, bool (*take)(void *context, uint64_t set), void *context);

#endif
