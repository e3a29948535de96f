/* Sheets and weights: what paper is sold by. */
#include "nearmark/sheet.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "design/read/reader.h"
#include "length/glyph.h"
#include "nearmark/slips.h"
#include "nearmark/weight.h"

/* The end of what stands at `at` without a space. */
static size_t run_end(const struct nmk_reader *r, size_t at)
{
    size_t end = r->source.lines[r->line].end;
    for (struct nmk_glyph g; (g = nmk_glyph_get(r->source.text, end, at)).bytes; at += g.bytes)
        if (nmk_glyph_is_space(g.code) || g.code == ',')
            break;
    return at;
}

static bool find(struct nmk_reader *r, size_t at, size_t end, struct nmk_sheet *out)
{
    struct nmk_sheet found = {0};
    bool is = nmk_sheet_find(&found, r->source.text + at, end - at) == NMK_OK;
    if (is) {
        *out = found;
        out->width = nmk_pool_take(&r->design->pool, &found.width);
        out->height = nmk_pool_take(&r->design->pool, &found.height);
        out->name = found.name ? found.name : nmk_design_text(r->design, r->source.text + at, end - at);
        nmk_read_go(r, end);
    } else {
        nmk_sheet_clear(&found);
    }
    return is;
}

static bool read_size(struct nmk_reader *r, struct nmk_sheet *out)
{
    struct nmk_rat sizes[2];
    enum nmk_unit unit;
    if (!nmk_read_pair(r, "the size of a sheet", sizes, &unit))
        return false;
    *out = (struct nmk_sheet){NULL, sizes[0], sizes[1], nmk_unit_is_inch(unit) ? NMK_IN : NMK_MM};
    return true;
}

static const char *near_of(const char *text, size_t size, const char *(*name)(size_t), size_t count)
{
    const char *best = NULL;
    size_t most = nmk_slips_allowed(size + 1);
    for (size_t i = 0; i < count; i++) {
        size_t slips = nmk_slips_count(text, size, name(i), strlen(name(i)), most);
        if (slips < most || (slips == most && !best)) {
            best = name(i);
            most = slips;
        }
    }
    return best;
}

/* SHEET = NAME | NUMBER"x"NUMBER | PAIR. What is no sheet is complained of and taken. */
static bool read_sheet(struct nmk_reader *r, struct nmk_sheet *out)
{
    size_t at = r->token.at, end = run_end(r, at);
    if (find(r, at, end, out))
        return true;
    if (r->token.kind == NMK_T_NUMBER || r->token.kind == NMK_T_LENGTH)
        return read_size(r, out);
    if (r->token.kind != NMK_T_WORD)
        return nmk_read_expected(r, "a sheet", "A4, Letter, 12x12, or a size: 210 x 297 mm");
    size_t two = run_end(r, nmk_glyph_skip_spaces(r->source.text, r->source.lines[r->line].end, end));
    if (find(r, at, two, out)) /* ANSI B */
        return true;
    char hint[120];
    const char *near = near_of(r->source.text + at, r->token.size, nmk_sheet_name, nmk_sheet_count());
    snprintf(hint, sizeof hint, "did you mean %s?", near ? near : "");
    nmk_read_error(r, nmk_read_token_span(r), "unknown-sheet",
                   near ? hint : "A4, Letter, 12x12, or a size: 210 x 297 mm", "There is no sheet `%s`",
                   nmk_read_token_quote(r).text);
    nmk_read_next(r);
    return true;
}

/* SHEETS = SHEET ["or" SHEET] */
bool nmk_read_sheets(struct nmk_reader *r, struct nmk_sheet sheets[2], size_t *count)
{
    if (!read_sheet(r, &sheets[0]))
        return false;
    *count = 1;
    if (!nmk_read_take_word(r, "or"))
        return true;
    if (!read_sheet(r, &sheets[1]))
        return false;
    *count = 2;
    return true;
}

/* ---- weights ---- */

static bool refuse_grade(struct nmk_reader *r)
{
    char hint[120];
    const char *near =
        near_of(r->source.text + r->token.at, r->token.size, nmk_weight_grade_name, nmk_weight_grade_count());
    snprintf(hint, sizeof hint, "did you mean %s?", near ? near : "");
    nmk_read_error(r, nmk_read_token_span(r), "unknown-grade", near ? hint : "80 lb cover, 110 lb index, 65 lb text",
                   "There is no grade of paper `%s`", nmk_read_token_quote(r).text);
    nmk_read_next(r);
    return true;
}

/* "lb" GRADE, behind the number */
static bool read_pounds(struct nmk_reader *r, const struct nmk_rat *pounds, struct nmk_stock *s)
{
    struct nmk_rat gsm = {0};
    if (r->token.kind != NMK_T_WORD)
        return nmk_read_expected(r, "the grade of the paper", "80 lb cover: a pound weighs differently in each grade");
    if (nmk_weight_gsm(&gsm, pounds, r->source.text + r->token.at, r->token.size))
        return refuse_grade(r);
    s->gsm = nmk_pool_take(&r->design->pool, &gsm);
    nmk_read_next(r);
    return true;
}

/* WEIGHT = NUMBER ("gsm" | "lb" GRADE) */
bool nmk_read_weight(struct nmk_reader *r, struct nmk_stock *s)
{
    size_t at = r->token.at;
    if (r->token.kind != NMK_T_NUMBER)
        return nmk_read_expected(r, "the weight", "weight 250 gsm, or weight 80 lb cover");
    struct nmk_rat number = r->token.value;
    if (nmk_rat_sign(&number) <= 0)
        nmk_read_error(r, nmk_read_token_span(r), "not-positive", NULL, "A weight must be more than 0");
    nmk_read_next(r);
    if (nmk_read_take_word(r, "gsm"))
        s->gsm = number;
    else if (!nmk_read_take_word(r, "lb"))
        return nmk_read_expected(r, "`gsm` or `lb`", "weight 250 gsm, or weight 80 lb cover");
    else if (!read_pounds(r, &number, s))
        return false;
    s->has_weight = true;
    s->weight = nmk_read_statement_text(r, at);
    return true;
}
