/* Memory runs out at one allocation after another while a design is read, drawn up, settled, asked for its conflict, its
 * rule card, its chart and its next-best marks: nothing crashes, no output is touched, and what was borrowed still serves.
 *
 * valgrind: no, the handler jumps out of calls, whose memory is then lost; the sanitizer is told so. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/memory.h"
#include "nearmark/chart.h"
#include "nearmark/rules.h"
#include "unit/fit/fitting.h"
#include "unit/running_out.h"

static const char text[] =
    "measure m 40.4 mm +- 0.5 mm from 30 to 50 mm\nstock card thickness 0.3 mm +- 0.02 mm\nlet rim = 3 mm or 1/8 in\n"
    "punches tags 9 x 8 mm, 12 x 6 mm\n"
    "piece p 2 of card\n across a over m clear 1.6 mm (0 to 4 mm) | b = m / 2 | a\n down c = pi * rim | rim\n"
    "piece q of card\n across d over outside p.a clear 1 mm (0 to 3 mm)\n down g = 20 mm\n"
    "mat u of card on q, smaller by rim shows 1 to 3 mm\nopening h from tags through p on p\n"
    "keep h.across at most p.b\nkeep total p.a at least 60 mm\nkeep p.c at least pi * 3 mm\npiece w of card\n across s = 50 mm\n down t = 26 mm\nborder q on w, shows 1 to 6 mm even whole\n"
    "edition e unit mm marks 1 mm\nedition never unit mm marks 16 mm\n";

/* static, so that they are the same after a jump */
static struct fitting *here, *never; /* settled; `never` holds together in no way */
static struct nmk_design *design;
static struct nmk_draft *draft;
static struct nmk_settled *settled;
static struct nmk_rules *rules;
static struct nmk_conflict *conflict;
static struct nmk_chart *chart;
static struct nmk_chart_row row;

static void read_it(void)
{
    assert_int_equal(nmk_design_read(&design, text, sizeof text - 1, NULL), NMK_OK);
}

static void draw_it_up(void)
{
    assert_int_equal(nmk_draft_new(&draft, here->design, 0, NULL, NMK_MM, NULL), NMK_OK);
}

static void settle_it(void)
{
    assert_int_equal(nmk_settle(&settled, here->draft, &here->options, NULL), NMK_OK);
}

static void find_next(void)
{
    assert_int_equal(nmk_settle_next(&settled, here->settled, 0, NULL), NMK_OK);
}

static void find_conflict(void)
{
    assert_int_equal(nmk_conflict_new(&conflict, never->settled), NMK_OK);
}

static void make_rules(void)
{
    assert_int_equal(nmk_rules_new(&rules, here->draft, &here->options, NULL), NMK_OK);
}

static void chart_it(void)
{
    struct nmk_chart *mine;
    assert_int_equal(nmk_chart_new(&mine, here->design, 0, NULL, NMK_MM, &here->options), NMK_OK);
    chart = mine;
    assert_int_equal(nmk_chart_settle(&row, mine, NULL), NMK_OK);
}

static bool untouched(void)
{
    return !design && !draft && !settled && !rules && !conflict && !row.marks && !row.bad;
}

static void release(void)
{
    nmk_design_free(design);
    nmk_draft_free(draft);
    nmk_settled_free(settled);
    nmk_rules_free(rules);
    nmk_conflict_free(conflict);
    nmk_chart_free(chart);
    design = NULL;
    draft = NULL;
    settled = NULL;
    rules = NULL;
    conflict = NULL;
    chart = NULL;
    row = (struct nmk_chart_row){0};
}

/* The first two hundred allocations one by one, the later ones in steps that grow by a tenth. */
static void sweep(void (*operation)(void))
{
    size_t failures = 0;
    nmk_memory_handler_set(jump_back);
    for (size_t n = 1; !comes_through(operation, n); n += n < 200 ? 1 : n / 10) {
        assert_true(untouched());
        chart = NULL; /* half made, and lost */
        failures++;
    }
    nmk_memory_handler_set(NULL);
    assert_true(failures > 20);
    release();
    fitting_settle(here); /* what was borrowed still serves */
    assert_int_equal(nmk_settled_state(here->settled), NMK_HOLDS);
}

static void test_read(void **state)
{
    (void)state;
    sweep(read_it);
}

static void test_draft(void **state)
{
    (void)state;
    sweep(draw_it_up);
}

static void test_settle(void **state)
{
    (void)state;
    sweep(settle_it);
}

static void test_next(void **state)
{
    (void)state;
    sweep(find_next);
}

static void test_conflict(void **state)
{
    (void)state;
    sweep(find_conflict);
}

static void test_rules(void **state)
{
    (void)state;
    sweep(make_rules);
}

static void test_chart(void **state)
{
    (void)state;
    sweep(chart_it);
}

static int start(void **state)
{
    (void)state;
    here = fitting_of(text, "e");
    never = fitting_of(text, "never");
    return nmk_settled_holds_together(here->settled) && !nmk_settled_holds_together(never->settled) ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    fitting_free(here);
    fitting_free(never);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_read),  cmocka_unit_test(test_draft),    cmocka_unit_test(test_settle),
        cmocka_unit_test(test_next),  cmocka_unit_test(test_conflict), cmocka_unit_test(test_rules),
        cmocka_unit_test(test_chart),
    };
    return cmocka_run_group_tests(tests, start, end);
}
