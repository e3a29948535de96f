/* cutplan.h -- a plan in the making: for each pattern its kind of sheet, its build and how often it is cut. */
#ifndef LIB_SOLVE_CUTPLAN_H
#define LIB_SOLVE_CUTPLAN_H

#include "solve/cutting/build.h"
#include "solve/cutting/cutjob.h"

struct nmk_cutplan_sheet {
    size_t format;
    uint32_t root; /* a build without turned joins */
    int64_t copies;
};

struct nmk_cutplan {
    struct nmk_builds builds;
    size_t count, space;
    struct nmk_cutplan_sheet *sheets;
    int64_t total; /* copies together */
};

void nmk_cutplan_clear(struct nmk_cutplan *plan);
/* Empty again, its memory kept. */
void nmk_cutplan_restart(struct nmk_cutplan *plan);
void nmk_cutplan_add(struct nmk_cutplan *plan, size_t format, uint32_t root, int64_t copies);
void nmk_cutplan_swap(struct nmk_cutplan *a, struct nmk_cutplan *b);

#endif
