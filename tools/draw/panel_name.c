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

/* In the room, or in what an opening leaves of it above, below, left or right. What one has left is not asked about it
 * again: rounded, it may touch it. */
static bool set_beside_openings(struct naming *n, struct box room, size_t first, const char *name, double size)
{
    const struct shape *shape = n->shape;
    double clear = INSET * n->text * 1.6;
    for (size_t i = first; i < shape->opening_count; i++) {
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
            if (parts[p].width > 0 && parts[p].height > 0 && set_beside_openings(n, parts[p], i + 1, name, size))
                return true;
        return false;
    }
    return set_in(n, room, name, size);
}

static bool is_glue(const struct shape *shape, size_t column, size_t row)
{
    return shape->lists[NMK_ACROSS].panels[column].glue || shape->lists[NMK_DOWN].panels[row].glue;
}

static struct box cell_room(const struct naming *n, size_t column, size_t row)
{
    const struct shape_list *across = &n->shape->lists[NMK_ACROSS], *down = &n->shape->lists[NMK_DOWN];
    const size_t *x = across->panels[column].lines, *y = down->panels[row].lines;
    double inset = INSET * n->text;
    return (struct box){across->lines[x[0]] * n->scale + inset, down->lines[y[0]] * n->scale + inset,
                        (across->lines[x[1]] - across->lines[x[0]]) * n->scale - 2 * inset,
                        (down->lines[y[1]] - down->lines[y[0]]) * n->scale - 2 * inset};
}

