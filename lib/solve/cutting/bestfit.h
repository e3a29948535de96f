/* bestfit.h -- plans found quickly: sheet after sheet, piece after piece in some order, each into the free rectangle
 * that suits it best; what is left of that rectangle is split by one cut into two new ones.
 *
 * A rule names the order, the choice and the split; there is a table of fixed rules, and after them mixed ones, made
 * from a counter. A sheet filled once is cut as often as the demand allows, so that large demands cost no more. */
#ifndef LIB_SOLVE_BESTFIT_H
#define LIB_SOLVE_BESTFIT_H

#include "solve/cutting/cutjob.h"
#include "solve/cutting/cutplan.h"

enum { NMK_BESTFIT_ORDERS = 6, NMK_BESTFIT_CHOICES = 3, NMK_BESTFIT_SPLITS = 4,
       NMK_BESTFIT_RULES = NMK_BESTFIT_ORDERS * NMK_BESTFIT_CHOICES * NMK_BESTFIT_SPLITS };

/* Working room, kept between calls; zeroed to begin with. */
struct nmk_bestfit {
    struct nmk_bestfit_area *areas;
    size_t area_count, area_space;
    size_t *order;
    int64_t *keys, *left, *used;
    size_t lot_space;
};

void nmk_bestfit_clear(struct nmk_bestfit *room);
/* All pieces of the job by rule number `rule`; rules from NMK_BESTFIT_RULES on are mixed. False if it would take more
 * than `most` sheets, or the budget is used up; the plan is then of no use. */
bool nmk_bestfit_plan(struct nmk_bestfit *room, struct nmk_cutjob *job, uint64_t rule, int64_t most,
                      struct nmk_cutplan *plan);
/* One sheet with the pieces counted in `counts` (one number a lot), all of them. On true and if `out` is not NULL the
 * build is added there. */
bool nmk_bestfit_fits(struct nmk_bestfit *room, struct nmk_cutjob *job, uint64_t rule, const int64_t *counts,
                      const struct nmk_format *sheet, struct nmk_builds *out, uint32_t *root);

/* One sheet filled from `limits` (one number a lot) so that it is worth much, by `prices`. Returns what it is worth;
 * room->used says with how many of each lot, and nmk_bestfit_build adds the build. */
int64_t nmk_bestfit_priced(struct nmk_bestfit *room, struct nmk_cutjob *job, uint64_t rule, const int64_t *limits,
                           const int64_t *prices, const struct nmk_format *sheet);
uint32_t nmk_bestfit_build(struct nmk_bestfit *room, const struct nmk_cutjob *job, struct nmk_builds *out);

#endif
