#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/diagnose.h"
#include "base/memory.h"
#include "base/text.h"
#include "design/read/reader.h"
#include "length/glyph.h"

enum { MOST_NOTES = 100 }; /* what is beyond is not noted */

static void add(struct nmk_reader *r, bool is_note, struct nmk_span span, const char *code, const char *hint,
                const char *message)
{
    const char *source = NULL;
    size_t size = 0;
    if (span.line && span.line <= r->source.count) {
        struct nmk_source_line line = r->source.lines[span.line - 1];
        source = r->source.text + line.start;
        size = line.end - line.start;
    }
    nmk_diagnostics_add(r->list, is_note, code, span, source, size, message, hint);
}

static void complain(struct nmk_reader *r, struct nmk_span span, const char *code, const char *hint, const char *format,
                     va_list args)
{
    struct nmk_text message = {0};
    nmk_text_add_list(&message, format, args);
    add(r, false, span, code, hint, nmk_text_get(&message));
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
    complain(r, span, code, hint, format, args);
    va_end(args);
}

void nmk_read_note(struct nmk_reader *r, struct nmk_span span, const char *code, const char *hint, const char *format,
                   ...)
{
    if (r->note_count == MOST_NOTES)
        return;
    struct nmk_text message = {0};
    va_list args;
    va_start(args, format);
    nmk_text_add_list(&message, format, args);
    va_end(args);
    const char *kept = nmk_design_text(r->design, nmk_text_get(&message), message.size);
    nmk_text_clear(&message);
    void *notes = r->notes;
    nmk_memory_reserve(&notes, &r->note_space, r->note_count + 1, sizeof *r->notes);
    r->notes = notes;
    r->notes[r->note_count++] = (struct nmk_noted){span, code, hint, kept};
}

static bool stands_before(struct nmk_span a, struct nmk_span b)
{
    return a.line != b.line ? a.line < b.line : a.column < b.column;
}

void nmk_give_notes(struct nmk_reader *r)
{
    for (size_t i = 1; i < r->note_count; i++) {
        struct nmk_noted note = r->notes[i];
        size_t k = i;
        for (; k > 0 && stands_before(note.span, r->notes[k - 1].span); k--)
            r->notes[k] = r->notes[k - 1];
        r->notes[k] = note;
    }
    for (size_t i = 0; i < r->note_count; i++)
        add(r, true, r->notes[i].span, r->notes[i].code, r->notes[i].hint, r->notes[i].message);
}

void nmk_read_limit(struct nmk_reader *r, struct nmk_span span, const char *code, const char *format, ...)
{
    r->errors++;
    r->too_large = r->given_up = true;
    va_list args;
    va_start(args, format);
    complain(r, span, code, NULL, format, args);
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
