#include "draw/backend/paint.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

#include "draw/lettering.h"

#define POINTS (72.0 / 25.4) /* of a PDF a millimetre */
#define EM 100.0             /* text is laid out at this size and scaled, so that nothing is rounded to small steps */
#define FACES "DejaVu Sans,Verdana,Noto Sans,Arial,sans-serif"

/* For a build with the leak sanitizer: the font libraries keep what they have read until the end. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
    return "leak:libfontconfig\nleak:libpango\nleak:libcairo\nleak:libglib\n";
}

const char *__lsan_default_options(void);
const char *__lsan_default_options(void)
{
    return "print_suppressions=0";
}

struct painter {
    cairo_t *cairo;
    PangoLayout *layout;
    const struct scene *scene;
};

static void take_colour(const struct painter *p, enum role role)
{
    const double *c = scene_look[role].colour;
    cairo_set_source_rgb(p->cairo, c[0], c[1], c[2]);
}

/* ---- paths ---- */

static void stroke(const struct painter *p, const struct look *look)
{
    double weight = look->weight * p->scene->line, dash[4];
    for (size_t i = 0; i < 4; i++)
        dash[i] = look->dash[i] * weight;
    cairo_set_line_width(p->cairo, weight);
    cairo_set_dash(p->cairo, dash, look->dash[0] > 0 ? 4 : 0, 0);
    cairo_set_line_cap(p->cairo, look->dash[0] > 0 ? CAIRO_LINE_CAP_BUTT : CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(p->cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(p->cairo);
}

static void paint_path(const struct painter *p, const struct mark *mark)
{
    const struct look *look = &scene_look[mark->role];
    cairo_new_path(p->cairo);
    for (size_t i = 0; i < mark->point_count; i++) {
        if (mark->starts[i] && i && mark->closed)
            cairo_close_path(p->cairo);
        if (mark->starts[i])
            cairo_move_to(p->cairo, mark->points[i].x, mark->points[i].y);
        else
            cairo_line_to(p->cairo, mark->points[i].x, mark->points[i].y);
    }
    if (mark->closed)
        cairo_close_path(p->cairo);
    take_colour(p, mark->role);
    cairo_set_fill_rule(p->cairo, CAIRO_FILL_RULE_EVEN_ODD);
    if (look->filled)
        cairo_fill(p->cairo);
    else
        stroke(p, look);
}

/* ---- texts ---- */

/* Lays one run out; how wide it is, in em. */
static double lay_run(const struct painter *p, const struct mark *mark, const struct run *run)
{
    bool small = run->kind == RUN_NUMERATOR || run->kind == RUN_DENOMINATOR;
    PangoFontDescription *face = pango_font_description_from_string(FACES);
    int width, height;
    pango_font_description_set_weight(face, mark->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(face, EM * (small ? LETTERING_SMALL : 1) * PANGO_SCALE);
    pango_layout_set_font_description(p->layout, face);
    pango_layout_set_text(p->layout, run->text, (int)run->size);
    pango_layout_get_size(p->layout, &width, &height);
    pango_font_description_free(face);
    return width / (EM * PANGO_SCALE);
}

static double natural_width(const struct painter *p, const struct mark *mark)
{
    double sum = 0;
    struct run run = {.kind = RUN_PLAIN};
    for (const char *at = mark->text; lettering_run(at, &run); at += run.size)
        sum += lay_run(p, mark, &run);
    return sum;
}

static void show_run(const struct painter *p, double x, const struct run *run)
{
    double raise = run->kind == RUN_NUMERATOR ? LETTERING_RAISE * EM : 0;
    cairo_move_to(p->cairo, x * EM, -raise - pango_layout_get_baseline(p->layout) / (double)PANGO_SCALE);
    pango_cairo_show_layout(p->cairo, p->layout);
}

/* In its box: narrower where the real face is wider than the widths that it was laid out by. */
static void paint_text(const struct painter *p, const struct mark *mark)
{
    double room = (mark->turned ? mark->box.height : mark->box.width) / mark->size, wide = natural_width(p, mark);
    double squeeze = wide > room && wide > 0 ? room / wide : 1, scale = mark->size / EM;
    double x = mark->anchor == ANCHOR_START ? 0 : mark->anchor == ANCHOR_MIDDLE ? -wide / 2 : -wide;
    struct run run = {.kind = RUN_PLAIN};
    cairo_save(p->cairo);
    cairo_translate(p->cairo, mark->at.x, mark->at.y);
    if (mark->turned)
        cairo_rotate(p->cairo, -1.5707963267948966);
    cairo_scale(p->cairo, scale * squeeze, scale * squeeze);
    take_colour(p, mark->role);
    for (const char *at = mark->text; lettering_run(at, &run); at += run.size) {
        double width = lay_run(p, mark, &run);
        show_run(p, x, &run);
        x += width;
    }
    cairo_restore(p->cairo);
}

/* ---- a scene ---- */

static void paint_mark(const struct painter *p, const struct mark *mark)
{
    if (mark->kind == MARK_PATH) {
        paint_path(p, mark);
    } else if (mark->kind == MARK_TEXT) {
        paint_text(p, mark);
    } else if (mark->kind == MARK_CLIP) {
        cairo_save(p->cairo);
        cairo_rectangle(p->cairo, mark->box.x, mark->box.y, mark->box.width, mark->box.height);
        cairo_clip(p->cairo);
    } else {
        cairo_restore(p->cairo);
    }
}

static void paint_scene(cairo_t *cairo, const struct scene *scene)
{
    struct painter p = {cairo, pango_cairo_create_layout(cairo), scene};
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(pango_layout_get_context(p.layout), options);
    pango_context_set_round_glyph_positions(pango_layout_get_context(p.layout), FALSE);
    pango_layout_set_single_paragraph_mode(p.layout, TRUE);
    for (size_t i = 0; i < scene->count; i++)
        paint_mark(&p, &scene->marks[i]);
    cairo_font_options_destroy(options);
    g_object_unref(p.layout);
}

/* ---- files ---- */

static cairo_status_t to_sink(void *closure, const unsigned char *data, unsigned size)
{
    sink_add(closure, (const char *)data, size);
    return CAIRO_STATUS_SUCCESS;
}

bool paint_pdf(struct sink *out, const struct scenes *scenes)
{
    const struct scene *first = &scenes->list[0];
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(to_sink, out, first->width * POINTS, first->height * POINTS);
    cairo_t *cairo = cairo_create(surface);
    if (first->title && *first->title)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, first->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "");
    for (size_t i = 0; i < scenes->count; i++) {
        cairo_pdf_surface_set_size(surface, scenes->list[i].width * POINTS, scenes->list[i].height * POINTS);
        cairo_save(cairo);
        cairo_scale(cairo, POINTS, POINTS);
        paint_scene(cairo, &scenes->list[i]);
        cairo_restore(cairo);
        cairo_show_page(cairo);
    }
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    bool good = cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(surface);
    return good;
}

bool paint_png(struct sink *out, const struct scene *scene)
{
    int width = (int)(scene->width * scene->dots + 0.5), height = (int)(scene->height * scene->dots + 0.5);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    cairo_t *cairo = cairo_create(surface);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_paint(cairo);
    cairo_scale(cairo, scene->dots, scene->dots);
    paint_scene(cairo, scene);
    bool good = cairo_status(cairo) == CAIRO_STATUS_SUCCESS;
    cairo_destroy(cairo);
    cairo_surface_flush(surface);
    good = cairo_surface_write_to_png_stream(surface, to_sink, out) == CAIRO_STATUS_SUCCESS && good;
    cairo_surface_destroy(surface);
    return good;
}
