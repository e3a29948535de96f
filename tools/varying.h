/* varying.h -- the sizes that a measure goes through, `--vary long=80mm..150mm/5mm`. */
#ifndef TOOLS_VARYING_H
#define TOOLS_VARYING_H

#include <stdbool.h>

#include "nearmark/length.h"

struct varying {
    char *name;
    struct nmk_rat from, to, step; /* 0 < from <= to, 0 < step */
    enum nmk_unit unit;            /* in which `from` is written */
};

/* Reads a value of --vary. *out: zeroed; the caller clears it also after a false, of which the message was given. */
bool varying_read(struct varying *out, const char *value);
void varying_clear(struct varying *v);

/* How many sizes these are; INT64_MAX: that many or more. */
int64_t varying_count(const struct varying *v);
void varying_at(struct nmk_rat *mm, const struct varying *v, int64_t k); /* from + k step */

#endif
