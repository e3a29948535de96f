#include <stdio.h>
#include <string.h>

#include "design/read/reader.h"

struct operation {
    enum nmk_token_kind token;
    enum nmk_formula_kind kind;
    int level;
};

/* Precedence: the higher level binds tighter; all go from the left to the right. */
static const struct operation operations[] = {
    {NMK_T_PLUS, NMK_F_ADD, 1},
    {NMK_T_MINUS, NMK_F_SUB, 1},
    {NMK_T_TIMES, NMK_F_MUL, 2},
    {NMK_T_DIVIDE, NMK_F_DIV, 2},
};
enum { FACTOR = 3 };

static const struct { const char *word; enum nmk_formula_kind kind; bool many; } functions[] = {
    {"min", NMK_F_MIN, true},
    {"max", NMK_F_MAX, true},
    {"abs", NMK_F_ABS, false},
    {"sqrt", NMK_F_SQRT, false},
};

static bool read_level(struct nmk_reader *r, int level, struct nmk_made *out);

static struct nmk_span join(struct nmk_span a, struct nmk_span b)
{
    return (struct nmk_span){a.line, a.column, b.column + b.length - a.column};
}

static bool enter(struct nmk_reader *r)
{
    if (++r->parentheses <= NMK_MOST_PARENTHESES)
        return true;
    nmk_read_limit(r, nmk_read_token_span(r), "too-deep", "There are more than %d levels of parentheses here, the most a formula may have",
                   NMK_MOST_PARENTHESES);
    return false;
}

/* ---- names ---- */

