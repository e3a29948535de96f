/* No text lies on another or leaves the page, whatever is drawn.
 * valgrind: no, a page takes seconds there; test_scene and the sanitizers see to memory. */
#include <setjmp.h>
#include <stdarg.h>
#include <string.h>

#include <cmocka.h>

#include "unit/draw/sketch.h"

#define SLACK 0.01 /* mm */

/* The sanitizers and tiny limits make a page ten times as slow. */
#if defined __SANITIZE_ADDRESS__ || defined NMK_STRESS
enum { DESIGNS = 25 };
#else
enum { DESIGNS = 200 };
#endif

static bool is_inside(const struct scene *scene, const struct box *b)
{
    return b->x >= -SLACK && b->y >= -SLACK && b->x + b->width <= scene->width + SLACK &&
           b->y + b->height <= scene->height + SLACK;
}

static void fail_with(const struct sketch *sketch, unsigned long number, const char *page, const char *what,
                      const struct mark *a, const struct mark *b)
{
    print_error("case %lu, %s: \"%s\" %s %s\n%s\n", number, page, a->text, what, b ? b->text : "", sketch->text);
    biased_check(false, number, what, NULL, NULL);
}

/* Does the line from a to b pass through the box? By its sides: only level and upright lines are looked at. */
static bool passes(struct point a, struct point b, const struct box *box)
{
    double left = a.x < b.x ? a.x : b.x, right = a.x < b.x ? b.x : a.x, top = a.y < b.y ? a.y : b.y,
           low = a.y < b.y ? b.y : a.y;
    bool straight = right - left < 1e-6 || low - top < 1e-6;
    return straight && left < box->x + box->width && right > box->x && top < box->y + box->height && low > box->y;
}

/* No cut, score, dimension or extension line goes through a text. */
static void check_lines(const struct sketch *sketch, unsigned long number, const char *page, const struct scene *scene,
                        const struct mark *text)
{
    double in = 0.22 * text->size; /* from the box to where letters are */
    struct box box = {text->box.x + in / 4, text->box.y + in, text->box.width - in / 2, text->box.height - 2 * in};
    if (text->turned)
        box = (struct box){text->box.x + in, text->box.y + in / 4, text->box.width - 2 * in, text->box.height - in / 2};
    for (size_t i = 0; i < scene->count; i++) {
        const struct mark *mark = &scene->marks[i];
        if (mark->kind != MARK_PATH || (mark->role != ROLE_CUT && mark->role != ROLE_SCORE && mark->role != ROLE_LEADER))
            continue;
        for (size_t p = 1; p < mark->point_count; p++)
            if (!mark->starts[p] && passes(mark->points[p - 1], mark->points[p], &box))
                fail_with(sketch, number, page, scene_look[mark->role].name, text, NULL);
    }
}

static void check_scene(const struct sketch *sketch, unsigned long number, const char *page, const struct scene *scene)
{
    size_t texts = 0;
    for (size_t i = 0; i < scene->count; i++) {
        const struct mark *a = &scene->marks[i];
        if (a->kind != MARK_TEXT)
            continue;
        texts++;
        if (!is_inside(scene, &a->box))
            fail_with(sketch, number, page, "leaves the page", a, NULL);
        check_lines(sketch, number, page, scene, a);
        for (size_t k = i + 1; k < scene->count; k++)
            if (scene->marks[k].kind == MARK_TEXT && box_meets(&a->box, &scene->marks[k].box))
                fail_with(sketch, number, page, "lies on", a, &scene->marks[k]);
    }
    assert_true(texts > 2);
}

/* Nor does a line of the drawing leave the page. */
static void check_paths(const struct sketch *sketch, unsigned long number, const char *page, const struct scene *scene)
{
    for (size_t i = 0; i < scene->count; i++)
        for (size_t p = 0; p < scene->marks[i].point_count; p++) {
            struct box at = {scene->marks[i].points[p].x, scene->marks[i].points[p].y, 0, 0};
            if (!is_inside(scene, &at)) {
                print_error("case %lu, %s: a line leaves the page\n%s\n", number, page, sketch->text);
                biased_check(false, number, page, NULL, NULL);
            }
        }
}

