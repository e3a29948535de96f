#include "proof/claim_reader.h"

#include <string.h>

bool reader_column_words(struct span *out, const struct reader *r, size_t at)
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

/* ---- "from the left edge to 15 mm": where along it a line is cut ---- */

enum { MOST_EDGE = 3, MOST_BOTH = 4 }; /* "the left edge"; "15 mm (5/8 in)" */

static const struct nmk_piece *piece_with_rows(const struct reader *r)
{
    const struct nmk_piece *piece = reader_piece(r);
    return piece && piece->kind == NMK_PIECE_PANELS && nmk_piece_has_rows(piece) ? piece : NULL;
}

static bool is_one_edge(int *way, const struct token *tokens, size_t count)
{
    enum trade_edge edge = trade_edge_of(way, tokens, count);
    return edge == EDGE_FIRST || edge == EDGE_LAST;
}

/* Behind a figure, and behind the same in another unit; `at` where there is none. */
static size_t past_figure(const struct reader *r, size_t at)
{
    if (!is_figure(token_at(r, at)))
        return at;
    return is_sign(token_at(r, at + 1), '(') && is_figure(token_at(r, at + 2)) && is_sign(token_at(r, at + 3), ')')
               ? at + MOST_BOTH
               : at + 1;
}

/* The "from" before the "to" at this token, with one edge or one figure between them; NMK_NONE: there is none. *way: that of
 * the edge. */
static size_t from_before(int *way, const struct reader *r, size_t to)
{
    for (size_t i = to; i-- > r->all.first && to - i <= MOST_BOTH + 1;) {
        if (!token_is(&r->tokens[i], "from"))
            continue;
        return past_figure(r, i + 1) == to || is_one_edge(way, &r->tokens[i], to - i) ? i : NMK_NONE;
    }
    return NMK_NONE;
}

/* Where the words begin that say that this figure is such a place; NMK_NONE: they do not. *way: that of the edge, if one is
 * named. */
static size_t end_words(int *way, const struct reader *r, size_t at)
{
    if (!piece_with_rows(r))
        return NMK_NONE;
    if (token_is(token_at(r, at - 1), "to"))
        return from_before(way, r, at - 1);
    size_t behind = past_figure(r, at) + 1;
    if (!token_is(token_at(r, at - 1), "from") || !token_is(token_at(r, behind - 1), "to"))
        return NMK_NONE;
    size_t room = r->all.end > behind ? r->all.end - behind : 0;
    return is_figure(token_at(r, behind)) || is_one_edge(way, token_at(r, behind), room < MOST_EDGE ? room : MOST_EDGE)
               ? at - 1
               : NMK_NONE;
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

void reader_find_groups(struct reader *r)
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
    /* "53 mm (2 1/8 in) across, 25 mm down" */
    size_t edge = 0, behind = from < to && is_sign(&r->tokens[from], ')') ? from + 1 : from;
    for (size_t i = from; i < to; i++)
        if (is_sign(&r->tokens[i], '.') || is_sign(&r->tokens[i], '|'))
            return i + 1;
    for (size_t i = behind; i < to; i++) {
        const struct token *t = &r->tokens[i];
        if ((t->kind == TOKEN_SIGN && memchr(",;:)", t->sign, 4)) || token_among(t, " and then "))
            return i + 1;
        if (trade_is_side(t))
            edge = i + 1;
    }
    return edge ? edge : behind > from ? behind : has_words ? from : to;
}

/* ", beside flap and back" belongs to the figures before it. */
static size_t past_beside(const struct reader *r, size_t part, size_t to)
{
    size_t at = part, row;
    while (at < to && (is_sign(&r->tokens[at], ',') || token_is(&r->tokens[at], "only")))
        at++;
    size_t end = at < to ? reader_beside(&row, r, at) : at;
    return end > at && end <= to ? end : part;
}

