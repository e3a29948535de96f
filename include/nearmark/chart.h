/* chart.h -- the settled marks of one design for many sizes of the object.
 *
 * A chart remembers, for each part of the design that is settled by itself, what it found for the sizes it depends on:
 * over a grid of sizes most parts have been met before. The answers are those of nmk_settle. */
#ifndef NEARMARK_CHART_H
#define NEARMARK_CHART_H

#include "nearmark/settle.h"

struct nmk_chart;

struct nmk_chart_row {         /* borrowed from the chart until its next call */
    bool holds_together;
    enum nmk_state state;      /* the worst; where nothing meets all demands it means nothing */
    const int64_t *marks;      /* by length; of a choice its number from 1; NULL where nothing meets all demands */
    size_t bad_count;          /* demands that do not hold, or a smallest set that cannot be met together */
    const size_t *bad;         /* in file order */
};

/* `design` is borrowed and may be given other sizes (nmk_design_set_measure) between two rows; the rest as
 * nmk_draft_new and nmk_settle. `options` is copied. */
enum nmk_status nmk_chart_new(struct nmk_chart **out, const struct nmk_design *design, size_t edition,
                              const struct nmk_rat *step, enum nmk_unit step_unit, const struct nmk_settle_options *options);
void nmk_chart_free(struct nmk_chart *chart); /* NULL allowed */

/* The row of the design's present sizes. NMK_INVALID, with diagnostics, for sizes that the design cannot be drawn up for. */
enum nmk_status nmk_chart_settle(struct nmk_chart_row *row, struct nmk_chart *chart, struct nmk_diagnostics *list);

#endif
