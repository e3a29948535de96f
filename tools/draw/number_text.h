/* number_text.h -- numbers in drawings: the same bytes under every locale. */
#ifndef TOOLS_DRAW_NUMBER_TEXT_H
#define TOOLS_DRAW_NUMBER_TEXT_H

#include "ground/sink.h"

/* At most four decimals, no trailing zeros, never -0. */
void number_add(struct sink *out, double value);
/* Reads what number_add wrote; *text moves behind it. */
double number_take(const char **text);

#endif
