/* Memory runs out at each allocation of a reading in turn: the handler is called, and until then nothing goes wrong.
 *
 * valgrind: no, the child that runs out of memory ends where it stands. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/memory.h"
#include "base/text.h"
#include "unit/design/trial.h"

enum { NO_MEMORY = 7 };

static void end_child(size_t wanted)
{
    (void)wanted;
    _exit(NO_MEMORY);
}

/* In a child the n-th allocation fails: the handler is called, and until then nothing goes wrong. */
static int read_without_memory(const char *text, size_t size, size_t n)
{
    fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (!child) {
        struct nmk_design *design = NULL;
        nmk_memory_handler_set(end_child);
        nmk_memory_fail_at(n);
        _exit(nmk_design_read(&design, text, size, NULL) == NMK_OK ? 0 : 1);
    }
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void memory_ends_in_one_place_only(void **state)
{
    (void)state;
    struct nmk_text text = {0};
    nmk_text_add_string(&text, trial_small);
    nmk_text_add_string(&text, "let round = long * pi + sqrt(2) * 1234567890123456789 mm\npunches o 5 x 3 mm, 6 x 4 mm\n"
                               "opening hole from o through tray, label on tray\nfit round over hole.across clear at least 1 mm\n");
    size_t n = 1;
    for (int status; (status = read_without_memory(text.data, text.size, n)) != 0; n++)
        assert_int_equal(status, NO_MEMORY);
    print_message("%zu allocations\n", n - 1);
    assert_true(n > 100);
    nmk_text_clear(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(memory_ends_in_one_place_only)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
