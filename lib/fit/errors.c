#include "fit/errors.h"

#include <assert.h>

#include "base/memory.h"

/* The errors of a form are themselves a form, over the names of independent errors. */
enum { LINE_BITS = 20 };

static uint64_t error_name(enum nmk_error_kind kind, size_t subject, bool other, size_t way, size_t line)
{
    assert(subject < (size_t)1 << 30 && line < (size_t)1 << LINE_BITS);
    return (uint64_t)kind << 60 | (uint64_t)subject << 24 | (uint64_t)other << 23 | (uint64_t)way << 22 | (uint64_t)line;
}

static const struct nmk_pick *pick_of(const struct nmk_pick *picks, size_t count, size_t piece, size_t panel)
{
    for (size_t i = 0; i < count; i++)
        if (picks[i].piece == piece && picks[i].panel == panel)
            return &picks[i];
    assert(false); /* every panel has a stretch */
    return picks;
}

/* errors += times * the place of a line: (1). */
static void add_line(struct nmk_affine *errors, const struct nmk_sizes *s, size_t piece, bool other, size_t way, size_t line,
                     const struct nmk_rat *times)
{
    size_t last = nmk_draft_line_count(s->draft, piece, (enum nmk_way)way) - 1;
    if (line == 0)
        return;
    nmk_affine_add_term(errors, error_name(NMK_ERROR_LINE, piece, other, way, line), times);
    if (line < last && nmk_draft_from_last(s->draft, piece, (enum nmk_way)way, line))
        nmk_affine_add_term(errors, error_name(NMK_ERROR_LINE, piece, other, way, last), times);
}

static void add_stretch(struct nmk_affine *errors, const struct nmk_sizes *s, size_t piece, bool other, size_t way,
                        size_t stretch, const struct nmk_rat *times)
{
    const size_t *lines = nmk_design_piece(nmk_draft_design(s->draft), piece)->lists[way].stretches[stretch].lines;
    struct nmk_rat minus = {0};
    nmk_rat_neg(&minus, times);
    add_line(errors, s, piece, other, way, lines[1], times);
    add_line(errors, s, piece, other, way, lines[0], &minus);
    nmk_rat_clear(&minus);
}

static void add_total(struct nmk_affine *errors, const struct nmk_sizes *s, size_t piece_index, size_t panel,
                      const struct nmk_rat *times)
{
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(s->draft), piece_index);
    for (size_t way = NMK_ACROSS; way <= NMK_DOWN; way++)
        for (size_t i = 0; i < piece->lists[way].count; i++) {
            if (piece->lists[way].stretches[i].panel != panel)
                continue;
            add_stretch(errors, s, piece_index, false, way, i, times);
            if (piece->copies > 1)
                add_stretch(errors, s, piece_index, true, way, i, times);
        }
}

static void add_atom(struct nmk_affine *errors, const struct nmk_atom *a, const struct nmk_rat *times,
                     const struct nmk_pick *picks, size_t pick_count, const struct nmk_sizes *s)
{
    const struct nmk_pick *pick;
    switch (a->kind) {
    case NMK_ATOM_PANEL:
        pick = pick_of(picks, pick_count, a->subject, a->part);
        add_stretch(errors, s, a->subject, false, pick->way, pick->stretch, times);
        break;
    case NMK_ATOM_WHOLE:
        add_line(errors, s, a->subject, false, a->part, nmk_draft_line_count(s->draft, a->subject, (enum nmk_way)a->part) - 1,
                 times);
        break;
    case NMK_ATOM_TOTAL: add_total(errors, s, a->subject, a->part, times); break;
    case NMK_ATOM_MEASURE: nmk_affine_add_term(errors, error_name(NMK_ERROR_MEASURE, a->subject, false, 0, 0), times); break;
    case NMK_ATOM_STOCK: nmk_affine_add_term(errors, error_name(NMK_ERROR_STOCK, a->subject, false, 0, 0), times); break;
    case NMK_ATOM_PLACE: nmk_affine_add_term(errors, error_name(NMK_ERROR_PLACE, a->subject, false, a->part, 0), times); break;
    case NMK_ATOM_PRODUCT: nmk_affine_add_term(errors, error_name(NMK_ERROR_PRODUCT, a->subject, false, 0, 0), times); break;
    case NMK_ATOM_LENGTH:
    case NMK_ATOM_CHOICE: break; /* no errors */
    }
}

