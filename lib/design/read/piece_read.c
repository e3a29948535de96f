/* Pieces with panels, and the lines below them but for their lists of panels. */
#include "base/memory.h"
#include "design/read/reader.h"

struct nmk_piece *nmk_begin_piece(struct nmk_reader *r, enum nmk_piece_kind kind)
{
    size_t index = r->design->pieces.count;
    void *pieces = r->pieces;
    nmk_memory_reserve(&pieces, &r->piece_space, index + 1, sizeof *r->pieces);
    r->pieces = pieces;
    r->pieces[index] = (struct nmk_piece_read){.first = r->panel_count};
    struct nmk_piece *piece = nmk_design_add(r->design, &r->design->pieces, sizeof *piece);
    piece->kind = kind;
    piece->copies = 1;
    piece->stock = piece->punches = piece->length = piece->smaller_length = piece->on.piece = NMK_NONE;
    return piece;
}

/* ["," ...] "of" STOCK */
bool nmk_read_head(struct nmk_reader *r, const char *what, struct nmk_name *name, struct nmk_piece *p)
{
    if (!nmk_read_new_name(r, NMK_SCOPE_DESIGN, what, name))
        return false;
    p->name = nmk_read_kept_name(r, *name);
    p->label = nmk_read_label(r);
    p->label = p->label ? p->label : p->name;
    return nmk_read_copies(r, &p->copies) && nmk_read_expect_word(r, "of", "of card: the stock it is cut from") &&
           nmk_read_known(r, NMK_NAMED_STOCK, "a stock", &p->stock);
}

/* "grain" ("across" | "down") */
static bool read_grain(struct nmk_reader *r, struct nmk_piece *p)
{
    p->grain = nmk_read_is_word(r, "across") ? NMK_ACROSS : NMK_DOWN;
    if (p->grain == NMK_DOWN && !nmk_read_is_word(r, "down"))
        return nmk_read_expected(r, "`across` or `down`", "grain down: the grain runs down the piece");
    nmk_read_next(r);
    p->has_grain = true;
    return true;
}

static bool read_rest(struct nmk_reader *r, struct nmk_piece *p)
{
    if (nmk_read_take_word(r, "from")) {
        p->kind = NMK_PIECE_PUNCHED;
        if (!nmk_read_known(r, NMK_NAMED_PUNCHES, "a list of punches", &p->punches))
            return false;
    } else if (nmk_read_take_word(r, "grain") && !read_grain(r, p)) {
        return false;
    }
    return r->token.kind == NMK_T_END || nmk_read_expected(r, "`grain`, `from` or the end of the statement", NULL);
}

static void lay_choice(struct nmk_reader *r, size_t index)
{
    struct nmk_piece *p = nmk_at_piece(r->design, index);
    if (p->punches == NMK_NONE) {
        r->pieces[index].broken = true;
        return;
    }
    p->length = nmk_lay_length(r, NMK_LENGTH_CHOICE, p->name, NULL, index, NMK_NONE, p->span);
    nmk_at_length(r->design, p->length)->punches = p->punches;
}

/* "piece" NAME [TEXT] [COPIES] "of" STOCK (["grain" ...] | "from" PUNCHES) */
bool nmk_read_piece(struct nmk_reader *r, size_t at)
{
    struct nmk_name name = {0};
    struct nmk_piece *p = nmk_begin_piece(r, NMK_PIECE_PANELS);
    size_t index = r->design->pieces.count - 1;
    bool ok = nmk_read_head(r, "a name for the piece", &name, p) && (r->token.kind == NMK_T_END || read_rest(r, p));
    p->span = nmk_read_span_from(r, at);
    r->pieces[index].broken = !ok;
    if (ok || name.size)
        nmk_read_define(r, name, NMK_NAMED_PIECE, index);
    if (p->kind == NMK_PIECE_PANELS)
        r->piece = index;
    else
        r->piece_above = index;
    if (ok && p->kind == NMK_PIECE_PUNCHED)
        lay_choice(r, index);
    return ok;
}

