/* Does a design agree with itself? Written from the header alone: it shares nothing with the reader. */
#include "nearmark/design.h"

static bool is_name(const char *name)
{
    return name && *name;
}

static bool is_measured(const struct nmk_rat *r)
{
    return nmk_rat_is_canonical(r) && nmk_rat_sign(r) >= 0;
}

static bool is_twin(const struct nmk_twin *t)
{
    return nmk_rat_is_canonical(&t->metric) && nmk_rat_is_canonical(&t->inch);
}

static bool are_bounds(const struct nmk_bounds *b)
{
    if ((!b->has_low && !b->has_high) || !is_twin(&b->low) || !is_twin(&b->high))
        return false;
    return !b->has_low || !b->has_high ||
           (nmk_rat_cmp(&b->low.metric, &b->high.metric) <= 0 && nmk_rat_cmp(&b->low.inch, &b->high.inch) <= 0);
}

/* ---- formulas ---- */

/* What a formula may name: lets below `lets`; everything else of the design. */
struct scope {
    const struct nmk_design *design;
    size_t lets;
};

static bool names_panel(const struct nmk_design *d, const struct nmk_formula *f)
{
    const struct nmk_piece *piece = nmk_design_piece(d, f->subject);
    return piece && piece->kind == NMK_PIECE_PANELS && f->part < piece->panel_count;
}

static bool names_something(const struct scope *s, const struct nmk_formula *f)
{
    const struct nmk_design *d = s->design;
    const struct nmk_piece *piece = nmk_design_piece(d, f->subject);
    switch (f->kind) {
    case NMK_F_MEASURE: return f->subject < nmk_design_measure_count(d);
    case NMK_F_STOCK: return f->subject < nmk_design_stock_count(d);
    case NMK_F_LET: return f->subject < s->lets;
    case NMK_F_SMALLER: return piece && piece->kind == NMK_PIECE_MAT;
    case NMK_F_WHOLE: return piece && f->part <= NMK_DOWN;
    case NMK_F_OPENING: return f->subject < nmk_design_opening_count(d) && f->part <= NMK_DOWN;
    default: return names_panel(d, f);
    }
}

static bool is_formula(const struct scope *s, const struct nmk_formula *f);

static bool is_operation(const struct scope *s, const struct nmk_formula *f)
{
    if (!is_formula(s, f->left) || !is_formula(s, f->right))
        return false;
    int a = f->left->power, b = f->right->power;
    if (f->kind == NMK_F_MUL)
        return f->power == a + b;
    if (f->kind == NMK_F_DIV)
        return f->power == a - b;
    return a == b && f->power == a;
}

static bool is_formula(const struct scope *s, const struct nmk_formula *f)
{
    if (!f || !f->span.line || !f->span.length)
        return false;
    switch (f->kind) {
    case NMK_F_NUMBER: return f->power == 0 && is_twin(&f->value) && nmk_rat_equal(&f->value.metric, &f->value.inch);
    case NMK_F_LENGTH: return f->power == 1 && is_twin(&f->value);
    case NMK_F_PI: return f->power == 0;
    case NMK_F_NEG:
    case NMK_F_ABS: return is_formula(s, f->left) && !f->right && f->power == f->left->power;
    case NMK_F_SQRT: return is_formula(s, f->left) && !f->right && 2 * f->power == f->left->power;
    case NMK_F_ADD:
    case NMK_F_SUB:
    case NMK_F_MUL:
    case NMK_F_DIV:
    case NMK_F_MIN:
    case NMK_F_MAX: return is_operation(s, f);
    case NMK_F_LET: return names_something(s, f) && f->power == nmk_design_let(s->design, f->subject)->formula->power;
    default: return names_something(s, f) && f->power == 1;
    }
}

static bool is_size(const struct nmk_design *d, const struct nmk_formula *f)
{
    struct scope all = {d, nmk_design_let_count(d)};
    return is_formula(&all, f) && f->power == 1;
}

static bool is_on(const struct nmk_design *d, const struct nmk_on *on)
{
    const struct nmk_formula *const sides[] = {on->across, on->down};
    if (on->piece != NMK_NONE && on->piece >= nmk_design_piece_count(d))
        return false;
    for (size_t i = 0; i < 2; i++)
        if (!is_size(d, sides[i]) ||
            (sides[i]->kind != NMK_F_PANEL && sides[i]->kind != NMK_F_WHOLE && sides[i]->kind != NMK_F_OPENING))
            return false;
    return true;
}

/* ---- things ---- */

