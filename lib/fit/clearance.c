#include "fit/clearance.h"

#include <assert.h>

#include "base/diagnose.h"
#include "base/memory.h"
#include "nearmark/enclosure.h"

/* A part of a formula: a constant, perhaps enclosed, or a form. */
struct part {
    bool is_form;
    struct nmk_enclosure constant;
    struct nmk_affine form;
};

struct compiler {
    const struct nmk_draft *draft;
    const struct nmk_design *design;
    struct nmk_diagnostics *list;
    struct let *lets;
    struct nmk_clearance *clearance; /* the one that is being made; takes the products */
};

/* What a let stands for, with products of its own: each place where it is named takes a copy of them. */
struct let {
    struct part part;
    struct nmk_clearance holder;
    enum nmk_status status;
    const struct nmk_formula *blame;
};

enum { MOST_PRODUCTS = 1000 };

uint64_t nmk_atom_name(enum nmk_atom_kind kind, size_t subject, size_t part)
{
    assert(subject < (size_t)1 << 30 && part < (size_t)1 << 30);
    return (uint64_t)kind << 60 | (uint64_t)subject << 30 | (uint64_t)part;
}

struct nmk_atom nmk_atom_of(uint64_t name)
{
    size_t mask = ((size_t)1 << 30) - 1;
    return (struct nmk_atom){(enum nmk_atom_kind)(name >> 60), (size_t)(name >> 30) & mask, (size_t)name & mask};
}

static void part_clear(struct part *p)
{
    nmk_enclosure_clear(&p->constant);
    nmk_affine_clear(&p->form);
    p->is_form = false;
}

static void set_atom(struct part *out, enum nmk_atom_kind kind, size_t subject, size_t sub)
{
    struct nmk_rat one = {0};
    nmk_rat_set_int(&one, 1);
    nmk_affine_clear(&out->form);
    nmk_affine_add_term(&out->form, nmk_atom_name(kind, subject, sub), &one);
    out->is_form = true;
    nmk_rat_clear(&one);
}

/* ---- constants and forms ---- */

/* The half width of k as a new product with f: see (2). */
static void add_product(struct compiler *c, struct nmk_affine *sum, const struct nmk_rat *half_width,
                        const struct nmk_affine *f)
{
    struct nmk_clearance *to = c->clearance;
    struct nmk_rat one = {0};
    void *products = to->products;
    nmk_memory_reserve(&products, &to->product_space, to->product_count + 1, sizeof *to->products);
    to->products = products;
    nmk_rat_set(&to->products[to->product_count].half_width, half_width);
    nmk_affine_set(&to->products[to->product_count].inner, f);
    nmk_rat_set_int(&one, 1);
    nmk_affine_add_term(sum, nmk_atom_name(NMK_ATOM_PRODUCT, to->product_count, 0), &one);
    to->product_count++;
    to->enclosed = true;
    nmk_rat_clear(&one);
}

/* form = k * f. */
static void scale_form(struct compiler *c, struct nmk_affine *form, const struct nmk_enclosure *k, const struct nmk_affine *f)
{
    struct nmk_rat mid = {0}, half = {0};
    struct nmk_affine scaled = {0};
    nmk_enclosure_mid(&mid, k);
    nmk_affine_scale(&scaled, f, &mid);
    if (!nmk_enclosure_is_exact(k)) {
        nmk_enclosure_half_width(&half, k);
        add_product(c, &scaled, &half, f);
    }
    nmk_affine_swap(form, &scaled);
    nmk_affine_clear(&scaled);
    nmk_rat_clear(&mid);
    nmk_rat_clear(&half);
}

/* Makes a form of a constant: itself times the form 1. */
static void make_form(struct compiler *c, struct part *p)
{
    struct nmk_affine one = {0};
    struct nmk_rat unit = {0};
    if (p->is_form)
        return;
    nmk_rat_set_int(&unit, 1);
    nmk_affine_set_rat(&one, &unit);
    scale_form(c, &p->form, &p->constant, &one);
    p->is_form = true;
    nmk_affine_clear(&one);
    nmk_rat_clear(&unit);
}

