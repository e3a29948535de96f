#include "proof/claim.h"

#include <string.h>

#include "ground/store.h"
#include "proof/trade_word.h"

enum { MOST_CELLS = 64, MOST_COUNT = 10000 };

struct span { /* tokens */
    size_t first, end;
};

/* Figures that stand together, "3 1/8, 4 5/16 in", and the words about them. */
struct group {
    struct span figures, before, after;
    bool pair;
    bool beside; /* the last group in another unit */
};

struct reader {
    struct claims *out;
    const struct nmk_design *design;
    const enum nmk_unit *units;
    struct phrase_book book;
    struct word_list names; /* of the editions: a row each */
    struct token *tokens;
    size_t asked;
    /* what the lines above say */
    size_t edition, subject, block;
    bool skipping;          /* another edition than the one asked for */
    int level;              /* of the heading that named the subject */
    enum entry_kind kind;
    int way;
    enum nmk_unit usual, last_unit;
    size_t *mentions;       /* of each subject, in this edition */
    size_t header_row;      /* of the table that is being read, or NMK_NONE */
    /* this row */
    const struct row *row;
    struct span all;
    size_t topic;           /* a measure or an opening that this row alone is about; else the subject */
    bool named_here;        /* the subject is named in this row */
    size_t begin;           /* behind the name of the subject */
    struct group *groups;
    size_t group_count;
};

enum claim_unit claim_unit_of(enum nmk_unit unit)
{
    return unit == NMK_UNIT_NONE ? CLAIM_NO_UNIT : nmk_unit_is_inch(unit) ? CLAIM_INCH : CLAIM_METRIC;
}

static const struct token *token_at(const struct reader *r, size_t i)
{
    static const struct token none = {.kind = TOKEN_SIGN, .sign = 'e'};
    return i >= r->all.first && i < r->all.end ? &r->tokens[i] : &none;
}

static bool is_sign(const struct token *t, char sign)
{
    return t->kind == TOKEN_SIGN && t->sign == sign;
}

static size_t piece_count(const struct reader *r)
{
    return nmk_design_piece_count(r->design);
}

static bool is_piece(const struct reader *r, size_t subject)
{
    return subject < piece_count(r);
}

/* ---- which edition ---- */

