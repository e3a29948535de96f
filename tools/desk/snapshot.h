/* snapshot.h -- the marks and states of the design on the desk before a change, to show only what the change changed. */
#ifndef TOOLS_DESK_SNAPSHOT_H
#define TOOLS_DESK_SNAPSHOT_H

#include "desk/worktop.h"

struct snapshot;
struct snapshot *snapshot_new(const struct worktop *w);
void snapshot_free(struct snapshot *s); /* NULL allowed */
/* For each edition the lengths and cut sizes that moved, the demands of which something else is to be said now, and how
 * it ends: "all 7 hold". */
void snapshot_show(struct sink *out, const struct snapshot *before, const struct worktop *now);

#endif
