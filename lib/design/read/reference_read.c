/* Names in formulas: a measure, a let, piece.panel, piece.across ... */
#include <stdio.h>
#include <string.h>

#include "design/read/reader.h"

static bool refuse_whole_thing(struct nmk_reader *r, const struct nmk_name *name, struct nmk_span span,
                               struct nmk_made *out)
{
    char hint[240];
    struct nmk_quoted q = nmk_read_quote(name->text, name->size);
    snprintf(hint, sizeof hint, "%.80s.across or %.80s.down", q.text, q.text);
    bool punches = name->is == NMK_NAMED_PUNCHES;
    nmk_read_error(r, span, "no-size", punches ? NULL : hint,
                   punches ? "`%s` is %s, not a size" : "`%s` is %s, not a size: which one is meant?", q.text,
                   nmk_named_word(name->is));
    nmk_make_broken(out, span);
    return true;
}

static bool use_name(struct nmk_reader *r, const struct nmk_name *name, struct nmk_span span, struct nmk_made *out)
{
    switch (name->is) {
    case NMK_NAMED_MEASURE: nmk_make_subject(r, out, NMK_F_MEASURE, name->index, NMK_NONE, span); return true;
    case NMK_NAMED_STOCK: nmk_make_subject(r, out, NMK_F_STOCK, name->index, NMK_NONE, span); return true;
    case NMK_NAMED_LET: nmk_make_subject(r, out, NMK_F_LET, name->index, NMK_NONE, span); return true;
    case NMK_NAMED_BROKEN: nmk_make_broken(out, span); return true;
    default: return refuse_whole_thing(r, name, span, out);
    }
}

/* A name alone; inside a piece its panels come first. The token is taken. */
static bool read_name(struct nmk_reader *r, struct nmk_made *out)
{
    const char *text = r->source.text + r->token.at;
    size_t size = r->token.size;
    struct nmk_span span = nmk_read_token_span(r);
    bool broken = false;
    size_t panel = r->piece == NMK_NONE ? NMK_NONE : nmk_read_find_panel(r, r->piece, text, size, &broken);
    const struct nmk_name *found = nmk_read_find(r, NMK_SCOPE_DESIGN, text, size);
    struct nmk_name name = found ? *found : (struct nmk_name){0};
    if (!found && panel == NMK_NONE && !broken) {
        if (nmk_read_is_reserved(text, size))
            return nmk_read_expected(r, "a size", NULL);
        nmk_read_unknown(r, span, NMK_SCOPE_DESIGN, "", text, size);
        broken = true;
    }
    nmk_read_next(r);
    if (panel != NMK_NONE)
        nmk_make_subject(r, out, NMK_F_PANEL, r->piece, panel, span);
    else if (name.size)
        return use_name(r, &name, span, out);
    else
        nmk_make_broken(out, span);
    return true;
}

/* across and down of a piece: known once its list has been read. */
static void use_whole(struct nmk_reader *r, size_t piece, enum nmk_way way, struct nmk_span span, struct nmk_made *out)
{
    if (piece == r->piece && !r->pieces[piece].listed[way] && !r->pieces[piece].broken) {
        nmk_read_error(r, span, "not-complete", "name its panels one by one",
                       "The list `%s` of this piece is not complete here, so its size is not known",
                       way == NMK_ACROSS ? "across" : "down");
        nmk_make_broken(out, span);
        return;
    }
    nmk_make_subject(r, out, NMK_F_WHOLE, piece, way, span);
}

/* MAT.smaller: the length of its own, or the let that it shares. */
static void use_smaller(struct nmk_reader *r, size_t piece, struct nmk_span span, struct nmk_made *out)
{
    const struct nmk_piece *mat = nmk_at_piece(r->design, piece);
    if (mat->kind != NMK_PIECE_MAT) {
        nmk_read_error(r, span, "no-part", "a piece has .across, .down and its panels",
                       "Only a mat is smaller than what it lies on");
        nmk_make_broken(out, span);
    } else if (r->pieces[piece].broken || !mat->smaller) {
        nmk_make_broken(out, span);
    } else if (nmk_at_length(r->design, mat->smaller_length)->kind == NMK_LENGTH_LET) {
        nmk_make_subject(r, out, NMK_F_LET, nmk_at_length(r->design, mat->smaller_length)->subject, NMK_NONE, span);
    } else {
        nmk_make_subject(r, out, NMK_F_SMALLER, piece, NMK_NONE, span);
    }
}

static bool is_text(const char *text, size_t size, const char *word)
{
    return size == strlen(word) && !memcmp(text, word, size);
}

static void use_part(struct nmk_reader *r, const struct nmk_name *whole, const char *part, size_t size,
                     struct nmk_span span, struct nmk_made *out)
{
    bool across = is_text(part, size, "across"), down = is_text(part, size, "down"), broken = false;
    enum nmk_way way = across ? NMK_ACROSS : NMK_DOWN;
    nmk_make_broken(out, span);
    if (whole->is == NMK_NAMED_OPENING && (across || down)) {
        nmk_make_subject(r, out, NMK_F_OPENING, whole->index, way, span);
        return;
    }
    if (whole->is == NMK_NAMED_PIECE && (across || down)) {
        use_whole(r, whole->index, way, span, out);
        return;
    }
    if (whole->is == NMK_NAMED_PIECE && is_text(part, size, "smaller")) {
        use_smaller(r, whole->index, span, out);
        return;
    }
    if (whole->is == NMK_NAMED_PIECE) {
        size_t panel = nmk_read_find_panel(r, whole->index, part, size, &broken);
        if (panel != NMK_NONE)
            nmk_make_subject(r, out, NMK_F_PANEL, whole->index, panel, span);
        else if (!broken)
            nmk_read_unknown(r, span, NMK_SCOPE_PIECES + whole->index, "panel", part, size);
        return;
    }
    if (whole->is != NMK_NAMED_BROKEN)
        nmk_read_error(r, span, "no-part", whole->is == NMK_NAMED_OPENING ? "an opening has .across and .down" : NULL,
                       "`%s` is %s and has no part `%s`", nmk_read_quote(whole->text, whole->size).text,
                       nmk_named_word(whole->is), nmk_read_quote(part, size).text);
}

/* PART = NAME "." NAME. The token is taken. */
static bool read_part(struct nmk_reader *r, struct nmk_made *out)
{
    const char *text = r->source.text + r->token.at, *part = r->source.text + r->token.dot + 1;
    size_t size = r->token.dot - r->token.at, part_size = r->token.at + r->token.size - r->token.dot - 1;
    struct nmk_span span = nmk_read_token_span(r);
    const struct nmk_name *whole = nmk_read_find(r, NMK_SCOPE_DESIGN, text, size);
    if (whole) {
        struct nmk_name copy = *whole;
        use_part(r, &copy, part, part_size, span, out);
    } else {
        nmk_read_unknown(r, nmk_source_span(&r->source, r->line, r->token.at, size), NMK_SCOPE_DESIGN, "piece", text,
                         size);
        nmk_make_broken(out, span);
    }
    nmk_read_next(r);
    return true;
}

/* REFERENCE = PART | NAME */
bool nmk_read_reference(struct nmk_reader *r, struct nmk_made *out)
{
    if (r->token.kind == NMK_T_PAIR)
        return read_part(r, out);
    if (r->token.kind == NMK_T_WORD)
        return read_name(r, out);
    return nmk_read_expected(r, "a panel", "a panel is named piece.panel");
}