static bool is_measure(const struct nmk_measure *m)
{
    return is_name(m->name) && is_name(m->label) && is_measured(&m->size) && nmk_rat_sign(&m->size) > 0 &&
           is_measured(&m->off) && (!m->has_range || (is_measured(&m->from) && nmk_rat_cmp(&m->from, &m->to) <= 0));
}

static bool are_sheets(const struct nmk_sheet *sheets, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (nmk_rat_sign(&sheets[i].width) <= 0 || nmk_rat_sign(&sheets[i].height) <= 0)
            return false;
    return count <= 2;
}

static bool is_stock(const struct nmk_stock *s)
{
    return is_name(s->name) && is_name(s->label) && nmk_rat_sign(&s->thickness) > 0 && is_measured(&s->off) &&
           s->has_weight == (s->weight != NULL) && (!s->has_weight || nmk_rat_sign(&s->gsm) > 0) &&
           are_sheets(s->sheets, s->sheet_count);
}

static bool is_punches(const struct nmk_punches *p)
{
    for (size_t i = 0; i < p->count; i++)
        if (nmk_rat_sign(&p->sizes[i][NMK_ACROSS]) <= 0 || nmk_rat_sign(&p->sizes[i][NMK_DOWN]) <= 0)
            return false;
    return is_name(p->name) && p->count;
}

static bool is_let(const struct nmk_design *d, size_t i)
{
    const struct nmk_let *let = nmk_design_let(d, i);
    struct scope above = {d, i};
    if (!is_name(let->name) || !is_formula(&above, let->formula))
        return false;
    const struct nmk_length *length = nmk_design_length(d, let->length);
    return let->length == NMK_NONE || (length && length->kind == NMK_LENGTH_LET && length->subject == i);
}

static bool is_length_of(const struct nmk_design *d, size_t index, enum nmk_length_kind kind, size_t subject,
                         size_t part)
{
    const struct nmk_length *length = nmk_design_length(d, index);
    return length && length->kind == kind && length->subject == subject && length->part == part;
}

static bool is_panel(const struct nmk_design *d, size_t piece, size_t part)
{
    const struct nmk_panel *panel = &nmk_design_piece(d, piece)->panels[part];
    if (!is_name(panel->name) || !is_size(d, panel->formula))
        return false;
    return is_length_of(d, panel->length, NMK_LENGTH_PANEL, piece, part) ||
           (panel->formula->kind == NMK_F_LET &&
            is_length_of(d, panel->length, NMK_LENGTH_LET, panel->formula->subject, NMK_NONE));
}

/* Is a stretch at that end of its row, but for a rest? */
static bool is_at_end(const struct nmk_row *row, size_t place)
{
    return place == row->rests[0] || place + 1 + row->rests[1] == row->count;
}

static bool is_stretch(const struct nmk_piece *p, const struct nmk_row *row, const struct nmk_stretch *s, size_t place)
{
    bool rest = (place == 0 && row->rests[0]) || (place + 1 == row->count && row->rests[1]);
    if (rest || s->panel == NMK_NONE)
        return rest && s->panel == NMK_NONE && !s->glue;
    return s->panel < p->panel_count && (!s->glue || is_at_end(row, place));
}

static bool stands_in(const struct nmk_list *list, size_t panel)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->stretches[i].panel == panel)
            return true;
    return false;
}

/* The lines of a row stand between its stretches, *line the number of the next. */
static bool is_row(const struct nmk_piece *p, int way, size_t index, size_t *line)
{
    const struct nmk_list *list = &p->lists[way];
    const struct nmk_row *row = &list->rows[index];
    size_t end = list->line_count - 1;
    if (row->rests[0] > 1 || row->rests[1] > 1 || row->count <= row->rests[0] + row->rests[1] ||
        row->first + row->count > list->count)
        return false;
    for (size_t i = 0; i < row->count; i++) {
        const struct nmk_stretch *s = &list->stretches[row->first + i];
        bool last = i + 1 == row->count;
        if (!is_stretch(p, row, s, i) || s->row != index || s->lines[0] != (i ? *line - 1 : 0) ||
            s->lines[1] != (last ? end : *line))
            return false;
        if (last)
            break;
        const struct nmk_line *l = &list->lines[(*line)++];
        bool rest = s->panel == NMK_NONE || list->stretches[row->first + i + 1].panel == NMK_NONE;
        if (*line > end || l->row != index || (rest && !l->is_cut))
            return false;
    }
    for (size_t i = 0; i < row->beside_count && p->panel_count < 1000; i++)
        if (!stands_in(&p->lists[!way], row->beside[i]))
            return false;
    return true;
}

static bool is_beside(const struct nmk_row *row, size_t panel)
{
    for (size_t i = 0; i < row->beside_count; i++)
        if (row->beside[i] == panel)
            return true;
    return false;
}