static void check_lists(struct nmk_reader *r, size_t index)
{
    const struct nmk_piece_read *read = &r->pieces[index];
    const struct nmk_piece *p = nmk_at_piece(r->design, index);
    if (read->broken || r->given_up)
        return;
    if (!read->begun[NMK_ACROSS] && !read->begun[NMK_DOWN])
        nmk_read_error(r, p->span, "no-panels", "directly below it: across wall | base | wall, and down ...",
                       "The piece `%s` has no panels: it needs a list `across` and a list `down`", p->name);
    else if (!read->begun[NMK_ACROSS] || !read->begun[NMK_DOWN])
        nmk_read_error(r, p->span, "no-list",
                       read->begun[NMK_ACROSS] ? "directly below it, also where it is only one panel: down depth = 40 mm"
                                               : "directly below it, also where it is only one panel: across width = 40 mm",
                       "The piece `%s` has no list `%s`", p->name, read->begun[NMK_ACROSS] ? "down" : "across");
}

void nmk_close_piece(struct nmk_reader *r)
{
    size_t index = r->piece;
    r->piece_above = NMK_NONE;
    if (index == NMK_NONE)
        return;
    check_lists(r, index);
    struct nmk_piece_read *read = &r->pieces[index];
    struct nmk_piece *p = nmk_at_piece(r->design, index);
    struct nmk_arena *arena = &r->design->arena;
    if (!read->begun[NMK_ACROSS] || !read->begun[NMK_DOWN])
        read->broken = read->lost = true; /* it was complained of: nothing more of its parts */
    p->panel_count = read->panel_count;
    p->panels = nmk_arena_copy(arena, read->panels, read->panel_count, sizeof *read->panels);
    nmk_close_rows(r, p);
    r->piece = NMK_NONE;
    p->say_count = read->say_count;
    p->says = nmk_arena_copy(arena, read->says, read->say_count, sizeof *read->says);
}

/* ---- the lines below a piece ---- */

static const char *kind_word(enum nmk_piece_kind kind)
{
    return kind == NMK_PIECE_MAT ? "a mat" : "punched";
}

/* The piece whose line this is; NULL: complained of. */
static struct nmk_piece *owner(struct nmk_reader *r, size_t at)
{
    if (r->piece != NMK_NONE)
        return nmk_at_piece(r->design, r->piece);
    if (r->unknown_above)
        return NULL;
    struct nmk_span span = nmk_source_span(&r->source, r->line, at, r->before_end - at);
    struct nmk_quoted q = nmk_read_quote(r->source.text + at, r->before_end - at);
    if (r->piece_above == NMK_NONE)
        nmk_read_error(r, span, "no-piece-above", "it stands directly below a piece with panels",
                       "There is no piece that this `%s` belongs to", q.text);
    else
        nmk_read_error(r, span, "no-panels-above", "only a piece with panels has such lines",
                       "`%s` does not belong here: `%s` is %s", q.text, nmk_at_piece(r->design, r->piece_above)->name,
                       kind_word(nmk_at_piece(r->design, r->piece_above)->kind));
    return NULL;
}

bool nmk_read_in_piece(struct nmk_reader *r, size_t at)
{
    return owner(r, at) != NULL;
}

/* The place of a sentence below a list or `score` line depends on what follows: another of these, or a line about what is
 * done later. */
void nmk_place_says(struct nmk_reader *r, enum nmk_say_place place)
{
    struct nmk_piece_read *read = &r->pieces[r->piece];
    bool scores = place == NMK_SAY_GLUE;
    for (size_t i = 0; i < read->say_count; i++) {
        enum nmk_say_place *above = &read->says[i].place;
        if (*above == NMK_SAY_GLUE || (*above == NMK_SAY_SCORED && scores))
            *above = scores ? NMK_SAY_SCORE : NMK_SAY_SCORED;
    }
    read->place = place;
}

