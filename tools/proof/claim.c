#include "proof/claim.h"

#include <string.h>

#include "ground/store.h"
#include "proof/claim_reader.h"

enum { MOST_CELLS = 64, MOST_COUNT = 10000 };

enum claim_unit claim_unit_of(enum nmk_unit unit)
{
    return unit == NMK_UNIT_NONE ? CLAIM_NO_UNIT : nmk_unit_is_inch(unit) ? CLAIM_INCH : CLAIM_METRIC;
}

/* ---- what a figure says ---- */

enum { LEAST_PLACES = 3, PRINTED_PLACES = 4 }; /* a decimal with fewer may have lost its zeros; we print no rounder ones */

/* To so many places is "4.6667 in" rounded, if it is. */
static unsigned places_of(const char *written)
{
    const char *point = strpbrk(written, ".,");
    unsigned places = 0;
    while (point && point[1 + places] >= '0' && point[1 + places] <= '9')
        places++;
    return places < LEAST_PLACES ? PRINTED_PLACES : places;
}

/* *out = half a step of the figure's last place; false: it is no decimal that may have been rounded. */
static bool get_half_place(struct nmk_rat *out, const struct claim *c)
{
    struct nmk_rat ten = {0};
    if (c->unreadable || c->unit == NMK_UNIT_NONE || strchr(c->written, '/'))
        return false;
    unsigned places = places_of(c->written);
    nmk_rat_set_int(&ten, 10);
    nmk_rat_pow(&ten, &ten, places);
    nmk_unit_mm(out, c->unit);
    nmk_rat_add(&ten, &ten, &ten);
    (void)nmk_rat_div(out, out, &ten); /* never zero */
    nmk_rat_clear(&ten);
    return true;
}

bool claim_is(const struct claim *c, const struct nmk_rat *mm)
{
    struct nmk_rat off = {0}, half = {0};
    bool is = nmk_rat_equal(&c->mm, mm);
    if (!is && get_half_place(&half, c)) {
        nmk_rat_sub(&off, &c->mm, mm);
        nmk_rat_abs(&off, &off);
        is = nmk_rat_cmp(&off, &half) <= 0;
    }
    nmk_rat_clear(&off);
    nmk_rat_clear(&half);
    return is;
}

/* ---- figures: what is no length ---- */

static void pass_over(struct reader *r, size_t at)
{
    if (!r->tokens[at].foreign && !r->tokens[at].in_words)
        r->out->passed_over++;
    r->tokens[at].foreign = true;
}

static bool is_count(const struct token *t)
{
    return is_figure(t) && t->unit == NMK_UNIT_NONE && !t->unreadable && nmk_rat_is_int(&t->mm) &&
           nmk_rat_cmp_int(&t->mm, MOST_COUNT) <= 0 && !strpbrk(t->text, "/.,");
}

static bool is_copies(const struct reader *r, size_t at)
{
    const struct token *before = token_at(r, at - 1), *after = token_at(r, at + 1), *next = token_at(r, at + 2);
    if (!is_count(&r->tokens[at]) || !is_piece(r, r->topic))
        return false;
    struct span column;
    if (reader_column_words(&column, r, at) &&
        trade_has(&r->tokens[column.first], column.end - column.first, " copies many number quantity qty pieces "))
        return true;
    if (after->kind == TOKEN_TIMES)
        return next->kind != TOKEN_FIGURE;
    if (before->kind == TOKEN_TIMES)
        return token_at(r, at - 2)->kind != TOKEN_FIGURE;
    if (token_among(after, " copies copy pieces alike identical times "))
        return !token_is(after, "times") || token_among(before, " cut make punch ");
    if (is_sign(before, '(') && is_sign(after, ')'))
        return r->named_here;
    if (token_is(before, "of") && token_is(token_at(r, at - 2), "each"))
        return r->named_here;
    if (!token_among(before, " cut cuts make punch need print "))
        return r->tokens[at].known;
    return after->known || is_sign(after, 'e') || is_sign(after, ',') || is_sign(after, '.') || is_sign(after, ':') ||
           is_sign(after, '|') || is_sign(after, ';') || is_sign(after, '(') || is_sign(after, ')') ||
           token_among(after, " from of in out at and ");
}

