/* The limits of a design, and inputs that a careless reader would spend hours on.
 *
 * valgrind: no, they are large; the sanitizers watch. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "base/text.h"
#include "unit/design/trial.h"

static void takes_at_most_a_mebibyte(void **state)
{
    (void)state;
    size_t most = 1024 * 1024;
    char *text = nmk_memory_new(most + 1, 1);
    memset(text, '\n', most + 1);
    memcpy(text, trial_small, strlen(trial_small));
    assert_int_equal(trial_status(text, most), NMK_OK);
    struct nmk_diagnostics *list;
    struct nmk_design *design;
    nmk_diagnostics_new(&list, 20);
    assert_int_equal(trial_read(text, most + 1, &design, list), NMK_TOO_LARGE);
    assert_int_equal(nmk_diagnostics_count(list), 1);
    assert_string_equal(nmk_diagnostics_get(list, 0)->code, "file-too-large");
    nmk_diagnostics_free(list);
    nmk_memory_free(text);
}

/* A piece with `count` stretches across, and 1 down. */
static void add_stretches(struct nmk_text *text, size_t count)
{
    nmk_text_add_string(text, "stock c thickness 1 mm\npiece p of c\ndown a = 1 mm\nacross a");
    for (size_t i = 1; i < count; i++)
        nmk_text_add_string(text, i % 50 ? "|a" : "|\na");
}

static void takes_at_most_100000_panels(void **state)
{
    (void)state;
    struct nmk_text text = {0};
    add_stretches(&text, 99999);
    assert_int_equal(trial_status(text.data, text.size), NMK_OK);
    nmk_text_add_string(&text, "|a");
    struct nmk_diagnostics *list;
    struct nmk_design *design;
    nmk_diagnostics_new(&list, 20);
    assert_int_equal(trial_read(text.data, text.size, &design, list), NMK_TOO_LARGE);
    assert_int_equal(nmk_diagnostics_count(list), 1);
    assert_string_equal(nmk_diagnostics_get(list, 0)->code, "too-many-panels");
    nmk_diagnostics_free(list);
    nmk_text_clear(&text);
}

static enum nmk_status try_formula(const char *before, size_t times, const char *inner, const char *after)
{
    struct nmk_text text = {0};
    nmk_text_add_string(&text, trial_small);
    nmk_text_add_string(&text, "let a = ");
    for (size_t i = 0; i < times; i++)
        nmk_text_add_string(&text, before);
    nmk_text_add_string(&text, inner);
    for (size_t i = 0; i < times; i++)
        nmk_text_add_string(&text, after);
    enum nmk_status status = trial_status(text.data, text.size);
    nmk_text_clear(&text);
    return status;
}

static void formulas_have_limits(void **state)
{
    (void)state;
    assert_int_equal(try_formula("(", 200, "long", ")"), NMK_OK);
    assert_int_equal(try_formula("(", 201, "long", ")"), NMK_TOO_LARGE);
    assert_int_equal(try_formula("abs(", 200, "long", ")"), NMK_OK);
    assert_int_equal(try_formula("abs(", 201, "long", ")"), NMK_TOO_LARGE);
    assert_int_equal(try_formula("-", 200, "long", ""), NMK_OK);
    assert_int_equal(try_formula("-", 201, "long", ""), NMK_TOO_LARGE);
    assert_int_equal(try_formula("long + ", 999, "long", ""), NMK_OK);
    assert_int_equal(try_formula("long + ", 1000, "long", ""), NMK_TOO_LARGE);
    assert_int_equal(try_formula("1", 1000, " mm", ""), NMK_OK);
    assert_int_equal(try_formula("1", 1001, " mm", ""), NMK_TOO_LARGE);
}

/* Inputs that a careless reader spends hours on: each is read in a moment, whatever becomes of it. */
static void long_inputs_take_no_long_time(void **state)
{
    (void)state;
    static const char *const repeated[] = {"long + ",
                                           "(",
                                           "tray.wall,",
                                           "|",
                                           "1 ",
                                           "\"",
                                           "let a = b\n",
                                           "min(long,",
                                           "x-",
                                           "\xC3\xA9",
                                           "fit a over b clear 1 to 2 mm ",
                                           "piece p of card\nacross q\n",
                                           "5 mm or ",
                                           "#",
                                           "across a = 1 mm\n",
                                           "1,1,1,1 ",
                                           "let a = 1 mm | ",
                                           "a = long glue|",
                                           "edition metric unit mm marks 1 mm cut 1 mm or 1 in\n"};
    static const char *const before[] = {"", "let z = ", "piece box of card\nacross ", "punches o "};
    for (size_t i = 0; i < sizeof repeated / sizeof *repeated; i++)
        for (size_t k = 0; k < sizeof before / sizeof *before; k++) {
            struct nmk_text text = {0};
            nmk_text_add_string(&text, trial_small);
            nmk_text_add_string(&text, before[k]);
            while (text.size + strlen(repeated[i]) <= 1000 * 1000)
                nmk_text_add_string(&text, repeated[i]);
            trial_status(text.data, text.size);
            nmk_text_clear(&text);
        }
}

static void at_most_as_many_errors_as_are_asked_for(void **state)
{
    (void)state;
    struct nmk_text text = {0};
    struct nmk_diagnostics *list;
    struct nmk_design *design;
    for (size_t i = 0; i < 30; i++)
        nmk_text_add_format(&text, "let a%zu = b%zu\n", i, i);
    nmk_diagnostics_new(&list, 20);
    assert_int_equal(trial_read(text.data, text.size, &design, list), NMK_INVALID);
    assert_int_equal(nmk_diagnostics_count(list), 20);
    assert_int_equal(nmk_diagnostics_errors(list), 30);
    nmk_diagnostics_free(list);
    nmk_text_clear(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(takes_at_most_a_mebibyte),
        cmocka_unit_test(takes_at_most_100000_panels),
        cmocka_unit_test(formulas_have_limits),
        cmocka_unit_test(long_inputs_take_no_long_time),
        cmocka_unit_test(at_most_as_many_errors_as_are_asked_for),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
