#include "draw/diagram.h"

#include "draw/dimension.h"
#include "draw/lettering.h"
#include "draw/panel_name.h"
#include "ground/sink.h"
#include "ground/store.h"

#define TITLE 1.2    /* sizes, times the text */
#define TASK 0.95
#define NOTE 0.85
#define LEADING 1.25
#define NEAR 0.6     /* from the piece to its first row of dimensions */
#define MOST_NAMES 80

struct making {
    struct scene *scene; /* the piece's upper left corner at 0, 0 */
    const struct shape *shape;
    double scale;
    const struct diagram_style *style;
};

static double part(const struct making *m, double wanted)
{
    return wanted > m->style->least ? wanted : m->style->least;
}

/* ---- the piece ---- */

/* store_free */
static struct point *scaled_outline(const struct making *m)
{
    struct point *out = store_new(m->shape->outline_count, sizeof *out);
    for (size_t i = 0; i < m->shape->outline_count; i++)
        out[i] = (struct point){m->shape->outline[i].x * m->scale, m->shape->outline[i].y * m->scale};
    return out;
}

static struct box opening_box(const struct making *m, const struct shape_opening *o)
{
    return (struct box){(o->x - o->across / 2) * m->scale, (o->y - o->down / 2) * m->scale, o->across * m->scale,
                        o->down * m->scale};
}

static double corner_of(struct box box)
{
    return 0.36 * (box.width < box.height ? box.width : box.height);
}

static void draw_card(const struct making *m)
{
    struct point *outline = scaled_outline(m);
    struct box whole = {0, 0, m->shape->across * m->scale, m->shape->down * m->scale};
    if (m->shape->punched)
        scene_round(m->scene, ROLE_CARD, whole, corner_of(whole));
    else
        scene_polygon(m->scene, ROLE_CARD, outline, m->shape->outline_count);
    for (size_t i = 0; i < m->shape->opening_count; i++) {
        struct box hole = opening_box(m, &m->shape->openings[i]);
        scene_hole(m->scene, hole, corner_of(hole));
    }
    store_free(outline);
}

static void draw_outline(const struct making *m)
{
    struct point *outline = scaled_outline(m);
    struct box whole = {0, 0, m->shape->across * m->scale, m->shape->down * m->scale};
    if (m->shape->punched)
        scene_round(m->scene, ROLE_CUT, whole, corner_of(whole));
    else
        scene_polygon(m->scene, ROLE_CUT, outline, m->shape->outline_count);
    store_free(outline);
}

/* What openings leave of a score, or of a cut within the piece. */
static void draw_run(const struct making *m, enum role role, enum nmk_way way, double at, double from, double to,
                     size_t opening)
{
    for (size_t i = opening; i < m->shape->opening_count; i++) {
        struct box hole = opening_box(m, &m->shape->openings[i]);
        double side = way == NMK_ACROSS ? hole.x : hole.y, wide = way == NMK_ACROSS ? hole.width : hole.height;
        double first = way == NMK_ACROSS ? hole.y : hole.x, last = first + (way == NMK_ACROSS ? hole.height : hole.width);
        if (at <= side || at >= side + wide || last <= from || first >= to)
            continue;
        if (first > from)
            draw_run(m, role, way, at, from, first, i + 1);
        from = last;
    }
    if (from >= to)
        return;
    if (way == NMK_ACROSS)
        scene_line(m->scene, role, at, from, at, to);
    else
        scene_line(m->scene, role, from, at, to, at);
}

static void draw_scores(const struct making *m, enum nmk_way way)
{
    const struct shape_list *list = &m->shape->lists[way];
    double from, to;
    for (size_t i = 1; i + 1 < list->line_count; i++)
        if (shape_line(m->shape, way, i, &from, &to))
            draw_run(m, ROLE_SCORE, way, list->lines[i] * m->scale, from * m->scale, to * m->scale, 0);
}

/* Of a piece with rows; what is cut is its outline, too. */
static void draw_runs(const struct making *m, bool cuts)
{
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        const struct shape_list *list = &m->shape->lists[way];
        for (size_t i = 0; i < list->run_count; i++) {
            const struct shape_run *run = &list->runs[i];
            if (run->is_cut == cuts)
                draw_run(m, cuts ? ROLE_CUT : ROLE_SCORE, way, list->lines[run->line] * m->scale, run->from * m->scale,
                         run->to * m->scale, 0);
        }
    }
}

