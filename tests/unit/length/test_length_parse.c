/* Every spelling that is read, every refusal with its code and place, and what no outcome may do. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "unit/exact/biased.h"
#include "unit/length/reading.h"

#define THIN "\xE2\x80\x89"   /* U+2009 */
#define NARROW "\xE2\x80\xAF" /* U+202F */
#define NO_BREAK "\xC2\xA0"
#define ZERO_WIDTH "\xE2\x80\x8B"
#define PLUS "\xE2\x81\xA4"  /* U+2064 invisible plus */
#define SLASH "\xE2\x81\x84" /* U+2044 fraction slash */

struct spelling {
    const char *text;
    const char *mm; /* without a unit: the number */
    enum nmk_unit unit;
    const char *rest; /* what is left unread */
    bool doubtful;
};

/* The spellings of the design file, then what people paste. 4 7/16 in = 71/16 * 127/5 mm = 9017/80 mm. */
static const struct spelling spellings[] = {
    {"84 mm", "84", NMK_MM, "", false},
    {"8.4cm", "84", NMK_CM, "", false},
    {"8,4 cm", "84", NMK_CM, "", true},
    {"4 7/16 in", "9017/80", NMK_IN, "", false},
    {"4-7/16\"", "9017/80", NMK_IN, "", true},
    {"4⅞″", "4953/40", NMK_IN, "", false},
    {"4 7/16”", "9017/80", NMK_IN, "", false},
    {"3' 4 1/2\"", "10287/10", NMK_IN, "", false},
    {"0.012 in", "381/1250", NMK_IN, "", false},
    {"12 mil", "381/1250", NMK_MIL, "", false},
    /* the fraction */
    {"7/16 in", "889/80", NMK_IN, "", false},
    {"1⁄4 in", "127/20", NMK_IN, "", false},
    {"4 7" SLASH "16 in", "9017/80", NMK_IN, "", false},
    {"4" ZERO_WIDTH "7" SLASH "16 in", "9017/80", NMK_IN, "", false},
    {"4" THIN "7" SLASH "16" NO_BREAK "in", "9017/80", NMK_IN, "", false},
    {"4" NARROW "7/16" NARROW "in", "9017/80", NMK_IN, "", false},
    {"4" PLUS "⅞ in", "4953/40", NMK_IN, "", false},
    {"4⁷⁄₁₆ in", "9017/80", NMK_IN, "", false},
    {"4 ⁷/16 in", "9017/80", NMK_IN, "", false},
    {"⅟16 in", "127/80", NMK_IN, "", false},
    {"⅟₁₆ in", "127/80", NMK_IN, "", false},
    {"4-⅞\"", "4953/40", NMK_IN, "", true},
    {"4‑7/16 in", "9017/80", NMK_IN, "", true},
    {"4–7/16 in", "9017/80", NMK_IN, "", true},
    {"4∕16 in", "127/20", NMK_IN, "", false},
    {"½ cm", "5", NMK_CM, "", false},
    {"4 1/2 mm", "9/2", NMK_MM, "", false},
    {"4\t7/16 in", "9017/80", NMK_IN, "", false},
    {"5 12/16 in", "2921/20", NMK_IN, "", false},
    {"007 mm", "7", NMK_MM, "", false},
    {"0 mm", "0", NMK_MM, "", false},
    {"0/5 mm", "0", NMK_MM, "", false},
    {"47/16 in", "5969/80", NMK_IN, "", true},
    {"5/4 in", "127/4", NMK_IN, "", true},
    {"16/16 in", "127/5", NMK_IN, "", true},
    {"4 16/16 in", "127", NMK_IN, "", true},
    {"4 20/16 in", "2667/20", NMK_IN, "", true},
    /* the comma: two digits or four behind it are a decimal; one behind a space is none */
    {"8,40 cm", "84", NMK_CM, "", true},
    {"1,1250 in", "1143/40", NMK_IN, "", true},
    {"0,3 mm", "3/10", NMK_MM, "", true},
    {"84, 74", "84", NMK_UNIT_NONE, ", 74", false},
    {"84,", "84", NMK_UNIT_NONE, ",", false},
    {"84.", "84", NMK_UNIT_NONE, ".", false},
    {"1.125 in", "1143/40", NMK_IN, "", false},
    /* units */
    {"4 7/16in", "9017/80", NMK_IN, "", false},
    {"4 7/16 in.", "9017/80", NMK_IN, "", false},
    {"4 7/16 in. wide", "9017/80", NMK_IN, " wide", false},
    {"4 7/16 inches", "9017/80", NMK_IN, "", false},
    {"4.4375\"", "9017/80", NMK_IN, "", false},
    {"1 inch", "127/5", NMK_IN, "", false},
    {"2 Ins", "254/5", NMK_IN, "", false},
    {"84 MM", "84", NMK_MM, "", false},
    {"84 Millimetres", "84", NMK_MM, "", false},
    {"84 millimeters", "84", NMK_MM, "", false},
    {"8.4 centimetres", "84", NMK_CM, "", false},
    {"8.4 centimeter", "84", NMK_CM, "", false},
    {"84㎜", "84", NMK_MM, "", false},
    {"8.4 ㎝", "84", NMK_CM, "", false},
    {"4 7/16 ㏌", "9017/80", NMK_IN, "", false},
    {"84" NO_BREAK "mm", "84", NMK_MM, "", false},
    {"84" THIN ZERO_WIDTH "mm", "84", NMK_MM, "", false},
    {"4 7/16''", "9017/80", NMK_IN, "", false},
    {"4 7/16′′", "9017/80", NMK_IN, "", false},
    {"4 7/16’’", "9017/80", NMK_IN, "", false},
    {"4 7/16“", "9017/80", NMK_IN, "", false},
    {"4 7/16 \"", "9017/80", NMK_IN, "", false},
    {"4 7/16 ″ x 3", "9017/80", NMK_IN, " x 3", false},
    {"12 thou", "381/1250", NMK_MIL, "", false},
    {"100 mil", "127/50", NMK_MIL, "", false},
    {"101 mil", "12827/5000", NMK_MIL, "", true},
    {"2 ft", "3048/5", NMK_FT, "", false},
    {"2 feet", "3048/5", NMK_FT, "", false},
    {"1 foot", "1524/5", NMK_FT, "", false},
    /* feet and inches */
    {"3'-4 1/2\"", "10287/10", NMK_IN, "", false},
    {"3′ 4½″", "10287/10", NMK_IN, "", false},
    {"3’ 4 1/2”", "10287/10", NMK_IN, "", false},
    {"3’4’’", "1016", NMK_IN, "", false},
    {"3 ft 4 1/2 in", "10287/10", NMK_IN, "", false},
    {"3ft4in", "1016", NMK_IN, "", false},
    {"3 feet 4 inches", "1016", NMK_IN, "", false},
    {"3' 14\"", "1270", NMK_IN, "", true},
    {"3' 12\"", "6096/5", NMK_IN, "", true},
    {"3' 11 15/16\"", "97409/80", NMK_IN, "", false},
    {"1 1/2' 3\"", "2667/5", NMK_IN, "", true},
    {"3' - 4\"", "4572/5", NMK_FT, " - 4\"", false},
    {"3' x 4'", "4572/5", NMK_FT, " x 4'", false},
    {"3' 4'", "4572/5", NMK_FT, " 4'", false},
    {"3' 10 mm", "4572/5", NMK_FT, " 10 mm", false},
    /* what is not the length's is left */
    {"84", "84", NMK_UNIT_NONE, "", false},
    {"  \t 84", "84", NMK_UNIT_NONE, "", false},
    {"84  ", "84", NMK_UNIT_NONE, "  ", false},
    {"84\nmm", "84", NMK_UNIT_NONE, "\nmm", false},
    {"84 apples", "84", NMK_UNIT_NONE, " apples", false},
    {"84mmm", "84", NMK_UNIT_NONE, "mmm", false},
    {"84 mm_", "84", NMK_UNIT_NONE, " mm_", false},
    {"84 mmé", "84", NMK_UNIT_NONE, " mmé", false},
    {"84 inside", "84", NMK_UNIT_NONE, " inside", false},
    {"84 mm±0.5 mm", "84", NMK_MM, "±0.5 mm", false},
    {"84 mm×74 mm", "84", NMK_MM, "×74 mm", false},
    {"84mmx74mm", "84", NMK_MM, "x74mm", false},
    {"8.5inX11in", "2159/10", NMK_IN, "X11in", false},
    {"4\"x6\"", "508/5", NMK_IN, "x6\"", false},
    {"8.5x11", "17/2", NMK_UNIT_NONE, "x11", false},
    {"4 \"Tray\"", "4", NMK_UNIT_NONE, " \"Tray\"", false},
    {"80 lb cover", "80", NMK_UNIT_NONE, " lb cover", false},
    {"0 to 4 mm", "0", NMK_UNIT_NONE, " to 4 mm", false},
    {"4 - 7/16 in", "4", NMK_UNIT_NONE, " - 7/16 in", false},
    {"4- 7/16 in", "4", NMK_UNIT_NONE, "- 7/16 in", false},
    {"4 -7/16 in", "4", NMK_UNIT_NONE, " -7/16 in", false},
    {"4−7/16 in", "4", NMK_UNIT_NONE, "−7/16 in", false},
    {"84-74", "84", NMK_UNIT_NONE, "-74", false},
    {"7 / 16 in", "7", NMK_UNIT_NONE, " / 16 in", false},
    {"7/ 16 in", "7", NMK_UNIT_NONE, "/ 16 in", false},
    {"7/x", "7", NMK_UNIT_NONE, "/x", false},
    {"7.5/16 in", "15/2", NMK_UNIT_NONE, "/16 in", false},
    {"7/16.5", "7", NMK_UNIT_NONE, "/16.5", false},
    {"7/16,5", "7", NMK_UNIT_NONE, "/16,5", false},
    {"4 7", "4", NMK_UNIT_NONE, " 7", false},
    {"4.5 1/2 in", "9/2", NMK_UNIT_NONE, " 1/2 in", false},
    {"1e3", "1", NMK_UNIT_NONE, "e3", false},
    {"84 in.5", "10668/5", NMK_IN, ".5", false},
    {"84 mm...", "84", NMK_MM, "...", false},
    {"4⅞3", "39/8", NMK_UNIT_NONE, "3", false},
    {"10 cm + 5 mm", "100", NMK_CM, " + 5 mm", false},
    {"10 cm 5", "100", NMK_CM, " 5", false},
    {"10 mm 5 mm", "10", NMK_MM, " 5 mm", false},
    {"4 2000", "4", NMK_UNIT_NONE, " 2000", false},
    {"4  200", "4", NMK_UNIT_NONE, "  200", false},
    {"1000 200", "1000", NMK_UNIT_NONE, " 200", false},
    {"4 113/128 in", "15875/128", NMK_IN, "", false},
};

