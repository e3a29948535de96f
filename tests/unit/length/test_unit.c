/* Units: their sizes, names and spellings. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "nearmark/length.h"
#include "unit/exact/biased.h"

static void test_sizes_and_names(void **state)
{
    static const struct {
        enum nmk_unit unit;
        const char *name, *mm;
        bool inch;
    } all[] = {{NMK_MM, "mm", "1", false},   {NMK_CM, "cm", "10", false},        {NMK_IN, "in", "127/5", true},
               {NMK_FT, "ft", "1524/5", true}, {NMK_MIL, "mil", "127/5000", true}, {NMK_UNIT_NONE, "", "1", false}};
    (void)state;
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        struct nmk_rat mm = {0};
        nmk_unit_mm(&mm, all[i].unit);
        assert_true(rat_prints(&mm, all[i].mm));
        assert_string_equal(nmk_unit_name(all[i].unit), all[i].name);
        assert_int_equal(nmk_unit_is_inch(all[i].unit), all[i].inch);
        assert_int_equal(nmk_unit_find(all[i].name, strlen(all[i].name)), all[i].unit);
    }
}

static void test_a_unit_that_is_none(void **state)
{
    (void)state;
    struct nmk_rat mm = {0};
    nmk_unit_mm(&mm, (enum nmk_unit)1000);
    assert_true(rat_prints(&mm, "1"));
    assert_string_equal(nmk_unit_name((enum nmk_unit)-1), "");
    assert_false(nmk_unit_is_inch((enum nmk_unit)6));
    nmk_unit_mm(NULL, NMK_MM);
    assert_int_equal(nmk_unit_find(NULL, 0), NMK_UNIT_NONE);
    assert_int_equal(nmk_unit_find("", 0), NMK_UNIT_NONE);
}

static void test_spellings(void **state)
{
    static const struct {
        const char *text;
        enum nmk_unit unit;
    } all[] = {
        {"mm", NMK_MM},           {"Millimetre", NMK_MM},   {"millimetres", NMK_MM}, {"MILLIMETER", NMK_MM},
        {"millimeters", NMK_MM},  {"㎜", NMK_MM},           {"cm", NMK_CM},          {"centimetre", NMK_CM},
        {"centimetres", NMK_CM},  {"centimeter", NMK_CM},   {"centimeters", NMK_CM}, {"㎝", NMK_CM},
        {"in", NMK_IN},           {"IN", NMK_IN},           {"ins", NMK_IN},         {"inch", NMK_IN},
        {"inches", NMK_IN},       {"㏌", NMK_IN},           {"\"", NMK_IN},          {"''", NMK_IN},
        {"″", NMK_IN},            {"′′", NMK_IN},           {"”", NMK_IN},           {"“", NMK_IN},
        {"’’", NMK_IN},           {"ʺ", NMK_IN},            {"ft", NMK_FT},          {"foot", NMK_FT},
        {"Feet", NMK_FT},         {"'", NMK_FT},            {"′", NMK_FT},           {"’", NMK_FT},
        {"‘", NMK_FT},            {"ʹ", NMK_FT},            {"ʼ", NMK_FT},           {"´", NMK_FT},
        {"mil", NMK_MIL},         {"mils", NMK_MIL},        {"thou", NMK_MIL},
    };
    static const char *const none[] = {"m", "mmm", "c", "i", "inc", "inchess", "pt", " mm", "mm ", "feets", "'\"", "e", "x"};
    (void)state;
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (nmk_unit_find(all[i].text, strlen(all[i].text)) != all[i].unit)
            fail_msg("%s is not %s", all[i].text, nmk_unit_name(all[i].unit));
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        if (nmk_unit_find(none[i], strlen(none[i])) != NMK_UNIT_NONE)
            fail_msg("%s is a unit", none[i]);
    assert_int_equal(nmk_unit_find("m\0m", 3), NMK_UNIT_NONE);
    assert_int_equal(nmk_unit_find("mm\0", 3), NMK_UNIT_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sizes_and_names),
        cmocka_unit_test(test_a_unit_that_is_none),
        cmocka_unit_test(test_spellings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
