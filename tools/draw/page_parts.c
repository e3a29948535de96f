#include "draw/page_parts.h"

#include <string.h>

#include "draw/lettering.h"
#include "draw/svg.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "report/edition_text.h"

#define LEADING 1.3

/* ---- the gallery ---- */

static const struct nmk_design *design_of(const struct gallery *gallery)
{
    return nmk_draft_design(nmk_settled_draft(gallery->settled));
}

void gallery_init(struct gallery *gallery, const struct nmk_settled *settled)
{
    *gallery = (struct gallery){.settled = settled};
    gallery->count = nmk_design_piece_count(design_of(gallery));
    gallery->shapes = store_new(gallery->count, sizeof *gallery->shapes);
    for (size_t i = 0; i < gallery->count; i++)
        shape_init(&gallery->shapes[i], settled, i);
}

void gallery_clear(struct gallery *gallery)
{
    for (size_t i = 0; i < gallery->count; i++)
        shape_clear(&gallery->shapes[i]);
    store_free(gallery->shapes);
    *gallery = (struct gallery){0};
}

/* ---- paper ---- */

struct paper page_paper(const struct nmk_sheet *given, const struct nmk_settled *settled)
{
    static const char *const usual[] = {"A4", "Letter"};
    const char *name = usual[nmk_unit_is_inch(nmk_draft_edition(nmk_settled_draft(settled))->unit)];
    struct nmk_sheet sheet = {0};
    struct paper paper = {210, 297};
    if (given || !nmk_sheet_find(&sheet, name, strlen(name))) {
        paper.width = size_number(given ? &given->width : &sheet.width);
        paper.height = size_number(given ? &given->height : &sheet.height);
    }
    nmk_sheet_clear(&sheet);
    return paper;
}

bool page_takes(struct paper paper)
{
    const double least = 90, most = 5000;
    return paper.width >= least && paper.height >= least && paper.width <= most && paper.height <= most;
}

/* ---- words ---- */

const char *page_unit(const struct gallery *gallery)
{
    enum nmk_unit unit = edition_unit(gallery->settled);
    return nmk_unit_is_inch(unit) ? "sizes in inches" : unit == NMK_CM ? "sizes in cm" : "sizes in mm";
}

static const char *edition_name(const struct gallery *gallery)
{
    return nmk_draft_edition(nmk_settled_draft(gallery->settled))->name;
}

static char *title_of(const struct gallery *gallery)
{
    const char *title = nmk_design_title(design_of(gallery));
    return *title ? letters_plain(title, strlen(title)) : store_copy("Cutting diagrams", 16);
}

/* NULL: nowhere. What is scored in part is a score. */
static const char *act_of(const struct shape_list *list, size_t line)
{
    const char *act = list->runs ? NULL : "score";
    for (size_t i = 0; i < list->run_count; i++)
        if (list->runs[i].line == line && (!act || !list->runs[i].is_cut))
            act = list->runs[i].is_cut ? "cut" : "score";
    return act;
}

static void describe_list(struct sink *words, const struct shape_list *list, enum nmk_way way)
{
    static const char *const edges[2][2] = {{"left", "right"}, {"upper", "lower"}};
    sink_format(words, " %s %s", list->figures[list->line_count - 1], way == NMK_ACROSS ? "across" : "down");
    for (size_t i = 1; i + 1 < list->line_count && i <= 40; i++)
        if (act_of(list, i))
            sink_format(words, ", %s at %s from the %s edge%s", act_of(list, i), list->figures[i],
                        edges[way][list->from_last[i]], list->beside && list->beside[i] ? list->beside[i] : "");
    sink_string(words, way == NMK_ACROSS ? ";" : ".");
}

static void describe(struct sink *words, const struct shape *shape)
{
    sink_format(words, "%s. %s:", shape->title, shape->task);
    describe_list(words, &shape->lists[NMK_ACROSS], NMK_ACROSS);
    describe_list(words, &shape->lists[NMK_DOWN], NMK_DOWN);
    for (size_t i = 0; i < shape->note_count; i++)
        sink_format(words, " %s.", shape->notes[i]);
}

void page_say(struct scene *scene, const struct gallery *gallery, const struct shape *const *shapes, size_t count)
{
    struct sink title = {0}, about = {0};
    char *name = title_of(gallery);
    if (count == 1)
        sink_format(&title, "%s: %s (%s)", name, shapes[0]->title, edition_name(gallery));
    else
        sink_format(&title, "%s: cutting diagrams (%s)", name, edition_name(gallery));
    sink_format(&about, "Cutting diagram, %s.", page_unit(gallery));
    for (size_t i = 0; i < count; i++) {
        sink_string(&about, " ");
        describe(&about, shapes[i]);
    }
    scene_say(scene, title.data, about.data);
    sink_drop(&title);
    sink_drop(&about);
    store_free(name);
}

/* ---- the head ---- */