/* ("first" | "last") "edge" | "both" "edges" */
static bool read_edge(struct nmk_reader *r, enum nmk_edge *edge)
{
    static const char hint[] = "score from first edge, from last edge, or from both edges";
    bool both = nmk_read_take_word(r, "both"), first = !both && nmk_read_take_word(r, "first"),
         last = !both && !first && nmk_read_take_word(r, "last");
    if (!both && !first && !last)
        return nmk_read_expected(r, "`first edge`, `last edge` or `both edges`", hint);
    *edge = both ? NMK_FROM_BOTH : first ? NMK_FROM_FIRST : NMK_FROM_LAST;
    return nmk_read_take_word(r, both ? "edges" : "edge") || nmk_read_expected(r, both ? "`edges`" : "`edge`", hint);
}

/* "score" ["across" | "down"] "from" EDGE */
bool nmk_read_score(struct nmk_reader *r, size_t at)
{
    struct nmk_piece *p = owner(r, at);
    if (!p)
        return false;
    bool across = nmk_read_take_word(r, "across"), down = !across && nmk_read_take_word(r, "down");
    enum nmk_edge edge = NMK_FROM_FIRST;
    if (!nmk_read_expect_word(r, "from", "score from both edges") || !read_edge(r, &edge) || !nmk_read_expect_end(r))
        return false;
    nmk_place_says(r, NMK_SAY_GLUE);
    if (!down)
        p->lists[NMK_ACROSS].edge = edge;
    if (!across)
        p->lists[NMK_DOWN].edge = edge;
    return true;
}

/* "corners" "snipped" ("across" | "down") [[","] "tapered" TWIN] */
bool nmk_read_corners(struct nmk_reader *r, size_t at)
{
    static const char hint[] = "corners snipped down, tapered 2 mm";
    struct nmk_piece *p = owner(r, at);
    if (!p || !nmk_read_expect_word(r, "snipped", hint))
        return false;
    bool across = nmk_read_take_word(r, "across");
    if (!across && !nmk_read_take_word(r, "down"))
        return nmk_read_expected(r, "`across` or `down`", hint);
    struct nmk_twin taper = {0};
    bool comma = nmk_read_take(r, NMK_T_COMMA), tapered = nmk_read_take_word(r, "tapered");
    if (comma && !tapered)
        return nmk_read_expected(r, "`tapered`", hint);
    if ((tapered && !nmk_read_twin(r, NMK_UNSIGNED, "how much the corner is drawn in", &taper)) ||
        !nmk_read_expect_end(r))
        return false;
    if (p->snipped)
        nmk_read_error(r, nmk_read_span_from(r, at), "corners-twice", "keep one of the two lines",
                       "The corners of this piece are snipped already");
    nmk_place_says(r, NMK_SAY_SNIP);
    r->pieces[r->piece].corners = nmk_read_span_from(r, at);
    p->snipped = true;
    p->snipped_way = across ? NMK_ACROSS : NMK_DOWN;
    p->tapered = tapered && (nmk_rat_sign(&taper.metric) || nmk_rat_sign(&taper.inch));
    p->taper = taper;
    return true;
}

/* "ends" "mitred" */
bool nmk_read_ends(struct nmk_reader *r, size_t at)
{
    struct nmk_piece *p = owner(r, at);
    if (!p || !nmk_read_expect_word(r, "mitred", "ends mitred") || !nmk_read_expect_end(r))
        return false;
    if (p->mitred)
        nmk_read_error(r, nmk_read_span_from(r, at), "mitred-twice", "keep one of the two lines",
                       "The ends of this piece are mitred already");
    nmk_place_says(r, NMK_SAY_MITRE);
    if (!p->snipped)
        r->pieces[r->piece].corners = nmk_read_span_from(r, at);
    p->mitred = true;
    return true;
}

/* "say" TEXT */
bool nmk_read_say(struct nmk_reader *r, size_t at)
{
    if (!owner(r, at))
        return false;
    if (r->token.kind != NMK_T_TEXT)
        return nmk_read_expected(r, "a text in quotes", "say \"Burnish every score before you snip.\"");
    const char *text = nmk_read_label(r);
    if (!nmk_read_expect_end(r))
        return false;
    struct nmk_piece_read *read = &r->pieces[r->piece];
    void *says = read->says;
    nmk_memory_reserve(&says, &read->say_space, read->say_count + 1, sizeof *read->says);
    read->says = says;
    read->says[read->say_count++] = (struct nmk_say){text ? text : "", read->place};
    return true;
}
