/* PDF and PNG, by the drawing libraries.
 *
 * valgrind: no, the font libraries keep what they have read; the sanitizers watch. */
#include <setjmp.h>
#include <stdarg.h>
#include <string.h>

#include <cmocka.h>

#include "draw/backend/paint.h"
#include "unit/draw/sketch.h"

static const char small[] =
    "design \"<&>\"\nstock s thickness 0.3 mm\npiece p \"<i>\" of s\n  across a = 40 mm | b = 20 mm glue\n"
    "  down c = 50 mm\nedition e unit in marks 1/16 in as designed\n";

static void test_painting(void **state)
{
    (void)state;
    struct sketch sketch;
    struct scenes pages = {0};
    struct sink pdf = {0}, png = {0};
    sketch_from(&sketch, small);
    page_piece(scenes_add(&pages), &sketch.gallery, 0);
    assert_true(paint_pdf(&pdf, &pages));
    assert_memory_equal(pdf.data, "%PDF-", 5);
    pages.list[0].dots = 2;
    assert_true(paint_png(&png, &pages.list[0]));
    assert_memory_equal(png.data, "\x89PNG", 4);
    pages.list[0].dots = 1e5; /* no picture is that large */
    png.size = 0;
    assert_false(paint_png(&png, &pages.list[0]));
    scenes_clear(&pages);
    sink_drop(&pdf);
    sink_drop(&png);
    sketch_clear(&sketch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_painting)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