/* Is the form made of measures and thicknesses without +- alone? Then p becomes their constant. */
static bool make_plain(struct compiler *c, struct part *p)
{
    if (!p->is_form)
        return true;
    bool ranges = false, measures = false;
    for (size_t i = 0; i < p->form.count; i++) {
        struct nmk_atom a = nmk_atom_of(p->form.terms[i].name);
        const struct nmk_measure *m = a.kind == NMK_ATOM_MEASURE ? nmk_design_measure(c->design, a.subject) : NULL;
        const struct nmk_stock *s = a.kind == NMK_ATOM_STOCK ? nmk_design_stock(c->design, a.subject) : NULL;
        if (!(m && nmk_rat_is_zero(&m->off)) && !(s && nmk_rat_is_zero(&s->off)))
            return false;
        ranges |= m && m->has_range;
        measures |= m != NULL;
    }
    struct nmk_rat sum = {0};
    nmk_rat_set(&sum, &p->form.constant);
    for (size_t i = 0; i < p->form.count; i++) {
        struct nmk_atom a = nmk_atom_of(p->form.terms[i].name);
        nmk_rat_addmul(&sum, &p->form.terms[i].times,
                       a.kind == NMK_ATOM_MEASURE ? &nmk_design_measure(c->design, a.subject)->size
                                                  : &nmk_design_stock(c->design, a.subject)->thickness);
    }
    nmk_enclosure_set_rat(&p->constant, &sum);
    nmk_affine_clear(&p->form);
    nmk_rat_clear(&sum);
    p->is_form = false;
    c->clearance->fixes |= measures;
    c->clearance->fixes_range |= ranges;
    return true;
}

/* ---- formulas ---- */

static enum nmk_status compile(struct part *out, struct compiler *c, const struct nmk_formula *f,
                               const struct nmk_formula **blame);

static void add_parts(struct part *out, struct compiler *c, struct part *right, bool minus)
{
    if (!out->is_form && !right->is_form) {
        (minus ? nmk_enclosure_sub : nmk_enclosure_add)(&out->constant, &out->constant, &right->constant);
        return;
    }
    make_form(c, out);
    make_form(c, right);
    (minus ? nmk_affine_sub : nmk_affine_add)(&out->form, &out->form, &right->form);
}

/* One side of a product must be plain: the reader made sure. */
static enum nmk_status multiply_parts(struct part *out, struct compiler *c, struct part *right)
{
    if (out->is_form && right->is_form && !make_plain(c, right) && !make_plain(c, out))
        return NMK_INVALID;
    if (!out->is_form && !right->is_form) {
        nmk_enclosure_mul(&out->constant, &out->constant, &right->constant);
        return NMK_OK;
    }
    struct part *k = out->is_form ? right : out, *f = out->is_form ? out : right;
    scale_form(c, &out->form, &k->constant, &f->form);
    out->is_form = true;
    return NMK_OK;
}

static enum nmk_status divide_parts(struct part *out, struct compiler *c, struct part *right)
{
    struct nmk_enclosure one = {0}, inverse = {0};
    struct nmk_rat unit = {0};
    if (!make_plain(c, right))
        return NMK_INVALID;
    nmk_rat_set_int(&unit, 1);
    nmk_enclosure_set_rat(&one, &unit);
    enum nmk_status status = nmk_enclosure_div(&inverse, &one, &right->constant);
    if (status == NMK_OK && out->is_form)
        scale_form(c, &out->form, &inverse, &out->form);
    else if (status == NMK_OK)
        status = nmk_enclosure_div(&out->constant, &out->constant, &right->constant);
    nmk_enclosure_clear(&one);
    nmk_enclosure_clear(&inverse);
    nmk_rat_clear(&unit);
    return status;
}

