/* page_piece.c -- one piece, on a page as large as it needs; alone, to be put into another page. */
#include "draw/page_parts.h"
#include "draw/svg.h"

#define MARGIN 8.0
#define TEXT 3.4

struct room { /* for a diagram, mm */
    double widest, tallest, largest; /* the longer side of a piece is not drawn longer than the largest */
};
/* On a page of its own: for the web, where a phone shows it a third as large. */
static const struct room own_page = {104, 140, 84};
/* What a phone shows at full size; on wider screens it is drawn larger (ENLARGED). */
static const struct room in_page = {88, 125, 74};
#define ENLARGED 1.35
#define SHORTEST 0.6 /* a piece is not made smaller than that, times the largest, to fit the room */

static void build(struct scene *out, const struct shape *shape, const struct room *room, bool bare)
{
    struct diagram_style style = {TEXT, room->widest, 15, 0.75, true, true, true, bare};
    double longer = shape->across > shape->down ? shape->across : shape->down, scale = room->largest / longer;
    double least = SHORTEST * scale; /* rather all of it a little smaller than a piece like a thread */
    scale = scale < 1 ? scale : longer < 0.4 * room->largest ? 0.4 * room->largest / longer : 1;
    diagram_build(out, shape, scale, &style);
    while (scale > least && (out->width > room->widest || out->height > room->tallest)) {
        scene_clear(out);
        scale *= 0.93;
        diagram_build(out, shape, scale, &style);
    }
}

void page_piece(struct scene *out, const struct gallery *gallery, size_t piece)
{
    struct scene diagram;
    const struct shape *shape = &gallery->shapes[piece];
    build(&diagram, shape, &own_page, false);
    double inside = diagram.width > 26 * TEXT ? diagram.width : 26 * TEXT;
    struct box area = {MARGIN, MARGIN, inside, 0};
    scene_init(out, inside + 2 * MARGIN, 0, TEXT * DIAGRAM_LINE);
    double top = page_head(out, gallery, area, TEXT * 0.9, false);
    scene_add(out, &diagram, MARGIN, top);
    area.height = top + diagram.height + 2.6 * TEXT - MARGIN;
    page_key(out, &shape, 1, area, TEXT * 0.9);
    out->height = area.y + area.height + MARGIN;
    page_say(out, gallery, &shape, 1);
    scene_clear(&diagram);
}

void page_embed(struct sink *out, const struct gallery *gallery, size_t piece, const char *prefix)
{
    struct scene diagram, whole;
    const struct shape *shape = &gallery->shapes[piece];
    const double margin = 1;
    build(&diagram, shape, &in_page, true);
    double width = diagram.width > in_page.widest ? diagram.width : in_page.widest; /* so that text is as large in all */
    scene_init(&whole, width + 2 * margin, diagram.height + 2 * margin, TEXT * DIAGRAM_LINE);
    scene_add(&whole, &diagram, (whole.width - diagram.width) / 2, margin);
    page_say(&whole, gallery, &shape, 1);
    svg_embed(out, &whole, prefix, ENLARGED);
    scene_clear(&diagram);
    scene_clear(&whole);
}
