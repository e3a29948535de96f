#include "settle/multiples.h"

#include "base/memory.h"
#include "nearmark/enclosure.h"

struct builder {
    const struct nmk_draft *draft;
    const struct nmk_design *design;
    struct nmk_multiple *lengths, *lets;
    struct nmk_multiple (*wholes)[2]; /* by piece and way */
    size_t built;                     /* pieces of which they are known */
};

static void set_constant(struct nmk_multiple *out, const struct nmk_rat *c)
{
    nmk_affine_set_rat(&out->form, c);
    out->affine = true;
}

static void copy(struct nmk_multiple *out, const struct nmk_multiple *from)
{
    nmk_affine_set(&out->form, &from->form);
    out->affine = from->affine;
}

static void add(struct nmk_multiple *out, const struct nmk_multiple *more, int64_t times)
{
    struct nmk_affine scaled = {0};
    struct nmk_rat k = {0};
    nmk_rat_set_int(&k, times);
    nmk_affine_scale(&scaled, &more->form, &k);
    nmk_affine_add(&out->form, &out->form, &scaled);
    out->affine &= more->affine;
    nmk_affine_clear(&scaled);
    nmk_rat_clear(&k);
}

static const struct nmk_multiple *panel_of(const struct builder *b, size_t piece, size_t panel)
{
    return &b->lengths[nmk_design_piece(b->design, piece)->panels[panel].length];
}

static void set_measure(struct nmk_multiple *out, const struct builder *b, size_t measure)
{
    const struct nmk_measure *m = nmk_design_measure(b->design, measure);
    struct nmk_rat one = {0};
    if (!m->has_range) {
        set_constant(out, &m->size);
        return;
    }
    nmk_rat_set_int(&one, 1);
    nmk_affine_clear(&out->form);
    nmk_affine_add_term(&out->form, measure, &one);
    out->affine = true;
    nmk_rat_clear(&one);
}

static void set_outside(struct nmk_multiple *out, const struct builder *b, size_t piece_index, size_t panel)
{
    const struct nmk_piece *piece = nmk_design_piece(b->design, piece_index);
    struct nmk_rat folds = {0};
    nmk_rat_set_int(&folds, (int64_t)nmk_piece_folds(piece, panel));
    nmk_rat_mul(&folds, &folds, &nmk_design_stock(b->design, piece->stock)->thickness);
    copy(out, panel_of(b, piece_index, panel));
    nmk_affine_add_rat(&out->form, &folds);
    nmk_rat_clear(&folds);
}

/* The whole size of a piece with panels: the sum of the list that says how wide it is. */
static void add_panels(struct nmk_multiple *out, const struct builder *b, size_t piece_index, size_t way)
{
    const struct nmk_list *list = &nmk_design_piece(b->design, piece_index)->lists[way];
    const struct nmk_row *widest = &list->rows[list->widest];
    out->affine = true;
    for (size_t i = widest->first; i < widest->first + widest->count; i++)
        add(out, panel_of(b, piece_index, list->stretches[i].panel), 1);
}

/* Also of the piece that is being built, of which this list is known. */
static void set_whole(struct nmk_multiple *out, const struct builder *b, size_t piece_index, size_t way)
{
    bool is_built = b->built > piece_index || nmk_design_piece(b->design, piece_index)->kind != NMK_PIECE_PANELS;
    nmk_affine_clear(&out->form);
    if (is_built)
        copy(out, &b->wholes[piece_index][way]);
    else
        add_panels(out, b, piece_index, way);
}

static void build(struct nmk_multiple *out, const struct builder *b, const struct nmk_formula *f);

static void build_constant(struct nmk_multiple *out, const struct builder *b, const struct nmk_formula *f)
{
    struct nmk_enclosure e = {0};
    struct nmk_rat mid = {0};
    if (f->kind == NMK_F_PI) {
        nmk_enclosure_pi(&e);
        out->affine = true;
    } else {
        build(out, b, f->left);
        nmk_enclosure_set_rat(&e, &out->form.constant);
        out->affine = out->affine && nmk_affine_is_constant(&out->form) && nmk_enclosure_sqrt(&e, &e) == NMK_OK;
    }
    nmk_enclosure_mid(&mid, &e);
    nmk_affine_set_rat(&out->form, &mid);
    nmk_enclosure_clear(&e);
    nmk_rat_clear(&mid);
}

