/* Scenes, lettering, and the ways in which a scene is written. */
#include <setjmp.h>
#include <stdarg.h>
#include <string.h>

#include <cmocka.h>

#include "draw/lettering.h"
#include "draw/number_text.h"
#include "draw/svg.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "unit/draw/sketch.h"

static void test_hatching_stays_inside(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long n = 0; n < biased_cases(300); n++) {
        struct scene scene;
        double w = 2 + (double)biased_below(400) / 7, h = 2 + (double)biased_below(400) / 7;
        struct point corners[] = {{0, 0}, {w, 0}, {w * 0.8, h}, {w * 0.2, h}};
        struct box inside = {w / 4, 0, w / 2, h}, holes[] = {{w / 3, h / 3, w / 5, h / 4}, {w / 2, h / 2, w / 6, h / 6}};
        scene_init(&scene, w, h, 1);
        scene_hatch(&scene, corners, 4, inside, 1.5, holes, 2);
        biased_check(scene.count == 1 && scene.marks[0].point_count >= 2, n, "hatched", NULL, NULL);
        const struct mark *mark = &scene.marks[0];
        for (size_t i = 1; i < mark->point_count; i += 2) {
            struct point a = mark->points[i - 1], b = mark->points[i], middle = {(a.x + b.x) / 2, (a.y + b.y) / 2};
            struct box at = {middle.x - 1e-4, middle.y - 1e-4, 2e-4, 2e-4};
            double slope = (b.x - a.x) + (b.y - a.y);
            biased_check(mark->starts[i - 1] && !mark->starts[i] && slope < 1e-9 && slope > -1e-9, n, "45 degrees", NULL, NULL);
            biased_check(middle.x > w / 4 - 1e-9 && middle.x < w * 0.75 + 1e-9 && middle.y > 0 && middle.y < h, n, "inside",
                         NULL, NULL);
            biased_check(!box_meets(&at, &holes[0]) && !box_meets(&at, &holes[1]), n, "not in holes", NULL, NULL);
        }
        scene_clear(&scene);
    }
}

static void check_number(double value, const char *text)
{
    struct sink s = {0};
    number_add(&s, value);
    assert_string_equal(s.data, text);
    const char *at = s.data;
    double back = number_take(&at);
    assert_int_equal(*at, 0);
    assert_true(back - value < 0.00005001 && value - back < 0.00005001);
    sink_drop(&s);
}

static void test_numbers(void **state)
{
    (void)state;
    check_number(0, "0");
    check_number(-0.00001, "0");
    check_number(1.5875, "1.5875");
    check_number(-25.4, "-25.4");
    check_number(100, "100");
    check_number(0.05, "0.05");
    check_number(2.00001, "2");
    check_number(0.99999, "1");
}

static void test_fractions_are_set_as_such(void **state)
{
    (void)state;
    static const struct {
        enum run_kind kind;
        const char *text;
    } expected[] = {{RUN_PLAIN, "4\xE2\x80\x89"}, {RUN_NUMERATOR, "13"}, {RUN_SLASH, "\xE2\x81\x84"}, {RUN_DENOMINATOR, "16"},
                    {RUN_PLAIN, " in"}};
    struct run run = {.kind = RUN_PLAIN};
    size_t count = 0;
    for (const char *at = "4\xE2\x80\x89" "13\xE2\x81\x84" "16 in"; lettering_run(at, &run); at += run.size, count++) {
        assert_true(count < 5);
        assert_int_equal(run.kind, expected[count].kind);
        assert_int_equal(run.size, strlen(expected[count].text));
        assert_memory_equal(run.text, expected[count].text, run.size);
    }
    assert_int_equal(count, 5);
    for (const char *at = "a 12/16 \xE2\x81\x84"; lettering_run(at, &run); at += run.size)
        assert_int_equal(run.kind, RUN_PLAIN);
}

