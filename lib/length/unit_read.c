#include "length/unit_read.h"

#include <stdio.h>

#include "length/spell.h"

/* Words behind a number that are units, but none of ours. */
enum stranger { POINT, METRE, DECIMETRE, YARD, MICROMETRE, PIXEL };

static const struct {
    const char *word;
    enum stranger kind;
} stranger_words[] = {
    {"pt", POINT},           {"pts", POINT},          {"point", POINT},
    {"points", POINT},       {"m", METRE},            {"metre", METRE},
    {"metres", METRE},       {"meter", METRE},        {"meters", METRE},
    {"dm", DECIMETRE},       {"decimetre", DECIMETRE}, {"decimetres", DECIMETRE},
    {"decimeter", DECIMETRE}, {"decimeters", DECIMETRE}, {"yd", YARD},
    {"yard", YARD},          {"yards", YARD},         {"um", MICROMETRE},
    {"\xC2\xB5m", MICROMETRE}, {"\xCE\xBCm", MICROMETRE}, {"micron", MICROMETRE},
    {"microns", MICROMETRE}, {"px", PIXEL},           {"pixel", PIXEL},
    {"pixels", PIXEL},       {"pica", PIXEL},         {"picas", PIXEL},
};

static const struct {
    const char *message, *hint;
} strangers[] = {
    [METRE] = {"Metres are not used here", "write it in cm or mm"},
    [DECIMETRE] = {"Decimetres are not used here", "write it in cm or mm"},
    [YARD] = {"Yards are not used here", "write it in in or ft"},
    [MICROMETRE] = {"Micrometres are not used here", "1000 of them are 1 mm"},
    [PIXEL] = {"That is a unit of screens and type, not of paper", "write it in mm or in"},
};

static bool is_word_part(struct nmk_glyph g)
{
    return g.bytes && (nmk_glyph_is_letter(g.code) || nmk_glyph_is_digit(g.code) || g.code == '_');
}

static size_t word_end(const struct nmk_written *w, size_t at)
{
    for (struct nmk_glyph g; is_word_part(g = nmk_written_glyph(w, at));)
        at += g.bytes;
    return at;
}

/* Where the unit at `at` ends: with its word, or before the digit of `3ft4in`, or before the x of `8.5inx11in`. */
static size_t unit_end(const struct nmk_written *w, size_t at)
{
    size_t end = word_end(w, at), digit = at;
    while (digit < end && !nmk_written_has_digit(w, digit))
        digit++;
    if (digit == end)
        return end;
    if (nmk_unit_find(w->text + at, digit - at) != NMK_UNIT_NONE)
        return digit;
    bool times = digit > at && nmk_spell_is(w->text + digit - 1, 1, "x");
    return times && nmk_unit_find(w->text + at, digit - 1 - at) != NMK_UNIT_NONE ? digit - 1 : end;
}

/* The end of the power behind a unit that ends at `at`, `mm²` or `mm2`; `at` where there is none. */
static size_t power_end(const struct nmk_written *w, size_t at)
{
    struct nmk_glyph g = nmk_written_glyph(w, at);
    bool raised = g.bytes && (g.code == 0xB2 || g.code == 0xB3);
    bool plain = g.bytes && (g.code == '2' || g.code == '3') && word_end(w, at) == at + 1;
    return raised || plain ? at + g.bytes : at;
}

/* The prime of inches or feet at `at`, one character or two (`''`). */
static struct nmk_unit_read prime_at(const struct nmk_written *w, size_t at)
{
    struct nmk_glyph first = nmk_written_glyph(w, at);
    if (!first.bytes || !(nmk_glyph_is_inch(first.code) || nmk_glyph_is_foot(first.code)))
        return (struct nmk_unit_read){NMK_UNIT_NONE, at};
    size_t end = at + first.bytes;
    struct nmk_glyph second = nmk_written_glyph(w, end);
    if (second.bytes && nmk_unit_find(w->text + at, first.bytes + second.bytes) != NMK_UNIT_NONE)
        end += second.bytes;
    return (struct nmk_unit_read){nmk_unit_find(w->text + at, end - at), end};
}

