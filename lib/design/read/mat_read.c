/* Mats, punches and openings. */
#include "base/memory.h"
#include "base/text.h"
#include "design/read/reader.h"

static const char smaller_hint[] = "mat label of card on sleeve.face x sleeve.depth, smaller by 5 mm";

/* "smaller" "by" FORMULA */
static bool read_smaller(struct nmk_reader *r, struct nmk_made *made)
{
    nmk_read_take(r, NMK_T_COMMA);
    if (!nmk_read_expect_word(r, "smaller", smaller_hint) || !nmk_read_expect_word(r, "by", smaller_hint) ||
        !nmk_read_formula(r, made))
        return false;
    if (!nmk_made_is_length(r, made, "What a mat is smaller by") || !nmk_made_is_unpunched(r, made))
        made->formula = NULL;
    nmk_made_must_be_positive(r, made, made->span, "What a mat is smaller by");
    return true;
}

/* {[","] ("shows" BOUNDS | "ends" "mitred")} */
static bool read_mat_parts(struct nmk_reader *r, struct nmk_piece *p)
{
    while (r->token.kind != NMK_T_END) {
        nmk_read_take(r, NMK_T_COMMA);
        bool shows = nmk_read_is_word(r, "shows"), ends = nmk_read_is_word(r, "ends");
        if (!shows && !ends)
            return nmk_read_expected(r, "`shows`, `ends mitred` or the end of the statement", NULL);
        if ((shows && p->shows) || (ends && p->mitred))
            nmk_read_error(r, nmk_read_token_span(r), "part-twice", NULL, "This part of the mat stands here twice");
        nmk_read_next(r);
        if (shows ? !nmk_read_bounds(r, &p->shown) : !nmk_read_expect_word(r, "mitred", "ends mitred"))
            return false;
        p->shows = p->shows || shows;
        p->mitred = p->mitred || ends;
    }
    return true;
}

static const char *smaller_name(struct nmk_reader *r, const struct nmk_piece *p)
{
    struct nmk_text text = {0};
    nmk_text_add_format(&text, "%s.smaller", p->name);
    const char *name = nmk_design_text(r->design, nmk_text_get(&text), text.size);
    nmk_text_clear(&text);
    return name;
}

static void set_smaller(struct nmk_reader *r, size_t index, const struct nmk_made *made)
{
    struct nmk_piece *p = nmk_at_piece(r->design, index);
    p->smaller = made->formula;
    r->pieces[index].smaller = *made;
    if (made->formula->kind == NMK_F_LET)
        p->smaller_length = nmk_lay_let(r, made->formula->subject);
    else
        p->smaller_length =
            nmk_lay_length(r, NMK_LENGTH_SMALLER, smaller_name(r, p), made->formula, index, NMK_NONE, p->span);
}

/* The designed sizes: for notes only. */
static void set_sizes(struct nmk_reader *r, size_t index)
{
    const struct nmk_piece *p = nmk_at_piece(r->design, index);
    const struct nmk_formula *const sides[2] = {p->on.across, p->on.down};
    for (size_t way = 0; way < 2; way++) {
        struct nmk_made size;
        nmk_make_subject(r, &size, sides[way]->kind, sides[way]->subject, sides[way]->part, sides[way]->span);
        nmk_make_binary(r, &size, NMK_F_SUB, &r->pieces[index].smaller, sides[way]->span);
        for (int w = 0; w < 2 && size.formula; w++) {
            r->pieces[index].known[way][w] = size.known[w];
            r->pieces[index].whole[way][w] = size.value[w];
        }
    }
}

static void lay_mat(struct nmk_reader *r, size_t index)
{
    const struct nmk_piece *p = nmk_at_piece(r->design, index);
    const struct nmk_formula *tops[2];
    struct nmk_made top;
    for (size_t way = 0; way < 2; way++) {
        nmk_make_subject(r, &top, NMK_F_WHOLE, index, way, p->span);
        tops[way] = top.formula;
    }
    nmk_lay_borders(r, &p->on, tops, p->name, index, p->shows ? &p->shown : NULL, true, false, p->span);
}

/* "mat" NAME [TEXT] [COPIES] "of" STOCK "on" ON SMALLER PARTS */
bool nmk_read_mat(struct nmk_reader *r, size_t at)
{
    struct nmk_name name = {0};
    struct nmk_made smaller = {0};
    struct nmk_piece *p = nmk_begin_piece(r, NMK_PIECE_MAT);
    size_t index = r->design->pieces.count - 1;
    bool broken = true;
    bool ok = nmk_read_head(r, "a name for the mat", &name, p) && nmk_read_expect_word(r, "on", smaller_hint) &&
              nmk_read_on(r, NMK_ON_MAT, &p->on, &broken) && read_smaller(r, &smaller) && read_mat_parts(r, p);
    p->span = nmk_read_span_from(r, at);
    r->pieces[index].broken = !ok || broken || !smaller.formula;
    nmk_read_define(r, name, NMK_NAMED_PIECE, index);
    r->piece_above = index;
    if (!r->pieces[index].broken) {
        set_smaller(r, index, &smaller);
        set_sizes(r, index);
        lay_mat(r, index);
    }
    return ok;
}

