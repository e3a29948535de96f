/* moves.h -- jobs at settings, some after others: in which order to make the settings, so that it is set the fewest times.
 *
 * (1) A job is done at its setting. It may have to wait for one other job, or for all jobs of a group; every job belongs to
 *     one group. What it waits for stands before it in the list.
 * (2) A move makes a setting; at it everything is done that can be, what becomes possible by that too. (To leave something
 *     undone gains nothing.) Wanted: the fewest moves after which all is done.
 * (3) The bound: for each setting the most runs of its jobs that one chain of waiting jobs holds, jobs of other settings
 *     between them; summed up. A move takes at most one run from one of these sums.
 *
 * The search is A* over the sets of jobs done, with (3) as what is still to come: exact where the effort allows. Where a move
 * finishes all jobs of a setting, no other need be tried: in any order from there on that setting comes at least once, and
 * its first time may as well be now, and be its only one. Beyond the effort the best of a beam search is taken, and the
 * bound is what A* had proved. Of equal orders those with the earlier settings first are tried first.
 *
 * The same question gives the same answer everywhere: no seeds and no clock. */
#ifndef LIB_SOLVE_MOVES_H
#define LIB_SOLVE_MOVES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "nearmark/status.h"

#define NMK_MOVES_NONE ((size_t)-1)

struct nmk_moves_job {
    size_t setting, group;         /* from 0, without gaps */
    size_t after_job, after_group; /* what it waits for: one of them, the other NONE; both NONE: nothing */
};

struct nmk_moves_problem {
    size_t job_count, setting_count, group_count;
    const struct nmk_moves_job *jobs;
    uint64_t effort; /* steps: jobs looked at */
    bool (*progress)(void *context, uint64_t steps); /* false: stop. May be NULL */
    void *context;
};

struct nmk_moves_answer {
    size_t count, bound; /* so many moves; so many are needed at least */
    size_t *settings;    /* count; owned by the answer */
};

/* INVALID where the problem is not as (1) says; STOPPED. */
enum nmk_status nmk_moves_solve(struct nmk_moves_answer *out, const struct nmk_moves_problem *problem);
void nmk_moves_answer_clear(struct nmk_moves_answer *answer);

#endif
