/* Smallest hitting sets against all subsets. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "settle/hitting.h"
#include "unit/exact/biased.h"

enum { MOST = 11 };

static bool meets_all(const struct nmk_hitting *h, unsigned set)
{
    for (size_t i = 0; i < h->count; i++) {
        bool met = false;
        for (size_t k = 0; k < h->limit; k++)
            met |= h->sets[i][k] && (set >> k & 1);
        if (!met)
            return false;
    }
    return true;
}

static size_t size_of(unsigned set)
{
    size_t size = 0;
    for (; set; set &= set - 1)
        size++;
    return size;
}

/* Of two lists in rising order: at the first number in which they differ the one that has it comes first. */
static bool comes_before(unsigned a, unsigned b)
{
    unsigned differ = a ^ b;
    return differ && (a & differ & -differ);
}

static unsigned slow_smallest(const struct nmk_hitting *h)
{
    unsigned best = (1u << h->limit) - 1;
    for (unsigned set = 0; set < 1u << h->limit; set++)
        if (meets_all(h, set) && (size_of(set) < size_of(best) || (size_of(set) == size_of(best) && comes_before(set, best))))
            best = set;
    return best;
}

static void check_random(unsigned long number)
{
    struct nmk_hitting h = {.limit = 1 + biased_below(MOST)};
    bool set[MOST], in[MOST];
    size_t sets = biased_below(9), wide = 1 + biased_below(4);
    for (size_t i = 0; i < sets; i++) {
        for (size_t k = 0; k < h.limit; k++)
            set[k] = biased_below(h.limit) < wide;
        set[biased_below(h.limit)] = true;
        nmk_hitting_add(&h, set);
    }
    size_t count = nmk_hitting_smallest(in, &h);
    unsigned found = 0, expected = slow_smallest(&h);
    for (size_t k = 0; k < h.limit; k++)
        found |= (unsigned)in[k] << k;
    biased_check(found == expected && count == size_of(expected), number, "hitting set", NULL, NULL);
    nmk_hitting_clear(&h);
    assert_int_equal(h.count, 0);
}

static void test_against_all_subsets(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long i = 0; i < biased_cases(500); i++)
        check_random(i);
}

static void test_small(void **state)
{
    (void)state;
    struct nmk_hitting h = {.limit = 4};
    bool in[4] = {true, true, true, true};
    assert_int_equal(nmk_hitting_smallest(in, &h), 0); /* no sets: nothing is needed */
    assert_false(in[0] || in[1] || in[2] || in[3]);
    nmk_hitting_add(&h, (bool[]){false, true, false, true});
    assert_int_equal(nmk_hitting_smallest(in, &h), 1);
    assert_true(in[1] && !in[3]); /* the first of equal ones */
    nmk_hitting_add(&h, (bool[]){true, false, false, true});
    assert_int_equal(nmk_hitting_smallest(in, &h), 1);
    assert_true(in[3] && !in[0] && !in[1]); /* fewer comes before first */
    nmk_hitting_add(&h, (bool[]){false, false, true, false});
    assert_int_equal(nmk_hitting_smallest(in, &h), 2);
    assert_true(in[2] && in[3]);
    nmk_hitting_clear(&h);
    nmk_hitting_clear(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_small), cmocka_unit_test(test_against_all_subsets)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
