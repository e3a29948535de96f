#include "draw/panel_name.h"

#include <string.h>

#include "draw/lettering.h"
#include "ground/sink.h"
#include "ground/store.h"

#define USUAL 0.92  /* sizes, times the text */
#define SMALLER 0.75
#define INSET 0.45  /* kept clear of lines, times the size */
#define LEADING 1.25/* from line to line, times the size */
#define TALL (LETTERING_UP + LETTERING_DOWN)
#define WIDEST 13   /* a name outside, times the size */

struct naming {
    struct scene *scene;
    const struct shape *shape;
    double scale, text, smaller; /* sizes of names */
    struct box *holes;
    size_t hole_count;
    bool split; /* names may be broken at `_` */
    bool *outside[2]; /* of each stretch of a direction: its name goes on a leader */
};

/* ---- inside ---- */

static void set_turned(struct naming *n, struct box room, const char *name, double size)
{
    struct type type = {size, false, ROLE_INK, ANCHOR_MIDDLE, true};
    double x = room.x + room.width / 2 + size * (LETTERING_UP - TALL / 2);
    scene_text(n->scene, x, room.y + room.height / 2, &type, name);
}

static void set_lines(struct naming *n, struct box room, const struct lines *lines, double size)
{
    struct type type = {size, false, ROLE_INK, ANCHOR_MIDDLE, false};
    double tall = ((double)lines->count - 1) * LEADING * size + TALL * size;
    double y = room.y + (room.height - tall) / 2 + LETTERING_UP * size;
    for (size_t i = 0; i < lines->count; i++)
        scene_text(n->scene, room.x + room.width / 2, y + (double)i * LEADING * size, &type, lines->line[i]);
}

/* Is a name broken at one of its `_`? */
static bool is_split(const struct lines *lines)
{
    for (size_t i = 0; i + 1 < lines->count; i++)
        if (lines->line[i][strlen(lines->line[i]) - 1] == '_')
            return true;
    return false;
}

static bool set_level(struct naming *n, struct box room, const char *name, double size)
{
    struct lines lines;
    lettering_wrap(&lines, name, room.width, size, false, 3);
    double tall = ((double)lines.count - 1) * LEADING * size + TALL * size;
    bool fits = lines.count && !lines.torn && tall <= room.height && (n->split || !is_split(&lines));
    if (fits)
        set_lines(n, room, &lines, size);
    lettering_lines_clear(&lines);
    return fits;
}

static bool set_in(struct naming *n, struct box room, const char *name, double size)
{
    if (set_level(n, room, name, size))
        return true;
    if (TALL * size > room.width || lettering_width(name, size, false) > room.height)
        return false;
    set_turned(n, room, name, size);
    return true;
}

/* In the room, or in what an opening leaves of it above, below, left or right. */
static bool set_beside_openings(struct naming *n, struct box room, const char *name, double size)
{
    const struct shape *shape = n->shape;
    double clear = INSET * n->text * 1.6;
    for (size_t i = 0; i < shape->opening_count; i++) {
        const struct shape_opening *o = &shape->openings[i];
        struct box hole = {(o->x - o->across / 2) * n->scale - clear, (o->y - o->down / 2) * n->scale - clear,
                           o->across * n->scale + 2 * clear, o->down * n->scale + 2 * clear};
        if (!box_meets(&room, &hole))
            continue;
        double right = hole.x + hole.width, lower = hole.y + hole.height;
        struct box parts[] = {{room.x, room.y, room.width, hole.y - room.y},
                              {room.x, lower, room.width, room.y + room.height - lower},
                              {room.x, room.y, hole.x - room.x, room.height},
                              {right, room.y, room.x + room.width - right, room.height}};
        for (size_t p = 0; p < 4; p++)
            if (parts[p].width > 0 && parts[p].height > 0 && set_beside_openings(n, parts[p], name, size))
                return true;
        return false;
    }
    return set_in(n, room, name, size);
}

static bool is_glue(const struct shape *shape, size_t column, size_t row)
{
    return shape->lists[NMK_ACROSS].panels[column].glue || shape->lists[NMK_DOWN].panels[row].glue;
}

static bool set_name(struct naming *n, size_t column, size_t row, const char *name)
{
    const double *x = n->shape->lists[NMK_ACROSS].lines, *y = n->shape->lists[NMK_DOWN].lines;
    double inset = INSET * n->text;
    struct box room = {x[column] * n->scale + inset, y[row] * n->scale + inset,
                       (x[column + 1] - x[column]) * n->scale - 2 * inset, (y[row + 1] - y[row]) * n->scale - 2 * inset};
    size_t before = n->scene->count;
    if (room.width <= 0 || room.height <= 0)
        return false;
    bool set = false;
    for (int split = 0; split < 2 && !set; split++) { /* rather smaller, or turned, than broken */
        n->split = split;
        set = set_beside_openings(n, room, name, n->text) || set_beside_openings(n, room, name, n->smaller);
    }
    if (!set)
        return false;
    for (size_t i = before; i < n->scene->count && is_glue(n->shape, column, row); i++) {
        struct box b = n->scene->marks[i].box;
        double clear = n->text * 0.2;
        n->holes[n->hole_count++] = (struct box){b.x - clear, b.y, b.width + 2 * clear, b.height};
    }
    return true;
}

/* ---- outside ---- */

static struct type leader_type(const struct naming *n)
{
    return (struct type){n->text, false, ROLE_INK, ANCHOR_START, false};
}

