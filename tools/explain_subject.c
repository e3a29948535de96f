#include "explain_subject.h"

#include <string.h>

#include "ground/message.h"
#include "ground/store.h"
#include "near_name.h"
#include "report/edition_text.h"

enum { MOST_NAMED = 8 };

void explain_subject_clear(struct explain_subject *subject)
{
    store_free(subject->demands);
    store_free(subject->lengths);
    *subject = (struct explain_subject){0};
}

static const char *demand_name(const struct nmk_design *design, size_t i)
{
    return nmk_design_demand(design, i)->name;
}

static const char *length_name(const struct nmk_design *design, size_t i)
{
    return nmk_design_length(design, i)->name;
}

static bool is_title(const struct nmk_design *design, size_t demand, const char *word)
{
    char *title = demand_title(nmk_design_demand(design, demand));
    bool same = !strcmp(title, word);
    store_free(title);
    return same;
}

/* All that have exactly this name; a length beside demands of its name comes along by itself where it is moved. */
static bool take_exact(struct explain_subject *out, const struct nmk_design *design, const char *word)
{
    bool any = false;
    for (size_t i = 0; i < nmk_design_demand_count(design); i++)
        any |= out->demands[i] = !strcmp(demand_name(design, i), word) || is_title(design, i, word);
    for (size_t i = 0; !any && i < nmk_design_length_count(design); i++)
        any |= out->lengths[i] = !strcmp(length_name(design, i), word);
    return any;
}

struct names { /* different ones that were found */
    const char *all[MOST_NAMED + 1];
    size_t count;
};

static void add_name(struct names *names, const char *name)
{
    for (size_t i = 0; i < names->count; i++)
        if (!strcmp(names->all[i], name))
            return;
    if (names->count <= MOST_NAMED)
        names->all[names->count++] = name;
}

static struct names beginning_with(const struct nmk_design *design, const char *word)
{
    struct names names = {.count = 0};
    size_t size = strlen(word);
    for (size_t i = 0; i < nmk_design_demand_count(design); i++)
        if (!strncmp(demand_name(design, i), word, size))
            add_name(&names, demand_name(design, i));
    for (size_t i = 0; i < nmk_design_length_count(design); i++)
        if (!strncmp(length_name(design, i), word, size))
            add_name(&names, length_name(design, i));
    return names;
}

static void list_names(struct sink *out, const struct names *names)
{
    for (size_t i = 0; i < names->count && i < MOST_NAMED; i++)
        sink_format(out, "%s%s", i ? "; " : "", names->all[i]);
    sink_string(out, names->count > MOST_NAMED ? "; and more" : "");
}

static void refuse_unknown(const struct nmk_design *design, const char *word)
{
    struct near_name near = near_name_begin(word, strlen(word));
    struct names every = beginning_with(design, "");
    struct sink known = {0};
    for (size_t i = 0; i < nmk_design_demand_count(design); i++)
        near_name_offer(&near, demand_name(design, i));
    for (size_t i = 0; i < nmk_design_length_count(design); i++)
        near_name_offer(&near, length_name(design, i));
    list_names(&known, &every);
    if (near.best)
        message_error("the design has no demand or length \"%s\"; did you mean \"%s\"?", word, near.best);
    else
        message_error("the design has no demand or length \"%s\"; it has: %s", word, known.data);
    sink_drop(&known);
}

bool explain_subject_find(struct explain_subject *out, const struct nmk_design *design, const char *word)
{
    *out = (struct explain_subject){.demands = store_new(nmk_design_demand_count(design) + 1, sizeof(bool)),
                                    .lengths = store_new(nmk_design_length_count(design) + 1, sizeof(bool))};
    if (take_exact(out, design, word))
        return true;
    struct names names = beginning_with(design, word);
    if (*word && names.count == 1)
        return take_exact(out, design, names.all[0]);
    if (*word && names.count) {
        struct sink list = {0};
        list_names(&list, &names);
        message_error("\"%s\" is the beginning of several names: %s", word, list.data);
        sink_drop(&list);
    } else {
        refuse_unknown(design, word);
    }
    return false;
}
