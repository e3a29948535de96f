/* The lists of panels of a piece. */
#include <stdio.h>

#include "base/memory.h"
#include "base/text.h"
#include "design/read/reader.h"

/* ---- panels and stretches ---- */

static struct nmk_rows_read *rows_of(struct nmk_reader *r, enum nmk_way way)
{
    return &r->pieces[r->piece].rows[way];
}

/* panel NMK_NONE: a rest. through: the line before it is cut through. */
static void add_stretch(struct nmk_reader *r, enum nmk_way way, size_t panel, bool through, struct nmk_span span)
{
    struct nmk_rows_read *rows = rows_of(r, way);
    void *stretches = rows->stretches, *throughs = rows->through;
    nmk_memory_reserve(&stretches, &rows->stretch_space, rows->stretch_count + 1, sizeof *rows->stretches);
    rows->stretches = stretches;
    nmk_memory_reserve(&throughs, &rows->through_space, rows->stretch_count + 1, sizeof *rows->through);
    rows->through = throughs;
    rows->through[rows->stretch_count] = through;
    rows->stretches[rows->stretch_count++] = (struct nmk_stretch){.panel = panel, .row = rows->count - 1, .span = span};
    rows->all[rows->count - 1].count++;
    if (panel != NMK_NONE)
        r->panels[r->pieces[r->piece].first + panel].stretches++;
    if (++r->stretch_count > NMK_MOST_PANELS)
        nmk_read_limit(r, span, "too-many-panels", "The design has more than %d panels, the most one may have",
                       NMK_MOST_PANELS);
}

/* A new panel of the open piece; `made` may be broken. */
static size_t add_panel(struct nmk_reader *r, struct nmk_name name, const struct nmk_made *made, struct nmk_span span)
{
    struct nmk_piece_read *piece = &r->pieces[r->piece];
    void *panels = piece->panels, *reads = r->panels;
    nmk_memory_reserve(&panels, &piece->panel_space, piece->panel_count + 1, sizeof *piece->panels);
    piece->panels = panels;
    nmk_memory_reserve(&reads, &r->panel_space, r->panel_count + 1, sizeof *r->panels);
    r->panels = reads;
    r->panels[r->panel_count++] = (struct nmk_panel_read){.made = *made};
    piece->panels[piece->panel_count] = (struct nmk_panel){nmk_read_kept_name(r, name), made->formula, NMK_NONE, span};
    nmk_read_define(r, name, NMK_NAMED_PANEL, piece->panel_count);
    return piece->panel_count++;
}

static const char *panel_name(struct nmk_reader *r, size_t panel)
{
    struct nmk_text text = {0};
    nmk_text_add_format(&text, "%s.%s", nmk_at_piece(r->design, r->piece)->name,
                        r->pieces[r->piece].panels[panel].name);
    const char *name = nmk_design_text(r->design, nmk_text_get(&text), text.size);
    nmk_text_clear(&text);
    return name;
}

/* A panel with a length of its own. */
static size_t define_panel(struct nmk_reader *r, struct nmk_name name, struct nmk_made *made, struct nmk_span span)
{
    if (!nmk_made_is_length(r, made, "A panel") || !nmk_made_is_unpunched(r, made))
        made->formula = NULL;
    nmk_made_must_be_positive(r, made, span, "This panel");
    size_t panel = add_panel(r, name, made, span);
    if (made->formula)
        r->pieces[r->piece].panels[panel].length =
            nmk_lay_length(r, NMK_LENGTH_PANEL, panel_name(r, panel), made->formula, r->piece, panel, span);
    return panel;
}

/* ---- the four kinds of panels; behind the name ---- */

/* "=" FORMULA */
static bool read_equals(struct nmk_reader *r, struct nmk_name name, struct nmk_span span, size_t *panel)
{
    struct nmk_made made;
    nmk_read_next(r);
    if (!nmk_read_formula(r, &made))
        return false;
    *panel = define_panel(r, name, &made, span);
    return true;
}

static void lay_fit(struct nmk_reader *r, size_t panel, const struct nmk_formula *f, bool inside,
                    const struct nmk_bounds *bounds, struct nmk_span span)
{
    struct nmk_made own;
    nmk_make_subject(r, &own, NMK_F_PANEL, r->piece, panel, span);
    struct nmk_demand *d = nmk_lay_demand(r, NMK_FIT, panel_name(r, panel), span);
    d->outer = inside ? f : own.formula;
    d->inner = inside ? own.formula : f;
    d->bounds = *bounds;
    d->piece = r->piece;
    r->statements++;
}

