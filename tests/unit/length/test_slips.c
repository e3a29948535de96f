/* How like one word is to another. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "nearmark/slips.h"

static size_t slips(const char *a, const char *b)
{
    return nmk_slips_count(a, strlen(a), b, strlen(b), 50);
}

static void slips_are_counted(void **state)
{
    (void)state;
    assert_int_equal(slips("wall", "wall"), 0);
    assert_int_equal(slips("wall", "Wall"), 0); /* a capital letter is no slip */
    assert_int_equal(slips("", "wall"), 4);
    assert_int_equal(slips("wal", "wall"), 1);
    assert_int_equal(slips("walll", "wall"), 1);
    assert_int_equal(slips("wakl", "wall"), 1);
    assert_int_equal(slips("wlal", "wall"), 1); /* two exchanged */
    assert_int_equal(slips("awll", "wall"), 1);
    assert_int_equal(slips("lwal", "wall"), 2);
    assert_int_equal(slips("ca", "abc"), 3);                  /* the optimal string alignment distance */
    assert_int_equal(slips("kitten", "sitting"), 3);          /* the usual example of an edit distance; from memory */
    assert_int_equal(slips("h\xC3\xB6he", "hohe"), 1);        /* letters are counted, not bytes */
    assert_int_equal(slips("\xE7\xAE\xB1", "\xE7\xAE\xB2"), 1);
    assert_true(nmk_slips_count("abcdef", 6, "a", 1, 2) > 2);
    char longer[100];
    memset(longer, 'a', sizeof longer);
    assert_true(nmk_slips_count(longer, 100, longer, 100, 3) > 3); /* too long to be compared letter by letter */
}

static void longer_words_may_have_more(void **state)
{
    (void)state;
    static const size_t allowed[] = {0, 0, 0, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3};
    for (size_t size = 0; size < sizeof allowed / sizeof *allowed; size++)
        assert_int_equal(nmk_slips_allowed(size), allowed[size]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(slips_are_counted), cmocka_unit_test(longer_words_may_have_more)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
