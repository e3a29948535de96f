/* moveboard.h -- a problem of moves.h in hand: which jobs are done, what a move does, what is still to come. */
#ifndef LIB_SOLVE_MOVEBOARD_H
#define LIB_SOLVE_MOVEBOARD_H

#include "solve/cutting/moves.h"

struct nmk_moveboard {
    const struct nmk_moves_problem *problem;
    size_t words;      /* of a set of jobs, a bit each */
    uint64_t *done;
    size_t done_count;
    size_t *log;       /* the jobs done, in order, since the set was taken up */
    size_t log_count;
    size_t *starts;    /* by setting: its jobs are by_setting[starts[s]..starts[s + 1]), and so by_runs */
    size_t *by_setting;
    size_t *by_runs;   /* the same, most runs first */
    size_t *runs;      /* by job: the most runs of its setting in a chain that begins with it */
    size_t *left, *group_left; /* to be done: by setting, by group */
    uint64_t steps;
};

void nmk_moveboard_init(struct nmk_moveboard *board, const struct nmk_moves_problem *problem); /* nothing done */
void nmk_moveboard_clear(struct nmk_moveboard *board);
void nmk_moveboard_load(struct nmk_moveboard *board, const uint64_t *done);
/* Does all that can be done at the setting; how many jobs. */
size_t nmk_moveboard_move(struct nmk_moveboard *board, size_t setting);
/* Undoes the last jobs, down to so many of the log. */
void nmk_moveboard_undo(struct nmk_moveboard *board, size_t log_count);
/* The bound of moves.h (3) for what is left. */
size_t nmk_moveboard_to_come(struct nmk_moveboard *board);

#endif
