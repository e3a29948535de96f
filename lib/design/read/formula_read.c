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

static const struct {
    const char *word;
    enum nmk_formula_kind kind;
    bool many;
} functions[] = {
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
    nmk_read_limit(r, nmk_read_token_span(r), "too-deep",
                   "There are more than %d levels of parentheses here, the most a formula may have",
                   NMK_MOST_PARENTHESES);
    return false;
}

/* ---- primaries ---- */

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
                   !many        ? NULL
                   : comma_read ? "a comma between two digits is a decimal comma; put a space behind it: min(8, 4 cm)"
                                : "min(a, b)",
                   many ? "`%s` compares at least two sizes, here is one" : "`%s` takes one value, here are %zu",
                   functions[f].word, count);
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
        return nmk_read_reference(r, out);
    nmk_make_pi(r, out, nmk_read_token_span(r));
    nmk_read_next(r);
    return true;
}

/* A word behind a number that is neither one of the statements' nor a name: a unit was meant. */
static bool refuse_strange_unit(struct nmk_reader *r)
{
    const char *word = r->source.text + r->token.at;
    if (r->token.kind != NMK_T_WORD || nmk_read_is_reserved(word, r->token.size) ||
        nmk_names_find(&r->names, NMK_SCOPE_DESIGN, word, r->token.size))
        return true;
    nmk_read_error(r, nmk_read_token_span(r), "unknown-unit", "units: mm, cm, in, ft, mil; to multiply write 2 * long",
                   "There is no unit `%s`", nmk_read_token_quote(r).text);
    return false;
}

/* PRIMARY = NUMBER | LENGTH ["or" LENGTH] | WORD | PART | "(" FORMULA ")" */
static bool read_primary(struct nmk_reader *r, struct nmk_made *out)
{
    switch (r->token.kind) {
    case NMK_T_NUMBER:
        nmk_make_number(r, out, r->token.value, nmk_read_token_span(r));
        nmk_read_next(r);
        return refuse_strange_unit(r);
    case NMK_T_LENGTH: return read_written(r, out);
    case NMK_T_WORD: return read_word(r, out);
    case NMK_T_PAIR: return nmk_read_reference(r, out);
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
    nmk_read_error(r, nmk_read_token_span(r), "minus-spaces", "a - b",
                   "A minus between two sizes stands between spaces");
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
    nmk_read_error(r, span, "divided-by-length",
                   "for a part of it leave out the unit: a / 2; for a ratio give the length a name with let",
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
    case NMK_T_NUMBER:
    case NMK_T_LENGTH:
    case NMK_T_PAIR:
    case NMK_T_OPEN: return true;
    case NMK_T_WORD:
        return !nmk_read_is_reserved(r->source.text + r->token.at, r->token.size) &&
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
