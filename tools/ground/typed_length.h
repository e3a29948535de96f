/* typed_length.h -- a length written exactly, as a person would type it into a design. */
#ifndef TOOLS_GROUND_TYPED_LENGTH_H
#define TOOLS_GROUND_TYPED_LENGTH_H

#include "nearmark/length.h"

/* In its unit: `3 1/2 in`, `88.25 mm`, `2 1/3 in`. The caller's (store_free). */
__attribute__((returns_nonnull)) char *typed_length(const struct nmk_rat *mm, enum nmk_unit unit);

#endif