/* min and max of constants; a product or quotient by a constant. Anything else is not affine. */
static void combine(struct nmk_multiple *out, struct nmk_multiple *right, enum nmk_formula_kind kind)
{
    bool left_constant = nmk_affine_is_constant(&out->form), right_constant = nmk_affine_is_constant(&right->form);
    struct nmk_rat inverse = {0};
    out->affine &= right->affine;
    if (kind == NMK_F_MUL && right_constant) {
        nmk_affine_scale(&out->form, &out->form, &right->form.constant);
    } else if (kind == NMK_F_MUL && left_constant) {
        nmk_affine_scale(&out->form, &right->form, &out->form.constant);
    } else if (kind == NMK_F_DIV && right_constant && !nmk_rat_is_zero(&right->form.constant)) {
        nmk_rat_set_int(&inverse, 1);
        nmk_rat_div(&inverse, &inverse, &right->form.constant);
        nmk_affine_scale(&out->form, &out->form, &inverse);
    } else if ((kind == NMK_F_MIN || kind == NMK_F_MAX) && left_constant && right_constant) {
        int order = nmk_rat_cmp(&out->form.constant, &right->form.constant);
        if (kind == NMK_F_MIN ? order > 0 : order < 0)
            nmk_affine_swap(&out->form, &right->form);
    } else {
        out->affine = false;
    }
    nmk_rat_clear(&inverse);
}

static void build_pair(struct nmk_multiple *out, const struct builder *b, const struct nmk_formula *f)
{
    struct nmk_multiple right = {0};
    build(out, b, f->left);
    build(&right, b, f->right);
    if (f->kind == NMK_F_ADD || f->kind == NMK_F_SUB)
        add(out, &right, f->kind == NMK_F_ADD ? 1 : -1);
    else
        combine(out, &right, f->kind);
    nmk_affine_clear(&right.form);
}

static void build_sign(struct nmk_multiple *out, const struct builder *b, const struct nmk_formula *f)
{
    struct nmk_rat minus = {0};
    build(out, b, f->left);
    nmk_rat_set_int(&minus, -1);
    if (f->kind == NMK_F_ABS && !nmk_affine_is_constant(&out->form))
        out->affine = false;
    if (f->kind == NMK_F_NEG || (out->affine && nmk_rat_sign(&out->form.constant) < 0))
        nmk_affine_scale(&out->form, &out->form, &minus);
    nmk_rat_clear(&minus);
}

static void build(struct nmk_multiple *out, const struct builder *b, const struct nmk_formula *f)
{
    const struct nmk_piece *piece;
    switch (f->kind) {
    case NMK_F_NUMBER:
    case NMK_F_LENGTH: set_constant(out, nmk_draft_twin(b->draft, &f->value)); break;
    case NMK_F_PI:
    case NMK_F_SQRT: build_constant(out, b, f); break;
    case NMK_F_NEG:
    case NMK_F_ABS: build_sign(out, b, f); break;
    case NMK_F_MEASURE: set_measure(out, b, f->subject); break;
    case NMK_F_STOCK: set_constant(out, &nmk_design_stock(b->design, f->subject)->thickness); break;
    case NMK_F_LET: copy(out, &b->lets[f->subject]); break;
    case NMK_F_PANEL: copy(out, panel_of(b, f->subject, f->part)); break;
    case NMK_F_SMALLER: copy(out, &b->lengths[nmk_design_piece(b->design, f->subject)->smaller_length]); break;
    case NMK_F_WHOLE: set_whole(out, b, f->subject, f->part); break;
    case NMK_F_OPENING: out->affine = false; break;
    case NMK_F_TOTAL:
        piece = nmk_design_piece(b->design, f->subject);
        *out = (struct nmk_multiple){.affine = true, .form = out->form};
        nmk_affine_clear(&out->form);
        add(out, panel_of(b, f->subject, f->part), (int64_t)(piece->copies * nmk_piece_stretches(piece, f->part)));
        break;
    case NMK_F_OUTSIDE: set_outside(out, b, f->subject, f->part); break;
    default: build_pair(out, b, f);
    }
}

/* ---- in file order ---- */

static void build_let(struct builder *b, size_t i)
{
    const struct nmk_let *let = nmk_design_let(b->design, i);
    build(&b->lets[i], b, let->formula);
    if (let->length != NMK_NONE)
        copy(&b->lengths[let->length], &b->lets[i]);
}

