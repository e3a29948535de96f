/* Linear inequalities: what has a planted solution is possible; a conflict is one by itself, all other bounds away. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdlib.h>
#include <string.h>

#include "solve/whole/whole_linear.h"
#include "unit/exact/biased.h"

static int64_t between(int64_t low, int64_t high)
{
    return low + (int64_t)biased_below((uint64_t)(high - low + 1));
}

static void draw_bounds(struct nmk_linear_bounds *b, int64_t middle, bool planted)
{
    if (!planted)
        middle += between(-4, 4);
    b->has_low = biased_below(3) > 0;
    b->has_high = biased_below(3) > 0;
    b->low = middle - between(0, 3);
    b->high = middle + between(0, 3);
}

static void draw(struct nmk_linear *l, bool planted)
{
    int64_t x[6];
    nmk_linear_init(l, 1 + biased_below(5), biased_below(8));
    for (size_t c = 0; c < l->columns; c++) {
        x[c] = between(-9, 9);
        draw_bounds(&l->bounds[c], x[c], planted);
    }
    for (size_t r = 0; r < l->rows; r++) {
        int64_t sum = 0;
        for (size_t c = 0; c < l->columns; c++) {
            int64_t times = biased_below(2) ? between(-4, 4) : 0;
            l->times[r * l->columns + c] = times;
            sum += times * x[c];
        }
        draw_bounds(&l->bounds[l->columns + r], sum, planted);
    }
}

static bool is_possible(const struct nmk_linear *l, struct nmk_linear_conflict *conflict)
{
    struct nmk_whole_problem none = {0};
    struct nmk_work work;
    nmk_work_init(&work, &none);
    return nmk_linear_is_possible(conflict, l, &work);
}

static void keep_only(struct nmk_linear *l, const struct nmk_linear_conflict *conflict)
{
    struct nmk_linear_bounds *old = l->bounds;
    l->bounds = calloc(l->columns + l->rows, sizeof *l->bounds);
    assert_non_null(l->bounds);
    for (size_t k = 0; k < conflict->count; k++) {
        size_t var = conflict->which[k];
        if (conflict->is_low[k]) {
            l->bounds[var].has_low = true;
            l->bounds[var].low = old[var].low;
            assert_true(old[var].has_low);
        } else {
            l->bounds[var].has_high = true;
            l->bounds[var].high = old[var].high;
            assert_true(old[var].has_high);
        }
    }
    free(old);
}

static void planted_and_conflicts(void **state)
{
    (void)state;
    biased_start();
    size_t conflicts = 0;
    for (unsigned long n = 0; n < biased_cases(3000); n++) {
        struct nmk_linear l;
        struct nmk_linear_conflict conflict, again;
        bool planted = n % 3 == 0;
        draw(&l, planted);
        if (!is_possible(&l, &conflict)) {
            conflicts++;
            biased_check(!planted, n, "planted", NULL, NULL);
            keep_only(&l, &conflict);
            biased_check(!is_possible(&l, &again), n, "conflict by itself", NULL, NULL);
            nmk_linear_conflict_clear(&again);
        }
        nmk_linear_conflict_clear(&conflict);
        nmk_linear_clear(&l);
    }
    assert_true(conflicts > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(planted_and_conflicts)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
