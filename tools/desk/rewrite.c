#include "desk/rewrite.h"

#include <string.h>

#include "ground/message.h"
#include "ground/store.h"
#include "ground/typed_length.h"

/* Reads a design for itself alone; NULL where it is none. The caller frees it. */
static struct nmk_design *read_quietly(const char *text, size_t size)
{
    struct nmk_design *design = NULL;
    struct nmk_diagnostics *list;
    if (nmk_diagnostics_new(&list, 1))
        return NULL;
    (void)nmk_design_read(&design, text, size, list);
    nmk_diagnostics_free(list);
    return design;
}

static bool is_same_but(const struct nmk_measure *now, const struct nmk_measure *before, const struct nmk_rat *size)
{
    return nmk_rat_equal(&now->size, size) && nmk_rat_equal(&now->off, &before->off) &&
           nmk_rat_equal(&now->from, &before->from) && nmk_rat_equal(&now->to, &before->to) &&
           !strcmp(now->label, before->label);
}

/* The text with [at, at + used) replaced, if then the measure has that size and all else is as before; else NULL. */
static char *try_place(const char *text, size_t size, size_t at, size_t used, const char *written,
                       const struct nmk_measure *before, const struct nmk_rat *wanted)
{
    struct sink changed = {0};
    sink_add(&changed, text, at);
    sink_string(&changed, written);
    sink_add(&changed, text + at + used, size - at - used);
    struct nmk_design *design = read_quietly(changed.data, changed.size);
    size_t measure = design ? nmk_design_find_measure(design, before->name) : NMK_NONE;
    bool good = measure != NMK_NONE && is_same_but(nmk_design_measure(design, measure), before, wanted);
    nmk_design_free(design);
    if (good)
        return changed.data;
    sink_drop(&changed);
    return NULL;
}

static size_t line_start(const char *text, size_t size, uint32_t line)
{
    size_t at = 0;
    for (; line > 1 && at < size; at++)
        line -= text[at] == '\n';
    return at;
}

static bool begins_number(const char *text, size_t at)
{
    char before = at ? text[at - 1] : ' ';
    return (unsigned char)text[at] > ' ' && (before == ' ' || before == '\t' || before == '"' || (before & 0x80));
}

/* Puts one size in place of the one that stands on the measure's line: the first length there that is it. */
static char *rewrite_one(const char *text, size_t size, const struct option_set *set)
{
    struct nmk_design *design = read_quietly(text, size);
    size_t measure = design ? nmk_design_find_measure(design, set->name) : NMK_NONE;
    char *done = NULL;
    if (measure != NMK_NONE) {
        const struct nmk_measure *before = nmk_design_measure(design, measure);
        char *written = typed_length(&set->size, set->unit);
        for (size_t at = line_start(text, size, before->span.line); !done && at < size && text[at] != '\n'; at++) {
            struct nmk_length_read read = {0};
            if (begins_number(text, at) && !nmk_length_parse(&read, text + at, size - at, false, NULL) &&
                nmk_rat_equal(&read.mm, &before->size))
                done = try_place(text, size, at, read.used, written, before, &set->size);
            nmk_length_read_clear(&read);
        }
        store_free(written);
    }
    nmk_design_free(design);
    return done;
}

char *rewrite_sizes(const char *text, size_t size, const struct call *call)
{
    char *now = store_copy(text, size);
    for (size_t i = 0; now && i < call->set_count; i++) {
        char *next = rewrite_one(now, strlen(now), &call->sets[i]);
        if (!next)
            message_error("the size of %s cannot be put into the file; nothing was saved", call->sets[i].name);
        store_free(now);
        now = next;
    }
    return now;
}