/* ---- nominal ---- */

static void add_stretch_size(struct nmk_rat *sum, const struct nmk_sizes *s, size_t piece, size_t way, size_t stretch,
                             const struct nmk_rat *times)
{
    struct nmk_rat size = {0};
    nmk_sizes_stretch(&size, s, piece, way, stretch);
    nmk_rat_addmul(sum, &size, times);
    nmk_rat_clear(&size);
}

static void add_total_size(struct nmk_rat *sum, const struct nmk_sizes *s, size_t piece_index, size_t panel,
                           const struct nmk_rat *times)
{
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(s->draft), piece_index);
    struct nmk_rat copies = {0};
    nmk_rat_set_int(&copies, (int64_t)piece->copies);
    nmk_rat_mul(&copies, &copies, times);
    for (size_t way = NMK_ACROSS; way <= NMK_DOWN; way++)
        for (size_t i = 0; i < piece->lists[way].count; i++)
            if (piece->lists[way].stretches[i].panel == panel)
                add_stretch_size(sum, s, piece_index, way, i, &copies);
    nmk_rat_clear(&copies);
}

static void add_size(struct nmk_rat *sum, const struct nmk_atom *a, const struct nmk_rat *times, const struct nmk_pick *picks,
                     size_t pick_count, const struct nmk_sizes *s)
{
    const struct nmk_design *design = nmk_draft_design(s->draft);
    struct nmk_rat size = {0};
    const struct nmk_pick *pick;
    switch (a->kind) {
    case NMK_ATOM_PANEL:
        pick = pick_of(picks, pick_count, a->subject, a->part);
        add_stretch_size(sum, s, a->subject, pick->way, pick->stretch, times);
        return;
    case NMK_ATOM_WHOLE:
        nmk_sizes_line(&size, s, a->subject, a->part, nmk_draft_line_count(s->draft, a->subject, (enum nmk_way)a->part) - 1);
        break;
    case NMK_ATOM_TOTAL: add_total_size(sum, s, a->subject, a->part, times); return;
    case NMK_ATOM_LENGTH: nmk_sizes_length(&size, s, a->subject); break;
    case NMK_ATOM_CHOICE: nmk_sizes_choice(&size, s, a->subject, a->part); break;
    case NMK_ATOM_MEASURE: nmk_rat_set(&size, &nmk_design_measure(design, a->subject)->size); break;
    case NMK_ATOM_STOCK: nmk_rat_set(&size, &nmk_design_stock(design, a->subject)->thickness); break;
    case NMK_ATOM_PLACE:
    case NMK_ATOM_PRODUCT: return; /* errors only */
    }
    nmk_rat_addmul(sum, &size, times);
    nmk_rat_clear(&size);
}

void nmk_errors_nominal(struct nmk_rat *out, const struct nmk_affine *form, const struct nmk_pick *picks, size_t pick_count,
                        const struct nmk_sizes *sizes)
{
    struct nmk_rat sum = {0};
    nmk_rat_set(&sum, &form->constant);
    for (size_t i = 0; i < form->count; i++) {
        struct nmk_atom a = nmk_atom_of(form->terms[i].name);
        add_size(&sum, &a, &form->terms[i].times, picks, pick_count, sizes);
    }
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&sum);
}

/* ---- widths ---- */

struct own { /* the own widths of the products so far */
    const struct nmk_sizes *sizes;
    struct nmk_rat *products;
};

/* The +- of one error before it is multiplied; zero where there is none. */
static void own_width(struct nmk_rat *out, const struct own *own, const struct nmk_error *e)
{
    const struct nmk_design *design = nmk_draft_design(own->sizes->draft);
    const struct nmk_edition *edition = nmk_draft_edition(own->sizes->draft);
    switch (e->kind) {
    case NMK_ERROR_LINE: nmk_rat_set(out, &edition->cut); break;
    case NMK_ERROR_MEASURE:
        nmk_rat_set(out, own->sizes->offs ? &own->sizes->offs[e->subject] : &nmk_design_measure(design, e->subject)->off);
        break;
    case NMK_ERROR_STOCK: nmk_rat_set(out, &nmk_design_stock(design, e->subject)->off); break;
    case NMK_ERROR_PLACE: nmk_rat_set(out, &edition->place); break;
    case NMK_ERROR_PRODUCT: nmk_rat_set(out, &own->products[e->subject]); break;
    }
}