static bool is_filler(const struct token *t)
{
    return token_among(t, " the a edition version list lists cut cuts cutting score scores and for in with measurements measurement sizes size "
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

static bool has_figures(const struct reader *r)
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
        if (unit_word(&r->tokens[at]) != NMK_UNIT_NONE && !has_figures(r) && is_title_but(r, at, 1))
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
    if (subjects)
        memset(r->mentions, 0, subjects * sizeof *r->mentions);
}

static void note_edition(struct reader *r)
{
    size_t edition = NMK_NONE;
    enum nmk_unit unit;
    if (find_edition(&edition, r)) {
        begin_edition(r, edition);
        r->usual = NMK_UNIT_NONE;
    } else if ((unit = find_unit(r)) != NMK_UNIT_NONE) {
        begin_edition(r, r->asked != NMK_NONE && claim_unit_of(r->units[r->asked]) == claim_unit_of(unit) ? r->asked : only_edition(r, unit));
        r->usual = unit;
    }
}

/* ---- what it is about ---- */

static bool is_reference(const struct reader *r, size_t at)
{
    for (size_t i = r->all.first; i < at; i++)
        if (token_among(&r->tokens[i], " on of through to over under into inside onto around beside behind from with than diagram "))
            return true;
    return false;
}

/* Nothing but words that may stand before a name. */
static bool is_at_start(const struct reader *r, size_t at)
{
    for (size_t i = r->all.first; i < at; i++) {
        const struct token *t = &r->tokens[i];
        if (t->kind == TOKEN_WORD && !token_among(t, " the a an piece pieces part cut cuts punch score for make each opening step next now then and "))
            return false;
    }
    return true;
}

/* Does the row speak of making something, and not of what was measured? */
static bool is_of_making(const struct reader *r)
{
    return r->row->level || !has_figures(r) || trade_kind(&r->tokens[r->all.first], r->all.end - r->all.first, false) != ENTRY_ANY;
}

/* Which of two that are called alike is meant: what is made or measured, then the one that was named less. */
static bool is_rather(const struct reader *r, const struct phrase *p, const struct phrase *than)
{
    bool measured = p->kind == PHRASE_MEASURE, was_measured = than->kind == PHRASE_MEASURE;
    if (p->kind == PHRASE_OTHER || than->kind == PHRASE_OTHER)
        return than->kind == PHRASE_OTHER;
    if (measured != was_measured)
        return measured != is_of_making(r);
    return r->mentions[p->subject] < r->mentions[than->subject];
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
    if (p->kind == PHRASE_MEASURE || (p->kind == PHRASE_OPENING && r->subject != NMK_NONE && has_figures(r)))
        return; /* this row alone */
    r->subject = p->subject;
    r->mentions[p->subject]++;
    r->level = r->row->level;
    r->block++;
    r->kind = ENTRY_ANY;
    r->way = -1;
}

/* A sentence of some length, which only begins with a word that is a label: "A trimmer's blade cuts ..." */
static bool is_prose(const struct reader *r, size_t at, size_t end)
{
    const struct token *next = token_at(r, end);
    size_t words = 0;
    for (size_t i = r->all.first; i < r->all.end; i++)
        words += r->tokens[i].kind == TOKEN_WORD;
    return end == at + 1 && words >= 6 && !r->row->level && !has_figures(r) && next->kind == TOKEN_WORD && trade_kind(next, 1, false) == ENTRY_ANY;
}

static bool may_name(const struct reader *r, const struct phrase *p, size_t at, size_t end)
{
    if (p->kind == PHRASE_OTHER || r->named_here || trade_is_side(token_at(r, end)) || is_prose(r, at, end))
        return false;
    if (p->kind == PHRASE_MEASURE && !p->is_name)
        return r->subject == NMK_NONE || is_at_start(r, at);
    bool article = end == at + 1 && strlen(r->tokens[at].text) < 3; /* a piece called A */
    if (article && token_at(r, end)->kind == TOKEN_WORD && trade_kind(token_at(r, end), 1, false) == ENTRY_ANY)
        return false;
    return is_at_start(r, at) || (!p->is_name && !article && !is_reference(r, at));
}

/* Marks every text of the design; the first that may name a subject does. */
static void note_phrases(struct reader *r)
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

static void leave_subject(struct reader *r)
{
    if (r->row->level && !r->named_here && (!r->level || r->row->level <= r->level)) {
        r->subject = r->topic = NMK_NONE;
        r->kind = ENTRY_ANY;
        r->way = -1;
    }
}

/* ---- a row without figures: what the next rows are about ---- */

static void note_kind(struct reader *r)
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
    }
}

/* ---- figures: what is no length ---- */

static void pass_over(struct reader *r, size_t at)
{
    if (!r->tokens[at].foreign && !r->tokens[at].in_words)
        r->out->passed_over++;
    r->tokens[at].foreign = true;
}

static bool is_figure(const struct token *t)
{
    return t->kind == TOKEN_FIGURE && !t->known && !t->foreign;
}

static bool is_count(const struct token *t)
{
    return is_figure(t) && t->unit == NMK_UNIT_NONE && !t->unreadable && nmk_rat_is_int(&t->mm) && nmk_rat_cmp_int(&t->mm, MOST_COUNT) <= 0 &&
           !strpbrk(t->text, "/.,");
}

/* Of a table with several figures in a row: the words above its column, else of its own cell. */
static bool column_words(struct span *out, const struct reader *r, size_t at)
{
    if (!r->row->table || r->header_row == NMK_NONE)
        return false;
    const struct row *header = &r->out->words.rows[r->header_row];
    struct span span = {0, 0};
    for (size_t i = header->first; i < header->first + header->count; i++) {
        if (r->tokens[i].cell != r->tokens[at].cell || r->tokens[i].kind == TOKEN_SIGN)
            continue;
        if (!span.end)
            span.first = i;
        span.end = i + 1;
    }
    *out = span;
    return span.end > span.first;
}

