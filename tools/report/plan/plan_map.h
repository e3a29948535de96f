/* plan_map.h -- a sheet of a plan as a small map in plain text, to scale as far as letters allow, with a key below. */
#ifndef TOOLS_REPORT_PLAN_PLAN_MAP_H
#define TOOLS_REPORT_PLAN_PLAN_MAP_H

#include "ground/sink.h"
#include "nearmark/plan.h"

void plan_map_show(struct sink *out, const struct nmk_plan *plan, size_t sheet);

#endif
