#include "report/message.h"

#include <errno.h>
#include <stdarg.h>
#include <string.h>
#include <unistd.h>

#include "report/letters.h"
#include "report/sink.h"
#include "report/store.h"

/* Messages are written at once and whole; what becomes of them is nobody's business any more. */
static void give(struct sink *s)
{
    s->fd = STDERR_FILENO;
    sink_flush(s);
    sink_drop(s);
}

static void give_list(const char *before, const char *format, va_list args)
{
    struct sink text = {0}, s = {0};
    sink_list(&text, format, args);
    sink_string(&s, before);
    sink_plain(&s, text.data);
    sink_string(&s, "\n");
    sink_drop(&text);
    give(&s);
}

void message_error(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    give_list("nearmark: ", format, args);
    va_end(args);
}

void message_more(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    give_list("  ", format, args);
    va_end(args);
}

void message_unreadable(const char *name, int error)
{
    if (error == EISDIR)
        message_error("%s is a folder; name a file in it", name);
    else
        message_error("%s cannot be read: %s", name, strerror(error));
}

/* ---- the line and its caret ---- */

enum { BEFORE = 40, AFTER = 64 }; /* letters of a long line that are shown on each side of the caret */

struct excerpt {
    const char *text;
    size_t size;
    size_t skipped; /* letters left out before it */
    bool cut;       /* some are left out behind it */
};

static struct excerpt excerpt_of(const char *source, size_t column)
{
    struct excerpt e = {source, strlen(source), 0, false};
    if (column > BEFORE + AFTER) {
        e.skipped = column - 1 - BEFORE;
        size_t bytes = letters_skip(e.text, e.size, e.skipped);
        e.text += bytes;
        e.size -= bytes;
    }
    size_t bytes = letters_skip(e.text, e.size, BEFORE + AFTER + 40);
    e.cut = bytes < e.size;
    e.size = bytes;
    return e;
}

static int width_of(const char *plain, size_t letters)
{
    char *part = store_copy(plain, letters_skip(plain, strlen(plain), letters));
    int width = letters_width(part);
    store_free(part);
    return width;
}

static void untab(char *text, size_t size)
{
    for (size_t i = 0; i < size; i++)
        if (text[i] == '\t')
            text[i] = ' ';
}

static void add_source(struct sink *s, const struct nmk_diagnostic *d)
{
    size_t column = d->span.column ? d->span.column : 1;
    struct excerpt e = excerpt_of(d->source, column);
    char *copy = store_copy(e.text, e.size);
    untab(copy, e.size);
    char *plain = letters_plain(copy, e.size);
    size_t all = e.skipped, before = column - 1 - e.skipped, length = d->span.length ? d->span.length : 1;
    sink_format(s, "    %s%s%s\n", all ? "..." : "", plain, e.cut ? "..." : "");
    int at = width_of(plain, before);
    int carets = width_of(plain + letters_skip(plain, strlen(plain), before), length);
    sink_spaces(s, 4 + (all ? 3 : 0) + at);
    for (int i = 0; i < (carets > 0 ? carets : 1); i++)
        sink_string(s, i ? "~" : "^");
    sink_string(s, "\n");
    store_free(plain);
    store_free(copy);
}

static void add_place(struct sink *s, const char *where, struct nmk_span span)
{
    if (!where) {
        sink_string(s, "nearmark: ");
        return;
    }
    sink_plain(s, where);
    if (span.line)
        sink_format(s, ":%u:%u", span.line, span.column);
    sink_string(s, ": ");
}

void message_diagnostic(const char *where, const struct nmk_diagnostic *d)
{
    struct sink s = {0};
    add_place(&s, where, d->span);
    if (d->is_note)
        sink_string(&s, "note: ");
    sink_plain(&s, d->message);
    sink_string(&s, "\n");
    if (d->source)
        add_source(&s, d);
    if (d->hint && *d->hint) {
        sink_string(&s, "    ");
        sink_plain(&s, d->hint);
        sink_string(&s, "\n");
    }
    give(&s);
}

void message_diagnostics(const char *where, const struct nmk_diagnostics *list)
{
    size_t shown = 0, errors = nmk_diagnostics_errors(list);
    for (size_t i = 0; i < nmk_diagnostics_count(list); i++) {
        const struct nmk_diagnostic *d = nmk_diagnostics_get(list, i);
        message_diagnostic(where, d);
        shown += !d->is_note;
    }
    if (errors > shown)
        message_more("... and %zu more", errors - shown);
}
