/* A diagnostic as a person sees it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "nearmark/diagnostics.h"

static char message[] = "This is wrong", hint[] = "write it so";

static void is_printed(const struct nmk_diagnostic *d, const char *file, const char *want)
{
    char buffer[1200];
    size_t length = nmk_diagnostic_print(buffer, sizeof buffer, d, file);
    assert_string_equal(buffer, want);
    assert_int_equal(length, strlen(want));
}

static struct nmk_diagnostic at(char *source, uint32_t column, uint32_t length)
{
    return (struct nmk_diagnostic){.code = "code", .span = {3, column, length}, .message = message, .source = source};
}

static void place_line_caret_and_hint(void **state)
{
    (void)state;
    char source[] = "let a = lonk";
    struct nmk_diagnostic d = at(source, 9, 4);
    is_printed(&d, "my.design", "my.design:3:9: This is wrong\n  let a = lonk\n          ^^^^\n");
    d.hint = hint;
    is_printed(&d, NULL, "3:9: This is wrong\n  let a = lonk\n          ^^^^\n  write it so\n");
    d.is_note = true;
    is_printed(&d, "f", "f:3:9: note: This is wrong\n  let a = lonk\n          ^^^^\n  write it so\n");
    d.source = NULL;
    is_printed(&d, "f", "f:3:9: note: This is wrong\n  write it so\n");
}

static void of_the_whole_input(void **state)
{
    (void)state;
    struct nmk_diagnostic d = {.code = "code", .span = {0, 1, 1}, .message = message};
    is_printed(&d, "f", "f: This is wrong\n");
    is_printed(&d, NULL, "This is wrong\n");
}

static void the_caret_stands_under_the_span(void **state)
{
    (void)state;
    char tabs[] = "\tlet\ta";
    struct nmk_diagnostic d = at(tabs, 6, 1);
    is_printed(&d, NULL, "3:6: This is wrong\n          let     a\n                  ^\n");
    char combined[] = "e\xCC\x81 = \xE2\x80\x8Bx"; /* e and a combining acute; a zero-width space */
    d = at(combined, 7, 1);
    is_printed(&d, NULL, "3:7: This is wrong\n  e\xCC\x81 = \xE2\x80\x8Bx\n      ^\n");
    char wide[] = "\xE5\xAE\xBD = \xE5\xAE\xBD"; /* a letter as wide as two */
    d = at(wide, 5, 1);
    is_printed(&d, NULL, "3:5: This is wrong\n  \xE5\xAE\xBD = \xE5\xAE\xBD\n       ^^\n");
    char cyrillic[] = "\xD0\xBA\xD0\xB0\xD1\x80 = 1";
    d = at(cyrillic, 1, 3);
    is_printed(&d, NULL, "3:1: This is wrong\n  \xD0\xBA\xD0\xB0\xD1\x80 = 1\n  ^^^\n");
    char end[] = "let a =";
    d = at(end, 8, 1);
    is_printed(&d, NULL, "3:8: This is wrong\n  let a =\n         ^\n");
    d = at(end, 8000, 5000);
    is_printed(&d, NULL, "3:8000: This is wrong\n  let a =\n         ^\n");
    char zero[] = "a\xCC\x81";
    d = at(zero, 2, 1);
    is_printed(&d, NULL, "3:2: This is wrong\n  a\xCC\x81\n   ^\n");
}

static void add_100(char *want, const char *from)
{
    size_t used = strlen(want);
    memcpy(want + used, from, 100);
    want[used + 100] = '\0';
}

static void of_a_long_line_a_part_is_shown(void **state)
{
    (void)state;
    char source[401] = {0}, want[600] = "3:201: This is wrong\n  ...";
    memset(source, 'x', 400);
    memcpy(source + 200, "HERE", 4);
    struct nmk_diagnostic d = at(source, 201, 4);
    add_100(want, source + 160);
    strcat(want, "...\n     ");
    for (int i = 0; i < 40; i++)
        strcat(want, " ");
    strcat(want, "^^^^\n");
    is_printed(&d, NULL, want);
    d = at(source, 1, 400); /* the span itself is longer than what is shown */
    strcpy(want, "3:1: This is wrong\n  ");
    add_100(want, source);
    strcat(want, "...\n  ");
    for (int i = 0; i < 100; i++)
        strcat(want, "^");
    strcat(want, "\n");
    is_printed(&d, NULL, want);
}

static void what_fits_is_written(void **state)
{
    (void)state;
    char source[] = "let a = lonk", whole[200], buffer[200];
    struct nmk_diagnostic d = at(source, 9, 4);
    size_t length = nmk_diagnostic_print(whole, sizeof whole, &d, "f");
    assert_int_equal(nmk_diagnostic_print(NULL, 0, &d, "f"), length);
    for (size_t size = 1; size < length + 3; size++) {
        memset(buffer, '#', sizeof buffer);
        assert_int_equal(nmk_diagnostic_print(buffer, size, &d, "f"), length);
        size_t fits = size <= length ? size - 1 : length;
        assert_int_equal(strlen(buffer), fits);
        assert_memory_equal(buffer, whole, fits);
        assert_int_equal(buffer[size], '#');
    }
    assert_int_equal(nmk_diagnostic_print(NULL, 5, &d, "f"), 0);
    assert_int_equal(nmk_diagnostic_print(buffer, 5, NULL, "f"), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(place_line_caret_and_hint),      cmocka_unit_test(of_the_whole_input),
        cmocka_unit_test(the_caret_stands_under_the_span), cmocka_unit_test(of_a_long_line_a_part_is_shown),
        cmocka_unit_test(what_fits_is_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
