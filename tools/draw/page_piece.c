/* page_piece.c -- one piece, on a page as large as it needs; alone, to be put into another page. */
#include "draw/page_parts.h"
#include "draw/svg.h"

#define MARGIN 8.0
#define TEXT 3.4
#define WIDEST 180.0  /* of a diagram, mm */
#define TALLEST 220.0
#define LARGEST 130.0 /* the longer side of a small piece is not drawn longer */

static void build(struct scene *out, const struct shape *shape)
{
    struct diagram_style style = {TEXT, WIDEST, 15, 0.75, true, true, true};
    double longer = shape->across > shape->down ? shape->across : shape->down, scale = LARGEST / longer;
    scale = scale < 1 ? scale : longer < 0.4 * LARGEST ? 0.4 * LARGEST / longer : 1;
    diagram_build(out, shape, scale, &style);
    for (int n = 0; n < 60 && (out->width > WIDEST || out->height > TALLEST); n++) {
        scene_clear(out);
        scale *= 0.93;
        diagram_build(out, shape, scale, &style);
    }
}

void page_piece(struct scene *out, const struct gallery *gallery, size_t piece)
{
    struct scene diagram;
    const struct shape *shape = &gallery->shapes[piece];
    build(&diagram, shape);
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
    const double margin = 1.5;
    build(&diagram, shape);
    scene_init(&whole, diagram.width + 2 * margin, diagram.height + 2 * margin, TEXT * DIAGRAM_LINE);
    scene_add(&whole, &diagram, margin, margin);
    page_say(&whole, gallery, &shape, 1);
    svg_write(out, &whole, prefix, false);
    scene_clear(&diagram);
    scene_clear(&whole);
}
