#include "solve/whole/whole_work.h"

#ifdef NMK_STRESS
enum { REPORT_EVERY = 1 };
#else
enum { REPORT_EVERY = 4096 };
#endif

static void plan_next(struct nmk_work *work)
{
    work->next = work->steps + REPORT_EVERY;
    if (work->most && work->most < work->next)
        work->next = work->most + 1;
}

void nmk_work_init(struct nmk_work *work, const struct nmk_whole_problem *problem)
{
    *work = (struct nmk_work){.most = problem->most_steps, .progress = problem->progress, .context = problem->context};
    plan_next(work);
}

uint64_t nmk_work_limit(struct nmk_work *work, uint64_t steps)
{
    uint64_t most = work->most;
    if (!most || work->steps + steps < most)
        work->most = work->steps + steps;
    plan_next(work);
    return most;
}

bool nmk_work_unlimit(struct nmk_work *work, uint64_t most)
{
    bool within = work->status == NMK_BUDGET && (!most || work->steps <= most);
    bool goes_on = within || work->status == NMK_OVERFLOW || work->status == NMK_TOO_LARGE;
    work->most = most;
    if (goes_on)
        work->status = NMK_OK;
    if (work->status == NMK_OK)
        plan_next(work);
    return goes_on;
}

bool nmk_work_fail(struct nmk_work *work, enum nmk_status status)
{
    if (work->status == NMK_OK)
        work->status = status;
    work->next = 0;
    return false;
}

bool nmk_work_pause(struct nmk_work *work)
{
    if (work->status != NMK_OK)
        return false;
    if (work->most && work->steps > work->most)
        return nmk_work_fail(work, NMK_BUDGET);
    if (work->progress && !work->progress(work->context, work->steps))
        return nmk_work_fail(work, NMK_STOPPED);
    plan_next(work);
    return true;
}
