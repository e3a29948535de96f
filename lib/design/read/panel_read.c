/* The lists of panels of a piece. */
#include <stdio.h>

#include "base/memory.h"
#include "base/text.h"
#include "design/read/reader.h"

/* ---- panels and stretches ---- */

static void add_stretch(struct nmk_reader *r, enum nmk_way way, size_t panel, struct nmk_span span)
{
    struct nmk_piece_read *piece = &r->pieces[r->piece];
    void *stretches = piece->stretches[way];
    nmk_memory_reserve(&stretches, &piece->stretch_space[way], piece->stretch_count[way] + 1,
                       sizeof *piece->stretches[way]);
    piece->stretches[way] = stretches;
    piece->stretches[way][piece->stretch_count[way]++] = (struct nmk_stretch){.panel = panel, .span = span};
    r->panels[piece->first + panel].stretches++;
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

static bool refuse_rows(struct nmk_reader *r)
{
    nmk_read_error(r, nmk_read_token_span(r), "not-yet", "make the rows pieces of their own",
                   "Rows are not read yet: `beside`, `||` and `rest`");
    return false;
}

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
    if (nmk_read_is_word(r, "rest"))
        return refuse_rows(r);
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
    nmk_read_error(r, bar, "list-open", "take the `|` away, or write the next panel below",
                   "The list goes on after this `|`, but there is no panel");
    return false;
}

/* PANEL ["glue"] */
static bool read_stretch(struct nmk_reader *r, enum nmk_way way, struct nmk_span *glue)
{
    size_t panel = NMK_NONE;
    struct nmk_token first = r->token;
    struct nmk_span span = nmk_read_token_span(r), glue_span;
    if (!read_panel(r, &panel)) {
        forget_panel(r, &first);
        return false;
    }
    if (panel != NMK_NONE)
        add_stretch(r, way, panel, span);
    else
        r->pieces[r->piece].broken = true;
    glue_span = nmk_read_token_span(r);
    if (nmk_read_take_word(r, "glue")) {
        *glue = glue_span;
        if (panel != NMK_NONE)
            r->pieces[r->piece].stretches[way][r->pieces[r->piece].stretch_count[way] - 1].glue = true;
    }
    return true;
}

/* The lines of each stretch that are scores; in a list with glue at one end the edge at the other end counts too. */
static void count_folds(struct nmk_reader *r, enum nmk_way way)
{
    const struct nmk_piece_read *piece = &r->pieces[r->piece];
    const struct nmk_stretch *all = piece->stretches[way];
    size_t count = piece->stretch_count[way];
    for (size_t i = 0; i < count; i++) {
        struct nmk_panel_read *panel = &r->panels[piece->first + all[i].panel];
        size_t folds = (i > 0 || all[count - 1].glue) + (size_t)(i + 1 < count || all[0].glue);
        panel->folds = folds > panel->folds ? folds : panel->folds;
    }
}

static void sum_list(struct nmk_reader *r, enum nmk_way way)
{
    struct nmk_piece_read *piece = &r->pieces[r->piece];
    piece->known[way][0] = piece->known[way][1] = true;
    for (size_t i = 0; i < piece->stretch_count[way]; i++)
        nmk_made_sum(r, piece->known[way], piece->whole[way],
                     &r->panels[piece->first + piece->stretches[way][i].panel].made);
}

static bool refuse_glue(struct nmk_reader *r, struct nmk_span span)
{
    nmk_read_error(r, span, "glue-inside", "put the tab first or last in its list",
                   "A panel for glue stands at an end of its list");
    return true;
}

static void skip_list(struct nmk_reader *r)
{
    r->pieces[r->piece].broken = r->pieces[r->piece].lost = true;
    while (r->token.kind != NMK_T_END && r->token.kind != NMK_T_BAD)
        nmk_read_next(r);
}

/* LIST = STRETCH {"|" STRETCH}; a line may end behind "|" */
static bool read_list(struct nmk_reader *r, enum nmk_way way)
{
    bool ok = true;
    for (size_t place = 0;; place++) {
        struct nmk_span glue = {0}, bar;
        ok = read_stretch(r, way, &glue) && ok;
        if (r->given_up)
            return false;
        if (r->token.kind == NMK_T_BARS || nmk_read_is_word(r, "beside")) {
            refuse_rows(r);
            skip_list(r);
            return false;
        }
        bar = nmk_read_token_span(r);
        if (r->token.kind != NMK_T_BAR)
            break;
        if (glue.line && place > 0)
            refuse_glue(r, glue);
        nmk_read_next(r);
        if (r->token.kind == NMK_T_END && !go_on_below(r, bar))
            return false;
    }
    return r->token.kind == NMK_T_END ? ok : nmk_read_expected(r, "`|` or the end of the list", NULL);
}

/* ("across" | "down") LIST */
static bool read_way(struct nmk_reader *r, enum nmk_way way, size_t at)
{
    if (!nmk_read_in_piece(r, at))
        return false;
    struct nmk_piece_read *piece = &r->pieces[r->piece];
    if (piece->begun[way] && !piece->broken) {
        nmk_read_error(r, nmk_read_span_from(r, at), "list-twice", "keep one of the two lines",
                       "This piece has a list `%s` already", way == NMK_ACROSS ? "across" : "down");
        return false;
    }
    piece->begun[way] = true;
    nmk_place_says(r, NMK_SAY_GLUE);
    if (!read_list(r, way)) {
        r->pieces[r->piece].broken = true;
        return false;
    }
    r->pieces[r->piece].listed[way] = true;
    count_folds(r, way);
    sum_list(r, way);
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
