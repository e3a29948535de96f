#include "ground/line_reader.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "ground/store.h"

enum { CHUNK = 64 * 1024, SHOWN = 60 };

static void make_room(struct line_reader *r)
{
    if (r->start) {
        memmove(r->data, r->data + r->start, r->size - r->start);
        r->size -= r->start;
        r->start = 0;
    }
    if (r->space - r->size < CHUNK) {
        r->space = r->space + r->space / 2 + CHUNK;
        r->data = store_resize(r->data, r->space);
    }
}

static void read_more(struct line_reader *r)
{
    make_room(r);
    if (r->before_waiting)
        r->before_waiting(r->context);
    ssize_t n;
    do
        n = read(r->fd, r->data + r->size, r->space - r->size);
    while (n < 0 && errno == EINTR);
    if (n < 0)
        r->error = errno;
    r->ended = n <= 0;
    if (n > 0)
        r->size += (size_t)n;
}

static char *find_end(const struct line_reader *r, size_t from)
{
    return r->size > from ? memchr(r->data + from, '\n', r->size - from) : NULL;
}

/* Bytes of the next line with its end; what was looked through is not looked through again. 0: no line is left. At most
 * LINE_MOST + 2 and a chunk are held. */
static size_t measure_line(struct line_reader *r)
{
    size_t looked = 0;
    for (;;) {
        char *end = find_end(r, r->start + looked);
        if (end)
            return (size_t)(end - (r->data + r->start)) + 1;
        looked = r->size - r->start;
        if (r->ended || looked > LINE_MOST + 2)
            return looked;
        read_more(r);
    }
}

static void pass_over(struct line_reader *r)
{
    for (;;) {
        char *end = find_end(r, r->start);
        r->start = end ? (size_t)(end - r->data) + 1 : r->size;
        if (end || r->ended)
            return;
        read_more(r);
    }
}

static void trim(const char **text, size_t *size, bool first)
{
    if (*size && (*text)[*size - 1] == '\n')
        --*size;
    if (*size && (*text)[*size - 1] == '\r')
        --*size;
    if (first && *size >= 3 && !memcmp(*text, "\xEF\xBB\xBF", 3)) {
        *text += 3;
        *size -= 3;
    }
}

enum line_kind line_reader_next(struct line_reader *r, const char **text, size_t *size)
{
    size_t whole = measure_line(r);
    if (!whole)
        return LINE_NONE;
    r->number++;
    *text = r->data + r->start;
    *size = whole;
    if (whole > LINE_MOST + 2) {
        char beginning[SHOWN];
        memcpy(beginning, *text, SHOWN);
        pass_over(r);
        make_room(r);
        memcpy(r->data + r->size, beginning, SHOWN); /* behind what is read, where make_room left a chunk free */
        *text = r->data + r->size;
        *size = SHOWN;
        return LINE_TOO_LONG;
    }
    r->start += whole;
    trim(text, size, r->number == 1);
    return LINE_GIVEN;
}

void line_reader_clear(struct line_reader *r)
{
    store_free(r->data);
    *r = (struct line_reader){.fd = -1};
}
