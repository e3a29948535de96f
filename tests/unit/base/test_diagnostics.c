/* A list of diagnostics: it keeps what it was told, in order, never a character that drives a terminal, never too many. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/diagnose.h"

static const struct nmk_span here = {.line = 3, .column = 7, .length = 2};

static int make_list(void **state)
{
    struct nmk_diagnostics *list = NULL;
    assert_int_equal(nmk_diagnostics_new(&list, 3), NMK_OK);
    *state = list;
    return 0;
}

static int free_list(void **state)
{
    nmk_diagnostics_free(*state);
    return 0;
}

static void test_what_was_said_is_there(void **state)
{
    struct nmk_diagnostics *list = *state;
    nmk_diagnostics_add(list, false, "unknown-name", here, "over side | x", 9, "nothing is called side", "is it `sides`?");
    nmk_diagnostics_say(list, true, "thick", here, NULL, "%d layers of %s", 3, "card");
    assert_int_equal(nmk_diagnostics_count(list), 2);
    assert_int_equal(nmk_diagnostics_errors(list), 1);
    const struct nmk_diagnostic *d = nmk_diagnostics_get(list, 0);
    assert_false(d->is_note);
    assert_string_equal(d->code, "unknown-name");
    assert_int_equal(d->span.line, 3);
    assert_int_equal(d->span.column, 7);
    assert_int_equal(d->span.length, 2);
    assert_string_equal(d->message, "nothing is called side");
    assert_string_equal(d->hint, "is it `sides`?");
    assert_string_equal(d->source, "over side");
    d = nmk_diagnostics_get(list, 1);
    assert_true(d->is_note);
    assert_string_equal(d->message, "3 layers of card");
    assert_null(d->hint);
    assert_null(d->source);
    assert_null(nmk_diagnostics_get(list, 2));
}

static void test_errors_over_the_limit_are_counted_only(void **state)
{
    struct nmk_diagnostics *list = *state;
    for (int i = 0; i < 5; i++)
        nmk_diagnostics_say(list, false, "error", here, NULL, "error %d", i);
    nmk_diagnostics_say(list, true, "note", here, NULL, "a note is no error");
    assert_int_equal(nmk_diagnostics_errors(list), 5);
    assert_int_equal(nmk_diagnostics_count(list), 4);
    assert_string_equal(nmk_diagnostics_get(list, 2)->message, "error 2");
    assert_true(nmk_diagnostics_get(list, 3)->is_note);
}

static void test_no_limit_keeps_all(void **state)
{
    (void)state;
    struct nmk_diagnostics *list = NULL;
    assert_int_equal(nmk_diagnostics_new(&list, 0), NMK_OK);
    for (int i = 0; i < 100; i++)
        nmk_diagnostics_say(list, false, "error", here, NULL, "error %d", i);
    assert_int_equal(nmk_diagnostics_count(list), 100);
    assert_string_equal(nmk_diagnostics_get(list, 99)->message, "error 99");
    nmk_diagnostics_free(list);
}

static void test_nothing_in_it_drives_a_terminal(void **state)
{
    struct nmk_diagnostics *list = *state;
    static const char source[] = "a\tb\x1b[31m\x7f\xC2\x9b" "c\xC2\xA0\xC3\xA9\0z";
    nmk_diagnostics_add(list, false, "error", here, source, sizeof source - 1, "bell \a", "back \b");
    const struct nmk_diagnostic *d = nmk_diagnostics_get(list, 0);
    assert_string_equal(d->source, "a\tb\xEF\xBF\xBD[31m\xEF\xBF\xBD\xEF\xBF\xBD" "c\xC2\xA0\xC3\xA9\xEF\xBF\xBDz");
    assert_string_equal(d->message, "bell \xEF\xBF\xBD");
    assert_string_equal(d->hint, "back \xEF\xBF\xBD");
}

static void test_nothing_in_it_turns_text_round(void **state)
{
    struct nmk_diagnostics *list = *state;
    /* U+200D, 200E, 2027, 2028, 202E, 202F, 2065, 2066, 2069, 206A; a beginning of one at the end */
    static const char source[] = "\xE2\x80\x8D\xE2\x80\x8E\xE2\x80\xA7\xE2\x80\xA8\xE2\x80\xAE\xE2\x80\xAF"
                                 "\xE2\x81\xA5\xE2\x81\xA6\xE2\x81\xA9\xE2\x81\xAA\xE2\x80";
    nmk_diagnostics_add(list, false, "error", here, source, sizeof source - 1, "\xE2\x80\xAE", NULL);
    assert_string_equal(nmk_diagnostics_get(list, 0)->message, "\xEF\xBF\xBD");
    assert_string_equal(nmk_diagnostics_get(list, 0)->source,
                        "\xE2\x80\x8D\xEF\xBF\xBD\xE2\x80\xA7\xEF\xBF\xBD\xEF\xBF\xBD\xE2\x80\xAF"
                        "\xE2\x81\xA5\xEF\xBF\xBD\xEF\xBF\xBD\xE2\x81\xAA\xE2\x80");
}

static void test_a_missing_list_is_allowed(void **state)
{
    (void)state;
    assert_int_equal(nmk_diagnostics_new(NULL, 3), NMK_INVALID);
    nmk_diagnostics_say(NULL, false, "error", here, NULL, "to nobody");
    assert_int_equal(nmk_diagnostics_count(NULL), 0);
    assert_int_equal(nmk_diagnostics_errors(NULL), 0);
    assert_null(nmk_diagnostics_get(NULL, 0));
    nmk_diagnostics_free(NULL);
}

static void test_every_status_has_a_name_of_its_own(void **state)
{
    (void)state;
    for (int a = NMK_OK; a <= NMK_STOPPED; a++)
        for (int b = NMK_OK; b <= NMK_STOPPED; b++)
            assert_int_equal(a == b, !strcmp(nmk_status_name((enum nmk_status)a), nmk_status_name((enum nmk_status)b)));
    assert_string_equal(nmk_status_name(NMK_DIVISION_BY_ZERO), "division by zero");
    assert_non_null(nmk_status_name((enum nmk_status)99));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_what_was_said_is_there, make_list, free_list),
        cmocka_unit_test_setup_teardown(test_errors_over_the_limit_are_counted_only, make_list, free_list),
        cmocka_unit_test(test_no_limit_keeps_all),
        cmocka_unit_test_setup_teardown(test_nothing_in_it_drives_a_terminal, make_list, free_list),
        cmocka_unit_test_setup_teardown(test_nothing_in_it_turns_text_round, make_list, free_list),
        cmocka_unit_test(test_a_missing_list_is_allowed),
        cmocka_unit_test(test_every_status_has_a_name_of_its_own),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
