/* Pieces with rows as they are drawn: what is left of the card, where lines run, which settings and names are told. */
#include <setjmp.h>
#include <stdarg.h>
#include <string.h>

#include <cmocka.h>

#include "draw/shape_rows.h"
#include "nearmark/runs.h"
#include "unit/draw/sketch.h"

#define SLACK 1e-6

#ifdef NMK_STRESS
enum { DESIGNS = 40 };
#else
enum { DESIGNS = 300 };
#endif

static bool is_near(double a, double b)
{
    return a - b < SLACK && b - a < SLACK;
}

/* Twice the area of a polygon; as it goes round clockwise on the page or not. */
static double twice_area(const struct point *points, size_t count)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        const struct point *a = &points[i], *b = &points[(i + 1) % count];
        sum += a->x * b->y - a->y * b->x;
    }
    return sum < 0 ? -sum : sum;
}

static double step_of(const struct sketch *s)
{
    return size_number(nmk_draft_step(s->draft));
}

/* The outline holds what is not cut away. */
static bool is_outline_right(const struct sketch *s, const struct shape *shape)
{
    struct nmk_away away[64];
    size_t count = nmk_settled_away(away, 64, s->settled, NMK_SETTLED, shape->piece);
    double left = 2 * shape->across * shape->down, step = step_of(s);
    assert_true(count <= 64);
    for (size_t i = 0; i < count; i++) {
        int64_t a = away[i].to[NMK_ACROSS] - away[i].from[NMK_ACROSS], d = away[i].to[NMK_DOWN] - away[i].from[NMK_DOWN];
        left -= 2 * (double)a * (double)d * step * step;
    }
    double area = twice_area(shape->outline, shape->outline_count) - left;
    return area < 1e-3 && area > -1e-3;
}

static const struct shape_run *first_run(const struct shape_list *list, size_t line)
{
    for (size_t i = 0; i < list->run_count; i++)
        if (list->runs[i].line == line)
            return &list->runs[i];
    return NULL;
}

/* Each setting of a line that is there is told once; its extension line begins where the first line of its place does. */
static bool are_settings_right(const struct shape_list *list)
{
    size_t told = 0;
    for (size_t i = 1; i + 1 < list->line_count; i++) {
        size_t alike = 0;
        double start = 1e9;
        bool there = first_run(list, i) && list->lines[i] > 0 && list->lines[i] < shape_whole(list);
        for (size_t k = 1; k + 1 < list->line_count; k++) {
            const struct shape_run *run = first_run(list, k);
            if (!run || !is_near(list->lines[k], list->lines[i]))
                continue;
            alike += list->from_last[k] == list->from_last[i] && !list->is_told[k];
            start = run->from < start ? run->from : start;
        }
        if (there && (alike != 1 || !is_near(list->starts[i], start)))
            return false;
        told += !list->is_told[i];
    }
    return list->settings == told + 1;
}

/* How much of a role a scene has, times the scale; texts and holes apart. */
static double length_of(const struct scene *scene, enum role role)
{
    double sum = 0;
    for (size_t i = 0; i < scene->count; i++)
        for (size_t p = 1; scene->marks[i].kind == MARK_PATH && scene->marks[i].role == role && p < scene->marks[i].point_count;
             p++) {
            const struct point *a = &scene->marks[i].points[p - 1], *b = a + 1;
            double along = a->x - b->x + a->y - b->y;
            sum += scene->marks[i].starts[p] ? 0 : along < 0 ? -along : along;
        }
    return sum;
}

static bool says(const struct scene *scene, const char *name)
{
    for (size_t i = 0; i < scene->count; i++)
        if (scene->marks[i].kind == MARK_TEXT && strstr(scene->marks[i].text, name))
            return true;
    return false;
}

/* All runs are drawn at their length, in the role that they have. */
static bool is_drawn_right(const struct shape *shape)
{
    struct scene scene;
    struct diagram_style style = {3, 0, 15, 0.75, true, true, true, true};
    double want[2] = {0, 0};
    diagram_build(&scene, shape, 1, &style);
    for (int way = 0; way < 2; way++)
        for (size_t i = 0; i < shape->lists[way].run_count; i++)
            want[shape->lists[way].runs[i].is_cut] += shape->lists[way].runs[i].to - shape->lists[way].runs[i].from;
    bool right = is_near(length_of(&scene, ROLE_SCORE), want[0]) && is_near(length_of(&scene, ROLE_CUT), want[1]);
    scene_clear(&scene);
    return right;
}

