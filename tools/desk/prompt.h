/* prompt.h -- one line after the other from a terminal, with editing, completion, and a history that is kept from sitting
 * to sitting in the state folder (XDG_STATE_HOME, or .local/state in the home folder). */
#ifndef TOOLS_DESK_PROMPT_H
#define TOOLS_DESK_PROMPT_H

#include "desk/completion.h"

struct prompt;
/* `words`: what may be completed; must outlive the prompt. Until prompt_free Ctrl-C ends a line, not the program; a second
 * one while a line is being answered does end it. */
struct prompt *prompt_new(const char *name, const struct completion_words *words);
/* The line without its end, borrowed until the next call; NULL: the person left (Ctrl-D). */
const char *prompt_line(struct prompt *prompt, const char *sign);
void prompt_free(struct prompt *prompt);

#endif