static enum nmk_status compile_pair(struct part *out, struct compiler *c, const struct nmk_formula *f,
                                    const struct nmk_formula **blame)
{
    struct part right = {0};
    enum nmk_status status = compile(out, c, f->left, blame);
    if (status == NMK_OK)
        status = compile(&right, c, f->right, blame);
    if (status != NMK_OK)
        goto out;
    *blame = f->right;
    switch (f->kind) {
    case NMK_F_ADD: add_parts(out, c, &right, false); break;
    case NMK_F_SUB: add_parts(out, c, &right, true); break;
    case NMK_F_MUL: status = multiply_parts(out, c, &right); break;
    case NMK_F_DIV: status = divide_parts(out, c, &right); break;
    default: /* min, max */
        if (!make_plain(c, out) || !make_plain(c, &right))
            status = NMK_INVALID;
        else
            (f->kind == NMK_F_MIN ? nmk_enclosure_min : nmk_enclosure_max)(&out->constant, &out->constant, &right.constant);
    }
out:
    part_clear(&right);
    return status;
}

static enum nmk_status compile_one(struct part *out, struct compiler *c, const struct nmk_formula *f,
                                   const struct nmk_formula **blame)
{
    enum nmk_status status = compile(out, c, f->left, blame);
    if (status != NMK_OK)
        return status;
    *blame = f->left;
    if (f->kind == NMK_F_NEG) {
        struct nmk_rat minus = {0};
        nmk_rat_set_int(&minus, -1);
        if (out->is_form)
            nmk_affine_scale(&out->form, &out->form, &minus);
        else
            nmk_enclosure_neg(&out->constant, &out->constant);
        return NMK_OK;
    }
    if (!make_plain(c, out))
        return NMK_INVALID;
    if (f->kind == NMK_F_SQRT)
        return nmk_enclosure_sqrt(&out->constant, &out->constant);
    nmk_enclosure_abs(&out->constant, &out->constant);
    return NMK_OK;
}

/* Products are the last names of a form, so that moving their numbers keeps it sorted. */
static void move_products(struct nmk_affine *f, size_t by)
{
    for (size_t i = f->count; i > 0 && nmk_atom_of(f->terms[i - 1].name).kind == NMK_ATOM_PRODUCT; i--)
        f->terms[i - 1].name = nmk_atom_name(NMK_ATOM_PRODUCT, nmk_atom_of(f->terms[i - 1].name).subject + by, 0);
}

/* A let stands as if in parentheses: each place has products of its own. */
static enum nmk_status copy_products(struct compiler *c, struct part *out, const struct nmk_clearance *from)
{
    struct nmk_clearance *to = c->clearance;
    size_t before = to->product_count;
    if (before + from->product_count > MOST_PRODUCTS)
        return NMK_TOO_LARGE;
    void *products = to->products;
    nmk_memory_reserve(&products, &to->product_space, before + from->product_count, sizeof *to->products);
    to->products = products;
    for (size_t i = 0; i < from->product_count; i++) {
        struct nmk_product *p = &to->products[to->product_count++];
        nmk_rat_set(&p->half_width, &from->products[i].half_width);
        nmk_affine_set(&p->inner, &from->products[i].inner);
        move_products(&p->inner, before);
    }
    move_products(&out->form, before);
    to->enclosed |= from->enclosed;
    to->fixes |= from->fixes;
    to->fixes_range |= from->fixes_range;
    return NMK_OK;
}

static enum nmk_status compile_let(struct part *out, struct compiler *c, const struct nmk_formula *f,
                                   const struct nmk_formula **blame)
{
    size_t length = nmk_design_let(c->design, f->subject)->length;
    const struct let *let = &c->lets[f->subject];
    if (length != NMK_NONE) {
        set_atom(out, NMK_ATOM_LENGTH, length, 0);
        return NMK_OK;
    }
    if (let->status != NMK_OK) {
        *blame = let->blame;
        return let->status;
    }
    out->is_form = let->part.is_form;
    nmk_enclosure_set(&out->constant, &let->part.constant);
    nmk_affine_set(&out->form, &let->part.form);
    *blame = f;
    return copy_products(c, out, &let->holder);
}

