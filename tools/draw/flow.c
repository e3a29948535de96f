#include "draw/flow.h"

#include "ground/store.h"

#define SMALLER 0.94             /* from one scale tried to the next */
enum { MOST_IN_AREA = 48 };      /* pieces: more are not tried */

/* One area and the diagrams first .. end - 1 that shall be in it. */
struct trial {
    struct flow *flow;
    const struct shape *shapes;
    const struct flow_style *style;
    size_t area, first, end;
    double text, scale;
};

static double longer(const struct shape *shape)
{
    return shape->across > shape->down ? shape->across : shape->down;
}

static double longest(const struct trial *t)
{
    double most = 0;
    for (size_t i = t->first; i < t->end; i++)
        most = longer(&t->shapes[i]) > most ? longer(&t->shapes[i]) : most;
    return most;
}

/* ---- diagrams ---- */

static void build(const struct trial *t, size_t i, double scale, double text)
{
    const struct flow_style *f = t->style;
    double least = f->least < text ? f->least / text : 1;
    struct diagram_style style = {text, f->width, f->narrowest, least, f->names, f->leaders, f->notes, false};
    scene_clear(&t->flow->diagrams[i]);
    diagram_build(&t->flow->diagrams[i], &t->shapes[i], scale, &style);
}

static bool is_within(const struct trial *t, size_t i)
{
    const struct scene *diagram = &t->flow->diagrams[i];
    return diagram->width <= t->style->width && diagram->height <= t->style->height;
}

/* The common scale, or a larger one where the piece would be too small to be read. */
static double scale_of(const struct trial *t, size_t i)
{
    double least = t->style->readable * t->text / longer(&t->shapes[i]), scale = t->scale > least ? t->scale : least;
    return scale < t->style->most_scale ? scale : t->style->most_scale;
}

/* Smaller until the area holds it: first the piece, then the text. */
static void squeeze(struct trial *t, size_t i)
{
    double scale = scale_of(t, i);
    build(t, i, scale, t->text);
    for (int n = 0; n < 200 && !is_within(t, i); n++) {
        if (scale * longer(&t->shapes[i]) > 6 * t->text)
            scale *= 0.9;
        else
            t->text *= 0.9;
        build(t, i, scale, t->text);
    }
}

/* ---- rows ---- */

/* The rows of an area, from above. */
struct shelf {
    const struct trial *trial;
    double gap;
    size_t *row;      /* of each diagram from the trial's first */
    bool *placed;
    size_t row_count;
    double used;      /* height */
};

static bool goes_in(const struct shelf *s, size_t i, double width, double height)
{
    const struct scene *d = &s->trial->flow->diagrams[i];
    return !s->placed[i - s->trial->first] && width + s->gap + d->width <= s->trial->style->width && d->height <= height;
}

/* The next one begins the row; those behind it follow, and later ones fill what is left if they are not taller. */
static void fill_row(struct shelf *s, size_t first)
{
    const struct trial *t = s->trial;
    struct flow *flow = t->flow;
    double width = -s->gap, height = flow->diagrams[first].height;
    bool follows = true;
    for (size_t i = first; i < t->end; i++) {
        follows = follows && (i == first || goes_in(s, i, width, t->style->height - s->used));
        if (!follows && !goes_in(s, i, width, height))
            continue;
        flow->at[i] = (struct point){width + s->gap, s->used};
        flow->area[i] = t->area;
        width += s->gap + flow->diagrams[i].width;
        height = flow->diagrams[i].height > height ? flow->diagrams[i].height : height;
        s->placed[i - t->first] = true;
        s->row[i - t->first] = s->row_count;
    }
    s->row_count++;
    s->used += height + s->gap;
}

/* What is left of the width goes between the diagrams of a row. */
static void spread_row(const struct shelf *s, size_t row)
{
    const struct trial *t = s->trial;
    double left = t->style->width, x = 0;
    size_t count = 0;
    for (size_t i = t->first; i < t->end; i++)
        if (s->row[i - t->first] == row) {
            left -= t->flow->diagrams[i].width;
            count++;
        }
    for (size_t i = t->first; i < t->end; i++)
        if (s->row[i - t->first] == row) {
            x += left / (double)(count + 1);
            t->flow->at[i].x = x;
            x += t->flow->diagrams[i].width;
        }
}

