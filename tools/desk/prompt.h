/* prompt.h -- one line after the other from a terminal, with editing and a history of this sitting. */
#ifndef TOOLS_DESK_PROMPT_H
#define TOOLS_DESK_PROMPT_H

struct prompt;
struct prompt *prompt_new(const char *name);
/* The line without its end, borrowed until the next call; NULL: the person left (Ctrl-D). */
const char *prompt_line(struct prompt *prompt, const char *sign);
void prompt_free(struct prompt *prompt);

#endif
