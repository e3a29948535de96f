/* Sheets, weights and thicknesses of paper. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <string.h>

#include "nearmark/sheet.h"
#include "nearmark/weight.h"
#include "published/figures.h"
#include "unit/length/reading.h"

static struct nmk_sheet sheet_of(const char *name)
{
    struct nmk_sheet sheet = {.name = NULL};
    if (nmk_sheet_find(&sheet, name, strlen(name)))
        fail_msg("%s is no sheet", name);
    return sheet;
}

static bool is_size(const char *name, const char *width, const char *height)
{
    struct nmk_sheet sheet = sheet_of(name);
    struct nmk_rat w = reading_mm(width), h = reading_mm(height);
    bool right = nmk_rat_equal(&sheet.width, &w) && nmk_rat_equal(&sheet.height, &h);
    nmk_rat_clear(&w);
    nmk_rat_clear(&h);
    nmk_sheet_clear(&sheet);
    return right;
}

/* ISO 216:2007 (second hand), nominal sizes in mm, 0 to 10. */
static const int64_t a_sizes[][2] = {{841, 1189}, {594, 841}, {420, 594}, {297, 420}, {210, 297}, {148, 210},
                                     {105, 148},  {74, 105},  {52, 74},   {37, 52},   {26, 37}};
static const int64_t b_sizes[][2] = {{1000, 1414}, {707, 1000}, {500, 707}, {353, 500}, {250, 353}, {176, 250},
                                     {125, 176},   {88, 125},   {62, 88},   {44, 62},   {31, 44}};

static void check_series(char letter, const int64_t sizes[11][2])
{
    for (unsigned i = 0; i < 11; i++) {
        char name[8];
        snprintf(name, sizeof name, "%c%u", letter, i);
        struct nmk_sheet sheet = sheet_of(name);
        assert_int_equal(nmk_rat_cmp_int(&sheet.width, sizes[i][0]), 0);
        assert_int_equal(nmk_rat_cmp_int(&sheet.height, sizes[i][1]), 0);
        assert_int_equal(sheet.unit, NMK_MM);
        /* computed: the next size is (floor(long / 2), short) */
        if (i)
            assert_true(sizes[i][0] == sizes[i - 1][1] / 2 && sizes[i][1] == sizes[i - 1][0]);
    }
}

static void test_iso_216(void **state)
{
    (void)state;
    check_series('A', a_sizes);
    check_series('B', b_sizes);
}

/* ISO 479:1975, untrimmed sizes in cm: RA0 86x122, RA1 61x86, SRA0 90x128, SRA1 64x90. ISO 217, RA and SRA 2 to 4: from
 * memory. */
static void test_untrimmed_sizes(void **state)
{
    (void)state;
    assert_true(is_size("RA0", "86 cm", "122 cm") && is_size("RA1", "61 cm", "86 cm"));
    assert_true(is_size("SRA0", "90 cm", "128 cm") && is_size("SRA1", "64 cm", "90 cm"));
    assert_true(is_size("RA2", "430 mm", "610 mm") && is_size("RA3", "305 mm", "430 mm") && is_size("RA4", "215 mm", "305 mm"));
    assert_true(is_size("SRA2", "450 mm", "640 mm") && is_size("SRA3", "320 mm", "450 mm") &&
                is_size("SRA4", "225 mm", "320 mm"));
}

/* ASME Y14.1, and custom, from memory; the millimetres are computed. */
static void test_american_sizes(void **state)
{
    (void)state;
    assert_true(is_size("Letter", "8.5 in", "11 in") && is_size("Letter", "215.9 mm", "279.4 mm"));
    assert_true(is_size("Legal", "8.5 in", "14 in") && is_size("Legal", "215.9 mm", "355.6 mm"));
    assert_true(is_size("Ledger", "11 in", "17 in") && is_size("Tabloid", "279.4 mm", "431.8 mm"));
    assert_true(is_size("ANSI A", "8.5 in", "11 in") && is_size("ANSI B", "11 in", "17 in"));
    assert_true(is_size("ANSI C", "17 in", "22 in") && is_size("ANSI D", "22 in", "34 in") &&
                is_size("ANSI E", "34 in", "44 in"));
}

