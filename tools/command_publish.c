/* command_publish.c -- everything a post needs, in one folder. */
#include <string.h>

#include "commands.h"
#include "draw/drawer.h"
#include "ground/message.h"
#include "ground/store.h"
#include "judgement.h"
#include "load.h"
#include "nearmark/cutting.h"
#include "page/cut_cells.h"
#include "page/folder.h"
#include "page/post_text.h"
#include "page/video_text.h"
#include "page/web_page.h"
#include "report/verdict_json.h"
#include "unfit.h"

struct work {
    const struct call *call;
    struct judgement judgement;
    struct nmk_rules **rules; /* one an edition; NULL: none */
    struct nmk_plan **plans;  /* so too */
    struct publication all;
    struct folder folder;
};

static void work_clear(struct work *work)
{
    for (size_t i = 0; i < work->all.count; i++)
        published_clear(&work->all.editions[i]);
    for (size_t i = 0; work->rules && i < work->judgement.count; i++)
        nmk_rules_free(work->rules[i]);
    for (size_t i = 0; work->plans && i < work->judgement.count; i++)
        nmk_plan_free(work->plans[i]);
    store_free(work->plans);
    store_free(work->all.editions);
    store_free(work->rules);
    folder_clear(&work->folder);
    judgement_clear(&work->judgement);
}

/* ---- rule cards ---- */

/* An edition without a rule card is published without a calculator, and it is said why. */
static struct nmk_rules *make_rules(const struct judged *one, const char *name)
{
    struct nmk_rules *rules = NULL;
    struct nmk_diagnostics *list;
    if (nmk_diagnostics_new(&list, 0))
        return NULL;
    enum nmk_status status = nmk_rules_new(&rules, one->draft, nmk_settled_options(one->settled), list);
    if (status) {
        message_diagnostics(name, list);
        message_error("so the edition %s is published without sizes of the viewer's own", nmk_draft_edition(one->draft)->name);
    }
    nmk_diagnostics_free(list);
    return rules;
}

/* How many sheets; a page does without where that is not known. About a second's work at the most. */
static struct nmk_plan *make_plan(const struct judged *one)
{
    struct nmk_plan *plan = NULL;
    struct nmk_plan_options options;
    nmk_plan_options_init(&options);
    options.effort = NMK_CUTTING_EFFORT / 10;
    return nmk_plan_new(&plan, one->settled, &options, NULL) ? NULL : plan;
}

static bool make_publication(struct work *work, const struct nmk_design *design)
{
    const struct judgement *j = &work->judgement;
    bool any = false;
    work->rules = store_new(j->count, sizeof *work->rules);
    work->plans = store_new(j->count, sizeof *work->plans);
    work->all =
        (struct publication){.design = design, .count = j->count, .editions = store_new(j->count, sizeof *work->all.editions)};
    for (size_t i = 0; i < j->count; i++) {
        bool shown = nmk_settled_holds_together(j->editions[i].settled);
        if (shown && publication_has_ranges(&work->all))
            work->rules[i] = make_rules(&j->editions[i], work->call->words[0]);
        work->plans[i] = shown ? make_plan(&j->editions[i]) : NULL;
        published_init(&work->all.editions[i], j->editions[i].settled, work->rules[i], work->plans[i]);
        any = any || shown;
    }
    return any;
}

/* ---- diagrams ---- */

/* PDF: all scenes in one file; else a file each, the further ones -2, -3. */
static enum ending add_drawing(struct work *work, enum format format, const struct scenes *scenes, const char *name,
                               const char *more)
{
    enum ending ending = ENDING_DONE;
    for (size_t i = 0; i < (format == FORMAT_PDF ? 1 : scenes->count) && !ending; i++) {
        struct sink file = {0};
        struct scenes one = {.list = scenes->list + i, .count = format == FORMAT_PDF ? scenes->count : 1};
        sink_format(&file, "diagrams/%s%s", name, more);
        if (i)
            sink_format(&file, "-%zu", i + 1);
        sink_format(&file, ".%s", format_names[format]);
        ending = drawer_write(folder_add(&work->folder, file.data), format, &one);
        sink_drop(&file);
    }
    return ending;
}

