#include "draw/scene_stream.h"

#include <string.h>

#include "draw/number_text.h"
#include "ground/store.h"

void scenes_clear(struct scenes *scenes)
{
    for (size_t i = 0; i < scenes->count; i++)
        scene_clear(&scenes->list[i]);
    store_free(scenes->list);
    *scenes = (struct scenes){0};
}

struct scene *scenes_add(struct scenes *scenes)
{
    scenes->list = store_resize(scenes->list, (scenes->count + 1) * sizeof *scenes->list);
    scenes->list[scenes->count] = (struct scene){0};
    return &scenes->list[scenes->count++];
}

/* ---- writing: a letter, numbers, then texts as their length and their bytes ---- */

static void put_numbers(struct sink *out, const double *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        sink_string(out, " ");
        number_add(out, numbers[i]);
    }
}

static void put_text(struct sink *out, const char *text)
{
    sink_format(out, " %zu:%s", strlen(text), text);
}

static void put_mark(struct sink *out, const struct mark *mark)
{
    if (mark->kind == MARK_PATH) {
        put_numbers(out, (double[]){mark->role, mark->closed, (double)mark->point_count}, 3);
        for (size_t i = 0; i < mark->point_count; i++)
            put_numbers(out, (double[]){mark->starts[i], mark->points[i].x, mark->points[i].y}, 3);
    } else if (mark->kind == MARK_TEXT) {
        put_numbers(out, (double[]){mark->role, mark->at.x, mark->at.y, mark->size, mark->anchor, mark->turned, mark->bold}, 7);
        put_text(out, mark->text);
    } else if (mark->kind == MARK_CLIP) {
        put_numbers(out, (double[]){mark->box.x, mark->box.y, mark->box.width, mark->box.height}, 4);
    }
}

void scene_write(struct sink *out, const struct scene *scene)
{
    sink_string(out, "S");
    put_numbers(out, (double[]){scene->width, scene->height, scene->line, scene->dots}, 4);
    put_text(out, scene->title ? scene->title : "");
    put_text(out, scene->about ? scene->about : "");
    sink_string(out, "\n");
    for (size_t i = 0; i < scene->count; i++) {
        sink_add(out, &"PTCU"[scene->marks[i].kind], 1);
        put_mark(out, &scene->marks[i]);
        sink_string(out, "\n");
    }
}

/* ---- reading ---- */

struct reader {
    const char *at, *end;
    bool good;
};

static double take(struct reader *r)
{
    r->good = r->good && *r->at == ' ' && r->at < r->end;
    if (!r->good)
        return 0;
    r->at++;
    return number_take(&r->at);
}

/* A whole number from 0 to most. */
static size_t take_count(struct reader *r, size_t most)
{
    double value = take(r);
    r->good = r->good && value >= 0 && value <= (double)most;
    return r->good ? (size_t)value : 0;
}

static char *take_text(struct reader *r)
{
    size_t size = take_count(r, (size_t)(r->end - r->at));
    r->good = r->good && *r->at == ':' && size < (size_t)(r->end - r->at);
    if (!r->good)
        return store_copy("", 0);
    char *text = store_copy(r->at + 1, size);
    r->at += 1 + size;
    return text;
}

static void take_path(struct reader *r, struct scene *scene)
{
    size_t role = take_count(r, ROLE_COUNT - 1);
    bool closed = take_count(r, 1);
    size_t count = take_count(r, (size_t)(r->end - r->at));
    scene_path(scene, (enum role)role, closed);
    for (size_t i = 0; r->good && i < count; i++) {
        bool start = take_count(r, 1) || !i;
        double x = take(r), y = take(r);
        if (start)
            scene_move(scene, x, y);
        else
            scene_to(scene, x, y);
    }
}

static void take_label(struct reader *r, struct scene *scene)
{
    struct type type = {.role = (enum role)take_count(r, ROLE_COUNT - 1)};
    double x = take(r), y = take(r);
    type.size = take(r);
    type.anchor = (enum anchor)take_count(r, ANCHOR_END);
    type.turned = take_count(r, 1);
    type.bold = take_count(r, 1);
    char *text = take_text(r);
    if (r->good)
        scene_text(scene, x, y, &type, text);
    store_free(text);
}

static void take_clip(struct reader *r, struct scene *scene)
{
    struct box box = {.x = take(r)};
    box.y = take(r);
    box.width = take(r);
    box.height = take(r);
    scene_clip(scene, box);
}

static void take_scene(struct reader *r, struct scenes *out)
{
    struct scene *scene = scenes_add(out);
    double width = take(r), height = take(r), line = take(r);
    scene_init(scene, width, height, line);
    scene->dots = take(r);
    scene->title = take_text(r);
    scene->about = take_text(r);
    r->good = r->good && width > 0 && height > 0;
}

static void take_line(struct reader *r, struct scenes *out)
{
    char kind = *r->at++;
    struct scene *scene = out->count ? &out->list[out->count - 1] : NULL;
    if (kind == 'S')
        take_scene(r, out);
    else if (kind == 'P' && scene)
        take_path(r, scene);
    else if (kind == 'T' && scene)
        take_label(r, scene);
    else if (kind == 'C' && scene)
        take_clip(r, scene);
    else if (kind == 'U' && scene)
        scene_unclip(scene);
    else
        r->good = false;
    r->good = r->good && r->at < r->end && *r->at == '\n';
    r->at++;
}

bool scenes_read(struct scenes *out, const char *text, size_t size)
{
    struct reader r = {text, text + size, true};
    *out = (struct scenes){0};
    while (r.good && r.at < r.end)
        take_line(&r, out);
    if (!r.good || !out->count)
        scenes_clear(out);
    return out->count;
}
