/* conflict_text.h -- said plainly: no marks meet every demand, which stand against each other, and what would help. */
#ifndef TOOLS_REPORT_CONFLICT_TEXT_H
#define TOOLS_REPORT_CONFLICT_TEXT_H

#include "ground/sink.h"
#include "nearmark/settle.h"

void conflict_text_show(struct sink *out, const struct nmk_settled *settled, const struct nmk_conflict *conflict);

#endif