static struct claim *add_claim(struct reader *r, size_t at)
{
    struct claims *out = r->out;
    const struct token *t = &r->tokens[at];
    if ((out->count & (out->count - 1)) == 0)
        out->claims = store_resize(out->claims, (out->count ? out->count * 2 : 1) * sizeof *out->claims);
    struct claim *c = &out->claims[out->count++];
    *c = (struct claim){.line = t->line,
                        .written = t->text,
                        .unit = t->unit,
                        .edition = r->edition,
                        .subject = r->topic,
                        .block = r->block,
                        .kind = ENTRY_ANY,
                        .way = -1,
                        .edge = -1,
                        .panel = NMK_NONE,
                        .row = NMK_NONE,
                        .hint_of = NMK_NONE,
                        .unreadable = t->unreadable};
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
    if ((token_is(token_at(r, at + 1), "off") && token_is(token_at(r, at + 2), "their")) ||
        (token_is(token_at(r, at - 1), "are") && token_is(token_at(r, at - 2), "together")))
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

/* ---- claims ---- */

/* What is punched through a piece, where nothing else is said of it. */
static size_t punched_subject(const struct reader *r, size_t subject)
{
    const struct nmk_piece *piece = reader_piece(r);
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
    const struct nmk_piece *piece = reader_piece(r);
    return piece ? piece->kind == NMK_PIECE_PUNCHED
                 : subject != NMK_NONE && subject < piece_count(r) + nmk_design_opening_count(r->design);
}

static size_t panel_near(const struct reader *r, const struct span *words)
{
    const struct nmk_piece *piece = reader_piece(r);
    for (size_t i = words->end; piece && piece->kind == NMK_PIECE_PANELS && i-- > words->first;)
        for (size_t k = 0; k < piece->panel_count; k++)
            if (token_is(&r->tokens[i], piece->panels[k].name))
                return k;
    return NMK_NONE;
}

/* May the piece have cuts within it, in that direction if one is said? */
static bool has_knife(const struct nmk_piece *piece, int way)
{
    for (int w = NMK_ACROSS; piece && piece->kind == NMK_PIECE_PANELS && w <= NMK_DOWN; w++)
        for (size_t i = 1; (way < 0 || way == w) && i + 1 < piece->lists[w].line_count; i++)
            if (piece->lists[w].lines[i].is_cut || piece->lists[!w].row_count > 1)
                return true;
    return false;
}

static void take_sense(struct claim *c, const struct reader *r, const struct sense *s, const struct group *g, size_t part)
{
    c->kind = s->kind;
    c->way = g->pair ? (int)part : s->way;
    c->edge = s->edge == EDGE_LAST ? 1 : s->edge == EDGE_FIRST ? 0 : -1;
    c->beside = g->beside;
    c->firm = s->firm;
    c->row = g->row;
    if (s->kind == ENTRY_CUT && !g->pair && (s->edge != EDGE_NONE || g->row != NMK_NONE) && has_knife(reader_piece(r), s->way))
        c->kind = ENTRY_KNIFE; /* a whole size is from no edge, and beside nothing */
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
            c->kind = one.kind, c->unit = one.unit, c->firm = one.firm, c->beside = one.beside, c->row = one.row,
            c->again = true;
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
    return g->pair || s->kind == ENTRY_END || after->kind == TOKEN_SIGN || after->known ||
           reader_column_words(&(struct span){0, 0}, r, g->figures.first) ||
           trade_kind(after, after->kind == TOKEN_WORD, false) != ENTRY_ANY ||
           trade_way(after, after->kind == TOKEN_WORD, false) >= 0 || token_among(after, " from and or then ");
}

/* "12x12" is the name of a sheet, whatever the unit of the text. */
static bool is_sheet_name(const struct reader *r, const struct group *g)
{
    struct nmk_sheet sheet = {0};
    struct sink name = {0};
    if (g->figures.end != g->figures.first + 3)
        return false;
    sink_format(&name, "%sx%s", r->tokens[g->figures.first].text, r->tokens[g->figures.end - 1].text);
    bool is = nmk_sheet_find(&sheet, name.data, name.size) == NMK_OK && sheet.name;
    nmk_sheet_clear(&sheet);
    sink_drop(&name);
    return is;
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
        take_unit(c, !bare ? unit : s->kind == ENTRY_SHEET && is_sheet_name(r, g) ? NMK_IN : usual_unit(r, &r->tokens[at]));
    if (!bare)
        r->last_unit = unit;
    if (entry_is_line(c->kind) && (s->edge == EDGE_BOTH || s->edge == EDGE_ALL))
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
        bool same = i && !reader_has_stop(r, r->groups[i - 1].figures.end, g->figures.first);
        struct sense s = reader_sense_of(r, g, &last, same);
        take_group(r, g, &s);
        last = s;
    }
}

