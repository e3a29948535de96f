/* row_words.h -- words for rows: beside which panels lines run, and what is cut within a piece. */
#ifndef TOOLS_REPORT_ROW_WORDS_H
#define TOOLS_REPORT_ROW_WORDS_H

#include "ground/json.h"
#include "nearmark/runs.h"

/* Is the line a cut within the piece, and no edge? */
bool row_line_is_cut(const struct nmk_piece *piece, enum nmk_way way, size_t line);
/* The row whose line it is, where that runs beside some panels only; else NULL. */
const struct nmk_row *row_of_line(const struct nmk_piece *piece, enum nmk_way way, size_t line);
/* "flap and back"; spoken: names with their words apart. */
void row_add_panels(struct sink *out, const struct nmk_piece *piece, const struct nmk_row *row, bool spoken);

/* How a place along a line is written, so many marks from the first edge. */
typedef void row_write_marks(struct sink *out, const void *with, int64_t marks);

/* "from the left edge to 15 mm, and from 168 mm to the right edge": where a line is cut that is scored elsewhere, or that runs
 * on through what is cut away; `whole`: also where it is cut from edge to edge. Nothing of lines that run beside some panels
 * only, and where none is cut. Was there anything? */
bool row_add_cut_runs(struct sink *out, const struct nmk_settled *settled, enum nmk_column column, size_t piece,
                      enum nmk_way way, size_t line, bool whole, row_write_marks *write, const void *with);

/* The lines between the edges as they lie from the first edge to the last; of one place in the order of the lists. */
struct row_lines {
    size_t count;
    size_t *all; /* store_free */
};
void row_lines_make(struct row_lines *out, const struct nmk_settled *settled, enum nmk_column column, size_t piece,
                    enum nmk_way way);
void row_lines_clear(struct row_lines *lines);

/* "beside": [panels], of a row that runs beside some panels only. */
void row_json_beside(struct json *j, const struct nmk_piece *piece, const struct nmk_row *row);
/* "runs": [{"from", "to", "from_mm", "to_mm", "cut"}], marks in the other direction. */
void row_json_runs(struct json *j, const struct nmk_settled *settled, size_t piece, enum nmk_way way, size_t line);

#endif
