#define _XOPEN_SOURCE 700 /* realpath */
#include "ground/sink.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "ground/letters.h"
#include "ground/message.h"
#include "ground/store.h"

enum { SCREEN_WIDTH = 72 };

static bool is_set(const char *name)
{
    const char *value = getenv(name);
    return value && *value;
}

bool sink_wants_colour(int fd, enum colour colour)
{
    if (colour != COLOUR_AUTO)
        return colour == COLOUR_ALWAYS;
    const char *terminal = getenv("TERM");
    return isatty(fd) && !is_set("NO_COLOR") && terminal && *terminal && strcmp(terminal, "dumb") != 0;
}

void sink_init(struct sink *s, enum colour colour)
{
    *s = (struct sink){.fd = STDOUT_FILENO, .colour = sink_wants_colour(STDOUT_FILENO, colour)};
}

/* ---- gathering ---- */

void sink_make_room(struct sink *s, size_t size)
{
    s->space = s->space + s->space / 2 + size + 256;
    s->data = store_resize(s->data, s->space);
}

void sink_string(struct sink *s, const char *string)
{
    sink_add(s, string, strlen(string));
}

void sink_list(struct sink *s, const char *format, va_list args)
{
    va_list again;
    va_copy(again, args);
    int size = vsnprintf(NULL, 0, format, again);
    va_end(again);
    size_t room = size < 0 ? 1 : (size_t)size + 1;
    char *text = store_new(room, 1);
    vsnprintf(text, room, format, args);
    sink_string(s, text);
    store_free(text);
}

void sink_format(struct sink *s, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    sink_list(s, format, args);
    va_end(args);
}

void sink_tint(struct sink *s, enum tint tint, const char *string)
{
    static const char *const codes[] = {"", "\033[1m", "\033[32m", "\033[33m", "\033[1;31m", "\033[2m"};
    bool coloured = s->colour && tint != TINT_NONE;
    if (coloured)
        sink_string(s, codes[tint]);
    sink_string(s, string);
    if (coloured)
        sink_string(s, "\033[0m");
}

void sink_spaces(struct sink *s, int count)
{
    while (count-- > 0)
        sink_add(s, " ", 1);
}

void sink_plain(struct sink *s, const char *text)
{
    char *plain = letters_plain(text, strlen(text));
    sink_string(s, plain);
    store_free(plain);
}

static bool begins_with(const char *text, const char *word)
{
    size_t size = strlen(word);
    return !strncmp(text, word, size) && !strchr("abcdefghijklmnopqrstuvwxyz", text[size] ? text[size] : ' ');
}

/* Does the word stay on the line of the one before it: a unit behind its figure, 1/2 behind 4, a figure behind its ±? */
static bool belongs(const char *before, size_t size, const char *word)
{
    static const char *const units[] = {"mm", "cm", "in", "ft", "mil", "%"};
    bool digit = size && before[size - 1] >= '0' && before[size - 1] <= '9';
    if (size == 2 && !memcmp(before, "\xC2\xB1", 2))
        return true;
    for (size_t i = 0; digit && i < sizeof units / sizeof *units; i++)
        if (begins_with(word, units[i]))
            return true;
    return digit && *word >= '0' && *word <= '9' && strchr(word, '/');
}

/* The bytes of what is not broken at the start of the text: a word and what belongs to it. */
static size_t unbroken(const char *text)
{
    size_t start = 0, end = strcspn(text, " ");
    while (text[end] && belongs(text + start, end - start, text + end + 1)) {
        start = end + 1;
        end = start + strcspn(text + start, " ");
    }
    return end;
}

void sink_words(struct sink *s, int indent, const char *text)
{
    int column = 0;
    char *plain = letters_plain(text, strlen(text));
    for (char *word = plain; *word;) {
        size_t size = unbroken(word);
        char *copy = store_copy(word, size);
        int width = letters_width(copy);
        if (column && column + 1 + width > SCREEN_WIDTH) {
            sink_string(s, "\n");
            column = 0;
        }
        sink_spaces(s, column ? 1 : indent);
        column += (column ? 1 : indent) + width;
        sink_string(s, copy);
        store_free(copy);
        word += size;
        word += strspn(word, " ");
    }
    sink_string(s, "\n");
    store_free(plain);
}

