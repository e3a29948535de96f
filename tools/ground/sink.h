/* sink.h -- where results go: standard output or a file.
 *
 * Text is gathered and written when asked, so that a command that fails has written nothing. The first failure sticks;
 * later calls do nothing. A file is written under another name and renamed at the end: it is whole or it is not there. */
#ifndef TOOLS_GROUND_SINK_H
#define TOOLS_GROUND_SINK_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "ground/ending.h"

enum tint { TINT_NONE, TINT_STRONG, TINT_GOOD, TINT_RISK, TINT_BAD, TINT_FAINT };
enum colour { COLOUR_AUTO, COLOUR_ALWAYS, COLOUR_NEVER };

struct sink {
    char *data;
    size_t size, space;
    int fd;
    int error;    /* errno of the first failure, 0: none */
    bool colour;
    char *target; /* a file: where it goes at the end, NULL: standard output */
    char *unfinished; /* its name until then; NULL: written directly */
};

/* Is colour wanted on this descriptor? AUTO: a terminal that can, and no NO_COLOR. */
bool sink_wants_colour(int fd, enum colour colour);
void sink_init(struct sink *s, enum colour colour); /* to standard output */
/* To a file. false: it cannot be opened; then the message was given. */
bool sink_open(struct sink *s, const char *path, enum colour colour);

void sink_make_room(struct sink *s, size_t size); /* for so many bytes more, and a zero byte */
static inline void sink_add(struct sink *s, const char *bytes, size_t size)
{
    if (s->size + size >= s->space)
        sink_make_room(s, size);
    if (size)
        memcpy(s->data + s->size, bytes, size);
    s->size += size;
    s->data[s->size] = '\0';
}
void sink_string(struct sink *s, const char *string);
__attribute__((format(printf, 2, 3), nonnull)) void sink_format(struct sink *s, const char *format, ...);
__attribute__((format(printf, 2, 0), nonnull)) void sink_list(struct sink *s, const char *format, va_list args);
void sink_tint(struct sink *s, enum tint tint, const char *string);
void sink_spaces(struct sink *s, int count);  /* none if count <= 0 */
void sink_plain(struct sink *s, const char *text); /* of a design: control characters replaced */
/* Words filled into lines of at most 72 columns, each after `indent` spaces.
 * With a line end. */
void sink_words(struct sink *s, int indent, const char *text);

/* Writes what was gathered. false: nobody reads any more, or it failed. */
bool sink_flush(struct sink *s);
/* Writes the rest, finishes the file. How the program ends: as it would have so far; DONE when the reader went away; FAILED
 * when it cannot be written (then the message was given). */
enum ending sink_close(struct sink *s, enum ending so_far);
/* Lets go without writing; a half-written file is removed. A closed sink may be dropped again. */
void sink_drop(struct sink *s);

#endif
