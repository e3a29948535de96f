#include "draw/flow.h"

#include "report/store.h"

#define SMALLER 0.94      /* from one scale tried to the next */
enum { MOST_SHARED = 150 }; /* more pieces than that are not searched a common scale for */

struct trial {
    const struct shape *shapes;
    size_t count;
    const struct flow_style *style;
    double text, scale;
};

static double longer(const struct shape *shape)
{
    return shape->across > shape->down ? shape->across : shape->down;
}

static double longest(const struct trial *t)
{
    double most = 0;
    for (size_t i = 0; i < t->count; i++)
        most = longer(&t->shapes[i]) > most ? longer(&t->shapes[i]) : most;
    return most;
}

static void build(struct scene *out, const struct trial *t, size_t i, double scale, double text)
{
    const struct flow_style *f = t->style;
    struct diagram_style style = {text, f->width, f->narrowest, f->names, f->leaders, f->notes};
    diagram_build(out, &t->shapes[i], scale, &style);
}

/* At the common scale, or larger where it would be too small to be read. true: the area holds it. */
static bool build_one(struct scene *out, const struct trial *t, size_t i, double *scale)
{
    double least = t->style->readable * t->text / longer(&t->shapes[i]);
    *scale = t->scale > least ? t->scale : least;
    *scale = *scale < t->style->most_scale ? *scale : t->style->most_scale;
    build(out, t, i, *scale, t->text);
    return out->width <= t->style->width && out->height <= t->style->height;
}

/* Smaller until the area holds it: first the piece, then the text. */
static void squeeze(struct scene *out, const struct trial *t, size_t i, double scale)
{
    double text = t->text;
    for (int n = 0; n < 200 && (out->width > t->style->width || out->height > t->style->height); n++) {
        scene_clear(out);
        if (scale * longer(&t->shapes[i]) > 6 * text)
            scale *= 0.9;
        else
            text *= 0.9;
        build(out, t, i, scale, text);
    }
}

static void drop(struct flow *flow)
{
    for (size_t i = 0; i < flow->count; i++)
        scene_clear(&flow->diagrams[i]);
}

/* ---- rows ---- */

/* The diagrams of an area, in rows from above. */
struct shelf {
    struct flow *flow;
    const struct flow_style *style;
    double gap;
    size_t *row;      /* of each diagram, in its area */
    bool *placed;
    size_t row_count;
    double used;      /* height */
};

static bool goes_in(const struct shelf *s, size_t i, double width, double height)
{
    const struct scene *d = &s->flow->diagrams[i];
    return !s->placed[i] && width + s->gap + d->width <= s->style->width && d->height <= height;
}

/* The next one begins the row; those behind it follow, and later ones fill what is left if they are not taller. */
static void fill_row(struct shelf *s, size_t first, size_t area)
{
    struct flow *flow = s->flow;
    double width = -s->gap, height = flow->diagrams[first].height, x = 0;
    bool follows = true;
    for (size_t i = first; i < flow->count; i++) {
        follows = follows && (i == first || goes_in(s, i, width, s->style->height - s->used));
        if (!follows && !goes_in(s, i, width, height))
            continue;
        width += s->gap + flow->diagrams[i].width;
        height = flow->diagrams[i].height > height ? flow->diagrams[i].height : height;
        s->placed[i] = true;
        s->row[i] = s->row_count;
        flow->area[i] = area;
        flow->at[i] = (struct point){x, s->used};
        x += flow->diagrams[i].width + s->gap;
    }
    s->row_count++;
    s->used += height + s->gap;
}

/* What is left of the width goes between the diagrams of a row. */
static void spread_row(const struct shelf *s, size_t row, size_t area)
{
    struct flow *flow = s->flow;
    double used = 0, x;
    size_t count = 0;
    for (size_t i = 0; i < flow->count; i++)
        if (flow->area[i] == area && s->row[i] == row && s->placed[i]) {
            used += flow->diagrams[i].width;
            count++;
        }
    double between = (s->style->width - used) / (double)(count + 1);
    x = between;
    for (size_t i = 0; i < flow->count; i++)
        if (flow->area[i] == area && s->row[i] == row && s->placed[i]) {
            flow->at[i].x = x;
            x += flow->diagrams[i].width + between;
        }
}

