/* What people type in passing becomes a sum, and what is a sum stays one. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "desk/phrase.h"
#include "ground/store.h"

static void becomes(const char *typed, const char *sum)
{
    char *told = phrase_sum(typed);
    assert_string_equal(told, sum);
    store_free(told);
}

static void a_sum_stays_as_it_is(void **state)
{
    (void)state;
    static const char *const sums[] = {"84 mm",
                                       "4 7/16 in + 3 mm",
                                       "241 mm - 2*18 mm",
                                       "-3 mm",
                                       "(8.4 cm - 2 mm)/3",
                                       "88 mm in sixteenths",
                                       "handle + torso",
                                       "min(3 mm, 4 mm)",
                                       "7/16",
                                       "",
                                       "half",
                                       "1/2",
                                       "standing 3"};
    for (size_t i = 0; i < sizeof sums / sizeof *sums; i++)
        becomes(sums[i], sums[i]);
}

static void words_become_signs(void **state)
{
    (void)state;
    becomes("what is 74mm?", "74mm");
    becomes("What's  74 mm = ", "74 mm");
    becomes("how much is half of 9 1/4 in", "(1/2) * 9 1/4 in");
    becomes("1/3 of 297 mm", "(1/3) * 297 mm");
    becomes("twice 3 5/16\"", "2 * 3 5/16\"");
    becomes("3 and 5/16 inches", "3 5/16 inches");
    becomes("3 mm plus 4 mm minus 1 mm", "3 mm + 4 mm - 1 mm");
    becomes("10 cm divided by 3", "10 cm / 3");
    becomes("74mm to inches", "74mm in inches");
    becomes("convert 4 7/16 in to mm", "4 7/16 in in mm");
    becomes("1/4 inch less than 3 in", "1/4 inch less than 3 in");
}

static void an_operator_first_goes_on(void **state)
{
    (void)state;
    becomes("+ 3 mm", "last + 3 mm");
    becomes("- 3 mm", "last - 3 mm");
    becomes("* 2", "last * 2");
    becomes("\xC3\xB7 2", "last \xC3\xB7 2");
    becomes("/2", "last /2");
}

static void two_sizes_make_a_pair(void **state)
{
    (void)state;
    char *first = NULL, *second = NULL;
    assert_int_equal(phrase_pair("10 x 15 cm", &first, &second), 1);
    assert_string_equal(first, "10 cm");
    assert_string_equal(second, "15 cm");
    store_free(first);
    store_free(second);
    assert_int_equal(phrase_pair("3 1/2 in x 15 cm", &first, &second), 1);
    assert_string_equal(first, "3 1/2 in");
    assert_string_equal(second, "15 cm");
    store_free(first);
    store_free(second);
    assert_int_equal(phrase_pair("84 mm", &first, &second), 0);
    assert_int_equal(phrase_pair("1 x 2 x 3 mm", &first, &second), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sum_stays_as_it_is),
        cmocka_unit_test(words_become_signs),
        cmocka_unit_test(an_operator_first_goes_on),
        cmocka_unit_test(two_sizes_make_a_pair),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
