#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/diagnose.h"
#include "base/text.h"
#include "design/read/reader.h"
#include "length/glyph.h"

enum { MOST_NOTES = 100 };

static void complain(struct nmk_reader *r, bool is_note, struct nmk_span span, const char *code, const char *hint,
                     const char *format, va_list args)
{
    struct nmk_text message = {0};
    nmk_text_add_list(&message, format, args);
    const char *source = NULL;
    size_t size = 0;
    if (span.line && span.line <= r->source.count) {
        struct nmk_source_line line = r->source.lines[span.line - 1];
        source = r->source.text + line.start;
        size = line.end - line.start;
    }
    nmk_diagnostics_add(r->list, is_note, code, span, source, size, nmk_text_get(&message), hint);
    nmk_text_clear(&message);
}

void nmk_read_error(struct nmk_reader *r, struct nmk_span span, const char *code, const char *hint, const char *format,
                    ...)
{
    if (++r->errors > NMK_MOST_ERRORS) {
        r->given_up = true;
        return;
    }
    va_list args;
    va_start(args, format);
    complain(r, false, span, code, hint, format, args);
    va_end(args);
}

void nmk_read_note(struct nmk_reader *r, struct nmk_span span, const char *code, const char *hint, const char *format,
                   ...)
{
    if (++r->notes > MOST_NOTES)
        return;
    va_list args;
    va_start(args, format);
    complain(r, true, span, code, hint, format, args);
    va_end(args);
}

void nmk_read_limit(struct nmk_reader *r, struct nmk_span span, const char *code, const char *format, ...)
{
    r->errors++;
    r->too_large = r->given_up = true;
    va_list args;
    va_start(args, format);
    complain(r, false, span, code, NULL, format, args);
    va_end(args);
}

struct nmk_quoted nmk_read_quote(const char *text, size_t size)
{
    struct nmk_quoted q;
    size_t most = sizeof q.text - 4, used = 0;
    for (struct nmk_glyph g; used < size; used += g.bytes) {
        g = nmk_glyph_get(text, size, used);
        if (used + g.bytes > most)
            break;
    }
    memcpy(q.text, text, used);
    strcpy(q.text + used, used < size ? "..." : "");
    return q;
}

bool nmk_read_expected(struct nmk_reader *r, const char *what, const char *hint)
{
    if (r->token.kind == NMK_T_BAD)
        return false;
    if (r->token.kind == NMK_T_END)
        nmk_read_error(r, nmk_source_span(&r->source, r->line, r->before_end, 1), "expected", hint,
                       "The line ends here, but %s is expected", what);
    else
        nmk_read_error(r, nmk_read_token_span(r), "expected", hint, "Here %s is expected, not `%s`", what,
                       nmk_read_token_quote(r).text);
    return false;
}

void nmk_read_refuse_again(struct nmk_reader *r, size_t at, const char *what)
{
    nmk_read_error(r, nmk_read_span_from(r, at), "part-twice", NULL, "%s stands here twice", what);
}