static void compile_whole(struct part *out, struct compiler *c, const struct nmk_formula *f)
{
    const struct nmk_piece *piece = nmk_design_piece(c->design, f->subject);
    if (piece->kind == NMK_PIECE_PUNCHED)
        set_atom(out, NMK_ATOM_CHOICE, piece->length, f->part);
    else
        set_atom(out, NMK_ATOM_WHOLE, f->subject, f->part);
}

static void compile_outside(struct part *out, struct compiler *c, const struct nmk_formula *f)
{
    const struct nmk_piece *piece = nmk_design_piece(c->design, f->subject);
    struct nmk_rat folds = {0};
    nmk_rat_set_int(&folds, (int64_t)nmk_piece_folds(piece, f->part));
    set_atom(out, NMK_ATOM_PANEL, f->subject, f->part);
    if (!nmk_rat_is_zero(&folds))
        nmk_affine_add_term(&out->form, nmk_atom_name(NMK_ATOM_STOCK, piece->stock, 0), &folds);
    nmk_rat_clear(&folds);
}

static enum nmk_status compile(struct part *out, struct compiler *c, const struct nmk_formula *f,
                               const struct nmk_formula **blame)
{
    switch (f->kind) {
    case NMK_F_NUMBER:
    case NMK_F_LENGTH: nmk_enclosure_set_rat(&out->constant, nmk_draft_twin(c->draft, &f->value)); break;
    case NMK_F_PI: nmk_enclosure_pi(&out->constant); break;
    case NMK_F_NEG:
    case NMK_F_ABS:
    case NMK_F_SQRT: return compile_one(out, c, f, blame);
    case NMK_F_MEASURE: set_atom(out, NMK_ATOM_MEASURE, f->subject, 0); break;
    case NMK_F_STOCK: set_atom(out, NMK_ATOM_STOCK, f->subject, 0); break;
    case NMK_F_LET: return compile_let(out, c, f, blame);
    case NMK_F_PANEL: set_atom(out, NMK_ATOM_PANEL, f->subject, f->part); break;
    case NMK_F_SMALLER:
        set_atom(out, NMK_ATOM_LENGTH, nmk_design_piece(c->design, f->subject)->smaller_length, 0);
        break;
    case NMK_F_WHOLE: compile_whole(out, c, f); break;
    case NMK_F_OPENING: set_atom(out, NMK_ATOM_CHOICE, nmk_design_opening(c->design, f->subject)->length, f->part); break;
    case NMK_F_TOTAL: set_atom(out, NMK_ATOM_TOTAL, f->subject, f->part); break;
    case NMK_F_OUTSIDE: compile_outside(out, c, f); break;
    default: return compile_pair(out, c, f, blame);
    }
    return NMK_OK;
}

/* ---- lets and demands ---- */

/* In file order, so that a chain of lets is never followed by recursion. One that is not affine fails quietly: only a
 * demand that names it has to say so. */
static void compile_lets(struct compiler *c, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        struct let *let = &c->lets[i];
        const struct nmk_formula *formula = nmk_design_let(c->design, i)->formula;
        c->clearance = &let->holder;
        let->blame = formula;
        let->status = compile(&let->part, c, formula, &let->blame);
    }
}

static enum nmk_status report(struct compiler *c, enum nmk_status status, const struct nmk_formula *blame)
{
    switch (status) {
    case NMK_OK: break;
    case NMK_DIVISION_BY_ZERO:
        nmk_diagnostics_say(c->list, false, "division-by-zero", blame->span, "divide by something that is not 0",
                            "this is 0, and nothing can be divided by 0");
        break;
    case NMK_NEGATIVE_ROOT:
        nmk_diagnostics_say(c->list, false, "negative-root", blame->span, "change what stands in sqrt(...)",
                            "this is below 0, and only sizes from 0 up have a root");
        break;
    case NMK_TOO_LARGE:
        nmk_diagnostics_say(c->list, false, "too-large", blame->span, "give a let fewer constants such as pi or sqrt(2)",
                            "this demand holds more than %d products with pi or a root", MOST_PRODUCTS);
        return NMK_TOO_LARGE;
    default:
        nmk_diagnostics_say(c->list, false, "not-affine", blame->span,
                            "a demand may add sizes and multiply them by plain numbers; multiply, divide and take roots "
                            "of plain numbers only",
                            "a demand cannot hold this");
    }
    return status == NMK_OK ? NMK_OK : NMK_INVALID;
}

