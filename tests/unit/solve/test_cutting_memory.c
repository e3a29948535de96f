/* Memory runs out at each allocation of a plan in turn: the handler is reached and the answer keeps what it held.
 *
 * valgrind: no, the handler jumps out of the middle of the work, whose memory is then lost; the sanitizer is told so. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/memory.h"
#include "nearmark/cutting.h"

#ifdef __SANITIZE_ADDRESS__
#include <sanitizer/lsan_interface.h>
#define LOSSES_BEGIN() __lsan_disable()
#define LOSSES_END() __lsan_enable()
#else
#define LOSSES_BEGIN() ((void)0)
#define LOSSES_END() ((void)0)
#endif

static jmp_buf back;

static void jump_back(size_t wanted)
{
    (void)wanted;
    longjmp(back, 1);
}

static struct nmk_cutting_piece pieces[] = {{5, 3, 2, true}, {4, 4, 1, false}, {2, 7, 2, false}, {6, 2, 1, true}, {1, 8, 1, false}};
static struct nmk_cutting_kind kind = {10, 9};
static struct nmk_cutting_problem problem = {.piece_count = 5, .kind_count = 1, .pieces = pieces, .kinds = &kind,
                                             .effort = 60000};
static struct nmk_cutting_answer answer, kept;

/* false: memory ran out at the n-th allocation. */
static bool comes_through(size_t n)
{
    volatile bool through = false;
    LOSSES_BEGIN();
    if (setjmp(back) == 0) {
        nmk_memory_fail_at(n);
        assert_int_equal(nmk_cutting_solve(&answer, &problem), NMK_OK);
        nmk_memory_fail_at(0);
        through = true;
    }
    LOSSES_END();
    return through;
}

static void test_each_allocation_may_fail(void **state)
{
    (void)state;
    memset(&answer, 0x5a, sizeof answer);
    kept = answer;
    size_t n = 1;
    for (; !comes_through(n); n++)
        assert_memory_equal(&answer, &kept, sizeof answer);
    assert_true(n > 50);
    assert_true(nmk_cutting_check(&problem, &answer, NULL));
    nmk_cutting_answer_clear(&answer);
}

static int set_handler(void **state)
{
    (void)state;
    nmk_memory_handler_set(jump_back);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_each_allocation_may_fail)};
    return cmocka_run_group_tests(tests, set_handler, NULL);
}