static double dot(const struct naming *n, double x, double y)
{
    double r = n->text * 0.14;
    scene_round(n->scene, ROLE_ARROW, (struct box){x - r, y - r, 2 * r, 2 * r}, r);
    return r;
}

static double middle_of(const struct naming *n, enum nmk_way way, size_t i)
{
    const double *lines = n->shape->lists[way].lines;
    return (lines[i] + lines[i + 1]) / 2 * n->scale;
}

/* How far the leader's dot is inside the edge: not as far as names are. */
static double depth_of(const struct naming *n)
{
    return 0.3 * n->text;
}

/* To the right, one under the other; the lower end of them. */
static double lead_right(struct naming *n)
{
    const struct shape_list *list = &n->shape->lists[NMK_DOWN];
    struct type type = leader_type(n);
    double edge = n->shape->across * n->scale, in = depth_of(n), next = -1e9, lower = n->shape->down * n->scale;
    for (size_t i = 0; i < list->count; i++) {
        if (!n->outside[NMK_DOWN][i])
            continue;
        double at = middle_of(n, NMK_DOWN, i), y = at > next ? at : next, t = type.size;
        y = y > TALL / 2 * t ? y : TALL / 2 * t;
        char *name = lettering_elide(list->panels[i].name, WIDEST * t, t, false);
        dot(n, edge - in, at);
        scene_line(n->scene, ROLE_LEADER, edge - in, at, edge + 0.8 * t, at);
        scene_line(n->scene, ROLE_LEADER, edge + 0.8 * t, at, edge + 1.6 * t, y);
        scene_text(n->scene, edge + 1.9 * t, y + 0.36 * t, &type, name);
        next = y + TALL * t;
        lower = y + TALL / 2 * t > lower ? y + TALL / 2 * t : lower;
        store_free(name);
    }
    return lower;
}

/* Below, each in a row below all those to its right that it would reach under, so that no leader crosses a name. */
static void lead_down(struct naming *n, double below)
{
    const struct shape_list *list = &n->shape->lists[NMK_ACROSS];
    struct type type = leader_type(n);
    double t = type.size, edge = n->shape->down * n->scale, in = depth_of(n);
    size_t *row = store_new(list->count, sizeof *row);
    for (size_t i = list->count; i--;) {
        if (!n->outside[NMK_ACROSS][i])
            continue;
        char *name = lettering_elide(list->panels[i].name, WIDEST * t, t, false);
        double x = middle_of(n, NMK_ACROSS, i), end = x + 0.5 * t + lettering_width(name, t, false) + 0.5 * t;
        row[i] = 0;
        for (size_t k = i + 1; k < list->count; k++)
            if (n->outside[NMK_ACROSS][k] && middle_of(n, NMK_ACROSS, k) < end && row[k] >= row[i])
                row[i] = row[k] + 1;
        double y = below + (1.1 + LEADING * (double)row[i]) * t + LETTERING_UP * t;
        dot(n, x, edge - in);
        scene_line(n->scene, ROLE_LEADER, x, edge - in, x, y);
        scene_text(n->scene, x + 0.4 * t, y, &type, name);
        store_free(name);
    }
    store_free(row);
}

/* ---- the whole ---- */

static size_t widest(const struct shape_list *list)
{
    size_t best = 0;
    for (size_t i = 1; i < list->count; i++)
        if (list->lines[i + 1] - list->lines[i] > list->lines[best + 1] - list->lines[best] + 1e-9)
            best = i;
    return best;
}

/* The largest panel of all bears both its names, "base × side"; of two alike one. */
static void set_middle(struct naming *n, size_t column, size_t row)
{
    const char *across = n->shape->lists[NMK_ACROSS].panels[column].name, *down = n->shape->lists[NMK_DOWN].panels[row].name;
    struct sink both = {0};
    bool alike = !strcmp(across, down);
    sink_format(&both, "%s \xC3\x97 %s", across, down);
    if (alike || !set_name(n, column, row, both.data)) {
        n->outside[NMK_ACROSS][column] = !set_name(n, column, row, across);
        n->outside[NMK_DOWN][row] = !alike || n->outside[NMK_ACROSS][column];
    }
    sink_drop(&both);
}

size_t panel_names_draw(struct scene *scene, const struct shape *shape, double scale, const struct diagram_style *style,
                        struct box *holes)
{
    const struct shape_list *across = &shape->lists[NMK_ACROSS], *down = &shape->lists[NMK_DOWN];
    struct naming n = {.scene = scene, .shape = shape, .scale = scale, .holes = holes};
    if (!across->panels || !down->panels)
        return 0;
    n.text = style->text * (USUAL > style->least ? USUAL : style->least);
    n.smaller = style->text * (SMALLER > style->least ? SMALLER : style->least);
    size_t column = widest(across), row = widest(down);
    n.outside[NMK_ACROSS] = store_new(across->count, sizeof(bool));
    n.outside[NMK_DOWN] = store_new(down->count, sizeof(bool));
    for (size_t i = 0; i < across->count; i++)
        if (i != column)
            n.outside[NMK_ACROSS][i] = !set_name(&n, i, row, across->panels[i].name);
    for (size_t i = 0; i < down->count; i++)
        if (i != row)
            n.outside[NMK_DOWN][i] = !set_name(&n, column, i, down->panels[i].name);
    set_middle(&n, column, row);
    n.outside[NMK_ACROSS][0] &= across->count > 1;
    n.outside[NMK_DOWN][0] &= down->count > 1;
    if (style->leaders)
        lead_down(&n, lead_right(&n));
    store_free(n.outside[NMK_ACROSS]);
    store_free(n.outside[NMK_DOWN]);
    return n.hole_count;
}
