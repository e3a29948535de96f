/* unfit.h -- what a plan could not lay on its sheets as it should lie there. */
#ifndef TOOLS_UNFIT_H
#define TOOLS_UNFIT_H

#include "ground/ending.h"
#include "nearmark/plan.h"

/* Says which pieces fit no sheet, or theirs only across the grain; then UNMET, else DONE. NULL: no plan, and nothing is
 * said. */
enum ending say_unfit(const struct nmk_plan *plan);

#endif