static void check_spelling(const struct spelling *s)
{
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    size_t size = strlen(s->text);
    if (reading_parse(&r, s->text, size, false, &e))
        fail_msg("`%s` is refused: %s", s->text, e.message);
    if (!rat_prints(&r.mm, s->mm) || r.unit != s->unit)
        fail_msg("`%s` is not %s, unit %s", s->text, s->mm, nmk_unit_name(r.unit));
    if (r.used != size - strlen(s->rest))
        fail_msg("of `%s` %zu bytes are read", s->text, r.used);
    if (r.doubtful != s->doubtful)
        fail_msg("`%s` is %sdoubtful", s->text, r.doubtful ? "" : "not ");
    nmk_length_read_clear(&r);
}

static void test_every_spelling_is_read(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++)
        check_spelling(&spellings[i]);
}

struct refusal {
    const char *text;
    const char *code;
    size_t at, size;
    const char *says; /* somewhere in message or hint; "" for no matter what */
};

static const struct refusal refusals[] = {
    {"", "no-number", 0, 0, ""},
    {"   ", "no-number", 3, 0, ""},
    {"mm", "no-number", 0, 1, ""},
    {"é", "no-number", 0, 2, ""},
    {"a/2 in", "no-number", 0, 1, ""},
    {"/2 in", "no-number", 0, 1, ""},
    {"+4 mm", "no-number", 0, 1, ""},
    {"\"4\"", "no-number", 0, 1, ""},
    {"-4 mm", "minus", 0, 1, ""},
    {" −4 mm", "minus", 1, 3, ""},
    {".5 in", "bare-point", 0, 2, "0.5"},
    {"  ,25 in", "bare-point", 2, 3, "0.25"},
    {"1,125", "ambiguous-comma", 0, 5, "1.125 or 1125"},
    {"1,125 in", "ambiguous-comma", 0, 5, "1.125 or 1125"},
    {" 12,000 mm", "ambiguous-comma", 1, 6, "12.000 or 12000"},
    {"0,125 in", "ambiguous-comma", 0, 5, "0.125"},
    {"1,234,567 mm", "two-signs", 0, 9, "1,234,567"},
    {"1,234.5 mm", "two-signs", 0, 7, "1,234.5"},
    {"1.234,5 mm", "two-signs", 0, 7, "1.234,5"},
    {"1.2.3", "two-signs", 0, 5, "1.2.3"},
    {"1,2,3", "two-signs", 0, 5, "space"},
    {"1 000 mm", "digit-groups", 0, 5, "1000"},
    {"12" NARROW "500 mm", "digit-groups", 0, 8, "12500"},
    {"84-74/2", "hyphen", 0, 7, "84 - 74/2"},
    {"1/0 in", "division-by-zero", 0, 3, "1/0"},
    {"4 1/0 in", "division-by-zero", 0, 5, ""},
    {"0/0", "division-by-zero", 0, 3, ""},
    {"4 1" SLASH "000 in", "division-by-zero", 0, 9, ""},
    {"12 pt", "pt", 0, 5, "12 mil"},
    {"12pt", "pt", 0, 4, "1/6 in"},
    {"12 Points", "pt", 0, 9, "1/72 in"},
    {"0.5 pt card", "pt", 0, 6, "0.5 mil"},
    {"0.3 m", "unknown-unit", 4, 1, "cm"},
    {"2 metres", "unknown-unit", 2, 6, "cm"},
    {"2 yd", "unknown-unit", 2, 2, "ft"},
    {"300 µm", "unknown-unit", 4, 3, "mm"},
    {"300 μm", "unknown-unit", 4, 3, "mm"},
    {"96 px", "unknown-unit", 3, 2, "mm"},
    {"5 mm²", "area", 2, 4, "area"},
    {"5 mm2", "area", 2, 3, "area"},
    {"5 in³", "area", 2, 4, "area"},
    {"3' 4", "no-inch-unit", 3, 1, "3' 4 1/2\""},
    {"3 ft 4 1/2", "no-inch-unit", 5, 5, ""},
    {"3' 1/0\"", "division-by-zero", 3, 3, ""},
    {"10 cm 5 mm", "two-units", 0, 10, "105 mm"},
    {"1.5cm5mm", "two-units", 0, 8, "20 mm"},
};

