/* named.h -- the names of the design on the desk: what they stand for in a sum, and what is shown and said of them. */
#ifndef TOOLS_DESK_NAMED_H
#define TOOLS_DESK_NAMED_H

#include "calc/quantity.h"
#include "desk/worktop.h"
#include "near_name.h"

/* The size as drawn in the first edition: of a measure, a length, a whole size (`sleeve.across`). false: no such name. */
bool named_size(const struct worktop *w, const char *name, size_t size, struct nmk_rat *mm);
void named_each(const struct worktop *w, void (*take)(void *context, const char *name), void *context);
/* Its marks in each edition, in words too; of a piece, its cut sizes. false: no such name. */
bool named_show(struct sink *out, const struct worktop *w, const char *name);
/* The sentence to speak, for each edition. false: no such name. */
bool named_say(struct sink *out, const struct worktop *w, const char *name);
/* A size in words with its unit, "four and seven sixteenths inches"; the caller's (store_free). */
char *named_words(const struct nmk_rat *mm, enum nmk_unit unit);

#endif
