#include "design/design_dump.h"

#include "base/memory.h"
#include "design/model.h"

static const char *const ways[] = {"across", "down"};

static void add_rat(struct nmk_text *out, const struct nmk_rat *r)
{
    size_t size = nmk_rat_print(NULL, 0, r);
    char *text = nmk_memory_new(size + 1, 1);
    nmk_rat_print(text, size + 1, r);
    nmk_text_add(out, text, size);
    nmk_memory_free(text);
}

static void add_twin(struct nmk_text *out, const struct nmk_twin *t)
{
    add_rat(out, &t->metric);
    if (nmk_rat_equal(&t->metric, &t->inch))
        return;
    nmk_text_add_string(out, " or ");
    add_rat(out, &t->inch);
}

static void add_named_rat(struct nmk_text *out, const char *name, const struct nmk_rat *r)
{
    nmk_text_add_format(out, " %s ", name);
    add_rat(out, r);
}

static void add_bounds(struct nmk_text *out, const struct nmk_bounds *b)
{
    nmk_text_add_string(out, "[");
    if (b->has_low)
        add_twin(out, &b->low);
    nmk_text_add_string(out, ", ");
    if (b->has_high)
        add_twin(out, &b->high);
    nmk_text_add_string(out, "]");
}

/* ---- formulas ---- */

static void add_call(struct nmk_text *out, const struct nmk_design *d, const char *name, const struct nmk_formula *f)
{
    nmk_text_add_format(out, "%s(", name);
    nmk_formula_dump(out, d, f->left);
    if (f->right) {
        nmk_text_add_string(out, ", ");
        nmk_formula_dump(out, d, f->right);
    }
    nmk_text_add_string(out, ")");
}

static void add_operation(struct nmk_text *out, const struct nmk_design *d, const char *sign,
                          const struct nmk_formula *f)
{
    nmk_text_add_string(out, "(");
    nmk_formula_dump(out, d, f->left);
    nmk_text_add_format(out, " %s ", sign);
    nmk_formula_dump(out, d, f->right);
    nmk_text_add_string(out, ")");
}

static void add_panel(struct nmk_text *out, const struct nmk_design *d, const char *word, const struct nmk_formula *f)
{
    const struct nmk_piece *piece = nmk_at_piece(d, f->subject);
    nmk_text_add_format(out, "%s%s.%s", word, piece->name, piece->panels[f->part].name);
}

void nmk_formula_dump(struct nmk_text *out, const struct nmk_design *d, const struct nmk_formula *f)
{
    switch (f->kind) {
    case NMK_F_NUMBER: add_rat(out, &f->value.metric); break;
    case NMK_F_LENGTH:
        nmk_text_add_string(out, "{");
        add_twin(out, &f->value);
        nmk_text_add_string(out, "}");
        break;
    case NMK_F_PI: nmk_text_add_string(out, "pi"); break;
    case NMK_F_NEG: add_call(out, d, "-", f); break;
    case NMK_F_ABS: add_call(out, d, "abs", f); break;
    case NMK_F_SQRT: add_call(out, d, "sqrt", f); break;
    case NMK_F_ADD: add_operation(out, d, "+", f); break;
    case NMK_F_SUB: add_operation(out, d, "-", f); break;
    case NMK_F_MUL: add_operation(out, d, "*", f); break;
    case NMK_F_DIV: add_operation(out, d, "/", f); break;
    case NMK_F_MIN: add_call(out, d, "min", f); break;
    case NMK_F_MAX: add_call(out, d, "max", f); break;
    case NMK_F_MEASURE: nmk_text_add_string(out, nmk_at_measure(d, f->subject)->name); break;
    case NMK_F_STOCK: nmk_text_add_format(out, "thickness %s", nmk_at_stock(d, f->subject)->name); break;
    case NMK_F_LET: nmk_text_add_format(out, "let %s", nmk_at_let(d, f->subject)->name); break;
    case NMK_F_PANEL: add_panel(out, d, "", f); break;
    case NMK_F_SMALLER: nmk_text_add_format(out, "%s.smaller", nmk_at_piece(d, f->subject)->name); break;
    case NMK_F_WHOLE: nmk_text_add_format(out, "%s.%s", nmk_at_piece(d, f->subject)->name, ways[f->part]); break;
    case NMK_F_OPENING: nmk_text_add_format(out, "%s.%s", nmk_at_opening(d, f->subject)->name, ways[f->part]); break;
    case NMK_F_TOTAL: add_panel(out, d, "total ", f); break;
    case NMK_F_OUTSIDE: add_panel(out, d, "outside ", f); break;
    }
}