static const char clear_hint[] = "wall over deck clear 2 mm (0 mm to 4 mm)";

/* "clear" TWIN "(" BOUNDS ")" */
static bool read_clear(struct nmk_reader *r, struct nmk_twin *clear, struct nmk_span *span, struct nmk_bounds *bounds)
{
    if (!nmk_read_expect_word(r, "clear", clear_hint))
        return false;
    size_t at = r->token.at;
    if (!nmk_read_twin(r, NMK_SIGNED, "how much room is meant", clear))
        return false;
    *span = nmk_read_span_from(r, at);
    if (!nmk_read_take(r, NMK_T_OPEN))
        return nmk_read_expected(r, "`(` and how much room is allowed", clear_hint);
    return nmk_read_bounds(r, bounds) && (nmk_read_take(r, NMK_T_CLOSE) || nmk_read_expected(r, "`)`", clear_hint));
}

/* ("over" | "inside") FORMULA CLEAR */
static bool read_fitted(struct nmk_reader *r, struct nmk_name name, struct nmk_span span, size_t *panel)
{
    struct nmk_made made, length;
    struct nmk_twin clear;
    struct nmk_span clear_span;
    struct nmk_bounds bounds;
    bool inside = nmk_read_is_word(r, "inside");
    nmk_read_next(r);
    if (!nmk_read_formula(r, &made) || !read_clear(r, &clear, &clear_span, &bounds))
        return false;
    if (!nmk_made_is_length(r, &made, inside ? "What it lies inside of" : "What it goes over"))
        made.formula = NULL;
    const struct nmk_formula *other = made.formula;
    nmk_make_length(r, &length, clear, clear_span);
    nmk_make_binary(r, &made, inside ? NMK_F_SUB : NMK_F_ADD, &length, nmk_read_span_from(r, r->token.at));
    if (made.formula)
        made.formula->span = other->span;
    made.span = other ? other->span : span;
    *panel = define_panel(r, name, &made, span);
    if (made.formula)
        lay_fit(r, *panel, other, inside, &bounds, span);
    return true;
}

static void use_let(struct nmk_reader *r, const struct nmk_name *let, struct nmk_name name, struct nmk_span span,
                    size_t *panel)
{
    struct nmk_made made;
    size_t index = let->index;
    nmk_make_subject(r, &made, NMK_F_LET, index, NMK_NONE, span);
    if (!nmk_made_is_length(r, &made, "A panel") || !nmk_made_is_unpunched(r, &made))
        made.formula = NULL;
    nmk_made_must_be_positive(r, &made, span, "This panel");
    *panel = add_panel(r, name, &made, span);
    if (made.formula)
        r->pieces[r->piece].panels[*panel].length = nmk_lay_let(r, index);
}

static void refuse_unknown(struct nmk_reader *r, struct nmk_span span, struct nmk_name name)
{
    struct nmk_quoted q = nmk_read_quote(name.text, name.size);
    const struct nmk_name *near = nmk_names_near(&r->names, name.scope, NMK_NAMED_PANEL, name.text, name.size);
    if (!near)
        near = nmk_names_near(&r->names, NMK_SCOPE_DESIGN, NMK_NAMED_LET, name.text, name.size);
    char hint[240];
    snprintf(hint, sizeof hint, near ? "did you mean %.90s?" : "give it a size where it first stands: %.90s = 30 mm",
             near ? nmk_read_quote(near->text, near->size).text : q.text);
    nmk_read_error(r, span, "unknown-name", hint,
                   "This piece has no panel `%s` so far, and there is no let of that name", q.text);
}

/* Nothing: a let, since it is no panel of the piece so far. broken: it was to be one. */
static void read_bare(struct nmk_reader *r, struct nmk_name name, bool broken, struct nmk_span span, size_t *panel)
{
    const struct nmk_name *thing = nmk_read_find(r, NMK_SCOPE_DESIGN, name.text, name.size);
    if (thing && thing->is == NMK_NAMED_LET) {
        use_let(r, thing, name, span, panel);
        return;
    }
    if (thing && thing->is != NMK_NAMED_BROKEN)
        nmk_read_error(r, span, "no-panel",
                       "give the panel a name: wall = long, or wall over long clear 2 mm (1 mm to 3 mm)",
                       "A panel alone in its place is one of this piece again, or a let; `%s` is %s",
                       nmk_read_quote(name.text, name.size).text, nmk_named_word(thing->is));
    else if (!thing && !broken)
        refuse_unknown(r, span, name);
    name.is = NMK_NAMED_BROKEN;
    nmk_names_add(&r->names, name);
}

