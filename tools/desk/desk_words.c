#include "desk/desk_words.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "desk/desk_command.h"
#include "desk/named.h"
#include "desk/phrase.h"
#include "desk/snapshot.h"
#include "ground/figure.h"
#include "ground/message.h"
#include "ground/store.h"
#include "ground/typed_length.h"
#include "known_names.h"
#include "near_name.h"

static void fail(struct desk *d)
{
    d->ending = ending_worse(d->ending, ENDING_WRONG);
}

static bool needs_design(struct desk *d)
{
    if (d->top.path)
        return true;
    message_error("open a design first: open tin.design");
    fail(d);
    return false;
}

/* ---- names in sums ---- */

static bool find_name(void *context, const char *name, size_t size, struct quantity *out)
{
    const struct desk *d = context;
    struct nmk_rat mm = {0};
    if (size == 4 && !memcmp(name, "last", 4) && d->has_last) {
        nmk_enclosure_set(&out->value, &d->last.value.value);
        out->power = d->last.value.power;
        return true;
    }
    bool found = named_size(&d->top, name, size, &mm);
    if (found) {
        nmk_enclosure_set_rat(&out->value, &mm);
        out->power = 1;
    }
    nmk_rat_clear(&mm);
    return found;
}

static void offer_name(void *near, const char *name)
{
    near_name_offer(near, name);
}

static void offer_names(void *context, struct near_name *near)
{
    const struct desk *d = context;
    named_each(&d->top, offer_name, near);
}

/* ---- sums ---- */

static bool answer_text(struct desk *d, const char *text)
{
    struct expression_names names = {find_name, offer_names, d};
    struct answer_kept now = {0};
    struct answer_options options = {.has_marks = d->top.call.has_marks, .step = d->top.call.step,
                                     .step_unit = d->top.call.step_unit, .names = &names, .kept = &now};
    bool good = answer_sum(d->out, text, strlen(text), &options);
    if (good) {
        struct answer_kept old = d->last;
        d->last = now;
        d->has_last = true;
        now = old;
        store_free(d->asked);
        d->asked = d->last.lacks_unit ? store_copy(text, strlen(text)) : NULL;
    } else {
        fail(d);
    }
    quantity_clear(&now.value);
    return good;
}

/* The unit of the number before, `mm` after `88`. */
static bool answer_unit(struct desk *d, const char *text)
{
    enum nmk_unit unit = nmk_unit_find(text, strlen(text));
    if (!d->asked || unit == NMK_UNIT_NONE)
        return false;
    struct sink sum = {0};
    sink_format(&sum, "(%s) * 1 %s", d->asked, nmk_unit_name(unit));
    answer_text(d, sum.data);
    sink_drop(&sum);
    return true;
}

static void answer_passing(struct desk *d, const char *text)
{
    char *sum = phrase_sum(text), *first, *second;
    if (!strncmp(sum, "last ", 5) && !d->has_last) {
        message_error("there is no last result yet to go on from; type a sum first, for example 84 mm");
        fail(d);
    } else if (phrase_pair(sum, &first, &second)) {
        if (answer_text(d, first)) {
            sink_string(d->out, "\n");
            answer_text(d, second);
        }
        store_free(first);
        store_free(second);
    } else {
        answer_text(d, sum);
    }
    store_free(sum);
}

/* ---- the words ---- */

static char *unquoted(const char *text)
{
    size_t size = strlen(text);
    bool quoted = size > 1 && (*text == '"' || *text == '\'') && text[size - 1] == *text;
    return quoted ? store_copy(text + 1, size - 2) : store_copy(text, size);
}

static void word_open(struct desk *d, const char *rest)
{
    char *path = unquoted(rest);
    if (!*path) {
        message_error("name the file of a design: open tin.design");
        fail(d);
    } else if (!worktop_open(&d->top, path)) {
        fail(d);
    } else {
        struct snapshot *none = snapshot_new(&d->top);
        const char *title = nmk_design_title(d->top.design);
        sink_string(d->out, "  ");
        sink_plain(d->out, *title ? title : path);
        sink_string(d->out, "\n");
        snapshot_show(d->out, none, &d->top);
        snapshot_free(none);
    }
    store_free(path);
}

static bool set_measure(struct desk *d, const char *name, const char *written)
{
    struct nmk_rat size = {0};
    enum nmk_unit unit = NMK_UNIT_NONE;
    struct snapshot *before = NULL;
    size_t measure;
    bool good = known_measure(&measure, d->top.design, name, "") && call_read_length(&size, &unit, written, name);
    if (good) {
        before = snapshot_new(&d->top);
        good = worktop_set(&d->top, name, &size, unit);
    }
    if (good) {
        char *text = typed_length(&size, unit);
        sink_format(d->out, "  %s = %s\n", name, text);
        snapshot_show(d->out, before, &d->top);
        store_free(text);
    }
    snapshot_free(before);
    nmk_rat_clear(&size);
    return good;
}

