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

/* The size of the character at s if it drives a terminal or turns the text round it about: C0 but the tab, DEL, C1
 * (U+0080..9F), line ends and directions (U+200E, 200F, 2028..202E, 2066..2069). 0: it does not. */
static size_t control_size(const unsigned char *s, size_t left)
{
    if ((s[0] < 0x20 && s[0] != '\t') || s[0] == 0x7F)
        return 1;
    if (s[0] == 0xC2 && left > 1 && s[1] >= 0x80 && s[1] < 0xA0)
        return 2;
    if (s[0] != 0xE2 || left < 3)
        return 0;
    bool general = s[1] == 0x80 && ((s[2] >= 0x8E && s[2] <= 0x8F) || (s[2] >= 0xA8 && s[2] <= 0xAE));
    return general || (s[1] == 0x81 && s[2] >= 0xA6 && s[2] <= 0xA9) ? 3 : 0;
}

/* A terminal must never be driven by a file's text: such characters become U+FFFD. */
static char *plain_copy(const char *text, size_t size)
{
    struct nmk_text out = {0};
    for (size_t i = 0; i < size;) {
        size_t control = control_size((const unsigned char *)text + i, size - i);
        if (control)
            nmk_text_add_string(&out, "\xEF\xBF\xBD");
        else
            nmk_text_add(&out, text + i, 1);
        i += control ? control : 1;
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
