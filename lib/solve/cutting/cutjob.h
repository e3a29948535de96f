/* cutjob.h -- one question to the sheet planner, put in order: equal pieces gathered in lots, the largest first; sizes
 * made small by their common divisor; the budget of steps.
 *
 * Where the demands are small enough a set of pieces is one 64-bit word: a field for each lot holds how many of it are
 * in the set, with one spare bit above it, so that sums and "is part of" are one operation on the word. */
#ifndef LIB_SOLVE_CUTJOB_H
#define LIB_SOLVE_CUTJOB_H

#include "nearmark/cutting.h"

enum { NMK_CUTJOB_NO_REACH = INT32_MAX };

struct nmk_lot {
    int32_t width, height; /* where it may be turned: width >= height */
    bool may_turn;         /* false for squares */
    int64_t demand;
    int64_t area;
};

struct nmk_format {
    int32_t width, height;
};

struct nmk_cutjob {
    size_t lot_count, format_count;
    struct nmk_lot *lots; /* area falls */
    size_t *lot_of_piece;
    struct nmk_format *formats;
    int32_t reach;
    int64_t unit; /* the common divisor: sizes here times unit are the caller's */
    int64_t pieces, area;

    bool small;      /* a set fits a word */
    uint8_t *shifts; /* where a lot's field begins */
    uint64_t *masks; /* as wide as its field, at the low end */
    uint64_t spare;  /* the spare bits */
    uint64_t all;    /* the set of all pieces */

    uint64_t steps, most_steps, next_call;
    bool stopped;
    bool (*progress)(void *context, uint64_t steps);
    void *context;
};

/* Sizes must have been checked (nmk_cutting_solve does). */
void nmk_cutjob_init(struct nmk_cutjob *job, const struct nmk_cutting_problem *problem);
void nmk_cutjob_clear(struct nmk_cutjob *job);
/* Spends steps; false once the budget is used up or the caller wants to stop. */
bool nmk_cutjob_spend(struct nmk_cutjob *job, uint64_t steps);
/* Is there anything left? */
bool nmk_cutjob_goes_on(const struct nmk_cutjob *job);

/* Can the lot lie so (turned or not) in a rectangle of this size? */
bool nmk_lot_fits(const struct nmk_lot *lot, bool turned, int32_t width, int32_t height);

static inline uint64_t nmk_set_one(const struct nmk_cutjob *job, size_t lot)
{
    return (uint64_t)1 << job->shifts[lot];
}
/* How many of a lot are in the set. */
static inline int64_t nmk_set_count(const struct nmk_cutjob *job, uint64_t set, size_t lot)
{
    return (int64_t)(set >> job->shifts[lot] & job->masks[lot]);
}
int64_t nmk_set_area(const struct nmk_cutjob *job, uint64_t set);
/* part <= whole in every field; part may be the sum of two sets within all. */
static inline bool nmk_set_is_part(const struct nmk_cutjob *job, uint64_t part, uint64_t whole)
{
    return (((whole | job->spare) - part) & job->spare) == job->spare;
}

#endif
