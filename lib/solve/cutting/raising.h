/* raising.h -- how large a build may be taken to be.
 *
 * The sides of different pieces add up to certain sums only. A build of size x lies on the sheet among others, whose sides
 * add up to at most size - x: what they cannot fill is given to it, so that (1) raised(x) = usable - the greatest sum that is
 * at most usable - x, and (2) the sheet itself is cut down to its greatest sum, the usable size. */
#ifndef LIB_SOLVE_RAISING_H
#define LIB_SOLVE_RAISING_H

#include "solve/cutting/cutjob.h"

struct nmk_raising { /* zeroed to begin with; kept between sheets */
    int32_t *raised[2]; /* of each width; of each height */
    int32_t size[2];    /* 0: nothing is raised */
};

/* For the pieces of a set, along one direction; the usable size. The steps are added to *work. */
int32_t nmk_raising_make(struct nmk_raising *raising, int down, const struct nmk_cutjob *job, uint64_t set, int32_t size,
                         uint64_t *work);
void nmk_raising_clear(struct nmk_raising *raising);

static inline int32_t nmk_raised(const struct nmk_raising *raising, int down, int32_t x)
{
    return raising->size[down] ? raising->raised[down][x] : x;
}

#endif
