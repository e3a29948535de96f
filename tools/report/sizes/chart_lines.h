/* chart_lines.h -- a size chart line by line: CSV (RFC 4180) and JSON lines. Their columns and keys are listed in
 * DEVELOPERS.md. */
#ifndef TOOLS_REPORT_SIZES_CHART_LINES_H
#define TOOLS_REPORT_SIZES_CHART_LINES_H

#include "ground/sink.h"
#include "report/sizes/chart_view.h"

/* A text of a design that a spreadsheet would take for a formula (it begins with = + - @, a tab or a line end) is shown
 * with a ' before it. */
void chart_lines_csv_head(struct sink *out, const struct chart_view *view);
void chart_lines_csv(struct sink *out, const struct chart_view *view, const struct nmk_rat *sizes,
                     const struct nmk_chart_row *row);
void chart_lines_json(struct sink *out, const struct chart_view *view, const struct nmk_rat *sizes,
                      const struct nmk_chart_row *row);

#endif
