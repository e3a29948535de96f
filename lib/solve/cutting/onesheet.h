/* onesheet.h -- do these pieces fit one sheet, cut edge to edge? Decided exactly.
 *
 * All builds of all part sets are made, from the small to the large, kept only while they can still be part of an
 * answer: (1) of two builds of one set, one no larger in either direction makes the other needless; (2) what is wasted
 * inside a build, by area and by every kept pair of dual feasible functions, must not exceed what the sheet can spare
 * (after Wang 1983, "Two algorithms for constrained two-dimensional cutting stock problems"; from memory); (3) a row of
 * builds side by side is made in one order only: the one with the first lot is joined last, and is no row itself. */
#ifndef LIB_SOLVE_ONESHEET_H
#define LIB_SOLVE_ONESHEET_H

#include "solve/cutting/build.h"
#include "solve/cutting/cutjob.h"
#include "solve/cutting/dualbound.h"
#include "solve/cutting/raising.h"

enum nmk_fit { NMK_FIT_NO, NMK_FIT_YES, NMK_FIT_UNKNOWN /* the budget ran out */ };

/* Working room, kept between calls; zeroed to begin with. */
struct nmk_onesheet {
    struct nmk_builds builds;
    struct nmk_onesheet_group *groups;
    size_t group_count, group_space;
    struct nmk_onesheet_entry *entries;
    size_t entry_count, entry_space;
    uint32_t *slots; /* hash: set -> group + 1 */
    size_t slot_count;
    size_t *level_starts;
    struct nmk_raising raising;
};

void nmk_onesheet_clear(struct nmk_onesheet *room);
/* The set must not be empty and the job small. On YES and if `out` is not NULL the build is added there, *root is it. */
enum nmk_fit nmk_onesheet_try(struct nmk_onesheet *room, struct nmk_cutjob *job, const struct nmk_duals *duals,
                              uint64_t set, const struct nmk_format *sheet, struct nmk_builds *out, uint32_t *root);

#endif