static bool is_copies(const struct reader *r, size_t at)
{
    const struct token *before = token_at(r, at - 1), *after = token_at(r, at + 1), *next = token_at(r, at + 2);
    if (!is_count(&r->tokens[at]) || !is_piece(r, r->topic))
        return false;
    struct span column;
    if (column_words(&column, r, at) && trade_has(&r->tokens[column.first], column.end - column.first, " copies many number quantity qty pieces "))
        return true;
    if (after->kind == TOKEN_TIMES)
        return next->kind != TOKEN_FIGURE;
    if (before->kind == TOKEN_TIMES)
        return token_at(r, at - 2)->kind != TOKEN_FIGURE;
    if (token_among(after, " copies copy pieces alike identical times "))
        return !token_is(after, "times") || token_among(before, " cut make punch ");
    if (is_sign(before, '(') && is_sign(after, ')'))
        return r->named_here;
    if (!token_among(before, " cut cuts make punch need print "))
        return r->tokens[at].known;
    return after->known || is_sign(after, 'e') || is_sign(after, ',') || is_sign(after, '.') || is_sign(after, ':') || is_sign(after, '|') ||
           is_sign(after, ';') || is_sign(after, '(') || is_sign(after, ')') || token_among(after, " from of in out at and ");
}

static struct claim *add_claim(struct reader *r, size_t at)
{
    struct claims *out = r->out;
    const struct token *t = &r->tokens[at];
    if ((out->count & (out->count - 1)) == 0)
        out->claims = store_resize(out->claims, (out->count ? out->count * 2 : 1) * sizeof *out->claims);
    struct claim *c = &out->claims[out->count++];
    *c = (struct claim){.line = t->line, .written = t->text, .unit = t->unit, .edition = r->edition, .subject = r->topic, .block = r->block,
                        .kind = ENTRY_ANY, .way = -1, .edge = -1, .panel = NMK_NONE, .hint_of = NMK_NONE, .unreadable = t->unreadable};
    nmk_rat_set(&c->mm, &t->mm);
    return c;
}

static void take_unit(struct claim *c, enum nmk_unit unit)
{
    struct nmk_rat one = {0};
    nmk_unit_mm(&one, unit);
    nmk_rat_mul(&c->mm, &c->mm, &one);
    c->unit = unit;
    nmk_rat_clear(&one);
}

/* The unit that a figure without one has, by what the text says elsewhere. */
static enum nmk_unit usual_unit(const struct reader *r, const struct token *t)
{
    if (r->usual != NMK_UNIT_NONE)
        return r->usual;
    if (r->edition != NMK_NONE)
        return r->units[r->edition];
    if (t->text && strpbrk(t->text, "/\xC2\xE2"))
        return NMK_IN;
    return r->last_unit;
}

/* "one mark more than 4 3/8": helps to find the figure before. */
static bool take_hint(struct reader *r, size_t at)
{
    int64_t marks = 0;
    const struct token *count = token_at(r, at - 4);
    if (!token_is(token_at(r, at - 1), "than") || !token_among(token_at(r, at - 2), " more less ") ||
        !token_among(token_at(r, at - 3), " mark marks ") || count->kind != TOKEN_FIGURE || nmk_rat_get_int(&marks, &count->mm))
        return false;
    size_t of = r->out->count;
    while (of && r->out->claims[of - 1].kind == ENTRY_HINT)
        of--;
    if (!of)
        return false;
    struct claim *c = add_claim(r, at);
    c->kind = ENTRY_HINT;
    c->hint_of = of - 1;
    c->hint_marks = token_is(token_at(r, at - 2), "more") ? marks : -marks;
    if (c->unit == NMK_UNIT_NONE)
        take_unit(c, r->out->claims[of - 1].unit);
    r->tokens[at - 4].foreign = true;
    r->tokens[at].foreign = true;
    return true;
}