static bool set_name(struct naming *n, size_t column, size_t row, const char *name)
{
    struct box room = cell_room(n, column, row);
    size_t before = n->scene->count;
    if (room.width <= 0 || room.height <= 0)
        return false;
    bool set = false;
    for (int split = 0; split < 2 && !set; split++) { /* rather smaller, or turned, than broken */
        n->split = split;
        set = set_beside_openings(n, room, 0, name, n->text) || set_beside_openings(n, room, 0, name, n->smaller);
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
    const struct shape_list *list = &n->shape->lists[way];
    return (list->lines[list->panels[i].lines[0]] + list->lines[list->panels[i].lines[1]]) / 2 * n->scale;
}

/* How far the leader's dot is inside the edge: not as far as names are. */
static double depth_of(const struct naming *n)
{
    return 0.3 * n->text;
}

/* The edge of the card there; rows end before that of the whole. */
static double edge_of(const struct naming *n, enum nmk_way way, size_t i)
{
    return n->scale * (n->shape->has_rows  ? shape_far(n->shape, way, i)
                       : way == NMK_ACROSS ? n->shape->down
                                           : n->shape->across);
}

/* From its dot to where it leaves the whole piece: what it passes there stays readable. */
static void lead(struct naming *n, double x1, double y1, double x2, double y2)
{
    if (!n->shape->has_rows) {
        scene_line(n->scene, ROLE_LEADER, x1, y1, x2, y2);
        return;
    }
    struct box *holes = store_new(n->shape->opening_count, sizeof *holes);
    for (size_t i = 0; i < n->shape->opening_count; i++) {
        const struct shape_opening *o = &n->shape->openings[i];
        holes[i] = (struct box){(o->x - o->across / 2) * n->scale, (o->y - o->down / 2) * n->scale, o->across * n->scale,
                                o->down * n->scale};
    }
    scene_line_between_texts(n->scene, ROLE_LEADER, x1, y1, x2, y2, holes, n->shape->opening_count);
    store_free(holes);
}

/* The stretches as they lie, which those of rows are not in their list; store_free. */
static size_t *in_order(const struct naming *n, enum nmk_way way)
{
    size_t count = n->shape->lists[way].count, *order = store_new(count, sizeof *order);
    for (size_t i = 0; i < count; i++) {
        size_t k = i;
        for (; k && middle_of(n, way, order[k - 1]) > middle_of(n, way, i); k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
    return order;
}

/* To the right, one under the other; the lower end of them. */
static double lead_right(struct naming *n)
{
    const struct shape_list *list = &n->shape->lists[NMK_DOWN];
    struct type type = leader_type(n);
    double edge = n->shape->across * n->scale, in = depth_of(n), next = -1e9, lower = n->shape->down * n->scale;
    size_t *order = in_order(n, NMK_DOWN);
    for (size_t k = 0; k < list->count; k++) {
        size_t i = order[k];
        if (!n->outside[NMK_DOWN][i])
            continue;
        double at = middle_of(n, NMK_DOWN, i), y = at > next ? at : next, t = type.size, from = edge_of(n, NMK_DOWN, i) - in;
        y = y > TALL / 2 * t ? y : TALL / 2 * t;
        char *name = lettering_elide(list->panels[i].name, WIDEST * t, t, false);
        dot(n, from, at);
        lead(n, from, at, edge + 0.8 * t, at);
        scene_line(n->scene, ROLE_LEADER, edge + 0.8 * t, at, edge + 1.6 * t, y);
        scene_text(n->scene, edge + 1.9 * t, y + 0.36 * t, &type, name);
        next = y + TALL * t;
        lower = y + TALL / 2 * t > lower ? y + TALL / 2 * t : lower;
        store_free(name);
    }
    store_free(order);
    return lower;
}

/* Below, each in a row below all those to its right that it would reach under, so that no leader crosses a name. */
static void lead_down(struct naming *n, double below)
{
    const struct shape_list *list = &n->shape->lists[NMK_ACROSS];
    struct type type = leader_type(n);
    double t = type.size, in = depth_of(n);
    size_t *row = store_new(list->count, sizeof *row), *order = in_order(n, NMK_ACROSS);
    for (size_t j = list->count; j--;) {
        size_t i = order[j];
        if (!n->outside[NMK_ACROSS][i])
            continue;
        char *name = lettering_elide(list->panels[i].name, WIDEST * t, t, false);
        double x = middle_of(n, NMK_ACROSS, i), end = x + 0.5 * t + lettering_width(name, t, false) + 0.5 * t,
               from = edge_of(n, NMK_ACROSS, i) - in;
        row[j] = 0;
        for (size_t k = j + 1; k < list->count; k++)
            if (n->outside[NMK_ACROSS][order[k]] && middle_of(n, NMK_ACROSS, order[k]) < end && row[k] >= row[j])
                row[j] = row[k] + 1;
        double y = below + (1.1 + LEADING * (double)row[j]) * t + LETTERING_UP * t;
        dot(n, x, from);
        lead(n, x, from, x, y);
        scene_text(n->scene, x + 0.4 * t, y, &type, name);
        store_free(name);
    }
    store_free(row);
    store_free(order);
}

/* ---- the whole ---- */

static double width_of(const struct shape_list *list, size_t i)
{
    return list->lines[list->panels[i].lines[1]] - list->lines[list->panels[i].lines[0]];
}

/* Of the stretches of a row, or of those beside which a row runs; NMK_NONE: no stretch. A rest is none. */
static size_t widest(const struct shape_list *list, bool beside, size_t row)
{
    size_t best = NMK_NONE;
    for (size_t i = 0; i < list->count; i++) {
        const struct shape_panel *panel = &list->panels[i];
        if (panel->name && (beside ? panel->beside : panel->row) == row &&
            (best == NMK_NONE || width_of(list, i) > width_of(list, best) + 1e-9))
            best = i;
    }
    return best;
}

/* Is there such a panel in the same place in an earlier row? */
static bool is_named(const struct shape_list *list, size_t i, const bool *done)
{
    for (size_t k = 0; k < list->count; k++) {
        const struct shape_panel *a = &list->panels[i], *b = &list->panels[k];
        double near = list->lines[a->lines[0]] - list->lines[b->lines[0]],
               far = list->lines[a->lines[1]] - list->lines[b->lines[1]];
        if (done[k] && k != i && b->name && !strcmp(a->name, b->name) && near < 1e-9 && near > -1e-9 && far < 1e-9 &&
            far > -1e-9)
            return true;
    }
    return false;
}

static bool set_cell(struct naming *n, enum nmk_way way, size_t own, size_t other, const char *name)
{
    return way == NMK_ACROSS ? set_name(n, own, other, name) : set_name(n, other, own, name);
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

/* The names of one row of the direction `way` in its widest panel of the other direction, and those of the panels it is
 * beside in its own widest one. `done`: stretches of `way` that have a name. */
static void name_row(struct naming *n, enum nmk_way way, size_t row, bool *done)
{
    enum nmk_way across_it = way == NMK_ACROSS ? NMK_DOWN : NMK_ACROSS;
    const struct shape_list *list = &n->shape->lists[way], *other = &n->shape->lists[across_it];
    size_t own = widest(list, false, row), at = widest(other, true, row);
    bool in_middle = own != NMK_NONE && at != NMK_NONE && !is_named(list, own, done);
    for (size_t i = 0; i < list->count && at != NMK_NONE; i++) {
        if (list->panels[i].row != row || !list->panels[i].name || is_named(list, i, done))
            continue;
        if (i != own)
            n->outside[way][i] = !set_cell(n, way, i, at, list->panels[i].name);
        done[i] = true;
    }
    for (size_t i = 0; i < other->count && own != NMK_NONE; i++)
        if (other->panels[i].beside == row && (i != at || !in_middle))
            n->outside[across_it][i] = !set_cell(n, across_it, i, own, other->panels[i].name);
    if (in_middle && way == NMK_ACROSS)
        set_middle(n, own, at);
    else if (in_middle)
        set_middle(n, at, own);
}

/* Row by row, that of the widest panel first. */
static void name_rows(struct naming *n)
{
    const struct shape_list *across = &n->shape->lists[NMK_ACROSS], *down = &n->shape->lists[NMK_DOWN];
    enum nmk_way way = NMK_ACROSS;
    size_t rows = 1;
    for (size_t i = 0; i < across->count; i++)
        rows = across->panels[i].row + 1 > rows ? across->panels[i].row + 1 : rows;
    for (size_t i = 0; i < down->count; i++)
        if (down->panels[i].row + 1 > rows) {
            rows = down->panels[i].row + 1;
            way = NMK_DOWN;
        }
    const struct shape_list *list = &n->shape->lists[way], *other = way == NMK_ACROSS ? down : across;
    bool *done = store_new(list->count, sizeof *done);
    size_t widest_panel = widest(other, false, 0), first = other->panels[widest_panel].beside;
    name_row(n, way, first, done);
    for (size_t row = 0; row < rows; row++)
        if (row != first)
            name_row(n, way, row, done);
    store_free(done);
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
    n.outside[NMK_ACROSS] = store_new(across->count, sizeof(bool));
    n.outside[NMK_DOWN] = store_new(down->count, sizeof(bool));
    name_rows(&n);
    n.outside[NMK_ACROSS][0] &= across->count > 1;
    n.outside[NMK_DOWN][0] &= down->count > 1;
    if (style->leaders)
        lead_down(&n, lead_right(&n));
    store_free(n.outside[NMK_ACROSS]);
    store_free(n.outside[NMK_DOWN]);
    return n.hole_count;
}
