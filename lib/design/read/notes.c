/* What looks wrong but can be meant. Notes are given only where there are no errors. */
#include "base/memory.h"
#include "design/read/reader.h"

/* ---- a fit between two pieces without a thickness ---- */

struct mentioned {
    size_t piece; /* one whose panels or whole sizes are named; NMK_NONE: none */
    bool several; /* another one too */
    bool thickness;
};

static void add_piece(struct mentioned *m, size_t piece)
{
    if (piece == NMK_NONE)
        return;
    m->several = m->several || (m->piece != NMK_NONE && m->piece != piece);
    m->piece = piece;
}

/* lets[i]: what let i mentions; it is looked up, not entered, so the depth is that of one formula. */
static void mention(const struct nmk_formula *f, const struct mentioned *lets, struct mentioned *m)
{
    for (; f; f = f->right) {
        if (f->kind == NMK_F_LET) {
            m->thickness = m->thickness || lets[f->subject].thickness;
            m->several = m->several || lets[f->subject].several;
            add_piece(m, lets[f->subject].piece);
        }
        m->thickness = m->thickness || f->kind == NMK_F_STOCK || f->kind == NMK_F_OUTSIDE;
        if (f->kind == NMK_F_PANEL || f->kind == NMK_F_WHOLE || f->kind == NMK_F_TOTAL || f->kind == NMK_F_OUTSIDE)
            add_piece(m, f->subject);
        if (f->left)
            mention(f->left, lets, m);
    }
}

static void note_fit(struct nmk_reader *r, const struct nmk_demand *d, const struct mentioned *lets)
{
    struct mentioned outer = {.piece = NMK_NONE}, inner = {.piece = NMK_NONE};
    mention(d->outer, lets, &outer);
    mention(d->inner, lets, &inner);
    bool two = outer.piece != NMK_NONE && inner.piece != NMK_NONE &&
               (outer.several || inner.several || outer.piece != inner.piece);
    if (two && !outer.thickness && !inner.thickness)
        nmk_read_note(r, d->span, "no-thickness",
                      "for its outer size write outside piece.panel, or add the stock: + card",
                      "This fit is between two pieces, and neither side mentions a thickness");
}

static bool is_outside(const struct nmk_bounds *b, const struct nmk_twin *clear)
{
    return (b->has_low &&
            (nmk_rat_cmp(&clear->metric, &b->low.metric) < 0 || nmk_rat_cmp(&clear->inch, &b->low.inch) < 0)) ||
           (b->has_high &&
            (nmk_rat_cmp(&clear->metric, &b->high.metric) > 0 || nmk_rat_cmp(&clear->inch, &b->high.inch) > 0));
}

/* The panel that laid the fit down; its node has the span of the demand. */
static const struct nmk_formula *own_panel(const struct nmk_demand *d)
{
    const struct nmk_formula *f = d->outer->span.column == d->span.column ? d->outer : d->inner;
    return d->piece != NMK_NONE && f->kind == NMK_F_PANEL ? f : NULL;
}

/* `clear L (BOUNDS)`: the formula of the panel is the other side plus or less L. */
static void note_clear(struct nmk_reader *r, const struct nmk_demand *d)
{
    const struct nmk_formula *panel = own_panel(d);
    if (!panel)
        return;
    const struct nmk_formula *clear = nmk_at_piece(r->design, panel->subject)->panels[panel->part].formula->right;
    if (clear && clear->kind == NMK_F_LENGTH && is_outside(&d->bounds, &clear->value))
        nmk_read_note(r, clear->span, "clear-outside", NULL,
                      "The clearance meant here is not one of those allowed behind it");
}

static void note_fits(struct nmk_reader *r)
{
    const struct nmk_design *d = r->design;
    struct mentioned *lets = nmk_memory_new(d->lets.count + 1, sizeof *lets);
    for (size_t i = 0; i < d->lets.count; i++) {
        lets[i].piece = NMK_NONE;
        mention(nmk_at_let(d, i)->formula, lets, &lets[i]);
    }
    for (size_t i = 0; i < d->demands.count; i++) {
        if (nmk_at_demand(d, i)->kind != NMK_FIT)
            continue;
        note_fit(r, nmk_at_demand(d, i), lets);
        note_clear(r, nmk_at_demand(d, i));
    }
    nmk_memory_free(lets);
}

/* ---- pieces ---- */

static const struct nmk_made *stretch_size(const struct nmk_reader *r, size_t piece, const struct nmk_stretch *stretch)
{
    return &r->panels[r->pieces[piece].first + stretch->panel].made;
}

/* Is a surely not smaller than b, in the metric or in the inch reading? */
static bool is_not_less(const struct nmk_made *a, const struct nmk_made *b)
{
    for (int w = 0; w < 2; w++)
        if (a->known[w] && b->known[w] && nmk_rat_cmp(&a->value[w].low, &b->value[w].high) >= 0)
            return true;
    return false;
}

/* A tab is stuck to the panel at the other end of its list, unless that is a tab too. */
static void note_tab(struct nmk_reader *r, size_t piece, const struct nmk_stretch *tab, const struct nmk_stretch *other)
{
    const struct nmk_panel *panels = nmk_at_piece(r->design, piece)->panels;
    if (tab->glue && !other->glue && is_not_less(stretch_size(r, piece, tab), stretch_size(r, piece, other)))
        nmk_read_note(r, tab->span, "wide-tab", "10 to 12 mm, 3/8 or 1/2 in, are common",
                      "The tab `%s` is not narrower than `%s`, which it is stuck to", panels[tab->panel].name,
                      panels[other->panel].name);
}

