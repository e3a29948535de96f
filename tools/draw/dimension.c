#include "draw/dimension.h"

#include "draw/lettering.h"
#include "ground/store.h"

#define ARROW 0.75  /* length of a head; these are times the size of the text */
#define GAP 0.35    /* on each side of a figure */
#define FREE 0.45   /* between the piece and its extension lines */
#define BEYOND 0.3  /* extension lines beyond the dimension line */
#define PITCH 1.5   /* from row to row, where figures lie along it */
#define TAIL 1.05   /* of arrows from outside */

static bool is_upright(const struct dimensions *d)
{
    return d->way == NMK_DOWN && !d->turned;
}

/* How much of the direction a figure takes. */
static double along(const struct dimensions *d, const struct dimension *one)
{
    return is_upright(d) ? d->text * (LETTERING_UP + LETTERING_DOWN) : one->width;
}

/* ---- where each figure stands ---- */

static bool is_crossed(const struct dimensions *d, const struct dimension *one, double low, double high)
{
    for (size_t i = 0; i < d->count; i++) {
        const struct dimension *other = &d->list[i];
        double far = other->last ? other->from : other->to;
        if (other != one && !other->whole && other->last != one->last && far > low && far < high)
            return true;
    }
    return false;
}

/* In the middle, or to a side of it where an extension line of a score from the other edge passes. */
static bool place_inside(const struct dimensions *d, struct dimension *one)
{
    static const double tries[] = {0.5, 0.35, 0.65, 0.2, 0.8};
    double half = along(d, one) / 2 + GAP * d->text, head = ARROW * d->text * 1.25;
    for (size_t i = 0; i < sizeof tries / sizeof *tries; i++) {
        double middle = one->from + tries[i] * (one->to - one->from);
        if (middle - half < one->from + head || middle + half > one->to - head)
            continue;
        if (is_crossed(d, one, middle - half, middle + half))
            continue;
        one->middle = middle;
        one->low = one->from;
        one->high = one->to;
        return true;
    }
    return false;
}

/* Behind its score, in the half of the piece that is its own, so that it meets none from the other edge. */
static bool place_inner(struct dimensions *d, struct dimension *one, double whole)
{
    double half = along(d, one) / 2, gap = GAP * d->text, arrow = ARROW * d->text;
    bool tight = one->to - one->from < 2.2 * arrow;
    double tail = tight ? TAIL * arrow : 0.4 * arrow, reach = tail + gap + half;
    double middle = one->last ? one->from - reach : one->to + reach;
    double low = middle - half - gap, high = middle + half + gap;
    if (one->whole || (one->last ? low < whole / 2 : high > whole / 2))
        return false;
    for (size_t i = 0; i < d->count; i++) {
        const struct dimension *other = &d->list[i];
        double far = other->last ? other->from : other->to;
        if (other != one && !other->whole && far > (one->last ? low : one->to) && far < (one->last ? one->from : high))
            return false;
    }
    one->inner = true;
    one->tight = tight;
    one->middle = middle;
    one->low = one->last ? low : one->from - (tight ? tail : 0);
    one->high = one->last ? one->to + (tight ? tail : 0) : high;
    return true;
}

/* An upright figure of the outermost row stands outside of its line, and takes no more height than it has. */
static bool place_aside(struct dimensions *d, struct dimension *one)
{
    double half = along(d, one) / 2, arrow = ARROW * d->text;
    if (!one->whole || !is_upright(d))
        return false;
    one->aside = true;
    one->tight = one->to - one->from < 2.2 * arrow;
    double tail = one->tight ? TAIL * arrow : 0;
    one->middle = (one->from + one->to) / 2;
    one->low = one->middle - half < one->from - tail ? one->middle - half : one->from - tail;
    one->high = one->middle + half > one->to + tail ? one->middle + half : one->to + tail;
    return true;
}

static void place_outside(struct dimensions *d, struct dimension *one)
{
    double half = along(d, one) / 2, arrow = ARROW * d->text;
    one->outside = true;
    one->tight = one->to - one->from < 2.2 * arrow;
    double tail = one->tight ? TAIL * arrow : 0;
    double reach = tail + GAP * d->text + half;
    one->low = one->from - (one->last ? tail : 0);
    one->high = one->to + (one->last ? 0 : tail);
    one->middle = one->last ? one->to + reach : one->from - reach;
    if (one->last)
        one->high = one->middle + half + GAP * d->text;
    else
        one->low = one->middle - half - GAP * d->text;
}