/* What is left of the height goes between the rows; on paper not more than a gap. */
static void finish_area(struct shelf *s, size_t area)
{
    double left = s->style->height - (s->used - s->gap), between = left / (double)(s->row_count + 1);
    if (!s->style->spread && between > s->gap)
        between = s->gap;
    for (size_t i = 0; i < s->flow->count; i++)
        if (s->placed[i] && s->flow->area[i] == area)
            s->flow->at[i].y += between * (double)(s->row[i] + s->style->spread);
    for (size_t row = 0; s->style->spread && row < s->row_count; row++)
        spread_row(s, row, area);
}

static size_t set_rows(struct flow *flow, const struct flow_style *style, double gap)
{
    struct shelf s = {.flow = flow, .style = style, .gap = gap};
    size_t area = 0;
    s.row = store_new(flow->count, sizeof *s.row);
    s.placed = store_new(flow->count, sizeof *s.placed);
    for (size_t i = 0; i < flow->count; i++) {
        if (s.placed[i])
            continue;
        if (s.row_count && s.used + flow->diagrams[i].height > style->height) {
            finish_area(&s, area++);
            s.row_count = 0;
            s.used = 0;
        }
        fill_row(&s, i, area);
    }
    finish_area(&s, area);
    store_free(s.row);
    store_free(s.placed);
    return area + 1;
}

/* true: one area holds all, and none had to be made smaller for itself. */
static bool attempt(struct flow *flow, const struct trial *t, bool force)
{
    bool good = true;
    double left = t->style->width * t->style->height;
    drop(flow);
    for (size_t i = 0; i < t->count; i++) {
        double scale;
        bool fits = build_one(&flow->diagrams[i], t, i, &scale);
        left -= flow->diagrams[i].width * flow->diagrams[i].height;
        if (!force && (!fits || left < 0))
            return false;
        if (fits)
            continue;
        squeeze(&flow->diagrams[i], t, i, scale);
        good = false;
    }
    flow->area_count = set_rows(flow, t->style, t->style->gap * t->text);
    flow->text = t->text;
    return good && flow->area_count == 1;
}

/* ---- searching ---- */

/* The largest scale with which one area holds all. false: the largest piece would be less than `generous` times the text.
 * `tried`: from so many times the text on all was tried before; 0: nothing was. */
static bool shrink(struct flow *flow, struct trial *t, double generous, double tried)
{
    double most = longest(t), least = generous * t->text / most;
    double start = (t->style->width > t->style->height ? t->style->width : t->style->height) / most;
    start = tried > 0 && tried * t->text / most < start ? tried * t->text / most : start;
    least = least < t->style->most_scale ? least : t->style->most_scale;
    t->scale = start < t->style->most_scale ? start : t->style->most_scale;
    t->scale = t->scale > least ? t->scale : least;
    for (bool last = false; !last; t->scale *= SMALLER) {
        last = t->scale * SMALLER < least;
        if (attempt(flow, t, false))
            return true;
    }
    return false;
}

void flow_init(struct flow *flow, const struct shape *shapes, size_t count, const struct flow_style *style)
{
    struct trial t = {.shapes = shapes, .count = count, .style = style};
    *flow = (struct flow){.count = count};
    flow->diagrams = store_new(count, sizeof *flow->diagrams);
    flow->at = store_new(count, sizeof *flow->at);
    flow->area = store_new(count, sizeof *flow->area);
    /* rather a smaller text than pieces that are small beside their text; rather these than further areas */
    for (size_t g = 0; style->generous[g] > 0 && count <= MOST_SHARED; g++)
        for (size_t i = 0; style->texts[i] > 0; i++) {
            t.text = style->texts[i];
            if (shrink(flow, &t, style->generous[g], g ? style->generous[g - 1] : 0))
                return;
        }
    t.text = style->texts[1] > 0 ? style->texts[1] : style->texts[0];
    t.scale = 24 * t.text / longest(&t);
    attempt(flow, &t, true);
}

void flow_clear(struct flow *flow)
{
    drop(flow);
    store_free(flow->diagrams);
    store_free(flow->at);
    store_free(flow->area);
    *flow = (struct flow){0};
}
