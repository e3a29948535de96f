#include "solve/cutting/moveboard.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { WORD_BITS = 64 };

static uint64_t bit(size_t job)
{
    return UINT64_C(1) << (job % WORD_BITS);
}

static bool is_done(const struct nmk_moveboard *b, size_t job)
{
    return b->done[job / WORD_BITS] & bit(job);
}

/* ---- runs ---- */

struct chains { /* of one setting: most runs in a chain that begins with ... */
    size_t *fresh, *inside;             /* by job: a job that waits for it; inside: the move for this setting goes on */
    size_t *group_fresh, *group_inside; /* by group: a job that waits for it */
};

static size_t larger(size_t a, size_t b)
{
    return a > b ? a : b;
}

/* From the last job to the first, so that all that wait for it are known. */
static void count_runs(struct nmk_moveboard *b, struct chains *c, size_t setting)
{
    const struct nmk_moves_problem *p = b->problem;
    memset(c->fresh, 0, p->job_count * sizeof *c->fresh);
    memset(c->inside, 0, p->job_count * sizeof *c->inside);
    memset(c->group_fresh, 0, p->group_count * sizeof *c->group_fresh);
    memset(c->group_inside, 0, p->group_count * sizeof *c->group_inside);
    for (size_t i = p->job_count; i-- > 0;) {
        const struct nmk_moves_job *job = &p->jobs[i];
        size_t fresh = larger(c->fresh[i], c->group_fresh[job->group]);
        size_t inside = larger(c->inside[i], c->group_inside[job->group]);
        if (job->setting == setting) {
            fresh = inside + 1;
            b->runs[i] = fresh;
        } else {
            inside = fresh;
        }
        if (job->after_job != NMK_MOVES_NONE) {
            c->fresh[job->after_job] = larger(c->fresh[job->after_job], fresh);
            c->inside[job->after_job] = larger(c->inside[job->after_job], inside);
        } else if (job->after_group != NMK_MOVES_NONE) {
            c->group_fresh[job->after_group] = larger(c->group_fresh[job->after_group], fresh);
            c->group_inside[job->after_group] = larger(c->group_inside[job->after_group], inside);
        }
    }
    b->steps += p->job_count;
}

static void count_all_runs(struct nmk_moveboard *b)
{
    size_t jobs = b->problem->job_count, groups = b->problem->group_count;
    struct chains c = {
        .fresh = nmk_memory_new(jobs, sizeof *c.fresh),
        .inside = nmk_memory_new(jobs, sizeof *c.inside),
        .group_fresh = nmk_memory_new(groups, sizeof *c.group_fresh),
        .group_inside = nmk_memory_new(groups, sizeof *c.group_inside),
    };
    for (size_t s = 0; s < b->problem->setting_count; s++)
        count_runs(b, &c, s);
    nmk_memory_free(c.fresh);
    nmk_memory_free(c.inside);
    nmk_memory_free(c.group_fresh);
    nmk_memory_free(c.group_inside);
}

/* ---- the lists ---- */

static void list_by_setting(struct nmk_moveboard *b)
{
    const struct nmk_moves_problem *p = b->problem;
    for (size_t i = 0; i < p->job_count; i++)
        b->starts[p->jobs[i].setting + 2]++;
    for (size_t s = 2; s < p->setting_count + 2; s++)
        b->starts[s] += b->starts[s - 1];
    for (size_t i = 0; i < p->job_count; i++)
        b->by_setting[b->starts[p->jobs[i].setting + 1]++] = i;
}

struct ranked {
    size_t runs, job;
};

static int compare_ranked(const void *left, const void *right)
{
    const struct ranked *a = left, *b = right;
    return a->runs != b->runs ? (a->runs < b->runs) - (a->runs > b->runs) : (a->job > b->job) - (a->job < b->job);
}

static void list_by_runs(struct nmk_moveboard *b)
{
    struct ranked *all = nmk_memory_new(b->problem->job_count, sizeof *all);
    for (size_t s = 0; s < b->problem->setting_count; s++) {
        size_t from = b->starts[s], count = b->starts[s + 1] - from;
        for (size_t i = 0; i < count; i++)
            all[i] = (struct ranked){b->runs[b->by_setting[from + i]], b->by_setting[from + i]};
        if (count)
            qsort(all, count, sizeof *all, compare_ranked);
        for (size_t i = 0; i < count; i++)
            b->by_runs[from + i] = all[i].job;
    }
    nmk_memory_free(all);
}