/* What a text says of the edition itself. */
static enum entry_kind edition_kind(const struct reader *r, size_t at)
{
    if (is_sign(token_at(r, at - 1), '~') && r->topic == NMK_NONE)
        return ENTRY_TRUE;
    if (token_is(token_at(r, at - 1), "every") && token_among(token_at(r, at - 2), " mark marks "))
        return ENTRY_MARKS;
    if (token_is(token_at(r, at - 1), "of") && token_is(token_at(r, at - 2), "marks"))
        return ENTRY_MARKS;
    if (token_is(token_at(r, at - 1), "every") && token_is(token_at(r, at - 2), "scores"))
        return ENTRY_SCORE_MARKS;
    if (token_is(token_at(r, at + 1), "off") && token_is(token_at(r, at + 2), "their"))
        return ENTRY_OFF;
    return ENTRY_ANY;
}

static void take_edition_figure(struct reader *r, size_t at, enum entry_kind kind)
{
    struct claim *c = add_claim(r, at);
    c->kind = kind;
    c->subject = NMK_NONE;
    c->firm = true;
    r->tokens[at].foreign = true;
}

static void take_copies(struct reader *r, size_t at)
{
    struct claim *c = add_claim(r, at);
    c->kind = ENTRY_COPIES;
    c->firm = true;
    r->tokens[at].foreign = true;
}

/* ---- figures: together, and the words about them ---- */

static bool is_joint(const struct token *t)
{
    return (t->kind == TOKEN_SIGN && memchr(",/&;+-", t->sign, 6)) || token_among(t, " and then or ");
}

static bool is_pair(const struct reader *r, size_t first, size_t second)
{
    return second == first + 2 && (r->tokens[first + 1].kind == TOKEN_TIMES || token_is(&r->tokens[first + 1], "by"));
}

static bool differ(const struct token *a, const struct token *b)
{
    return a->unit != NMK_UNIT_NONE && b->unit != NMK_UNIT_NONE && claim_unit_of(a->unit) != claim_unit_of(b->unit);
}

static bool are_together(const struct reader *r, size_t first, size_t second)
{
    if (is_pair(r, first, second))
        return true;
    for (size_t i = first + 1; i < second; i++)
        if (!is_joint(&r->tokens[i]))
            return false;
    return !differ(&r->tokens[first], &r->tokens[second]);
}

static bool stands_beside(const struct reader *r, const struct group *last, size_t at)
{
    size_t end = last->figures.end - 1;
    size_t unit_at = at; /* the unit may stand behind the last of them */
    while (r->tokens[unit_at].unit == NMK_UNIT_NONE && unit_at + 2 < r->all.end && is_pair(r, unit_at, unit_at + 2))
        unit_at += 2;
    if (!differ(&r->tokens[end], &r->tokens[unit_at]) || at > end + 3)
        return false;
    for (size_t i = end + 1; i < at; i++)
        if (r->tokens[i].kind != TOKEN_SIGN && !token_among(&r->tokens[i], " or about "))
            return false;
    return true;
}

static void find_groups(struct reader *r)
{
    r->group_count = 0;
    size_t last = NMK_NONE;
    for (size_t at = r->all.first; at < r->all.end; at++) {
        if (!is_figure(&r->tokens[at]) || r->tokens[at].in_words)
            continue;
        struct group *g = r->group_count ? &r->groups[r->group_count - 1] : NULL;
        if (g && are_together(r, last, at)) {
            g->pair = g->pair || is_pair(r, last, at);
            g->figures.end = at + 1;
        } else {
            r->groups[r->group_count] = (struct group){.figures = {at, at + 1}, .beside = g && stands_beside(r, g, at)};
            r->group_count++;
        }
        last = at;
    }
}

/* Where the words between two groups part: behind the first full stop, else the first comma, "and" or the like, else the
 * last edge; else all go to the one that has no words yet. */
static size_t parting(const struct reader *r, size_t from, size_t to, bool has_words)
{
    size_t edge = 0;
    for (size_t i = from; i < to; i++)
        if (is_sign(&r->tokens[i], '.') || is_sign(&r->tokens[i], '|'))
            return i + 1;
    for (size_t i = from; i < to; i++) {
        const struct token *t = &r->tokens[i];
        if ((t->kind == TOKEN_SIGN && memchr(",;:)", t->sign, 4)) || token_among(t, " and then "))
            return i + 1;
        if (trade_is_side(t))
            edge = i + 1;
    }
    return edge ? edge : has_words ? from : to;
}

