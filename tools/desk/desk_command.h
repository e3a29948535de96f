/* desk_command.h -- the program's commands at the desk, for the design that lies open: `check`, `cuts --edition imperial`. */
#ifndef TOOLS_DESK_DESK_COMMAND_H
#define TOOLS_DESK_DESK_COMMAND_H

#include "desk/desk_words.h"

/* text[0..size) is the first word. false: it is no command. */
bool desk_command(struct desk *d, const char *text, size_t size);

#endif
