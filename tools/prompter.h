/* prompter.h -- the cue sheet on a terminal: one thing at a time in large type, moved on by a key, so that both hands are
 * free otherwise. */
#ifndef TOOLS_PROMPTER_H
#define TOOLS_PROMPTER_H

#include "ground/sink.h"
#include "nearmark/plan.h"

/* Standard input and output are terminals. Returns when the person leaves, or at the end. */
void prompter_run(struct sink *out, const struct nmk_plan *plan, bool both);

#endif
