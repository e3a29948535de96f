#include <stdio.h>
#include <string.h>

#include "design/read/reader.h"
#include "length/glyph.h"

/* ---- words that are no names ---- */

/* `long` and `short` are words of `grain`, and yet what people call the sides of things: they may be names. So may a
 * `foot`: of the units only those that a design is written in are here. */
static const char *const reserved[] = {
    "abs",       "across",  "as",     "at",       "beside", "border",  "both",    "by",      "clear",   "cm",
    "corners",   "cut",     "design", "designed", "down",   "edge",    "edges",   "edition", "ends",    "even",
    "exactly",   "first",   "fit",    "from",     "ft",     "glue",    "grain",   "gsm",     "in",      "inch",
    "inches",    "inside",  "keep",   "last",     "lb",     "least",   "let",     "marks",   "mat",     "max",
    "measure",   "mil",     "min",    "mitred",   "mm",     "most",    "of",      "on",      "opening", "or",
    "outside",   "over",    "pi",     "piece",    "place",  "pt",      "punches", "reach",   "read",    "rest",
    "say",       "score",   "scores", "sheet",    "shows",  "smaller", "snipped", "sqrt",    "stock",   "tapered",
    "thickness", "through", "to",     "total",    "unit",   "weight",  "whole",   "x",
};

bool nmk_read_is_reserved(const char *text, size_t size)
{
    for (size_t i = 0; i < sizeof reserved / sizeof *reserved; i++)
        if (size && reserved[i][0] == text[0] && !strncmp(reserved[i], text, size) && !reserved[i][size])
            return true;
    return false;
}

const char *nmk_named_word(enum nmk_named is)
{
    static const char *const words[] = {
        [NMK_NAMED_NOTHING] = "nothing",
        [NMK_NAMED_MEASURE] = "a measure",
        [NMK_NAMED_STOCK] = "a stock",
        [NMK_NAMED_LET] = "a let",
        [NMK_NAMED_PIECE] = "a piece",
        [NMK_NAMED_OPENING] = "an opening",
        [NMK_NAMED_PUNCHES] = "a list of punches",
        [NMK_NAMED_PANEL] = "a panel",
        [NMK_NAMED_EDITION] = "an edition",
        [NMK_NAMED_BROKEN] = "something",
    };
    return words[is];
}

/* ---- names that are defined ---- */

static void refuse_reserved(struct nmk_reader *r, const char *text, size_t size)
{
    struct nmk_quoted q = nmk_read_quote(text, size);
    char hint[160];
    snprintf(hint, sizeof hint, "add something to it: %s_1", q.text);
    nmk_read_error(r, nmk_read_token_span(r), "reserved-word", hint,
                   "`%s` is a word of the statements or a unit, so it cannot be a name", q.text);
}

static void refuse_second(struct nmk_reader *r, const struct nmk_name *first)
{
    struct nmk_quoted q = nmk_read_quote(first->text, first->size);
    const char *code = first->is == NMK_NAMED_PANEL ? "panel-twice" : "name-twice";
    const char *hint =
        first->is == NMK_NAMED_PANEL ? "where it stands again, write its name alone" : "give it another name";
    nmk_read_error(r, nmk_read_token_span(r), code, hint, "`%s` is already %s, on line %u", q.text,
                   nmk_named_word(first->is), (unsigned)first->line);
}

/* Looks a new name over; false where it may not be one (complained of). */
static bool may_be_name(struct nmk_reader *r, size_t scope, const char *text, size_t size)
{
    if (nmk_read_is_reserved(text, size)) {
        if (!nmk_names_find(&r->names, scope, text, size) && !nmk_names_find(&r->names, NMK_SCOPE_DESIGN, text, size))
            refuse_reserved(r, text, size);
        nmk_names_add(&r->names, (struct nmk_name){.text = text, .size = size, .scope = scope, .is = NMK_NAMED_BROKEN});
        return false;
    }
    const struct nmk_name *first = nmk_names_find(&r->names, scope, text, size);
    if (first && first->is != NMK_NAMED_BROKEN) {
        refuse_second(r, first);
        return false;
    }
    return true;
}

