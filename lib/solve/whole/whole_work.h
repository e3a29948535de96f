/* whole_work.h -- the budget of steps: counted the same on every machine, never a clock. */
#ifndef LIB_SOLVE_WHOLE_WORK_H
#define LIB_SOLVE_WHOLE_WORK_H

#include <stdbool.h>
#include <stdint.h>

#include "nearmark/whole.h"

struct nmk_work {
    uint64_t steps, most, next; /* next: when to look again at the budget and to report */
    bool (*progress)(void *context, uint64_t steps);
    void *context;
    enum nmk_status status; /* NMK_OK until the work has to end */
};

void nmk_work_init(struct nmk_work *work, const struct nmk_whole_problem *problem);
bool nmk_work_pause(struct nmk_work *work);
/* Ends the work after `steps` more, if the budget allows as many; the budget as it was. */
uint64_t nmk_work_limit(struct nmk_work *work, uint64_t steps);
/* Takes the limit back. True if the work was ended by it, or by numbers or tables that became too large: it can then go
 * on in another way. */
bool nmk_work_unlimit(struct nmk_work *work, uint64_t most);
/* Ends the work with a status; false, so that it can be returned. */
bool nmk_work_fail(struct nmk_work *work, enum nmk_status status);

/* Counts n steps; false if the work has to end. */
static inline bool nmk_work_step(struct nmk_work *work, uint64_t n)
{
    work->steps += n;
    return work->steps < work->next || nmk_work_pause(work);
}

#endif