static void check_refusal(const struct refusal *f)
{
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    if (!reading_parse(&r, f->text, strlen(f->text), false, &e))
        fail_msg("`%s` is read", f->text);
    if (strcmp(e.code, f->code) != 0 || e.at != f->at || e.size != f->size)
        fail_msg("`%s`: %s at %zu, %zu bytes", f->text, e.code, e.at, e.size);
    if (!strstr(e.message, f->says) && !strstr(e.hint, f->says))
        fail_msg("`%s`: no %s in `%s` and `%s`", f->text, f->says, e.message, e.hint);
}

static void test_every_refusal_has_its_code_and_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof *refusals; i++)
        check_refusal(&refusals[i]);
}

static void test_an_ambiguous_comma_shows_both_readings_in_the_message(void **state)
{
    (void)state;
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    assert_int_equal(reading_parse(&r, "1,125", 5, false, &e), NMK_INVALID);
    assert_string_equal(e.message, "1,125 can be read in two ways: 1.125 or 1125");
}

static void test_a_point_is_told_apart_for_both(void **state)
{
    (void)state;
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    assert_int_equal(reading_parse(&r, "12 pt", 5, false, &e), NMK_INVALID);
    assert_string_equal(e.message, "A point is 1/72 in to a printer and 1/1000 in to a card seller");
    assert_string_equal(e.hint, "write 12 mil for a card's thickness, 1/6 in for type");
}

