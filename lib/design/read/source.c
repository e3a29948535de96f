#include "design/read/source.h"

#include <string.h>

#include "base/memory.h"
#include "length/glyph.h"

enum { MOST_BYTES = 1024 * 1024 };

static bool is_control(uint32_t code)
{
    return (code < 0x20 && code != '\t' && code != '\n' && code != '\r') || (code >= 0x7F && code < 0xA0);
}

static enum nmk_status check_text(const char *text, size_t size, struct nmk_source_error *error)
{
    struct nmk_glyph g;
    for (size_t at = 0; at < size; at += g.bytes) {
        g = nmk_glyph_get(text, size, at);
        bool broken = g.code == 0xFFFD && g.bytes == 1;
        if (!broken && !is_control(g.code))
            continue;
        if (!broken)
            *error = (struct nmk_source_error){"control-character",
                                               "This is no plain text: there is a control character here",
                                               "save the design as plain text, UTF-8", at};
        else
            *error = (struct nmk_source_error){"not-utf-8", "This is no UTF-8 text: these bytes are no character",
                                               "save the design as plain text, UTF-8", at};
        return NMK_INVALID;
    }
    return NMK_OK;
}

static void add_line(struct nmk_source *source, size_t *space, size_t start, size_t end)
{
    void *lines = source->lines;
    nmk_memory_reserve(&lines, space, source->count + 1, sizeof *source->lines);
    source->lines = lines;
    source->lines[source->count++] = (struct nmk_source_line){start, end};
}

static void split(struct nmk_source *source)
{
    size_t space = 0, start = source->size >= 3 && !memcmp(source->text, "\xEF\xBB\xBF", 3) ? 3 : 0;
    for (size_t at = start; at < source->size; at++) {
        char c = source->text[at];
        if (c != '\n' && c != '\r')
            continue;
        add_line(source, &space, start, at);
        at += c == '\r' && at + 1 < source->size && source->text[at + 1] == '\n';
        start = at + 1;
    }
    add_line(source, &space, start, source->size);
}

enum nmk_status nmk_source_read(struct nmk_source *source, const char *text, size_t size,
                                struct nmk_source_error *error)
{
    *source = (struct nmk_source){.text = text, .size = size};
    if (size > MOST_BYTES) {
        *error = (struct nmk_source_error){
            "file-too-large", "The file is larger than 1 MiB, the most a design may have", "is it a design at all?", 0};
        return NMK_TOO_LARGE;
    }
    split(source);
    return check_text(text, size, error);
}

void nmk_source_clear(struct nmk_source *source)
{
    nmk_memory_free(source->lines);
    *source = (struct nmk_source){0};
}

size_t nmk_source_line_of(const struct nmk_source *source, size_t at)
{
    size_t low = 0, high = source->count;
    while (low + 1 < high) {
        size_t middle = low + (high - low) / 2;
        if (source->lines[middle].start <= at)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static uint32_t characters(const char *text, size_t from, size_t to)
{
    uint32_t n = 0;
    for (size_t i = from; i < to; i++)
        n += ((unsigned char)text[i] & 0xC0) != 0x80;
    return n;
}

/* Counted from the place asked for last, if it was on this line: places asked for lie near one another. */
static uint32_t column_of(struct nmk_source *source, size_t line, size_t at)
{
    bool known = source->known_column && source->known_line == line;
    size_t from = known ? source->known_at : source->lines[line].start;
    uint32_t column = known ? source->known_column : 1;
    column = at >= from ? column + characters(source->text, from, at) : column - characters(source->text, at, from);
    source->known_line = line;
    source->known_at = at;
    return source->known_column = column;
}

struct nmk_span nmk_source_span(struct nmk_source *source, size_t line, size_t at, size_t size)
{
    struct nmk_source_line l = source->lines[line];
    at = at > l.end ? l.end : at;
    size_t end = size > l.end - at ? l.end : at + size;
    uint32_t length = characters(source->text, at, end);
    return (struct nmk_span){(uint32_t)line + 1, column_of(source, line, at), length ? length : 1};
}