bool nmk_read_new_name(struct nmk_reader *r, size_t scope, const char *what, struct nmk_name *out)
{
    *out = (struct nmk_name){.scope = scope, .line = (uint32_t)r->line + 1};
    if (r->token.kind == NMK_T_PAIR) {
        nmk_read_error(r, nmk_read_token_span(r), "name-dot", "take letters, digits and _",
                       "A new name has no dot in it");
        nmk_read_next(r);
        return true;
    }
    if (r->token.kind != NMK_T_WORD)
        return nmk_read_expected(r, what, "a name begins with a letter and goes on with letters, digits and _");
    if (may_be_name(r, scope, r->source.text + r->token.at, r->token.size)) {
        out->text = r->source.text + r->token.at;
        out->size = r->token.size;
    }
    if (scope < NMK_SCOPE_PIECES)
        r->pending = *out;
    nmk_read_next(r);
    return true;
}

void nmk_read_define(struct nmk_reader *r, struct nmk_name name, enum nmk_named is, size_t index)
{
    if (!name.size)
        return;
    name.is = is;
    name.index = index;
    nmk_names_add(&r->names, name);
    if (name.scope < NMK_SCOPE_PIECES)
        r->pending = (struct nmk_name){0};
}

const char *nmk_read_kept_name(struct nmk_reader *r, struct nmk_name name)
{
    return name.size ? nmk_design_text(r->design, name.text, name.size) : "";
}

const char *nmk_read_label(struct nmk_reader *r)
{
    if (r->token.kind != NMK_T_TEXT)
        return NULL;
    const char *text = r->source.text + r->token.inner_at;
    size_t size = r->token.inner_size;
    nmk_read_next(r);
    return size ? nmk_design_text(r->design, text, size) : NULL;
}

/* ---- names that are used ---- */

struct nmk_name *nmk_read_find(struct nmk_reader *r, size_t scope, const char *text, size_t size)
{
    struct nmk_name *name = nmk_names_find(&r->names, scope, text, size);
    if (name)
        name->used = true;
    return name;
}

size_t nmk_read_find_panel(struct nmk_reader *r, size_t piece, const char *text, size_t size, bool *broken)
{
    const struct nmk_name *name = nmk_read_find(r, NMK_SCOPE_PIECES + piece, text, size);
    *broken = name ? name->is == NMK_NAMED_BROKEN : r->pieces[piece].lost;
    return name && name->is == NMK_NAMED_PANEL ? name->index : NMK_NONE;
}

/* A panel of that name in any piece: it should have been written with its piece. */
static const struct nmk_name *panel_anywhere(struct nmk_reader *r, const char *text, size_t size)
{
    for (size_t i = 0; i < r->names.count && r->names.patience; i++, r->names.patience--) {
        const struct nmk_name *n = &r->names.all[i];
        if (n->is == NMK_NAMED_PANEL && n->size == size && !memcmp(n->text, text, size))
            return n;
    }
    return NULL;
}

static void propose(struct nmk_reader *r, char *hint, size_t space, size_t scope, const char *text, size_t size)
{
    const struct nmk_name *near = nmk_names_near(&r->names, scope, NMK_NAMED_NOTHING, text, size);
    const struct nmk_name *panel = scope == NMK_SCOPE_DESIGN ? panel_anywhere(r, text, size) : NULL;
    *hint = '\0';
    if (panel)
        snprintf(hint, space, "a panel is named with its piece: %s.%s",
                 nmk_at_piece(r->design, panel->scope - NMK_SCOPE_PIECES)->name, nmk_read_quote(text, size).text);
    else if (near && scope >= NMK_SCOPE_PIECES)
        snprintf(hint, space, "did you mean %s.%s?", nmk_at_piece(r->design, scope - NMK_SCOPE_PIECES)->name,
                 nmk_read_quote(near->text, near->size).text);
    else if (near)
        snprintf(hint, space, "did you mean %s?", nmk_read_quote(near->text, near->size).text);
}

