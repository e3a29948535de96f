/* Printing: the exact text, and that what is printed reads back as the same value. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdlib.h>
#include <string.h>

#include "unit/exact/biased.h"
#include "unit/length/reading.h"

struct row {
    const char *mm;
    enum nmk_unit unit;
    unsigned places;
    enum nmk_fraction_style style;
    const char *text;
};

static const struct row rows[] = {
    {"9017/80", NMK_IN, 4, NMK_FRACTION_PLAIN, "4 7/16 in"},
    {"9017/80", NMK_IN, 4, NMK_FRACTION_SLASH, "4\xE2\x80\x89" "7\xE2\x81\x84" "16 in"},
    {"-9017/80", NMK_IN, 4, NMK_FRACTION_PLAIN, "-4 7/16 in"},
    {"127/80", NMK_IN, 4, NMK_FRACTION_PLAIN, "1/16 in"},
    {"127/80", NMK_IN, 4, NMK_FRACTION_SLASH, "1\xE2\x81\x84" "16 in"},
    {"-127/80", NMK_IN, 4, NMK_FRACTION_PLAIN, "-1/16 in"},
    {"127", NMK_IN, 4, NMK_FRACTION_PLAIN, "5 in"},
    {"0", NMK_IN, 4, NMK_FRACTION_SLASH, "0 in"},
    {"127/5120", NMK_IN, 4, NMK_FRACTION_PLAIN, "1/1024 in"},
    {"127/10240", NMK_IN, 9, NMK_FRACTION_PLAIN, "0.000488281 in"},
    {"381/1250", NMK_IN, 4, NMK_FRACTION_PLAIN, "0.012 in"},
    {"113", NMK_IN, 4, NMK_FRACTION_PLAIN, "4.4488 in"},
    {"113", NMK_IN, 0, NMK_FRACTION_PLAIN, "4 in"},
    {"-113", NMK_IN, 1, NMK_FRACTION_PLAIN, "-4.4 in"},
    {"10287/10", NMK_FT, 4, NMK_FRACTION_PLAIN, "3 3/8 ft"},
    {"381/1250", NMK_MIL, 4, NMK_FRACTION_PLAIN, "12 mil"},
    {"127/10000", NMK_MIL, 4, NMK_FRACTION_PLAIN, "1/2 mil"},
    {"113", NMK_MM, 4, NMK_FRACTION_PLAIN, "113 mm"},
    {"100", NMK_MM, 4, NMK_FRACTION_PLAIN, "100 mm"},
    {"100", NMK_MM, 0, NMK_FRACTION_PLAIN, "100 mm"},
    {"100", NMK_CM, 0, NMK_FRACTION_PLAIN, "10 cm"},
    {"84", NMK_CM, 4, NMK_FRACTION_PLAIN, "8.4 cm"},
    {"3/10", NMK_MM, 4, NMK_FRACTION_PLAIN, "0.3 mm"},
    {"9017/80", NMK_MM, 4, NMK_FRACTION_PLAIN, "112.7125 mm"},
    {"9017/80", NMK_MM, 2, NMK_FRACTION_PLAIN, "112.71 mm"},
    {"9017/80", NMK_MM, 3, NMK_FRACTION_PLAIN, "112.713 mm"},
    {"-9017/80", NMK_MM, 3, NMK_FRACTION_PLAIN, "-112.713 mm"},
    {"1/1000", NMK_MM, 2, NMK_FRACTION_PLAIN, "0 mm"},
    {"-1/1000", NMK_MM, 2, NMK_FRACTION_PLAIN, "0 mm"},
    {"-1/1000", NMK_MM, 0, NMK_FRACTION_PLAIN, "0 mm"},
    {"1/3", NMK_UNIT_NONE, 3, NMK_FRACTION_PLAIN, "0.333"},
};

static void test_every_row_is_printed_so(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct row *r = &rows[i];
        struct nmk_rat mm = rat_of(r->mm);
        char text[64];
        size_t length = nmk_length_print(text, sizeof text, &mm, r->unit, r->places, r->style);
        assert_string_equal(text, r->text);
        assert_int_equal(length, strlen(r->text));
        size_t figure = strlen(r->text) - strlen(nmk_unit_name(r->unit)) - (r->unit != NMK_UNIT_NONE);
        assert_int_equal(nmk_length_print_figure(text, sizeof text, &mm, r->unit, r->places, r->style), figure);
        assert_memory_equal(text, r->text, figure);
        assert_int_equal(text[figure], '\0');
        nmk_rat_clear(&mm);
    }
}

static void test_a_small_buffer_holds_the_beginning(void **state)
{
    (void)state;
    static const char whole[] = "4 7/16 in";
    struct nmk_rat mm = rat_of("9017/80");
    for (size_t size = 0; size < sizeof whole + 2; size++) {
        char *buffer = malloc(size ? size : 1);
        buffer[0] = 'z';
        assert_int_equal(nmk_length_print(size ? buffer : NULL, size, &mm, NMK_IN, 4, NMK_FRACTION_PLAIN), sizeof whole - 1);
        if (size)
            assert_int_equal(strlen(buffer), size < sizeof whole ? size - 1 : sizeof whole - 1);
        if (size)
            assert_memory_equal(buffer, whole, strlen(buffer));
        else
            assert_int_equal(buffer[0], 'z');
        free(buffer);
    }
    nmk_rat_clear(&mm);
}

static void test_wrong_calls_print_nothing(void **state)
{
    (void)state;
    char text[8] = "old";
    struct nmk_rat mm = {0};
    assert_int_equal(nmk_length_print(text, sizeof text, NULL, NMK_IN, 4, NMK_FRACTION_PLAIN), 0);
    assert_string_equal(text, "");
    assert_int_equal(nmk_length_print(NULL, 0, &mm, NMK_IN, 4, NMK_FRACTION_PLAIN), 4);
    assert_int_equal(nmk_length_print(text, sizeof text, &mm, (enum nmk_unit)99, 4, NMK_FRACTION_PLAIN), 1);
    assert_string_equal(text, "0");
}

static void test_places_have_a_limit(void **state)
{
    (void)state;
    struct nmk_rat third = rat_of("1/3");
    assert_int_equal(nmk_length_print(NULL, 0, &third, NMK_MM, 4000000000u, NMK_FRACTION_PLAIN), 1002 + 3);
    nmk_rat_clear(&third);
}

/* ---- print, then read ---- */

