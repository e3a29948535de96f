/* line_reader.h -- lines from a file or a pipe, one after the other, however long the whole is. */
#ifndef TOOLS_GROUND_LINE_READER_H
#define TOOLS_GROUND_LINE_READER_H

#include <stdbool.h>
#include <stddef.h>

struct line_reader {
    int fd;
    char *data;
    size_t start, size, space; /* data[start..size) is read and not yet given */
    size_t number;             /* of the line given last, from 1 */
    bool ended;
    int error;                 /* errno, 0: none */
    void (*before_waiting)(void *context); /* called before each read; may be NULL */
    void *context;
};

enum line_kind { LINE_NONE, LINE_GIVEN, LINE_TOO_LONG };

enum { LINE_MOST = 2 * 1024 * 1024 };

/* The next line, without its end (\n or \r\n) and without a byte-order mark; borrowed until the next call. A line over
 * LINE_MOST bytes is passed over and named TOO_LONG; *text is then its beginning. */
enum line_kind line_reader_next(struct line_reader *r, const char **text, size_t *size);
void line_reader_clear(struct line_reader *r);

#endif
