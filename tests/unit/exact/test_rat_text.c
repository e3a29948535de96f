/* Rationals as text: what is read and refused, what is written, also into too small a room. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include <stdlib.h>

#include "unit/exact/biased.h"

enum { cases = 6000 };

static void test_what_is_read(void **state)
{
    (void)state;
    static const char *const rows[][2] = {
        {"0", "0"}, {"-0", "0"}, {"+0", "0"}, {"-0/7", "0"}, {"-0.000", "0"}, {"12", "12"}, {"-12", "-12"}, {"+12", "12"},
        {"007", "7"}, {"127/80", "127/80"}, {"254/160", "127/80"}, {"-6/3", "-2"}, {"0012/0009", "4/3"},
        {"4.4375", "71/16"}, {"-4.50", "-9/2"}, {"0.1", "1/10"}, {"+0.000000000000000001", "1/1000000000000000000"},
        {"0.0000000000000000001", "1/10000000000000000000"}, {"-0.30", "-3/10"},
        {"999999999999999999", "999999999999999999"}, {"9223372036854775807", "9223372036854775807"},
        {"-9223372036854775808", "-9223372036854775808"}, {"18446744073709551616", "18446744073709551616"},
        {"1/18446744073709551616", "1/18446744073709551616"},
        {"36893488147419103232/18446744073709551616", "2"}, {"-0000000000000000000000000000001/2", "-1/2"},
        {"123456789012345678901234567890.5", "246913578024691357802469135781/2"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of(rows[i][0]);
        assert_true(rat_prints(&a, rows[i][1]) && rat_is_sound(&a));
        nmk_rat_clear(&a);
    }
}

static void test_what_is_refused_leaves_the_output(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        enum nmk_status status;
    } rows[] = {
        {"", NMK_INVALID}, {"-", NMK_INVALID}, {"+", NMK_INVALID}, {"--1", NMK_INVALID}, {"+-1", NMK_INVALID},
        {" 1", NMK_INVALID}, {"1 ", NMK_INVALID}, {"1/", NMK_INVALID}, {"/2", NMK_INVALID}, {"1/-2", NMK_INVALID},
        {"1/+2", NMK_INVALID}, {"1.", NMK_INVALID}, {".5", NMK_INVALID}, {"1.5/2", NMK_INVALID}, {"1/2.5", NMK_INVALID},
        {"1/2/3", NMK_INVALID}, {"1.2.3", NMK_INVALID}, {"1e3", NMK_INVALID}, {"0x10", NMK_INVALID}, {"1,5", NMK_INVALID},
        {"1_000", NMK_INVALID}, {"x", NMK_INVALID}, {"\xc2\xbd", NMK_INVALID}, {"1/0", NMK_DIVISION_BY_ZERO},
        {"-0/0", NMK_DIVISION_BY_ZERO}, {"1/00000000000000000000000", NMK_DIVISION_BY_ZERO}, {"1/0x", NMK_INVALID},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of("127/80");
        if (nmk_rat_parse(&a, rows[i].text, strlen(rows[i].text)) != rows[i].status)
            fail_msg("`%s` is not met with: %s", rows[i].text, nmk_status_name(rows[i].status));
        assert_true(rat_prints(&a, "127/80"));
    }
    struct nmk_rat a = {0};
    assert_int_equal(nmk_rat_parse(&a, NULL, 0), NMK_INVALID);
    assert_int_equal(nmk_rat_parse(&a, "1\0" "2", 3), NMK_INVALID);
}

static void test_only_the_given_bytes_are_read(void **state)
{
    (void)state;
    struct nmk_rat a = {0};
    assert_int_equal(nmk_rat_parse(&a, "1234", 2), NMK_OK);
    assert_true(rat_prints(&a, "12"));
    assert_int_equal(nmk_rat_parse(&a, "1/25", 3), NMK_OK);
    assert_true(rat_prints(&a, "1/2"));
    char *tight = malloc(3); /* nothing after the last digit: the sanitizer sees a step too far */
    assert_non_null(tight);
    memcpy(tight, "1/4", 3);
    assert_int_equal(nmk_rat_parse(&a, tight, 3), NMK_OK);
    assert_true(rat_prints(&a, "1/4"));
    free(tight);
    nmk_rat_clear(&a);
}

