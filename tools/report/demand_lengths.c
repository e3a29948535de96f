#include "report/demand_lengths.h"

static void mark_formula(bool *in, const struct nmk_design *design, const struct nmk_formula *f);

static void mark_panel(bool *in, const struct nmk_design *design, size_t piece, size_t panel)
{
    in[nmk_design_piece(design, piece)->panels[panel].length] = true;
}

/* A cut size: all the panels of the list that says how wide the piece is; of a mat what it lies on, less its step; of a punched
 * piece its choice. */
static void mark_whole(bool *in, const struct nmk_design *design, size_t index, enum nmk_way way)
{
    const struct nmk_piece *piece = nmk_design_piece(design, index);
    if (piece->kind == NMK_PIECE_PUNCHED)
        in[piece->length] = true;
    else if (piece->kind == NMK_PIECE_MAT) {
        in[piece->smaller_length] = true;
        mark_formula(in, design, way == NMK_ACROSS ? piece->on.across : piece->on.down); /* of something above */
    } else {
        const struct nmk_row *row = &piece->lists[way].rows[piece->lists[way].widest];
        for (size_t i = row->first; i < row->first + row->count; i++)
            mark_panel(in, design, index, piece->lists[way].stretches[i].panel);
    }
}

static void mark_let(bool *in, const struct nmk_design *design, size_t index)
{
    const struct nmk_let *let = nmk_design_let(design, index);
    if (let->length != NMK_NONE)
        in[let->length] = true;
    else
        mark_formula(in, design, let->formula);
}

static void mark_formula(bool *in, const struct nmk_design *design, const struct nmk_formula *f)
{
    switch (f->kind) {
    case NMK_F_NUMBER: case NMK_F_LENGTH: case NMK_F_PI: case NMK_F_MEASURE: case NMK_F_STOCK:
        return;
    case NMK_F_LET: mark_let(in, design, f->subject); return;
    case NMK_F_PANEL: case NMK_F_TOTAL: case NMK_F_OUTSIDE: mark_panel(in, design, f->subject, f->part); return;
    case NMK_F_SMALLER: in[nmk_design_piece(design, f->subject)->smaller_length] = true; return;
    case NMK_F_WHOLE: mark_whole(in, design, f->subject, (enum nmk_way)f->part); return;
    case NMK_F_OPENING: in[nmk_design_opening(design, f->subject)->length] = true; return;
    default:
        if (f->left)
            mark_formula(in, design, f->left);
        if (f->right)
            mark_formula(in, design, f->right);
    }
}

void demand_lengths_mark(bool *in, const struct nmk_design *design, const struct nmk_demand *demand)
{
    const struct nmk_formula *sizes[] = {demand->outer, demand->inner, demand->outer2, demand->inner2};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        if (sizes[i])
            mark_formula(in, design, sizes[i]);
}
