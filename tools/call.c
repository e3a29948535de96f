/* call.c -- reads the words of a call by the tables of options.c. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "ground/message.h"
#include "ground/store.h"
#include "near_name.h"
#include "options.h"

const struct command *command_find(const char *name)
{
    for (const struct command *c = command_table; c->name; c++)
        if (!strcmp(c->name, name))
            return c;
    return NULL;
}

bool command_takes(const struct command *command, enum option_id id)
{
    return command->options >> id & 1;
}

static const struct option *find_long(const char *name, size_t size)
{
    for (const struct option *o = option_table; o->name; o++)
        if (strlen(o->name) == size && !memcmp(o->name, name, size))
            return o;
    return NULL;
}

static const struct option *find_letter(char letter)
{
    for (const struct option *o = option_table; o->name; o++)
        if (o->letter == letter)
            return o;
    return NULL;
}

/* ---- values ---- */

bool call_read_length(struct nmk_rat *out, enum nmk_unit *unit, const char *text, const char *what)
{
    struct nmk_length_read read = {.unit = NMK_UNIT_NONE};
    struct nmk_length_error error = {0};
    bool good = false;
    if (nmk_length_parse(&read, text, strlen(text), false, &error))
        message_error("%s: %s%s%s", what, error.message, *error.hint ? "; " : "", error.hint);
    else if (text[read.used + strspn(text + read.used, " ")])
        message_error("%s: \"%s\" is more than one length", what, text);
    else if (read.unit == NMK_UNIT_NONE)
        message_error("%s: \"%s\" has no unit; type %s mm or %s in", what, text, text, text);
    else if (nmk_rat_sign(&read.mm) <= 0)
        message_error("%s: \"%s\" is not more than zero", what, text);
    else
        good = true;
    if (good) {
        nmk_rat_swap(out, &read.mm);
        *unit = read.unit;
    }
    nmk_length_read_clear(&read);
    return good;
}

static bool read_marks(struct call *call, const char *value)
{
    call->has_marks = true;
    return call_read_length(&call->step, &call->step_unit, value, "--marks");
}

static bool read_prefer(struct call *call, const char *value)
{
    call->prefer = strcmp(value, "easiest") ? NMK_CLOSEST : NMK_EASIEST;
    return true;
}

static bool read_within(struct call *call, const char *value)
{
    size_t digits = strspn(value, "0123456789");
    errno = 0;
    call->within = strtoll(value, NULL, 10);
    if (digits && !value[digits] && !errno)
        return true;
    message_error("--within: \"%s\" is not a whole number of marks; for example --within 2", value);
    return false;
}

/* A whole number of at least 1. */
static bool read_count(int64_t *out, const char *value, const char *what, const char *example)
{
    size_t digits = strspn(value, "0123456789");
    errno = 0;
    *out = strtoll(value, NULL, 10);
    if (digits && !value[digits] && !errno && *out > 0)
        return true;
    message_error("%s: \"%s\" is not a whole number from 1 up; for example %s %s", what, value, what, example);
    return false;
}

static bool read_makers(struct call *call, const char *value)
{
    return read_count(&call->makers, value, "--makers", "20");
}

static bool read_effort(struct call *call, const char *value)
{
    int64_t effort = 0;
    bool good = read_count(&effort, value, "--effort", "1000000");
    call->effort = (uint64_t)effort;
    return good;
}

/* `99.9%`, `99,9 %`, `100`: exact. */
static bool read_sure(struct call *call, const char *value)
{
    char *text = store_copy(value, strlen(value));
    size_t size = strspn(text, "0123456789.,");
    char *comma = strchr(text, ',');
    const char *rest = text + size + strspn(text + size, " ");
    struct nmk_rat percent = {0}, hundred = {0};
    nmk_rat_set_int(&hundred, 100);
    if (comma)
        *comma = '.';
    bool good = (!*rest || !strcmp(rest, "%")) && !nmk_rat_parse(&percent, text, size) && nmk_rat_sign(&percent) >= 0 &&
                nmk_rat_cmp_int(&percent, 100) <= 0 && !nmk_rat_div(&call->sure, &percent, &hundred);
    if (!good)
        message_error("--sure: \"%s\" is not a percentage from 0%% to 100%%; for example --sure 95%%", value);
    nmk_rat_clear(&percent);
    nmk_rat_clear(&hundred);
    store_free(text);
    return good;
}

