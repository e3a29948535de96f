/* page_actual.c -- a piece at its true size, over several pages where the paper is too small. */
#include "draw/lettering.h"
#include "draw/page_parts.h"
#include "ground/sink.h"
#include "ground/store.h"

#define TEXT 3.4
#define MARGIN 10.0  /* what a printer may leave white */
#define STRIP 18.0   /* below: the check lines and the page's number */
#define OVERLAP 10.0 /* from page to page */
#define FINE 0.6      /* of the usual lines: it is measured and cut along them */
#define CHECK_MM 100.0
#define CHECK_IN 101.6 /* 4 in */

struct tiling {
    double paper_width, paper_height, width, height; /* width, height: of what a page shows */
    size_t columns, rows;
};

static size_t tiles_for(double whole, double shown)
{
    size_t n = 1;
    while ((double)n * (shown - OVERLAP) + OVERLAP < whole - 1e-6 && n <= PAGE_MOST_TILES)
        n++;
    return n;
}

static bool tile(struct tiling *t, double width, double height, const struct scene *diagram)
{
    *t = (struct tiling){width, height, width - 2 * MARGIN, height - 2 * MARGIN - STRIP, 0, 0};
    if (t->width < CHECK_IN + 40 || t->height < 2 * OVERLAP + 10)
        return false;
    t->columns = tiles_for(diagram->width, t->width);
    t->rows = tiles_for(diagram->height, t->height);
    return t->columns * t->rows <= PAGE_MOST_TILES;
}

/* The way round that takes the fewest pages; upright where both take as many. */
static bool choose(struct tiling *out, struct paper paper, const struct scene *diagram)
{
    struct tiling upright, lying;
    bool first = tile(&upright, paper.width, paper.height, diagram);
    bool second = tile(&lying, paper.height, paper.width, diagram);
    if (!first && !second)
        return false;
    *out = !second || (first && upright.columns * upright.rows <= lying.columns * lying.rows) ? upright : lying;
    return true;
}

/* ---- marks on a page ---- */

static void draw_check(struct scene *scene, double x, double y, double length, double tick, const char *words)
{
    struct type type = {TEXT * 0.8, false, ROLE_QUIET, ANCHOR_START, false};
    int last = (int)(length / tick + 0.5);
    scene_line(scene, ROLE_SCORE, x, y, x + length, y);
    for (int i = 0; i <= last; i++)
        scene_line(scene, ROLE_LEADER, x + i * tick, y, x + i * tick, y - (i % last ? 1.2 : 2.4));
    scene_text(scene, x + CHECK_IN + 2, y, &type, words);
}

/* Where the pages lie over each other, and their corners. */
static void draw_joins(struct scene *scene, const struct tiling *t, size_t column, size_t row)
{
    double left = MARGIN, top = MARGIN, right = MARGIN + t->width, low = MARGIN + t->height;
    if (column)
        scene_line(scene, ROLE_CENTRE, left + OVERLAP, top, left + OVERLAP, low);
    if (column + 1 < t->columns)
        scene_line(scene, ROLE_CENTRE, right - OVERLAP, top, right - OVERLAP, low);
    if (row)
        scene_line(scene, ROLE_CENTRE, left, top + OVERLAP, right, top + OVERLAP);
    if (row + 1 < t->rows)
        scene_line(scene, ROLE_CENTRE, left, low - OVERLAP, right, low - OVERLAP);
    for (int i = 0; i < 4; i++) {
        double x = i % 2 ? right : left, y = i / 2 ? low : top, out_x = i % 2 ? 1 : -1, out_y = i / 2 ? 1 : -1;
        scene_line(scene, ROLE_FRAME, x + out_x, y, x + out_x * 5, y);
        scene_line(scene, ROLE_FRAME, x, y + out_y, x, y + out_y * 5);
    }
}

/* At the right of the check lines. */
static void put_right(struct scene *scene, const struct tiling *t, double y, const char *text)
{
    struct type type = {TEXT * 0.8, false, ROLE_QUIET, ANCHOR_END, false};
    char *shown = lettering_elide(text, t->width - CHECK_IN - 24, type.size, false);
    scene_text(scene, MARGIN + t->width, y, &type, shown);
    store_free(shown);
}

static void draw_strip(struct scene *scene, const struct gallery *gallery, const struct shape *shape, const struct tiling *t,
                       size_t column, size_t row)
{
    double y = t->paper_height - MARGIN - 8.5;
    struct sink number = {0}, name = {0};
    struct type type = {TEXT * 0.7, false, ROLE_QUIET, ANCHOR_START, false};
    draw_check(scene, MARGIN, y, CHECK_MM, 10, "100 mm");
    draw_check(scene, MARGIN, y + 5.5, CHECK_IN, 25.4, "4 in");
    scene_text(scene, MARGIN, y - 3.4, &type, "Print at 100 %, then measure these two lines.");
    sink_format(&name, "%s, %s", shape->title, page_unit(gallery));
    put_right(scene, t, y, name.data);
    sink_drop(&name);
    if (t->columns * t->rows > 1) {
        sink_format(&number, "page %zu of %zu", row * t->columns + column + 1, t->columns * t->rows);
        put_right(scene, t, y + 5.5, number.data);
    }
    sink_drop(&number);
}

bool page_actual(struct scenes *out, const struct gallery *gallery, size_t piece, struct paper paper)
{
    struct scene diagram;
    struct tiling t;
    const struct shape *shape = &gallery->shapes[piece];
    struct diagram_style style = {TEXT, 0, 15, 0.75, true, true, true, false};
    diagram_build(&diagram, shape, 1, &style);
    bool good = choose(&t, paper, &diagram);
    for (size_t i = 0; good && i < t.rows * t.columns; i++) {
        struct scene *scene = scenes_add(out);
        size_t row = i / t.columns, column = i % t.columns;
        scene_init(scene, t.paper_width, t.paper_height, TEXT * DIAGRAM_LINE * FINE);
        scene_clip(scene, (struct box){MARGIN - 0.5, MARGIN - 0.5, t.width + 1, t.height + 1});
        scene_add(scene, &diagram, MARGIN - (double)column * (t.width - OVERLAP), MARGIN - (double)row * (t.height - OVERLAP));
        scene_unclip(scene);
        if (t.rows * t.columns > 1)
            draw_joins(scene, &t, column, row);
        draw_strip(scene, gallery, shape, &t, column, row);
        page_say(scene, gallery, &shape, 1);
    }
    scene_clear(&diagram);
    return good;
}