static void check_scenes(const struct sketch *sketch, unsigned long number, const char *page, struct scenes *scenes)
{
    assert_true(scenes->count > 0);
    for (size_t i = 0; i < scenes->count; i++) {
        check_scene(sketch, number, page, &scenes->list[i]);
        check_paths(sketch, number, page, &scenes->list[i]);
    }
    scenes_clear(scenes);
}

static void test_texts_keep_apart(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long n = 0; n < biased_cases(DESIGNS); n++) {
        struct sketch sketch;
        struct scenes scenes = {0};
        sketch_random(&sketch);
        page_all(&scenes, &sketch.gallery, page_paper(NULL, sketch.settled));
        check_scenes(&sketch, n, "page", &scenes);
        page_picture(&scenes, &sketch.gallery);
        for (size_t i = 0; i < scenes.count; i++) {
            assert_int_equal((int)(scenes.list[i].width * scenes.list[i].dots + 0.5), 1920);
            assert_int_equal((int)(scenes.list[i].height * scenes.list[i].dots + 0.5), 1080);
        }
        check_scenes(&sketch, n, "picture", &scenes);
        for (size_t i = 0; i < sketch.gallery.count; i++) {
            page_piece(scenes_add(&scenes), &sketch.gallery, i);
            check_scenes(&sketch, n, "piece", &scenes);
        }
        sketch_clear(&sketch);
    }
}

/* Pages at true size: the first piece of a random design; shown parts are as large as the card is. */
static void test_true_size(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long n = 0; n < biased_cases(60); n++) {
        struct sketch sketch;
        struct scenes scenes = {0};
        sketch_random(&sketch);
        const struct shape *shape = &sketch.gallery.shapes[0];
        assert_true(page_actual(&scenes, &sketch.gallery, 0, (struct paper){210, 297}));
        for (size_t i = 0; i < scenes.count; i++) {
            double least_x = 1e9, most_x = -1e9, least_y = 1e9, most_y = -1e9;
            for (size_t k = 0; k < scenes.list[i].count; k++) {
                const struct mark *mark = &scenes.list[i].marks[k];
                bool outline = mark->role == ROLE_CUT && mark->point_count <= SHAPE_MOST_POINTS; /* not an opening */
                for (size_t p = 0; outline && p < mark->point_count; p++) {
                    least_x = mark->points[p].x < least_x ? mark->points[p].x : least_x;
                    most_x = mark->points[p].x > most_x ? mark->points[p].x : most_x;
                    least_y = mark->points[p].y < least_y ? mark->points[p].y : least_y;
                    most_y = mark->points[p].y > most_y ? mark->points[p].y : most_y;
                }
            }
            double across = most_x - least_x - shape->across, down = most_y - least_y - shape->down;
            biased_check(across < 1e-6 && across > -1e-6 && down < 1e-6 && down > -1e-6, n, "true size", NULL, NULL);
        }
        scenes_clear(&scenes);
        assert_false(page_actual(&scenes, &sketch.gallery, 0, (struct paper){90, 100}));
        assert_int_equal(scenes.count, 0);
        sketch_clear(&sketch);
    }
}

/* A piece with more lines than can be dimensioned is drawn all the same, and says so. */
static void test_very_many_panels(void **state)
{
    (void)state;
    struct sketch sketch;
    struct sink text = {0};
    struct scenes scenes = {0};
    sink_string(&text, "stock s thickness 0.3 mm\npiece p of s\n  across a = 3 mm");
    for (int i = 0; i < 400; i++)
        sink_string(&text, " | a");
    sink_string(&text, "\n  down b = 40 mm\nedition e unit mm marks 1 mm as designed\n");
    sketch_from(&sketch, text.data);
    page_all(&scenes, &sketch.gallery, page_paper(NULL, sketch.settled));
    assert_non_null(strstr(scenes.list[0].about, "400 scores across"));
    check_scenes(&sketch, 0, "page", &scenes);
    sketch_clear(&sketch);
    sink_drop(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_texts_keep_apart),
        cmocka_unit_test(test_true_size),
        cmocka_unit_test(test_very_many_panels),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
