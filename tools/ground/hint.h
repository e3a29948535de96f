/* hint.h -- how to find a mark by its size: "one mark more than 4 3/8".
 *
 * Among fine marks some are easy to find: on a trimmer they are longer or carry a figure. They are every 1/8, 1/4, 1/2 or
 * 1 in, or every 1, 5, 10, 50 or 100 mm: the finest of these of which the step is a whole part, but not the step itself
 * (sixteenths: every 1/8 in; millimetres: every 5 mm). A hint counts from the nearest easy mark, from the smaller of
 * two equally near. A trimmer whose marks fit none of them gets no hint. */
#ifndef TOOLS_GROUND_HINT_H
#define TOOLS_GROUND_HINT_H

#include "nearmark/length.h"

/* `step_unit`: the unit of the marks, which says which marks are easy; `unit`: in which the figure is written. NULL: the
 * mark is easy itself, or there is no hint. The caller's (store_free). */
char *hint_mark(int64_t marks, const struct nmk_rat *step, enum nmk_unit step_unit, enum nmk_unit unit);

#endif
