/* keeping.h -- which demands to leave out so that the rest can be met together.
 *
 * The fewest; of equally few, those latest in order: each demand in turn is kept if no more have to go for it. */
#ifndef LIB_SETTLE_KEEPING_H
#define LIB_SETTLE_KEEPING_H

#include "settle/subset.h"

/* kept: subset->count flags. NMK_INVALID: what always stays cannot be met by itself. */
enum nmk_status nmk_keeping_choose(bool *kept, struct nmk_subset *subset);

#endif
