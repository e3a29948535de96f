/* explain_subject.h -- what a person names to be explained: demands, or a length. */
#ifndef TOOLS_EXPLAIN_SUBJECT_H
#define TOOLS_EXPLAIN_SUBJECT_H

#include <stdbool.h>

#include "nearmark/design.h"

struct explain_subject { /* flags by index of the design */
    bool *demands, *lengths;
};

/* `word`: a demand's name, also with its kind and direction ("border label across"), or a length's; every demand of that
 * name is meant. A beginning that belongs to one name only is enough. false: the message was given. The caller clears *out
 * in both cases. */
bool explain_subject_find(struct explain_subject *out, const struct nmk_design *design, const char *word);
void explain_subject_clear(struct explain_subject *subject);

#endif
