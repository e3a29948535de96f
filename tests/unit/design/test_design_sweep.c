/* Designs with a byte or a line lost, changed or cut off: never any harm, always a design or an error.
 *
 * valgrind: no, a hundred thousand designs are read; the sanitizers watch. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "unit/design/trial.h"

static void every_beginning_is_read_or_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < REFERENCES; i++) {
        size_t size, read = 0;
        char *text = trial_file(trial_references[i], &size);
        for (size_t n = 0; n <= size; n++)
            read += trial_status(text, n) == NMK_OK;
        assert_true(read > 10 && read < size);
        assert_int_equal(trial_status(text, size), NMK_OK);
        nmk_memory_free(text);
    }
}

static void every_lost_byte_is_read_or_refused(void **state)
{
    (void)state;
    size_t size;
    char *text = trial_file(trial_references[0], &size), *less = nmk_memory_new(size, 1);
    for (size_t n = 0; n < size; n++) {
        memcpy(less, text, n);
        memcpy(less + n, text + n + 1, size - n - 1);
        trial_status(less, size - 1);
    }
    nmk_memory_free(less);
    nmk_memory_free(text);
}

static void every_changed_byte_is_read_or_refused(void **state)
{
    (void)state;
    static const char others[] = "x0-| (\"#.,\n/=\xC3";
    size_t size;
    char *text = trial_file(trial_references[0], &size);
    for (size_t n = 0; n < size; n++) {
        char kept = text[n];
        for (const char *other = others; *other; other++) {
            text[n] = *other;
            trial_status(text, size);
        }
        text[n] = kept;
    }
    assert_int_equal(trial_status(text, size), NMK_OK);
    nmk_memory_free(text);
}

/* Every line of a design left out in turn: what used it is complained of, or nothing is. */
static void every_lost_line_is_read_or_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < REFERENCES; i++) {
        size_t size;
        char *text = trial_file(trial_references[i], &size), *less = nmk_memory_new(size, 1);
        for (size_t n = 0; n < size;) {
            const char *end = memchr(text + n, '\n', size - n);
            size_t next = end ? (size_t)(end - text) + 1 : size;
            memcpy(less, text, n);
            memcpy(less + n, text + next, size - next);
            trial_status(less, size - (next - n));
            n = next;
        }
        nmk_memory_free(less);
        nmk_memory_free(text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_beginning_is_read_or_refused),
        cmocka_unit_test(every_lost_byte_is_read_or_refused),
        cmocka_unit_test(every_changed_byte_is_read_or_refused),
        cmocka_unit_test(every_lost_line_is_read_or_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
