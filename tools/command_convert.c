/* command_convert.c -- a list of lengths to marks, line by line as they come. */
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "ground/figure.h"
#include "ground/json.h"
#include "ground/letters.h"
#include "ground/line_reader.h"
#include "ground/message.h"
#include "ground/store.h"
#include "nearmark/marks.h"

enum { BATCH = 64 * 1024, MOST_NOTES = 20, ERROR_PLACES = 30 };

struct conversion {
    struct sink *out;
    const char *name; /* of the input, for messages */
    bool json, wrong;
    size_t notes, lines;
    struct nmk_rat step;
    enum nmk_unit step_unit;
};

/* One line that could be read. */
struct converted {
    struct nmk_rat mm, mark, error; /* error: mark less length */
    int64_t number;
};

static void converted_clear(struct converted *c)
{
    nmk_rat_clear(&c->mm);
    nmk_rat_clear(&c->mark);
    nmk_rat_clear(&c->error);
}

/* ---- one line ---- */

static void complain(struct conversion *c, size_t number, size_t column, const char *message, const char *hint)
{
    c->wrong = true;
    sink_flush(c->out); /* so that a terminal shows both in order */
    message_error("%s:%zu:%zu: %s%s%s", c->name, number, column, message, *hint ? "; " : "", hint);
}

static size_t column_of(const char *text, size_t size, size_t at)
{
    size_t column = 1;
    for (size_t i = 0; i < at && i < size; i += letter_get(text, size, i).bytes)
        column++;
    return column;
}

static size_t skip_spaces(const char *text, size_t size, size_t at)
{
    while (at < size) {
        struct letter l = letter_get(text, size, at);
        if (l.code != ' ' && l.code != '\t' && l.code != 0xA0 && l.code != 0x202F && l.code != 0x2009)
            break;
        at += l.bytes;
    }
    return at;
}

static void say_doubt(struct conversion *c, size_t number, const struct nmk_length_read *read)
{
    if (++c->notes > MOST_NOTES)
        return;
    char *meant = figure_length(&read->mm, read->unit == NMK_MIL ? NMK_MM : read->unit);
    message_error("%s:%zu: note: read as %s", c->name, number, meant);
    store_free(meant);
}

/* The length on a line. false: there is none; the message was given. */
static bool read_line(struct conversion *c, struct nmk_rat *mm, const char *text, size_t size, size_t number)
{
    struct nmk_length_read read = {.unit = NMK_UNIT_NONE};
    struct nmk_length_error error = {0};
    bool good = false;
    size_t rest = 0;
    if (skip_spaces(text, size, 0) == size)
        complain(c, number, 1, "The line is empty", "");
    else if (nmk_length_parse(&read, text, size, false, &error))
        complain(c, number, column_of(text, size, error.at), error.message, error.hint);
    else if ((rest = skip_spaces(text, size, read.used)) < size && read.unit == NMK_UNIT_NONE)
        complain(c, number, column_of(text, size, rest), "A unit is expected here", "mm, cm, in, ft or mil");
    else if (rest < size)
        complain(c, number, column_of(text, size, rest), "Something stands behind the length", "one length a line");
    else if (read.unit == NMK_UNIT_NONE)
        complain(c, number, column_of(text, size, read.used), "The length has no unit", "type mm, cm or in behind it");
    else
        good = true;
    if (good && read.doubtful)
        say_doubt(c, number, &read);
    if (good)
        nmk_rat_swap(mm, &read.mm);
    nmk_length_read_clear(&read);
    return good;
}

static bool convert(struct conversion *c, struct converted *done, size_t number)
{
    struct nmk_marks marks = {.step = c->step};
    if (nmk_marks_nearest(&done->number, &marks, &done->mm, NMK_TIE_LARGER)) {
        complain(c, number, 1, "The length is too large for any trimmer: its marks cannot be counted", "");
        return false;
    }
    nmk_marks_at(&done->mark, &marks, done->number);
    nmk_rat_sub(&done->error, &done->mark, &done->mm);
    return true;
}

/* ---- what comes out ---- */