/* ---- lists ---- */

static bool ends_panel(const struct nmk_reader *r)
{
    return r->token.kind == NMK_T_BAR || r->token.kind == NMK_T_BARS || r->token.kind == NMK_T_END ||
           nmk_read_is_word(r, "glue") || nmk_read_is_word(r, "beside");
}

/* PANEL = NAME ["=" ... | "over" ... | "inside" ...] */
static bool read_panel(struct nmk_reader *r, size_t *panel)
{
    struct nmk_span span = nmk_read_token_span(r);
    struct nmk_name name;
    bool broken;
    if (r->token.kind != NMK_T_WORD)
        return nmk_read_expected(r, "a panel", "wall = 30 mm, or wall over deck clear 2 mm (0 mm to 4 mm)");
    *panel = nmk_read_find_panel(r, r->piece, r->source.text + r->token.at, r->token.size, &broken);
    struct nmk_token before = r->token;
    nmk_read_next(r);
    if (ends_panel(r) && *panel != NMK_NONE)
        return true;
    bool bare = ends_panel(r), equals = r->token.kind == NMK_T_EQUALS,
         fitted = nmk_read_is_word(r, "over") || nmk_read_is_word(r, "inside");
    if (!bare && !equals && !fitted)
        return nmk_read_expected(r, "`=`, `over`, `inside` or `|`",
                                 "wall = 30 mm, or wall over deck clear 2 mm (0 mm to 4 mm)");
    nmk_read_go(r, before.at);
    if (!nmk_read_new_name(r, NMK_SCOPE_PIECES + r->piece, "a panel", &name))
        return false;
    if (bare && name.size)
        read_bare(r, name, broken, span, panel);
    return bare || (equals ? read_equals(r, name, span, panel) : read_fitted(r, name, span, panel));
}

/* A panel that could not be read: if its name is known, nothing more is said of it. */
static void forget_panel(struct nmk_reader *r, const struct nmk_token *first)
{
    size_t scope = NMK_SCOPE_PIECES + r->piece;
    const char *text = r->source.text + first->at;
    r->pieces[r->piece].broken = true;
    if (first->kind != NMK_T_WORD)
        r->pieces[r->piece].lost = true;
    else if (!nmk_names_find(&r->names, scope, text, first->size))
        nmk_names_add(&r->names,
                      (struct nmk_name){.text = text, .size = first->size, .scope = scope, .is = NMK_NAMED_BROKEN});
    while (r->token.kind != NMK_T_BAR && r->token.kind != NMK_T_BARS && r->token.kind != NMK_T_END)
        nmk_read_next(r);
}

/* After a bar at the end of a line: goes to the next line with something on it. */
static bool go_on_below(struct nmk_reader *r, struct nmk_span bar)
{
    size_t line = r->line;
    while (r->token.kind == NMK_T_END && r->line + 1 < r->source.count)
        nmk_read_begin_line(r, r->line + 1);
    if (r->token.kind != NMK_T_END && !nmk_read_is_keyword(r))
        return true;
    r->line = line;
    r->token.kind = NMK_T_BAD; /* the line is done with */
    const char *sign = bar.length > 1 ? "||" : "|";
    char hint[80];
    snprintf(hint, sizeof hint, "take the `%s` away, or write the next panel below", sign);
    nmk_read_error(r, bar, "list-open", hint, "The list goes on after this `%s`, but there is no panel", sign);
    return false;
}

/* A stretch of the open list as it is read. */
struct place {
    enum nmk_way way;
    size_t number;    /* in its list, from 0 */
    bool through;     /* the line before it is cut through */
    struct nmk_span glue; /* where `glue` stands behind it; line 0: nowhere */
    struct nmk_span rest; /* where `rest` stands; line 0: it is none */
};

