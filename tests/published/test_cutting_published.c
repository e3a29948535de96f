/* The proven values of tests/data/packing: the classes of Berkey and Wang (1-6) and of Martello and Vigo (7-10) with 20
 * pieces, and the one-sheet instances of Clautiaux, Jouglet, Carlier and Moukrim, for guillotine cuts as published with
 * the data of H. Becker's thesis.
 *
 * valgrind: no, it would take minutes; the sanitizers run it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>

#include "unit/solve/instances.h"

enum { MOST_ROWS = 300 };

static struct proven rows[MOST_ROWS];
static size_t row_count;

static struct nmk_cutting_answer solve(const struct proven *row)
{
    static struct instance instance;
    struct nmk_cutting_answer answer;
    const char *why = NULL;
    if (!instance_read(&instance, row->onesheet ? "onesheet" : "class20", row->name, row->turning))
        fail_msg("%s cannot be read", row->name);
    struct nmk_cutting_problem problem = instance_problem(&instance);
    problem.any_settings = problem.any_offcut = true;
    assert_int_equal(nmk_cutting_solve(&answer, &problem), NMK_OK);
    if (!nmk_cutting_check(&problem, &answer, &why))
        fail_msg("%s: %s", row->name, why);
    return answer;
}

static void test_the_table_is_there(void **state)
{
    (void)state;
    assert_int_equal(row_count, 99);
}

static void test_fewest_sheets(void **state)
{
    (void)state;
    for (size_t i = 0; i < row_count; i++) {
        if (rows[i].onesheet)
            continue;
        struct nmk_cutting_answer answer = solve(&rows[i]);
        if (answer.sheets != rows[i].value || answer.bound != rows[i].value)
            fail_msg("%s, turning %d: %d sheets, at least %d; proved: %d", rows[i].name, rows[i].turning,
                     (int)answer.sheets, (int)answer.bound, (int)rows[i].value);
        nmk_cutting_answer_clear(&answer);
    }
}

static void test_fits_one_sheet(void **state)
{
    (void)state;
    for (size_t i = 0; i < row_count; i++) {
        if (!rows[i].onesheet)
            continue;
        struct nmk_cutting_answer answer = solve(&rows[i]);
        if (rows[i].value ? answer.sheets != 1 : answer.bound < 2)
            fail_msg("%s, turning %d: %d sheets, at least %d; one is %s", rows[i].name, rows[i].turning,
                     (int)answer.sheets, (int)answer.bound, rows[i].value ? "enough" : "not enough");
        nmk_cutting_answer_clear(&answer);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_table_is_there),
        cmocka_unit_test(test_fewest_sheets),
        cmocka_unit_test(test_fits_one_sheet),
    };
    row_count = proven_read(rows, MOST_ROWS);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
