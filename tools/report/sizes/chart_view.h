/* chart_view.h -- what the table, the CSV and the JSON of a size chart share. */
#ifndef TOOLS_REPORT_SIZES_CHART_VIEW_H
#define TOOLS_REPORT_SIZES_CHART_VIEW_H

#include "nearmark/chart.h"

struct chart_view { /* of one edition; all borrowed */
    const struct nmk_draft *draft; /* at any sizes: only its edition, step and unit are asked for */
    const struct nmk_design *design;
    const size_t *measures;        /* the varied ones */
    const enum nmk_unit *units;    /* in which their sizes are shown: as they were asked for */
    size_t measure_count;
};

const char *chart_view_state(const struct nmk_chart_row *row); /* "holds" ... "cannot hold" */
/* Of a length "4 7/16 in", of a choice "20 mm x 10 mm"; "" where nothing meets every demand. The caller's (store_free). */
__attribute__((returns_nonnull)) char *chart_view_length(const struct chart_view *view, const struct nmk_chart_row *row,
                                                         size_t length);
/* Of a varied size. The caller's. */
__attribute__((returns_nonnull)) char *chart_view_size(const struct chart_view *view, const struct nmk_rat *sizes, size_t i);
/* "fit tray.wall; keep sleeve.tab at least 10 mm": what does not hold. The caller's. */
__attribute__((returns_nonnull)) char *chart_view_bad(const struct chart_view *view, const size_t *bad, size_t count);

#endif
