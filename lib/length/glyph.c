#include "length/glyph.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const struct nmk_glyph broken = {0xFFFD, 1};

/* The bytes after the first: `count` of 10xxxxxx; the result must be at least `least` (no overlong forms). */
static struct nmk_glyph longer(const unsigned char *s, size_t left, uint32_t code, size_t count, uint32_t least)
{
    if (left <= count)
        return broken;
    for (size_t i = 1; i <= count; i++) {
        if ((s[i] & 0xC0) != 0x80)
            return broken;
        code = code << 6 | (s[i] & 0x3Fu);
    }
    if (code < least || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF))
        return broken;
    return (struct nmk_glyph){code, count + 1};
}

struct nmk_glyph nmk_glyph_get_any(const char *text, size_t size, size_t at)
{
    if (at >= size)
        return (struct nmk_glyph){0, 0};
    const unsigned char *s = (const unsigned char *)text + at;
    size_t left = size - at;
    if (s[0] < 0x80)
        return (struct nmk_glyph){s[0], 1};
    if ((s[0] & 0xE0) == 0xC0)
        return longer(s, left, s[0] & 0x1Fu, 1, 0x80);
    if ((s[0] & 0xF0) == 0xE0)
        return longer(s, left, s[0] & 0x0Fu, 2, 0x800);
    if ((s[0] & 0xF8) == 0xF0)
        return longer(s, left, s[0] & 0x07u, 3, 0x10000);
    return broken;
}

static bool among(uint32_t code, const uint32_t *list, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (list[i] == code)
            return true;
    return false;
}

bool nmk_glyph_is_digit(uint32_t code)
{
    return code >= '0' && code <= '9';
}

/* Arabic forms, full-width letters, the planes of scripts and ideographs; no emoji, no variation selectors. */
static bool is_high_letter(uint32_t code)
{
    return (code >= 0xFE70 && code <= 0xFEFC) || (code >= 0xFF21 && code <= 0xFF3A) || (code >= 0xFF41 && code <= 0xFF5A) ||
           (code >= 0xFF66 && code <= 0xFFDC) || (code >= 0x10000 && code <= 0x1CFFF) || (code >= 0x1E000 && code <= 0x1EFFF) ||
           (code >= 0x20000 && code <= 0x3FFFD);
}

/* Above ASCII everything counts but signs, punctuation, symbols and private use: names may be in any script. */
bool nmk_glyph_is_letter(uint32_t code)
{
    if (code < 0x80)
        return (code >= 'a' && code <= 'z') || (code >= 'A' && code <= 'Z');
    if (code < 0xC0)
        return code == 0xAA || code == 0xB5 || code == 0xBA;
    return code != 0xD7 && code != 0xF7 && !(code >= 0x02B9 && code <= 0x02BC) && !(code >= 0x2000 && code <= 0x2BFF) &&
           !(code >= 0x3000 && code <= 0x303F) && !(code >= 0xE000 && code <= 0xF8FF) &&
           (code < 0xFE00 || is_high_letter(code));
}

bool nmk_glyph_is_space(uint32_t code)
{
    static const uint32_t spaces[] = {0xA0, 0x202F, 0x205F, 0x2060, 0x2064, 0x3000, 0xFEFF};
    if (code < 0x80)
        return code == ' ' || code == '\t';
    return (code >= 0x2000 && code <= 0x200F) || among(code, spaces, COUNT(spaces));
}

bool nmk_glyph_is_hyphen(uint32_t code)
{
    return code == '-' || (code >= 0x2010 && code <= 0x2013);
}

bool nmk_glyph_is_minus(uint32_t code)
{
    return code == 0x2212 || nmk_glyph_is_hyphen(code);
}

bool nmk_glyph_is_slash(uint32_t code)
{
    return code == '/' || code == 0x2044 || code == 0x2215;
}

bool nmk_glyph_is_inch(uint32_t code)
{
    static const uint32_t marks[] = {'"', 0x02BA, 0x201C, 0x201D, 0x2033};
    return among(code, marks, COUNT(marks));
}

bool nmk_glyph_is_foot(uint32_t code)
{
    static const uint32_t marks[] = {'\'', 0xB4, 0x02B9, 0x02BC, 0x2018, 0x2019, 0x2032};
    return among(code, marks, COUNT(marks));
}

int nmk_glyph_raised(uint32_t code)
{
    if (code == 0xB9)
        return 1;
    if (code == 0xB2 || code == 0xB3)
        return (int)(code - 0xB0);
    if (code == 0x2070 || (code >= 0x2074 && code <= 0x2079))
        return (int)(code - 0x2070);
    return -1;
}

int nmk_glyph_lowered(uint32_t code)
{
    return code >= 0x2080 && code <= 0x2089 ? (int)(code - 0x2080) : -1;
}

const char *nmk_glyph_fraction(uint32_t code)
{
    static const struct {
        uint32_t code;
        const char *fraction;
    } all[] = {
        {0xBC, "1/4"},   {0xBD, "1/2"},   {0xBE, "3/4"},   {0x2150, "1/7"}, {0x2151, "1/9"}, {0x2152, "1/10"}, {0x2153, "1/3"},
        {0x2154, "2/3"}, {0x2155, "1/5"}, {0x2156, "2/5"}, {0x2157, "3/5"}, {0x2158, "4/5"}, {0x2159, "1/6"},  {0x215A, "5/6"},
        {0x215B, "1/8"}, {0x215C, "3/8"}, {0x215D, "5/8"}, {0x215E, "7/8"}, {0x2189, "0/3"},
    };
    for (size_t i = 0; code >= all[0].code && i < COUNT(all); i++)
        if (all[i].code == code)
            return all[i].fraction;
    return NULL;
}

size_t nmk_glyph_skip_spaces(const char *text, size_t size, size_t at)
{
    for (;;) {
        struct nmk_glyph g = nmk_glyph_get(text, size, at);
        if (!g.bytes || !nmk_glyph_is_space(g.code))
            return at;
        at += g.bytes;
    }
}