/* A stretch from one line of the other direction to another. */
static struct box stretch_box(const struct making *m, enum nmk_way way, const struct shape_panel *panel, double from, double to)
{
    const double *lines = m->shape->lists[way].lines;
    double at = lines[panel->lines[0]] * m->scale, size = (lines[panel->lines[1]] - lines[panel->lines[0]]) * m->scale;
    from *= m->scale;
    to *= m->scale;
    return way == NMK_ACROSS ? (struct box){at, from, size, to - from} : (struct box){from, at, to - from, size};
}

static void hatch_box(const struct making *m, struct box box, const struct box *holes, size_t hole_count)
{
    struct point corners[] = {{box.x, box.y}, {box.x + box.width, box.y}, {box.x + box.width, box.y + box.height},
                              {box.x, box.y + box.height}};
    scene_hatch(m->scene, corners, 4, box, m->style->text * 0.55, holes, hole_count);
}

/* A tab of a piece with rows: in its cells, of which neighbours are hatched as one. */
static void hatch_cells(const struct making *m, enum nmk_way way, size_t stretch, const struct box *holes, size_t hole_count)
{
    const struct shape_list *other = &m->shape->lists[way == NMK_ACROSS ? NMK_DOWN : NMK_ACROSS];
    double from = 0, to = -1;
    for (size_t i = 0; i <= other->count; i++) {
        bool cell =
            i < other->count && (way == NMK_ACROSS ? shape_is_cell(m->shape, stretch, i) : shape_is_cell(m->shape, i, stretch));
        double low = cell ? other->lines[other->panels[i].lines[0]] : 0;
        if (from < to && (!cell || low > to)) {
            hatch_box(m, stretch_box(m, way, &m->shape->lists[way].panels[stretch], from, to), holes, hole_count);
            to = -1;
        }
        if (!cell)
            continue;
        from = to < 0 ? low : from;
        to = other->lines[other->panels[i].lines[1]];
    }
}

static void draw_glue(const struct making *m, const struct box *holes, size_t hole_count)
{
    struct point *outline = scaled_outline(m);
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        const struct shape_list *list = &m->shape->lists[way];
        double whole = way == NMK_ACROSS ? m->shape->down : m->shape->across;
        for (size_t i = 0; list->panels && i < list->count; i++) {
            if (!list->panels[i].glue)
                continue;
            if (m->shape->has_rows)
                hatch_cells(m, way, i, holes, hole_count);
            else
                scene_hatch(m->scene, outline, m->shape->outline_count, stretch_box(m, way, &list->panels[i], 0, whole),
                            m->style->text * 0.55, holes, hole_count);
        }
    }
    store_free(outline);
}

/* ---- openings ---- */

/* The axes of an opening, a little beyond it, left out behind its figure. */
static void draw_axes(const struct making *m, struct box box, const struct box *figure)
{
    double beyond = 0.7 * m->style->text, x = box.x + box.width / 2, y = box.y + box.height / 2;
    double left = box.x - beyond, right = box.x + box.width + beyond, top = box.y - beyond, low = box.y + box.height + beyond;
    if (!figure) {
        scene_line(m->scene, ROLE_CENTRE, left, y, right, y);
        scene_line(m->scene, ROLE_CENTRE, x, top, x, low);
        return;
    }
    double clear = 0.3 * m->style->text;
    scene_line(m->scene, ROLE_CENTRE, left, y, figure->x - clear, y);
    scene_line(m->scene, ROLE_CENTRE, right, y, figure->x + figure->width + clear, y);
    scene_line(m->scene, ROLE_CENTRE, x, top, x, figure->y);
    scene_line(m->scene, ROLE_CENTRE, x, low, x, figure->y + figure->height);
}

/* The type of an opening's figure in its middle. */
static struct type figure_type(const struct making *m, const struct shape_opening *o)
{
    struct type type = {m->style->text, false, ROLE_INK, ANCHOR_MIDDLE, false};
    if (lettering_width(o->figure, type.size, false) + 0.8 * m->style->text > o->across * m->scale)
        type.size *= part(m, 0.85);
    return type;
}

/* How much of an opening is in the piece, as much on both sides of its middle. */
static double room_round(double size, double middle, double whole)
{
    double side = middle < whole - middle ? middle : whole - middle;
    return size < 2 * side ? size : 2 * side;
}