/* A quotation in a message is at most 48 bytes and an ellipsis, and ends between two characters. */
static void test_long_texts_are_quoted_in_part(void **state)
{
    (void)state;
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    char text[128] = "84-", hint[128] = "write 84 - ";
    for (size_t i = 0; i < 30; i++) {
        strcat(text, "⁷");
        strcat(hint, i < 16 ? "⁷" : i == 16 ? "…" : "");
    }
    strcat(text, "/2");
    assert_int_equal(reading_parse(&r, text, strlen(text), false, &e), NMK_INVALID);
    assert_string_equal(e.hint, hint);
    memset(text, '7', 127);
    memcpy(text, "1-1", 3);
    text[50] = '/';
    strcpy(text + 51, "2");
    assert_int_equal(reading_parse(&r, text, strlen(text), false, &e), NMK_INVALID);
    assert_int_equal(strlen(e.hint), strlen("write 1 - ") + 48 + 3);
}

static void test_a_minus_is_read_where_it_may_stand(void **state)
{
    static const struct {
        const char *text, *mm;
    } minuses[] = {{"-1.5 mm", "-3/2"}, {"−1.5 mm", "-3/2"},           {"- 1.5 mm", "-3/2"}, {" –1.5 mm", "-3/2"},
                   {"-1/4 in", "-127/20"}, {"-3' 4 1/2\"", "-10287/10"}, {"-0 mm", "0"},       {"-1.5", "-3/2"}};
    (void)state;
    for (size_t i = 0; i < sizeof minuses / sizeof *minuses; i++) {
        struct nmk_rat mm = reading_mm(minuses[i].text);
        if (!rat_prints(&mm, minuses[i].mm))
            fail_msg("%s is not %s", minuses[i].text, minuses[i].mm);
        nmk_rat_clear(&mm);
    }
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    assert_int_equal(reading_parse(&r, "--1 mm", 6, true, &e), NMK_INVALID);
    assert_string_equal(e.code, "minus");
    assert_int_equal(e.at, 1);
}