static enum ending draw_piece(struct work *work, const struct published *p, size_t piece)
{
    struct scenes scenes = {0};
    struct sink name = {0};
    published_file(&name, p, piece);
    page_piece(scenes_add(&scenes), &p->gallery, piece);
    enum ending ending = add_drawing(work, FORMAT_SVG, &scenes, name.data, "");
    if (!ending)
        ending = add_drawing(work, FORMAT_PNG, &scenes, name.data, "");
    scenes_clear(&scenes);
    sink_drop(&name);
    return ending;
}

static enum ending draw_edition(struct work *work, const struct published *p)
{
    struct scenes pages = {0}, pictures = {0};
    struct sink name = {0};
    published_file(&name, p, NMK_NONE);
    page_all(&pages, &p->gallery, page_paper(NULL, p->settled));
    page_picture(&pictures, &p->gallery);
    enum ending ending = add_drawing(work, FORMAT_PDF, &pages, name.data, "-page");
    if (!ending)
        ending = add_drawing(work, FORMAT_PNG, &pictures, name.data, "-picture");
    for (size_t i = 0; i < p->gallery.count && !ending; i++)
        ending = draw_piece(work, p, i);
    scenes_clear(&pages);
    scenes_clear(&pictures);
    sink_drop(&name);
    return ending;
}

/* ---- the files ---- */

static void add_json(struct work *work)
{
    struct json j;
    json_begin(&j, folder_add(&work->folder, "cuts.json"), JSON_INDENTED);
    json_list(&j, NULL);
    for (size_t i = 0; i < work->judgement.count; i++)
        verdict_json(&j, work->judgement.editions[i].settled, work->judgement.editions[i].conflict);
    json_end(&j);
}

static enum ending fill_folder(struct work *work)
{
    enum ending ending = ENDING_DONE;
    web_page_write(folder_add(&work->folder, "index.html"), &work->all);
    post_text_write(folder_add(&work->folder, "post.md"), &work->all);
    video_text_write(folder_add(&work->folder, "description.txt"), &work->all);
    cut_cells_write(folder_add(&work->folder, "cuts.csv"), &work->all);
    add_json(work);
    for (size_t i = 0; i < work->all.count && !ending; i++)
        if (work->all.editions[i].shown)
            ending = draw_edition(work, &work->all.editions[i]);
    return ending;
}

static void add_path(struct sink *out, const struct work *work, size_t file)
{
    const char *path = work->call->output;
    sink_format(out, "%s%s%s", path, path[strlen(path) - 1] == '/' ? "" : "/", work->folder.files[file].name);
}

/* Which files were written. */
static void tell(const struct work *work, struct sink *out)
{
    bool as_json = work->call->given[OPTION_JSON];
    struct json j;
    json_begin(&j, out, JSON_INDENTED);
    if (as_json)
        json_list(&j, NULL);
    for (size_t i = 0; i < work->folder.count; i++) {
        struct sink name = {0};
        add_path(&name, work, i);
        if (as_json) {
            json_text(&j, NULL, name.data);
        } else {
            sink_plain(out, name.data);
            sink_string(out, "\n");
        }
        sink_drop(&name);
    }
    if (as_json)
        json_end(&j);
}

/* ---- the whole ---- */

static enum ending publish(struct work *work, const struct nmk_design *design, struct sink *out)
{
    const struct call *call = work->call;
    enum ending ending = judge_design(&work->judgement, design, call->words[0], call);
    if (ending)
        return ending;
    if (!make_publication(work, design)) {
        message_error("no edition has a cut list, so there is nothing to publish");
        return judgement_ending(&work->judgement, call);
    }
    ending = fill_folder(work);
    if (!ending)
        ending = folder_write(&work->folder, call->output, call->given[OPTION_FORCE]);
    if (ending)
        return ending;
    tell(work, out);
    for (size_t i = 0; i < work->judgement.count; i++)
        (void)say_unfit(work->plans[i]); /* the page says so, too */
    return judgement_ending(&work->judgement, call);
}

enum ending command_publish(const struct call *call, struct sink *out)
{
    struct work work = {.call = call};
    enum ending ending = ENDING_WRONG;
    if (!call->output) {
        message_error("publish needs a folder to make: -o page");
        return ENDING_WRONG;
    }
    ending = folder_ask(call->output, call->given[OPTION_FORCE]);
    struct nmk_design *design = ending ? NULL : load_design(call->words[0], call, &ending);
    if (design)
        ending = publish(&work, design, out);
    work_clear(&work);
    nmk_design_free(design);
    return ending;
}
