#include <string.h>

#include "base/text.h"
#include "nearmark/diagnostics.h"

enum { TAB = 8, BEFORE = 40, SHOWN = 100 }; /* columns; of a long line, what stands before the place and in all */

/* The bytes of the character at s (UTF-8; a stray byte counts as one). */
static size_t bytes_of(const char *s)
{
    size_t n = 1;
    while (((unsigned char)s[n] & 0xC0) == 0x80 && n < 4)
        n++;
    return n;
}

static uint32_t code_of(const char *s, size_t bytes)
{
    if (bytes == 1)
        return (unsigned char)*s;
    uint32_t code = (unsigned char)*s & (0x7Fu >> bytes);
    for (size_t i = 1; i < bytes; i++)
        code = code << 6 | ((unsigned char)s[i] & 0x3Fu);
    return code;
}

struct range {
    uint32_t from, to;
};

static bool is_in(uint32_t c, const struct range *ranges, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (c >= ranges[i].from && c <= ranges[i].to)
            return true;
    return false;
}

/* Combining marks, joiners and variation selectors take no column of their own; letters that are drawn as wide as two
 * (Unicode Standard Annex 11, East Asian Width; whole blocks) take two; all else takes one. */
static size_t width_of(uint32_t c)
{
    static const struct range none[] = {{0x0300, 0x036F}, {0x0483, 0x0489}, {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF},
                                        {0x200B, 0x200D}, {0x2060, 0x2064}, {0x20D0, 0x20FF}, {0xFE00, 0xFE0F},
                                        {0xFE20, 0xFE2F}};
    static const struct range two[] = {{0x1100, 0x115F}, {0x2E80, 0x303E}, {0x3041, 0x33FF}, {0x3400, 0x4DBF},
                                       {0x4E00, 0xA4CF}, {0xAC00, 0xD7A3}, {0xF900, 0xFAFF}, {0xFE30, 0xFE6F},
                                       {0xFF01, 0xFF60}, {0xFFE0, 0xFFE6}, {0x1F300, 0x1F64F}, {0x1F900, 0x1F9FF},
                                       {0x20000, 0x3FFFD}};
    if (is_in(c, none, sizeof none / sizeof *none))
        return 0;
    return is_in(c, two, sizeof two / sizeof *two) ? 2 : 1;
}

struct walk {
    const char *s;   /* the next character */
    size_t letter;   /* its number, from 1 */
    size_t column;   /* and its column, from 0 */
};

/* Steps over one character; returns its width. */
static size_t step(struct walk *w)
{
    size_t bytes = bytes_of(w->s);
    size_t width = *w->s == '\t' ? TAB - w->column % TAB : width_of(code_of(w->s, bytes));
    w->s += bytes;
    w->letter++;
    w->column += width;
    return width;
}

struct marked {
    size_t from, to, end; /* columns: of the span, and of the whole line */
};

static struct marked measure(const char *source, struct nmk_span span)
{
    struct walk w = {source, 1, 0};
    struct marked m = {0, 0, 0};
    while (*w.s && w.letter < span.column)
        step(&w);
    m.from = w.column;
    while (*w.s && w.letter < (size_t)span.column + span.length)
        step(&w);
    m.to = w.column > m.from ? w.column : m.from + 1;
    while (*w.s)
        step(&w);
    m.end = w.column;
    return m;
}

static void add_many(struct nmk_text *t, const char *what, size_t count)
{
    for (size_t i = 0; i < count; i++)
        nmk_text_add_string(t, what);
}

/* Columns [from, to) of the line. */
static void add_part(struct nmk_text *t, const char *source, size_t from, size_t to)
{
    struct walk w = {source, 1, 0};
    while (*w.s) {
        const char *s = w.s;
        size_t column = w.column, width = step(&w);
        if (column < from || column > to || (column == to && width))
            continue;
        if (*s == '\t')
            add_many(t, " ", width);
        else
            nmk_text_add(t, s, (size_t)(w.s - s));
    }
}

static void add_source(struct nmk_text *t, const char *source, struct nmk_span span)
{
    struct marked m = measure(source, span);
    bool is_long = m.end > SHOWN + 20;
    size_t from = is_long && m.from > BEFORE + 20 ? m.from - BEFORE : 0;
    size_t to = is_long && m.end - from > SHOWN ? from + SHOWN : m.end;
    nmk_text_add_string(t, from ? "  ..." : "  ");
    add_part(t, source, from, to);
    nmk_text_add_string(t, to < m.end ? "...\n  " : "\n  ");
    add_many(t, " ", m.from - from + (from ? 3 : 0));
    add_many(t, "^", (m.to > to && to > m.from ? to : m.to) - m.from);
    nmk_text_add_string(t, "\n");
}

size_t nmk_diagnostic_print(char *buffer, size_t size, const struct nmk_diagnostic *d, const char *file)
{
    struct nmk_text t = {0};
    if (!d || (!buffer && size))
        return 0;
    if (file)
        nmk_text_add_format(&t, "%s:", file);
    if (d->span.line)
        nmk_text_add_format(&t, "%u:%u:", (unsigned)d->span.line, (unsigned)d->span.column);
    nmk_text_add_format(&t, "%s%s%s\n", t.size ? " " : "", d->is_note ? "note: " : "", d->message);
    if (d->source && d->span.line)
        add_source(&t, d->source, d->span);
    if (d->hint)
        nmk_text_add_format(&t, "  %s\n", d->hint);
    size_t length = t.size, fits = size && length >= size ? size - 1 : length;
    if (size) {
        memcpy(buffer, nmk_text_get(&t), fits);
        buffer[fits] = '\0';
    }
    nmk_text_clear(&t);
    return length;
}
