#include "length/number.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

/* The digits of a number as plain ASCII, in the form that nmk_rat_parse reads. Digits beyond the limit are counted. */
struct spelling {
    char text[NMK_NUMBER_DIGITS + 8];
    size_t size, digits;
};

enum kind { PLAIN, RAISED, LOWERED };

void nmk_number_clear(struct nmk_number *n)
{
    nmk_rat_clear(&n->value);
    *n = (struct nmk_number){.end = 0};
}

static void put(struct spelling *s, char c)
{
    bool digit = c >= '0' && c <= '9';
    s->digits += digit;
    if (!digit || s->digits <= NMK_NUMBER_DIGITS)
        s->text[s->size++] = c;
    assert(s->size <= sizeof s->text);
}

static int digit_value(uint32_t code, enum kind kind)
{
    if (kind == RAISED)
        return nmk_glyph_raised(code);
    if (kind == LOWERED)
        return nmk_glyph_lowered(code);
    return nmk_glyph_is_digit(code) ? (int)code - '0' : -1;
}

/* The end of the run of digits at `at`; `at` itself where there is none. */
static size_t take_digits(struct spelling *s, const struct nmk_written *w, size_t at, enum kind kind)
{
    for (;;) {
        struct nmk_glyph g = nmk_written_glyph(w, at);
        int value = g.bytes ? digit_value(g.code, kind) : -1;
        if (value < 0)
            return at;
        put(s, (char)('0' + value));
        at += g.bytes;
    }
}

/* Is there a decimal sign at `at`, with a digit behind it? (Every caller stands behind a digit.) */
static bool has_sign(const struct nmk_written *w, size_t at)
{
    return at < w->size && (w->text[at] == '.' || w->text[at] == ',') && nmk_written_has_digit(w, at + 1);
}

/* slash digits, behind the numerator; 0 where there is no such denominator. `7/16.5` is a division, no fraction. */
static size_t take_denominator(struct spelling *s, const struct nmk_written *w, size_t at, bool raised)
{
    struct nmk_glyph g = nmk_written_glyph(w, at);
    if (!g.bytes || !nmk_glyph_is_slash(g.code))
        return 0;
    put(s, '/');
    size_t start = at + g.bytes, end = start;
    if (raised)
        end = take_digits(s, w, start, LOWERED);
    if (end == start)
        end = take_digits(s, w, start, PLAIN);
    return end == start || has_sign(w, end) ? 0 : end;
}

/* U+215F is `1/` in one character. */
static size_t take_one_over(struct spelling *s, const struct nmk_written *w, size_t at)
{
    put(s, '1');
    put(s, '/');
    size_t end = take_digits(s, w, at, LOWERED);
    if (end == at)
        end = take_digits(s, w, at, PLAIN);
    return end == at || has_sign(w, end) ? 0 : end;
}

/* The end of the fraction at `at`, its spelling added to s; 0 where there is none, s then as before. */
static size_t take_fraction(struct spelling *s, const struct nmk_written *w, size_t at)
{
    size_t size = s->size, digits = s->digits;
    struct nmk_glyph g = nmk_written_glyph(w, at);
    const char *vulgar = g.bytes ? nmk_glyph_fraction(g.code) : NULL;
    size_t end = 0;
    if (vulgar) {
        for (; *vulgar; vulgar++)
            put(s, *vulgar);
        return at + g.bytes;
    }
    if (g.bytes && g.code == 0x215F) {
        end = take_one_over(s, w, at + g.bytes);
    } else {
        bool raised = g.bytes && nmk_glyph_raised(g.code) >= 0;
        size_t numerator = take_digits(s, w, at, raised ? RAISED : PLAIN);
        if (numerator > at)
            end = take_denominator(s, w, numerator, raised);
    }
    if (!end) {
        s->size = size;
        s->digits = digits;
    }
    return end;
}