static void test_eliding(void **state)
{
    (void)state;
    static const char *const texts[] = {"Recipe cards for guests", "\xE8\x8C\xB6\xE5\x8F\xB6\xE7\xBD\x90\xE7\x9A\x84",
                                        "e\xCC\x81" "e\xCC\x81" "e\xCC\x81" "e\xCC\x81", "\xF0\x9F\x91\xA9\xE2\x80\x8D\xF0\x9F\x91\xA7 girl", ""};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        for (double width = 1; width < 80; width += 0.7) {
            char *shown = lettering_elide(texts[i], width, 4, true);
            bool whole = !strcmp(shown, texts[i]);
            assert_true(whole || strstr(shown, "\xE2\x80\xA6"));
            assert_true(lettering_width(shown, 4, true) <= width + 1e-6 || !strcmp(shown, "\xE2\x80\xA6"));
            if (i == 2 && !whole) /* an accent is not torn from its letter */
                assert_int_equal((strlen(shown) - 3) % 3, 0);
            if (i == 3 && !whole && strlen(shown) > 3) /* nor one of a joined picture */
                assert_memory_equal(shown, texts[3], 11);
            store_free(shown);
        }
}

static void test_wrapping_loses_nothing(void **state)
{
    (void)state;
    struct lines lines;
    lettering_wrap(&lines, "base_short \xC3\x97 base_long", 26, 3, false, 3);
    assert_int_equal(lines.count, 2);
    assert_string_equal(lines.line[0], "base_short \xC3\x97");
    assert_string_equal(lines.line[1], "base_long");
    assert_false(lines.torn);
    lettering_lines_clear(&lines);
    lettering_wrap(&lines, "unbreakable", 8, 3, false, 3);
    assert_true(lines.torn);
    lettering_lines_clear(&lines);
}

/* What nearmark-draw reads is what was written. */
static void test_the_stream(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long n = 0; n < biased_cases(20); n++) {
        struct sketch sketch;
        struct scenes pages = {0}, again;
        struct sink first = {0}, second = {0};
        sketch_random(&sketch);
        page_all(&pages, &sketch.gallery, page_paper(NULL, sketch.settled));
        page_actual(&pages, &sketch.gallery, 0, page_paper(NULL, sketch.settled));
        for (size_t i = 0; i < pages.count; i++)
            scene_write(&first, &pages.list[i]);
        biased_check(scenes_read(&again, first.data, first.size) && again.count == pages.count, n, "read", NULL, NULL);
        for (size_t i = 0; i < again.count; i++)
            scene_write(&second, &again.list[i]);
        biased_check(first.size == second.size && !memcmp(first.data, second.data, first.size), n, "the same again", NULL,
                     NULL);
        scenes_clear(&again);
        first.data[biased_below(first.size)] = (char)biased_below(256); /* whatever comes: no crash, and nothing is kept */
        if (!scenes_read(&again, first.data, first.size))
            biased_check(!again.count && !again.list, n, "empty", NULL, NULL);
        scenes_clear(&again);
        biased_check(!scenes_read(&again, second.data, second.size - 1 - biased_below(9)), n, "cut short", NULL, NULL);
        scenes_clear(&pages);
        sink_drop(&first);
        sink_drop(&second);
        sketch_clear(&sketch);
    }
}

static const char small[] =
    "design \"<&>\"\nstock s thickness 0.3 mm\npiece p \"<i>\" of s\n  across a = 40 mm | b = 20 mm glue\n"
    "  down c = 50 mm\nedition e unit in marks 1/16 in as designed\n";

/* An element to put into a page: its ids have the prefix, nothing reaches outside of it. */
static void test_embedding(void **state)
{
    (void)state;
    struct sketch sketch;
    struct sink out = {0};
    sketch_from(&sketch, small);
    page_embed(&out, &sketch.gallery, 0, "e-p");
    assert_int_equal(strncmp(out.data, "<svg ", 5), 0);
    assert_null(strstr(out.data, "<style"));
    assert_null(strstr(out.data, "<i>"));
    assert_non_null(strstr(out.data, "&lt;i&gt;"));
    assert_non_null(strstr(out.data, "currentColor"));
    for (const char *at = out.data; (at = strstr(at, " id=\"")); at++)
        assert_int_equal(strncmp(at + 5, "e-p-", 4), 0);
    for (const char *at = svg_dark_style(); (at = strchr(at, '{')); at++)
        assert_non_null(strchr(at, '}'));
    sink_drop(&out);
    sketch_clear(&sketch);
}

static int prepare(void **state)
{
    (void)state;
    letters_prepare();
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_hatching_stays_inside), cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_fractions_are_set_as_such), cmocka_unit_test(test_eliding),
        cmocka_unit_test(test_wrapping_loses_nothing), cmocka_unit_test(test_the_stream),
        cmocka_unit_test(test_embedding),
    };
    return cmocka_run_group_tests(tests, prepare, NULL);
}
