#include "known_names.h"

#include <string.h>

#include "ground/message.h"

struct known_names known_names_begin(const char *word)
{
    return (struct known_names){.near = near_name_begin(word, strlen(word))};
}

void known_names_add(struct known_names *known, const char *name)
{
    near_name_offer(&known->near, name);
    sink_format(&known->list, "%s%s", known->list.size ? ", " : "", name);
}

void known_names_refuse(struct known_names *known, const char *before, const char *owner, const char *kind)
{
    const struct near_name *near = &known->near;
    if (near->best)
        message_error("%s%s has no %s %s; did you mean %s?", before, owner, kind, near->word, near->best);
    else
        message_error("%s%s has no %s %s; its %ss: %s", before, owner, kind, near->word, kind,
                      known->list.size ? known->list.data : "none");
    sink_drop(&known->list);
}

bool known_measure(size_t *out, const struct nmk_design *design, const char *name, const char *before)
{
    *out = nmk_design_find_measure(design, name);
    if (*out != NMK_NONE)
        return true;
    struct known_names known = known_names_begin(name);
    for (size_t i = 0; i < nmk_design_measure_count(design); i++)
        known_names_add(&known, nmk_design_measure(design, i)->name);
    known_names_refuse(&known, before, "the design", "measure");
    return false;
}