static enum nmk_status refuse_long(const struct nmk_written *w, size_t at, size_t end)
{
    return nmk_written_refuse(w, NMK_TOO_LARGE, "too-long", at, end - at, NULL, "A number has at most %d digits",
                              NMK_NUMBER_DIGITS);
}

/* The value of a spelling, text[from..size) of it. */
static enum nmk_status value_of(struct nmk_rat *out, const struct spelling *s, size_t from, const struct nmk_written *w,
                                size_t at, size_t end)
{
    if (s->digits > NMK_NUMBER_DIGITS)
        return refuse_long(w, at, end);
    enum nmk_status status = nmk_rat_parse(out, s->text + from, s->size - from);
    if (status == NMK_DIVISION_BY_ZERO)
        return nmk_written_refuse(w, NMK_INVALID, "division-by-zero", at, end - at, NULL, "%s divides by zero",
                                  nmk_written_quote(w, at, end - at).text);
    assert(status == NMK_OK);
    return status;
}

static enum nmk_status read_fraction(struct nmk_number *out, const struct spelling *s, const struct nmk_written *w,
                                     size_t at, size_t end)
{
    enum nmk_status status = value_of(&out->value, s, 0, w, at, end);
    if (status)
        return status;
    const char *slash = memchr(w->text + at, '/', end - at);
    out->slash = slash ? (size_t)(slash - w->text) : 0;
    out->doubtful = nmk_rat_cmp_int(&out->value, 1) >= 0; /* 47/16 may be 4 7/16 that lost its space */
    out->end = end;
    return NMK_OK;
}

/* ---- decimals ---- */

static enum nmk_status refuse_comma(const struct nmk_written *w, size_t at, size_t comma, size_t end)
{
    struct nmk_quote whole = nmk_written_quote(w, at, comma - at), rest = nmk_written_quote(w, comma + 1, end - comma - 1);
    char hint[240];
    snprintf(hint, sizeof hint, "write %s.%s or %s%s", whole.text, rest.text, whole.text, rest.text);
    return nmk_written_refuse(w, NMK_INVALID, "ambiguous-comma", at, end - at, hint,
                              "%s can be read in two ways: %s.%s or %s%s", nmk_written_quote(w, at, end - at).text, whole.text,
                              rest.text, whole.text, rest.text);
}

/* 1,234,567 or 1,234.5 or 1.234,5: the whole of it is shown. */
static enum nmk_status refuse_signs(const struct nmk_written *w, size_t at, size_t end)
{
    while (has_sign(w, end))
        for (end++; nmk_written_has_digit(w, end);)
            end++;
    return nmk_written_refuse(w, NMK_INVALID, "two-signs", at, end - at,
                              "write one decimal point and no other sign; a comma between two numbers has a space after it",
                              "%s has more than one point or comma", nmk_written_quote(w, at, end - at).text);
}

/* digits sign digits, where `sign` is the offset of the sign. A comma before exactly three digits may part thousands. */
static enum nmk_status read_decimal(struct nmk_number *out, struct spelling *s, const struct nmk_written *w, size_t at,
                                    size_t sign)
{
    bool comma = w->text[sign] == ',';
    put(s, '.');
    size_t end = take_digits(s, w, sign + 1, PLAIN);
    if (has_sign(w, end))
        return refuse_signs(w, at, end);
    if (s->digits > NMK_NUMBER_DIGITS)
        return refuse_long(w, at, end);
    if (comma && end - sign - 1 == 3)
        return refuse_comma(w, at, sign, end);
    enum nmk_status status = value_of(&out->value, s, 0, w, at, end);
    if (status)
        return status;
    out->doubtful = comma;
    out->end = end;
    return NMK_OK;
}

/* ---- mixed numbers ---- */

static bool is_proper(const struct nmk_rat *fraction)
{
    return nmk_rat_cmp_int(fraction, 1) < 0;
}

