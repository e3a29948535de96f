#include "proof/claim_reader.h"

#include <string.h>

#include "ground/store.h"

/* ---- which edition ---- */

static bool is_filler(const struct token *t)
{
    return token_among(
        t,
        " the a edition version list lists cut cuts cutting score scores and for in with measurements measurement sizes size "
        "units unit all figures trimmer trimmers our my your are is given people who use using ");
}

/* The last token of the row that belongs to its title: up to a parenthesis, colon or full stop. */
static size_t title_end(const struct reader *r)
{
    size_t i = r->all.first;
    while (i < r->all.end && !is_sign(&r->tokens[i], '(') && !is_sign(&r->tokens[i], ':') && !is_sign(&r->tokens[i], '.'))
        i++;
    return i;
}

/* How many tokens of this name stand there. */
static size_t name_size(const struct reader *r, size_t edition, size_t at)
{
    const struct row *name = &r->names.rows[edition];
    for (size_t i = 0; i < name->count; i++) {
        const struct token *want = &r->names.tokens[name->first + i], *is = token_at(r, at + i);
        if (!is->text || !want->text || is->kind != want->kind || strcmp(is->text, want->text) != 0)
            return 0;
    }
    return name->count;
}

static bool is_title_but(const struct reader *r, size_t at, size_t size)
{
    for (size_t i = r->all.first; i < title_end(r); i++)
        if ((i < at || i >= at + size) && r->tokens[i].kind != TOKEN_SIGN && !is_filler(&r->tokens[i]))
            return false;
    return true;
}

static bool names_piece(const struct reader *r)
{
    for (size_t i = r->all.first; i < r->all.end; i++)
        if (r->tokens[i].known)
            return true;
    return false;
}

/* A heading that names it, a title of nothing else, "edition metric". */
static bool is_edition_there(const struct reader *r, size_t at, size_t size)
{
    if (token_is(token_at(r, at + size), "edition") || (at && token_is(token_at(r, at - 1), "edition")))
        return true;
    return at < title_end(r) && (is_title_but(r, at, size) || (r->row->level && !names_piece(r)));
}

static bool find_edition(size_t *edition, const struct reader *r)
{
    size_t best = 0;
    for (size_t at = r->all.first; at < r->all.end; at++)
        for (size_t i = 0; i < nmk_design_edition_count(r->design); i++) {
            size_t size = name_size(r, i, at);
            if (size > best && is_edition_there(r, at, size)) {
                best = size;
                *edition = i;
            }
        }
    return best > 0;
}

static enum nmk_unit unit_word(const struct token *t)
{
    if (token_is(t, "metric"))
        return NMK_MM;
    if (token_is(t, "imperial"))
        return NMK_IN;
    return t->kind == TOKEN_WORD && !token_is(t, "in") ? nmk_unit_find(t->text, strlen(t->text)) : NMK_UNIT_NONE;
}

bool reader_has_figures(const struct reader *r)
{
    for (size_t i = r->all.first; i < r->all.end; i++)
        if (r->tokens[i].kind == TOKEN_FIGURE && !r->tokens[i].known)
            return true;
    return false;
}

/* A title that names a unit: "Inches", "Measurements in cm". */
static enum nmk_unit find_unit(const struct reader *r)
{
    for (size_t at = r->all.first; at < title_end(r); at++)
        if (unit_word(&r->tokens[at]) != NMK_UNIT_NONE && !reader_has_figures(r) && is_title_but(r, at, 1))
            return unit_word(&r->tokens[at]);
    return NMK_UNIT_NONE;
}

/* The only edition of this kind of unit, or NMK_NONE. */
static size_t only_edition(const struct reader *r, enum nmk_unit unit)
{
    size_t found = NMK_NONE, declared = nmk_design_declared_count(r->design);
    size_t count = declared ? declared : nmk_design_edition_count(r->design);
    for (size_t i = 0; i < count; i++) {
        if (claim_unit_of(r->units[i]) != claim_unit_of(unit))
            continue;
        if (found != NMK_NONE)
            return NMK_NONE;
        found = i;
    }
    return found;
}

static void begin_edition(struct reader *r, size_t edition)
{
    size_t subjects = piece_count(r) + nmk_design_opening_count(r->design) + nmk_design_measure_count(r->design);
    r->edition = edition;
    r->skipping = r->asked != NMK_NONE && edition != NMK_NONE && edition != r->asked;
    r->subject = NMK_NONE;
    r->kind = ENTRY_ANY;
    r->way = -1;
    r->rows = NMK_NONE;
    if (subjects)
        memset(r->mentions, 0, subjects * sizeof *r->mentions);
}