static void test_4000_digits_and_no_more(void **state)
{
    (void)state;
    enum { most = 4000 };
    static char text[most + 4];
    for (size_t point = 1; point <= 3; point++) {
        for (size_t digits = most - 1; digits <= most + 1; digits++) {
            struct nmk_rat a = {0};
            memset(text, '9', sizeof text);
            size_t size = digits;
            if (point < 3) {
                text[digits / 2] = "/."[point - 1];
                size++;
            }
            enum nmk_status status = nmk_rat_parse(&a, text, size);
            assert_int_equal(status, digits <= most ? NMK_OK : NMK_TOO_LARGE);
            assert_true(nmk_rat_is_zero(&a) == (status != NMK_OK));
            assert_true(rat_is_sound(&a));
            nmk_rat_clear(&a);
        }
    }
    memset(text, '9', sizeof text);
    text[most + 3] = 'x';
    struct nmk_rat a = {0};
    assert_int_equal(nmk_rat_parse(&a, text, sizeof text), NMK_INVALID);
}

static void test_what_is_written_is_read_again(void **state)
{
    (void)state;
    mpq_t q;
    mpq_init(q);
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0}, again = {0};
        char text[1024];
        biased_fraction(q);
        rat_from(&a, q);
        biased_check(rat_is(&a, q), i, "read", &a, NULL);
        char *right = mpq_get_str(NULL, 10, q);
        size_t size = nmk_rat_print(text, sizeof text, &a);
        biased_check(size == strlen(text) && strcmp(text, right) == 0, i, "written", &a, NULL);
        biased_rat(&again);
        biased_check(nmk_rat_parse(&again, text, size) == NMK_OK && nmk_rat_equal(&a, &again), i, "again", &a, &again);
        void (*release)(void *, size_t);
        mp_get_memory_functions(NULL, NULL, &release);
        release(right, strlen(right) + 1);
        nmk_rat_clear(&a);
        nmk_rat_clear(&again);
    }
    mpq_clear(q);
}

/* Written into each size of room: the length is the same, what fits is there, NUL is last, nothing is behind it. */
typedef size_t printer(char *buffer, size_t size, const struct nmk_rat *a);

static size_t print_three_places(char *buffer, size_t size, const struct nmk_rat *a)
{
    return nmk_rat_print_decimal(buffer, size, a, 3);
}

static void check_rooms(printer *print, const struct nmk_rat *a, const char *right)
{
    char room[128];
    size_t length = strlen(right);
    assert_int_equal(print(NULL, 0, a), length);
    for (size_t size = 0; size < length + 3; size++) {
        memset(room, '#', sizeof room);
        assert_int_equal(print(room, size, a), length);
        size_t kept = size == 0 ? 0 : size - 1 < length ? size - 1 : length;
        assert_memory_equal(room, right, kept);
        assert_true(size == 0 || room[kept] == '\0');
        assert_true(room[size ? kept + 1 : 0] == '#');
    }
}

