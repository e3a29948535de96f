/* length.h -- lengths as people write them.
 *
 * A length is an exact rational of a millimetre; 1 in = 254/10 mm exactly (the international yard and pound agreement,
 * 1959). Reading keeps the unit in which it was written. */
#ifndef NEARMARK_LENGTH_H
#define NEARMARK_LENGTH_H

#include "nearmark/diagnostics.h"
#include "nearmark/rat.h"

enum nmk_unit { NMK_MM, NMK_CM, NMK_IN, NMK_FT, NMK_MIL, NMK_UNIT_NONE };

/* Millimetres in one unit; NMK_UNIT_NONE: 1. */
void nmk_unit_mm(struct nmk_rat *out, enum nmk_unit unit);
const char *nmk_unit_name(enum nmk_unit unit); /* "mm", "cm", "in", "ft", "mil", ""; static */
bool nmk_unit_is_inch(enum nmk_unit unit);     /* in, ft, mil */
/* The unit whose name is text[0..size), also its other spellings (inch inches millimetres thou ″ ” " ' ...), in any case;
 * NMK_UNIT_NONE where there is none. */
enum nmk_unit nmk_unit_find(const char *text, size_t size);

/* One number at the start of text: `84`, `8.4`, `8,4`, `4 7/16`, `4-7/16`, `4⅞`, `7/16`, `1⁄4`, `⁷⁄₁₆`.
 * One length at the start of text, with its unit: `84 mm`, `8.4cm`, `8,4 cm`, `4 7/16 in`, `4-7/16"`, `4⅞″`, `4 7/16”`,
 * `3' 4 1/2"`, `0.012 in`, `12 mil`. */
struct nmk_length_read {
    struct nmk_rat mm;       /* the value in millimetres; where there is no unit, the bare number */
    enum nmk_unit unit;      /* as written; feet and inches: NMK_IN; NMK_UNIT_NONE: a bare number */
    size_t used;             /* bytes of text that were read, from its start */
    /* A bare number that is a lone fraction typed with `/`: the offset of that `/`, so that a formula can read it as a
     * division (`a / 6/2`); else 0. */
    size_t slash;
    /* Could have been meant in another way, so say what was read: a decimal comma; 4-7/16; a fraction of 1 or more, which
     * may be a mixed number that lost its space (47/16); 3' 14"; 1 1/2' 3"; over 100 mil, which some say for millimetres. */
    bool doubtful;
};
void nmk_length_read_clear(struct nmk_length_read *r);

/* Why a length could not be read; the offsets are bytes of the text, at + size <= its size. Codes (static):
 *   "no-number"  "minus" (not allowed here)  "bare-point" (.5)  "ambiguous-comma" (1,125)  "two-signs" (1,234.5)
 *   "digit-groups" (1 000)  "hyphen" (84-74/2)  "division-by-zero"  "too-long"  "pt"  "unknown-unit" (m, px ...)
 *   "area" (5 mm²)  "no-inch-unit" (3' 4)  "two-units" (10 cm 5 mm) */
struct nmk_length_error {
    const char *code;
    size_t at, size;
    char message[240]; /* UTF-8 without control characters */
    char hint[240];    /* what to type; "" where there is none */
};

/* Reads the longest length or bare number at the start of text[0..size) (spaces before it allowed, no-break and thin
 * ones too). A leading minus (`-`, `−`) is read only if `allow_minus`. A unit is optional here: the caller decides, and
 * what stands behind is the caller's too (`7.5/16 in` is the number 7.5). *out must be zeroed or read before.
 * NMK_INVALID or NMK_TOO_LARGE (over 1,000 digits), then *error is filled (error may be NULL). */
enum nmk_status nmk_length_parse(struct nmk_length_read *out, const char *text, size_t size, bool allow_minus,
                                 struct nmk_length_error *error);

enum nmk_fraction_style {
    NMK_FRACTION_PLAIN,  /* 4 7/16 */
    NMK_FRACTION_SLASH   /* 4 U+2009 7 U+2044 16: shown as one fraction */
};

/* A length in a unit. in, ft, mil: a mixed reduced fraction `4 7/16 in` where the denominator is a power of two up to
 * 1024, else a decimal; mm and cm: a decimal. A decimal has `places` digits at the most (no more than 1,000), rounded half
 * away from zero, and no trailing zeros; `0`, never `-0`. `-` before a negative one. With the unit after a space. The same
 * under every locale. As snprintf: NUL-terminated, returns the length without the NUL, also when `size` was too small for
 * it; buffer may be NULL when size is 0. */
size_t nmk_length_print(char *buffer, size_t size, const struct nmk_rat *mm, enum nmk_unit unit, unsigned places,
                        enum nmk_fraction_style style);
/* The same figure without its unit. */
size_t nmk_length_print_figure(char *buffer, size_t size, const struct nmk_rat *mm, enum nmk_unit unit, unsigned places,
                               enum nmk_fraction_style style);

/* In words, as said aloud: `four and seven sixteenths`, `eight point four`, `one eighth`, `five`, `minus one half`,
 * `one hundred and thirteen`. No unit. Inches, feet and mil as fractions where the denominator has a name (2 4 8 16 32
 * 64), else, as mm and cm, as decimals, digit by digit behind the point; one of more than six places is said to three,
 * with `about` before it. Whole numbers of a billion and more are said digit by digit. As nmk_length_print. */
size_t nmk_length_say(char *buffer, size_t size, const struct nmk_rat *mm, enum nmk_unit unit);

#endif