/* "rest" */
static bool read_rest(struct nmk_reader *r, struct place *place)
{
    place->rest = nmk_read_token_span(r);
    if (!rows_of(r, place->way)->cut.line)
        rows_of(r, place->way)->cut = place->rest;
    nmk_read_next(r);
    if (ends_panel(r) && !nmk_read_is_word(r, "glue")) {
        add_stretch(r, place->way, NMK_NONE, place->through, place->rest);
        return true;
    }
    return nmk_read_expected(r, "`|`", "`rest` stands alone: what is left of the width is cut away there");
}

/* "rest" | PANEL ["glue"] */
static bool read_stretch(struct nmk_reader *r, struct place *place)
{
    size_t panel = NMK_NONE;
    struct nmk_token first = r->token;
    struct nmk_span span = nmk_read_token_span(r), glue_span;
    if (nmk_read_is_word(r, "rest") ? !read_rest(r, place) : !read_panel(r, &panel)) {
        forget_panel(r, &first);
        return false;
    }
    if (place->rest.line)
        return true;
    if (panel != NMK_NONE)
        add_stretch(r, place->way, panel, place->through, span);
    else
        r->pieces[r->piece].broken = true;
    glue_span = nmk_read_token_span(r);
    if (nmk_read_take_word(r, "glue")) {
        place->glue = glue_span;
        if (panel != NMK_NONE)
            rows_of(r, place->way)->stretches[rows_of(r, place->way)->stretch_count - 1].glue = true;
    }
    return true;
}

/* The stretches of a list, without the rests at its ends. */
struct kept {
    const struct nmk_stretch *all;
    const bool *through;
    size_t count;
    bool rests;
};

static struct kept keep(const struct nmk_rows_read *rows, const struct nmk_row_read *row)
{
    struct kept k = {&rows->stretches[row->first], &rows->through[row->first], row->count, false};
    if (k.count && k.all[0].panel == NMK_NONE)
        k = (struct kept){k.all + 1, k.through + 1, k.count - 1, true};
    if (k.count && k.all[k.count - 1].panel == NMK_NONE)
        k = (struct kept){k.all, k.through, k.count - 1, true};
    return k;
}

/* The lines of each stretch that are scores; in a list with glue at one end the edge at the other end counts too. */
static void count_folds(struct nmk_reader *r, const struct kept *list)
{
    const struct nmk_piece_read *piece = &r->pieces[r->piece];
    for (size_t i = 0; i < list->count; i++) {
        struct nmk_panel_read *panel = &r->panels[piece->first + list->all[i].panel];
        bool before = i > 0 ? !list->through[i] : list->count > 1 && list->all[list->count - 1].glue;
        bool behind = i + 1 < list->count ? !list->through[i + 1] : list->count > 1 && list->all[0].glue;
        size_t folds = (size_t)before + (size_t)behind;
        panel->folds = folds > panel->folds ? folds : panel->folds;
    }
}

static void sum_list(struct nmk_reader *r, enum nmk_way way, const struct kept *list)
{
    struct nmk_piece_read *piece = &r->pieces[r->piece];
    piece->known[way][0] = piece->known[way][1] = true;
    for (size_t i = 0; i < list->count; i++)
        nmk_made_sum(r, piece->known[way], piece->whole[way], &r->panels[piece->first + list->all[i].panel].made);
}

static void refuse_glue(struct nmk_reader *r, struct nmk_span span)
{
    nmk_read_error(r, span, "glue-inside", "put the tab first or last in its list",
                   "A panel for glue stands at an end of its list");
}

static void refuse_rest(struct nmk_reader *r, struct nmk_span span)
{
    nmk_read_error(r, span, "rest-inside", "put it first or last in its list",
                   "A `rest` stands at an end of its list, where it is cut away");
    r->pieces[r->piece].broken = true;
}

/* STRETCH {("|" | "||") STRETCH}; a line may end behind "|" or "||" */
static bool read_stretches(struct nmk_reader *r, enum nmk_way way)
{
    bool ok = true, before_is_rest = false;
    struct place place = {.way = way};
    for (;; place.number++) {
        struct nmk_span bar;
        place.glue = place.rest = (struct nmk_span){0};
        ok = read_stretch(r, &place) && ok;
        if (r->given_up)
            return false;
        bar = nmk_read_token_span(r);
        bool bars = r->token.kind == NMK_T_BARS, goes_on = bars || r->token.kind == NMK_T_BAR;
        if (place.rest.line && place.number > 0 && goes_on)
            refuse_rest(r, place.rest);
        if (!goes_on)
            return ok;
        struct nmk_span glue = place.number > 0 && !before_is_rest ? place.glue : (struct nmk_span){0};
        before_is_rest = place.rest.line > 0;
        place.through = bars;
        if (bars && !rows_of(r, way)->cut.line)
            rows_of(r, way)->cut = bar;
        nmk_read_next(r);
        bool below = r->token.kind != NMK_T_END || go_on_below(r, bar);
        if (glue.line && !(below && nmk_read_is_word(r, "rest")))
            refuse_glue(r, glue);
        if (!below)
            return false;
    }
}