/* The words between two groups of figures part before those that say where along its line something is cut. */
static size_t part_between(const struct reader *r, const struct group *g, size_t next, bool has_words)
{
    int way;
    size_t from = end_words(&way, r, next);
    if (from != NMK_NONE && from >= g->figures.end)
        return from;
    return past_beside(r, parting(r, g->figures.end, next, has_words), next);
}

/* What is said behind the figures, before what is said in front of them. */
static size_t row_of(const struct reader *r, const struct group *g)
{
    size_t row;
    for (size_t at = g->after.first; at < g->after.end; at++)
        if (reader_beside(&row, r, at) > at && row != NMK_NONE)
            return row;
    for (size_t at = g->before.end; at-- > g->before.first;)
        if (reader_beside(&row, r, at) > at && row != NMK_NONE)
            return row;
    return r->rows;
}

void reader_find_words(struct reader *r)
{
    size_t from = r->named_here && r->begin <= (r->group_count ? r->groups[0].figures.first : 0) ? r->begin : r->all.first;
    for (size_t i = 0; i < r->group_count; i++) {
        struct group *g = &r->groups[i];
        size_t next = i + 1 < r->group_count ? r->groups[i + 1].figures.first : r->all.end;
        size_t words = g->figures.first - from;
        bool has_words =
            trade_kind(&r->tokens[from], words, true) != ENTRY_ANY || trade_way(&r->tokens[from], words, true) >= 0;
        size_t part = i + 1 < r->group_count ? part_between(r, g, next, has_words) : next;
        g->before = (struct span){from, g->figures.first};
        g->after = (struct span){g->figures.end, part};
        from = part;
    }
    for (size_t i = r->group_count; i-- > 1;) /* "28 mm (1 1/8 in) from the left edge" */
        if (r->groups[i].beside)
            r->groups[i - 1].after = r->groups[i].after;
    for (size_t i = 0; i < r->group_count; i++)
        r->groups[i].row = row_of(r, &r->groups[i]);
}

/* ---- what one group is ---- */

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
    if (reader_column_words(&words, r, g->figures.first))
        take_words(s, r, words, false);
}

bool reader_has_stop(const struct reader *r, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++)
        if (is_sign(&r->tokens[i], '.') || is_sign(&r->tokens[i], '|'))
            return true;
    return false;
}

const struct nmk_piece *reader_piece(const struct reader *r)
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
        s->way = r->way >= 0 ? r->way : only_way(reader_piece(r));
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

struct sense reader_sense_of(const struct reader *r, const struct group *g, const struct sense *last, bool same_sentence)
{
    struct sense s = {.kind = ENTRY_ANY, .way = -1, .edge = EDGE_NONE};
    if (g->beside)
        return *last;
    if (is_sheet(r, g))
        return (struct sense){.kind = ENTRY_SHEET, .way = -1, .edge = EDGE_NONE, .firm = true};
    if (end_words(&s.way, r, g->figures.first) != NMK_NONE)
        return (struct sense){.kind = ENTRY_END, .way = s.way, .edge = EDGE_NONE, .firm = true};
    size_t start = sentence_start(r, g->figures.first);
    s.kind = trade_corner(&r->tokens[start], g->figures.first - start);
    if (s.kind == ENTRY_ANY && piece_with_rows(r) && trade_has(&r->tokens[start], g->figures.first - start, " away waste "))
        s.kind = ENTRY_REST;
    take_column(&s, r, g);
    take_words(&s, r, g->before, true);
    take_words(&s, r, g->after, false);
    if (s.kind == ENTRY_ANY && same_sentence && last->kind != ENTRY_CUT && last->kind != ENTRY_SHEET && last->kind != ENTRY_END)
        s.kind = last->kind;
    if (s.kind == ENTRY_ANY && is_list_row(r))
        s.kind = r->kind;
    if (s.way < 0 && s.kind != ENTRY_SCORE && is_list_row(r))
        s.way = r->way;
    complete(&s, r, g);
    return s;
}