static struct nmk_error error_of(uint64_t name, const struct nmk_draft *draft)
{
    struct nmk_error e = {
        .kind = (enum nmk_error_kind)(name >> 60),
        .subject = (size_t)(name >> 24) & (((size_t)1 << 30) - 1),
        .other_copies = name >> 23 & 1,
        .way = (enum nmk_way)(name >> 22 & 1),
        .line = (size_t)(name & (((uint64_t)1 << LINE_BITS) - 1)),
        .times_alike = 1,
    };
    if (e.other_copies)
        e.times_alike = nmk_design_piece(nmk_draft_design(draft), e.subject)->copies - 1;
    return e;
}

static void list_errors(struct nmk_errors *out, const struct nmk_affine *form, const struct nmk_pick *picks, size_t pick_count,
                        const struct own *own)
{
    struct nmk_affine errors = {0};
    for (size_t i = 0; i < form->count; i++) {
        struct nmk_atom a = nmk_atom_of(form->terms[i].name);
        add_atom(&errors, &a, &form->terms[i].times, picks, pick_count, own->sizes);
    }
    out->all = nmk_memory_new(errors.count, sizeof *out->all);
    out->count = 0;
    for (size_t i = 0; i < errors.count; i++) {
        struct nmk_error *e = &out->all[out->count];
        *e = error_of(errors.terms[i].name, own->sizes->draft);
        own_width(&e->width, own, e);
        nmk_rat_mul(&e->width, &e->width, &errors.terms[i].times);
        nmk_rat_abs(&e->width, &e->width);
        if (nmk_rat_is_zero(&e->width))
            continue;
        nmk_rat_set(&e->times, &errors.terms[i].times);
        out->count++;
    }
    nmk_affine_clear(&errors);
}

void nmk_errors_reach(struct nmk_rat *out, const struct nmk_errors *errors)
{
    struct nmk_rat sum = {0}, alike = {0};
    for (size_t i = 0; i < errors->count; i++) {
        nmk_rat_set_int(&alike, (int64_t)errors->all[i].times_alike);
        nmk_rat_addmul(&sum, &errors->all[i].width, &alike);
    }
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&alike);
}

/* The own width of a product: half the width of its constant times the largest size of its form, over all errors. */
static void product_width(struct nmk_rat *out, const struct nmk_product *p, const struct nmk_pick *picks, size_t pick_count,
                          const struct own *own)
{
    struct nmk_errors inner;
    struct nmk_rat reach = {0};
    list_errors(&inner, &p->inner, picks, pick_count, own);
    nmk_errors_reach(&reach, &inner);
    nmk_errors_nominal(out, &p->inner, picks, pick_count, own->sizes);
    nmk_rat_abs(out, out);
    nmk_rat_add(out, out, &reach);
    nmk_rat_mul(out, out, &p->half_width);
    nmk_errors_free(&inner);
    nmk_rat_clear(&reach);
}

void nmk_errors_new(struct nmk_errors *out, const struct nmk_clearance *clearance, const struct nmk_pick *picks,
                    size_t pick_count, const struct nmk_sizes *sizes)
{
    struct own own = {.sizes = sizes};
    own.products = nmk_memory_new(clearance->product_count, sizeof *own.products);
    for (size_t i = 0; i < clearance->product_count; i++)
        product_width(&own.products[i], &clearance->products[i], picks, pick_count, &own);
    list_errors(out, &clearance->form, picks, pick_count, &own);
    for (size_t i = 0; i < clearance->product_count; i++)
        nmk_rat_clear(&own.products[i]);
    nmk_memory_free(own.products);
}

void nmk_errors_free(struct nmk_errors *errors)
{
    for (size_t i = 0; i < errors->count; i++) {
        nmk_rat_clear(&errors->all[i].times);
        nmk_rat_clear(&errors->all[i].width);
    }
    nmk_memory_free(errors->all);
    *errors = (struct nmk_errors){0};
}