/* ---- rows ---- */

static bool is_free(const struct dimensions *d, size_t before, const struct dimension *one, size_t row)
{
    for (size_t i = 0; i < before; i++) {
        const struct dimension *other = &d->list[i];
        if (other->row == row && one->low < other->high && other->low < one->high)
            return false;
    }
    return true;
}

/* Shorter ones first, so that a longer one from the same edge lies outside of them. */
static void sort(struct dimensions *d)
{
    for (size_t i = 1; i < d->count; i++)
        for (size_t k = i; k; k--) {
            struct dimension *a = &d->list[k - 1], *b = &d->list[k], kept = *a;
            bool in_order = b->whole || (!a->whole && a->to - a->from <= b->to - b->from);
            if (in_order)
                break;
            *a = *b;
            *b = kept;
        }
}

static void stack(struct dimensions *d)
{
    for (size_t i = 0; i < d->count; i++) {
        struct dimension *one = &d->list[i];
        one->row = one->whole ? d->rows : 0;
        while (!is_free(d, i, one, one->row))
            one->row++;
        d->rows = one->row + 1 > d->rows ? one->row + 1 : d->rows;
    }
}

/* Upright figures need as much as the widest of the row. */
static void space_rows(struct dimensions *d)
{
    d->offset = store_new(d->rows, sizeof *d->offset);
    double at = 0, behind = 0;
    for (size_t row = 0; row < d->rows; row++) {
        double half = PITCH / 2 * d->text;
        for (size_t i = 0; i < d->count && is_upright(d); i++) {
            double own = d->list[i].aside ? GAP * d->text : d->list[i].width / 2 + GAP * d->text;
            if (d->list[i].row == row && own > half)
                half = own;
        }
        at += behind + half;
        behind = half;
        d->offset[row] = at;
    }
}

static void measure_overhang(struct dimensions *d, double whole)
{
    for (size_t i = 0; i < d->count; i++) {
        const struct dimension *one = &d->list[i];
        d->before = -one->low > d->before ? -one->low : d->before;
        d->behind = one->high - whole > d->behind ? one->high - whole : d->behind;
    }
}

void dimensions_init(struct dimensions *d, const struct shape *shape, enum nmk_way way, double scale, double text, bool turned)
{
    const struct shape_list *list = &shape->lists[way];
    size_t end = list->line_count - 1;
    double whole = shape_whole(list) * scale;
    *d = (struct dimensions){.way = way, .text = text, .turned = turned};
    d->list = store_new(list->settings, sizeof *d->list);
    for (size_t i = list->settings > DIMENSION_MOST ? end : 1; i <= end; i++) {
        double at = list->lines[i] * scale, start = list->starts ? list->starts[i] * scale : 0;
        bool last = list->from_last[i];
        if (i < end && list->is_told && list->is_told[i])
            continue;
        d->list[d->count++] = (struct dimension){
            .from = last ? at : 0, .to = last ? whole : at, .last = last, .whole = i == end,
            .starts = {list->starts && i == end ? list->starts[0] * scale : start, start},
            .figure = list->figures[i], .width = lettering_width(list->figures[i], text, i == end)};
    }
    sort(d);
    for (size_t i = 0; i < d->count; i++)
        if (!place_inside(d, &d->list[i]) && !place_inner(d, &d->list[i], whole) &&
            !place_aside(d, &d->list[i]))
            place_outside(d, &d->list[i]);
    stack(d);
    space_rows(d);
    measure_overhang(d, whole);
}

void dimensions_clear(struct dimensions *d)
{
    store_free(d->list);
    store_free(d->offset);
    *d = (struct dimensions){0};
}

double dimensions_depth(const struct dimensions *d, double start)
{
    double last = d->rows ? d->offset[d->rows - 1] : 0, before = d->rows > 1 ? d->offset[d->rows - 2] : 0;
    double half = d->rows > 1 && is_upright(d) ? (last - before) / 2 : last;
    for (size_t i = 0; i < d->count; i++)
        half += d->list[i].aside ? d->list[i].width : 0;
    return start + last + half;
}

