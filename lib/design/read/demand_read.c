/* What is demanded: fit, border, keep. */
#include "base/memory.h"
#include "base/text.h"
#include "design/read/reader.h"
#include "length/glyph.h"

/* The text from byte `at` to the end of the last token taken, spaces single and × as x. */
const char *nmk_read_statement_text(struct nmk_reader *r, size_t at)
{
    struct nmk_text text = {0};
    bool space = false;
    for (struct nmk_glyph g; at < r->before_end; at += g.bytes) {
        g = nmk_glyph_get(r->source.text, r->before_end, at);
        if (nmk_glyph_is_space(g.code)) {
            space = text.size > 0;
            continue;
        }
        if (space)
            nmk_text_add_string(&text, " ");
        space = false;
        if (g.code == 0xD7)
            nmk_text_add_string(&text, "x");
        else
            nmk_text_add(&text, r->source.text + at, g.bytes);
    }
    const char *kept = nmk_design_text(r->design, nmk_text_get(&text), text.size);
    nmk_text_clear(&text);
    return kept;
}

/* FORMULA, a length */
static bool read_side(struct nmk_reader *r, struct nmk_made *out, const char *what)
{
    if (!nmk_read_formula(r, out))
        return false;
    if (!nmk_made_is_length(r, out, what))
        out->formula = NULL;
    return true;
}

static void lay(struct nmk_reader *r, enum nmk_demand_kind kind, const char *name, const struct nmk_made *a,
                const struct nmk_made *b, const struct nmk_bounds *bounds, bool exact, size_t at)
{
    if (!a->formula || !b->formula)
        return;
    struct nmk_demand *d = nmk_lay_demand(r, kind, name, nmk_read_span_from(r, at));
    d->outer = a->formula;
    d->inner = b->formula;
    d->bounds = *bounds;
    d->exact = exact;
    r->statements++;
}

/* "fit" [TEXT] FORMULA "over" FORMULA "clear" BOUNDS */
bool nmk_read_fit(struct nmk_reader *r, size_t at)
{
    const char *name = nmk_read_label(r);
    size_t text_at = r->token.at;
    struct nmk_made a, b;
    struct nmk_bounds bounds;
    if (!read_side(r, &a, "The size that goes over") ||
        !nmk_read_expect_word(r, "over", "fit A over B clear 1 mm to 3 mm") ||
        !read_side(r, &b, "The size that it goes over") ||
        !nmk_read_expect_word(r, "clear", "clear 1 mm to 3 mm: how much room is allowed") ||
        !nmk_read_bounds(r, &bounds) || !nmk_read_expect_end(r))
        return false;
    lay(r, NMK_FIT, name ? name : nmk_read_statement_text(r, text_at), &a, &b, &bounds, false, at);
    return true;
}

/* COMPARISON = "at" "least" | "at" "most" | "exactly" */
static bool read_comparison(struct nmk_reader *r, struct nmk_bounds *bounds, bool *exact)
{
    *bounds = (struct nmk_bounds){0}; /* an end that there is, is 0 */
    *exact = nmk_read_take_word(r, "exactly");
    bool at = !*exact && nmk_read_take_word(r, "at");
    bool least = at && nmk_read_take_word(r, "least");
    bool most = at && !least && nmk_read_take_word(r, "most");
    bounds->has_low = *exact || least;
    bounds->has_high = *exact || most;
    return bounds->has_low || bounds->has_high ||
           nmk_read_expected(r, at ? "`least` or `most`" : "`at least`, `at most` or `exactly`",
                             "keep sleeve.tab at least 10 mm");
}

/* "keep" [TEXT] FORMULA COMPARISON FORMULA */
bool nmk_read_keep(struct nmk_reader *r, size_t at)
{
    const char *name = nmk_read_label(r);
    size_t text_at = r->token.at;
    struct nmk_made a, b;
    struct nmk_bounds bounds;
    bool exact;
    if (!read_side(r, &a, "What is kept") || !read_comparison(r, &bounds, &exact) ||
        !read_side(r, &b, "What it is compared with") || !nmk_read_expect_end(r))
        return false;
    lay(r, NMK_KEEP, name ? name : nmk_read_statement_text(r, text_at), &a, &b, &bounds, exact, at);
    return true;
}

/* ---- borders ---- */

/* NAME: a piece or an opening. tops: its two sizes, NULL where broken. */
static bool read_top(struct nmk_reader *r, struct nmk_made tops[2], size_t *piece)
{
    struct nmk_span span = nmk_read_token_span(r);
    *piece = NMK_NONE;
    for (int way = 0; way < 2; way++)
        nmk_make_broken(&tops[way], span);
    if (r->token.kind != NMK_T_WORD || nmk_read_is_reserved(r->source.text + r->token.at, r->token.size))
        return nmk_read_expected(r, "the piece that lies on top",
                                 "border label on sleeve.face x sleeve.depth, shows 1.5 mm to 3.5 mm");
    const struct nmk_name *name = nmk_read_find(r, NMK_SCOPE_DESIGN, r->source.text + r->token.at, r->token.size);
    bool opening = name && name->is == NMK_NAMED_OPENING;
    size_t index = NMK_NONE;
    if (opening) {
        index = name->index;
        nmk_read_next(r);
    } else if (!nmk_read_known(r, NMK_NAMED_PIECE, "a piece", &index)) {
        return false;
    }
    for (size_t way = 0; index != NMK_NONE && way < 2; way++)
        nmk_make_subject(r, &tops[way], opening ? NMK_F_OPENING : NMK_F_WHOLE, index, way, span);
    *piece = opening ? NMK_NONE : index;
    return true;
}

/* "border" [TEXT] NAME "on" ON [","] "shows" BOUNDS ["even" ["whole"]] */
bool nmk_read_border(struct nmk_reader *r, size_t at)
{
    const char *name = nmk_read_label(r);
    size_t text_at = r->token.at, piece;
    struct nmk_made tops[2];
    struct nmk_on on;
    struct nmk_bounds bounds;
    bool broken;
    if (!read_top(r, tops, &piece) ||
        !nmk_read_expect_word(r, "on", "border label on sleeve, shows 1.5 mm to 3.5 mm") ||
        !nmk_read_on(r, NMK_ON_BORDER, &on, &broken))
        return false;
    nmk_read_take(r, NMK_T_COMMA);
    if (!nmk_read_expect_word(r, "shows", "shows 1.5 mm to 3.5 mm: how wide the strip on one side may be") ||
        !nmk_read_bounds(r, &bounds))
        return false;
    size_t even_at = r->token.at;
    bool even = nmk_read_take_word(r, "even"), whole = even && nmk_read_take_word(r, "whole");
    if (!nmk_read_expect_end(r))
        return false;
    if (even && !broken && (!on.across || !on.down)) {
        nmk_read_error(r, nmk_read_span_from(r, even_at), "even-needs-both", "give both sizes: on A x B",
                       "A border is even across and down, so it needs both");
        return true;
    }
    if (broken || !tops[NMK_ACROSS].formula || !tops[NMK_DOWN].formula)
        return true;
    const struct nmk_formula *const sizes[2] = {tops[NMK_ACROSS].formula, tops[NMK_DOWN].formula};
    nmk_lay_borders(r, &on, sizes, name ? name : nmk_read_statement_text(r, text_at), piece, &bounds, even, whole,
                    nmk_read_span_from(r, at));
    return true;
}
