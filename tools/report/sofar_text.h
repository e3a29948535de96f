/* sofar_text.h -- what is said when settling did not come to its end: what is known and proven so far. */
#ifndef TOOLS_REPORT_SOFAR_TEXT_H
#define TOOLS_REPORT_SOFAR_TEXT_H

#include "nearmark/settle.h"

/* `steps`: that were made. Messages to standard error; takes about a second. */
void sofar_text_say(const struct nmk_draft *draft, const struct nmk_settle_options *options, uint64_t steps);

#endif