/* ---- a row ---- */

/* Of a passage about other things: only what it says of the edition itself. */
static void pass_over_row(struct reader *r)
{
    for (size_t at = r->all.first; at < r->all.end; at++) {
        if (!is_figure(&r->tokens[at]))
            continue;
        if (edition_kind(r, at) == ENTRY_OFF)
            take_edition_figure(r, at, ENTRY_OFF);
        else
            pass_over(r, at);
    }
}

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
        if (is_figure(&r->tokens[at]) && token_is(token_at(r, at - 1), "than") &&
            token_among(token_at(r, at - 3), " mark marks ")) {
            r->tokens[at].foreign = token_at(r, at - 4)->kind == TOKEN_FIGURE;
            if (r->tokens[at].foreign)
                r->tokens[at - 4].foreign = true;
            hints[hint_count++] = at;
        }
    reader_find_groups(r);
    reader_find_words(r);
    take_groups(r);
    for (size_t i = 0; i < hint_count; i++)
        take_hint(r, hints[i]);
    store_free(hints);
}

static void note_table(struct reader *r, size_t row)
{
    if (!r->row->table && r->rows_of_table) {
        r->rows = NMK_NONE;
        r->rows_of_table = false;
    }
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
        r->rows = way >= 0 && !r->says_row ? NMK_NONE : r->rows;
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
    r->out->pieces_elsewhere =
        r->out->pieces_elsewhere || (trade_has(tokens, count, " more ") && trade_has(tokens, count, " pieces "));
}

static void read_row(struct reader *r, size_t row)
{
    r->row = &r->out->words.rows[row];
    r->all = (struct span){r->row->first, r->row->first + r->row->count};
    r->named_here = false;
    r->begin = NMK_NONE;
    reader_note_passage(r, row);
    if (!r->row->count)
        return;
    if (r->row->numbered)
        pass_over(r, r->all.first);
    if (r->other_things) {
        if (!r->skipping)
            pass_over_row(r);
        return;
    }
    reader_note_phrases(r);
    if (!r->named_here)
        reader_note_edition(r);
    reader_leave_subject(r);
    if (!r->named_here)
        r->topic = r->subject;
    if (r->skipping)
        return;
    reader_note_beside(r);
    note_page(r);
    note_table(r, row);
    if (reader_has_figures(r))
        take_figures(r);
    else if (!r->row->table && !r->named_here)
        reader_note_kind(r);
}

static void read_names(struct reader *r)
{
    struct sink names = {0};
    for (size_t i = 0; i < nmk_design_edition_count(r->design); i++)
        sink_format(&names, "%s\n", nmk_design_edition(r->design, i)->name);
    word_list_read(&r->names, names.data, names.size);
    sink_drop(&names);
}

void claims_read(struct claims *out, const struct nmk_design *design, const enum nmk_unit *units, size_t asked,
                 const char *text, size_t size)
{
    size_t subjects = nmk_design_piece_count(design) + nmk_design_opening_count(design) + nmk_design_measure_count(design);
    *out = (struct claims){0};
    word_list_read(&out->words, text, size);
    struct reader r = {.out = out,
                       .design = design,
                       .units = units,
                       .tokens = out->words.tokens,
                       .asked = asked,
                       .edition = asked,
                       .subject = NMK_NONE,
                       .topic = NMK_NONE,
                       .kind = ENTRY_ANY,
                       .way = -1,
                       .usual = NMK_UNIT_NONE,
                       .last_unit = NMK_UNIT_NONE,
                       .header_row = NMK_NONE,
                       .rows = NMK_NONE,
                       .mentions = store_new(subjects + 1, sizeof *r.mentions)};
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