static void find_words(struct reader *r)
{
    size_t from = r->named_here && r->begin <= (r->group_count ? r->groups[0].figures.first : 0) ? r->begin : r->all.first;
    for (size_t i = 0; i < r->group_count; i++) {
        struct group *g = &r->groups[i];
        size_t next = i + 1 < r->group_count ? r->groups[i + 1].figures.first : r->all.end;
        size_t words = g->figures.first - from;
        bool has_words = trade_kind(&r->tokens[from], words, true) != ENTRY_ANY || trade_way(&r->tokens[from], words, true) >= 0;
        size_t part = i + 1 < r->group_count ? parting(r, g->figures.end, next, has_words) : next;
        g->before = (struct span){from, g->figures.first};
        g->after = (struct span){g->figures.end, part};
        from = part;
    }
    for (size_t i = r->group_count; i-- > 1;) /* "28 mm (1 1/8 in) from the left edge" */
        if (r->groups[i].beside)
            r->groups[i - 1].after = r->groups[i].after;
}

/* ---- what one group is ---- */

struct sense {
    enum entry_kind kind;
    int way;
    enum trade_edge edge;
    bool firm;
};

static size_t sentence_start(const struct reader *r, size_t at)
{
    while (at > r->all.first && !is_sign(&r->tokens[at - 1], '.'))
        at--;
    return at;
}

static void take_words(struct sense *s, const struct reader *r, struct span words, bool backward)
{
    const struct token *tokens = &r->tokens[words.first];
    size_t count = words.end - words.first;
    int way = -1;
    if (s->kind == ENTRY_ANY)
        s->kind = trade_kind(tokens, count, backward);
    if (s->edge == EDGE_NONE)
        s->edge = trade_edge_of(&way, tokens, count);
    if (way < 0)
        way = trade_way(tokens, count, backward);
    if (s->way < 0)
        s->way = way;
}

static void take_column(struct sense *s, const struct reader *r, const struct group *g)
{
    struct span words;
    if (column_words(&words, r, g->figures.first))
        take_words(s, r, words, false);
}

static bool has_stop(const struct reader *r, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++)
        if (is_sign(&r->tokens[i], '.') || is_sign(&r->tokens[i], '|'))
            return true;
    return false;
}

static const struct nmk_piece *piece_of(const struct reader *r)
{
    return is_piece(r, r->topic) ? nmk_design_piece(r->design, r->topic) : NULL;
}

/* Scores in one direction alone need not say which. */
static int only_way(const struct nmk_piece *piece)
{
    bool across = piece && piece->kind == NMK_PIECE_PANELS && piece->lists[NMK_ACROSS].count > 1;
    bool down = piece && piece->kind == NMK_PIECE_PANELS && piece->lists[NMK_DOWN].count > 1;
    return across == down ? -1 : across ? NMK_ACROSS : NMK_DOWN;
}

static void complete(struct sense *s, const struct reader *r, const struct group *g)
{
    if (g->pair && s->kind != ENTRY_PUNCH)
        s->kind = ENTRY_CUT;
    if (s->kind == ENTRY_ANY && s->edge != EDGE_NONE)
        s->kind = ENTRY_SCORE;
    if (s->kind == ENTRY_ANY && s->way >= 0)
        s->kind = ENTRY_CUT;
    s->firm = s->kind != ENTRY_ANY;
    if (s->way < 0 && s->kind == ENTRY_SCORE && s->edge != EDGE_ALL)
        s->way = r->way >= 0 ? r->way : only_way(piece_of(r));
}

/* "plain card (12 in x 12 in)" */
static bool is_sheet(const struct reader *r, const struct group *g)
{
    return g->pair && is_sign(token_at(r, g->figures.first - 1), '(') && token_at(r, g->figures.first - 2)->known &&
           g->figures.first - 1 != r->begin;
}

/* A row of a list, which goes by the words above it: it begins with a figure. */
static bool is_list_row(const struct reader *r)
{
    size_t words = 0;
    for (size_t i = r->all.first; i < r->groups[0].figures.first; i++)
        words += r->tokens[i].kind == TOKEN_WORD && !r->tokens[i].known;
    return words <= 1;
}

