#include "draw/scene.h"

#include <string.h>

#include "draw/lettering.h"
#include "ground/store.h"

/* Cut and score differ by weight, glue by its hatching: all of it is told apart in black and white. Narrow to wide is 1 to
 * 2, as in technical drawings (ISO 128-2); dimension lines are half of narrow again. */
#define INK {0.11, 0.14, 0.18}
const struct look scene_look[ROLE_COUNT] = {
    [ROLE_CARD] = {"card", true, 0, {0}, {0.972, 0.957, 0.925}, "#f8f4ec"},
    [ROLE_HATCH] = {"glue", false, 0.5, {0}, {0.62, 0.58, 0.50}, "#9e9480"},
    [ROLE_SCORE] = {"score", false, 1, {0}, {0.02, 0.40, 0.53}, "#056687"},
    [ROLE_CUT] = {"cut", false, 2, {0}, INK, "currentColor"},
    [ROLE_CENTRE] = {"centre", false, 0.5, {24, 6, 3, 6}, {0.40, 0.44, 0.49}, "#66707d"},
    [ROLE_LEADER] = {"dimension", false, 0.5, {0}, {0.40, 0.44, 0.49}, "#66707d"},
    [ROLE_ARROW] = {"arrow", true, 0, {0}, {0.40, 0.44, 0.49}, "#66707d"},
    [ROLE_FRAME] = {"frame", false, 0.5, {0}, {0.70, 0.72, 0.75}, "#b3b8bf"},
    [ROLE_INK] = {"ink", true, 0, {0}, INK, "currentColor"},
    [ROLE_QUIET] = {"quiet", true, 0, {0}, {0.34, 0.38, 0.43}, "#57616e"},
};

void scene_init(struct scene *scene, double width, double height, double line)
{
    *scene = (struct scene){.width = width, .height = height, .line = line, .dots = 8};
}

static void mark_clear(struct mark *mark)
{
    store_free(mark->points);
    store_free(mark->starts);
    store_free(mark->text);
}

void scene_clear(struct scene *scene)
{
    for (size_t i = 0; i < scene->count; i++)
        mark_clear(&scene->marks[i]);
    store_free(scene->marks);
    store_free(scene->title);
    store_free(scene->about);
    *scene = (struct scene){0};
}

static char *copy_of(const char *text)
{
    return text ? store_copy(text, strlen(text)) : NULL;
}

void scene_say(struct scene *scene, const char *title, const char *about)
{
    store_free(scene->title);
    store_free(scene->about);
    scene->title = copy_of(title);
    scene->about = copy_of(about);
}

static struct mark *add_mark(struct scene *scene, enum mark_kind kind, enum role role)
{
    if (scene->count == scene->space) {
        scene->space = scene->space * 2 + 32;
        scene->marks = store_resize(scene->marks, scene->space * sizeof *scene->marks);
    }
    struct mark *mark = &scene->marks[scene->count++];
    *mark = (struct mark){.kind = kind, .role = role};
    return mark;
}

/* ---- paths ---- */

void scene_path(struct scene *scene, enum role role, bool closed)
{
    add_mark(scene, MARK_PATH, role)->closed = closed;
}

static void add_point(struct scene *scene, double x, double y, bool start)
{
    struct mark *mark = &scene->marks[scene->count - 1];
    size_t n = mark->point_count++;
    if (!(n & (n - 1))) { /* full at every power of two */
        size_t room = n ? 2 * n : 1;
        mark->points = store_resize(mark->points, room * sizeof *mark->points);
        mark->starts = store_resize(mark->starts, room * sizeof *mark->starts);
    }
    mark->points[n] = (struct point){x, y};
    mark->starts[n] = start;
}

void scene_move(struct scene *scene, double x, double y)
{
    add_point(scene, x, y, true);
}

void scene_to(struct scene *scene, double x, double y)
{
    add_point(scene, x, y, false);
}

void scene_line(struct scene *scene, enum role role, double x1, double y1, double x2, double y2)
{
    scene_path(scene, role, false);
    scene_move(scene, x1, y1);
    scene_to(scene, x2, y2);
}

/* ---- lines between texts ---- */

struct between {
    struct scene *scene;
    enum role role;
    bool level;
    double at;         /* across the line */
    size_t mark_count; /* of the scene, before the line */
    const struct box *boxes;
    size_t box_count;
};

