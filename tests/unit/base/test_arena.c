/* The arena: zeroed, aligned, apart from one another, released at once. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"

static void parts_are_zeroed_aligned_and_apart(void **state)
{
    (void)state;
    enum { MANY = 2000 };
    static unsigned char *parts[MANY];
    static size_t sizes[MANY];
    struct nmk_arena arena = {0};
    for (size_t i = 0; i < MANY; i++) {
        sizes[i] = i % 97 == 0 ? 20000 + i : i % 61; /* now and then larger than a block; also nothing at all */
        parts[i] = nmk_arena_new(&arena, sizes[i], 1);
        assert_int_equal((uintptr_t)parts[i] % _Alignof(max_align_t), 0);
        for (size_t k = 0; k < sizes[i]; k++)
            assert_int_equal(parts[i][k], 0);
        memset(parts[i], (int)(i % 251) + 1, sizes[i]);
    }
    for (size_t i = 0; i < MANY; i++)
        for (size_t k = 0; k < sizes[i]; k++)
            assert_int_equal(parts[i][k], i % 251 + 1);
    nmk_arena_clear(&arena);
    nmk_arena_clear(&arena);
    assert_null(arena.last);
}

static void what_is_copied_is_the_same(void **state)
{
    (void)state;
    struct nmk_arena arena = {0};
    const uint32_t numbers[] = {7, 8, 9};
    uint32_t *copy = nmk_arena_copy(&arena, numbers, 3, sizeof *numbers);
    assert_memory_equal(copy, numbers, sizeof numbers);
    assert_ptr_not_equal(copy, numbers);
    assert_string_equal(nmk_arena_copy_text(&arena, "tray.wall", 4), "tray");
    assert_string_equal(nmk_arena_copy_text(&arena, NULL, 0), "");
    assert_non_null(nmk_arena_copy(&arena, NULL, 0, 8));
    nmk_arena_clear(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_are_zeroed_aligned_and_apart),
        cmocka_unit_test(what_is_copied_is_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
