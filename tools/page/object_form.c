#include "page/object_form.h"

#include <string.h>

#include "ground/figure.h"
#include "ground/store.h"
#include "page/escape.h"
#include "report/edition_text.h"

/* Where a measure stands on a drawing: along the front, along the side, up. */
enum place { FRONT, SIDE, UP, PLACES };

struct object { /* one drawing: the measure of each place, NMK_NONE without */
    size_t measures[PLACES];
};

/* ---- which measure stands where ---- */

static bool has_word(const char *text, const char *word)
{
    return strstr(text, word) != NULL;
}

/* As far as its words tell. */
static bool goes_up(const struct nmk_measure *m)
{
    static const char *const words[] = {"height", "Height", "tall", "high", "thick"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (has_word(m->label, words[i]) || has_word(m->name, words[i]))
            return true;
    return false;
}

static bool put_measure(struct object *object, const struct nmk_measure *m, size_t measure)
{
    static const enum place flat[PLACES] = {FRONT, SIDE, UP}, upright[PLACES] = {UP, FRONT, SIDE};
    const enum place *order = goes_up(m) ? upright : flat;
    for (size_t i = 0; i < PLACES; i++)
        if (object->measures[order[i]] == NMK_NONE) {
            object->measures[order[i]] = measure;
            return true;
        }
    return false;
}

static const struct object no_object = {{NMK_NONE, NMK_NONE, NMK_NONE}};

/* The measures that are typed, three on a drawing, in their order; then the fixed ones, as far as there is room for them. */
static struct object *arrange(size_t *count, const struct nmk_design *design, bool *placed)
{
    size_t measures = nmk_design_measure_count(design);
    struct object *objects = store_new(measures + 1, sizeof *objects);
    objects[0] = no_object;
    *count = 1;
    for (int fixed = 0; fixed < 2; fixed++)
        for (size_t i = 0; i < measures; i++) {
            const struct nmk_measure *m = nmk_design_measure(design, i);
            if (m->has_range == fixed)
                continue;
            placed[i] = put_measure(&objects[*count - 1], m, i);
            if (!placed[i] && !fixed) {
                objects[*count] = no_object;
                placed[i] = put_measure(&objects[(*count)++], m, i);
            }
        }
    return objects;
}

/* ---- the drawings ---- */

/* The letter by which a measure is called. */
static char letter_of(size_t measure)
{
    return (char)('A' + measure % 26);
}

static void draw_letter(struct sink *out, int x, int y, size_t measure)
{
    sink_format(out, "<text class=\"letter\" x=\"%d\" y=\"%d\">%c</text>", x, y, letter_of(measure));
}

/* A box seen from the front, a little from above and from the right. */
static void draw_box(struct sink *out, const struct object *object)
{
    static const char *const sizes[PLACES] = {
        [FRONT] = "M60 178V194M210 178V194M60 187H210M60 187l7-3.5M60 187l7 3.5M210 187l-7-3.5M210 187l-7 3.5",
        [SIDE] = "M216 175L225 187M274 135L283 147M221 182L279 142M221 182l4-6.8M221 182l7.8-1M279 142l-4 6.8M279 142l-7.8 1",
        [UP] = "M36 60H52M36 170H52M43 60V170M43 60l-3.5 7M43 60l3.5 7M43 170l-3.5-7M43 170l3.5-7"};
    static const int letters[PLACES][2] = {[FRONT] = {135, 206}, [SIDE] = {262, 180}, [UP] = {26, 120}};
    sink_string(out, "<svg viewBox=\"0 0 340 216\" aria-hidden=\"true\" focusable=\"false\">"
                     "<path class=\"side\" d=\"M60 60H210V170H60Z\"/><path class=\"side\" d=\"M60 60L118 20H268L210 60Z\"/>"
                     "<path class=\"side\" d=\"M210 60L268 20V130L210 170Z\"/>");
    for (enum place p = FRONT; p < PLACES; p++) {
        if (object->measures[p] == NMK_NONE)
            continue;
        sink_format(out, "<path class=\"size\" d=\"%s\"/>", sizes[p]);
        draw_letter(out, letters[p][0], letters[p][1], object->measures[p]);
    }
    sink_string(out, "</svg>\n");
}

/* ---- the boxes ---- */

static void write_fixed(struct sink *out, const struct publication *all, const struct nmk_measure *measure)
{
    for (size_t e = 0; e < all->count; e++) {
        char *size = edition_size(all->editions[e].settled, &measure->size);
        sink_format(out, "<p class=\"below\" data-edition=\"%zu\">%s, always</p>", e, size);
        store_free(size);
    }
}

static void write_place(struct sink *out, const struct publication *all, size_t measure, size_t place)
{
    const struct nmk_measure *m = nmk_design_measure(all->design, measure);
    sink_format(out, "<div class=\"place place-%zu\">", place + 1);
    if (m->has_range)
        sink_format(out, "<label for=\"own-%zu\">", measure);
    else
        sink_string(out, "<p class=\"name\">");
    sink_format(out, "<span class=\"letter-of\" aria-hidden=\"true\">%c</span><bdi>", letter_of(measure));
    escape_html(out, m->label);
    sink_format(out, "</bdi>%s", m->has_range ? "</label>" : "</p>");
    if (m->has_range)
        sink_format(
            out,
            "<input id=\"own-%zu\" data-measure=\"%zu\" type=\"text\" autocomplete=\"off\" autocapitalize=\"none\" "
            "spellcheck=\"false\" aria-describedby=\"own-%zu-say\"><p class=\"below\" id=\"own-%zu-say\" aria-live=\"polite\"></p>",
            measure, measure, measure, measure);
    else
        write_fixed(out, all, m);
    sink_string(out, "</div>\n");
}

static void write_object(struct sink *out, const struct publication *all, const struct object *object)
{
    sink_string(out, "<div class=\"object\">\n");
    draw_box(out, object);
    for (enum place p = FRONT; p < PLACES; p++)
        if (object->measures[p] != NMK_NONE)
            write_place(out, all, object->measures[p], p);
    sink_string(out, "</div>\n");
}

/* The drawings with their boxes, and the measures that found no room on them. */
static void write_objects(struct sink *out, const struct publication *all)
{
    size_t count, measures = nmk_design_measure_count(all->design);
    bool *placed = store_new(measures + 1, sizeof *placed);
    struct object *objects = arrange(&count, all->design, placed);
    for (size_t i = 0; i < count; i++)
        write_object(out, all, &objects[i]);
    for (size_t i = 0; i < measures; i++)
        if (!placed[i])
            write_place(out, all, i, FRONT);
    store_free(objects);
    store_free(placed);
}

void object_form_write(struct sink *out, const struct publication *all)
{
    sink_string(out, "<section id=\"own\" aria-labelledby=\"own-head\">\n<h2 id=\"own-head\">For your own size</h2>\n"
                     "<p>Measure your own object and type its sizes: the whole cut list and the diagrams are worked out for it.</p>\n"
                     "<p class=\"without-script\">This part of the page needs scripts, which are switched off.</p>\n"
                     "<div class=\"own\">\n<div id=\"own-form\" class=\"no-print\" role=\"group\" aria-labelledby=\"own-head\">\n");
    write_objects(out, all);
    sink_string(out, "<p class=\"unit\"><label for=\"own-unit\">A number without a unit means</label>"
                     "<select id=\"own-unit\"><option value=\"cm\">centimetres</option><option value=\"mm\">millimetres</option>"
                     "<option value=\"in\">inches</option></select></p>\n"
                     "<p class=\"below\">You can type 10.5 or 10,5 cm, 105 mm, 4 1/8 or 4-1/8&quot;.</p>\n</div>\n"
                     "<p id=\"own-told\" role=\"status\"></p>\n<div id=\"own-result\"></div>\n</div>\n</section>\n");
}
