#include "desk/desk_command.h"

#include <string.h>

#include "commands.h"
#include "ground/message.h"
#include "ground/store.h"

enum { MOST_WORDS = 64 };

/* The words of a call; they and what they point to live until words_clear. */
struct words {
    char *all[MOST_WORDS + 1];
    int count;
};

static void words_clear(struct words *w)
{
    while (w->count)
        store_free(w->all[--w->count]);
}

static void add_word(struct words *w, const char *text, size_t size)
{
    if (w->count < MOST_WORDS)
        w->all[w->count++] = store_copy(text, size);
}

/* As a shell would: spaces part words, quotes keep them together. */
static void split(struct words *w, const char *text)
{
    struct sink word = {0};
    while (*(text += strspn(text, " \t"))) {
        char quote = 0;
        sink_string(&word, "");
        for (; *text && (quote || (*text != ' ' && *text != '\t')); text++)
            if (quote ? *text == quote : *text == '"' || *text == '\'')
                quote = quote ? 0 : *text;
            else
                sink_add(&word, text, 1);
        add_word(w, word.data, word.size);
        word.size = 0;
    }
    sink_drop(&word);
}

static bool is_about_design(const struct command *c)
{
    return !strncmp(c->words, "DESIGN", 6);
}

/* `explain lid rim`: what is named after the design may have spaces, so all up to the first option is one word. */
static void join_name(struct words *w, int from)
{
    struct sink name = {0};
    int end = from;
    for (; end < w->count && strncmp(w->all[end], "--", 2) != 0; end++) {
        sink_format(&name, "%s%s", name.size ? " " : "", w->all[end]);
        store_free(w->all[end]);
    }
    if (end == from)
        return;
    w->all[from] = name.data;
    memmove(w->all + from + 1, w->all + end, (size_t)(w->count - end) * sizeof *w->all);
    w->count -= end - from - 1;
}

/* What was set at the desk goes into the call. */
static void put_desk(struct call *call, const struct call *desk)
{
    if (command_takes(call->command, OPTION_MARKS) && !call->has_marks && desk->has_marks) {
        call->has_marks = true;
        nmk_rat_set(&call->step, &desk->step);
        call->step_unit = desk->step_unit;
    }
    if (!command_takes(call->command, OPTION_SET) || !is_about_design(call->command))
        return;
    size_t count = desk->set_count, own = call->set_count;
    struct option_set *sets = store_new(count + own + 1, sizeof *sets);
    for (size_t i = 0; i < count; i++) {
        sets[i] =
            (struct option_set){.name = store_copy(desk->sets[i].name, strlen(desk->sets[i].name)), .unit = desk->sets[i].unit};
        nmk_rat_set(&sets[i].size, &desk->sets[i].size);
    }
    if (own)
        memcpy(sets + count, call->sets, own * sizeof *sets); /* those of the call come later, and so win */
    store_free(call->sets);
    call->sets = sets;
    call->set_count = count + own;
}

static enum ending run_to_file(const struct call *call)
{
    struct sink file;
    if (!sink_open(&file, call->output, call->colour))
        return ENDING_WRONG;
    enum ending ending = call->command->run(call, &file);
    if (ending >= ENDING_WRONG)
        sink_drop(&file);
    else
        ending = sink_close(&file, ending);
    return ending;
}

static enum ending run(const struct call *call, struct sink *out)
{
    if (call->given[OPTION_HELP]) {
        help_command(out, call->command);
        return ENDING_DONE;
    }
    if (call->output && !command_opens_output(call->command))
        return run_to_file(call);
    size_t before = out->size;
    enum ending ending = call->command->run(call, out);
    if (ending >= ENDING_WRONG)
        out->size = before;
    return ending;
}

static void call_command(struct desk *d, const struct command *command, struct words *w)
{
    struct call call;
    bool about = is_about_design(command), several = about && strchr(command->words, ' ');
    if (several && d->top.path)
        join_name(w, 3);
    bool good = call_read(&call, w->count, w->all);
    if (good) {
        put_desk(&call, &d->top.call);
        d->ending = ending_worse(d->ending, run(&call, d->out));
    } else {
        d->ending = ending_worse(d->ending, ENDING_WRONG);
    }
    call_clear(&call);
}

bool desk_command(struct desk *d, const char *text, size_t size)
{
    struct words w = {0};
    char *name = store_copy(text, size);
    const struct command *command = command_find(name);
    store_free(name);
    if (!command || command->run == command_calc || command->run == command_convert)
        return false;
    bool about = is_about_design(command);
    add_word(&w, "nearmark", 8);
    add_word(&w, text, size);
    if (about && d->top.path)
        add_word(&w, d->top.path, strlen(d->top.path));
    split(&w, text + size);
    if (about && w.count == 2) {
        message_error("open a design first: open tin.design");
        d->ending = ending_worse(d->ending, ENDING_WRONG);
    } else {
        call_command(d, command, &w);
    }
    words_clear(&w);
    return true;
}