/* Common practice, no source. */
static void test_craft_sizes(void **state)
{
    (void)state;
    assert_true(is_size("12x12", "304.8 mm", "304.8 mm") && is_size("6x6", "6 in", "6 in"));
    assert_true(is_size("8x8", "8 in", "8 in") && is_size("8.5x11", "8.5 in", "11 in"));
}

/* ---- weights ---- */

static struct nmk_rat gsm_of(const char *pounds, const char *grade)
{
    struct nmk_rat lb = figures_value(pounds), gsm = {0};
    if (nmk_weight_gsm(&gsm, &lb, grade, strlen(grade)))
        fail_msg("%s is no grade", grade);
    nmk_rat_clear(&lb);
    return gsm;
}

static bool gsm_is(const char *pounds, const char *grade, unsigned places, const char *text)
{
    struct nmk_rat gsm = gsm_of(pounds, grade);
    char printed[64];
    nmk_rat_print_decimal(printed, sizeof printed, &gsm, places);
    nmk_rat_clear(&gsm);
    return strcmp(printed, text) == 0;
}

/* The decimals of a value begin so; further ones are cut off. */
static bool begins(const struct nmk_rat *value, const char *decimals)
{
    char printed[64];
    nmk_rat_print_decimal(printed, sizeof printed, value, 20);
    return strncmp(printed, decimals, strlen(decimals)) == 0;
}

/* "book/text/offset 25x38", area, exact factor, the same cut off after eight places, its inverse, with the trade's 1406.5:
 * computed from the pound of 1959, 0.45359237 kg, and the inch. */
static void check_grade(char *f[FIGURES_FIELDS], size_t count)
{
    char names[64];
    assert_int_equal(count, 6);
    snprintf(names, sizeof names, "%.*s", (int)strcspn(f[0], " ("), f[0]);
    for (char *grade = strtok(names, "/"); grade; grade = strtok(NULL, "/")) {
        struct nmk_rat gsm = gsm_of("1", grade), exact = figures_value(f[2]), one = figures_value("1");
        if (!nmk_rat_equal(&gsm, &exact))
            fail_msg("%s", f[0]);
        assert_true(begins(&gsm, f[3]));
        assert_int_equal(nmk_rat_div(&gsm, &one, &gsm), NMK_OK);
        assert_true(begins(&gsm, f[4]));
        nmk_rat_clear(&gsm);
        nmk_rat_clear(&exact);
    }
}

static void test_every_grade_exactly(void **state)
{
    (void)state;
    assert_int_equal(figures_table("paper_weight_factors.csv", check_grade), 8);
}

static void test_published_factors(void **state)
{
    (void)state;
    /* a printing encyclopedia, "Grammage": grams for a pound, three places */
    assert_true(gsm_is("1", "bond", 3, "3.760") && gsm_is("1", "cover", 3, "2.704"));
    assert_true(gsm_is("1", "book", 3, "1.480") && gsm_is("1", "tag", 3, "1.627"));
    /* the same: 20 lb bond x 3.760 = 75.2 */
    assert_true(gsm_is("20", "bond", 1, "75.2"));
    /* a printer's table: 50 lb cover = 135, 50 lb text = 74 */
    assert_true(gsm_is("50", "cover", 0, "135") && gsm_is("50", "text", 0, "74"));
    /* a paper maker: 28 lb bond = 105.3, with the trade's rounded constant 1406.5 */
    assert_true(gsm_is("28", "bond", 1, "105.3"));
}

/* The encyclopedia's factor for board, 4.831 g/m2 for a pound on 1000 square feet, is a misprint: its own inverse, 0.205,
 * and the arithmetic give 4.88. And 1406.5 is not the exact constant: 1406.5/374 = 3.761, not 3.760. */