static void test_random_rows(void **state)
{
    (void)state;
    size_t seen = 0;
    biased_start();
    for (unsigned long n = 0; n < biased_cases(DESIGNS); n++) {
        struct sketch sketch;
        sketch_random(&sketch);
        for (size_t i = 0; i < sketch.gallery.count; i++) {
            const struct shape *shape = &sketch.gallery.shapes[i];
            if (!shape->has_rows)
                continue;
            bool right = is_outline_right(&sketch, shape) && are_settings_right(&shape->lists[NMK_ACROSS]) &&
                         are_settings_right(&shape->lists[NMK_DOWN]) && is_drawn_right(shape);
            if (!right)
                print_error("%s\n", sketch.text);
            biased_check(right, n, "a piece with rows", NULL, NULL);
            seen++;
        }
        sketch_clear(&sketch);
    }
    if (biased_cases(DESIGNS) >= DESIGNS)
        assert_true(seen > DESIGNS / 5);
}

static const char envelope[] = "stock s thickness 0.1 mm\npiece e of s\n  down flap = 40 mm | front = 100 mm | back = 90 mm\n"
                               "  across tab = 15 mm glue | body = 150 mm | tab glue beside front\n  across rest | body | rest beside flap, back\n"
                               "punches oval 20 x 10 mm\nopening hole from oval through e on e.body x e.back\nedition e unit mm marks 1 mm\n";

/* What can be read off the plan of an envelope. */
static void test_envelope(void **state)
{
    (void)state;
    struct sketch s;
    struct scene scene;
    struct diagram_style style = {3, 0, 15, 0.75, true, true, true, true};
    sketch_from(&s, envelope);
    const struct shape *shape = &s.gallery.shapes[0];
    assert_true(shape->has_rows && shape->has_knife && shape_has_scores(shape));
    assert_string_equal(shape->notes[0], SHAPE_KNIFE_NOTE);
    assert_string_equal(shape->notes[1],
                        "Cut away the 15 mm at the left edge and the 15 mm at the right edge, beside flap and back");
    assert_int_equal(shape->lists[NMK_ACROSS].settings, 3); /* 15 and 165 in both rows, and the whole */
    assert_true(is_near(shape->lists[NMK_ACROSS].starts[0], 40)); /* the tabs begin beside the front */
    assert_true(is_near(shape->lists[NMK_DOWN].starts[0], 15));
    assert_true(is_near(shape->openings[0].x, 90) && is_near(shape->openings[0].y, 185));
    assert_false(shape_is_cell(shape, 0, 0)); /* no tab beside the flap */
    assert_true(shape_is_cell(shape, 0, 1));
    assert_true(is_near(shape_far(shape, NMK_ACROSS, 0), 140) && is_near(shape_far(shape, NMK_DOWN, 0), 165));
    diagram_build(&scene, shape, 1, &style);
    static const char *const names[] = {"tab", "body", "front", "flap", "back"};
    for (size_t i = 0; i < 5; i++)
        assert_true(says(&scene, names[i]));
    double least = 1e9, most = -1e9, corner = 1e9; /* the hatch lies in the tabs alone, beside the front */
    for (size_t i = 0; i < scene.count; i++)
        for (size_t p = 0; p < scene.marks[i].point_count; p++) {
            double y = scene.marks[i].points[p].y;
            if (scene.marks[i].role == ROLE_CARD)
                corner = y < corner ? y : corner;
            if (scene.marks[i].role == ROLE_HATCH) {
                least = y < least ? y : least;
                most = y > most ? y : most;
            }
        }
    assert_true(least >= corner + 40 - SLACK && most <= corner + 140 + SLACK && most > least);
    scene_clear(&scene);
    sketch_clear(&s);
}

/* A level and an upright line, left out where a text stands. */
static void test_lines_between_texts(void **state)
{
    (void)state;
    struct scene scene;
    struct type type = {10, false, ROLE_INK, ANCHOR_MIDDLE, false};
    scene_init(&scene, 100, 100, 1);
    scene_text(&scene, 50, 50, &type, "o");
    struct box text = scene.marks[0].box, hole = {10, 40, 10, 20};
    scene_line_between_texts(&scene, ROLE_LEADER, 0, 48, 100, 48, &hole, 1);
    assert_int_equal(scene.count, 4);
    assert_true(is_near(length_of(&scene, ROLE_LEADER), 100 - 10 - text.width));
    scene_line_between_texts(&scene, ROLE_LEADER, 50, 100, 50, 0, NULL, 0);
    assert_int_equal(scene.count, 6);
    assert_true(is_near(length_of(&scene, ROLE_LEADER), 200 - 10 - text.width - text.height));
    scene_line_between_texts(&scene, ROLE_LEADER, 0, 5, 100, 5, &hole, 1);
    assert_int_equal(scene.count, 7);
    scene_clear(&scene);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_envelope), cmocka_unit_test(test_lines_between_texts),
                                       cmocka_unit_test(test_random_rows)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