static void note_glue(struct nmk_reader *r, size_t piece, enum nmk_way way)
{
    const struct nmk_list *list = &nmk_at_piece(r->design, piece)->lists[way];
    for (size_t i = 0; i < list->row_count; i++) {
        const struct nmk_row *row = &list->rows[i];
        const struct nmk_stretch *first = &list->stretches[row->first + row->rests[0]];
        const struct nmk_stretch *last = &list->stretches[row->first + row->count - row->rests[1] - 1];
        note_tab(r, piece, first, last);
        note_tab(r, piece, last, first);
    }
}

static void note_corners(struct nmk_reader *r, size_t piece)
{
    const struct nmk_piece *p = nmk_at_piece(r->design, piece);
    if (p->lists[NMK_ACROSS].count < 2 || p->lists[NMK_DOWN].count < 2) {
        nmk_read_note(r, p->span, "no-corners", "corners lie between scores across and scores down",
                      "The corners of `%s` are to be snipped, but it is not scored in both directions", p->name);
        return;
    }
    struct nmk_made taper = {.known = {true, true},
                             .value = {{p->taper.metric, p->taper.metric}, {p->taper.inch, p->taper.inch}}};
    for (int way = 0; p->tapered && way < 2; way++) {
        const struct nmk_stretch *first = p->lists[way].stretches, *last = first + p->lists[way].count - 1;
        if (!is_not_less(&taper, stretch_size(r, piece, first)) && !is_not_less(&taper, stretch_size(r, piece, last)))
            continue;
        nmk_read_note(r, p->span, "wide-taper", "1 to 2 mm, or 1/16 in, are common",
                      "The corners of `%s` are tapered by more than their own size", p->name);
        return;
    }
}

static void note_mat(struct nmk_reader *r, size_t piece)
{
    const struct nmk_piece *p = nmk_at_piece(r->design, piece);
    const struct nmk_piece_read *read = &r->pieces[piece];
    for (int way = 0; way < 2; way++)
        for (int w = 0; w < 2; w++) {
            if (!read->known[way][w] || nmk_rat_sign(&read->whole[way][w].high) > 0)
                continue;
            nmk_read_note(r, p->span, "nothing-left", NULL,
                          "Nothing is left of `%s`: it is smaller by more than what it lies on", p->name);
            return;
        }
}

static void note_pieces(struct nmk_reader *r)
{
    for (size_t i = 0; i < r->design->pieces.count; i++) {
        const struct nmk_piece *p = nmk_at_piece(r->design, i);
        if (p->kind == NMK_PIECE_MAT)
            note_mat(r, i);
        if (p->kind != NMK_PIECE_PANELS)
            continue;
        note_glue(r, i, NMK_ACROSS);
        note_glue(r, i, NMK_DOWN);
        if (p->snipped)
            note_corners(r, i);
    }
}

/* ---- measures, stocks, editions ---- */

static void note_measures(struct nmk_reader *r)
{
    for (size_t i = 0; i < r->design->measures.count; i++) {
        const struct nmk_measure *m = nmk_at_measure(r->design, i);
        struct nmk_rat least = {0};
        nmk_rat_sub(&least, &m->size, &m->off);
        if (nmk_rat_sign(&least) <= 0)
            nmk_read_note(r, m->span, "off-too-large", NULL, "`%s` may be off by as much as it measures", m->name);
        if (m->has_range && (nmk_rat_cmp(&m->size, &m->from) < 0 || nmk_rat_cmp(&m->size, &m->to) > 0))
            nmk_read_note(r, m->span, "outside-range", NULL,
                          "The size of `%s` lies outside the sizes that the design is meant for", m->name);
        nmk_rat_clear(&least);
    }
}

static void note_unused(struct nmk_reader *r)
{
    for (size_t i = 0; i < r->names.count; i++) {
        const struct nmk_name *n = &r->names.all[i];
        bool measure = n->is == NMK_NAMED_MEASURE, stock = n->is == NMK_NAMED_STOCK, let = n->is == NMK_NAMED_LET,
             punches = n->is == NMK_NAMED_PUNCHES;
        if (n->used || n->scope != NMK_SCOPE_DESIGN || !(measure || stock || let || punches))
            continue;
        struct nmk_span span = measure ? nmk_at_measure(r->design, n->index)->span
                               : stock ? nmk_at_stock(r->design, n->index)->span
                               : let   ? nmk_at_let(r->design, n->index)->span
                                       : nmk_at_punches(r->design, n->index)->span;
        nmk_read_note(r, span, "unused", NULL, "`%s` is not used anywhere", nmk_read_quote(n->text, n->size).text);
    }
}

static void note_editions(struct nmk_reader *r)
{
    for (size_t i = 0; i < r->design->declared; i++) {
        const struct nmk_edition *e = nmk_at_edition(r->design, i);
        if (nmk_unit_is_inch(e->unit) != nmk_unit_is_inch(e->step_unit))
            nmk_read_note(r, e->span, "other-marks", NULL, "The edition `%s` is in %s, but its marks are written in %s",
                          e->name, nmk_unit_is_inch(e->unit) ? "inches" : "mm or cm",
                          nmk_unit_is_inch(e->step_unit) ? "inches" : "mm or cm");
        if (!nmk_rat_is_zero(&e->score_step)) {
            struct nmk_rat marks = {0};
            (void)nmk_rat_div(&marks, &e->score_step, &e->step);
            if (!nmk_rat_is_int(&marks))
                nmk_read_note(r, e->span, "scores-off-marks", NULL,
                              "The score step of `%s` is no whole number of its marks", e->name);
            nmk_rat_clear(&marks);
        }
    }
}

void nmk_note_all(struct nmk_reader *r)
{
    note_measures(r);
    note_unused(r);
    note_pieces(r);
    note_fits(r);
    note_editions(r);
}
