/* say_check.h -- part of the independent checker of plans: what the pieces say is said once, where it stands. */
#ifndef LIB_SETTLE_SAY_CHECK_H
#define LIB_SETTLE_SAY_CHECK_H

#include "nearmark/plan.h"

/* NULL, or what is wrong. */
const char *nmk_plan_check_says(const struct nmk_plan *plan);

#endif