/* Every panel of the other direction has exactly one row beside it. */
static bool are_all_beside(const struct nmk_piece *p, int way)
{
    const struct nmk_list *list = &p->lists[way], *other = &p->lists[!way];
    bool all = list->row_count == 1 && !list->rows[0].beside_count;
    for (size_t k = 0; k < other->count; k++) {
        size_t found = 0, panel = other->stretches[k].panel;
        if (other->stretches[k].beside >= list->row_count)
            return false;
        if (all || p->panel_count >= 1000)
            continue;
        for (size_t r = 0; r < list->row_count; r++)
            found += is_beside(&list->rows[r], panel);
        if (found != 1 || !is_beside(&list->rows[other->stretches[k].beside], panel))
            return false;
    }
    return all || other->row_count == 1;
}

static bool is_list(const struct nmk_piece *p, int way)
{
    const struct nmk_list *list = &p->lists[way];
    size_t line = 1, first = 0;
    if (!list->count || list->edge > NMK_FROM_BOTH || !list->row_count || list->widest >= list->row_count ||
        list->line_count < 2)
        return false;
    for (size_t r = 0; r < list->row_count; r++) {
        if (list->rows[r].first != first || !is_row(p, way, r, &line))
            return false;
        first += list->rows[r].count;
    }
    const struct nmk_line *edges[] = {&list->lines[0], &list->lines[list->line_count - 1]};
    const struct nmk_row *widest = &list->rows[list->widest];
    return first == list->count && line + 1 == list->line_count && edges[0]->is_cut && edges[1]->is_cut &&
           edges[0]->row == NMK_NONE && edges[1]->row == NMK_NONE && !widest->rests[0] && !widest->rests[1] &&
           are_all_beside(p, way);
}

static bool has_lists(const struct nmk_piece *p)
{
    return is_list(p, NMK_ACROSS) && is_list(p, NMK_DOWN) && !(p->snipped && nmk_piece_has_rows(p)) &&
           !(p->mitred && nmk_piece_has_rows(p));
}

static bool stands_somewhere(const struct nmk_piece *p, size_t panel)
{
    for (int way = 0; way < 2; way++)
        for (size_t i = 0; i < p->lists[way].count; i++)
            if (p->lists[way].stretches[i].panel == panel)
                return true;
    return false;
}

static bool are_says(const struct nmk_piece *p)
{
    for (size_t i = 0; i < p->say_count; i++) {
        enum nmk_say_place place = p->says[i].place;
        if (!p->says[i].text || place > NMK_SAY_GLUE || (place == NMK_SAY_SNIP && !p->snipped) ||
            (place == NMK_SAY_MITRE && !p->mitred) || (place == NMK_SAY_SCORED && !p->snipped && !p->mitred))
            return false;
    }
    return true;
}

static bool is_piece_with_panels(const struct nmk_design *d, size_t i)
{
    const struct nmk_piece *p = nmk_design_piece(d, i);
    if (!has_lists(p) || !are_says(p) || (p->tapered && !p->snipped))
        return false;
    for (size_t k = 0; k < p->panel_count; k++)
        if (!is_panel(d, i, k) || (p->panel_count < 1000 && !stands_somewhere(p, k)))
            return false;
    return true;
}

static bool is_mat(const struct nmk_design *d, size_t i)
{
    const struct nmk_piece *p = nmk_design_piece(d, i);
    if (!is_on(d, &p->on) || !is_size(d, p->smaller) || (p->shows && !are_bounds(&p->shown)))
        return false;
    return is_length_of(d, p->smaller_length, NMK_LENGTH_SMALLER, i, NMK_NONE) ||
           (p->smaller->kind == NMK_F_LET &&
            is_length_of(d, p->smaller_length, NMK_LENGTH_LET, p->smaller->subject, NMK_NONE));
}

static bool is_piece(const struct nmk_design *d, size_t i)
{
    const struct nmk_piece *p = nmk_design_piece(d, i);
    if (!is_name(p->name) || !is_name(p->label) || !p->copies || p->stock >= nmk_design_stock_count(d) || !p->span.line)
        return false;
    if (p->kind == NMK_PIECE_PANELS)
        return is_piece_with_panels(d, i);
    if (p->kind == NMK_PIECE_MAT)
        return is_mat(d, i);
    return p->punches < nmk_design_punches_count(d) && is_length_of(d, p->length, NMK_LENGTH_CHOICE, i, NMK_NONE) &&
           !nmk_design_length(d, p->length)->is_opening;
}

