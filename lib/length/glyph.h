/* glyph.h -- the characters that turn up in written lengths, by code point. Text is any bytes; what is no UTF-8 is read
 * as U+FFFD, one byte at a time. */
#ifndef LIB_LENGTH_GLYPH_H
#define LIB_LENGTH_GLYPH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct nmk_glyph {
    uint32_t code;
    size_t bytes; /* 0: the end of the text */
};

struct nmk_glyph nmk_glyph_get_any(const char *text, size_t size, size_t at);
static inline struct nmk_glyph nmk_glyph_get(const char *text, size_t size, size_t at)
{
    if (at < size && (unsigned char)text[at] < 0x80) /* nearly always */
        return (struct nmk_glyph){(unsigned char)text[at], 1};
    return nmk_glyph_get_any(text, size, at);
}

bool nmk_glyph_is_digit(uint32_t code);  /* 0 to 9 only */
bool nmk_glyph_is_letter(uint32_t code); /* of any script, roughly: what may stand in a word */
bool nmk_glyph_is_space(uint32_t code);  /* also no-break, thin and zero width ones, tab, U+2064; no line ends */
bool nmk_glyph_is_hyphen(uint32_t code); /* what may join `4-7/16`; the minus sign U+2212 is none */
bool nmk_glyph_is_minus(uint32_t code);
bool nmk_glyph_is_slash(uint32_t code);
bool nmk_glyph_is_inch(uint32_t code); /* " ” ″ and look-alikes */
bool nmk_glyph_is_foot(uint32_t code); /* ' ’ ′ and look-alikes */
int nmk_glyph_raised(uint32_t code);   /* ⁷: 7; -1 for all else */
int nmk_glyph_lowered(uint32_t code);  /* ₇: 7; -1 for all else */
/* "7/8" for ⅞ (static), NULL where it is no vulgar fraction. UnicodeData.txt 15.0.0. */
const char *nmk_glyph_fraction(uint32_t code);

/* The offset of the first character at or after `at` that is no space. */
size_t nmk_glyph_skip_spaces(const char *text, size_t size, size_t at);

#endif
