/* source_text.h -- what a clearance's spread comes from, in words: "Tray: the score 1 1/8 in from the left edge". */
#ifndef TOOLS_REPORT_SOURCE_TEXT_H
#define TOOLS_REPORT_SOURCE_TEXT_H

#include "ground/sink.h"
#include "nearmark/settle.h"

/* With how often it counts, where that is not once. `demand`: the one it is a contribution to. */
void source_text_add(struct sink *out, const struct nmk_settled *settled, enum nmk_column column, size_t demand,
                     const struct nmk_contribution *source);

#endif
