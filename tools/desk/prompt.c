#include "desk/prompt.h"

#include <histedit.h>
#include <stdio.h>
#include <string.h>

#include "report/store.h"

enum { HISTORY_LINES = 500 };

struct prompt {
    EditLine *edit;
    History *history;
    char *line;
    const char *sign;
};

static char *sign_of(EditLine *edit)
{
    struct prompt *p = NULL;
    el_get(edit, EL_CLIENTDATA, &p);
    return (char *)p->sign;
}

static void start_history(struct prompt *p)
{
    HistEvent event;
    p->history = history_init();
    if (!p->history)
        return;
    history(p->history, &event, H_SETSIZE, HISTORY_LINES);
    history(p->history, &event, H_SETUNIQUE, 1);
    el_set(p->edit, EL_HIST, history, p->history);
}

struct prompt *prompt_new(const char *name)
{
    struct prompt *p = store_new(1, sizeof *p);
    p->sign = "";
    p->edit = el_init(name, stdin, stdout, stderr);
    if (!p->edit)
        return p;
    el_set(p->edit, EL_CLIENTDATA, p);
    el_set(p->edit, EL_PROMPT, sign_of);
    el_set(p->edit, EL_EDITOR, "emacs");
    el_set(p->edit, EL_SIGNAL, 1);
    start_history(p);
    return p;
}

const char *prompt_line(struct prompt *p, const char *sign)
{
    int count = 0;
    HistEvent event;
    p->sign = sign;
    const char *line = p->edit ? el_gets(p->edit, &count) : NULL;
    if (!line || count <= 0)
        return NULL;
    if (p->history && count > 1)
        history(p->history, &event, H_ENTER, line);
    store_free(p->line);
    p->line = store_copy(line, (size_t)count);
    p->line[strcspn(p->line, "\r\n")] = '\0';
    return p->line;
}

void prompt_free(struct prompt *p)
{
    if (p->edit)
        el_end(p->edit);
    if (p->history)
        history_end(p->history);
    store_free(p->line);
    store_free(p);
}