static bool read_set(struct call *call, const char *value)
{
    const char *equals = strchr(value, '=');
    if (!equals || equals == value) {
        message_error("--set: \"%s\" names no measure and its size; for example --set long=148mm", value);
        return false;
    }
    size_t end = (size_t)(equals - value);
    while (end && value[end - 1] == ' ')
        end--;
    call->sets = store_resize(call->sets, (call->set_count + 1) * sizeof *call->sets);
    struct option_set *set = &call->sets[call->set_count++];
    *set = (struct option_set){.name = store_copy(value, end), .unit = NMK_UNIT_NONE};
    return call_read_length(&set->size, &set->unit, equals + 1, "--set");
}

static bool read_vary(struct call *call, const char *value)
{
    call->varies = store_resize(call->varies, (call->vary_count + 1) * sizeof *call->varies);
    struct varying *v = &call->varies[call->vary_count++];
    *v = (struct varying){0};
    return varying_read(v, value);
}

static bool read_color(struct call *call, const char *value)
{
    call->colour = !strcmp(value, "always") ? COLOUR_ALWAYS : !strcmp(value, "never") ? COLOUR_NEVER : COLOUR_AUTO;
    return true;
}

static bool read_edition(struct call *call, const char *value)
{
    call->edition = value;
    return true;
}

static bool read_format(struct call *call, const char *value)
{
    call->format = value;
    return true;
}

static bool read_shell(struct call *call, const char *value)
{
    call->shell = value;
    return true;
}

static bool read_view(struct call *call, const char *value)
{
    call->view = value;
    return true;
}

static bool read_piece(struct call *call, const char *value)
{
    call->piece = value;
    return true;
}

static bool read_scale(struct call *call, const char *value)
{
    call->scale = value;
    return true;
}

static bool read_paper(struct call *call, const char *value)
{
    nmk_sheet_clear(&call->paper);
    if (!nmk_sheet_find(&call->paper, value, strlen(value)))
        return true;
    message_error("--paper: \"%s\" is no sheet that I know; for example A4, Letter or 8x10 (inches)", value);
    return false;
}

static bool read_output(struct call *call, const char *value)
{
    call->output = value;
    if (!*value)
        message_error("--output: name a file");
    return *value;
}

static bool is_choice(const char *choices, const char *value)
{
    size_t size = strlen(value);
    for (const char *at = choices; *at; at += strspn(at, " ")) {
        size_t choice = strcspn(at, " ");
        if (choice == size && !memcmp(at, value, size))
            return true;
        at += choice;
    }
    return false;
}

static bool take_value(struct call *call, const struct option *o, const char *value)
{
    static bool (*const readers[OPTION_COUNT])(struct call *, const char *) = {
        [OPTION_EDITION] = read_edition, [OPTION_MARKS] = read_marks, [OPTION_PREFER] = read_prefer,
        [OPTION_WITHIN] = read_within,   [OPTION_SURE] = read_sure,   [OPTION_SET] = read_set,
        [OPTION_VARY] = read_vary,
        [OPTION_COLOR] = read_color,     [OPTION_OUTPUT] = read_output, [OPTION_FORMAT] = read_format,
        [OPTION_VIEW] = read_view,       [OPTION_PIECE] = read_piece,   [OPTION_SCALE] = read_scale,
        [OPTION_PAPER] = read_paper,     [OPTION_COMPLETION] = read_shell,
        [OPTION_MAKERS] = read_makers,   [OPTION_EFFORT] = read_effort,
    };
    if (o->choices && !is_choice(o->choices, value)) {
        message_error("--%s: \"%s\" is none of: %s", o->name, value, o->choices);
        return false;
    }
    return readers[o->id](call, value);
}

/* ---- options ---- */

static void refuse_option(const char *word, size_t size)
{
    struct near_name near = near_name_begin(word, size);
    for (const struct option *o = option_table; o->name; o++)
        near_name_offer(&near, o->name);
    char *shown = store_copy(word, size);
    if (near.best)
        message_error("there is no option --%s; did you mean --%s?", shown, near.best);
    else
        message_error("there is no option --%s; nearmark --help lists them", shown);
    store_free(shown);
}

/* The value of the option is behind `=`, or the next word. Moves *at to the last word that was used. */
static bool take_option(struct call *call, const struct option *o, const char *inside, char **argv, int argc, int *at)
{
    call->given[o->id] = true;
    if (!o->value) {
        if (inside)
            message_error("--%s takes no value", o->name);
        return !inside;
    }
    if (!inside && *at + 1 >= argc) {
        message_error("--%s needs a value: --%s %s", o->name, o->name, o->value);
        return false;
    }
    return take_value(call, o, inside ? inside : argv[++*at]);
}

