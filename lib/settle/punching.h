/* punching.h -- the choice of punches where all lengths are at their nearest marks. */
#ifndef LIB_SETTLE_PUNCHING_H
#define LIB_SETTLE_PUNCHING_H

#include "fit/judge.h"
#include "nearmark/settle.h"

/* The choices with the fewest unmet demands, then the surest, then the largest openings and smallest pieces. choices: one
 * entry a length, from 0. */
enum nmk_status nmk_punching_choose(size_t *choices, const struct nmk_draft *draft, const struct nmk_clearances *clearances,
                                    const struct nmk_judge *judge, const struct nmk_settle_options *options);

#endif
