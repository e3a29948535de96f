#include "desk/prompt.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "desk/editor.h"
#include "ground/ending.h"
#include "ground/letters.h"
#include "ground/line_reader.h"
#include "ground/sink.h"
#include "ground/store.h"

enum { HISTORY_LINES = 500, SCREEN = 72 };

struct prompt {
    struct editor editor;
    EditLine *edit; /* NULL: there is no line editor; lines are taken as the terminal gives them */
    struct line_reader plain;
    History *history;
    char *file; /* of the history; NULL: there is no place for one */
    char *line;
    const char *sign;
    const struct completion_words *words;
};

static struct prompt *here; /* the editor calls back without a word on whose line it is */

/* ---- Ctrl-C ---- */

static volatile sig_atomic_t interrupted, reading;
static struct sigaction before; /* what SIGINT did */

static void on_interrupt(int number)
{
    if (interrupted && !reading) {
        sigaction(number, &before, NULL);
        raise(number);
    }
    interrupted = 1;
}

static void catch_interrupt(struct sigaction *old)
{
    struct sigaction now;
    memset(&now, 0, sizeof now);
    now.sa_handler = on_interrupt;
    sigaction(SIGINT, &now, old);
}

/* ---- history ---- */

static void make_folders(char *path)
{
    for (char *slash = strchr(path + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(path, 0700);
        *slash = '/';
    }
}

/* By the XDG base directory specification, a relative XDG_STATE_HOME does not count. */
static char *history_file(void)
{
    const char *state = getenv("XDG_STATE_HOME"), *home = getenv("HOME");
    struct sink path = {0};
    if (state && *state == '/')
        sink_format(&path, "%s/nearmark/history", state);
    else if (home && *home == '/')
        sink_format(&path, "%s/.local/state/nearmark/history", home);
    return path.data;
}

static void start_history(struct prompt *p)
{
    HistEvent event;
    p->history = p->editor.history_init();
    if (!p->history)
        return;
    p->editor.history(p->history, &event, H_SETSIZE, HISTORY_LINES);
    p->editor.history(p->history, &event, H_SETUNIQUE, 1);
    p->editor.el_set(p->edit, EL_HIST, p->editor.history, p->history);
    p->file = history_file();
    if (p->file)
        p->editor.history(p->history, &event, H_LOAD, p->file);
}

/* After each line, so that a sitting that ends badly loses none. Where it cannot be kept, it is for this sitting. */
static void keep_history(struct prompt *p, const char *line)
{
    HistEvent event;
    if (!p->history)
        return;
    p->editor.history(p->history, &event, H_ENTER, line);
    if (!p->file)
        return;
    make_folders(p->file);
    p->editor.history(p->history, &event, H_SAVE, p->file);
}

/* ---- completion ---- */

static void list_found(const struct completion *c)
{
    struct sink out = {.fd = 1};
    int column = 0;
    sink_string(&out, "\n");
    for (size_t i = 0; i < c->count; i++) {
        int width = letters_width(c->found[i]) + 2;
        if (column && column + width > SCREEN) {
            sink_string(&out, "\n");
            column = 0;
        }
        sink_plain(&out, c->found[i]);
        sink_string(&out, "  ");
        column += width;
    }
    sink_string(&out, "\n");
    sink_flush(&out);
    sink_drop(&out);
}

static unsigned char complete(EditLine *edit, int key)
{
    (void)key;
    struct completion c;
    const struct editor *e = &here->editor;
    const LineInfo *info = e->el_line(edit);
    size_t size = (size_t)(info->cursor - info->buffer);
    completion_find(&c, here->words, info->buffer, size);
    unsigned char answer = CC_ERROR;
    if (c.count && c.shared > size - c.start) {
        char *more = store_copy(c.found[0] + (size - c.start), c.shared - (size - c.start));
        e->el_insertstr(edit, more);
        store_free(more);
        answer = CC_REFRESH;
    }
    if (c.count == 1 && c.found[0][c.shared - 1] != '/') {
        e->el_insertstr(edit, " ");
        answer = CC_REFRESH;
    } else if (c.count > 1 && answer == CC_ERROR) {
        list_found(&c);
        answer = CC_REDISPLAY;
    }
    completion_clear(&c);
    return answer;
}

/* ---- the prompt ---- */

static char *sign_of(EditLine *edit)
{
    (void)edit;
    return (char *)here->sign;
}

struct prompt *prompt_new(const char *name, const struct completion_words *words)
{
    struct prompt *p = store_new(1, sizeof *p);
    p->sign = "";
    p->words = words;
    here = p;
    letters_prepare(); /* the editor, too, reads UTF-8 */
    p->edit = editor_load(&p->editor) ? p->editor.el_init(name, stdin, stdout, stderr) : NULL;
    if (!p->edit)
        return p;
    catch_interrupt(&before);
    ending_survive_interrupts();
    p->editor.el_set(p->edit, EL_PROMPT, sign_of);
    p->editor.el_set(p->edit, EL_EDITOR, "emacs");
    p->editor.el_set(p->edit, EL_SIGNAL, 1);
    p->editor.el_set(p->edit, EL_ADDFN, "complete", "complete a word", complete);
    p->editor.el_set(p->edit, EL_BIND, "^I", "complete", NULL);
    p->editor.el_set(p->edit, EL_BIND, "^R", "em-inc-search-prev", NULL);
    start_history(p);
    return p;
}

/* A line that Ctrl-C ended is forgotten, and another is asked for. */
static const char *read_line(struct prompt *p, int *count)
{
    const char *line;
    do {
        if (interrupted)
            (void)!fputs("^C\n", stdout);
        interrupted = 0;
        reading = 1;
        *count = 0;
        line = p->editor.el_gets(p->edit, count);
        reading = 0;
    } while (interrupted);
    return line;
}

/* Without the editor. */
static const char *plain_line(struct prompt *p)
{
    const char *line;
    size_t size;
    struct sink out = {.fd = 1};
    sink_string(&out, p->sign);
    sink_flush(&out);
    sink_drop(&out);
    if (line_reader_next(&p->plain, &line, &size) == LINE_NONE)
        return NULL;
    store_free(p->line);
    p->line = store_copy(line, size);
    return p->line;
}

const char *prompt_line(struct prompt *p, const char *sign)
{
    int count = 0;
    p->sign = sign;
    interrupted = 0;
    if (!p->edit)
        return plain_line(p);
    catch_interrupt(NULL); /* a command may have looked for it in its own way */
    const char *line = read_line(p, &count);
    if (!line || count <= 0)
        return NULL;
    if (count > 1)
        keep_history(p, line);
    store_free(p->line);
    p->line = store_copy(line, (size_t)count);
    p->line[strcspn(p->line, "\r\n")] = '\0';
    return p->line;
}

void prompt_free(struct prompt *p)
{
    if (p->edit)
        p->editor.el_end(p->edit);
    if (p->history)
        p->editor.history_end(p->history);
    if (p->edit)
        sigaction(SIGINT, &before, NULL);
    here = NULL;
    line_reader_clear(&p->plain);
    store_free(p->file);
    store_free(p->line);
    store_free(p);
}