/* "beside" NAME {"," NAME} */
static bool read_beside(struct nmk_reader *r, enum nmk_way way)
{
    struct nmk_rows_read *rows = rows_of(r, way);
    struct nmk_row_read *row = &rows->all[rows->count - 1];
    row->end = nmk_read_token_span(r);
    nmk_read_next(r);
    do {
        const char *text = r->source.text + r->token.at;
        if (r->token.kind != NMK_T_WORD || nmk_read_is_reserved(text, r->token.size))
            return nmk_read_expected(r, "a panel of the other direction", "beside top, bottom");
        void *besides = rows->besides;
        nmk_memory_reserve(&besides, &rows->beside_space, rows->beside_count + 1, sizeof *rows->besides);
        rows->besides = besides;
        rows->besides[rows->beside_count++] = (struct nmk_beside_read){text, r->token.size, NMK_NONE, nmk_read_token_span(r)};
        row->beside_count++;
        nmk_read_next(r);
    } while (nmk_read_take(r, NMK_T_COMMA));
    return true;
}

/* LIST = STRETCHES ["beside" ...] */
static bool read_list(struct nmk_reader *r, enum nmk_way way)
{
    bool ok = read_stretches(r, way);
    if (r->given_up || r->token.kind == NMK_T_BAD)
        return false;
    if (nmk_read_is_word(r, "beside") && !read_beside(r, way))
        return false;
    return r->token.kind == NMK_T_END ? ok : nmk_read_expected(r, "`|` or the end of the list", NULL);
}

static void begin_row(struct nmk_reader *r, enum nmk_way way, struct nmk_span span)
{
    struct nmk_rows_read *rows = rows_of(r, way);
    void *all = rows->all;
    nmk_memory_reserve(&all, &rows->space, rows->count + 1, sizeof *rows->all);
    rows->all = all;
    rows->all[rows->count++] =
        (struct nmk_row_read){.first = rows->stretch_count, .beside = rows->beside_count, .span = span, .end = span};
}

static bool is_second(struct nmk_reader *r, enum nmk_way way, struct nmk_span span)
{
    const struct nmk_rows_read *rows = rows_of(r, way);
    if (!rows->count || rows->all[rows->count - 1].beside_count || r->pieces[r->piece].broken)
        return false;
    nmk_read_error(r, span, "list-twice", "keep one of the two lines, or end each in `beside` and panels",
                   "This piece has a list `%s` already", way == NMK_ACROSS ? "across" : "down");
    return true;
}

/* ("across" | "down") LIST */
static bool read_way(struct nmk_reader *r, enum nmk_way way, size_t at)
{
    if (!nmk_read_in_piece(r, at))
        return false;
    struct nmk_span span = nmk_read_span_from(r, at);
    struct nmk_piece_read *piece = &r->pieces[r->piece];
    if (is_second(r, way, span))
        return false;
    piece->begun[way] = true;
    nmk_place_says(r, NMK_SAY_GLUE);
    begin_row(r, way, span);
    if (!read_list(r, way)) {
        r->pieces[r->piece].broken = true;
        return false;
    }
    if (r->pieces[r->piece].broken) /* stretches may be missing, or none be there at all */
        return true;
    const struct nmk_rows_read *rows = rows_of(r, way);
    struct kept list = keep(rows, &rows->all[rows->count - 1]);
    count_folds(r, &list);
    if (list.rests || r->pieces[r->piece].listed[way])
        return true;
    r->pieces[r->piece].listed[way] = true;
    sum_list(r, way, &list);
    return true;
}

bool nmk_read_across(struct nmk_reader *r, size_t at)
{
    return read_way(r, NMK_ACROSS, at);
}

bool nmk_read_down(struct nmk_reader *r, size_t at)
{
    return read_way(r, NMK_DOWN, at);
}