/* From the i-th obstacle on: the boxes, then the scene's marks. */
static void put_between(const struct between *b, double from, double to, size_t i)
{
    for (; i < b->box_count + b->mark_count; i++) {
        const struct mark *mark = i < b->box_count ? NULL : &b->scene->marks[i - b->box_count];
        if (mark && mark->kind != MARK_TEXT)
            continue;
        struct box box = mark ? mark->box : b->boxes[i];
        double side = b->level ? box.y : box.x, wide = b->level ? box.height : box.width;
        double low = b->level ? box.x : box.y, high = low + (b->level ? box.width : box.height);
        if (b->at <= side || b->at >= side + wide || high <= from || low >= to)
            continue;
        if (low > from)
            put_between(b, from, low, i + 1);
        from = high;
    }
    if (from < to)
        scene_line(b->scene, b->role, b->level ? from : b->at, b->level ? b->at : from, b->level ? to : b->at,
                   b->level ? b->at : to);
}

void scene_line_between_texts(struct scene *scene, enum role role, double x1, double y1, double x2, double y2,
                              const struct box *boxes, size_t box_count)
{
    bool level = x1 < x2 || x1 > x2;
    double a = level ? x1 : y1, b = level ? x2 : y2;
    struct between between = {scene, role, level, level ? y1 : x1, scene->count, boxes, box_count};
    put_between(&between, a < b ? a : b, a < b ? b : a, 0);
}

void scene_polygon(struct scene *scene, enum role role, const struct point *points, size_t count)
{
    scene_path(scene, role, true);
    for (size_t i = 0; i < count; i++)
        add_point(scene, points[i].x, points[i].y, !i);
}

void scene_box(struct scene *scene, enum role role, struct box box)
{
    double right = box.x + box.width, lower = box.y + box.height;
    struct point corners[] = {{box.x, box.y}, {right, box.y}, {right, lower}, {box.x, lower}};
    scene_polygon(scene, role, corners, 4);
}

void scene_round(struct scene *scene, enum role role, struct box box, double radius)
{
    scene_path(scene, role, true);
    scene_hole(scene, box, radius);
}

void scene_hole(struct scene *scene, struct box box, double radius)
{
    static const double sine[] = {0, 0.130526, 0.258819, 0.382683, 0.5, 0.608761, 0.707107,
                                  0.793353, 0.866025, 0.92388, 0.965926, 0.991445, 1}; /* of 0, 7.5 ... 90 degrees */
    enum { LAST = sizeof sine / sizeof *sine - 1 };
    for (size_t corner = 0; corner < 4; corner++) {
        bool right = corner == 1 || corner == 2, low = corner >= 2;
        double x = right ? box.x + box.width - radius : box.x + radius, y = low ? box.y + box.height - radius : box.y + radius;
        for (size_t i = 0; i <= LAST; i++) {
            size_t along = corner % 2 ? LAST - i : i;
            double dx = radius * sine[LAST - along], dy = radius * sine[along];
            add_point(scene, right ? x + dx : x - dx, low ? y + dy : y - dy, !corner && !i);
        }
    }
}

void scene_arrow(struct scene *scene, double x, double y, double dx, double dy, double length)
{
    double half = length * 0.17, bx = x - dx * length, by = y - dy * length;
    struct point head[] = {{x, y}, {bx - dy * half, by + dx * half}, {bx + dy * half, by - dx * half}};
    scene_polygon(scene, ROLE_ARROW, head, 3);
}

/* ---- hatching ---- */

enum { MOST_CROSSINGS = 64 };

/* Pieces of one hatch line x - y = c, told by y: sorted ends, two a piece. */
struct spans {
    double at[MOST_CROSSINGS];
    size_t count;
};

static void put_end(struct spans *s, double y)
{
    if (s->count == MOST_CROSSINGS)
        return;
    size_t i = s->count++;
    for (; i && s->at[i - 1] > y; i--)
        s->at[i] = s->at[i - 1];
    s->at[i] = y;
}

