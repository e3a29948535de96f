/* Figures as type sets them: fraction characters, the fraction slash, spaces and marks. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "published/figures.h"
#include "unit/length/reading.h"

/* Unicode Character Database 15.0.0, UnicodeData.txt: U+00BC to U+00BE and U+2150 to U+215E, each with the fraction that it
 * decomposes to. */
static const struct {
    const char *character, *num, *den;
} vulgars[] = {{"¼", "1", "4"}, {"½", "1", "2"}, {"¾", "3", "4"},  {"⅐", "1", "7"}, {"⅑", "1", "9"}, {"⅒", "1", "10"},
               {"⅓", "1", "3"}, {"⅔", "2", "3"}, {"⅕", "1", "5"},  {"⅖", "2", "5"}, {"⅗", "3", "5"}, {"⅘", "4", "5"},
               {"⅙", "1", "6"}, {"⅚", "5", "6"}, {"⅛", "1", "8"},  {"⅜", "3", "8"}, {"⅝", "5", "8"}, {"⅞", "7", "8"},
               {"↉", "0", "3"}};

static bool same(const char *a, const char *b)
{
    struct nmk_rat x = reading_mm(a), y = reading_mm(b);
    bool right = nmk_rat_equal(&x, &y);
    nmk_rat_clear(&x);
    nmk_rat_clear(&y);
    return right;
}

static void join(char out[64], const char *const parts[5])
{
    out[0] = '\0';
    for (size_t i = 0; i < 5 && parts[i]; i++)
        strcat(out, parts[i]);
}

static void test_every_fraction_character(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof vulgars / sizeof *vulgars; i++) {
        char one[64], other[64];
        join(one, (const char *[5]){vulgars[i].character, " in"});
        join(other, (const char *[5]){vulgars[i].num, "/", vulgars[i].den, " in"});
        assert_true(same(one, other));
        join(one, (const char *[5]){"12", vulgars[i].character, "″"});
        join(other, (const char *[5]){"12 ", vulgars[i].num, "/", vulgars[i].den, " in"});
        assert_true(same(one, other));
    }
}

/* The trap: by compatibility decomposition (NFKC) 1½ becomes 11⁄2. It is read before any such thing. */
static void test_a_mixed_number_is_no_improper_one(void **state)
{
    (void)state;
    assert_true(same("1½ in", "1.5 in"));
    assert_false(same("1½ in", "11/2 in"));
    assert_true(same("11⁄2 in", "5.5 in"));
}

/* The Unicode Standard, 3.0 (p. 152) and 6.2, "Fraction Slash": digits, U+2044, digits are one fraction; a whole number
 * before it is set off by a space, the book's example 1 + ZERO WIDTH SPACE + 3 + U+2044 + 4; later editions use a thin
 * space (from memory). U+2064 INVISIBLE PLUS serves too (NamesList.txt). */
static void test_the_fraction_slash(void **state)
{
    (void)state;
    assert_true(same("3\xE2\x81\x84" "4 in", "0.75 in"));
    assert_true(same("1\xE2\x80\x8B" "3\xE2\x81\x84" "4 in", "1.75 in"));
    assert_true(same("1\xE2\x80\x89" "3\xE2\x81\x84" "4 in", "1.75 in"));
    assert_true(same("1\xE2\x81\xA4" "3\xE2\x81\x84" "4 in", "1.75 in"));
    assert_true(same("1\xE2\x81\xA4¾ in", "1.75 in"));
}

/* What is printed for people uses plain digits (Nd) about U+2044, never raised or lowered ones, as the standard asks; a
 * thin space before it. */
static void test_a_printed_fraction_is_shown_as_one(void **state)
{
    (void)state;
    struct nmk_rat mm = reading_mm("1 3/4 in");
    char text[32];
    nmk_length_print(text, sizeof text, &mm, NMK_IN, 4, NMK_FRACTION_SLASH);
    assert_string_equal(text, "1\xE2\x80\x89" "3\xE2\x81\x84" "4 in");
    nmk_rat_clear(&mm);
}

/* NamesList.txt 15.0.0: U+2033 DOUBLE PRIME "seconds, inches", U+2032 PRIME "minutes, feet"; U+2033 decomposes to two
 * primes. U+201D and U+0022 are typed for it. U+00A0 and U+202F are the no-break spaces. */
static void test_marks_and_spaces(void **state)
{
    (void)state;
    assert_true(same("4 7/16″", "4 7/16 in") && same("4 7/16′′", "4 7/16 in"));
    assert_true(same("4 7/16”", "4 7/16 in") && same("4 7/16\"", "4 7/16 in"));
    assert_true(same("3′ 4″", "40 in"));
    assert_true(same("84\xC2\xA0mm", "84 mm") && same("84\xE2\x80\xAFmm", "84 mm") && same("84\xE2\x80\x89mm", "84 mm"));
}

/* NIST SP 811, 7.2: a space between number and unit, always. ASME Y14.5, 1.6.1 (second hand): millimetres with a zero before
 * the point, 12 and not 12.0, 13.2 and not 13.20. */
static void test_metric_figures(void **state)
{
    (void)state;
    static const char *const printed[][2] = {{"0.30 mm", "0.3 mm"}, {"12.0 mm", "12 mm"}, {"13.20 mm", "13.2 mm"}};
    for (size_t i = 0; i < sizeof printed / sizeof *printed; i++) {
        struct nmk_rat mm = reading_mm(printed[i][0]);
        char text[32];
        nmk_length_print(text, sizeof text, &mm, NMK_MM, 4, NMK_FRACTION_PLAIN);
        assert_string_equal(text, printed[i][1]);
        nmk_rat_clear(&mm);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_fraction_character),
        cmocka_unit_test(test_a_mixed_number_is_no_improper_one),
        cmocka_unit_test(test_the_fraction_slash),
        cmocka_unit_test(test_a_printed_fraction_is_shown_as_one),
        cmocka_unit_test(test_marks_and_spaces),
        cmocka_unit_test(test_metric_figures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