static struct sense sense_of(const struct reader *r, const struct group *g, const struct sense *last, bool same_sentence)
{
    struct sense s = {.kind = ENTRY_ANY, .way = -1, .edge = EDGE_NONE};
    if (g->beside)
        return *last;
    if (is_sheet(r, g))
        return (struct sense){.kind = ENTRY_SHEET, .way = -1, .edge = EDGE_NONE, .firm = true};
    size_t start = sentence_start(r, g->figures.first);
    s.kind = trade_corner(&r->tokens[start], g->figures.first - start);
    take_column(&s, r, g);
    take_words(&s, r, g->before, true);
    take_words(&s, r, g->after, false);
    if (s.kind == ENTRY_ANY && same_sentence && last->kind != ENTRY_CUT && last->kind != ENTRY_SHEET)
        s.kind = last->kind;
    if (s.kind == ENTRY_ANY && is_list_row(r))
        s.kind = r->kind;
    if (s.way < 0 && s.kind != ENTRY_SCORE && is_list_row(r))
        s.way = r->way;
    complete(&s, r, g);
    return s;
}

/* ---- claims ---- */

/* What is punched through a piece, where nothing else is said of it. */
static size_t punched_subject(const struct reader *r, size_t subject)
{
    const struct nmk_piece *piece = piece_of(r);
    size_t found = NMK_NONE;
    if (!piece || piece->kind == NMK_PIECE_PUNCHED)
        return subject;
    for (size_t i = 0; i < nmk_design_opening_count(r->design); i++) {
        const struct nmk_opening *opening = nmk_design_opening(r->design, i);
        for (size_t k = 0; k < opening->through_count; k++)
            if (opening->through[k] == subject) {
                if (found != NMK_NONE)
                    return subject;
                found = piece_count(r) + i;
            }
    }
    return found == NMK_NONE ? subject : found;
}

static bool is_punched(const struct reader *r, size_t subject)
{
    const struct nmk_piece *piece = piece_of(r);
    return piece ? piece->kind == NMK_PIECE_PUNCHED : subject != NMK_NONE && subject < piece_count(r) + nmk_design_opening_count(r->design);
}

static size_t panel_near(const struct reader *r, const struct span *words)
{
    const struct nmk_piece *piece = piece_of(r);
    for (size_t i = words->end; piece && piece->kind == NMK_PIECE_PANELS && i-- > words->first;)
        for (size_t k = 0; k < piece->panel_count; k++)
            if (token_is(&r->tokens[i], piece->panels[k].name))
                return k;
    return NMK_NONE;
}

static void take_sense(struct claim *c, const struct reader *r, const struct sense *s, const struct group *g, size_t part)
{
    c->kind = s->kind;
    c->way = g->pair ? (int)part : s->way;
    c->edge = s->edge == EDGE_LAST ? 1 : s->edge == EDGE_FIRST ? 0 : -1;
    c->beside = g->beside;
    c->firm = s->firm;
    if (s->kind == ENTRY_PUNCH)
        c->subject = punched_subject(r, c->subject);
    if (is_punched(r, c->subject) && (s->kind == ENTRY_CUT || s->kind == ENTRY_ANY))
        c->kind = ENTRY_PUNCH;
    if (s->kind == ENTRY_ANY)
        c->panel = panel_near(r, &g->before);
    if (r->topic != NMK_NONE && r->topic >= piece_count(r) + nmk_design_opening_count(r->design))
        c->kind = ENTRY_MEASURE;
}

/* "from both edges", "from all sides": a claim for each. */
static void repeat(struct reader *r, const struct sense *s, size_t at)
{
    int ways[4] = {s->way, s->way, 1, 1}, edges[4] = {0, 1, 0, 1}, count = 2;
    if (s->way < 0) {
        ways[0] = ways[1] = 0;
        count = 4;
    }
    for (int i = 0; i < count; i++) {
        size_t first = r->out->count - 1;
        if (i) {
            struct claim one = r->out->claims[first];
            struct claim *c = add_claim(r, at);
            nmk_rat_set(&c->mm, &one.mm);
            c->kind = one.kind, c->unit = one.unit, c->firm = one.firm, c->beside = one.beside, c->again = true;
        }
        r->out->claims[r->out->count - 1].way = ways[i];
        r->out->claims[r->out->count - 1].edge = edges[i];
    }
}