double page_head(struct scene *scene, const struct gallery *gallery, struct box area, double text, bool beside)
{
    struct sink second = {0};
    char *title = title_of(gallery);
    double size = 1.75 * text, y = area.y + LETTERING_UP * size;
    sink_format(&second, "%s edition, %s", edition_name(gallery), page_unit(gallery));
    double right = beside ? lettering_width(second.data, text, false) + 2 * text : 0;
    char *shown = lettering_elide(title, area.width - right, size, true);
    char *below = lettering_elide(second.data, area.width, text, false);
    struct type first_type = {size, true, ROLE_INK, ANCHOR_START, false};
    struct type second_type = {text, false, ROLE_QUIET, beside ? ANCHOR_END : ANCHOR_START, false};
    scene_text(scene, area.x, y, &first_type, shown);
    if (!beside)
        y += LETTERING_DOWN * size + LETTERING_UP * text + 0.1 * text;
    scene_text(scene, beside ? area.x + area.width : area.x, y, &second_type, below);
    y += (LETTERING_DOWN + 0.5) * text + (beside ? 0.2 * text : 0);
    scene_line(scene, ROLE_FRAME, area.x, y, area.x + area.width, y);
    store_free(title);
    store_free(shown);
    store_free(below);
    sink_drop(&second);
    return y + (beside ? 0.5 : 1.2) * text;
}

/* ---- the key ---- */

enum sample { SAMPLE_CUT, SAMPLE_SCORE, SAMPLE_GLUE, SAMPLE_PUNCH, SAMPLE_COUNT = PAGE_SAMPLES };
static const char *const sample_words[SAMPLE_COUNT] = {"cut", "score and fold", "glue", "punch"};

static bool has_sample(const struct shape *shape, enum sample sample)
{
    bool glue = false;
    for (int way = 0; way < 2; way++)
        for (size_t i = 0; shape->lists[way].panels && i < shape->lists[way].count; i++)
            glue = glue || shape->lists[way].panels[i].glue;
    switch (sample) {
    case SAMPLE_CUT:   return !shape->punched;
    case SAMPLE_SCORE: return shape_has_scores(shape);
    case SAMPLE_GLUE:  return glue;
    default:           return shape->opening_count || shape->punched;
    }
}

static void draw_sample(struct scene *scene, enum sample sample, struct box box)
{
    double y = box.y + box.height / 2;
    struct point corners[] = {{box.x, box.y}, {box.x + box.width, box.y}, {box.x + box.width, box.y + box.height},
                              {box.x, box.y + box.height}};
    switch (sample) {
    case SAMPLE_CUT:
        scene_line(scene, ROLE_CUT, box.x, y, box.x + box.width, y);
        break;
    case SAMPLE_SCORE:
        scene_line(scene, ROLE_SCORE, box.x, y, box.x + box.width, y);
        break;
    case SAMPLE_GLUE:
        scene_polygon(scene, ROLE_CARD, corners, 4);
        scene_hatch(scene, corners, 4, box, box.height * 0.5, NULL, 0);
        break;
    default:
        scene_round(scene, ROLE_CUT, box, 0.36 * box.height);
        scene_line(scene, ROLE_CENTRE, box.x - 0.3 * box.height, y, box.x + box.width + 0.3 * box.height, y);
    }
}

static bool have_sample(const struct shape *const *shapes, size_t count, enum sample sample)
{
    for (size_t i = 0; i < count; i++)
        if (has_sample(shapes[i], sample))
            return true;
    return false;
}

/* Times the size of the text. */
#define SAMPLE_WIDTH 2.6
#define SAMPLE_GAP 0.6
#define SAMPLE_AFTER 1.8

static double key_width(const struct shape *const *shapes, size_t count, double text)
{
    double width = 0;
    for (enum sample s = SAMPLE_CUT; s < SAMPLE_COUNT; s++)
        if (have_sample(shapes, count, s))
            width += (SAMPLE_WIDTH + SAMPLE_GAP + SAMPLE_AFTER) * text + lettering_width(sample_words[s], text, false);
    return width;
}

void page_key(struct scene *scene, const struct shape *const *shapes, size_t count, struct box area, double text)
{
    double wanted = key_width(shapes, count, text), t = wanted > area.width ? text * area.width / wanted : text;
    double x = area.x, base = area.y + area.height - LETTERING_DOWN * text, wide = SAMPLE_WIDTH * t;
    struct type type = {t, false, ROLE_QUIET, ANCHOR_START, false};
    for (enum sample s = SAMPLE_CUT; s < SAMPLE_COUNT; s++) {
        if (!have_sample(shapes, count, s))
            continue;
        draw_sample(scene, s, (struct box){x, base - 0.72 * t, wide, 0.72 * t});
        scene_text(scene, x + wide + SAMPLE_GAP * t, base, &type, sample_words[s]);
        x += wide + (SAMPLE_GAP + SAMPLE_AFTER) * t + lettering_width(sample_words[s], t, false);
    }
}

const char *page_embed_sample(struct sink *out, const struct gallery *gallery, size_t kind, const char *prefix)
{
    const double text = 3.4, wide = SAMPLE_WIDTH * text, tall = 0.72 * text, margin = 0.3 * text;
    struct scene scene;
    size_t i = 0;
    while (i < gallery->count && !has_sample(&gallery->shapes[i], (enum sample)kind))
        i++;
    if (i == gallery->count)
        return NULL;
    scene_init(&scene, wide + 2 * margin, tall + 2 * margin, text * DIAGRAM_LINE);
    draw_sample(&scene, (enum sample)kind, (struct box){margin, margin, wide, tall});
    svg_embed(out, &scene, prefix, 1);
    scene_clear(&scene);
    return sample_words[kind];
}
