#include "desk/worktop.h"

#include <string.h>

#include "desk/rewrite.h"
#include "ground/message.h"
#include "ground/store.h"
#include "load.h"

static void close_design(struct worktop *w)
{
    judgement_clear(&w->judgement);
    nmk_design_free(w->design);
    store_free(w->path);
    store_free(w->text);
    w->design = NULL;
    w->path = w->text = NULL;
}

static void forget_sets(struct call *call)
{
    for (size_t i = 0; i < call->set_count; i++) {
        store_free(call->sets[i].name);
        nmk_rat_clear(&call->sets[i].size);
    }
    store_free(call->sets);
    call->sets = NULL;
    call->set_count = 0;
}

void worktop_clear(struct worktop *w)
{
    close_design(w);
    forget_sets(&w->call);
    nmk_rat_clear(&w->call.step);
}

/* Into an empty worktop, with the sizes and marks of `call`. */
static bool read_into(struct worktop *w, const char *path, const struct call *call)
{
    enum ending ending;
    struct worktop fresh = {0};
    fresh.text = load_file(path, &fresh.size, &ending);
    bool good = fresh.text && (fresh.design = load_text(path, fresh.text, fresh.size, call)) &&
                !judge_design(&fresh.judgement, fresh.design, path, call);
    fresh.path = store_copy(path, strlen(path));
    if (!good || stat(path, &fresh.stamp)) {
        close_design(&fresh);
        return false;
    }
    fresh.call = w->call;
    *w = fresh;
    return true;
}

bool worktop_open(struct worktop *w, const char *path)
{
    struct worktop fresh = {.call = {.has_marks = w->call.has_marks, .step = w->call.step, .step_unit = w->call.step_unit}};
    if (!read_into(&fresh, path, &fresh.call))
        return false;
    nmk_rat_init(&w->call.step); /* it went over */
    worktop_clear(w);
    *w = fresh;
    return true;
}

static bool is_changed(const struct stat *a, const struct stat *b)
{
    return a->st_mtim.tv_sec != b->st_mtim.tv_sec || a->st_mtim.tv_nsec != b->st_mtim.tv_nsec || a->st_size != b->st_size ||
           a->st_ino != b->st_ino;
}

void worktop_refresh(struct worktop *w)
{
    struct stat now;
    if (!w->path || stat(w->path, &now) || !is_changed(&now, &w->stamp))
        return;
    struct worktop fresh = {.call = w->call};
    w->stamp = now;
    if (!read_into(&fresh, w->path, &w->call)) {
        message_error("%s changed, but cannot be used as it is now; the desk goes on with what it had", w->path);
        return;
    }
    message_error("%s changed, and was read again", w->path);
    close_design(w);
    *w = fresh;
}

/* Settles anew for the present sizes and marks. */
static bool judge_again(struct worktop *w)
{
    struct judgement j = {0};
    if (judge_design(&j, w->design, w->path, &w->call))
        return false;
    judgement_clear(&w->judgement);
    w->judgement = j;
    return true;
}

static struct option_set *find_set(struct call *call, const char *name)
{
    for (size_t i = 0; i < call->set_count; i++)
        if (!strcmp(call->sets[i].name, name))
            return &call->sets[i];
    call->sets = store_resize(call->sets, (call->set_count + 1) * sizeof *call->sets);
    struct option_set *set = &call->sets[call->set_count++];
    *set = (struct option_set){.name = store_copy(name, strlen(name))};
    return set;
}

bool worktop_set(struct worktop *w, const char *name, const struct nmk_rat *size, enum nmk_unit unit)
{
    size_t measure = nmk_design_find_measure(w->design, name);
    struct nmk_rat old = {0};
    nmk_rat_set(&old, &nmk_design_measure(w->design, measure)->size);
    bool good = !nmk_design_set_measure(w->design, measure, size) && judge_again(w);
    if (good) {
        struct option_set *set = find_set(&w->call, name);
        nmk_rat_set(&set->size, size);
        set->unit = unit;
        load_note_size(nmk_design_measure(w->design, measure));
    } else {
        (void)nmk_design_set_measure(w->design, measure, &old);
        message_error("%s stays as it was", name);
    }
    nmk_rat_clear(&old);
    return good;
}

bool worktop_marks(struct worktop *w, const struct nmk_rat *step, enum nmk_unit unit)
{
    struct call before = w->call;
    w->call.has_marks = step != NULL;
    w->call.step = (struct nmk_rat){0};
    w->call.step_unit = unit;
    if (step)
        nmk_rat_set(&w->call.step, step);
    if (!w->path || judge_again(w)) {
        nmk_rat_clear(&before.step);
        return true;
    }
    nmk_rat_clear(&w->call.step);
    w->call = before;
    message_error("the marks stay as they were");
    return false;
}

bool worktop_save(struct worktop *w, const char *path)
{
    struct sink file;
    char *text = rewrite_sizes(w->text, w->size, &w->call);
    if (!text || !sink_open(&file, path, COLOUR_NEVER)) {
        store_free(text);
        return false;
    }
    size_t size = strlen(text);
    sink_add(&file, text, size);
    if (sink_close(&file, ENDING_DONE)) {
        store_free(text);
        return false;
    }
    char *name = store_copy(path, strlen(path));
    store_free(w->path);
    store_free(w->text);
    w->path = name;
    w->text = text;
    w->size = size;
    forget_sets(&w->call);
    (void)stat(path, &w->stamp);
    return true;
}
