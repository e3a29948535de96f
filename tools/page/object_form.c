#include "page/object_form.h"

#include "page/escape.h"
#include "report/edition_text.h"
#include "report/figure.h"
#include "report/store.h"

enum { MOST = 3 }; /* measures on one drawing */

/* ---- the drawings: one size a line, two a box's front and side, three its height too ---- */

static void draw_letter(struct sink *out, int x, int y, size_t number)
{
    sink_format(out, "<text class=\"letter\" x=\"%d\" y=\"%d\">%c</text>", x, y, (char)('A' + number % 26));
}

/* A box seen from the front, a little from above and from the right. */
static void draw_box(struct sink *out, size_t count, size_t first)
{
    sink_format(out, "<svg viewBox=\"0 0 340 %d\" aria-hidden=\"true\" focusable=\"false\">", count > 1 ? 222 : 210);
    sink_string(out, "<path class=\"side\" d=\"M60 60H210V170H60Z\"/><path class=\"side\" d=\"M60 60L118 20H268L210 60Z\"/>"
                     "<path class=\"side\" d=\"M210 60L268 20V130L210 170Z\"/>");
    sink_string(out, "<path class=\"size\" d=\"M60 178V194M210 178V194M60 187H210M60 187l7-3.5M60 187l7 3.5M210 187l-7-3.5M210 187l-7 3.5\"/>");
    draw_letter(out, 135, 206, first);
    if (count > 1) {
        sink_string(out, "<path class=\"size\" d=\"M216 175L225 187M274 135L283 147M221 182L279 142M221 182l4-6.8M221 182l7.8-1M279 142l-4 6.8M279 142l-7.8 1\"/>");
        draw_letter(out, 262, 180, first + 1);
    }
    if (count > 2) {
        sink_string(out, "<path class=\"size\" d=\"M36 60H52M36 170H52M43 60V170M43 60l-3.5 7M43 60l3.5 7M43 170l-3.5-7M43 170l3.5-7\"/>");
        draw_letter(out, 26, 120, first + 2);
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
    char letter = (char)('A' + measure % 26);
    sink_format(out, "<div class=\"place place-%zu\">", place + 1);
    if (m->has_range)
        sink_format(out, "<label for=\"own-%zu\">", measure);
    else
        sink_string(out, "<p class=\"name\">");
    sink_format(out, "<span class=\"letter-of\" aria-hidden=\"true\">%c</span><bdi>", letter);
    escape_html(out, m->label);
    sink_format(out, "</bdi>%s", m->has_range ? "</label>" : "</p>");
    if (m->has_range)
        sink_format(out, "<input id=\"own-%zu\" data-measure=\"%zu\" type=\"text\" autocomplete=\"off\" autocapitalize=\"none\" "
                    "spellcheck=\"false\" aria-describedby=\"own-%zu-say\"><p class=\"below\" id=\"own-%zu-say\" aria-live=\"polite\"></p>",
                    measure, measure, measure, measure);
    else
        write_fixed(out, all, m);
    sink_string(out, "</div>\n");
}

static void write_object(struct sink *out, const struct publication *all, size_t first, size_t count)
{
    sink_string(out, "<div class=\"object\">\n");
    draw_box(out, count, first);
    for (size_t i = 0; i < count; i++)
        write_place(out, all, first + i, i);
    sink_string(out, "</div>\n");
}

void object_form_write(struct sink *out, const struct publication *all)
{
    size_t count = nmk_design_measure_count(all->design);
    sink_string(out, "<section id=\"own\" aria-labelledby=\"own-head\">\n<h2 id=\"own-head\">For your own size</h2>\n"
                     "<p>Measure your own object and type its sizes: the whole cut list and the diagrams are worked out for it.</p>\n"
                     "<p class=\"without-script\">This part of the page needs scripts, which are switched off.</p>\n"
                     "<div class=\"own\">\n<div id=\"own-form\" class=\"no-print\" role=\"group\" aria-labelledby=\"own-head\">\n");
    for (size_t i = 0; i < count; i += MOST)
        write_object(out, all, i, count - i < MOST ? count - i : MOST);
    sink_string(out, "<p class=\"unit\"><label for=\"own-unit\">A number without a unit means</label>"
                     "<select id=\"own-unit\"><option value=\"cm\">centimetres</option><option value=\"mm\">millimetres</option>"
                     "<option value=\"in\">inches</option></select></p>\n"
                     "<p class=\"below\">You can type 10.5 or 10,5 cm, 105 mm, 4 1/8 or 4-1/8&quot;.</p>\n</div>\n"
                     "<p id=\"own-told\" role=\"status\"></p>\n<div id=\"own-result\"></div>\n</div>\n</section>\n");
}
