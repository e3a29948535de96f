/* parts.h -- the parts of a design that are settled by themselves.
 *
 * (1) Two lengths are in one part if a demand or a score binds them (the marking says which: mats may be left unbound). A
 *     demand belongs to the part of its lengths; one without lengths is a part of its own.
 * (2) What is settled for a part, and how its demands are judged, is a function of the designed sizes of its lengths, of
 *     the measures that its demands name, and of the edges that the scores of the pieces they name are taken from. */
#ifndef LIB_SETTLE_PARTS_H
#define LIB_SETTLE_PARTS_H

#include "base/text.h"
#include "fit/clearance.h"
#include "settle/marking.h"

struct nmk_part {
    size_t length_count, demand_count, measure_count, piece_count;
    size_t *lengths, *demands, *measures, *pieces; /* indices of the design, rising */
};

struct nmk_parts {
    size_t count;
    struct nmk_part *all;
};

void nmk_parts_new(struct nmk_parts **out, const struct nmk_clearances *clearances, const struct nmk_marking *marking);
void nmk_parts_free(struct nmk_parts *parts);

/* Adds the edges that the scores of a piece are taken from. */
void nmk_edges_key(struct nmk_text *key, const struct nmk_draft *draft, size_t piece);
/* The key of a part in a draft: equal keys, equal answers (2). Written over what `key` held. */
void nmk_part_key(struct nmk_text *key, const struct nmk_part *part, const struct nmk_draft *draft);

#endif