static void add_formula(struct nmk_text *out, const struct nmk_design *d, const char *word, const struct nmk_formula *f)
{
    nmk_text_add_format(out, " %s ", word);
    nmk_formula_dump(out, d, f);
}

/* ---- what is measured and bought ---- */

static void dump_measure(struct nmk_text *out, const struct nmk_measure *m)
{
    nmk_text_add_format(out, "measure %s \"%s\"", m->name, m->label);
    add_named_rat(out, "size", &m->size);
    add_named_rat(out, "off", &m->off);
    nmk_text_add_format(out, " unit %s%s", nmk_unit_name(m->unit), m->read_to ? " read-to" : "");
    if (m->has_range) {
        add_named_rat(out, "from", &m->from);
        add_named_rat(out, "to", &m->to);
    }
    nmk_text_add_string(out, "\n");
}

static void add_sheets(struct nmk_text *out, const struct nmk_sheet *sheets, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        nmk_text_add_format(out, " sheet %s (", sheets[i].name ? sheets[i].name : "-");
        add_rat(out, &sheets[i].width);
        nmk_text_add_string(out, " x ");
        add_rat(out, &sheets[i].height);
        nmk_text_add_format(out, " %s)", nmk_unit_name(sheets[i].unit));
    }
}

static void dump_stock(struct nmk_text *out, const struct nmk_stock *s)
{
    nmk_text_add_format(out, "stock %s \"%s\"", s->name, s->label);
    add_named_rat(out, "thickness", &s->thickness);
    add_named_rat(out, "off", &s->off);
    if (s->has_weight) {
        nmk_text_add_format(out, " weight \"%s\"", s->weight);
        add_named_rat(out, "gsm", &s->gsm);
    }
    add_sheets(out, s->sheets, s->sheet_count);
    if (s->grain)
        nmk_text_add_format(out, " grain %s", s->grain == NMK_GRAIN_LONG ? "long" : "short");
    nmk_text_add_string(out, "\n");
}

static void dump_let(struct nmk_text *out, const struct nmk_design *d, const struct nmk_let *let)
{
    nmk_text_add_format(out, "let %s", let->name);
    add_formula(out, d, "=", let->formula);
    if (let->length != NMK_NONE)
        nmk_text_add_format(out, " length %zu", let->length);
    nmk_text_add_string(out, "\n");
}

static void dump_punches(struct nmk_text *out, const struct nmk_punches *p)
{
    nmk_text_add_format(out, "punches %s", p->name);
    for (size_t i = 0; i < p->count; i++) {
        nmk_text_add_string(out, i ? ", " : " ");
        add_rat(out, &p->sizes[i][NMK_ACROSS]);
        nmk_text_add_string(out, " x ");
        add_rat(out, &p->sizes[i][NMK_DOWN]);
    }
    nmk_text_add_string(out, "\n");
}

/* ---- pieces ---- */

static void add_on(struct nmk_text *out, const struct nmk_design *d, const struct nmk_on *on)
{
    if (on->across)
        add_formula(out, d, "on-across", on->across);
    if (on->down)
        add_formula(out, d, "on-down", on->down);
    if (on->piece != NMK_NONE)
        nmk_text_add_format(out, " on-piece %s", nmk_at_piece(d, on->piece)->name);
}