/* The unit that the figures of a group share: of the nearest one behind, else before. */
static enum nmk_unit group_unit(const struct reader *r, const struct group *g, size_t at)
{
    for (size_t i = at; i < g->figures.end; i++)
        if (is_figure(&r->tokens[i]) && r->tokens[i].unit != NMK_UNIT_NONE)
            return r->tokens[i].unit;
    for (size_t i = at; i-- > g->figures.first;)
        if (is_figure(&r->tokens[i]) && r->tokens[i].unit != NMK_UNIT_NONE)
            return r->tokens[i].unit;
    return NMK_UNIT_NONE;
}

/* May a figure without a unit be a length? */
static bool is_bare_length(const struct reader *r, const struct group *g, const struct sense *s)
{
    const struct token *after = token_at(r, g->figures.end);
    if (r->topic == NMK_NONE || !s->firm)
        return false;
    return g->pair || after->kind == TOKEN_SIGN || after->known || column_words(&(struct span){0, 0}, r, g->figures.first) ||
           trade_kind(after, after->kind == TOKEN_WORD, false) != ENTRY_ANY || trade_way(after, after->kind == TOKEN_WORD, false) >= 0 ||
           token_among(after, " from and or then ");
}

static void take_figure(struct reader *r, const struct group *g, const struct sense *s, size_t at, size_t part)
{
    enum nmk_unit unit = group_unit(r, g, at);
    bool bare = unit == NMK_UNIT_NONE;
    if (bare && !r->tokens[at].unreadable && !is_bare_length(r, g, s)) {
        pass_over(r, at);
        return;
    }
    struct claim *c = add_claim(r, at);
    take_sense(c, r, s, g, part);
    if (c->unit == NMK_UNIT_NONE)
        take_unit(c, bare ? usual_unit(r, &r->tokens[at]) : unit);
    if (!bare)
        r->last_unit = unit;
    if (c->kind == ENTRY_SCORE && (s->edge == EDGE_BOTH || s->edge == EDGE_ALL))
        repeat(r, s, at);
}

static void take_group(struct reader *r, const struct group *g, const struct sense *s)
{
    size_t part = 0;
    for (size_t at = g->figures.first; at < g->figures.end; at++)
        if (is_figure(&r->tokens[at]) && !r->tokens[at].in_words)
            take_figure(r, g, s, at, part++ % 2);
}

static void take_groups(struct reader *r)
{
    struct sense last = {.kind = ENTRY_ANY, .way = -1, .edge = EDGE_NONE};
    for (size_t i = 0; i < r->group_count; i++) {
        struct group *g = &r->groups[i];
        bool same = i && !has_stop(r, r->groups[i - 1].figures.end, g->figures.first);
        struct sense s = sense_of(r, g, &last, same);
        take_group(r, g, &s);
        last = s;
    }
}

/* ---- a row ---- */

static void take_figures(struct reader *r)
{
    bool buying = trade_has(&r->tokens[r->all.first], r->all.end - r->all.first, " buy ");
    for (size_t at = r->all.first; at < r->all.end; at++) {
        if (!is_figure(&r->tokens[at]))
            continue;
        enum entry_kind kind = edition_kind(r, at);
        if (buying || (kind == ENTRY_ANY && is_sign(token_at(r, at - 1), '~')))
            pass_over(r, at);
        else if (kind != ENTRY_ANY)
            take_edition_figure(r, at, kind);
        else if (is_copies(r, at))
            take_copies(r, at);
    }
    r->groups = store_resize(r->groups, (r->all.end - r->all.first + 1) * sizeof *r->groups);
    /* hints do not part the words about the figure they help to find, so they are taken out first, and read last */
    size_t *hints = store_new(r->all.end - r->all.first + 1, sizeof *hints), hint_count = 0;
    for (size_t at = r->all.first; at < r->all.end; at++)
        if (is_figure(&r->tokens[at]) && token_is(token_at(r, at - 1), "than") && token_among(token_at(r, at - 3), " mark marks ")) {
            r->tokens[at].foreign = token_at(r, at - 4)->kind == TOKEN_FIGURE;
            if (r->tokens[at].foreign)
                r->tokens[at - 4].foreign = true;
            hints[hint_count++] = at;
        }
    find_groups(r);
    find_words(r);
    take_groups(r);
    for (size_t i = 0; i < hint_count; i++)
        take_hint(r, hints[i]);
    store_free(hints);
}