/* `84-74/2` is no mixed number: it was meant as a difference, which stands between spaces. */
static enum nmk_status refuse_hyphen(const struct nmk_written *w, size_t at, size_t whole_end, size_t fraction, size_t end)
{
    char hint[240];
    snprintf(hint, sizeof hint, "write %s - %s", nmk_written_quote(w, at, whole_end - at).text,
             nmk_written_quote(w, fraction, end - fraction).text);
    return nmk_written_refuse(w, NMK_INVALID, "hyphen", at, end - at, hint, "A minus stands between spaces");
}

/* Whole number text[at..whole_end), then the fraction text[fraction..end), whose spelling begins at s->text[from]. */
static enum nmk_status read_mixed(struct nmk_number *out, const struct spelling *s, size_t from, const struct nmk_written *w,
                                  size_t at, size_t whole_end, size_t fraction, size_t end)
{
    struct nmk_rat part = {0};
    bool hyphen = fraction > whole_end && nmk_glyph_is_hyphen(nmk_written_glyph(w, whole_end).code);
    enum nmk_status status = value_of(&part, s, from, w, at, end);
    if (!status && hyphen && !is_proper(&part))
        status = refuse_hyphen(w, at, whole_end, fraction, end);
    if (!status) {
        status = nmk_rat_parse(&out->value, s->text, from);
        assert(status == NMK_OK);
        nmk_rat_add(&out->value, &out->value, &part);
        out->doubtful = hyphen || !is_proper(&part);
        out->end = end;
    }
    nmk_rat_clear(&part);
    return status;
}

/* Where the fraction of a mixed number would begin, behind the whole number that ends at `end`. */
static size_t behind_gap(const struct nmk_written *w, size_t end)
{
    struct nmk_glyph g = nmk_written_glyph(w, end);
    if (g.bytes && nmk_glyph_is_hyphen(g.code))
        return end + g.bytes;
    return nmk_written_skip_spaces(w, end);
}

/* `1 000`: one to three digits, one space, exactly three digits. Two numbers or one? */
static enum nmk_status check_groups(const struct nmk_written *w, size_t at, size_t end)
{
    struct nmk_glyph gap = nmk_written_glyph(w, end);
    if (end - at > 3 || !gap.bytes || !nmk_glyph_is_space(gap.code))
        return NMK_OK;
    size_t group = end + gap.bytes, stop = group;
    while (nmk_written_has_digit(w, stop))
        stop++;
    if (stop - group != 3)
        return NMK_OK;
    char hint[240];
    snprintf(hint, sizeof hint, "write %s%s, or put a sign between the two numbers",
             nmk_written_quote(w, at, end - at).text, nmk_written_quote(w, group, 3).text);
    return nmk_written_refuse(w, NMK_INVALID, "digit-groups", at, stop - at, hint,
                              "%s can be read as one number or as two: a number has no space between its digits",
                              nmk_written_quote(w, at, stop - at).text);
}

enum nmk_status nmk_number_read(struct nmk_number *out, const struct nmk_written *w, size_t at)
{
    struct spelling s;
    s.size = s.digits = 0;
    *out = (struct nmk_number){.end = at};
    size_t end = take_fraction(&s, w, at);
    if (end)
        return read_fraction(out, &s, w, at, end);
    size_t whole_end = take_digits(&s, w, at, PLAIN), whole_size = s.size;
    if (whole_end == at)
        return NMK_OK;
    if (has_sign(w, whole_end))
        return read_decimal(out, &s, w, at, whole_end);
    size_t fraction = behind_gap(w, whole_end);
    end = take_fraction(&s, w, fraction);
    if (end)
        return read_mixed(out, &s, whole_size, w, at, whole_end, fraction, end);
    enum nmk_status status = check_groups(w, at, whole_end);
    if (!status)
        status = value_of(&out->value, &s, 0, w, at, whole_end);
    if (!status)
        out->end = whole_end;
    return status;
}
