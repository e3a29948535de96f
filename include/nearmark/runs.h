/* runs.h -- where the lines of a settled piece run, and what is cut away of it.
 *
 * A list may hold its lines beside some panels only, cut through instead of scored, and end in a `rest`, which is cut away
 * (nmk_row). What then is left of the card is told here, in marks from the first edges: every place where a blade or a
 * scoring tool goes. All runs that are cut, of all lines and edges, are the outline and what is cut through. Snipped
 * corners and mitred ends are no matter of this: a piece with them has no rows. */
#ifndef NEARMARK_RUNS_H
#define NEARMARK_RUNS_H

#include "nearmark/settle.h"

struct nmk_run {
    int64_t from, to; /* from < to, along the line, so from the first edge of the other direction */
    bool is_cut;      /* else a score */
};

/* Where a line of a piece with panels or a mat runs: in parts from the first edge on, no two of them joined unless one is
 * cut and one is scored. Where nothing of the card is left on both sides there is none. Returns how many there are and sets
 * the first `room` of them; there are never more than the other direction has stretches, or 3. 0 in a column that does not
 * exist, and of punched pieces. */
size_t nmk_settled_runs(struct nmk_run *out, size_t room, const struct nmk_settled *settled, enum nmk_column column,
                        size_t piece, enum nmk_way way, size_t line);

struct nmk_away { /* a rectangle of card that is cut away */
    int64_t from[2], to[2]; /* by way */
};

/* What is cut away of a piece: the rests, each beside neighbouring panels as one. Returns how many there are and sets the
 * first `room`; never more than twice the stretches of the other direction. */
size_t nmk_settled_away(struct nmk_away *out, size_t room, const struct nmk_settled *settled, enum nmk_column column,
                        size_t piece);

#endif
