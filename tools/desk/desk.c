#include "desk/desk.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "calc/answer.h"
#include "desk/prompt.h"
#include "report/line_reader.h"
#include "report/message.h"

struct desk {
    struct sink *out;
    bool wrong, left;
};

/* ---- the words of the desk; everything else is a sum ---- */

static void say_help(struct desk *d)
{
    sink_string(d->out, "  Type a sum, and the marks around it are shown:\n\n"
                        "    105 mm + 2 * 1 1/8 in\n"
                        "    8.4 cm / 3\n"
                        "    (4 7/16 in - 2 mm) in sixteenths\n\n"
                        "  Numbers, lengths (mm, cm, in, ft, mil), + - * /, parentheses,\n"
                        "  min max abs sqrt pi. A minus stands between spaces.\n"
                        "  quit leaves the desk; nearmark --help tells of the commands.\n");
}

static void leave(struct desk *d)
{
    d->left = true;
}

static const struct {
    const char *word;
    void (*act)(struct desk *);
} words[] = {{"help", say_help}, {"?", say_help}, {"quit", leave}, {"exit", leave}};

static bool is_word(const char *text, size_t size, const char *word)
{
    return strlen(word) == size && !memcmp(text, word, size);
}

static void answer_line(struct desk *d, const char *text, size_t size)
{
    while (size && (*text == ' ' || *text == '\t'))
        text++, size--;
    while (size && (text[size - 1] == ' ' || text[size - 1] == '\t'))
        size--;
    if (!size || *text == '#')
        return;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (is_word(text, size, words[i].word)) {
            words[i].act(d);
            return;
        }
    struct answer_options options = {.json = false};
    d->wrong |= !answer_sum(d->out, text, size, &options);
}

/* ---- where lines come from ---- */

/* A blank line behind each answer; a message about the next line comes after it. */
static void answer_piped(struct desk *d, const char *text, size_t size)
{
    answer_line(d, text, size);
    if (d->out->size)
        sink_string(d->out, "\n");
    sink_flush(d->out); /* so that answers and messages stand in order */
}

static enum ending run_pipe(struct desk *d)
{
    struct line_reader reader = {.fd = STDIN_FILENO};
    const char *text;
    size_t size;
    enum line_kind kind;
    while (!d->left && !d->out->error && (kind = line_reader_next(&reader, &text, &size)) != LINE_NONE) {
        if (kind == LINE_TOO_LONG) {
            message_error("Line %zu is longer than 2 MiB", reader.number);
            d->wrong = true;
        } else {
            answer_piped(d, text, size);
        }
    }
    int error = reader.error;
    line_reader_clear(&reader);
    if (!error)
        return d->wrong ? ENDING_WRONG : ENDING_DONE;
    message_unreadable("standard input", error);
    return error == EISDIR ? ENDING_WRONG : ENDING_FAILED;
}

static enum ending run_terminal(struct desk *d)
{
    struct prompt *prompt = prompt_new("nearmark");
    sink_string(d->out, "nearmark: type a sum, 105 mm + 1/2 in; help says more, quit leaves.\n");
    const char *line;
    while (!d->left && sink_flush(d->out) && (line = prompt_line(prompt, "> ")))
        answer_line(d, line, strlen(line));
    prompt_free(prompt);
    return ENDING_DONE;
}

enum ending desk_run(struct sink *out, enum colour colour)
{
    (void)colour;
    struct desk d = {.out = out};
    return isatty(STDIN_FILENO) ? run_terminal(&d) : run_pipe(&d);
}
