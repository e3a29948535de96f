/* command_start.c -- a short commented design to begin with, in the person's own sizes. */
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "ground/json.h"
#include "ground/line_reader.h"
#include "ground/message.h"
#include "ground/store.h"
#include "ground/typed_length.h"
#include "judgement.h"
#include "load.h"
#include "known_names.h"
#include "near_name.h"
#include "start/starter.h"

/* ---- which design ---- */

static void list_kinds(void)
{
    for (const struct starter *s = starter_table; s->kind; s++)
        message_more("%-12s %s", s->kind, s->purpose);
}

static const struct starter *find_starter(const struct call *call)
{
    const char *kind = call->word_count ? call->words[0] : "";
    const struct starter *starter = starter_find(kind);
    if (starter)
        return starter;
    struct near_name near = near_name_begin(kind, strlen(kind));
    for (const struct starter *s = starter_table; s->kind; s++)
        near_name_offer(&near, s->kind);
    if (near.best)
        message_error("there is no design \"%s\" to start from; did you mean nearmark start %s?", kind, near.best);
    else if (*kind)
        message_error("there is no design \"%s\" to start from; there are", kind);
    else
        message_error("name what you want to make, for example nearmark start sleeve; there are");
    if (!near.best)
        list_kinds();
    return NULL;
}

/* ---- sizes ---- */

struct sizes { /* as they are written into the design; NULL: the usual one */
    char *text[STARTER_QUESTIONS];
};

static void sizes_clear(struct sizes *sizes)
{
    for (size_t i = 0; i < STARTER_QUESTIONS; i++)
        store_free(sizes->text[i]);
}

static bool no_such_measure(const struct starter *starter, const char *name)
{
    struct known_names known = known_names_begin(name);
    for (size_t i = 0; i < STARTER_QUESTIONS && starter->questions[i].measure; i++)
        known_names_add(&known, starter->questions[i].measure);
    known_names_refuse(&known, "--set: ", starter->kind, "measure");
    return false;
}

static bool take_sets(struct sizes *sizes, const struct starter *starter, const struct call *call)
{
    for (size_t i = 0; i < call->set_count; i++) {
        const struct option_set *set = &call->sets[i];
        size_t question = starter_question(starter, set->name, strlen(set->name));
        if (question == STARTER_QUESTIONS)
            return no_such_measure(starter, set->name);
        store_free(sizes->text[question]);
        sizes->text[question] = typed_length(&set->size, set->unit);
    }
    return true;
}

/* ---- asking ---- */

/* Questions go where messages go: what is on standard output is the design. */
static void put_question(const struct starter_question *q)
{
    struct sink text = {.fd = STDERR_FILENO};
    sink_format(&text, "\n%s\n", q->ask);
    sink_words(&text, 2, q->how);
    sink_format(&text, "  [%s] ", q->usual);
    sink_flush(&text);
    sink_drop(&text);
}

/* Until it is answered. false: the person left. */
static bool ask(char **out, const struct starter_question *q, struct line_reader *reader)
{
    const char *line;
    size_t size;
    put_question(q);
    while (line_reader_next(reader, &line, &size) == LINE_GIVEN) {
        char *answer = store_copy(line, size);
        bool empty = !answer[strspn(answer, " \t\r")];
        struct nmk_rat mm = {0};
        enum nmk_unit unit = NMK_MM;
        bool good = empty || call_read_length(&mm, &unit, answer, q->measure);
        if (good && !empty)
            *out = typed_length(&mm, unit);
        nmk_rat_clear(&mm);
        store_free(answer);
        if (good)
            return true;
        put_question(q);
    }
    return false;
}

static bool ask_sizes(struct sizes *sizes, const struct starter *starter)
{
    struct line_reader reader = {.fd = STDIN_FILENO};
    bool good = true;
    for (size_t i = 0; good && i < STARTER_QUESTIONS && starter->questions[i].measure; i++)
        if (!sizes->text[i])
            good = ask(&sizes->text[i], &starter->questions[i], &reader);
    line_reader_clear(&reader);
    if (!good)
        message_error("not all sizes were given, so nothing was written");
    else
        message_more(" ");
    return good;
}

/* ---- the design ---- */

/* Sizes far from the usual ones may give a design that does not hold: then that is said. */
static enum ending try_design(const struct starter *starter, const struct sink *text, const struct call *call)
{
    struct call plain = *call;
    plain.set_count = 0;
    struct judgement j = {0};
    struct nmk_design *design = load_text(starter->kind, text->data, text->size, &plain);
    enum ending ending = design ? judge_design(&j, design, starter->kind, &plain) : ENDING_WRONG;
    if (!ending)
        ending = judgement_ending(&j, &plain);
    judgement_clear(&j);
    nmk_design_free(design);
    return ending;
}

static void put_json(struct sink *out, const struct starter *starter, const struct sizes *sizes, const struct sink *text)
{
    struct json j;
    json_begin(&j, out, JSON_INDENTED);
    json_object(&j, NULL);
    json_text(&j, "kind", starter->kind);
    json_list(&j, "measures");
    for (size_t i = 0; i < STARTER_QUESTIONS && starter->questions[i].measure; i++) {
        json_object(&j, NULL);
        json_text(&j, "measure", starter->questions[i].measure);
        json_text(&j, "size", sizes->text[i] ? sizes->text[i] : starter->questions[i].usual);
        json_close(&j);
    }
    json_close(&j);
    json_exact_text(&j, "design", text->data, text->size);
    json_end(&j);
}

static enum ending put_design(const struct starter *starter, const struct sizes *sizes, const struct call *call,
                              struct sink *out)
{
    struct sink text = {0};
    starter_write(&text, starter, (const char *const *)sizes->text);
    enum ending ending = try_design(starter, &text, call);
    if (call->given[OPTION_JSON])
        put_json(out, starter, sizes, &text);
    else
        sink_add(out, text.data, text.size);
    sink_drop(&text);
    return ending;
}

enum ending command_start(const struct call *call, struct sink *out)
{
    struct sizes sizes = {0};
    const struct starter *starter = find_starter(call);
    if (!starter)
        return ENDING_WRONG;
    bool good = take_sets(&sizes, starter, call) && (!isatty(STDIN_FILENO) || ask_sizes(&sizes, starter));
    enum ending ending = good ? put_design(starter, &sizes, call, out) : ENDING_WRONG;
    sizes_clear(&sizes);
    return ending;
}