/* `done`: NULL for a line that could not be read. */
static void put_fields(struct conversion *c, const char *line, const struct converted *done)
{
    sink_string(c->out, line);
    if (!done) {
        sink_string(c->out, "\t\t\t\n");
        return;
    }
    char *mm = figure_exact(&done->mm), *mark = figure_length(&done->mark, c->step_unit), *error = figure_exact(&done->error);
    sink_format(c->out, "\t%s\t%s\t%s\n", mm, mark, error);
    store_free(mm);
    store_free(mark);
    store_free(error);
}

static void put_object(struct conversion *c, const char *line, size_t number, const struct converted *done)
{
    struct json j;
    sink_string(c->out, c->lines ? ",\n " : "\n ");
    json_begin(&j, c->out, JSON_LINE);
    json_object(&j, NULL);
    json_count(&j, "number", number);
    json_text(&j, "line", line);
    json_rat(&j, "mm", done ? &done->mm : NULL);
    json_whole_if(&j, "marks", done, done ? done->number : 0);
    json_rat(&j, "mark_mm", done ? &done->mark : NULL);
    json_rat(&j, "error_mm", done ? &done->error : NULL);
    json_end(&j);
}

/* A tab in the line would be taken for the end of a field. */
static char *plain_line(const char *text, size_t size)
{
    char *copy = store_copy(text, size);
    for (size_t i = 0; i < size; i++)
        if (copy[i] == '\t')
            copy[i] = ' ';
    char *plain = letters_plain(copy, size);
    store_free(copy);
    return plain;
}

static void put(struct conversion *c, const char *text, size_t size, size_t number, const struct converted *done)
{
    char *line = plain_line(text, size);
    if (c->json)
        put_object(c, line, number, done);
    else
        put_fields(c, line, done);
    c->lines++;
    store_free(line);
}

static void take_line(struct conversion *c, const char *text, size_t size, size_t number, bool too_long)
{
    struct converted done = {.number = 0};
    bool good = false;
    if (too_long)
        complain(c, number, 1, "The line is longer than 2 MiB; only its beginning comes back", "");
    else
        good = read_line(c, &done.mm, text, size, number) && convert(c, &done, number);
    put(c, text, size, number, good ? &done : NULL);
    converted_clear(&done);
}

/* ---- the whole ---- */

static void flush_before_waiting(void *out)
{
    sink_flush(out);
}

static enum ending convert_lines(struct conversion *c, struct line_reader *reader)
{
    const char *text;
    size_t size;
    enum line_kind kind;
    if (c->json)
        sink_string(c->out, "[");
    while (!c->out->error && (kind = line_reader_next(reader, &text, &size)) != LINE_NONE) {
        take_line(c, text, size, reader->number, kind == LINE_TOO_LONG);
        if (c->out->size > BATCH)
            sink_flush(c->out);
    }
    if (c->json)
        sink_string(c->out, c->lines ? "\n]\n" : "]\n");
    if (c->notes > MOST_NOTES && !c->out->error)
        message_error("%s: %zu more lines could be read another way, too", c->name, c->notes - MOST_NOTES);
    if (!reader->error)
        return c->wrong ? ENDING_WRONG : ENDING_DONE;
    message_unreadable(c->name, reader->error);
    return reader->error == EISDIR ? ENDING_WRONG : ENDING_FAILED;
}

static int open_input(const struct call *call)
{
    if (!call->word_count || !strcmp(call->words[0], "-"))
        return STDIN_FILENO;
    int fd = open(call->words[0], O_RDONLY | O_CLOEXEC);
    if (fd < 0)
        message_unreadable(call->words[0], errno);
    return fd;
}

enum ending command_convert(const struct call *call, struct sink *out)
{
    struct line_reader reader = {.fd = open_input(call), .before_waiting = flush_before_waiting, .context = out};
    struct conversion c = {.out = out, .name = reader.fd == STDIN_FILENO ? "standard input" : call->words[0],
                           .json = call->given[OPTION_JSON], .step_unit = call->has_marks ? call->step_unit : NMK_IN};
    if (reader.fd < 0)
        return ENDING_WRONG;
    if (call->has_marks)
        nmk_rat_set(&c.step, &call->step);
    else
        nmk_rat_set_frac(&c.step, 127, 80); /* 1/16 in */
    enum ending ending = convert_lines(&c, &reader);
    if (reader.fd != STDIN_FILENO)
        close(reader.fd);
    line_reader_clear(&reader);
    nmk_rat_clear(&c.step);
    return ending;
}