static void build_panels(struct builder *b, size_t piece_index)
{
    const struct nmk_piece *piece = nmk_design_piece(b->design, piece_index);
    for (size_t i = 0; i < piece->panel_count; i++)
        if (nmk_design_length(b->design, piece->panels[i].length)->kind == NMK_LENGTH_PANEL)
            build(&b->lengths[piece->panels[i].length], b, piece->panels[i].formula);
    for (size_t way = NMK_ACROSS; way <= NMK_DOWN; way++)
        add_panels(&b->wholes[piece_index][way], b, piece_index, way);
}

static void build_mat(struct builder *b, size_t piece_index)
{
    const struct nmk_piece *piece = nmk_design_piece(b->design, piece_index);
    if (nmk_design_length(b->design, piece->smaller_length)->kind == NMK_LENGTH_SMALLER)
        build(&b->lengths[piece->smaller_length], b, piece->smaller);
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        build(&b->wholes[piece_index][way], b, way == NMK_ACROSS ? piece->on.across : piece->on.down);
        add(&b->wholes[piece_index][way], &b->lengths[piece->smaller_length], -1);
    }
}

static void build_all(struct builder *b)
{
    size_t let = 0, lets = nmk_design_let_count(b->design);
    for (size_t i = 0; i < nmk_design_piece_count(b->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(b->design, i);
        while (let < lets && nmk_design_let(b->design, let)->span.line < piece->span.line)
            build_let(b, let++);
        if (piece->kind == NMK_PIECE_PANELS)
            build_panels(b, i);
        else if (piece->kind == NMK_PIECE_MAT)
            build_mat(b, i);
        b->built = i + 1;
    }
    while (let < lets)
        build_let(b, let++);
}

static void free_all(struct nmk_multiple *all, size_t count)
{
    for (size_t i = 0; i < count; i++)
        nmk_affine_clear(&all[i].form);
    nmk_memory_free(all);
}

void nmk_multiples_new(struct nmk_multiples **out, const struct nmk_draft *draft)
{
    struct builder b = {.draft = draft, .design = nmk_draft_design(draft)};
    struct nmk_multiples *multiples = nmk_memory_new(1, sizeof *multiples);
    size_t lets = nmk_design_let_count(b.design), pieces = nmk_design_piece_count(b.design);
    multiples->count = nmk_design_length_count(b.design);
    multiples->lengths = b.lengths = nmk_memory_new(multiples->count, sizeof *b.lengths);
    b.lets = nmk_memory_new(lets, sizeof *b.lets);
    b.wholes = nmk_memory_new(pieces, sizeof *b.wholes);
    build_all(&b);
    free_all(b.lets, lets);
    for (size_t i = 0; i < pieces; i++) {
        nmk_affine_clear(&b.wholes[i][NMK_ACROSS].form);
        nmk_affine_clear(&b.wholes[i][NMK_DOWN].form);
    }
    nmk_memory_free(b.wholes);
    *out = multiples;
}

void nmk_multiples_free(struct nmk_multiples *multiples)
{
    if (!multiples)
        return;
    free_all(multiples->lengths, multiples->count);
    nmk_memory_free(multiples);
}

/* For a denominator q the nearest fraction is floor(value q + 1/2) / q, or the one below at a tie. Some q below
 * 1 / (2 within) + 1 serves. */
void nmk_multiples_fraction(struct nmk_rat *out, const struct nmk_rat *value, const struct nmk_rat *within)
{
    struct nmk_rat q = {0}, one = {0}, half = {0}, p = {0}, off = {0};
    nmk_rat_set_int(&one, 1);
    nmk_rat_set_frac(&half, 1, 2);
    for (;;) {
        nmk_rat_add(&q, &q, &one);
        nmk_rat_mul(&p, value, &q);
        nmk_rat_sub(&p, &p, &half);
        nmk_rat_ceil(&p, &p);
        nmk_rat_div(&p, &p, &q);
        nmk_rat_sub(&off, &p, value);
        nmk_rat_abs(&off, &off);
        if (nmk_rat_cmp(&off, within) < 0)
            break;
    }
    nmk_rat_swap(out, &p);
    nmk_rat_clear(&q);
    nmk_rat_clear(&one);
    nmk_rat_clear(&half);
    nmk_rat_clear(&p);
    nmk_rat_clear(&off);
}