/* Its figure stands inside if there is room, also in the piece, and nothing else lies in the same place; it is in the notes
 * too. */
static bool has_figure(const struct making *m, const struct shape_opening *o)
{
    struct type type = figure_type(m, o);
    double across = room_round(o->across, o->x, m->shape->across), down = room_round(o->down, o->y, m->shape->down);
    double around = 0.8 * m->style->text, tall = type.size * (LETTERING_UP + LETTERING_DOWN);
    return m->shape->opening_count == 1 && tall + around <= down * m->scale &&
           lettering_width(o->figure, type.size, false) + around <= across * m->scale;
}

static void draw_opening(const struct making *m, const struct shape_opening *o)
{
    struct box box = opening_box(m, o);
    struct type type = figure_type(m, o);
    double x = box.x + box.width / 2, y = box.y + box.height / 2 + 0.36 * type.size;
    struct box figure = scene_text_box(x, y, &type, o->figure);
    bool shown = has_figure(m, o);
    scene_round(m->scene, ROLE_CUT, box, corner_of(box));
    draw_axes(m, box, shown ? &figure : NULL);
    if (shown)
        scene_text(m->scene, x, y, &type, o->figure);
}

/* ---- dimensions ---- */

static bool wants_turned(const struct making *m, const struct dimensions *upright)
{
    return dimensions_depth(upright, 0) > 11 * m->style->text;
}

static void draw_dimensions(const struct making *m)
{
    struct dimensions across, down;
    double text = m->style->text, start = NEAR * text;
    dimensions_init(&across, m->shape, NMK_ACROSS, m->scale, text, false);
    dimensions_init(&down, m->shape, NMK_DOWN, m->scale, text, false);
    if (wants_turned(m, &down)) {
        dimensions_clear(&down);
        dimensions_init(&down, m->shape, NMK_DOWN, m->scale, text, true);
    }
    dimensions_draw(&down, m->scene, start);
    /* figures beyond the corner would meet there: then those of the other direction begin above them */
    bool meet = across.before > dimensions_near(&down, start) - 0.1 * text;
    dimensions_draw(&across, m->scene, meet && down.before > start ? down.before : start);
    dimensions_clear(&across);
    dimensions_clear(&down);
}

/* ---- what is covered so far ---- */

static void widen(struct box *all, double x1, double y1, double x2, double y2)
{
    double right = all->x + all->width, lower = all->y + all->height;
    all->x = x1 < all->x ? x1 : all->x;
    all->y = y1 < all->y ? y1 : all->y;
    all->width = (x2 > right ? x2 : right) - all->x;
    all->height = (y2 > lower ? y2 : lower) - all->y;
}

static struct box covered(const struct scene *scene)
{
    struct box all = {0, 0, 0, 0};
    for (size_t i = 0; i < scene->count; i++) {
        const struct mark *mark = &scene->marks[i];
        for (size_t p = 0; p < mark->point_count; p++)
            widen(&all, mark->points[p].x, mark->points[p].y, mark->points[p].x, mark->points[p].y);
        if (mark->kind == MARK_TEXT)
            widen(&all, mark->box.x, mark->box.y, mark->box.x + mark->box.width, mark->box.y + mark->box.height);
    }
    return all;
}

/* ---- words ---- */

struct words {
    struct scene *scene;
    double x, y, width; /* y: the upper edge of the next line */
};

static void put_words(struct words *w, const char *text, double size, bool bold, enum role role, size_t most)
{
    struct lines lines;
    struct type type = {size, bold, role, ANCHOR_START, false};
    lettering_wrap(&lines, text, w->width, size, bold, most);
    for (size_t i = 0; i < lines.count; i++, w->y += LEADING * size)
        scene_text(w->scene, w->x, w->y + LETTERING_UP * size, &type, lines.line[i]);
    lettering_lines_clear(&lines);
}

static double words_width(const struct making *m, struct box drawing)
{
    double width = drawing.width, least = m->style->narrowest * m->style->text, most = m->style->most_width;
    width = width > least ? width : least;
    return most > 0 && width > most ? most : width;
}

