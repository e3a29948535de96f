/* cue_name.h -- what the parts of a plan are called: on the map, at the steps, spoken. */
#ifndef TOOLS_REPORT_PLAN_CUE_NAME_H
#define TOOLS_REPORT_PLAN_CUE_NAME_H

#include "ground/sink.h"
#include "nearmark/plan.h"

/* "A" to "Z", "AA" ...; the caller's (store_free). */
__attribute__((returns_nonnull)) char *cue_letters(size_t number);
/* "sheet 1", "sheets 2 to 5", "strip A", "4 strips A", "Tray", "offcut 2"; the caller's. */
__attribute__((returns_nonnull)) char *cue_part_name(const struct nmk_plan *plan, size_t part);
/* "8 1/2 in x 11 in"; the caller's. */
__attribute__((returns_nonnull)) char *cue_size(const struct nmk_plan *plan, const struct nmk_rat size[2]);
/* "sheet 1", "sheets 2 to 5" */
void cue_add_sheets(struct sink *s, const struct nmk_plan_sheet *sheet);
/* The name of a part, so many times as many. */
void cue_add_part(struct sink *s, const struct nmk_plan *plan, size_t part, int64_t times);

#endif