/* `long = 148 mm`, `long 148 mm`, `long to 148 mm` */
static void word_set(struct desk *d, const char *rest)
{
    size_t name = strcspn(rest, " \t=:"), gap = strspn(rest + name, " \t=:");
    if (!strncasecmp(rest + name + gap, "to ", 3))
        gap += 3;
    if (!needs_design(d))
        return;
    if (!name || !rest[name + gap]) {
        message_error("name a measure and its size: set long = 148 mm");
        fail(d);
        return;
    }
    char *measure = store_copy(rest, name);
    if (!set_measure(d, measure, rest + name + gap))
        fail(d);
    store_free(measure);
}

static void word_save(struct desk *d, const char *rest)
{
    if (!needs_design(d))
        return;
    char *path = unquoted(*rest ? rest : d->top.path);
    if (worktop_save(&d->top, path))
        sink_format(d->out, "  Saved in %s.\n", path);
    else
        fail(d);
    store_free(path);
}

static void word_marks(struct desk *d, const char *rest)
{
    struct nmk_rat step = {0};
    enum nmk_unit unit = NMK_UNIT_NONE;
    const char *length = !strncasecmp(rest, "every ", 6) ? rest + 6 : rest;
    bool usual = !strcasecmp(length, "usual");
    if (!*length) {
        message_error("say how far apart they are: marks 1/8 in; or marks usual");
        fail(d);
    } else if ((!usual && !call_read_length(&step, &unit, length, "marks")) ||
               !worktop_marks(&d->top, usual ? NULL : &step, unit)) {
        fail(d);
    } else if (usual) {
        sink_string(d->out, "  The usual marks again.\n");
    } else {
        char *text = typed_length(&step, unit);
        sink_format(d->out, "  A mark every %s from now on; marks usual goes back.\n", text);
        store_free(text);
    }
    nmk_rat_clear(&step);
}

/* A name of the design, or a sum. */
static void word_say(struct desk *d, const char *rest)
{
    struct expression_names names = {find_name, offer_names, d};
    struct expression e = {.unit = NMK_UNIT_NONE};
    struct complaint wrong;
    if (!*rest) {
        message_error("say what: say sleeve.face, or say 4 7/16 in");
        fail(d);
    } else if (named_say(d->out, &d->top, rest)) {
        return;
    } else if (!expression_read(&e, rest, strlen(rest), &names, &wrong)) {
        message_error("%s%s%s", wrong.message, *wrong.hint ? "; " : "", wrong.hint);
        fail(d);
    } else if (e.value.power != 1) {
        message_error("only a length can be said; give it its unit: say 4 7/16 in");
        fail(d);
    } else {
        struct nmk_rat mm = {0};
        quantity_settle(&mm, &e.value);
        enum nmk_unit said = strstr(rest, "mm") ? NMK_MM : strstr(rest, "cm") ? NMK_CM : NMK_IN;
        enum nmk_unit unit = e.unit == NMK_UNIT_NONE ? said : e.unit;
        char *words = named_words(&mm, unit);
        sink_format(d->out, "    \"%c%s.\"\n", toupper((unsigned char)*words), words + 1);
        store_free(words);
        nmk_rat_clear(&mm);
    }
    expression_clear(&e);
}

static void show_name(void *out, const char *name)
{
    sink_format(out, "  %s\n", name);
}

static void word_names(struct desk *d, const char *rest)
{
    (void)rest;
    if (needs_design(d))
        named_each(&d->top, show_name, d->out);
}

static void word_help(struct desk *d, const char *rest)
{
    (void)rest;
    sink_string(d->out, "  Type a sum, and the marks around it are shown:\n"
                        "    4 7/16 in + 3 mm        241 mm - 2*18 mm     half of 9 1/4 in\n"
                        "    88 mm in sixteenths     (8.4 cm - 2 mm)/3    last + 1/8 in\n"
                        "  Lengths in mm, cm, in, ft, mil; + - * / ( ) min max abs sqrt pi.\n"
                        "  A minus stands between spaces.\n\n"
                        "    open FILE               a design onto the desk\n"
                        "    sleeve.face             its marks in every edition, in words too\n"
                        "    set long = 148 mm       your own size; what changes is shown\n"
                        "    check, cuts, explain NAME       and the other commands, for it\n"
                        "    names                   the names of the design\n"
                        "    save FILE               write it with your own sizes\n"
                        "    say sleeve.face         the sentence to speak\n"
                        "    marks 1/8 in            other marks; marks usual goes back\n"
                        "    help, quit              nearmark --help tells of the commands\n\n"
                        "  Tab completes a word, the arrow keys bring back earlier lines.\n");
}

static void word_quit(struct desk *d, const char *rest)
{
    (void)rest;
    d->left = true;
}