void nmk_moveboard_init(struct nmk_moveboard *board, const struct nmk_moves_problem *problem)
{
    size_t jobs = problem->job_count;
    *board = (struct nmk_moveboard){.problem = problem, .words = (jobs + WORD_BITS - 1) / WORD_BITS};
    board->done = nmk_memory_new(board->words, sizeof *board->done);
    board->log = nmk_memory_new(jobs, sizeof *board->log);
    board->starts = nmk_memory_new(problem->setting_count + 2, sizeof *board->starts);
    board->by_setting = nmk_memory_new(jobs, sizeof *board->by_setting);
    board->by_runs = nmk_memory_new(jobs, sizeof *board->by_runs);
    board->runs = nmk_memory_new(jobs, sizeof *board->runs);
    board->left = nmk_memory_new(problem->setting_count, sizeof *board->left);
    board->group_left = nmk_memory_new(problem->group_count, sizeof *board->group_left);
    list_by_setting(board);
    count_all_runs(board);
    list_by_runs(board);
    nmk_moveboard_load(board, board->done);
}

void nmk_moveboard_clear(struct nmk_moveboard *board)
{
    nmk_memory_free(board->done);
    nmk_memory_free(board->log);
    nmk_memory_free(board->starts);
    nmk_memory_free(board->by_setting);
    nmk_memory_free(board->by_runs);
    nmk_memory_free(board->runs);
    nmk_memory_free(board->left);
    nmk_memory_free(board->group_left);
    *board = (struct nmk_moveboard){.problem = NULL};
}

/* ---- moves ---- */

void nmk_moveboard_load(struct nmk_moveboard *board, const uint64_t *done)
{
    const struct nmk_moves_problem *p = board->problem;
    if (done != board->done && board->words)
        memcpy(board->done, done, board->words * sizeof *done);
    board->log_count = board->done_count = 0;
    memset(board->left, 0, p->setting_count * sizeof *board->left);
    memset(board->group_left, 0, p->group_count * sizeof *board->group_left);
    for (size_t i = 0; i < p->job_count; i++)
        if (is_done(board, i)) {
            board->done_count++;
        } else {
            board->left[p->jobs[i].setting]++;
            board->group_left[p->jobs[i].group]++;
        }
    board->steps += p->job_count;
}

static bool is_ready(const struct nmk_moveboard *b, const struct nmk_moves_job *job)
{
    if (job->after_job != NMK_MOVES_NONE)
        return is_done(b, job->after_job);
    return job->after_group == NMK_MOVES_NONE || !b->group_left[job->after_group];
}

/* Once through the list is enough: what a job waits for stands before it. */
size_t nmk_moveboard_move(struct nmk_moveboard *board, size_t setting)
{
    size_t before = board->log_count;
    for (size_t i = board->starts[setting]; i < board->starts[setting + 1] && board->left[setting]; i++) {
        size_t at = board->by_setting[i];
        const struct nmk_moves_job *job = &board->problem->jobs[at];
        board->steps++;
        if (is_done(board, at) || !is_ready(board, job))
            continue;
        board->done[at / WORD_BITS] |= bit(at);
        board->left[setting]--;
        board->group_left[job->group]--;
        board->log[board->log_count++] = at;
    }
    board->done_count += board->log_count - before;
    return board->log_count - before;
}

void nmk_moveboard_undo(struct nmk_moveboard *board, size_t log_count)
{
    board->done_count -= board->log_count - log_count;
    while (board->log_count > log_count) {
        size_t at = board->log[--board->log_count];
        board->done[at / WORD_BITS] &= ~bit(at);
        board->left[board->problem->jobs[at].setting]++;
        board->group_left[board->problem->jobs[at].group]++;
    }
}

size_t nmk_moveboard_to_come(struct nmk_moveboard *board)
{
    size_t sum = 0;
    for (size_t s = 0; s < board->problem->setting_count; s++) {
        if (!board->left[s])
            continue;
        size_t i = board->starts[s];
        while (is_done(board, board->by_runs[i]))
            i++;
        board->steps += i - board->starts[s] + 1;
        sum += board->runs[board->by_runs[i]];
    }
    return sum;
}