static void cross_polygon(struct spans *s, const struct point *points, size_t count, double c)
{
    for (size_t i = 0; i < count; i++) {
        const struct point *a = &points[i], *b = &points[(i + 1) % count];
        double da = a->x + a->y - c, db = b->x + b->y - c;
        if ((da < 0) != (db < 0))
            put_end(s, a->y + (b->y - a->y) * da / (da - db));
    }
}

/* The line x + y = c inside a box: from *low to *high; none where *low >= *high. */
static void cross_box(const struct box *box, double c, double *low, double *high)
{
    double least = c - (box->x + box->width), most = c - box->x;
    *low = least > box->y ? least : box->y;
    *high = most < box->y + box->height ? most : box->y + box->height;
}

static void hatch_piece(struct scene *scene, double c, double low, double high, const struct box *holes, size_t hole_count)
{
    for (size_t i = 0; i < hole_count; i++) {
        double from, to;
        cross_box(&holes[i], c, &from, &to);
        if (from >= to || to <= low || from >= high)
            continue;
        if (from > low)
            hatch_piece(scene, c, low, from, holes + i + 1, hole_count - i - 1);
        low = to;
    }
    if (low < high) {
        scene_move(scene, c - low, low);
        scene_to(scene, c - high, high);
    }
}

void scene_hatch(struct scene *scene, const struct point *points, size_t count, struct box inside, double apart,
                 const struct box *holes, size_t hole_count)
{
    double step = apart * 1.41421356, last = inside.x + inside.width + inside.y + inside.height;
    scene_path(scene, ROLE_HATCH, false);
    for (double c = inside.x + inside.y + step / 2; c < last; c += step) {
        struct spans s = {.count = 0};
        double low, high;
        cross_polygon(&s, points, count, c);
        cross_box(&inside, c, &low, &high);
        for (size_t i = 0; i + 1 < s.count; i += 2) {
            double from = s.at[i] > low ? s.at[i] : low, to = s.at[i + 1] < high ? s.at[i + 1] : high;
            if (from < to)
                hatch_piece(scene, c, from, to, holes, hole_count);
        }
    }
    if (!scene->marks[scene->count - 1].point_count)
        scene->count--;
}

/* ---- texts ---- */

struct box scene_text_box(double x, double y, const struct type *type, const char *text)
{
    double along = lettering_width(text, type->size, type->bold);
    double before = type->anchor == ANCHOR_START ? 0 : type->anchor == ANCHOR_MIDDLE ? along / 2 : along;
    double up = LETTERING_UP * type->size, tall = (LETTERING_UP + LETTERING_DOWN) * type->size;
    if (type->turned)
        return (struct box){x - up, y + before - along, tall, along};
    return (struct box){x - before, y - up, along, tall};
}

void scene_text(struct scene *scene, double x, double y, const struct type *type, const char *text)
{
    struct mark *mark = add_mark(scene, MARK_TEXT, type->role);
    mark->text = copy_of(text);
    mark->at = (struct point){x, y};
    mark->size = type->size;
    mark->anchor = type->anchor;
    mark->turned = type->turned;
    mark->bold = type->bold;
    mark->box = scene_text_box(x, y, type, text);
}

/* ---- putting together ---- */

void scene_clip(struct scene *scene, struct box box)
{
    add_mark(scene, MARK_CLIP, ROLE_FRAME)->box = box;
}

void scene_unclip(struct scene *scene)
{
    add_mark(scene, MARK_UNCLIP, ROLE_FRAME);
}

void scene_add(struct scene *scene, const struct scene *from, double dx, double dy)
{
    for (size_t i = 0; i < from->count; i++) {
        const struct mark *old = &from->marks[i];
        struct mark *mark = add_mark(scene, old->kind, old->role);
        *mark = *old;
        mark->at = (struct point){old->at.x + dx, old->at.y + dy};
        mark->box.x += dx;
        mark->box.y += dy;
        mark->text = copy_of(old->text);
        mark->points = NULL;
        mark->starts = NULL;
        mark->point_count = 0;
        for (size_t p = 0; p < old->point_count; p++)
            add_point(scene, old->points[p].x + dx, old->points[p].y + dy, old->starts[p]);
    }
}

bool box_meets(const struct box *a, const struct box *b)
{
    const double touch = 1e-6;
    return a->x + touch < b->x + b->width && b->x + touch < a->x + a->width && a->y + touch < b->y + b->height &&
           b->y + touch < a->y + a->height;
}
