/* page_all.c -- all pieces of an edition: on paper, and as a picture. */
#include "draw/flow.h"
#include "draw/lettering.h"
#include "draw/page_parts.h"
#include "ground/sink.h"
#include "ground/store.h"

/* The caution stands where it is read: on what lies beside the trimmer. */
#define CAUTION "A trimmer's blade cuts: mind your fingers, follow the maker's instructions and your local rules."

struct frame { /* of a kind of page */
    double width, height, margin;
    double text;  /* of head and key */
    double dots;
    bool picture;
    struct flow_style flow;
};

/* The caller's (store_free). */
static const struct shape **of_area(const struct gallery *gallery, const struct flow *flow, size_t area, size_t *count)
{
    const struct shape **shapes = store_new(flow->count, sizeof(struct shape *));
    *count = 0;
    for (size_t i = 0; i < flow->count; i++)
        if (flow->area[i] == area)
            shapes[(*count)++] = &gallery->shapes[i];
    return shapes;
}

static void put_foot(struct scene *scene, const struct frame *f, struct box area, const char *number)
{
    struct type type = {f->text, false, ROLE_QUIET, ANCHOR_END, false};
    if (number)
        scene_text(scene, area.x + area.width, area.y + area.height - LETTERING_DOWN * f->text, &type, number);
    if (f->picture)
        return;
    type.size = 0.75 * f->text;
    type.anchor = ANCHOR_START;
    double y = area.y + area.height - 1.75 * f->text;
    char *caution = lettering_elide(CAUTION, area.width, type.size, false);
    scene_text(scene, area.x, y, &type, caution);
    store_free(caution);
}

static void make_page(struct scene *scene, const struct frame *f, const struct gallery *gallery, const struct flow *flow,
                      size_t area, double top)
{
    struct sink number = {0};
    struct box inside = {f->margin, f->margin, f->width - 2 * f->margin, f->height - 2 * f->margin};
    size_t count;
    const struct shape **shapes = of_area(gallery, flow, area, &count);
    scene_init(scene, f->width, f->height, flow->texts[area] * DIAGRAM_LINE);
    scene->dots = f->dots;
    page_head(scene, gallery, inside, f->text, f->picture);
    for (size_t i = 0; i < flow->count; i++)
        if (flow->area[i] == area)
            scene_add(scene, &flow->diagrams[i], inside.x + flow->at[i].x, top + flow->at[i].y);
    if (flow->area_count > 1)
        sink_format(&number, "%zu of %zu", area + 1, flow->area_count);
    struct box beside = inside; /* the number */
    beside.width -= number.data ? 8 * f->text : 0;
    page_key(scene, shapes, count, beside, f->text);
    put_foot(scene, f, inside, number.data);
    page_say(scene, gallery, shapes, count);
    sink_drop(&number);
    store_free(shapes);
}

static void make_pages(struct scenes *out, const struct gallery *gallery, struct frame *f)
{
    struct scene trial;
    struct flow flow;
    struct box inside = {f->margin, f->margin, f->width - 2 * f->margin, f->height - 2 * f->margin};
    scene_init(&trial, f->width, f->height, 1);
    double top = page_head(&trial, gallery, inside, f->text, f->picture);
    scene_clear(&trial);
    f->flow.width = inside.width;
    f->flow.height = f->height - f->margin - (f->picture ? 1.8 : 3.6) * f->text - top;
    flow_init(&flow, gallery->shapes, gallery->count, &f->flow);
    for (size_t area = 0; area < flow.area_count; area++)
        make_page(scenes_add(out), f, gallery, &flow, area, top);
    flow_clear(&flow);
}

void page_all(struct scenes *out, const struct gallery *gallery, struct paper paper)
{
    static const double generous[] = {17, 12, 0};
    static const double texts[] = {3.4, 3.0, 2.6, 2.3, 0};
    struct frame f = {.width = paper.width, .height = paper.height, .margin = 12, .text = 3.2, .dots = 8,
                      .flow = {.gap = 2.4, .texts = texts, .generous = generous, .readable = 9, .most_scale = 1, .least = 2.1,
                               .narrowest = 15, .names = true, .leaders = true, .notes = true}};
    make_pages(out, gallery, &f);
}

/* 4 dots a millimetre: 480 x 270 mm are 1920 x 1080 dots; nothing but a fraction's digits is less than 7 mm (28 dots) high. */
void page_picture(struct scenes *out, const struct gallery *gallery)
{
    static const double generous[] = {15, 12, 9, 7, 5.5, 0};
    static const double texts[] = {13, 11.5, 10.2, 9.2, 8.3, 7.6, 7.05, 0};
    struct frame f = {.width = 480, .height = 270, .margin = 11, .text = 7.6, .dots = 4, .picture = true,
                      .flow = {.gap = 1.9, .texts = texts, .generous = generous, .readable = 5.5, .most_scale = 4, .least = 7,
                               .narrowest = 10.5, .names = true, .spread = true}};
    make_pages(out, gallery, &f);
}