static void test_a_lone_fraction_tells_where_its_slash_is(void **state)
{
    static const struct {
        const char *text;
        size_t slash;
    } lone[] = {{"6/2 * 3", 1}, {" 12/5", 3}, {"6/2 in", 0}, {"1 6/12", 0}, {"½", 0}, {"6" SLASH "2", 0}, {"6", 0}, {"6.5", 0}};
    (void)state;
    for (size_t i = 0; i < sizeof lone / sizeof *lone; i++) {
        struct nmk_length_read r = {.used = 0};
        struct nmk_length_error e;
        assert_int_equal(reading_parse(&r, lone[i].text, strlen(lone[i].text), false, &e), NMK_OK);
        if (r.slash != lone[i].slash)
            fail_msg("%s: slash %zu", lone[i].text, r.slash);
        nmk_length_read_clear(&r);
    }
}

/* ---- limits ---- */

/* `digits` digits in a number of the shape: 0 whole, 1 decimal, 2 fraction, 3 mixed. */
static size_t write_long(char *text, size_t digits, unsigned shape)
{
    size_t half = digits / 2, size = 0;
    for (size_t i = 0; i < digits; i++) {
        if (i == half && shape)
            text[size++] = shape == 1 ? '.' : shape == 2 ? '/' : ' ';
        if (i == digits - 1 && shape == 3)
            text[size++] = '/';
        text[size++] = (char)('1' + i % 9);
    }
    return size;
}

