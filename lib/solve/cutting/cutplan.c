#include "solve/cutting/cutplan.h"

#include "base/memory.h"

void nmk_cutplan_clear(struct nmk_cutplan *plan)
{
    nmk_builds_clear(&plan->builds);
    nmk_memory_free(plan->sheets);
    *plan = (struct nmk_cutplan){0};
}

void nmk_cutplan_restart(struct nmk_cutplan *plan)
{
    plan->builds.count = 0;
    plan->count = 0;
    plan->total = 0;
}

void nmk_cutplan_add(struct nmk_cutplan *plan, size_t format, uint32_t root, int64_t copies)
{
    void *sheets = plan->sheets;
    nmk_memory_reserve(&sheets, &plan->space, plan->count + 1, sizeof *plan->sheets);
    plan->sheets = sheets;
    plan->sheets[plan->count++] = (struct nmk_cutplan_sheet){format, root, copies};
    plan->total += copies;
}

void nmk_cutplan_swap(struct nmk_cutplan *a, struct nmk_cutplan *b)
{
    struct nmk_cutplan old = *a;
    *a = *b;
    *b = old;
}
