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
#include "unit/running_out.h"
#include "nearmark/cutting.h"

static struct nmk_cutting_piece pieces[] = {
    {5, 3, 2, true}, {4, 4, 1, false}, {2, 7, 2, false}, {6, 2, 1, true}, {1, 8, 1, false}};
static struct nmk_cutting_kind kind = {10, 9};
static struct nmk_cutting_problem problem = {.piece_count = 5, .kind_count = 1, .pieces = pieces, .kinds = &kind,
                                             .effort = 60000};
static struct nmk_cutting_answer answer, kept;

static void solve(void)
{
    assert_int_equal(nmk_cutting_solve(&answer, &problem), NMK_OK);
}

static void test_each_allocation_may_fail(void **state)
{
    (void)state;
    memset(&answer, 0x5a, sizeof answer);
    kept = answer;
    size_t n = 1;
    for (; !comes_through(solve, n); n++)
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