static bool refuse_whole_thing(struct nmk_reader *r, const struct nmk_name *name, struct nmk_span span, struct nmk_made *out)
{
    char hint[240];
    struct nmk_quoted q = nmk_read_quote(name->text, name->size);
    snprintf(hint, sizeof hint, "%.80s.across or %.80s.down", q.text, q.text);
    bool punches = name->is == NMK_NAMED_PUNCHES;
    nmk_read_error(r, span, "no-size", punches ? NULL : hint, punches ? "`%s` is %s, not a size" : "`%s` is %s, not a size: which one is meant?",
                   q.text, nmk_named_word(name->is));
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
        nmk_read_error(r, span, "not-complete", "name its panels one by one", "The list `%s` of this piece is not complete here, so its size is not known",
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
        nmk_read_error(r, span, "no-part", "a piece has .across, .down and its panels", "Only a mat is smaller than what it lies on");
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

static void use_part(struct nmk_reader *r, const struct nmk_name *whole, const char *part, size_t size, struct nmk_span span,
                     struct nmk_made *out)
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
        nmk_read_error(r, span, "no-part", whole->is == NMK_NAMED_OPENING ? "an opening has .across and .down" : NULL, "`%s` is %s and has no part `%s`",
                       nmk_read_quote(whole->text, whole->size).text, nmk_named_word(whole->is), nmk_read_quote(part, size).text);
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
        nmk_read_unknown(r, nmk_source_span(&r->source, r->line, r->token.at, size), NMK_SCOPE_DESIGN, "piece", text, size);
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

/* ("total" | "outside") REFERENCE, which is a panel */
static bool read_stretches(struct nmk_reader *r, enum nmk_formula_kind kind, struct nmk_made *out)
{
    size_t at = r->token.at;
    nmk_read_next(r);
    if (!nmk_read_reference(r, out))
        return false;
    struct nmk_span span = nmk_read_span_from(r, at);
    if (!out->formula) {
        out->span = span;
    } else if (out->formula->kind != NMK_F_PANEL) {
        nmk_read_error(r, out->span, "not-a-panel", "a panel is named piece.panel", "`%s` is said of panels only",
                       kind == NMK_F_TOTAL ? "total" : "outside");
        nmk_make_broken(out, span);
    } else {
        nmk_make_subject(r, out, kind, out->formula->subject, out->formula->part, span);
    }
    return true;
}

/* ---- primaries ---- */

/* "(" FORMULA ")" */
static bool read_parentheses(struct nmk_reader *r, struct nmk_made *out)
{
    struct nmk_span open = nmk_read_token_span(r);
    size_t at = r->token.at;
    nmk_read_next(r);
    if (!enter(r) || !read_level(r, 1, out))
        return false;
    r->parentheses--;
    if (!nmk_read_take(r, NMK_T_CLOSE)) {
        char what[80];
        snprintf(what, sizeof what, "`)` to close the `(` in column %u", (unsigned)open.column);
        return nmk_read_expected(r, what, NULL);
    }
    out->span = nmk_read_span_from(r, at);
    return true;
}

static bool refuse_arguments(struct nmk_reader *r, size_t f, size_t count, size_t at, bool comma_read)
{
    bool many = functions[f].many;
    nmk_read_error(r, nmk_read_span_from(r, at), "arguments",
                   !many       ? NULL
                   : comma_read ? "a comma between two digits is a decimal comma; put a space behind it: min(8, 4 cm)"
                               : "min(a, b)",
                   many ? "`%s` compares at least two sizes, here is one" : "`%s` takes one value, here are %zu", functions[f].word, count);
    return true;
}

/* FUNCTION "(" FORMULA {"," FORMULA} ")" */
static bool read_function(struct nmk_reader *r, size_t f, struct nmk_made *out)
{
    size_t at = r->token.at, count = 0;
    nmk_read_next(r);
    if (r->token.kind != NMK_T_OPEN)
        return nmk_read_expected(r, "`(`", functions[f].many ? "min(a, b)" : "abs(a)");
    struct nmk_span open = nmk_read_token_span(r);
    if (!enter(r))
        return false;
    do {
        struct nmk_made next;
        nmk_read_next(r);
        if (!read_level(r, 1, count ? &next : out))
            return false;
        if (count++ && functions[f].many)
            nmk_make_binary(r, out, functions[f].kind, &next, join(out->span, next.span));
    } while (r->token.kind == NMK_T_COMMA);
    r->parentheses--;
    size_t end = r->token.at;
    if (!nmk_read_take(r, NMK_T_CLOSE)) {
        char what[80];
        snprintf(what, sizeof what, "`,` or `)` to close the `(` in column %u", (unsigned)open.column);
        return nmk_read_expected(r, what, NULL);
    }
    struct nmk_span span = nmk_read_span_from(r, at);
    if (functions[f].many != (count > 1)) {
        refuse_arguments(r, f, count, at, memchr(r->source.text + at, ',', end - at) != NULL);
        nmk_make_broken(out, span);
    } else if (!functions[f].many) {
        nmk_make_unary(r, out, functions[f].kind, span);
    }
    out->span = span;
    if (out->formula)
        out->formula->span = span;
    return true;
}

/* LENGTH ["or" LENGTH] */
static bool read_written(struct nmk_reader *r, struct nmk_made *out)
{
    struct nmk_twin twin;
    size_t at = r->token.at;
    if (!nmk_read_twin(r, NMK_UNSIGNED, "a length", &twin))
        return false;
    nmk_make_length(r, out, twin, nmk_read_span_from(r, at));
    return true;
}

/* WORD = "pi" | FUNCTION ... | "total" ... | "outside" ... | NAME */
static bool read_word(struct nmk_reader *r, struct nmk_made *out)
{
    for (size_t f = 0; f < sizeof functions / sizeof *functions; f++)
        if (nmk_read_is_word(r, functions[f].word))
            return read_function(r, f, out);
    if (nmk_read_is_word(r, "total"))
        return read_stretches(r, NMK_F_TOTAL, out);
    if (nmk_read_is_word(r, "outside"))
        return read_stretches(r, NMK_F_OUTSIDE, out);
    if (!nmk_read_is_word(r, "pi"))
        return read_name(r, out);
    nmk_make_pi(r, out, nmk_read_token_span(r));
    nmk_read_next(r);
    return true;
}

/* PRIMARY = NUMBER | LENGTH ["or" LENGTH] | WORD | PART | "(" FORMULA ")" */
static bool read_primary(struct nmk_reader *r, struct nmk_made *out)
{
    switch (r->token.kind) {
    case NMK_T_NUMBER:
        nmk_make_number(r, out, r->token.value, nmk_read_token_span(r));
        nmk_read_next(r);
        return true;
    case NMK_T_LENGTH: return read_written(r, out);
    case NMK_T_WORD: return read_word(r, out);
    case NMK_T_PAIR: return read_part(r, out);
    case NMK_T_OPEN: return read_parentheses(r, out);
    default: return nmk_read_expected(r, "a size", NULL);
    }
}

/* FACTOR = "-" FACTOR | PRIMARY */
static bool read_factor(struct nmk_reader *r, struct nmk_made *out)
{
    if (r->token.kind != NMK_T_MINUS)
        return read_primary(r, out);
    size_t at = r->token.at;
    nmk_read_next(r);
    if (!enter(r) || !read_factor(r, out))
        return false;
    r->parentheses--;
    nmk_make_unary(r, out, NMK_F_NEG, nmk_read_span_from(r, at));
    return true;
}

/* ---- operations ---- */

static const struct operation *operation_here(const struct nmk_reader *r, int level)
{
    for (size_t i = 0; i < sizeof operations / sizeof *operations; i++)
        if (operations[i].token == r->token.kind && operations[i].level == level)
            return &operations[i];
    return NULL;
}

static bool refuse_tight_minus(struct nmk_reader *r)
{
    nmk_read_error(r, nmk_read_token_span(r), "minus-spaces", "a - b", "A minus between two sizes stands between spaces");
    return false;
}

static bool is_written(const struct nmk_formula *f)
{
    while (f && f->kind == NMK_F_NEG)
        f = f->left;
    return f && f->kind == NMK_F_LENGTH;
}

/* a/2 in: half of a, or a over 2 in? */
static bool refuse_written_divisor(struct nmk_reader *r, struct nmk_made *a, const struct nmk_made *b)
{
    if (!is_written(b->formula))
        return false;
    struct nmk_span span = join(a->span, b->span);
    nmk_read_error(r, span, "divided-by-length", "for a part of it leave out the unit: a / 2; for a ratio give the length a name with let",
                   "This divides by a written length: a part of the first, or how often the second goes into it?");
    nmk_make_broken(a, span);
    return true;
}

/* LEVEL = NEXT {operation NEXT}, the operations of that level; NEXT is LEVEL one higher, at last FACTOR */
static bool read_level(struct nmk_reader *r, int level, struct nmk_made *out)
{
    if (level == FACTOR)
        return read_factor(r, out);
    if (!read_level(r, level + 1, out))
        return false;
    for (const struct operation *o; (o = operation_here(r, level));) {
        if (o->kind == NMK_F_SUB && !(r->token.space_before && r->token.space_after))
            return refuse_tight_minus(r);
        nmk_read_next(r);
        struct nmk_made next;
        if (!read_level(r, level + 1, &next))
            return false;
        if (o->kind != NMK_F_DIV || !refuse_written_divisor(r, out, &next))
            nmk_make_binary(r, out, o->kind, &next, join(out->span, next.span));
    }
    return true;
}

/* Does another operand begin here, with nothing between? */
static bool is_operand(const struct nmk_reader *r)
{
    switch (r->token.kind) {
    case NMK_T_NUMBER: case NMK_T_LENGTH: case NMK_T_PAIR: case NMK_T_OPEN: return true;
    case NMK_T_WORD: return !nmk_read_is_reserved(r->source.text + r->token.at, r->token.size) &&
                            nmk_names_find(&r->names, NMK_SCOPE_DESIGN, r->source.text + r->token.at, r->token.size);
    default: return false;
    }
}

/* FORMULA = LEVEL 1 */
bool nmk_read_formula(struct nmk_reader *r, struct nmk_made *out)
{
    r->parentheses = 0;
    if (!read_level(r, 1, out))
        return false;
    if (r->token.kind == NMK_T_CROSS || nmk_read_is_word(r, "x"))
        return nmk_read_expected(r, "an operation", "to multiply write *");
    return !is_operand(r) || nmk_read_expected(r, "an operation", "to multiply write 2 * long");
}

/* ---- what something lies on ---- */

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
        nmk_read_error(r, span, "wrong-kind", NULL, "It lies on a piece, but `%s` is %s", nmk_read_quote(text, size).text, nmk_named_word(name->is));
    }
    nmk_read_next(r);
    if (!nmk_read_is_cross(r))
        return true;
    if (!*broken)
        nmk_read_error(r, span, "on-what", "sleeve.face x sleeve.depth", "What it lies on is given by two panels or whole sizes, or by one piece");
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
    if (!read_part(r, &a))
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
        if (!read_part(r, &b))
            return false;
        *broken = !may_lie_on(r, what, &b) || *broken;
        out->across = a.formula;
        out->down = b.formula;
    }
    return true;
}
