#include "base/diagnose.h"

#include <string.h>

#include "base/memory.h"
#include "base/text.h"

struct nmk_diagnostics {
    struct nmk_diagnostic *all;
    size_t count, space, errors, most_errors;
};

enum nmk_status nmk_diagnostics_new(struct nmk_diagnostics **out, size_t most_errors)
{
    if (!out)
        return NMK_INVALID;
    *out = nmk_memory_new(1, sizeof **out);
    (*out)->most_errors = most_errors;
    return NMK_OK;
}

void nmk_diagnostics_free(struct nmk_diagnostics *list)
{
    if (!list)
        return;
    for (size_t i = 0; i < list->count; i++) {
        nmk_memory_free(list->all[i].message);
        nmk_memory_free(list->all[i].hint);
        nmk_memory_free(list->all[i].source);
    }
    nmk_memory_free(list->all);
    nmk_memory_free(list);
}

size_t nmk_diagnostics_count(const struct nmk_diagnostics *list)
{
    return list ? list->count : 0;
}

size_t nmk_diagnostics_errors(const struct nmk_diagnostics *list)
{
    return list ? list->errors : 0;
}

const struct nmk_diagnostic *nmk_diagnostics_get(const struct nmk_diagnostics *list, size_t index)
{
    return list && index < list->count ? &list->all[index] : NULL;
}

/* A terminal must never be driven by a file's text: C0, DEL and C1 (0xC2 0x80..0x9F) become U+FFFD; a tab stays. */
static char *plain_copy(const char *text, size_t size)
{
    struct nmk_text out = {0};
    for (size_t i = 0; i < size; i++) {
        unsigned char c = (unsigned char)text[i];
        if ((c < 0x20 && c != '\t') || c == 0x7f) {
            nmk_text_add_string(&out, "\xEF\xBF\xBD");
        } else if (c == 0xC2 && i + 1 < size && (unsigned char)text[i + 1] >= 0x80 && (unsigned char)text[i + 1] < 0xA0) {
            nmk_text_add_string(&out, "\xEF\xBF\xBD");
            i++;
        } else {
            nmk_text_add(&out, text + i, 1);
        }
    }
    return nmk_text_release(&out);
}

void nmk_diagnostics_add(struct nmk_diagnostics *list, bool is_note, const char *code, struct nmk_span span,
                         const char *source, size_t source_size, const char *message, const char *hint)
{
    if (!list)
        return;
    if (!is_note && ++list->errors > list->most_errors && list->most_errors)
        return;
    void *all = list->all;
    nmk_memory_reserve(&all, &list->space, list->count + 1, sizeof *list->all);
    list->all = all;
    struct nmk_diagnostic *d = &list->all[list->count];
    *d = (struct nmk_diagnostic){.is_note = is_note, .code = code, .span = span};
    list->count++;
    d->message = plain_copy(message, strlen(message));
    if (hint)
        d->hint = plain_copy(hint, strlen(hint));
    if (source)
        d->source = plain_copy(source, source_size);
}

void nmk_diagnostics_say(struct nmk_diagnostics *list, bool is_note, const char *code, struct nmk_span span,
                         const char *hint, const char *format, ...)
{
    struct nmk_text message = {0};
    va_list args;
    va_start(args, format);
    nmk_text_add_list(&message, format, args);
    va_end(args);
    nmk_diagnostics_add(list, is_note, code, span, NULL, 0, nmk_text_get(&message), hint);
    nmk_text_clear(&message);
}