/* sum += times * formula. */
static enum nmk_status add_side(struct compiler *c, struct nmk_affine *sum, const struct nmk_formula *formula, int64_t num,
                                int64_t den)
{
    struct part part = {0};
    struct nmk_rat times = {0};
    const struct nmk_formula *blame = formula;
    enum nmk_status status = compile(&part, c, formula, &blame);
    if (status == NMK_OK) {
        nmk_rat_set_frac(&times, num, den);
        make_form(c, &part);
        nmk_affine_scale(&part.form, &part.form, &times);
        nmk_affine_add(sum, sum, &part.form);
    }
    part_clear(&part);
    nmk_rat_clear(&times);
    return report(c, status, blame);
}

static enum nmk_status compile_demand(struct compiler *c, struct nmk_clearance *out, const struct nmk_demand *demand)
{
    bool strip = demand->kind == NMK_BORDER || demand->kind == NMK_EVEN;
    int64_t den = strip ? 2 : 1;
    c->clearance = out;
    out->low = demand->bounds.has_low ? nmk_draft_twin(c->draft, &demand->bounds.low) : NULL;
    out->high = demand->bounds.has_high ? nmk_draft_twin(c->draft, &demand->bounds.high) : NULL;
    enum nmk_status status = add_side(c, &out->form, demand->outer, 1, den);
    if (status == NMK_OK)
        status = add_side(c, &out->form, demand->inner, -1, den);
    if (status == NMK_OK && demand->kind == NMK_EVEN) {
        status = add_side(c, &out->form, demand->outer2, -1, den);
        if (status == NMK_OK)
            status = add_side(c, &out->form, demand->inner2, 1, den);
    }
    if (demand->kind == NMK_BORDER) {
        struct nmk_rat one = {0};
        nmk_rat_set_int(&one, 1);
        nmk_affine_add_term(&out->form, nmk_atom_name(NMK_ATOM_PLACE, demand->statement, demand->way), &one);
        nmk_rat_clear(&one);
    }
    return status;
}

static void free_holder(struct nmk_clearance *clearance)
{
    for (size_t i = 0; i < clearance->product_count; i++) {
        nmk_rat_clear(&clearance->products[i].half_width);
        nmk_affine_clear(&clearance->products[i].inner);
    }
    nmk_memory_free(clearance->products);
    nmk_affine_clear(&clearance->form);
}

static void free_lets(struct let *lets, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        part_clear(&lets[i].part);
        free_holder(&lets[i].holder);
    }
    nmk_memory_free(lets);
}

enum nmk_status nmk_clearances_new(struct nmk_clearances **out, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct compiler c = {.draft = draft, .design = nmk_draft_design(draft), .list = list};
    size_t lets = nmk_design_let_count(c.design);
    struct nmk_clearances *all = nmk_memory_new(1, sizeof *all);
    enum nmk_status status = NMK_OK;
    all->draft = draft;
    all->count = nmk_design_demand_count(c.design);
    all->all = nmk_memory_new(all->count, sizeof *all->all);
    c.lets = nmk_memory_new(lets, sizeof *c.lets);
    compile_lets(&c, lets);
    for (size_t i = 0; i < all->count; i++) {
        enum nmk_status one = compile_demand(&c, &all->all[i], nmk_design_demand(c.design, i));
        status = status == NMK_OK ? one : status;
    }
    free_lets(c.lets, lets);
    if (status == NMK_OK)
        *out = all;
    else
        nmk_clearances_free(all);
    return status;
}

void nmk_clearances_free(struct nmk_clearances *clearances)
{
    if (!clearances)
        return;
    for (size_t i = 0; i < clearances->count; i++)
        free_holder(&clearances->all[i]);
    nmk_memory_free(clearances->all);
    nmk_memory_free(clearances);
}