double dimensions_near(const struct dimensions *d, double start)
{
    double near = 1e9, text = d->text * (LETTERING_UP + LETTERING_DOWN) / 2;
    for (size_t i = 0; i < d->count; i++) {
        const struct dimension *one = &d->list[i];
        bool out = one->outside && !one->last;
        double at = start + d->offset[one->row] - (!out ? 0.2 * d->text : is_upright(d) ? one->width / 2 : text);
        if ((out || (one->tight && one->low < 0)) && at < near)
            near = at;
    }
    return near;
}

/* ---- drawing ---- */

/* `u` along, `v` outward. */
static void line(const struct dimensions *d, struct scene *scene, double u1, double v1, double u2, double v2)
{
    if (d->way == NMK_ACROSS)
        scene_line(scene, ROLE_LEADER, u1, -v1, u2, -v2);
    else
        scene_line(scene, ROLE_LEADER, -v1, u1, -v2, u2);
}

static void arrow(const struct dimensions *d, struct scene *scene, double u, double v, double points)
{
    if (d->way == NMK_ACROSS)
        scene_arrow(scene, u, -v, points, 0, ARROW * d->text);
    else
        scene_arrow(scene, -v, u, 0, points, ARROW * d->text);
}

static void draw_figure(const struct dimensions *d, struct scene *scene, const struct dimension *one, double v)
{
    double drop = d->text * 0.36; /* half the height of a figure */
    struct type type = {.size = d->text, .bold = one->whole, .role = ROLE_INK, .anchor = ANCHOR_MIDDLE, .turned = d->turned};
    if (d->way == NMK_ACROSS)
        scene_text(scene, one->middle, -v + drop, &type, one->figure);
    else if (one->aside)
        scene_text(scene, -v - GAP * d->text - one->width / 2, one->middle + drop, &type, one->figure);
    else if (d->turned)
        scene_text(scene, -v + drop, one->middle, &type, one->figure);
    else
        scene_text(scene, -v, one->middle + drop, &type, one->figure);
}

static void draw_line(const struct dimensions *d, struct scene *scene, const struct dimension *one, double v)
{
    double half = along(d, one) / 2 + GAP * d->text * (is_upright(d) ? 0.3 : 1), tail = TAIL * ARROW * d->text;
    double from = one->tight ? one->from - tail : one->from, to = one->tight ? one->to + tail : one->to;
    if (one->inner) {
        line(d, scene, one->last ? one->middle + half : from, v, one->last ? to : one->middle - half, v);
    } else if (one->aside) {
        line(d, scene, from, v, to, v);
    } else if (!one->outside) {
        line(d, scene, one->from, v, one->middle - half, v);
        line(d, scene, one->middle + half, v, one->to, v);
    } else if (one->last) {
        line(d, scene, from, v, one->middle - half, v);
    } else {
        line(d, scene, one->middle + half, v, to, v);
    }
    arrow(d, scene, one->from, v, one->tight ? 1 : -1);
    arrow(d, scene, one->to, v, one->tight ? -1 : 1);
}

/* Where the card begins further in, it may pass what is written there. */
static void draw_extension(const struct dimensions *d, struct scene *scene, double u, double start, double v)
{
    double from = FREE * d->text - start, to = v + BEYOND * d->text;
    if (start <= 0)
        line(d, scene, u, from, u, to);
    else if (d->way == NMK_ACROSS)
        scene_line_between_texts(scene, ROLE_LEADER, u, -from, u, -to, NULL, 0);
    else
        scene_line_between_texts(scene, ROLE_LEADER, -from, u, -to, u, NULL, 0);
}

void dimensions_draw(const struct dimensions *d, struct scene *scene, double start)
{
    for (size_t i = 0; i < d->count; i++) {
        const struct dimension *one = &d->list[i];
        double v = start + d->offset[one->row];
        if (one->whole) {
            draw_extension(d, scene, one->from, one->starts[0], v);
            draw_extension(d, scene, one->to, one->starts[1], v);
        } else {
            draw_extension(d, scene, one->last ? one->from : one->to, one->starts[1], v);
        }
        draw_line(d, scene, one, v);
        draw_figure(d, scene, one, v);
    }
}