/* What is left of the height goes between the rows; on paper not more than a gap. */
static void spread(const struct shelf *s)
{
    const struct trial *t = s->trial;
    double left = t->style->height - (s->used - s->gap), between = left / (double)(s->row_count + 1);
    if (!t->style->spread && between > s->gap)
        between = s->gap;
    for (size_t i = t->first; i < t->end; i++)
        t->flow->at[i].y += between * (double)(s->row[i - t->first] + t->style->spread);
    for (size_t row = 0; t->style->spread && row < s->row_count; row++)
        spread_row(s, row);
}

/* false: the area does not hold them. */
static bool set_rows(const struct trial *t)
{
    struct shelf s = {.trial = t, .gap = t->style->gap * t->text};
    bool good = true;
    s.row = store_new(t->end - t->first, sizeof *s.row);
    s.placed = store_new(t->end - t->first, sizeof *s.placed);
    for (size_t i = t->first; i < t->end && good; i++) {
        if (s.placed[i - t->first])
            continue;
        good = !s.row_count || s.used + t->flow->diagrams[i].height <= t->style->height;
        if (good)
            fill_row(&s, i);
    }
    if (good)
        spread(&s);
    store_free(s.row);
    store_free(s.placed);
    return good;
}

/* ---- searching ---- */

static bool attempt(const struct trial *t)
{
    double left = t->style->width * t->style->height;
    for (size_t i = t->first; i < t->end; i++) {
        build(t, i, scale_of(t, i), t->text);
        left -= t->flow->diagrams[i].width * t->flow->diagrams[i].height;
        if (left < 0 || !is_within(t, i))
            return false;
    }
    return set_rows(t);
}

/* The largest scale with which the area holds them. false: the longest piece would be less than `generous` times the text.
 * `tried`: from so many times the text on all was tried before; 0: nothing was. */
static bool shrink(struct trial *t, double generous, double tried)
{
    const struct flow_style *f = t->style;
    double most = longest(t), least = generous * t->text / most, start = (f->width > f->height ? f->width : f->height) / most;
    start = tried > 0 && tried * t->text / most < start ? tried * t->text / most : start;
    least = least < f->most_scale ? least : f->most_scale;
    t->scale = start < f->most_scale ? start : f->most_scale;
    t->scale = t->scale > least ? t->scale : least;
    for (; t->scale > least * 0.9999; t->scale *= SMALLER)
        if (attempt(t))
            return true;
    return false;
}

/* Rather a smaller text than pieces that are small beside their text; rather these than further areas. What no area holds
 * is made to fit. */
static bool fill_area(struct trial *t)
{
    const struct flow_style *f = t->style;
    for (size_t g = 0; f->generous[g] > 0 && t->end - t->first <= MOST_IN_AREA; g++)
        for (size_t i = 0; f->texts[i] > 0; i++) {
            t->text = f->texts[i];
            if (shrink(t, f->generous[g], g ? f->generous[g - 1] : 0))
                return true;
        }
    if (t->end - t->first > 1)
        return false;
    t->scale = f->generous[0] * t->text / longest(t);
    squeeze(t, t->first);
    return set_rows(t);
}

/* Into so many areas, of as many diagrams each. */
static bool divide(struct flow *flow, const struct shape *shapes, const struct flow_style *style, size_t areas)
{
    for (size_t area = 0; area < areas; area++) {
        struct trial t = {.flow = flow, .shapes = shapes, .style = style, .area = area, .first = area * flow->count / areas,
                          .end = (area + 1) * flow->count / areas};
        if (!fill_area(&t))
            return false;
        flow->texts[area] = t.text;
    }
    flow->area_count = areas;
    return true;
}

void flow_init(struct flow *flow, const struct shape *shapes, size_t count, const struct flow_style *style)
{
    *flow = (struct flow){.count = count};
    flow->diagrams = store_new(count, sizeof *flow->diagrams);
    flow->at = store_new(count, sizeof *flow->at);
    flow->area = store_new(count, sizeof *flow->area);
    flow->texts = store_new(count, sizeof *flow->texts);
    for (size_t areas = (count + MOST_IN_AREA - 1) / MOST_IN_AREA; !divide(flow, shapes, style, areas);) {
        areas += 1 + areas / 4;
        areas = areas < count ? areas : count;
    }
}

void flow_clear(struct flow *flow)
{
    for (size_t i = 0; i < flow->count; i++)
        scene_clear(&flow->diagrams[i]);
    store_free(flow->diagrams);
    store_free(flow->at);
    store_free(flow->area);
    store_free(flow->texts);
    *flow = (struct flow){0};
}
