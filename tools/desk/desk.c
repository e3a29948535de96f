#include "desk/desk.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "desk/desk_words.h"
#include "desk/prompt.h"
#include "ground/line_reader.h"
#include "ground/message.h"
#include "ground/store.h"

/* A blank line behind each answer; a message about the next line comes after it. */
static void answer_piped(struct desk *d, const char *text, size_t size)
{
    char *line = store_copy(text, size);
    desk_answer(d, line);
    store_free(line);
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
            d->ending = ending_worse(d->ending, ENDING_WRONG);
        } else {
            answer_piped(d, text, size);
        }
    }
    int error = reader.error;
    line_reader_clear(&reader);
    if (!error)
        return d->ending;
    message_unreadable("standard input", error);
    return error == EISDIR ? ENDING_WRONG : ENDING_FAILED;
}

static enum ending run_terminal(struct desk *d)
{
    struct completion_words words = desk_completion(d);
    struct prompt *prompt = prompt_new("nearmark", &words);
    sink_string(d->out, "nearmark: type a sum, 105 mm + 1/2 in; help says more, quit leaves.\n");
    const char *line = "";
    while (!d->left && sink_flush(d->out) && (line = prompt_line(prompt, "> ")))
        desk_answer(d, line);
    if (!line)
        sink_string(d->out, "\n"); /* Ctrl-D: the shell begins a line of its own */
    prompt_free(prompt);
    return ENDING_DONE;
}

enum ending desk_run(struct sink *out, enum colour colour)
{
    struct desk d = {.out = out, .top.call = {.colour = colour, .step_unit = NMK_UNIT_NONE}};
    enum ending ending = isatty(STDIN_FILENO) ? run_terminal(&d) : run_pipe(&d);
    desk_clear(&d);
    return ending;
}
