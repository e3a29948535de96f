#include "ground/message.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "ground/letters.h"
#include "ground/sink.h"
#include "ground/store.h"

/* Messages are written at once and whole; what becomes of them is nobody's business any more. */
static void give(struct sink *s)
{
    s->fd = STDERR_FILENO;
    sink_flush(s);
    sink_drop(s);
}

__attribute__((format(printf, 2, 0))) static void give_list(const char *before, const char *format, va_list args)
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

/* Without a file the place is left out: there is but one line, and the caret shows where. */
static size_t place_size(const char *where, const struct nmk_diagnostic *d)
{
    return where || !d->span.line ? 0 : (size_t)snprintf(NULL, 0, "%u:%u: ", (unsigned)d->span.line, (unsigned)d->span.column);
}

void message_diagnostic(const char *where, const struct nmk_diagnostic *d)
{
    char *name = where ? letters_plain(where, strlen(where)) : NULL;
    size_t size = nmk_diagnostic_print(NULL, 0, d, name) + 1;
    char *text = store_new(size, 1);
    nmk_diagnostic_print(text, size, d, name);
    struct sink s = {0};
    sink_string(&s, where ? "" : "nearmark: ");
    sink_string(&s, text + place_size(where, d));
    give(&s);
    store_free(text);
    store_free(name);
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