static void test_misprinted_factors(void **state)
{
    (void)state;
    struct nmk_rat board = figures_value("45359237/100000"), foot = {0}, inverse = {0}, one = figures_value("1");
    struct nmk_rat thousandth = figures_value("1/1000");
    nmk_unit_mm(&foot, NMK_FT);
    nmk_rat_mul(&foot, &foot, &foot);        /* mm2 */
    nmk_rat_mul(&foot, &foot, &thousandth); /* 1000 square feet in m2 */
    assert_int_equal(nmk_rat_div(&board, &board, &foot), NMK_OK);
    assert_int_equal(nmk_rat_div(&inverse, &one, &board), NMK_OK);
    char text[32];
    nmk_rat_print_decimal(text, sizeof text, &board, 6);
    assert_string_equal(text, "4.882428");
    nmk_rat_print_decimal(text, sizeof text, &board, 3);
    assert_string_not_equal(text, "4.831");
    nmk_rat_print_decimal(text, sizeof text, &inverse, 3);
    assert_string_equal(text, "0.205");
    assert_false(gsm_is("1", "bond", 3, "3.761"));
    nmk_rat_clear(&foot);
    nmk_rat_clear(&inverse);
    nmk_rat_clear(&board);
    nmk_rat_clear(&thousandth);
}

/* ---- thickness: U.S. Government Paper Specification Standards, vol. 11, 1 February 1999 ---- */

/* Grades K10 index, A91 text: every printed thickness in inches is the printed millimetres to 0.0001 in. */
static void test_printed_thicknesses(void **state)
{
    static const char *const printed[][2] = {
        {"0.190 mm", "0.0075 in"}, {"0.230 mm", "0.0091 in"}, {"0.290 mm", "0.0114 in"}, {"0.350 mm", "0.0138 in"},
        {"0.013 mm", "0.0005 in"}, {"0.020 mm", "0.0008 in"}, {"0.011 mm", "0.0004 in"}, {"0.140 mm", "0.0055 in"},
        {"0.160 mm", "0.0063 in"}, {"0.200 mm", "0.0079 in"}, {"0.008 mm", "0.0003 in"}};
    (void)state;
    for (size_t i = 0; i < sizeof printed / sizeof *printed; i++)
        assert_true(figures_mark(printed[i][0], "0.0001 in", NMK_TIE_EVEN, printed[i][1]));
}

/* Grade L80: at least 0.26 mm / 0.010 in: a minimum of 0.254 mm is rounded up. */
static void test_a_printed_minimum_is_rounded_up(void **state)
{
    (void)state;
    struct nmk_marks marks = {.step = reading_mm("0.01 mm")};
    struct nmk_rat ten = reading_mm("10 mil"), printed = reading_mm("0.26 mm");
    int64_t k = 0;
    assert_int_equal(nmk_marks_above(&k, &marks, &ten), NMK_OK);
    nmk_marks_at(&ten, &marks, k);
    assert_true(nmk_rat_equal(&ten, &printed));
    assert_false(figures_mark("10 mil", "0.01 mm", NMK_TIE_LARGER, "0.26 mm"));
}

/* Grades K10, L20, A91: every printed weight in g/m2 is the exact one (computed, cut off) to 5 g/m2. */
static void test_printed_weights(void **state)
{
    static const struct {
        const char *pounds, *grade, *exact, *printed;
    } rows[] = {{"90", "index", "162.71619", "165"},  {"110", "index", "198.87535", "200"},
                {"140", "index", "253.11408", "255"}, {"170", "index", "307.35282", "305"},
                {"50", "cover", "135.20568", "135"},  {"65", "cover", "175.76739", "175"},
                {"80", "cover", "216.32910", "215"},  {"70", "text", "103.61025", "105"},
                {"80", "text", "118.41171", "120"},   {"100", "text", "148.01464", "150"}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat gsm = gsm_of(rows[i].pounds, rows[i].grade);
        char text[64];
        assert_true(begins(&gsm, rows[i].exact));
        nmk_rat_print(text, sizeof text, &gsm);
        assert_true(figures_round(text, "5", NMK_TIE_EVEN, rows[i].printed));
        nmk_rat_clear(&gsm);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_iso_216),
        cmocka_unit_test(test_untrimmed_sizes),
        cmocka_unit_test(test_american_sizes),
        cmocka_unit_test(test_craft_sizes),
        cmocka_unit_test(test_every_grade_exactly),
        cmocka_unit_test(test_published_factors),
        cmocka_unit_test(test_misprinted_factors),
        cmocka_unit_test(test_printed_thicknesses),
        cmocka_unit_test(test_a_printed_minimum_is_rounded_up),
        cmocka_unit_test(test_printed_weights),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