/* After spaces a quote is a double prime only if nothing is being quoted: `4 "Tray"` is a number and a label. */
static bool opens_quote(const struct nmk_written *w, struct nmk_unit_read prime)
{
    return is_word_part(nmk_written_glyph(w, prime.end));
}

/* `in.` and the like; not the point of a number or a name. */
static size_t skip_full_stop(const struct nmk_written *w, size_t at)
{
    bool stop = at < w->size && w->text[at] == '.' && !is_word_part(nmk_written_glyph(w, at + 1)) &&
                !(at + 1 < w->size && w->text[at + 1] == '.');
    return stop ? at + 1 : at;
}

/* A point is 1/72 in to a printer and 1/1000 in to a card seller; what each would be is shown. */
static enum nmk_status refuse_points(const struct nmk_written *w, const struct nmk_number *n, size_t start, size_t end)
{
    struct nmk_rat inches = {0};
    char type[40], card[40], hint[240] = "write it in mil or in in";
    nmk_rat_set_frac(&inches, 1, 72);
    nmk_rat_mul(&inches, &n->value, &inches);
    size_t type_size = nmk_rat_print(type, sizeof type, &inches);
    size_t card_size = nmk_length_print_figure(card, sizeof card, &n->value, NMK_UNIT_NONE, 9, NMK_FRACTION_PLAIN);
    nmk_rat_clear(&inches);
    if (type_size < sizeof type && card_size < sizeof card)
        snprintf(hint, sizeof hint, "write %s mil for a card's thickness, %s in for type", card, type);
    return nmk_written_refuse(w, NMK_INVALID, "pt", start, end - start, hint,
                              "A point is 1/72 in to a printer and 1/1000 in to a card seller");
}

static enum nmk_status check_strangers(const struct nmk_written *w, const struct nmk_number *n, size_t start, size_t word,
                                       size_t end)
{
    size_t i = 0, count = sizeof stranger_words / sizeof *stranger_words;
    while (i < count && !nmk_spell_is(w->text + word, end - word, stranger_words[i].word))
        i++;
    if (i == count)
        return NMK_OK;
    enum stranger kind = stranger_words[i].kind;
    if (kind == POINT)
        return refuse_points(w, n, start, end);
    return nmk_written_refuse(w, NMK_INVALID, "unknown-unit", word, end - word, strangers[kind].hint, "%s",
                              strangers[kind].message);
}

static enum nmk_status read_word(struct nmk_unit_read *out, const struct nmk_written *w, const struct nmk_number *n,
                                 size_t start, size_t at)
{
    size_t end = unit_end(w, at);
    enum nmk_unit unit = end > at ? nmk_unit_find(w->text + at, end - at) : NMK_UNIT_NONE;
    if (unit == NMK_UNIT_NONE)
        return end > at ? check_strangers(w, n, start, at, end) : NMK_OK;
    size_t power = power_end(w, end);
    if (power > end)
        return nmk_written_refuse(w, NMK_INVALID, "area", at, power - at, NULL, "A length is expected, not an area");
    *out = (struct nmk_unit_read){unit, skip_full_stop(w, end)};
    return NMK_OK;
}

enum nmk_status nmk_unit_read(struct nmk_unit_read *out, const struct nmk_written *w, const struct nmk_number *n, size_t start)
{
    *out = (struct nmk_unit_read){NMK_UNIT_NONE, n->end};
    size_t at = nmk_written_skip_spaces(w, n->end);
    struct nmk_unit_read prime = prime_at(w, at);
    if (prime.unit == NMK_UNIT_NONE)
        return read_word(out, w, n, start, at);
    if (at == n->end || !opens_quote(w, prime))
        *out = prime;
    return NMK_OK;
}
