/* text.h -- a growable string. data is NUL-terminated once anything was added; a zeroed struct is the empty string. */
#ifndef LIB_BASE_TEXT_H
#define LIB_BASE_TEXT_H

#include <stdarg.h>
#include <stddef.h>

struct nmk_text {
    char *data;
    size_t size, space;
};

void nmk_text_clear(struct nmk_text *t);
void nmk_text_add(struct nmk_text *t, const char *bytes, size_t size);
void nmk_text_add_string(struct nmk_text *t, const char *string);
__attribute__((format(printf, 2, 3))) void nmk_text_add_format(struct nmk_text *t, const char *format, ...);
void nmk_text_add_list(struct nmk_text *t, const char *format, va_list args);
/* The text, never NULL; owned by t until it changes. */
const char *nmk_text_get(const struct nmk_text *t);
/* The text, owned by the caller (nmk_memory_free); t is empty again. */
char *nmk_text_release(struct nmk_text *t);

#endif