static void put_grain(struct words *w, const struct making *m)
{
    double t = m->style->text * part(m, NOTE), long_half = 0.85 * t, y = w->y + 0.85 * t;
    bool across = m->shape->grain == NMK_ACROSS;
    double x = w->x + (across ? long_half : 0.4 * t);
    double dx = across ? long_half : 0, dy = across ? 0 : long_half;
    struct type type = {t, false, ROLE_QUIET, ANCHOR_START, false};
    scene_line(w->scene, ROLE_LEADER, x - dx, y - dy, x + dx, y + dy);
    scene_arrow(w->scene, x + dx, y + dy, across, !across, 0.7 * t);
    scene_arrow(w->scene, x - dx, y - dy, -across, across - 1, 0.7 * t);
    scene_text(w->scene, x + dx + 0.8 * t, y + 0.36 * t, &type, across ? "grain runs across" : "grain runs down");
    w->y += 1.9 * t;
}

/* "hole 63 × 38 mm": in the notes there is more of it. */
static void put_opening(struct words *w, const struct shape_opening *o, double t)
{
    struct sink words = {0};
    sink_format(&words, "%s %s", o->name, o->figure);
    put_words(w, words.data, t, false, ROLE_INK, 2);
    sink_drop(&words);
}

static void put_notes(const struct making *m, struct box drawing)
{
    double t = m->style->text * part(m, NOTE);
    struct words w = {m->scene, drawing.x, drawing.y + drawing.height + 0.7 * m->style->text, words_width(m, drawing)};
    if (m->shape->has_grain)
        put_grain(&w, m);
    if (m->style->bare)
        return;
    for (size_t i = 0; m->style->notes && i < m->shape->note_count; i++)
        put_words(&w, m->shape->notes[i], t, false, ROLE_QUIET, 3);
    for (size_t i = 0; !m->style->notes && i < m->shape->opening_count; i++)
        if (!has_figure(m, &m->shape->openings[i]))
            put_opening(&w, &m->shape->openings[i], t);
}

/* The title goes above what is drawn: how tall it is must be known first. */
static void put_title(const struct making *m, struct box drawing)
{
    struct scene title;
    double t = m->style->text;
    scene_init(&title, 0, 0, 1);
    struct words w = {&title, drawing.x, 0, words_width(m, drawing)};
    put_words(&w, m->shape->title, TITLE * t, true, ROLE_INK, 2);
    put_words(&w, m->style->notes ? m->shape->task : m->shape->brief, part(m, TASK) * t, false, ROLE_QUIET, 2);
    scene_add(m->scene, &title, 0, drawing.y - w.y - 0.5 * t);
    scene_clear(&title);
}

/* ---- the whole ---- */

static size_t draw_names(const struct making *m, struct box **holes)
{
    size_t panels = m->shape->lists[NMK_ACROSS].count + m->shape->lists[NMK_DOWN].count;
    *holes = store_new(3 * panels, sizeof **holes);
    return m->style->names && panels <= MOST_NAMES
               ? panel_names_draw(m->scene, m->shape, m->scale, m->style, *holes) : 0;
}

static void draw_piece(const struct making *m)
{
    struct box *holes;
    struct scene names;
    struct making behind = *m;
    scene_init(&names, 0, 0, 1);
    behind.scene = &names;
    size_t hole_count = draw_names(&behind, &holes);
    draw_card(m);
    draw_glue(m, holes, hole_count);
    if (m->shape->has_rows) {
        draw_runs(m, false);
    } else {
        draw_scores(m, NMK_ACROSS);
        draw_scores(m, NMK_DOWN);
    }
    for (size_t i = 0; i < m->shape->opening_count; i++)
        draw_opening(m, &m->shape->openings[i]);
    if (m->shape->has_rows)
        draw_runs(m, true);
    else
        draw_outline(m);
    scene_add(m->scene, &names, 0, 0);
    draw_dimensions(m);
    store_free(holes);
    scene_clear(&names);
}

void diagram_build(struct scene *out, const struct shape *shape, double scale, const struct diagram_style *style)
{
    struct scene scene;
    scene_init(&scene, 0, 0, 1);
    struct making m = {&scene, shape, scale, style};
    draw_piece(&m);
    struct box drawing = covered(&scene);
    if (!style->bare)
        put_title(&m, drawing);
    put_notes(&m, drawing);
    struct box all = covered(&scene);
    scene_init(out, all.width, all.height, style->text * DIAGRAM_LINE);
    scene_add(out, &scene, -all.x, -all.y);
    scene_clear(&scene);
}
