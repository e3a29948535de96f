/* demand_lengths.h -- which lengths a demand speaks of. */
#ifndef TOOLS_REPORT_DEMAND_LENGTHS_H
#define TOOLS_REPORT_DEMAND_LENGTHS_H

#include "nearmark/design.h"

/* in: by length of the design; those are set that stand in a size of the demand, the others are left as they are. */
void demand_lengths_mark(bool *in, const struct nmk_design *design, const struct nmk_demand *demand);

#endif
