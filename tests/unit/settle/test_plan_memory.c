/* Memory runs out at one allocation after another while a design is planned and its plan is checked: nothing crashes, no
 * output is touched, and the settled design still serves.
 *
 * valgrind: no, the handler jumps out of calls, whose memory is then lost; the sanitizer is told so. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/memory.h"
#include "nearmark/plan.h"
#include "unit/fit/fitting.h"
#include "unit/running_out.h"

/* Something of every kind of step, on two stocks; `small` fits no sheet. */
static const char text[] =
    "stock card thickness 0.3 mm sheet A4 grain long\nstock print thickness 0.2 mm\npunches oval 20 x 10 mm\n"
    "piece box 2 of card grain down\n say \"first\"\n across w = 20 mm | a = 50 mm | w\n down w | b = 70 mm | w\n score from both edges\n"
    " say \"then\"\n corners snipped down\n say \"last\"\npiece band of print\n across d = 120 mm | tab = 12 mm glue\n down e = 30 mm\n"
    "mat top of print on box.a x box.b, smaller by 5 mm ends mitred\npiece ring of card from oval\n"
    "opening hole from oval through box, top on box.a x box.b\n"
    "edition e unit mm marks 1 mm reach 200 mm\nedition small unit in marks 1/16 in sheet 3 x 4 in\n";

/* static, so that they are the same after a jump */
static struct fitting *here, *small;
static struct nmk_plan *plan, *made;
static struct nmk_plan_options options;
static const char *why;
static bool right;

static void plan_it(void)
{
    assert_int_equal(nmk_plan_new(&plan, here->settled, &options, NULL), NMK_OK);
}

static void plan_it_small(void)
{
    assert_int_equal(nmk_plan_new(&plan, small->settled, &options, small->list), NMK_OK);
}

static void check_it(void)
{
    right = nmk_plan_check(made, &why);
}

/* The first three hundred allocations one by one, the later ones in steps that grow by a tenth. */
static size_t sweep(void (*operation)(void))
{
    size_t failures = 0;
    nmk_memory_handler_set(jump_back);
    for (size_t n = 1; !comes_through(operation, n); n += n < 300 ? 1 : n / 10) {
        assert_null(plan);
        failures++;
    }
    nmk_memory_handler_set(NULL);
    return failures;
}

static void test_plan(void **state)
{
    (void)state;
    assert_true(sweep(plan_it) > 100);
    assert_true(nmk_plan_check(plan, &why));
    nmk_plan_free(plan);
    plan = NULL;
    assert_int_equal(nmk_settled_state(here->settled), NMK_HOLDS);
}

static void test_plan_of_what_fits_no_sheet(void **state)
{
    (void)state;
    assert_true(sweep(plan_it_small) > 5);
    assert_true(nmk_plan_unfit_count(plan) > 0);
    assert_true(nmk_plan_check(plan, &why));
    nmk_plan_free(plan);
    plan = NULL;
}

/* The plan that is checked stays what it is. */
static void test_check(void **state)
{
    (void)state;
    assert_int_equal(nmk_plan_new(&made, here->settled, &options, NULL), NMK_OK);
    right = false;
    why = "untouched";
    nmk_memory_handler_set(jump_back);
    size_t n = 1;
    for (; !comes_through(check_it, n); n++) {
        assert_false(right);
        assert_string_equal(why, "untouched");
    }
    nmk_memory_handler_set(NULL);
    assert_true(n > 5);
    assert_true(right);
    assert_null(why);
    nmk_plan_free(made);
}

static int start(void **state)
{
    (void)state;
    here = fitting_of(text, "e");
    small = fitting_of(text, "small");
    nmk_plan_options_init(&options);
    options.makers = 2;
    options.effort = 20000;
    return nmk_settled_holds_together(here->settled) && nmk_settled_holds_together(small->settled) ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    fitting_free(here);
    fitting_free(small);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plan),
        cmocka_unit_test(test_plan_of_what_fits_no_sheet),
        cmocka_unit_test(test_check),
    };
    return cmocka_run_group_tests(tests, start, end);
}
