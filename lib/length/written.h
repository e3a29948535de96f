/* written.h -- the text that a length is read from, and how a refusal is put down. */
#ifndef LIB_LENGTH_WRITTEN_H
#define LIB_LENGTH_WRITTEN_H

#include "length/glyph.h"
#include "nearmark/length.h"

struct nmk_written {
    const char *text;
    size_t size;
    struct nmk_length_error *error; /* may be NULL */
};

struct nmk_glyph nmk_written_glyph(const struct nmk_written *w, size_t at);
bool nmk_written_has_digit(const struct nmk_written *w, size_t at);
size_t nmk_written_skip_spaces(const struct nmk_written *w, size_t at);

/* A part of the text fit for a message: without control characters, cut off with an ellipsis where it is long. */
struct nmk_quote {
    char text[56];
};
struct nmk_quote nmk_written_quote(const struct nmk_written *w, size_t at, size_t size);

/* Fills *w->error and returns `status`. */
__attribute__((format(printf, 7, 8))) enum nmk_status nmk_written_refuse(const struct nmk_written *w, enum nmk_status status,
                                                                         const char *code, size_t at, size_t size,
                                                                         const char *hint, const char *format, ...);

#endif
