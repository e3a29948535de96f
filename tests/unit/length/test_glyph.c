/* Characters: any bytes are read without a step beyond the end, and what is no UTF-8 is U+FFFD, a byte at a time. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdlib.h>
#include <string.h>

#include "length/glyph.h"

/* The bytes of a code point, by the definition of UTF-8 (RFC 3629, section 3). */
static size_t encode(char *out, uint32_t code)
{
    if (code < 0x80) {
        out[0] = (char)code;
        return 1;
    }
    size_t more = code < 0x800 ? 1 : code < 0x10000 ? 2 : 3;
    static const unsigned char first[] = {0, 0xC0, 0xE0, 0xF0};
    out[0] = (char)(first[more] | code >> (6 * more));
    for (size_t i = 1; i <= more; i++)
        out[i] = (char)(0x80 | (code >> (6 * (more - i)) & 0x3F));
    return more + 1;
}

static struct nmk_glyph get(const char *bytes, size_t size)
{
    char *copy = malloc(size ? size : 1);
    assert_non_null(copy);
    memcpy(copy, bytes, size);
    struct nmk_glyph g = nmk_glyph_get(copy, size, 0);
    free(copy);
    return g;
}

static void test_every_code_point_comes_back(void **state)
{
    (void)state;
    for (uint32_t code = 0; code <= 0x10FFFF; code += code < 0x3400 ? 1 : 251) {
        char bytes[4];
        size_t size = encode(bytes, code);
        struct nmk_glyph g = nmk_glyph_get(bytes, size, 0);
        bool surrogate = code >= 0xD800 && code <= 0xDFFF;
        if (surrogate ? g.code != 0xFFFD || g.bytes != 1 : g.code != code || g.bytes != size)
            fail_msg("U+%04X", (unsigned)code);
    }
}

static void test_what_is_cut_off_or_overlong_is_one_broken_byte(void **state)
{
    static const struct {
        const char *bytes;
        size_t size;
    } broken[] = {{"\x80", 1},         {"\xC2", 1},         {"\xE2\x80", 2},         {"\xF0\x9F\x98", 3},
                  {"\xC0\xAF", 2},     {"\xE0\x80\xAF", 3}, {"\xF0\x80\x80\xAF", 4}, {"\xED\xA0\x80", 3},
                  {"\xF4\x90\x80\x80", 4}, {"\xFF", 1},      {"\xC2\x41", 2},         {"\xF8\x88\x80\x80\x80", 5}};
    (void)state;
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++) {
        struct nmk_glyph g = get(broken[i].bytes, broken[i].size);
        assert_int_equal(g.code, 0xFFFD);
        assert_int_equal(g.bytes, 1);
    }
    assert_int_equal(get("", 0).bytes, 0);
    assert_int_equal(nmk_glyph_get("ab", 2, 5).bytes, 0);
}

/* No character is of two kinds that would be read differently. */
static void test_kinds_do_not_overlap(void **state)
{
    (void)state;
    for (uint32_t code = 0; code < 0x3400; code++) {
        int kinds = nmk_glyph_is_digit(code) + nmk_glyph_is_letter(code) + nmk_glyph_is_space(code) + nmk_glyph_is_minus(code) +
                    nmk_glyph_is_slash(code) + nmk_glyph_is_inch(code) + nmk_glyph_is_foot(code) +
                    (nmk_glyph_raised(code) >= 0) + (nmk_glyph_lowered(code) >= 0) + (nmk_glyph_fraction(code) != NULL);
        if (kinds > 1)
            fail_msg("U+%04X is of %d kinds", (unsigned)code, kinds);
        assert_true(!nmk_glyph_is_hyphen(code) || nmk_glyph_is_minus(code));
    }
}

static void test_kinds(void **state)
{
    (void)state;
    assert_true(nmk_glyph_is_space(0xA0) && nmk_glyph_is_space(0x2009) && nmk_glyph_is_space(0x202F) &&
                nmk_glyph_is_space(0x200B) && nmk_glyph_is_space(0x2064) && nmk_glyph_is_space('\t'));
    assert_true(!nmk_glyph_is_space('\n') && !nmk_glyph_is_space('\r') && !nmk_glyph_is_space(0x2028));
    assert_true(nmk_glyph_is_letter(0xE9) && nmk_glyph_is_letter(0x5B57) && nmk_glyph_is_letter(0x3B1));
    assert_true(!nmk_glyph_is_letter(0xD7) && !nmk_glyph_is_letter(0xB1) && !nmk_glyph_is_letter(0x2212) &&
                !nmk_glyph_is_letter(0xFFFD));
    assert_true(nmk_glyph_is_letter(0xFF21) && nmk_glyph_is_letter(0x10330) && nmk_glyph_is_letter(0x20000));
    assert_true(!nmk_glyph_is_letter(0xFE0F) && !nmk_glyph_is_letter(0xFF0D) && !nmk_glyph_is_letter(0x1F4E6));
    assert_true(nmk_glyph_is_minus(0x2212) && !nmk_glyph_is_hyphen(0x2212));
    assert_int_equal(nmk_glyph_raised(0xB9), 1);
    assert_int_equal(nmk_glyph_raised(0xB3), 3);
    assert_int_equal(nmk_glyph_raised(0x2079), 9);
    assert_int_equal(nmk_glyph_raised(0x2071), -1);
    assert_int_equal(nmk_glyph_lowered(0x2080), 0);
    assert_int_equal(nmk_glyph_lowered(0x208A), -1);
    assert_int_equal(nmk_glyph_skip_spaces(" \xC2\xA0\t4", 5, 0), 4);
    assert_int_equal(nmk_glyph_skip_spaces("  ", 2, 0), 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_code_point_comes_back),
        cmocka_unit_test(test_what_is_cut_off_or_overlong_is_one_broken_byte),
        cmocka_unit_test(test_kinds_do_not_overlap),
        cmocka_unit_test(test_kinds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