static void test_a_room_too_small_keeps_what_fits(void **state)
{
    (void)state;
    static const char *const rows[][2] = {
        {"0", "0.000"}, {"-12", "-12.000"}, {"-127/80", "-1.588"}, {"127/80", "1.588"},
        {"-123456789012345678901234567890", "-123456789012345678901234567890.000"},
        {"123456789012345678901234567891/10000000000000000000000000000", "12.346"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of(rows[i][0]);
        check_rooms(nmk_rat_print, &a, rows[i][0]);
        check_rooms(print_three_places, &a, rows[i][1]);
        nmk_rat_clear(&a);
    }
}

static void test_decimals_at_known_places(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        unsigned places;
        const char *right;
    } rows[] = {
        {"0", 0, "0"}, {"0", 2, "0.00"}, {"1/2", 0, "1"}, {"-1/2", 0, "-1"}, {"1/3", 0, "0"}, {"-1/3", 0, "0"},
        {"-1/1000", 2, "0.00"}, {"-1/200", 2, "-0.01"}, {"1/200", 2, "0.01"}, {"127/80", 1, "1.6"},
        {"127/80", 4, "1.5875"}, {"127/80", 3, "1.588"}, {"-127/80", 3, "-1.588"}, {"127/80", 6, "1.587500"},
        {"19999/10000", 3, "2.000"}, {"-1999/1000", 2, "-2.00"}, {"12", 1, "12.0"}, {"1/8", 2, "0.13"},
        {"9223372036854775807", 1, "9223372036854775807.0"}, {"1/9223372036854775807", 20, "0.00000000000000000011"},
        {"100000000000000000000000001/2", 0, "50000000000000000000000001"}, {"1/3", 30, "0.333333333333333333333333333333"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat a = rat_of(rows[i].text);
        char text[64];
        size_t size = nmk_rat_print_decimal(text, sizeof text, &a, rows[i].places);
        assert_string_equal(text, rows[i].right);
        assert_int_equal(size, strlen(text));
        nmk_rat_clear(&a);
    }
}

/* What is printed, p, is right: it has the places asked for, |p - a| is at most half a unit of the last, and where it
 * is exactly half, p is further from 0. No zero has a minus. */
static void check_decimal(unsigned long i, const struct nmk_rat *a, unsigned places)
{
    char text[1024];
    struct nmk_rat p = {0}, off = {0}, half = {0}, unit = rat_of("1/10"), p_size = {0}, a_size = {0};
    size_t size = nmk_rat_print_decimal(text, sizeof text, a, places);
    const char *point = strchr(text, '.');
    biased_check(places ? point && strlen(point + 1) == places : !point, i, "places", a, NULL);
    biased_check(nmk_rat_parse(&p, text, size) == NMK_OK, i, "decimal", a, NULL);
    nmk_rat_pow(&unit, &unit, places);
    nmk_rat_set_frac(&half, 1, 2);
    nmk_rat_mul(&half, &half, &unit);
    nmk_rat_sub(&off, &p, a);
    nmk_rat_abs(&off, &off);
    nmk_rat_abs(&p_size, &p);
    nmk_rat_abs(&a_size, a);
    int order = nmk_rat_cmp(&off, &half);
    biased_check(order < 0 || (order == 0 && nmk_rat_cmp(&p_size, &a_size) > 0), i, "decimal", a, &p);
    biased_check((text[0] == '-') == (nmk_rat_sign(a) < 0 && !nmk_rat_is_zero(&p)), i, "sign", a, &p);
    struct nmk_rat *all[] = {&p, &off, &half, &unit, &p_size, &a_size};
    for (size_t k = 0; k < sizeof all / sizeof *all; k++)
        nmk_rat_clear(all[k]);
}

static void test_decimals_are_nearest(void **state)
{
    (void)state;
    for (unsigned long i = 0; i < biased_cases(cases); i++) {
        struct nmk_rat a = {0};
        biased_rat(&a);
        check_decimal(i, &a, (unsigned)biased_below(25));
        nmk_rat_clear(&a);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_read),
        cmocka_unit_test(test_what_is_refused_leaves_the_output),
        cmocka_unit_test(test_only_the_given_bytes_are_read),
        cmocka_unit_test(test_4000_digits_and_no_more),
        cmocka_unit_test(test_what_is_written_is_read_again),
        cmocka_unit_test(test_a_room_too_small_keeps_what_fits),
        cmocka_unit_test(test_decimals_at_known_places),
        cmocka_unit_test(test_decimals_are_nearest),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