static void note_table(struct reader *r, size_t row)
{
    if (!r->row->table)
        r->header_row = NMK_NONE;
    else if (row + 1 < r->out->words.row_count && r->out->words.rows[row + 1].ruler && r->row->count)
        r->header_row = row;
    if (r->row->table && r->row->count && !r->row->ruler) {
        size_t cell = 0; /* what the first cell says goes on below it */
        while (cell < r->row->count && r->tokens[r->row->first + cell].cell <= 1)
            cell++;
        int way = trade_way(&r->tokens[r->row->first], cell, false);
        r->way = way >= 0 ? way : r->way;
    }
}

static void note_page(struct reader *r)
{
    size_t count = r->all.end - r->all.first;
    const struct token *tokens = &r->tokens[r->all.first];
    if (!trade_has(tokens, count, " page "))
        return;
    r->out->notes_elsewhere = r->out->notes_elsewhere || trade_has(tokens, count, " notes ");
    r->out->scores_elsewhere = r->out->scores_elsewhere || trade_has(tokens, count, " scores ");
    r->out->pieces_elsewhere = r->out->pieces_elsewhere || (trade_has(tokens, count, " more ") && trade_has(tokens, count, " pieces "));
}

static void read_row(struct reader *r, size_t row)
{
    r->row = &r->out->words.rows[row];
    r->all = (struct span){r->row->first, r->row->first + r->row->count};
    r->named_here = false;
    r->begin = NMK_NONE;
    if (!r->row->count)
        return;
    note_phrases(r);
    if (!r->named_here)
        note_edition(r);
    leave_subject(r);
    if (!r->named_here)
        r->topic = r->subject;
    if (r->skipping)
        return;
    note_page(r);
    note_table(r, row);
    if (has_figures(r))
        take_figures(r);
    else if (!r->row->table && !r->named_here)
        note_kind(r);
}

static void read_names(struct reader *r)
{
    struct sink names = {0};
    for (size_t i = 0; i < nmk_design_edition_count(r->design); i++)
        sink_format(&names, "%s\n", nmk_design_edition(r->design, i)->name);
    word_list_read(&r->names, names.data, names.size);
    sink_drop(&names);
}

void claims_read(struct claims *out, const struct nmk_design *design, const enum nmk_unit *units, size_t asked, const char *text, size_t size)
{
    size_t subjects = nmk_design_piece_count(design) + nmk_design_opening_count(design) + nmk_design_measure_count(design);
    *out = (struct claims){0};
    word_list_read(&out->words, text, size);
    struct reader r = {.out = out, .design = design, .units = units, .tokens = out->words.tokens, .asked = asked, .edition = asked,
                       .subject = NMK_NONE, .topic = NMK_NONE, .kind = ENTRY_ANY, .way = -1, .usual = NMK_UNIT_NONE, .last_unit = NMK_UNIT_NONE,
                       .header_row = NMK_NONE, .mentions = store_new(subjects + 1, sizeof *r.mentions)};
    phrase_book_init(&r.book, design);
    read_names(&r);
    for (size_t i = 0; i < out->words.row_count; i++)
        read_row(&r, i);
    word_list_clear(&r.names);
    phrase_book_clear(&r.book);
    store_free(r.mentions);
    store_free(r.groups);
}

void claims_clear(struct claims *claims)
{
    for (size_t i = 0; i < claims->count; i++)
        nmk_rat_clear(&claims->claims[i].mm);
    store_free(claims->claims);
    word_list_clear(&claims->words);
    *claims = (struct claims){0};
}