static bool read_long(struct call *call, char **argv, int argc, int *at)
{
    const char *word = argv[*at] + 2;
    size_t size = strcspn(word, "=");
    const struct option *o = find_long(word, size);
    if (!o) {
        refuse_option(word, size);
        return false;
    }
    return take_option(call, o, word[size] ? word + size + 1 : NULL, argv, argc, at);
}

static bool read_short(struct call *call, char **argv, int argc, int *at)
{
    const char *word = argv[*at];
    const struct option *o = find_letter(word[1]);
    if (!o) {
        message_error("there is no option %s; nearmark --help lists them", word);
        return false;
    }
    return take_option(call, o, word[2] ? word + 2 : NULL, argv, argc, at);
}

/* `-3 mm` and `-(2 mm)` begin a sum, `-` is a word (standard input), `- 3 mm` a minus. */
static bool is_short_option(const char *word)
{
    return word[0] == '-' && ((word[1] >= 'a' && word[1] <= 'z') || (word[1] >= 'A' && word[1] <= 'Z')) &&
           (!word[2] || word[1] == 'o');
}

static bool refuse_command(const char *word)
{
    struct near_name near = near_name_begin(word, strlen(word));
    for (const struct command *c = command_table; c->name; c++)
        near_name_offer(&near, c->name);
    if (near.best)
        message_error("there is no command \"%s\"; did you mean nearmark %s?", word, near.best);
    else
        message_error("there is no command \"%s\"; nearmark --help lists them", word);
    return false;
}

/* `help`, `help cuts`: as --help. */
static bool take_word(struct call *call, const char *word)
{
    if (!call->command && !call->given[OPTION_HELP] && !strcmp(word, "help")) {
        call->given[OPTION_HELP] = true;
        return true;
    }
    if (!call->command) {
        call->command = command_find(word);
        return call->command || refuse_command(word);
    }
    call->words[call->word_count++] = word;
    return true;
}

/* ---- the whole ---- */

static bool check_options(const struct call *call)
{
    const struct command *c = call->command;
    for (const struct option *o = option_table; o->name; o++) {
        if (!call->given[o->id] || o->id == OPTION_VERSION || (c && command_takes(c, o->id)))
            continue;
        if (!c && (o->id == OPTION_HELP || o->id == OPTION_MANUAL || o->id == OPTION_COMPLETION || o->id == OPTION_COLOR))
            continue;
        if (c)
            message_error("%s has no option --%s; nearmark %s --help lists those it has", c->name, o->name, c->name);
        else
            message_error("name a command first; nearmark --help lists them");
        return false;
    }
    return true;
}

static bool check_words(const struct call *call)
{
    const struct command *c = call->command;
    if (!c || call->given[OPTION_HELP] || call->given[OPTION_VERSION])
        return true;
    if (call->word_count < c->least_words)
        message_error("%s needs %s; for example: %s", c->name, c->words, c->example);
    else if (call->word_count > c->most_words)
        message_error("%s does not know what to do with \"%s\"; nearmark %s --help", c->name, call->words[c->most_words],
                      c->name);
    else
        return true;
    return false;
}

bool call_read(struct call *call, int argc, char **argv)
{
    *call = (struct call){.step_unit = NMK_UNIT_NONE};
    call->words = store_new((size_t)argc + 1, sizeof *call->words);
    bool options_end = false, good = true;
    for (int i = 1; good && i < argc; i++) {
        if (!options_end && !strcmp(argv[i], "--"))
            options_end = true;
        else if (!options_end && !strncmp(argv[i], "--", 2))
            good = read_long(call, argv, argc, &i);
        else if (!options_end && is_short_option(argv[i]))
            good = read_short(call, argv, argc, &i);
        else
            good = take_word(call, argv[i]);
    }
    return good && check_options(call) && check_words(call);
}

void call_clear(struct call *call)
{
    for (size_t i = 0; i < call->set_count; i++) {
        store_free(call->sets[i].name);
        nmk_rat_clear(&call->sets[i].size);
    }
    store_free(call->sets);
    for (size_t i = 0; i < call->vary_count; i++)
        varying_clear(&call->varies[i]);
    store_free(call->varies);
    store_free(call->words);
    nmk_sheet_clear(&call->paper);
    nmk_rat_clear(&call->step);
    nmk_rat_clear(&call->sure);
    *call = (struct call){0};
}