static void dump_row(struct nmk_text *out, const struct nmk_piece *p, enum nmk_way way, const struct nmk_row *row)
{
    static const char *const edges[] = {"first", "last", "both"};
    const struct nmk_list *list = &p->lists[way];
    nmk_text_add_format(out, "  %s from %s:", ways[way], edges[list->edge]);
    for (size_t i = row->first; i < row->first + row->count; i++) {
        const struct nmk_stretch *stretch = &list->stretches[i];
        const char *bar = i == row->first ? "" : list->lines[stretch->lines[0]].is_cut ? " ||" : " |";
        nmk_text_add_format(out, "%s %s%s", bar, stretch->panel == NMK_NONE ? "rest" : p->panels[stretch->panel].name,
                            stretch->glue ? " glue" : "");
    }
    for (size_t i = 0; i < row->beside_count; i++)
        nmk_text_add_format(out, "%s %s", i ? "," : " beside", p->panels[row->beside[i]].name);
    nmk_text_add_string(out, "\n");
}

static void dump_list(struct nmk_text *out, const struct nmk_piece *p, enum nmk_way way)
{
    for (size_t i = 0; i < p->lists[way].row_count; i++)
        dump_row(out, p, way, &p->lists[way].rows[i]);
}

static void dump_panels(struct nmk_text *out, const struct nmk_design *d, const struct nmk_piece *p)
{
    static const char *const places[] = {[NMK_SAY_CUT] = "cut",   [NMK_SAY_SCORE] = "score", [NMK_SAY_SCORED] = "scored",
                                         [NMK_SAY_SNIP] = "snip", [NMK_SAY_MITRE] = "mitre", [NMK_SAY_GLUE] = "glue"};
    for (size_t i = 0; i < p->panel_count; i++) {
        nmk_text_add_format(out, "  panel %s length %zu", p->panels[i].name, p->panels[i].length);
        add_formula(out, d, "=", p->panels[i].formula);
        nmk_text_add_string(out, "\n");
    }
    dump_list(out, p, NMK_ACROSS);
    dump_list(out, p, NMK_DOWN);
    if (p->snipped)
        nmk_text_add_format(out, "  snipped %s", ways[p->snipped_way]);
    if (p->tapered) {
        nmk_text_add_string(out, " tapered ");
        add_twin(out, &p->taper);
    }
    nmk_text_add_string(out, p->snipped ? "\n" : "");
    for (size_t i = 0; i < p->say_count; i++)
        nmk_text_add_format(out, "  say %s \"%s\"\n", places[p->says[i].place], p->says[i].text);
}

static void dump_piece(struct nmk_text *out, const struct nmk_design *d, const struct nmk_piece *p)
{
    static const char *const kinds[] = {"panels", "mat", "punched"};
    nmk_text_add_format(out, "piece %s \"%s\" %s copies %u of %s", p->name, p->label, kinds[p->kind],
                        (unsigned)p->copies, nmk_at_stock(d, p->stock)->name);
    if (p->has_grain)
        nmk_text_add_format(out, " grain %s", ways[p->grain]);
    if (p->kind == NMK_PIECE_MAT) {
        add_on(out, d, &p->on);
        add_formula(out, d, "smaller", p->smaller);
        nmk_text_add_format(out, " length %zu", p->smaller_length);
    }
    if (p->shows) {
        nmk_text_add_string(out, " shows ");
        add_bounds(out, &p->shown);
    }
    if (p->kind == NMK_PIECE_PUNCHED)
        nmk_text_add_format(out, " from %s length %zu", nmk_at_punches(d, p->punches)->name, p->length);
    nmk_text_add_string(out, p->mitred ? " mitred\n" : "\n");
    if (p->kind == NMK_PIECE_PANELS)
        dump_panels(out, d, p);
}

static void dump_opening(struct nmk_text *out, const struct nmk_design *d, const struct nmk_opening *o)
{
    nmk_text_add_format(out, "opening %s from %s length %zu through", o->name, nmk_at_punches(d, o->punches)->name,
                        o->length);
    for (size_t i = 0; i < o->through_count; i++)
        nmk_text_add_format(out, "%s %s", i ? "," : "", nmk_at_piece(d, o->through[i])->name);
    add_on(out, d, &o->on);
    nmk_text_add_string(out, "\n");
}

