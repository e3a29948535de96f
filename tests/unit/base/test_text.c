/* A growable string: what was added comes back, whatever its size. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

static void test_an_empty_text_is_an_empty_string(void **state)
{
    (void)state;
    struct nmk_text t = {0};
    assert_string_equal(nmk_text_get(&t), "");
    nmk_text_clear(&t);
    nmk_text_clear(&t);
}

static void test_what_was_added_comes_back(void **state)
{
    (void)state;
    struct nmk_text t = {0};
    char expected[3001] = "";
    for (size_t i = 0; i < 1000; i++) {
        nmk_text_add(&t, &"abc"[i % 3], 1);
        nmk_text_add_string(&t, "xy");
        memcpy(expected + 3 * i, (char[]){"abc"[i % 3], 'x', 'y', '\0'}, 4);
        assert_int_equal(t.size, 3 * (i + 1));
    }
    assert_string_equal(nmk_text_get(&t), expected);
    nmk_text_clear(&t);
    assert_int_equal(t.size, 0);
}

static void test_a_format_longer_than_the_room_is_whole(void **state)
{
    (void)state;
    struct nmk_text t = {0};
    nmk_text_add_format(&t, "%*d|", 500, 7);
    nmk_text_add_format(&t, "%s", "");
    assert_int_equal(t.size, 501);
    assert_int_equal(nmk_text_get(&t)[499], '7');
    assert_int_equal(nmk_text_get(&t)[500], '|');
    nmk_text_clear(&t);
}

static void test_bytes_after_a_nul_are_kept(void **state)
{
    (void)state;
    struct nmk_text t = {0};
    nmk_text_add(&t, "a\0b", 3);
    assert_int_equal(t.size, 3);
    assert_memory_equal(t.data, "a\0b", 4);
    nmk_text_clear(&t);
}

static void test_a_released_text_is_the_callers(void **state)
{
    (void)state;
    struct nmk_text t = {0};
    nmk_text_add_string(&t, "tea tin");
    char *tin = nmk_text_release(&t), *none = nmk_text_release(&t);
    assert_string_equal(tin, "tea tin");
    assert_string_equal(none, "");
    nmk_memory_free(tin);
    nmk_memory_free(none);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_an_empty_text_is_an_empty_string),
        cmocka_unit_test(test_what_was_added_comes_back),
        cmocka_unit_test(test_a_format_longer_than_the_room_is_whole),
        cmocka_unit_test(test_bytes_after_a_nul_are_kept),
        cmocka_unit_test(test_a_released_text_is_the_callers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