static const struct {
    const char *word;
    void (*act)(struct desk *, const char *rest);
    bool alone; /* only where nothing stands behind it */
    bool takes_file;
} words[] = {
    {"open", word_open, false, true},   {"set", word_set, false, false},    {"save", word_save, false, true},
    {"marks", word_marks, false, false}, {"say", word_say, false, false},   {"names", word_names, true, false},
    {"help", word_help, false, false},  {"?", word_help, false, false},     {"quit", word_quit, true, false},
    {"exit", word_quit, true, false},   {"bye", word_quit, true, false},    {"q", word_quit, true, false},
};
enum { WORDS = sizeof words / sizeof *words };

/* ---- a line ---- */

static bool is_word(const char *text, size_t size, const char *word)
{
    return strlen(word) == size && !strncasecmp(text, word, size);
}

static bool take_word(struct desk *d, const char *text, size_t size)
{
    const char *rest = text + size + strspn(text + size, " \t");
    for (size_t i = 0; i < WORDS; i++)
        if (is_word(text, size, words[i].word) && (!words[i].alone || !*rest)) {
            words[i].act(d, rest);
            return true;
        }
    return false;
}

/* `long = 148 mm`: a measure, and an equals sign. */
static bool take_assignment(struct desk *d, const char *text)
{
    size_t name = strcspn(text, " \t=");
    const char *sign = text + name + strspn(text + name, " \t");
    if (!name || *sign != '=' || !sign[1] || !(isalpha((unsigned char)*text) || (*text & 0x80)))
        return false;
    word_set(d, text);
    return true;
}

/* A first word that nothing is known by: the nearest word of the desk is proposed. */
static bool is_misspelt(struct desk *d, const char *text, size_t size)
{
    struct near_name near = near_name_begin(text, size);
    struct quantity ignored = {0};
    static const char *const known[] = {"min", "max", "abs", "sqrt", "pi", "last"};
    bool letters = size > 2 && !text[strcspn(text, "(")] && isalpha((unsigned char)*text);
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        letters = letters && !is_word(text, size, known[i]);
    bool named = letters && find_name(d, text, size, &ignored);
    quantity_clear(&ignored);
    if (!letters || named || nmk_unit_find(text, size) != NMK_UNIT_NONE)
        return false;
    offer_names(d, &near);
    for (size_t i = 0; i < WORDS; i++)
        near_name_offer(&near, words[i].word);
    for (const struct command *c = command_table; c->name; c++)
        near_name_offer(&near, c->name);
    if (!near.best)
        return false;
    message_error("%.*s is not known here; did you mean %s?", (int)(size < 40 ? size : 40), text, near.best);
    fail(d);
    return true;
}

/* Nothing that looks like a sum: where to look. */
static bool is_no_sum(struct desk *d, const char *text)
{
    if (strpbrk(text, "0123456789(") || (unsigned char)*text >= 0x80)
        return false;
    struct quantity ignored = {0};
    size_t size = strcspn(text, " ");
    bool known = find_name(d, text, size, &ignored) || is_word(text, size, "pi") || is_word(text, size, "last");
    quantity_clear(&ignored);
    if (known)
        return false;
    message_error("\"%.60s\" is not known here; type a sum, 105 mm + 1/2 in, or help", text);
    fail(d);
    return true;
}

static void answer(struct desk *d, const char *text)
{
    size_t size = strcspn(text, " \t");
    if (take_word(d, text, size) || answer_unit(d, text) || take_assignment(d, text) || desk_command(d, text, size))
        return;
    if (named_show(d->out, &d->top, text)) {
        struct quantity value = {0};
        if (find_name(d, text, strlen(text), &value)) {
            quantity_swap(&d->last.value, &value);
            d->has_last = true;
        }
        quantity_clear(&value);
        return;
    }
    char *sum = phrase_sum(text);
    bool reworded = strcmp(sum, text) != 0;
    store_free(sum);
    if (!reworded && (is_misspelt(d, text, size) || is_no_sum(d, text)))
        return;
    answer_passing(d, text);
}

void desk_answer(struct desk *d, const char *line)
{
    const char *start = line + strspn(line, " \t");
    size_t size = strlen(start);
    while (size && (start[size - 1] == ' ' || start[size - 1] == '\t'))
        size--;
    if (!size || *start == '#')
        return;
    char *text = store_copy(start, size);
    worktop_refresh(&d->top);
    answer(d, text);
    store_free(text);
}

void desk_clear(struct desk *d)
{
    worktop_clear(&d->top);
    quantity_clear(&d->last.value);
    store_free(d->asked);
    d->asked = NULL;
}

/* ---- completion ---- */

static void each_word(void *context, bool begins_line, completion_take take, void *target)
{
    struct desk *d = context;
    for (size_t i = 0; begins_line && i < WORDS; i++)
        take(target, words[i].word);
    for (const struct command *c = command_table; begins_line && c->name; c++)
        take(target, c->name);
    named_each(&d->top, take, target);
}

static bool takes_file(void *context, const char *word, size_t size)
{
    (void)context;
    for (size_t i = 0; i < WORDS; i++)
        if (is_word(word, size, words[i].word))
            return words[i].takes_file;
    return false;
}

struct completion_words desk_completion(struct desk *d)
{
    return (struct completion_words){each_word, takes_file, d};
}
