#include "draw/svg.h"

#include <string.h>

#include "draw/lettering.h"
#include "draw/number_text.h"

#define FACES "'DejaVu Sans',Verdana,'Noto Sans',Arial,sans-serif"
#define LIGHT "#1c242e"

struct writer {
    struct sink *out;
    const struct scene *scene;
    const char *prefix;
    int group;    /* the role of the open group, -1: none */
    size_t clips; /* opened so far */
};

/* ---- characters ---- */

static void add_escaped(struct sink *out, const char *text, size_t size)
{
    for (size_t i = 0; i < size; i++) {
        switch (text[i]) {
        case '<': sink_string(out, "&lt;"); break;
        case '>': sink_string(out, "&gt;"); break;
        case '&': sink_string(out, "&amp;"); break;
        case '"': sink_string(out, "&quot;"); break;
        case '\'': sink_string(out, "&#39;"); break;
        default: sink_add(out, (unsigned char)text[i] < 0x20 ? " " : text + i, 1);
        }
    }
}

static void add_number(struct sink *out, const char *name, double value)
{
    sink_format(out, " %s=\"", name);
    number_add(out, value);
    sink_string(out, "\"");
}

/* ---- groups: consecutive marks of one role ---- */

static void close_group(struct writer *w)
{
    if (w->group >= 0)
        sink_string(w->out, "</g>\n");
    w->group = -1;
}

static void add_line_look(struct writer *w, const struct look *look)
{
    sink_format(w->out, " fill=\"none\" stroke=\"%s\" stroke-linecap=\"%s\" stroke-linejoin=\"round\"", look->css,
                look->dash[0] > 0 ? "butt" : "round");
    double weight = look->weight * w->scene->line;
    add_number(w->out, "stroke-width", weight);
    if (!(look->dash[0] > 0))
        return;
    sink_string(w->out, " stroke-dasharray=\"");
    for (size_t i = 0; i < 4; i++) {
        sink_string(w->out, i ? " " : "");
        number_add(w->out, look->dash[i] * weight);
    }
    sink_string(w->out, "\"");
}

static void open_group(struct writer *w, enum role role)
{
    const struct look *look = &scene_look[role];
    if (w->group == (int)role)
        return;
    close_group(w);
    w->group = (int)role;
    sink_format(w->out, "<g class=\"%s\"", look->name);
    if (look->filled)
        sink_format(w->out, " fill=\"%s\" fill-rule=\"evenodd\"", look->css);
    else
        add_line_look(w, look);
    sink_string(w->out, ">\n");
}

/* ---- marks ---- */

static void add_path(struct writer *w, const struct mark *mark)
{
    sink_string(w->out, "<path d=\"");
    for (size_t i = 0; i < mark->point_count; i++) {
        if (mark->starts[i])
            sink_string(w->out, i && mark->closed ? "ZM" : "M");
        else
            sink_string(w->out, "L");
        number_add(w->out, mark->points[i].x);
        sink_string(w->out, " ");
        number_add(w->out, mark->points[i].y);
    }
    sink_format(w->out, "%s\"/>\n", mark->closed ? "Z" : "");
}

static void add_run(struct writer *w, const struct mark *mark, const struct run *run)
{
    double small = mark->size * LETTERING_SMALL, raise = mark->size * LETTERING_RAISE;
    if (run->kind != RUN_PLAIN) {
        sink_string(w->out, "<tspan");
        if (run->kind == RUN_NUMERATOR)
            add_number(w->out, "dy", -raise);
        if (run->kind == RUN_SLASH)
            add_number(w->out, "dy", raise);
        else
            add_number(w->out, "font-size", small);
        sink_string(w->out, ">");
    }
    add_escaped(w->out, run->text, run->size);
    if (run->kind != RUN_PLAIN)
        sink_string(w->out, "</tspan>");
}

static void add_text(struct writer *w, const struct mark *mark)
{
    static const char *const anchors[] = {"start", "middle", "end"};
    struct run run = {.kind = RUN_PLAIN};
    sink_string(w->out, "<text");
    add_number(w->out, "x", mark->at.x);
    add_number(w->out, "y", mark->at.y);
    add_number(w->out, "font-size", mark->size);
    if (mark->anchor != ANCHOR_START)
        sink_format(w->out, " text-anchor=\"%s\"", anchors[mark->anchor]);
    if (mark->bold)
        sink_string(w->out, " font-weight=\"bold\"");
    if (mark->turned) {
        sink_string(w->out, " transform=\"rotate(-90 ");
        number_add(w->out, mark->at.x);
        sink_string(w->out, " ");
        number_add(w->out, mark->at.y);
        sink_string(w->out, ")\"");
    }
    sink_string(w->out, ">");
    for (const char *at = mark->text; lettering_run(at, &run); at += run.size)
        add_run(w, mark, &run);
    sink_string(w->out, "</text>\n");
}