void nmk_read_unknown(struct nmk_reader *r, struct nmk_span span, size_t scope, const char *what, const char *text,
                      size_t size)
{
    char hint[300];
    struct nmk_quoted q = nmk_read_quote(text, size);
    const struct nmk_name *later = scope == NMK_SCOPE_DESIGN ? nmk_names_find(&r->later, scope, text, size) : NULL;
    if (scope == NMK_SCOPE_DESIGN && nmk_read_is_reserved(text, size)) {
        nmk_read_error(r, span, "expected", NULL, "Here a %s is expected, not `%s`, a word of the statements",
                       *what ? what : "name", q.text);
        return;
    }
    if (later && later->line >= r->line + 1) {
        nmk_read_error(r, span, "name-below", "a name may only be one defined above: move one of the two lines",
                       later->line == r->line + 1 ? "`%s` is only being defined here, on line %u"
                                                  : "`%s` is defined further down, on line %u",
                       q.text, (unsigned)later->line);
        return;
    }
    propose(r, hint, sizeof hint, scope, text, size);
    nmk_read_error(r, span, "unknown-name", *hint ? hint : NULL,
                   *what ? "There is no %s `%s`" : "Nothing%s is named `%s`", what, q.text);
}

bool nmk_read_known(struct nmk_reader *r, enum nmk_named is, const char *what, size_t *out)
{
    *out = NMK_NONE;
    if (r->token.kind != NMK_T_WORD)
        return nmk_read_expected(r, what, NULL);
    const char *text = r->source.text + r->token.at;
    size_t size = r->token.size;
    const struct nmk_name *name = nmk_read_find(r, NMK_SCOPE_DESIGN, text, size);
    if (!name) {
        nmk_read_unknown(r, nmk_read_token_span(r), NMK_SCOPE_DESIGN, strchr(what, ' ') ? strchr(what, ' ') + 1 : what,
                         text, size);
    } else if (name->is == is) {
        *out = name->index;
    } else if (name->is != NMK_NAMED_BROKEN) {
        nmk_read_error(r, nmk_read_token_span(r), "wrong-kind", NULL, "Here %s is expected, but `%s` is %s", what,
                       nmk_read_token_quote(r).text, nmk_named_word(name->is));
    }
    nmk_read_next(r);
    return true;
}

/* ---- names further down ---- */

static size_t run_of_letters(const char *text, size_t size)
{
    size_t at = 0;
    for (struct nmk_glyph g; (g = nmk_glyph_get(text, size, at)).bytes; at += g.bytes)
        if (!nmk_glyph_is_letter(g.code) && (!at || (g.code != '_' && !nmk_glyph_is_digit(g.code))))
            break;
    return at;
}

void nmk_read_foresee(struct nmk_reader *r)
{
    static const char *const keywords[] = {"measure", "stock", "let", "piece", "mat", "punches", "opening"};
    for (size_t i = 0; i < r->source.count; i++) {
        struct nmk_source_line line = r->source.lines[i];
        size_t at = nmk_glyph_skip_spaces(r->source.text, line.end, line.start);
        const char *word = r->source.text + at;
        size_t size = run_of_letters(word, line.end - at);
        for (size_t k = 0; k < sizeof keywords / sizeof *keywords; k++) {
            if (size != strlen(keywords[k]) || memcmp(word, keywords[k], size))
                continue;
            at = nmk_glyph_skip_spaces(r->source.text, line.end, at + size);
            const char *text = r->source.text + at;
            size = run_of_letters(text, line.end - at);
            if (size && !nmk_names_find(&r->later, NMK_SCOPE_DESIGN, text, size))
                nmk_names_add(&r->later, (struct nmk_name){.text = text, .size = size, .line = (uint32_t)i + 1});
            break;
        }
    }
}
