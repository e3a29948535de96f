/* Sheets by name and by NxM. The standard's sizes stand in tests/published/test_paper.c. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "nearmark/sheet.h"
#include "unit/exact/biased.h"

struct row {
    const char *text, *name, *width, *height;
    enum nmk_unit unit;
};

static const struct row rows[] = {
    {"A4", "A4", "210", "297", NMK_MM},
    {"a4", "A4", "210", "297", NMK_MM},
    {"b10", "B10", "31", "44", NMK_MM},
    {"sra3", "SRA3", "320", "450", NMK_MM},
    {"Letter", "Letter", "2159/10", "1397/5", NMK_IN},
    {"LETTER", "Letter", "2159/10", "1397/5", NMK_IN},
    {"legal", "Legal", "2159/10", "1778/5", NMK_IN},
    {"ledger", "Ledger", "1397/5", "2159/5", NMK_IN},
    {"Tabloid", "Tabloid", "1397/5", "2159/5", NMK_IN},
    {"ANSI A", "ANSI A", "2159/10", "1397/5", NMK_IN},
    {"ansi-c", "ANSI C", "2159/5", "2794/5", NMK_IN},
    {"AnsiE", "ANSI E", "4318/5", "5588/5", NMK_IN},
    {"12x12", "12x12", "1524/5", "1524/5", NMK_IN},
    {"12X12", "12x12", "1524/5", "1524/5", NMK_IN},
    {"12×12", "12x12", "1524/5", "1524/5", NMK_IN},
    {"12 x 12", "12x12", "1524/5", "1524/5", NMK_IN},
    {"12.0x12", "12x12", "1524/5", "1524/5", NMK_IN},
    {"6x6", "6x6", "762/5", "762/5", NMK_IN},
    {"8.5x11", "8.5x11", "2159/10", "1397/5", NMK_IN},
    {"8 1/2x11", "8.5x11", "2159/10", "1397/5", NMK_IN},
    {"8½x11", "8.5x11", "2159/10", "1397/5", NMK_IN},
    {"11x8.5", NULL, "1397/5", "2159/10", NMK_IN},
    {"9x9", NULL, "1143/5", "1143/5", NMK_IN},
};

static void test_every_name_is_found(void **state)
{
    (void)state;
    struct nmk_sheet sheet = {.name = NULL};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct row *r = &rows[i];
        if (nmk_sheet_find(&sheet, r->text, strlen(r->text)))
            fail_msg("%s is not found", r->text);
        if (r->name)
            assert_string_equal(sheet.name, r->name);
        else
            assert_null(sheet.name);
        assert_true(rat_prints(&sheet.width, r->width) && rat_prints(&sheet.height, r->height));
        assert_int_equal(sheet.unit, r->unit);
    }
    nmk_sheet_clear(&sheet);
    assert_true(nmk_rat_is_zero(&sheet.width) && !sheet.name);
}

static void test_what_is_no_sheet(void **state)
{
    static const char *const none[] = {
        "A11",           "B",       "A",       "A44",   "C4",     " A4",  "A4 ",  "Lette", "Letters",  "ANSI",     "ANSI F",
        "ANSI A B",      "x",       "12",      "12x",   "x12",    "0x12", "12x0", "-1x2",  "12x12x12", "12x12 in", "12 inx12",
        "12 in x 12 in", "12x12mm", "1,125x3", "12*12", "12xx12", "SRA5", "RA"};
    (void)state;
    struct nmk_sheet sheet = {.name = "old", .width = {.num = 7}};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        if (nmk_sheet_find(&sheet, none[i], strlen(none[i])) != NMK_INVALID)
            fail_msg("%s is a sheet", none[i]);
    assert_int_equal(nmk_sheet_find(&sheet, NULL, 3), NMK_INVALID);
    assert_int_equal(nmk_sheet_find(&sheet, "A4", 0), NMK_INVALID);
    assert_int_equal(nmk_sheet_find(NULL, "A4", 2), NMK_INVALID);
    assert_string_equal(sheet.name, "old");
    assert_int_equal(sheet.width.num, 7);
    nmk_sheet_clear(NULL);
}

static void test_the_list_finds_itself(void **state)
{
    (void)state;
    struct nmk_sheet sheet = {.name = NULL};
    assert_true(nmk_sheet_count() > 30);
    assert_null(nmk_sheet_name(nmk_sheet_count()));
    for (size_t i = 0; i < nmk_sheet_count(); i++) {
        const char *name = nmk_sheet_name(i);
        assert_int_equal(nmk_sheet_find(&sheet, name, strlen(name)), NMK_OK);
        assert_ptr_equal(sheet.name, name);
        assert_true(nmk_rat_sign(&sheet.width) > 0 && nmk_rat_cmp(&sheet.width, &sheet.height) <= 0);
        nmk_rat_mul(&sheet.width, &sheet.width, &sheet.height); /* a sheet may be found into again */
    }
    nmk_sheet_clear(&sheet);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_name_is_found),
        cmocka_unit_test(test_what_is_no_sheet),
        cmocka_unit_test(test_the_list_finds_itself),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
