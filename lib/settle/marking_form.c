#include "base/memory.h"
#include "settle/marking_model.h"
#include "settle/row_forms.h"

static uint64_t choice_name(size_t length, size_t way)
{
    return (uint64_t)length | (uint64_t)(1 + way) << 32;
}

static void add_marks(struct nmk_affine *form, const struct nmk_marking *m, size_t length, const struct nmk_rat *times)
{
    struct nmk_rat mm = {0};
    nmk_rat_mul(&mm, times, nmk_draft_step(m->plan.draft));
    nmk_affine_add_term(form, length, &mm);
    nmk_rat_clear(&mm);
}

static void add_scaled(struct nmk_affine *form, const struct nmk_affine *more, const struct nmk_rat *times)
{
    struct nmk_affine scaled = {0};
    nmk_affine_scale(&scaled, more, times);
    nmk_affine_add(form, form, &scaled);
    nmk_affine_clear(&scaled);
}

static void add_atom(struct nmk_affine *form, const struct nmk_marking *m, const struct nmk_atom *a,
                     const struct nmk_rat *times)
{
    struct nmk_rat size = {0};
    const struct nmk_piece *piece;
    switch (a->kind) {
    case NMK_ATOM_PANEL: add_marks(form, m, nmk_design_piece(m->design, a->subject)->panels[a->part].length, times); break;
    case NMK_ATOM_TOTAL:
        piece = nmk_design_piece(m->design, a->subject);
        nmk_rat_set_int(&size, (int64_t)(piece->copies * nmk_piece_stretches(piece, a->part)));
        nmk_rat_mul(&size, &size, times);
        add_marks(form, m, piece->panels[a->part].length, &size);
        break;
    case NMK_ATOM_WHOLE: add_scaled(form, &m->wholes[a->subject][a->part], times); break;
    case NMK_ATOM_LENGTH: add_marks(form, m, a->subject, times); break;
    case NMK_ATOM_CHOICE: nmk_affine_add_term(form, choice_name(a->subject, a->part), times); break;
    case NMK_ATOM_MEASURE:
    case NMK_ATOM_STOCK:
        nmk_rat_mul(&size, times, a->kind == NMK_ATOM_MEASURE ? &nmk_design_measure(m->design, a->subject)->size
                                                              : &nmk_design_stock(m->design, a->subject)->thickness);
        nmk_affine_add_rat(form, &size);
        break;
    case NMK_ATOM_PLACE:
    case NMK_ATOM_PRODUCT: break;
    }
    nmk_rat_clear(&size);
}

void nmk_marking_form(struct nmk_affine *out, const struct nmk_marking *marking, size_t demand)
{
    const struct nmk_affine *atoms = &marking->plan.clearances->all[demand].form;
    struct nmk_affine form = {0};
    nmk_affine_set_rat(&form, &atoms->constant);
    for (size_t i = 0; i < atoms->count; i++) {
        struct nmk_atom a = nmk_atom_of(atoms->terms[i].name);
        add_atom(&form, marking, &a, &atoms->terms[i].times);
    }
    nmk_affine_swap(out, &form);
    nmk_affine_clear(&form);
}

/* What a mat lies on: a panel or a whole size of an earlier piece. */
static void on_form(struct nmk_affine *out, const struct nmk_marking *m, const struct nmk_formula *on,
                    const struct nmk_rat *one)
{
    if (on->kind == NMK_F_PANEL)
        add_marks(out, m, nmk_design_piece(m->design, on->subject)->panels[on->part].length, one);
    else
        nmk_affine_add(out, out, &m->wholes[on->subject][on->part]);
}

void nmk_marking_add_in_mm(struct nmk_affine *form, const struct nmk_marking *m, struct nmk_affine *sum)
{
    add_scaled(form, sum, nmk_draft_step(m->plan.draft));
    nmk_affine_clear(sum);
}

static void add_whole(struct nmk_affine *form, const struct nmk_marking *m, const struct nmk_piece *piece, int way)
{
    struct nmk_affine sum = {0};
    nmk_row_add_whole(&sum, piece, way);
    nmk_marking_add_in_mm(form, m, &sum);
}

void nmk_marking_make_wholes(struct nmk_marking *m)
{
    struct nmk_rat one = {0}, minus = {0};
    nmk_rat_set_int(&one, 1);
    nmk_rat_set_int(&minus, -1);
    m->wholes = nmk_memory_new(nmk_design_piece_count(m->design), sizeof *m->wholes);
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
            struct nmk_affine *whole = &m->wholes[i][way];
            if (piece->kind == NMK_PIECE_PANELS)
                add_whole(whole, m, piece, way);
            if (piece->kind == NMK_PIECE_MAT) {
                on_form(whole, m, way == NMK_ACROSS ? piece->on.across : piece->on.down, &one);
                add_marks(whole, m, piece->smaller_length, &minus);
            }
        }
    }
    nmk_rat_clear(&one);
    nmk_rat_clear(&minus);
}

const struct nmk_affine *nmk_marking_whole(const struct nmk_marking *marking, size_t piece, enum nmk_way way)
{
    return &marking->wholes[piece][way];
}