static void add_clip(struct writer *w, const struct mark *mark)
{
    close_group(w);
    sink_format(w->out, "<clipPath id=\"%s-clip%zu\"><rect", w->prefix, ++w->clips);
    add_number(w->out, "x", mark->box.x);
    add_number(w->out, "y", mark->box.y);
    add_number(w->out, "width", mark->box.width);
    add_number(w->out, "height", mark->box.height);
    sink_format(w->out, "/></clipPath>\n<g clip-path=\"url(#%s-clip%zu)\">\n", w->prefix, w->clips);
}

static void add_mark(struct writer *w, const struct mark *mark)
{
    switch (mark->kind) {
    case MARK_PATH:
        open_group(w, mark->role);
        add_path(w, mark);
        break;
    case MARK_TEXT:
        open_group(w, mark->role);
        add_text(w, mark);
        break;
    case MARK_CLIP:
        add_clip(w, mark);
        break;
    case MARK_UNCLIP:
        close_group(w);
        sink_string(w->out, "</g>\n");
        break;
    }
}

/* ---- the whole ---- */

const char *svg_dark_style(void)
{
    return ".nearmark-diagram{color:#e9e6df}.nearmark-diagram .card{fill:#2b3036}.nearmark-diagram .glue{stroke:#8d8672}"
           ".nearmark-diagram .score{stroke:#6fc3e0}.nearmark-diagram .centre,.nearmark-diagram .dimension{stroke:#9aa4b0}"
           ".nearmark-diagram .arrow{fill:#9aa4b0}.nearmark-diagram .frame{stroke:#555d66}.nearmark-diagram .quiet{fill:#b4bcc6}";
}

static void add_size(struct writer *w, double times)
{
    const struct scene *s = w->scene;
    sink_string(w->out, " viewBox=\"0 0 ");
    number_add(w->out, s->width);
    sink_string(w->out, " ");
    number_add(w->out, s->height);
    sink_string(w->out, "\"");
    sink_string(w->out, " width=\"");
    number_add(w->out, s->width * times);
    sink_string(w->out, "mm\" height=\"");
    number_add(w->out, s->height * times);
    sink_string(w->out, "mm\"");
}

static void add_words(struct writer *w)
{
    const char *title = w->scene->title ? w->scene->title : "", *about = w->scene->about ? w->scene->about : "";
    sink_format(w->out, "<title id=\"%s-title\">", w->prefix);
    add_escaped(w->out, title, strlen(title));
    sink_format(w->out, "</title>\n<desc id=\"%s-desc\">", w->prefix);
    add_escaped(w->out, about, strlen(about));
    sink_string(w->out, "</desc>\n");
}

static void add_style(struct writer *w)
{
    sink_string(w->out, "<style>svg{color:" LIGHT ";background:#fff}@media (prefers-color-scheme:dark){"
                        "svg{background:#16191d}");
    sink_string(w->out, svg_dark_style());
    sink_string(w->out, "}@media print{svg{color:#000;background:none}}</style>\n");
}

static void write_element(struct sink *out, const struct scene *scene, const char *prefix, double times, bool standalone)
{
    struct writer w = {out, scene, prefix, -1, 0};
    sink_string(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"nearmark-diagram\"");
    add_size(&w, times);
    sink_format(out, " role=\"img\" aria-labelledby=\"%s-title %s-desc\"", prefix, prefix);
    sink_string(out, standalone ? " color=\"" LIGHT "\"" : "");
    sink_string(out, " font-family=\"" FACES "\">\n");
    add_words(&w);
    if (standalone)
        add_style(&w);
    for (size_t i = 0; i < scene->count; i++)
        add_mark(&w, &scene->marks[i]);
    close_group(&w);
    sink_string(out, "</svg>\n");
}

void svg_write(struct sink *out, const struct scene *scene)
{
    sink_string(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    write_element(out, scene, "nearmark", 1, true);
}

void svg_embed(struct sink *out, const struct scene *scene, const char *prefix, double times)
{
    write_element(out, scene, prefix, times, false);
}
