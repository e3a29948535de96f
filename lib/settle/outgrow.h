/* outgrow.h -- sizes of the object at which a piece outgrows its sheet or the reach of the trimmer. */
#ifndef LIB_SETTLE_OUTGROW_H
#define LIB_SETTLE_OUTGROW_H

#include "nearmark/rules.h"
#include "settle/carding.h"

struct nmk_outgrown {
    struct nmk_outgrow *all;
    size_t count, space;
};

/* values: of the carding's unknowns. One measure at a time is varied, the others stay as in the file. */
void nmk_outgrown_find(struct nmk_outgrown *out, const struct nmk_carding *carding, const int64_t *values);
void nmk_outgrown_clear(struct nmk_outgrown *outgrown);

#endif
