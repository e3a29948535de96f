/* What a mat, a border or an opening lies on. */
#include "design/read/reader.h"

static bool may_lie_on(struct nmk_reader *r, enum nmk_on_what what, const struct nmk_made *m)
{
    if (!m->formula)
        return false;
    enum nmk_formula_kind kind = m->formula->kind;
    bool size = kind == NMK_F_PANEL || kind == NMK_F_WHOLE || kind == NMK_F_OPENING;
    if (!size)
        nmk_read_error(r, m->span, "on-what", "sleeve.face x sleeve.depth, or the name of a piece",
                       "What it lies on is a panel or a whole size of a piece");
    else if (what == NMK_ON_MAT && m->punched)
        nmk_read_error(r, m->span, "punched", NULL, "A mat cannot lie on a punched size");
    return size && !(what == NMK_ON_MAT && m->punched);
}

/* "on" NAME: a piece, or what is punched */
static bool read_on_piece(struct nmk_reader *r, enum nmk_on_what what, struct nmk_on *out, bool *broken)
{
    const char *text = r->source.text + r->token.at;
    size_t size = r->token.size;
    struct nmk_span span = nmk_read_token_span(r);
    const struct nmk_name *name = nmk_read_find(r, NMK_SCOPE_DESIGN, text, size);
    bool opening = name && name->is == NMK_NAMED_OPENING && what == NMK_ON_BORDER;
    *broken = true;
    if (!name) {
        nmk_read_unknown(r, span, NMK_SCOPE_DESIGN, "piece", text, size);
    } else if (name->is == NMK_NAMED_PIECE || opening) {
        struct nmk_made sides[2];
        for (size_t way = 0; way < 2; way++)
            nmk_make_subject(r, &sides[way], opening ? NMK_F_OPENING : NMK_F_WHOLE, name->index, way, span);
        *broken = !may_lie_on(r, what, &sides[0]) || !sides[1].formula;
        *out = (struct nmk_on){sides[0].formula, sides[1].formula, opening ? NMK_NONE : name->index};
    } else if (name->is != NMK_NAMED_BROKEN) {
        nmk_read_error(r, span, "wrong-kind", NULL, "It lies on a piece, but `%s` is %s",
                       nmk_read_quote(text, size).text, nmk_named_word(name->is));
    }
    nmk_read_next(r);
    if (!nmk_read_is_cross(r))
        return true;
    if (!*broken)
        nmk_read_error(r, span, "on-what", "sleeve.face x sleeve.depth",
                       "What it lies on is given by two panels or whole sizes, or by one piece");
    return false;
}

/* ON = PART "x" PART | NAME; of a border also PART "across" | PART "down" */
bool nmk_read_on(struct nmk_reader *r, enum nmk_on_what what, struct nmk_on *out, bool *broken)
{
    static const char hint[] = "sleeve.face x sleeve.depth, or the name of a piece";
    struct nmk_made a, b;
    *out = (struct nmk_on){.piece = NMK_NONE};
    if (r->token.kind == NMK_T_WORD && !nmk_read_is_reserved(r->source.text + r->token.at, r->token.size))
        return read_on_piece(r, what, out, broken);
    if (r->token.kind != NMK_T_PAIR)
        return nmk_read_expected(r, "what it lies on", hint);
    if (!nmk_read_reference(r, &a))
        return false;
    *broken = !may_lie_on(r, what, &a);
    if (what == NMK_ON_BORDER && nmk_read_take_word(r, "across")) {
        out->across = a.formula;
    } else if (what == NMK_ON_BORDER && nmk_read_take_word(r, "down")) {
        out->down = a.formula;
    } else if (!nmk_read_take_cross(r)) {
        return nmk_read_expected(r, "`x` and the size down", hint);
    } else {
        if (r->token.kind != NMK_T_PAIR)
            return nmk_read_expected(r, "the size down", hint);
        if (!nmk_read_reference(r, &b))
            return false;
        *broken = !may_lie_on(r, what, &b) || *broken;
        out->across = a.formula;
        out->down = b.formula;
    }
    return true;
}
