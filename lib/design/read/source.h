/* source.h -- the text of a design file as lines, and places in it as people count them. */
#ifndef LIB_DESIGN_READ_SOURCE_H
#define LIB_DESIGN_READ_SOURCE_H

#include <stdbool.h>
#include <stddef.h>

#include "nearmark/diagnostics.h"

struct nmk_source_line {
    size_t start, end; /* bytes of the text, without the line's end */
};

struct nmk_source {
    const char *text;
    size_t size;
    size_t count;
    struct nmk_source_line *lines;
    size_t known_line, known_at; /* a place whose column is known, so that long lines are counted once */
    uint32_t known_column;       /* 0: none */
};

/* Why a text is no text. */
struct nmk_source_error {
    const char *code, *message, *hint;
    size_t at;
};

/* Splits into lines (LF, CRLF or CR; a byte-order mark at the start is left out). The text is borrowed. INVALID if it
 * is not UTF-8 or holds control characters, TOO_LARGE beyond 1 MiB; then *error says why, and *source holds the lines
 * nevertheless (not when it is too large). Clear it in either case. */
enum nmk_status nmk_source_read(struct nmk_source *source, const char *text, size_t size,
                                struct nmk_source_error *error);
void nmk_source_clear(struct nmk_source *source);

/* The line (index) in which byte `at` lies. */
size_t nmk_source_line_of(const struct nmk_source *source, size_t at);
/* Bytes [at, at + size) of line `line` (index) as a span; cut off at the line's end, at least one character long. */
struct nmk_span nmk_source_span(struct nmk_source *source, size_t line, size_t at, size_t size);

#endif