/* ---- punches ---- */

/* "punches" NAME PAIR {"," PAIR} */
bool nmk_read_punches(struct nmk_reader *r, size_t at)
{
    struct nmk_name name;
    struct nmk_rat(*sizes)[2] = NULL;
    size_t count = 0, space = 0;
    if (!nmk_read_new_name(r, NMK_SCOPE_DESIGN, "a name for the punches", &name))
        return false;
    bool ok = true;
    do {
        enum nmk_unit unit;
        void *grown = sizes;
        nmk_memory_reserve(&grown, &space, count + 1, sizeof *sizes);
        sizes = grown;
        ok = nmk_read_pair(r, "the size of a punch", sizes[count], &unit);
        count += ok;
    } while (ok && nmk_read_take(r, NMK_T_COMMA));
    ok = ok && nmk_read_expect_end(r);
    if (ok) {
        nmk_read_define(r, name, NMK_NAMED_PUNCHES, r->design->punches.count);
        struct nmk_punches *p = nmk_design_add(r->design, &r->design->punches, sizeof *p);
        p->name = nmk_read_kept_name(r, name);
        p->count = count;
        p->sizes = nmk_arena_copy(&r->design->arena, sizes, count, sizeof *sizes);
        p->span = nmk_read_span_from(r, at);
    }
    nmk_memory_free(sizes);
    return ok;
}

/* "through" PIECE {"," PIECE} */
static bool read_through(struct nmk_reader *r, struct nmk_opening *o, bool *broken)
{
    size_t *through = NULL, space = 0;
    bool ok = nmk_read_expect_word(r, "through", "through lid, middle: the pieces that it is cut out of");
    while (ok) {
        struct nmk_span span = nmk_read_token_span(r);
        size_t piece;
        ok = nmk_read_known(r, NMK_NAMED_PIECE, "a piece", &piece);
        if (!ok)
            break;
        for (size_t i = 0; i < o->through_count; i++)
            if (through[i] == piece && piece != NMK_NONE) {
                nmk_read_error(r, span, "part-twice", NULL, "The opening goes through `%s` only once",
                               nmk_at_piece(r->design, piece)->name);
                piece = NMK_NONE;
            }
        *broken = *broken || piece == NMK_NONE;
        void *grown = through;
        nmk_memory_reserve(&grown, &space, o->through_count + 1, sizeof *through);
        through = grown;
        through[o->through_count++] = piece;
        if (!nmk_read_take(r, NMK_T_COMMA))
            break;
    }
    o->through = nmk_arena_copy(&r->design->arena, through, o->through_count, sizeof *through);
    nmk_memory_free(through);
    return ok;
}

/* "opening" NAME "from" PUNCHES THROUGH "on" ON */
bool nmk_read_opening(struct nmk_reader *r, size_t at)
{
    struct nmk_name name;
    struct nmk_opening o = {0};
    bool broken = false, on_broken = false;
    if (!nmk_read_new_name(r, NMK_SCOPE_DESIGN, "a name for the opening", &name) ||
        !nmk_read_expect_word(r, "from", "opening hole from oval through lid on lid") ||
        !nmk_read_known(r, NMK_NAMED_PUNCHES, "a list of punches", &o.punches) || !read_through(r, &o, &broken) ||
        !nmk_read_expect_word(r, "on", "on lid.top x lid.top_short: the middle of what it is") ||
        !nmk_read_on(r, NMK_ON_OPENING, &o.on, &on_broken) || !nmk_read_expect_end(r))
        return false;
    if (broken || on_broken || o.punches == NMK_NONE)
        return true; /* the name stays broken */
    o.name = nmk_read_kept_name(r, name);
    o.span = nmk_read_span_from(r, at);
    size_t index = r->design->openings.count;
    o.length = nmk_lay_length(r, NMK_LENGTH_CHOICE, o.name, NULL, index, NMK_NONE, o.span);
    nmk_at_length(r->design, o.length)->punches = o.punches;
    nmk_at_length(r->design, o.length)->is_opening = true;
    nmk_read_define(r, name, NMK_NAMED_OPENING, index);
    *(struct nmk_opening *)nmk_design_add(r->design, &r->design->openings, sizeof o) = o;
    return true;
}