static void test_a_number_has_a_thousand_digits_at_most(void **state)
{
    (void)state;
    static char text[2100];
    for (unsigned shape = 0; shape < 4; shape++) {
        for (size_t digits = 990; digits < 1010; digits++) {
            struct nmk_length_read r = {.used = 0};
            struct nmk_length_error e;
            size_t size = write_long(text, digits, shape);
            enum nmk_status status = reading_parse(&r, text, size, false, &e);
            assert_int_equal(status, digits <= 1000 ? NMK_OK : NMK_TOO_LARGE);
            assert_int_equal(status ? e.at + e.size : r.used, size);
            nmk_length_read_clear(&r);
        }
    }
    for (size_t i = 0; i < sizeof text; i++)
        text[i] = '0';
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    assert_int_equal(reading_parse(&r, text, sizeof text, false, &e), NMK_TOO_LARGE);
}

static void test_a_million_bytes_are_refused_at_once(void **state)
{
    (void)state;
    enum { SIZE = 1 << 20 };
    char *text = malloc(SIZE);
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    assert_non_null(text);
    static const char *const fillings[] = {"1", "/", "1/", "1,", " ", "- ", "'", "1' "};
    for (size_t f = 0; f < sizeof fillings / sizeof *fillings; f++) {
        for (size_t i = 0; i < SIZE; i++)
            text[i] = fillings[f][i % strlen(fillings[f])];
        reading_parse(&r, text, SIZE, true, &e);
    }
    nmk_length_read_clear(&r);
    free(text);
}

static void test_wrong_calls_are_answered(void **state)
{
    (void)state;
    struct nmk_length_read r = {.used = 7};
    struct nmk_length_error e;
    assert_int_equal(nmk_length_parse(NULL, "4 mm", 4, false, &e), NMK_INVALID);
    assert_int_equal(nmk_length_parse(&r, NULL, 4, false, &e), NMK_INVALID);
    assert_int_equal(nmk_length_parse(&r, NULL, 0, false, &e), NMK_INVALID);
    assert_int_equal(nmk_length_parse(&r, "x", 1, false, NULL), NMK_INVALID);
    assert_int_equal(nmk_length_parse(&r, "1,125", 5, false, NULL), NMK_INVALID);
    assert_int_equal(r.used, 7);
    nmk_length_read_clear(NULL);
    nmk_length_read_clear(&r);
    nmk_length_read_clear(&r);
}

static void test_a_read_may_be_used_again(void **state)
{
    (void)state;
    struct nmk_length_read r = {.used = 0};
    assert_int_equal(nmk_length_parse(&r, "123456789012345678901234567890 mm", 33, false, NULL), NMK_OK);
    assert_int_equal(nmk_length_parse(&r, "4 mm", 4, false, NULL), NMK_OK);
    assert_true(rat_prints(&r.mm, "4"));
    nmk_length_read_clear(&r);
}

/* ---- any bytes ---- */

static void try_bytes(const char *text, size_t size)
{
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    reading_parse(&r, text, size, true, &e);
    reading_parse(&r, text, size, false, &e);
    nmk_length_read_clear(&r);
}

