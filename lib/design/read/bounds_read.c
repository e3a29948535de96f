#include <stdio.h>
#include <string.h>

#include "design/read/reader.h"

/* LENGTH = ["-"] figure unit; 0 needs no unit */
bool nmk_read_length(struct nmk_reader *r, enum nmk_sign sign, const char *what, struct nmk_rat *out,
                     enum nmk_unit *unit)
{
    bool minus = sign == NMK_SIGNED && nmk_read_take(r, NMK_T_MINUS);
    if (r->token.kind == NMK_T_MINUS) {
        nmk_read_error(r, nmk_read_token_span(r), "negative", NULL,
                       "A minus has no meaning here: %s cannot be negative", what);
        return false;
    }
    bool zero = r->token.kind == NMK_T_NUMBER && nmk_rat_is_zero(&r->token.value);
    if (r->token.kind == NMK_T_NUMBER && !zero) {
        struct nmk_quoted q = nmk_read_token_quote(r);
        char hint[240];
        snprintf(hint, sizeof hint, "%.80s mm, or %.80s in?", q.text, q.text);
        nmk_read_error(r, nmk_read_token_span(r), "no-unit", hint, "`%s` needs a unit", q.text);
        return false;
    }
    if (r->token.kind != NMK_T_LENGTH && !zero)
        return nmk_read_expected(r, what, "a size with its unit: 84 mm, 8.4 cm, 4 7/16 in");
    *unit = zero ? NMK_UNIT_NONE : r->token.unit;
    struct nmk_rat value = {0};
    nmk_rat_set(&value, &r->token.value);
    if (minus)
        nmk_rat_neg(&value, &value);
    *out = nmk_pool_take(&r->design->pool, &value);
    nmk_read_next(r);
    return true;
}

/* Behind `or`, after a length in `unit`. */
static bool read_other(struct nmk_reader *r, enum nmk_sign sign, enum nmk_unit unit, struct nmk_twin *out)
{
    struct nmk_rat other;
    enum nmk_unit other_unit;
    size_t at = r->token.at;
    if (!nmk_read_length(r, sign, "the length in the other unit", &other, &other_unit))
        return false;
    bool inch = nmk_unit_is_inch(unit), other_inch = nmk_unit_is_inch(other_unit);
    if (unit != NMK_UNIT_NONE && other_unit != NMK_UNIT_NONE && inch == other_inch) {
        nmk_read_error(r, nmk_read_span_from(r, at), "twice-alike", "5 mm or 1/4 in",
                       "A length written twice is once in mm or cm and once in inches; these are both %s",
                       inch ? "inches" : "metric");
        return true;
    }
    if (inch || (unit == NMK_UNIT_NONE && !other_inch))
        out->metric = other;
    else
        out->inch = other;
    return true;
}

/* TWIN = LENGTH ["or" LENGTH] */
bool nmk_read_twin(struct nmk_reader *r, enum nmk_sign sign, const char *what, struct nmk_twin *out)
{
    enum nmk_unit unit;
    struct nmk_rat value;
    if (!nmk_read_length(r, sign, what, &value, &unit))
        return false;
    out->metric = out->inch = value;
    return !nmk_read_take_word(r, "or") || read_other(r, sign, unit, out);
}

/* One length that is not written twice. */
bool nmk_read_single(struct nmk_reader *r, const char *what, struct nmk_rat *out, enum nmk_unit *unit)
{
    size_t at = r->token.at;
    struct nmk_twin other;
    if (!nmk_read_length(r, NMK_UNSIGNED, what, out, unit))
        return false;
    if (!nmk_read_is_word(r, "or"))
        return true;
    nmk_read_next(r);
    if (!nmk_read_twin(r, NMK_UNSIGNED, what, &other))
        return false;
    nmk_read_error(r, nmk_read_span_from(r, at), "written-twice", "write the one that was measured",
                   "A measure or a stock is not written twice: it has one size");
    return true;
}

void nmk_read_must_be_positive(struct nmk_reader *r, const struct nmk_rat *size, size_t at, const char *what)
{
    if (nmk_rat_sign(size) <= 0)
        nmk_read_error(r, nmk_read_span_from(r, at), "not-positive", NULL, "%s must be more than 0", what);
}

static void refuse_order(struct nmk_reader *r, size_t at, const char *what)
{
    nmk_read_error(r, nmk_read_span_from(r, at), "wrong-way-round", "the smaller first", "%s stand the wrong way round",
                   what);
}

/* The bare number before `to` takes the unit of the length behind it. */
static void give_unit(struct nmk_reader *r, struct nmk_rat *first, enum nmk_unit unit)
{
    struct nmk_rat one = {0}, value = {0};
    nmk_unit_mm(&one, unit);
    nmk_rat_mul(&value, first, &one);
    *first = nmk_pool_take(&r->design->pool, &value);
    nmk_rat_clear(&one);
}

static const char bounds_hint[] = "bounds are 1 mm to 3 mm, at least 1 mm, or at most 3 mm";

/* Is there a number without a unit before `to`? */
static bool is_bare(const struct nmk_reader *r)
{
    return r->token.kind == NMK_T_NUMBER;
}