/* ---- lengths, demands, editions ---- */

static void dump_length(struct nmk_text *out, const struct nmk_design *d, const struct nmk_length *l)
{
    static const char *const kinds[] = {"panel", "let", "smaller", "choice"};
    nmk_text_add_format(out, "length %s %s", l->name, kinds[l->kind]);
    if (l->kind == NMK_LENGTH_CHOICE)
        nmk_text_add_format(out, " %s of %s\n", l->is_opening ? "largest" : "smallest",
                            nmk_at_punches(d, l->punches)->name);
    else
        add_formula(out, d, "=", l->formula);
    nmk_text_add_string(out, l->kind == NMK_LENGTH_CHOICE ? "" : "\n");
}

static void dump_demand(struct nmk_text *out, const struct nmk_design *d, const struct nmk_demand *x)
{
    static const char *const kinds[] = {"fit", "border", "even", "keep"};
    nmk_text_add_format(out, "demand %zu %s \"%s\"", x->statement, kinds[x->kind], x->name);
    if (x->kind == NMK_BORDER)
        nmk_text_add_format(out, " %s", ways[x->way]);
    add_formula(out, d, "outer", x->outer);
    add_formula(out, d, "inner", x->inner);
    if (x->outer2)
        add_formula(out, d, "outer2", x->outer2);
    if (x->inner2)
        add_formula(out, d, "inner2", x->inner2);
    nmk_text_add_string(out, " in ");
    add_bounds(out, &x->bounds);
    nmk_text_add_format(out, "%s%s", x->exact ? " exact" : "", x->whole ? " whole" : "");
    if (x->piece != NMK_NONE)
        nmk_text_add_format(out, " piece %s", nmk_at_piece(d, x->piece)->name);
    nmk_text_add_string(out, "\n");
}

static void dump_edition(struct nmk_text *out, const struct nmk_edition *e)
{
    nmk_text_add_format(out, "edition %s%s unit %s", e->name, e->declared ? "" : " (undeclared)",
                        nmk_unit_name(e->unit));
    add_named_rat(out, "marks", &e->step);
    nmk_text_add_format(out, " in %s", nmk_unit_name(e->step_unit));
    add_named_rat(out, "scores", &e->score_step);
    add_named_rat(out, "cut", &e->cut);
    add_named_rat(out, "place", &e->place);
    add_named_rat(out, "reach", &e->reach);
    add_sheets(out, e->sheets, e->sheet_count);
    nmk_text_add_string(out, e->as_designed ? " as designed\n" : "\n");
}

void nmk_design_dump(struct nmk_text *out, const struct nmk_design *d)
{
    nmk_text_add_format(out, "design \"%s\"\n", d->title);
    for (size_t i = 0; i < d->measures.count; i++)
        dump_measure(out, nmk_at_measure(d, i));
    for (size_t i = 0; i < d->stocks.count; i++)
        dump_stock(out, nmk_at_stock(d, i));
    for (size_t i = 0; i < d->lets.count; i++)
        dump_let(out, d, nmk_at_let(d, i));
    for (size_t i = 0; i < d->punches.count; i++)
        dump_punches(out, nmk_at_punches(d, i));
    for (size_t i = 0; i < d->pieces.count; i++)
        dump_piece(out, d, nmk_at_piece(d, i));
    for (size_t i = 0; i < d->openings.count; i++)
        dump_opening(out, d, nmk_at_opening(d, i));
    for (size_t i = 0; i < d->lengths.count; i++)
        dump_length(out, d, nmk_at_length(d, i));
    for (size_t i = 0; i < d->demands.count; i++)
        dump_demand(out, d, nmk_at_demand(d, i));
    for (size_t i = 0; i < d->editions.count; i++)
        dump_edition(out, nmk_at_edition(d, i));
}
