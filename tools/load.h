/* load.h -- a design from a file, with the person's own sizes put in. */
#ifndef TOOLS_LOAD_H
#define TOOLS_LOAD_H

#include "options.h"

/* `path` "-": standard input. Messages are given; NULL: wrong or failed, as *ending says. The caller frees it. */
struct nmk_design *load_design(const char *path, const struct call *call, enum ending *ending);
/* What the file holds; the caller's (store_free). NULL: as *ending says, the message was given. */
char *load_file(const char *path, size_t *size, enum ending *ending);
/* The same from a text that is at hand; `name` stands for the file in messages. */
struct nmk_design *load_text(const char *name, const char *text, size_t size, const struct call *call);

/* A note where its size lies outside the range that the design is meant for. */
void load_note_size(const struct nmk_measure *measure);

#endif
