/* judgement.h -- a design settled for the editions that the call asks for. */
#ifndef TOOLS_JUDGEMENT_H
#define TOOLS_JUDGEMENT_H

#include "ground/waiting.h"
#include "options.h"

struct judged { /* one edition */
    struct nmk_draft *draft;
    struct nmk_settled *settled;
    struct nmk_conflict *conflict; /* where nothing meets all demands, else NULL */
    struct waiting waiting;        /* who goes on from the settled result asks it, too */
};

struct judgement {
    size_t count;
    struct judged *editions;
};

/* `name`: of the design's file, for messages. Not DONE: messages were given, and there is nothing in *out. The design must
 * outlive it. */
enum ending judge_design(struct judgement *out, const struct nmk_design *design, const char *name, const struct call *call);
void judgement_clear(struct judgement *j);
/* How the program ends: UNMET where a settled demand is not met (with --strict: or at risk). Says what is at risk. */
enum ending judgement_ending(const struct judgement *j, const struct call *call);

#endif
