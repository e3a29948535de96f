#include <stdio.h>

#include "length/number.h"
#include "length/unit_read.h"
#include "length/written.h"
#include "nearmark/length.h"

/* What was read so far: mm and unit as in nmk_length_read; `end` is the offset behind it. */
struct found {
    struct nmk_rat mm;
    enum nmk_unit unit;
    size_t end, slash;
    bool doubtful;
};

void nmk_length_read_clear(struct nmk_length_read *r)
{
    if (!r)
        return;
    nmk_rat_clear(&r->mm);
    *r = (struct nmk_length_read){.unit = NMK_UNIT_NONE};
}

static enum nmk_status refuse_no_number(const struct nmk_written *w, size_t at)
{
    struct nmk_glyph g = nmk_written_glyph(w, at);
    if ((g.code == '.' || g.code == ',') && nmk_written_has_digit(w, at + 1)) {
        size_t end = at + 1;
        while (nmk_written_has_digit(w, end))
            end++;
        char hint[240];
        snprintf(hint, sizeof hint, "write 0.%s", nmk_written_quote(w, at + 1, end - at - 1).text);
        return nmk_written_refuse(w, NMK_INVALID, "bare-point", at, end - at, hint, "A number begins with a digit");
    }
    if (g.bytes && nmk_glyph_is_minus(g.code))
        return nmk_written_refuse(w, NMK_INVALID, "minus", at, g.bytes, NULL, "A minus cannot stand here");
    return nmk_written_refuse(w, NMK_INVALID, "no-number", at, g.bytes, NULL, "A number is expected here");
}

/* British makers say `84 mil` for 84 mm; no card is thicker than this many thousandths of an inch. */
enum { THICK_MIL = 100 };

static void take_unit(struct found *f, struct nmk_number *number, const struct nmk_unit_read *unit)
{
    struct nmk_rat factor = {0};
    nmk_unit_mm(&factor, unit->unit);
    nmk_rat_mul(&f->mm, &number->value, &factor);
    nmk_rat_clear(&factor);
    f->unit = unit->unit;
    f->end = unit->unit == NMK_UNIT_NONE ? number->end : unit->end;
    f->slash = unit->unit == NMK_UNIT_NONE ? number->slash : 0;
    f->doubtful = number->doubtful || (unit->unit == NMK_MIL && nmk_rat_cmp_int(&number->value, THICK_MIL) > 0);
}

/* A number and its unit; f->end == at where there is no number. */
static enum nmk_status read_one(struct found *f, const struct nmk_written *w, size_t at)
{
    struct nmk_number number = {.end = at};
    struct nmk_unit_read unit = {NMK_UNIT_NONE, at};
    f->end = at;
    enum nmk_status status = nmk_number_read(&number, w, at);
    if (!status && number.end > at)
        status = nmk_unit_read(&unit, w, &number, at);
    if (!status && number.end > at)
        take_unit(f, &number, &unit);
    nmk_number_clear(&number);
    return status;
}

/* Where a second number would begin behind a unit: spaces, or for feet a hyphen, `3'-4"`. */
static size_t behind_unit(const struct nmk_written *w, const struct found *f)
{
    struct nmk_glyph g = nmk_written_glyph(w, f->end);
    if (f->unit == NMK_FT && g.bytes && nmk_glyph_is_hyphen(g.code))
        return f->end + g.bytes;
    return nmk_written_skip_spaces(w, f->end);
}

/* `3' 4 1/2"`: the inches join the feet. A number without a unit is asked about; any other unit is left alone. */
static enum nmk_status join_inches(struct found *f, const struct nmk_written *w, size_t at, struct found *inches)
{
    if (inches->unit == NMK_UNIT_NONE)
        return nmk_written_refuse(w, NMK_INVALID, "no-inch-unit", at, inches->end - at, "write it like this: 3' 4 1/2\"",
                                  "The inches after the feet need their unit");
    if (inches->unit != NMK_IN)
        return NMK_OK;
    struct nmk_rat foot = {0}, feet = {0};
    nmk_unit_mm(&foot, NMK_FT);
    enum nmk_status status = nmk_rat_div(&feet, &f->mm, &foot);
    if (!status) {
        f->doubtful = f->doubtful || inches->doubtful || !nmk_rat_is_int(&feet) || nmk_rat_cmp(&inches->mm, &foot) >= 0;
        nmk_rat_add(&f->mm, &f->mm, &inches->mm);
        f->unit = NMK_IN;
        f->end = inches->end;
    }
    nmk_rat_clear(&foot);
    nmk_rat_clear(&feet);
    return status;
}

/* `10 cm 5 mm`: one length or two? */
static enum nmk_status check_centimetres(const struct found *f, const struct nmk_written *w, size_t at,
                                         const struct found *more)
{
    if (more->unit != NMK_MM)
        return NMK_OK;
    struct nmk_rat sum = {0};
    char text[64], hint[240];
    nmk_rat_add(&sum, &f->mm, &more->mm);
    size_t length = nmk_length_print(text, sizeof text, &sum, NMK_MM, 9, NMK_FRACTION_PLAIN);
    nmk_rat_clear(&sum);
    snprintf(hint, sizeof hint, "write %s", length < sizeof text ? text : "it in mm");
    return nmk_written_refuse(w, NMK_INVALID, "two-units", at, more->end - at, hint, "A length has one unit");
}

/* What may follow the first number and unit. */
static enum nmk_status read_second(struct found *f, const struct nmk_written *w, size_t start)
{
    if (f->unit != NMK_FT && f->unit != NMK_CM)
        return NMK_OK;
    struct found more = {.unit = NMK_UNIT_NONE};
    size_t at = behind_unit(w, f);
    enum nmk_status status = read_one(&more, w, at);
    if (!status && more.end > at)
        status = f->unit == NMK_FT ? join_inches(f, w, at, &more) : check_centimetres(f, w, start, &more);
    nmk_rat_clear(&more.mm);
    return status;
}

static enum nmk_status read_signed(struct found *f, const struct nmk_written *w, bool allow_minus)
{
    size_t at = nmk_written_skip_spaces(w, 0);
    struct nmk_glyph g = nmk_written_glyph(w, at);
    bool minus = allow_minus && g.bytes && nmk_glyph_is_minus(g.code);
    if (minus)
        at = nmk_written_skip_spaces(w, at + g.bytes);
    enum nmk_status status = read_one(f, w, at);
    if (status)
        return status;
    if (f->end == at)
        return refuse_no_number(w, at);
    status = read_second(f, w, at);
    if (!status && minus)
        nmk_rat_neg(&f->mm, &f->mm);
    return status;
}

enum nmk_status nmk_length_parse(struct nmk_length_read *out, const char *text, size_t size, bool allow_minus,
                                 struct nmk_length_error *error)
{
    struct nmk_written w = {text, text ? size : 0, error};
    if (!out || (!text && size))
        return nmk_written_refuse(&w, NMK_INVALID, "no-number", 0, 0, NULL, "A number is expected here");
    struct found f = {.unit = NMK_UNIT_NONE};
    enum nmk_status status = read_signed(&f, &w, allow_minus);
    if (!status) {
        nmk_rat_swap(&out->mm, &f.mm);
        out->unit = f.unit;
        out->used = f.end;
        out->slash = f.slash;
        out->doubtful = f.doubtful;
    }
    nmk_rat_clear(&f.mm);
    return status;
}
