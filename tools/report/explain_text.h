/* explain_text.h -- explain on the screen: where a clearance comes from, and why a length is where it is. */
#ifndef TOOLS_REPORT_EXPLAIN_TEXT_H
#define TOOLS_REPORT_EXPLAIN_TEXT_H

#include "ground/sink.h"
#include "report/explained.h"

void explain_text_show(struct sink *out, const struct explained *e);

#endif