void reader_note_edition(struct reader *r)
{
    size_t edition = NMK_NONE;
    enum nmk_unit unit;
    if (find_edition(&edition, r)) {
        begin_edition(r, edition);
        r->usual = NMK_UNIT_NONE;
    } else if ((unit = find_unit(r)) != NMK_UNIT_NONE) {
        begin_edition(r, r->asked != NMK_NONE && claim_unit_of(r->units[r->asked]) == claim_unit_of(unit)
                             ? r->asked
                             : only_edition(r, unit));
        r->usual = unit;
    }
}

/* ---- what it is about ---- */

static bool is_reference(const struct reader *r, size_t at)
{
    for (size_t i = r->all.first; i < at; i++)
        if (token_among(&r->tokens[i],
                        " on of through to over under into inside onto around beside behind from with than diagram "))
            return true;
    return false;
}

/* Nothing but words that may stand before a name. */
static bool is_at_start(const struct reader *r, size_t at)
{
    for (size_t i = r->all.first; i < at; i++) {
        const struct token *t = &r->tokens[i];
        if (t->kind == TOKEN_WORD &&
            !token_among(t, " the a an piece pieces part cut cuts punch score for make each opening step next now then and "))
            return false;
    }
    return true;
}

/* Does the row speak of making something, and not of what was measured? */
static bool is_of_making(const struct reader *r)
{
    return r->row->level || !reader_has_figures(r) ||
           trade_kind(&r->tokens[r->all.first], r->all.end - r->all.first, false) != ENTRY_ANY;
}

/* Which of two that are called alike is meant: what is made or measured, then the one that was named less, then the first. */
static bool is_rather(const struct reader *r, const struct phrase *p, const struct phrase *than)
{
    bool measured = p->kind == PHRASE_MEASURE, was_measured = than->kind == PHRASE_MEASURE;
    if (p->kind == PHRASE_OTHER || than->kind == PHRASE_OTHER)
        return than->kind == PHRASE_OTHER;
    if (measured != was_measured)
        return measured != is_of_making(r);
    if (r->mentions[p->subject] != r->mentions[than->subject])
        return r->mentions[p->subject] < r->mentions[than->subject];
    return p->subject < than->subject;
}

/* Of those that are called alike, the one that is meant here. */
static const struct phrase *meant(const struct reader *r, const struct phrase_found *found)
{
    const struct phrase *best = NULL;
    for (size_t i = 0; i < found->count; i++) {
        const struct phrase *p = &r->book.phrases[found->first + i];
        if (!best || is_rather(r, p, best))
            best = p;
    }
    return best;
}

static void name_subject(struct reader *r, const struct phrase *p, size_t end)
{
    r->topic = p->subject;
    r->named_here = true;
    r->begin = end;
    if (p->kind == PHRASE_MEASURE || (p->kind == PHRASE_OPENING && r->subject != NMK_NONE && reader_has_figures(r)))
        return; /* this row alone */
    r->subject = p->subject;
    r->mentions[p->subject]++;
    r->level = r->row->level;
    r->block++;
    r->kind = ENTRY_ANY;
    r->way = -1;
    r->rows = NMK_NONE;
}

/* A sentence of some length, which only begins with a word that is a label: "A trimmer's blade cuts ..." */
static bool is_prose(const struct reader *r, size_t at, size_t end)
{
    const struct token *next = token_at(r, end);
    size_t words = 0;
    for (size_t i = r->all.first; i < r->all.end; i++)
        words += r->tokens[i].kind == TOKEN_WORD;
    return end == at + 1 && words >= 6 && !r->row->level && !reader_has_figures(r) && next->kind == TOKEN_WORD &&
           trade_kind(next, 1, false) == ENTRY_ANY;
}

static bool may_name(const struct reader *r, const struct phrase *p, size_t at, size_t end)
{
    if (p->kind == PHRASE_OTHER || r->named_here || trade_is_side(token_at(r, end)) || is_prose(r, at, end))
        return false;
    bool article = end == at + 1 && strlen(r->tokens[at].text) < 3; /* a piece called A */
    if (article && token_at(r, end)->kind == TOKEN_WORD && trade_kind(token_at(r, end), 1, false) == ENTRY_ANY)
        return false;
    if (p->kind == PHRASE_MEASURE && !p->is_name)
        return r->subject == NMK_NONE || is_at_start(r, at);
    return is_at_start(r, at) || (!p->is_name && !article && !is_reference(r, at));
}