/* BARE "to" TWIN: the sign has been taken. */
static bool read_bare_to(struct nmk_reader *r, enum nmk_sign sign, bool minus, struct nmk_twin *low,
                         struct nmk_twin *high)
{
    struct nmk_rat first = {0};
    nmk_rat_set(&first, &r->token.value);
    if (minus)
        nmk_rat_neg(&first, &first);
    first = nmk_pool_take(&r->design->pool, &first);
    nmk_read_next(r);
    if (!nmk_read_expect_word(r, "to", bounds_hint))
        return false;
    size_t at = r->token.at;
    bool negative = sign == NMK_SIGNED && r->token.kind == NMK_T_MINUS;
    if (negative)
        nmk_read_next(r);
    enum nmk_unit unit = r->token.kind == NMK_T_LENGTH ? r->token.unit : NMK_MM;
    if (negative)
        nmk_read_go(r, at);
    if (!nmk_read_twin(r, sign, "a length", high))
        return false;
    give_unit(r, &first, unit);
    low->metric = low->inch = first;
    return true;
}

/* TO = (TWIN | BARE) "to" TWIN */
static bool read_to(struct nmk_reader *r, enum nmk_sign sign, struct nmk_twin *low, struct nmk_twin *high)
{
    size_t at = r->token.at;
    bool minus = sign == NMK_SIGNED && nmk_read_take(r, NMK_T_MINUS);
    if (is_bare(r))
        return read_bare_to(r, sign, minus, low, high);
    if (minus)
        nmk_read_go(r, at);
    return nmk_read_twin(r, sign, "a length", low) && nmk_read_expect_word(r, "to", bounds_hint) &&
           nmk_read_twin(r, sign, "a length", high);
}

/* BOUNDS = TO | "at" "least" TWIN | "at" "most" TWIN */
bool nmk_read_bounds(struct nmk_reader *r, struct nmk_bounds *out)
{
    struct nmk_bounds b = {0};
    size_t at = r->token.at;
    if (nmk_read_take_word(r, "at")) {
        b.has_low = nmk_read_take_word(r, "least");
        b.has_high = !b.has_low && nmk_read_take_word(r, "most");
        if (!b.has_low && !b.has_high)
            return nmk_read_expected(r, "`least` or `most`", bounds_hint);
        if (!nmk_read_twin(r, NMK_SIGNED, "a length", b.has_low ? &b.low : &b.high))
            return false;
    } else {
        if (r->token.kind != NMK_T_NUMBER && r->token.kind != NMK_T_LENGTH && r->token.kind != NMK_T_MINUS)
            return nmk_read_expected(r, "how much it may be", bounds_hint);
        if (!read_to(r, NMK_SIGNED, &b.low, &b.high))
            return false;
        b.has_low = b.has_high = true;
        if (nmk_rat_cmp(&b.low.metric, &b.high.metric) > 0)
            refuse_order(r, at, "The bounds");
        else if (nmk_rat_cmp(&b.low.inch, &b.high.inch) > 0)
            refuse_order(r, at, "The bounds, in inches,");
    }
    *out = b;
    return true;
}

/* RANGE = (LENGTH | BARE) "to" LENGTH */
bool nmk_read_range(struct nmk_reader *r, struct nmk_rat *from, struct nmk_rat *to)
{
    struct nmk_twin low, high;
    size_t at = r->token.at, errors = r->errors;
    if (!read_to(r, NMK_UNSIGNED, &low, &high))
        return false;
    if (!nmk_rat_equal(&low.metric, &low.inch) || !nmk_rat_equal(&high.metric, &high.inch))
        nmk_read_error(r, nmk_read_span_from(r, at), "written-twice", "a measured size is one size",
                       "A measure cannot be written twice");
    else if (errors == r->errors && nmk_rat_cmp(&low.metric, &high.metric) > 0)
        refuse_order(r, at, "The sizes");
    *from = low.metric;
    *to = high.metric;
    return true;
}

static const char pair_hint[] = "57 x 32 mm, or 57 mm x 32 mm";

/* PAIR = (LENGTH | BARE) "x" LENGTH */
bool nmk_read_pair(struct nmk_reader *r, const char *what, struct nmk_rat out[2], enum nmk_unit *unit)
{
    size_t at = r->token.at;
    if (r->token.kind != NMK_T_NUMBER && r->token.kind != NMK_T_LENGTH)
        return nmk_read_expected(r, what, pair_hint);
    bool bare = r->token.kind == NMK_T_NUMBER;
    out[0] = r->token.value;
    nmk_read_next(r);
    if (!nmk_read_take_cross(r))
        return nmk_read_expected(r, "`x` between two sizes", pair_hint);
    if (!nmk_read_length(r, NMK_UNSIGNED, "a size", &out[1], unit))
        return false;
    if (bare)
        give_unit(r, &out[0], *unit);
    if (nmk_rat_sign(&out[0]) <= 0 || nmk_rat_sign(&out[1]) <= 0)
        nmk_read_error(r, nmk_read_span_from(r, at), "not-positive", NULL, "Both sizes must be more than 0");
    return true;
}

/* COPIES = a whole number from 1, or nothing */
bool nmk_read_copies(struct nmk_reader *r, uint32_t *out)
{
    *out = 1;
    if (r->token.kind != NMK_T_NUMBER && r->token.kind != NMK_T_LENGTH)
        return true;
    int64_t n = 0;
    bool whole = r->token.kind == NMK_T_NUMBER && nmk_rat_get_int(&n, &r->token.value) == NMK_OK;
    if (!whole || n < 1 || n > NMK_MOST_COPIES)
        nmk_read_error(r, nmk_read_token_span(r), "copies", NULL,
                       "How many there are of it is a whole number from 1 to %d", NMK_MOST_COPIES);
    else
        *out = (uint32_t)n;
    nmk_read_next(r);
    return true;
}