/* ---- writing ---- */

bool sink_flush(struct sink *s)
{
    size_t done = 0;
    while (!s->error && done < s->size) {
        ssize_t n = write(s->fd, s->data + done, s->size - done);
        if (n > 0)
            done += (size_t)n;
        else if (n < 0 && errno != EINTR)
            s->error = errno;
    }
    s->size = 0;
    return !s->error;
}

static void let_go(struct sink *s)
{
    if (s->target && s->fd >= 0)
        close(s->fd);
    s->fd = -1;
    if (s->unfinished) {
        unlink(s->unfinished);
        ending_unfinished(NULL);
    }
    store_free(s->data);
    store_free(s->target);
    store_free(s->unfinished);
    *s = (struct sink){.fd = -1};
}

void sink_drop(struct sink *s)
{
    let_go(s);
}

/* The file is on the disk before it takes its name. */
static void finish_file(struct sink *s)
{
    if (!s->error && s->unfinished && fsync(s->fd) && errno != EINVAL && errno != EROFS)
        s->error = errno;
    if (close(s->fd) && !s->error)
        s->error = errno;
    s->fd = -1;
    if (!s->error && s->unfinished) {
        if (rename(s->unfinished, s->target))
            s->error = errno;
        else
            s->unfinished[0] = '\0';
    }
}

enum ending sink_close(struct sink *s, enum ending so_far)
{
    sink_flush(s);
    if (s->target)
        finish_file(s);
    int error = s->error;
    if (error && error != EPIPE)
        message_error("%s cannot be written: %s", s->target ? s->target : "standard output", strerror(error));
    let_go(s);
    if (!error)
        return so_far;
    return error == EPIPE ? ENDING_DONE : ENDING_FAILED;
}

/* ---- opening a file ---- */

static mode_t current_umask(void)
{
    mode_t mask = umask(0);
    umask(mask);
    return mask;
}

static char *beside(const char *path)
{
    const char *slash = strrchr(path, '/');
    size_t folder = slash ? (size_t)(slash - path) + 1 : 0;
    size_t room = strlen(path) + 24;
    char *name = store_new(room, 1);
    snprintf(name, room, "%.*s.%.200s.XXXXXX", (int)folder, path, path + folder);
    return name;
}

/* A new file, or one that takes the place of a plain file. Anything else (a device, a pipe) is written directly. */
static int open_target(struct sink *s)
{
    struct stat at;
    bool exists = !stat(s->target, &at);
    if (exists && !S_ISREG(at.st_mode))
        return open(s->target, O_WRONLY | O_CLOEXEC);
    if (exists && access(s->target, W_OK))
        return -1;
    s->unfinished = beside(s->target);
    ending_unfinished(s->unfinished); /* before it is there, so that no signal finds it unnamed */
    int fd = mkstemp(s->unfinished);
    if (fd < 0) {
        ending_unfinished(NULL);
        store_free(s->unfinished);
        s->unfinished = NULL;
        return fd;
    }
    if (fchmod(fd, exists ? at.st_mode & 07777 : 0666 & ~current_umask()))
        s->error = errno;
    return fd;
}

/* A link stays a link: what it leads to is replaced. */
static char *resolve(const char *path)
{
    char *real = realpath(path, NULL);
    char *copy = real ? store_copy(real, strlen(real)) : store_copy(path, strlen(path));
    free(real);
    return copy;
}

bool sink_open(struct sink *s, const char *path, enum colour colour)
{
    *s = (struct sink){.fd = -1, .target = resolve(path)};
    s->fd = open_target(s);
    if (s->fd < 0) {
        message_error("%s cannot be written: %s", path, strerror(errno));
        let_go(s);
        return false;
    }
    s->colour = sink_wants_colour(s->fd, colour);
    return true;
}
