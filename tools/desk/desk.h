/* desk.h -- the prompt that starts without a command. On a terminal it edits lines; from a pipe it answers line by line. */
#ifndef TOOLS_DESK_DESK_H
#define TOOLS_DESK_DESK_H

#include "ground/sink.h"

enum ending desk_run(struct sink *out, enum colour colour);

#endif
