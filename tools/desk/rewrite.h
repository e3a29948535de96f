/* rewrite.h -- own sizes put into the text of a design, in which nothing else changes: no comment, no space, no line end. */
#ifndef TOOLS_DESK_REWRITE_H
#define TOOLS_DESK_REWRITE_H

#include "options.h"

/* The text with the sizes of call->sets; the caller's (store_free). NULL: it cannot be done, the message was given. */
char *rewrite_sizes(const char *text, size_t size, const struct call *call);

#endif
