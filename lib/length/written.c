#include "length/written.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

struct nmk_glyph nmk_written_glyph(const struct nmk_written *w, size_t at)
{
    return nmk_glyph_get(w->text, w->size, at);
}

bool nmk_written_has_digit(const struct nmk_written *w, size_t at)
{
    return at < w->size && nmk_glyph_is_digit((unsigned char)w->text[at]);
}

size_t nmk_written_skip_spaces(const struct nmk_written *w, size_t at)
{
    return nmk_glyph_skip_spaces(w->text, w->size, at);
}

struct nmk_quote nmk_written_quote(const struct nmk_written *w, size_t at, size_t size)
{
    enum { MOST = 48 };
    struct nmk_quote q = {""};
    size_t used = 0, end = at + size;
    while (at < end) {
        struct nmk_glyph g = nmk_written_glyph(w, at);
        if (!g.bytes)
            break;
        if (used + g.bytes > MOST) {
            memcpy(q.text + used, "\xE2\x80\xA6", 4); /* an ellipsis and the NUL */
            break;
        }
        bool plain = g.code >= 0x20 && g.code != 0xFFFD && !(g.code >= 0x7F && g.code < 0xA0);
        if (plain)
            memcpy(q.text + used, w->text + at, g.bytes);
        else
            q.text[used] = '?';
        used += plain ? g.bytes : 1;
        at += g.bytes;
    }
    return q;
}

enum nmk_status nmk_written_refuse(const struct nmk_written *w, enum nmk_status status, const char *code, size_t at,
                                   size_t size, const char *hint, const char *format, ...)
{
    struct nmk_length_error *e = w->error;
    if (!e)
        return status;
    *e = (struct nmk_length_error){.code = code, .at = at, .size = size};
    va_list args;
    va_start(args, format);
    vsnprintf(e->message, sizeof e->message, format, args);
    va_end(args);
    if (hint)
        snprintf(e->hint, sizeof e->hint, "%s", hint);
    return status;
}
