/* The memory funnel: what it gives is usable, GMP's memory passes through it, and a failure reaches the handler. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gmp.h>
#include <string.h>

#include "base/memory.h"

static jmp_buf without_memory;
static size_t last_wanted;

static void handler(size_t wanted)
{
    last_wanted = wanted;
    longjmp(without_memory, 1);
}

static int set_handler(void **state)
{
    (void)state;
    nmk_memory_handler_set(handler);
    return 0;
}

static void test_new_memory_is_zero(void **state)
{
    (void)state;
    unsigned char *p = nmk_memory_new(100, 7);
    for (size_t i = 0; i < 700; i++)
        assert_int_equal(p[i], 0);
    nmk_memory_free(p);
}

static void test_nothing_asked_for_is_still_a_pointer(void **state)
{
    (void)state;
    void *a = nmk_memory_new(0, 8), *b = nmk_memory_new(8, 0), *c = nmk_memory_resize(NULL, 0, 0);
    assert_non_null(a);
    assert_non_null(b);
    assert_non_null(c);
    nmk_memory_free(a);
    nmk_memory_free(b);
    nmk_memory_free(c);
    nmk_memory_free(NULL);
}

static void test_a_copy_ends_with_a_nul(void **state)
{
    (void)state;
    char *copy = nmk_memory_copy_text("sleeve and lid", 6), *none = nmk_memory_copy_text(NULL, 0);
    assert_string_equal(copy, "sleeve");
    assert_string_equal(none, "");
    nmk_memory_free(copy);
    nmk_memory_free(none);
}

static void test_reserving_keeps_what_is_there_and_zeroes_the_rest(void **state)
{
    (void)state;
    void *array = NULL;
    size_t space = 0, filled = 0;
    for (size_t wanted = 1; wanted < 3000; wanted += 1 + wanted % 5 * wanted) {
        nmk_memory_reserve(&array, &space, wanted, sizeof(int));
        assert_true(space >= wanted);
        int *numbers = array;
        for (size_t i = 0; i < space; i++)
            assert_int_equal(numbers[i], i < filled ? (int)i + 1 : 0);
        for (; filled < space; filled++)
            numbers[filled] = (int)filled + 1;
    }
    void *before = array;
    nmk_memory_reserve(&array, &space, space, sizeof(int));
    assert_ptr_equal(array, before);
    nmk_memory_free(array);
}

static void test_a_size_that_overflows_reaches_the_handler(void **state)
{
    (void)state;
    if (!setjmp(without_memory)) {
        nmk_memory_new(SIZE_MAX / 2, 3);
        fail_msg("came back");
    }
    assert_true(last_wanted == SIZE_MAX);
}

/* Takes memory five times, of sizes 10, 11, ...; how often it was given. */
static size_t takes_before_failure(void)
{
    void *volatile got[5] = {0};
    volatile size_t count = 0;
    if (!setjmp(without_memory))
        for (; count < 5; count++)
            got[count] = nmk_memory_new(1, 10 + count);
    for (size_t i = 0; i < 5; i++)
        nmk_memory_free(got[i]);
    return count;
}

static void test_the_failure_asked_for_comes_when_it_was_asked_for(void **state)
{
    (void)state;
    for (size_t n = 1; n <= 5; n++) {
        nmk_memory_fail_at(n);
        assert_int_equal(takes_before_failure(), n - 1);
        assert_int_equal(last_wanted, 10 + n - 1);
    }
    nmk_memory_fail_at(0);
    assert_int_equal(takes_before_failure(), 5);
}

static void test_gmp_asks_the_funnel(void **state)
{
    (void)state;
    volatile int failed = 0;
    mpz_t z;
    mpz_init_set_ui(z, 1);
    nmk_memory_fail_at(1);
    if (setjmp(without_memory))
        failed = 1;
    else
        mpz_mul_2exp(z, z, 100000);
    assert_true(failed);
    nmk_memory_fail_at(0);
    mpz_clear(z);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_new_memory_is_zero),
        cmocka_unit_test(test_nothing_asked_for_is_still_a_pointer),
        cmocka_unit_test(test_a_copy_ends_with_a_nul),
        cmocka_unit_test(test_reserving_keeps_what_is_there_and_zeroes_the_rest),
        cmocka_unit_test(test_a_size_that_overflows_reaches_the_handler),
        cmocka_unit_test(test_the_failure_asked_for_comes_when_it_was_asked_for),
        cmocka_unit_test(test_gmp_asks_the_funnel),
    };
    return cmocka_run_group_tests(tests, set_handler, NULL);
}