/* Marks every text of the design; the first that may name a subject does. */
void reader_note_phrases(struct reader *r)
{
    const struct phrase *names = NULL;
    size_t end = 0;
    for (size_t at = r->all.first; at < r->all.end;) {
        struct phrase_found found;
        if (!phrase_book_find(&found, &r->book, &r->tokens[at], r->all.end - at)) {
            at++;
            continue;
        }
        const struct phrase *p = meant(r, &found);
        bool naming = !names && may_name(r, p, at, at + found.tokens);
        if (naming) {
            names = p;
            end = at + found.tokens;
        }
        for (size_t i = at; (naming || !p->is_name) && i < at + found.tokens; i++)
            r->tokens[i].known = true;
        at += found.tokens;
    }
    if (names)
        name_subject(r, names, end);
}

void reader_leave_subject(struct reader *r)
{
    if (r->row->level && !r->named_here && (!r->level || r->row->level <= r->level)) {
        r->subject = r->topic = NMK_NONE;
        r->kind = ENTRY_ANY;
        r->way = -1;
        r->rows = NMK_NONE;
    }
}

/* ---- which row of its lists ---- */

static size_t panel_called(const struct nmk_piece *piece, const struct token *t)
{
    for (size_t k = 0; k < piece->panel_count; k++)
        if (token_is(t, piece->panels[k].name))
            return k;
    return NMK_NONE;
}

/* The only row that runs beside these panels, though it may also beside others. */
static size_t row_beside(const struct nmk_piece *piece, const bool *named)
{
    const struct nmk_list *list = &piece->lists[piece->lists[NMK_DOWN].row_count > 1 ? NMK_DOWN : NMK_ACROSS];
    size_t found = NMK_NONE;
    for (size_t row = 0; row < list->row_count; row++) {
        bool any = false;
        for (size_t i = 0; i < list->rows[row].beside_count; i++)
            any = any || named[list->rows[row].beside[i]];
        if (any && found != NMK_NONE)
            return NMK_NONE;
        found = any ? row : found;
    }
    return found;
}

size_t reader_beside(size_t *row, const struct reader *r, size_t at)
{
    const struct nmk_piece *piece = reader_piece(r);
    size_t end = at;
    *row = NMK_NONE;
    if (!piece || piece->kind != NMK_PIECE_PANELS || !nmk_piece_has_rows(piece) || !token_is(token_at(r, at), "beside"))
        return at;
    bool *named = store_new(piece->panel_count + 1, sizeof *named);
    for (size_t i = at + 1; i < r->all.end; i++) {
        const struct token *t = &r->tokens[i];
        size_t panel = t->kind == TOKEN_WORD ? panel_called(piece, t) : NMK_NONE;
        if (panel != NMK_NONE) {
            named[panel] = true;
            end = i + 1;
        } else if (!is_sign(t, ',') && !token_among(t, " the and ")) {
            break;
        }
    }
    *row = end > at ? row_beside(piece, named) : NMK_NONE;
    store_free(named);
    return end;
}

/* The panels' names are no words of the trade there, whatever they are ("top and bottom"). Said in a line without figures, or
 * in the first cell of a table, it goes for the lines below too. */
void reader_note_beside(struct reader *r)
{
    r->says_row = false;
    for (size_t at = r->all.first, end; at < r->all.end; at++) {
        size_t row;
        end = reader_beside(&row, r, at);
        for (size_t i = at + 1; i < end; i++)
            r->tokens[i].known =
                r->tokens[i].known || (r->tokens[i].kind == TOKEN_WORD && !token_among(&r->tokens[i], " the and "));
        if (row == NMK_NONE || (reader_has_figures(r) && !(r->row->table && r->tokens[at].cell <= 1)))
            continue;
        r->says_row = true;
        r->rows = row;
        r->rows_of_table = r->row->table;
    }
}

/* ---- a row without figures: what the next rows are about ---- */

void reader_note_kind(struct reader *r)
{
    size_t count = r->all.end - r->all.first;
    const struct token *tokens = &r->tokens[r->all.first];
    size_t words = 0;
    for (size_t i = 0; i < count; i++)
        words += tokens[i].kind == TOKEN_WORD;
    bool heads = words <= 3 || (words <= 6 && (is_sign(&tokens[count - 1], ':') || r->row->level));
    if (!heads)
        return;
    enum entry_kind kind = trade_kind(tokens, count, false);
    int way = trade_way(tokens, count, false);
    if (kind != ENTRY_ANY || way >= 0) {
        r->kind = kind;
        r->way = way;
        r->rows = r->says_row ? r->rows : NMK_NONE;
    }
}