static void check_round_trip(unsigned long number, const struct nmk_rat *mm, enum nmk_unit unit, unsigned places,
                             enum nmk_fraction_style style)
{
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    char text[512];
    size_t size = nmk_length_print(text, sizeof text, mm, unit, places, style);
    assert_true(size < sizeof text);
    assert_int_equal(reading_parse(&r, text, size, true, &e), NMK_OK);
    biased_check(r.used == size && r.unit == unit && nmk_rat_equal(&r.mm, mm), number, text, mm, &r.mm);
    nmk_length_read_clear(&r);
}

/* A random value of bits up to 100 in den-ths of a unit. */
static void draw(struct nmk_rat *mm, enum nmk_unit unit, uint64_t den)
{
    struct nmk_rat factor = {0};
    mpq_t q;
    mpq_init(q);
    biased_whole(mpq_numref(q), 100);
    mpz_set_ui(mpq_denref(q), (unsigned long)den);
    mpq_canonicalize(q);
    rat_from(mm, q);
    nmk_unit_mm(&factor, unit);
    nmk_rat_mul(mm, mm, &factor);
    nmk_rat_clear(&factor);
    mpq_clear(q);
}

static void test_inches_read_back_exactly(void **state)
{
    (void)state;
    static const enum nmk_unit units[] = {NMK_IN, NMK_IN, NMK_FT, NMK_MIL};
    for (unsigned long n = 0, cases = biased_cases(6000); n < cases; n++) {
        struct nmk_rat mm = {0};
        enum nmk_unit unit = units[biased_below(4)];
        draw(&mm, unit, UINT64_C(1) << biased_below(11));
        check_round_trip(n, &mm, unit, 0, biased_below(2) ? NMK_FRACTION_PLAIN : NMK_FRACTION_SLASH);
        nmk_rat_clear(&mm);
    }
}

static void test_decimals_read_back_exactly(void **state)
{
    (void)state;
    for (unsigned long n = 0, cases = biased_cases(6000); n < cases; n++) {
        struct nmk_rat mm = {0};
        enum nmk_unit unit = (enum nmk_unit)biased_below(NMK_UNIT_NONE);
        unsigned places = (unsigned)biased_below(15);
        uint64_t den = 1;
        for (unsigned i = 0; i < places; i++)
            den *= 10;
        draw(&mm, unit, den);
        check_round_trip(n, &mm, unit, places, NMK_FRACTION_PLAIN);
        nmk_rat_clear(&mm);
    }
}

/* Of any value: no more than half a last place away, no more than `places` digits, no zero at the end. */
static void test_a_decimal_is_the_nearest_one(void **state)
{
    (void)state;
    for (unsigned long n = 0, cases = biased_cases(4000); n < cases; n++) {
        struct nmk_rat mm = {0}, back = {0}, off = {0}, half = {0};
        unsigned places = (unsigned)biased_below(8);
        char text[512];
        biased_rat(&mm);
        size_t size = nmk_length_print_figure(text, sizeof text, &mm, NMK_MM, places, NMK_FRACTION_PLAIN);
        assert_true(size < sizeof text);
        assert_int_equal(nmk_rat_parse(&back, text, size), NMK_OK);
        const char *point = strchr(text, '.');
        assert_true(!point || (strlen(point + 1) <= places && text[size - 1] != '0' && point[1]));
        assert_string_not_equal(text, "-0");
        nmk_rat_sub(&off, &back, &mm);
        nmk_rat_abs(&off, &off);
        nmk_rat_set_int(&half, 10);
        nmk_rat_pow(&half, &half, places);
        nmk_rat_add(&half, &half, &half);
        nmk_rat_mul(&off, &off, &half); /* in half places */
        biased_check(nmk_rat_cmp_int(&off, 1) <= 0, n, text, &mm, &off);
        nmk_rat_clear(&mm);
        nmk_rat_clear(&back);
        nmk_rat_clear(&off);
        nmk_rat_clear(&half);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_row_is_printed_so),
        cmocka_unit_test(test_a_small_buffer_holds_the_beginning),
        cmocka_unit_test(test_wrong_calls_print_nothing),
        cmocka_unit_test(test_places_have_a_limit),
        cmocka_unit_test(test_inches_read_back_exactly),
        cmocka_unit_test(test_decimals_read_back_exactly),
        cmocka_unit_test(test_a_decimal_is_the_nearest_one),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