static bool is_opening(const struct nmk_design *d, size_t i)
{
    const struct nmk_opening *o = nmk_design_opening(d, i);
    for (size_t k = 0; k < o->through_count; k++)
        if (o->through[k] >= nmk_design_piece_count(d))
            return false;
    return is_name(o->name) && o->punches < nmk_design_punches_count(d) && o->through_count && is_on(d, &o->on) &&
           is_length_of(d, o->length, NMK_LENGTH_CHOICE, i, NMK_NONE) && nmk_design_length(d, o->length)->is_opening;
}

/* ---- lengths, demands, editions ---- */

/* Does what a length is the length of know it? */
static bool is_length(const struct nmk_design *d, size_t i)
{
    const struct nmk_length *l = nmk_design_length(d, i);
    const struct nmk_piece *piece = nmk_design_piece(d, l->subject);
    if (!is_name(l->name) || (l->kind == NMK_LENGTH_CHOICE) != !l->formula)
        return false;
    switch (l->kind) {
    case NMK_LENGTH_PANEL: return piece && l->part < piece->panel_count && piece->panels[l->part].length == i;
    case NMK_LENGTH_LET: return l->subject < nmk_design_let_count(d) && nmk_design_let(d, l->subject)->length == i;
    case NMK_LENGTH_SMALLER: return piece && piece->kind == NMK_PIECE_MAT && piece->smaller_length == i;
    case NMK_LENGTH_CHOICE:
        return l->punches < nmk_design_punches_count(d) &&
               (l->is_opening
                    ? l->subject < nmk_design_opening_count(d) && nmk_design_opening(d, l->subject)->length == i
                    : piece && piece->kind == NMK_PIECE_PUNCHED && piece->length == i);
    }
    return false;
}

static bool is_demand(const struct nmk_design *d, size_t i)
{
    const struct nmk_demand *x = nmk_design_demand(d, i), *before = i ? nmk_design_demand(d, i - 1) : NULL;
    bool even = x->kind == NMK_EVEN;
    if (!is_name(x->name) || !is_size(d, x->outer) || !is_size(d, x->inner) || !are_bounds(&x->bounds) ||
        x->way > NMK_DOWN)
        return false;
    if (even ? !is_size(d, x->outer2) || !is_size(d, x->inner2) || !x->exact : x->outer2 || x->inner2 || x->whole)
        return false;
    if (x->exact && (!x->bounds.has_low || !x->bounds.has_high || (!even && x->kind != NMK_KEEP)))
        return false;
    size_t next = before ? before->statement + 1 : 0;
    return (x->statement == next || (before && x->statement == before->statement)) &&
           (x->piece == NMK_NONE || x->piece < nmk_design_piece_count(d));
}

static bool is_edition(const struct nmk_design *d, size_t i)
{
    const struct nmk_edition *e = nmk_design_edition(d, i);
    return is_name(e->name) && (e->unit == NMK_MM || e->unit == NMK_CM || e->unit == NMK_IN) &&
           nmk_rat_sign(&e->step) > 0 && e->step_unit < NMK_UNIT_NONE && is_measured(&e->score_step) &&
           is_measured(&e->cut) && is_measured(&e->place) && is_measured(&e->reach) && e->sheet_count &&
           are_sheets(e->sheets, e->sheet_count) && e->declared == (i < nmk_design_declared_count(d)) &&
           nmk_design_find_edition(d, e->name) == i;
}

static bool all(const struct nmk_design *d, size_t count, bool (*is)(const struct nmk_design *d, size_t i))
{
    for (size_t i = 0; i < count; i++)
        if (!is(d, i))
            return false;
    return true;
}

bool nmk_design_check(const struct nmk_design *d)
{
    if (!d)
        return false;
    for (size_t i = 0; i < nmk_design_measure_count(d); i++)
        if (!is_measure(nmk_design_measure(d, i)))
            return false;
    for (size_t i = 0; i < nmk_design_stock_count(d); i++)
        if (!is_stock(nmk_design_stock(d, i)))
            return false;
    for (size_t i = 0; i < nmk_design_punches_count(d); i++)
        if (!is_punches(nmk_design_punches(d, i)))
            return false;
    return nmk_design_title(d) && nmk_design_piece_count(d) && nmk_design_edition_count(d) >= 2 &&
           all(d, nmk_design_let_count(d), is_let) && all(d, nmk_design_piece_count(d), is_piece) &&
           all(d, nmk_design_opening_count(d), is_opening) && all(d, nmk_design_length_count(d), is_length) &&
           all(d, nmk_design_demand_count(d), is_demand) && all(d, nmk_design_edition_count(d), is_edition);
}
