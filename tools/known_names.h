/* known_names.h -- the names that would have been right, for the message about one that is not known. */
#ifndef TOOLS_KNOWN_NAMES_H
#define TOOLS_KNOWN_NAMES_H

#include <stdbool.h>

#include "ground/sink.h"
#include "near_name.h"
#include "nearmark/design.h"

struct known_names {
    struct near_name near;
    struct sink list;
};

struct known_names known_names_begin(const char *word);
void known_names_add(struct known_names *known, const char *name);
/* "--set: the design has no measure wdie; did you mean wide?", or all names where none is near. Ends `known`. */
void known_names_refuse(struct known_names *known, const char *before, const char *owner, const char *kind);

/* The index of a measure of this name. false: there is none; then the message was given. `before`: "--set: " or "". */
bool known_measure(size_t *out, const struct nmk_design *design, const char *name, const char *before);

#endif
