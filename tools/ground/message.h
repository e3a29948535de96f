/* message.h -- messages to the person, on standard error. Never a control character of what others wrote. */
#ifndef TOOLS_GROUND_MESSAGE_H
#define TOOLS_GROUND_MESSAGE_H

#include "nearmark/diagnostics.h"

/* "nearmark: MESSAGE". */
__attribute__((format(printf, 1, 2))) void message_error(const char *format, ...);
/* A line of its own below the last one, indented. */
__attribute__((format(printf, 1, 2))) void message_more(const char *format, ...);

/* That an input cannot be read, and why (errno). */
void message_unreadable(const char *name, int error);

/* What is wrong (or a note), with place, line and caret. `where`: the file's name, or NULL. */
void message_diagnostic(const char *where, const struct nmk_diagnostic *d);
void message_diagnostics(const char *where, const struct nmk_diagnostics *list);

#endif