static void try_mutations(const char *text)
{
    static const char bytes[] = {0,   '\n', ' ', '"',    '\'',   ',',    '-',    '.',   '/',
                                 '0', '9',  'x', '\x7F', '\x80', '\xC2', '\xE2', '\xFF'};
    char changed[64];
    size_t size = strlen(text);
    assert_true(size < sizeof changed);
    for (size_t at = 0; at < size; at++) {
        try_bytes(text, at);
        try_bytes(text + at, size - at);
        memcpy(changed, text, size);
        for (size_t b = 0; b < sizeof bytes; b++) {
            changed[at] = bytes[b];
            try_bytes(changed, size);
        }
        memmove(changed + at, text + at + 1, size - at - 1);
        try_bytes(changed, size - 1);
    }
}

static void test_prefixes_and_mutations_keep_every_promise(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++)
        try_mutations(spellings[i].text);
    for (size_t i = 0; i < sizeof refusals / sizeof *refusals; i++)
        try_mutations(refusals[i].text);
}

/* Texts put together from what lengths are made of. */
static void test_random_texts_keep_every_promise(void **state)
{
    static const char *const parts[] = {"1",    "0",   "47",  "/",     "/16",  ".",   ",",        ",125", " ",  "-",  "⅞",
                                        "⁷⁄₁₆", "⅟",   THIN,  "in",    "mm",   "cm",  "ft",       "\"",   "'",  "x",  "pt",
                                        "″",    "m",   "²",   "\xE2",  "in.",  SLASH, "8",        "5",    "x9", "3'", "4\"",
                                        "−",    "12 ", "000", "1 1/2", " 7/8", "mil", "\xF0\x9F", "'’",   "0/0"};
    (void)state;
    for (unsigned long n = 0, cases = biased_cases(20000); n < cases; n++) {
        char text[256] = "";
        for (uint64_t count = 1 + biased_below(10); count; count--)
            strcat(text, parts[biased_below(sizeof parts / sizeof *parts)]);
        try_bytes(text, strlen(text));
    }
}

/* What was read once is read again from its own text alone, and a line end behind it changes nothing. */
static void test_a_reading_does_not_depend_on_what_follows_a_line_end(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++) {
        struct nmk_length_read r = {.used = 0}, again = {.used = 0};
        struct nmk_length_error e;
        char text[128];
        int size = snprintf(text, sizeof text, "%s\n7/16 in 12", spellings[i].text);
        assert_int_equal(reading_parse(&r, spellings[i].text, strlen(spellings[i].text), false, &e), NMK_OK);
        assert_int_equal(reading_parse(&again, text, (size_t)size, false, &e), NMK_OK);
        assert_true(nmk_rat_equal(&r.mm, &again.mm));
        assert_int_equal(r.used, again.used);
        assert_int_equal(reading_parse(&again, spellings[i].text, r.used, false, &e), NMK_OK);
        assert_true(nmk_rat_equal(&r.mm, &again.mm));
        assert_int_equal(r.used, again.used);
        nmk_length_read_clear(&r);
        nmk_length_read_clear(&again);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_spelling_is_read),
        cmocka_unit_test(test_every_refusal_has_its_code_and_place),
        cmocka_unit_test(test_an_ambiguous_comma_shows_both_readings_in_the_message),
        cmocka_unit_test(test_a_point_is_told_apart_for_both),
        cmocka_unit_test(test_long_texts_are_quoted_in_part),
        cmocka_unit_test(test_a_minus_is_read_where_it_may_stand),
        cmocka_unit_test(test_a_lone_fraction_tells_where_its_slash_is),
        cmocka_unit_test(test_a_number_has_a_thousand_digits_at_most),
        cmocka_unit_test(test_a_million_bytes_are_refused_at_once),
        cmocka_unit_test(test_wrong_calls_are_answered),
        cmocka_unit_test(test_a_read_may_be_used_again),
        cmocka_unit_test(test_prefixes_and_mutations_keep_every_promise),
        cmocka_unit_test(test_random_texts_keep_every_promise),
        cmocka_unit_test(test_a_reading_does_not_depend_on_what_follows_a_line_end),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
