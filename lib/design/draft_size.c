#include "design/drafting.h"

#include <stdio.h>

#include "nearmark/marks.h"

/* ---- what formulas name ---- */

static void panel_size(struct nmk_enclosure *out, const struct nmk_draft *draft, size_t piece, size_t panel)
{
    nmk_enclosure_set_rat(out, &draft->designed[nmk_design_piece(draft->design, piece)->panels[panel].length]);
}

static void scale(struct nmk_enclosure *e, size_t times)
{
    struct nmk_enclosure n = {0};
    nmk_rat_set_int(&n.low, (int64_t)times);
    nmk_rat_set_int(&n.high, (int64_t)times);
    nmk_enclosure_mul(e, e, &n);
    nmk_enclosure_clear(&n);
}

static void outside_size(struct nmk_enclosure *out, const struct nmk_draft *draft, size_t piece_index, size_t panel)
{
    const struct nmk_piece *piece = nmk_design_piece(draft->design, piece_index);
    struct nmk_enclosure thickness = {0};
    nmk_enclosure_set_rat(&thickness, &nmk_design_stock(draft->design, piece->stock)->thickness);
    scale(&thickness, nmk_piece_folds(piece, panel));
    panel_size(out, draft, piece_index, panel);
    nmk_enclosure_add(out, out, &thickness);
    nmk_enclosure_clear(&thickness);
}

static void total_size(struct nmk_enclosure *out, const struct nmk_draft *draft, size_t piece_index, size_t panel)
{
    const struct nmk_piece *piece = nmk_design_piece(draft->design, piece_index);
    panel_size(out, draft, piece_index, panel);
    scale(out, nmk_piece_stretches(piece, panel) * piece->copies);
}

void nmk_drafting_sum_row(struct nmk_rat *out, const struct nmk_draft *draft, const struct nmk_piece *piece, int way,
                          size_t row)
{
    const struct nmk_list *list = &piece->lists[way];
    nmk_rat_set_int(out, 0);
    for (size_t i = list->rows[row].first; i < list->rows[row].first + list->rows[row].count; i++)
        if (list->stretches[i].panel != NMK_NONE)
            nmk_rat_add(out, out, &draft->designed[piece->panels[list->stretches[i].panel].length]);
}

/* Of a piece of which only this list is known so far, where one of its later panels names it, the sum. A punched piece has
 * no lines; the reader keeps punched sizes out of what is designed. */
static void whole_size(struct nmk_enclosure *out, const struct nmk_draft *draft, size_t piece_index, size_t way)
{
    const struct nmk_layout *layout = &draft->layouts[piece_index][way];
    const struct nmk_piece *piece = nmk_design_piece(draft->design, piece_index);
    struct nmk_rat sum = {0};
    if (layout->count)
        nmk_rat_set(&sum, &layout->lines[layout->count - 1]);
    else if (piece->kind == NMK_PIECE_PANELS)
        nmk_drafting_sum_row(&sum, draft, piece, (int)way, piece->lists[way].widest);
    nmk_enclosure_set_rat(out, &sum);
    nmk_rat_clear(&sum);
}

/* ---- formulas ---- */

static enum nmk_status evaluate(struct nmk_enclosure *out, const struct nmk_draft *draft, const struct nmk_formula *f,
                                const struct nmk_formula **blame);

static enum nmk_status evaluate_pair(struct nmk_enclosure *out, const struct nmk_draft *draft, const struct nmk_formula *f,
                                     const struct nmk_formula **blame)
{
    struct nmk_enclosure right = {0};
    enum nmk_status status = evaluate(out, draft, f->left, blame);
    if (status == NMK_OK)
        status = evaluate(&right, draft, f->right, blame);
    if (status != NMK_OK)
        goto out;
    switch (f->kind) {
    case NMK_F_ADD: nmk_enclosure_add(out, out, &right); break;
    case NMK_F_SUB: nmk_enclosure_sub(out, out, &right); break;
    case NMK_F_MUL: nmk_enclosure_mul(out, out, &right); break;
    case NMK_F_MIN: nmk_enclosure_min(out, out, &right); break;
    case NMK_F_MAX: nmk_enclosure_max(out, out, &right); break;
    default:
        *blame = f->right;
        status = nmk_enclosure_div(out, out, &right);
    }
out:
    nmk_enclosure_clear(&right);
    return status;
}

static enum nmk_status evaluate_one(struct nmk_enclosure *out, const struct nmk_draft *draft, const struct nmk_formula *f,
                                    const struct nmk_formula **blame)
{
    enum nmk_status status = evaluate(out, draft, f->left, blame);
    if (status != NMK_OK)
        return status;
    *blame = f->left;
    if (f->kind == NMK_F_SQRT)
        return nmk_enclosure_sqrt(out, out);
    if (f->kind == NMK_F_ABS)
        nmk_enclosure_abs(out, out);
    else
        nmk_enclosure_neg(out, out);
    return NMK_OK;
}

/* The size of a formula at nominal, enclosed. On failure *blame is the part that cannot be computed. The depth is bounded
 * by the reader's limit on parentheses; names are looked up, never followed. */
static enum nmk_status evaluate(struct nmk_enclosure *out, const struct nmk_draft *draft, const struct nmk_formula *f,
                                const struct nmk_formula **blame)
{
    switch (f->kind) {
    case NMK_F_NUMBER:
    case NMK_F_LENGTH: nmk_enclosure_set_rat(out, nmk_draft_twin(draft, &f->value)); break;
    case NMK_F_PI: nmk_enclosure_pi(out); break;
    case NMK_F_NEG:
    case NMK_F_ABS:
    case NMK_F_SQRT: return evaluate_one(out, draft, f, blame);
    case NMK_F_MEASURE: nmk_enclosure_set_rat(out, &nmk_design_measure(draft->design, f->subject)->size); break;
    case NMK_F_STOCK: nmk_enclosure_set_rat(out, &nmk_design_stock(draft->design, f->subject)->thickness); break;
    case NMK_F_LET: nmk_enclosure_set(out, &draft->lets[f->subject]); break;
    case NMK_F_PANEL: panel_size(out, draft, f->subject, f->part); break;
    case NMK_F_SMALLER:
        nmk_enclosure_set_rat(out, &draft->designed[nmk_design_piece(draft->design, f->subject)->smaller_length]);
        break;
    case NMK_F_WHOLE: whole_size(out, draft, f->subject, f->part); break;
    case NMK_F_OPENING: nmk_enclosure_clear(out); break; /* kept out by the reader, as in whole_size */
    case NMK_F_TOTAL: total_size(out, draft, f->subject, f->part); break;
    case NMK_F_OUTSIDE: outside_size(out, draft, f->subject, f->part); break;
    default: return evaluate_pair(out, draft, f, blame);
    }
    return NMK_OK;
}

void nmk_drafting_nail(struct nmk_rat *out, const struct nmk_enclosure *e)
{
    if (nmk_enclosure_is_exact(e)) {
        nmk_rat_set(out, &e->low);
        return;
    }
    struct nmk_rat fine = {0}, half = {0};
    nmk_rat_set_int(&fine, 1000000000);
    nmk_rat_set_frac(&half, 1, 2);
    nmk_enclosure_mid(out, e);
    nmk_rat_mul(out, out, &fine);
    nmk_rat_add(out, out, &half);
    nmk_rat_floor(out, out);
    nmk_rat_div(out, out, &fine);
    nmk_rat_clear(&fine);
    nmk_rat_clear(&half);
}

bool nmk_drafting_size(struct nmk_enclosure *out, struct nmk_drafting *d, const struct nmk_formula *f)
{
    const struct nmk_formula *blame = f;
    enum nmk_status status = evaluate(out, d->draft, f, &blame);
    if (status == NMK_OK)
        return true;
    if (status == NMK_NEGATIVE_ROOT)
        nmk_drafting_complain(d, blame->span, "negative-root",
                              "this is below 0 as designed, and only sizes from 0 up have a root",
                              "change what stands in sqrt(...)");
    else
        nmk_drafting_complain(d, blame->span, "division-by-zero",
                              "this is 0 as designed, and nothing can be divided by 0",
                              "divide by something that is not 0");
    return false;
}

/* ---- lengths ---- */

static void set_nearest(struct nmk_drafting *d, size_t length)
{
    struct nmk_marks marks = {.step = d->draft->step};
    int64_t k;
    if (nmk_marks_nearest(&k, &marks, &d->draft->designed[length], NMK_TIE_LARGER) != NMK_OK || k > INT32_MAX)
        nmk_drafting_complain(d, nmk_design_length(d->draft->design, length)->span, "too-many-marks",
                              "this size is too many marks long", "use smaller sizes or wider marks");
    else
        d->draft->nearest[length] = k < 1 ? 1 : k;
}

void nmk_drafting_set_length(struct nmk_drafting *d, size_t length, const struct nmk_enclosure *value)
{
    struct nmk_draft *draft = d->draft;
    const struct nmk_length *l = nmk_design_length(draft->design, length);
    nmk_drafting_nail(&draft->designed[length], value);
    if (nmk_rat_sign(&draft->designed[length]) > 0) {
        set_nearest(d, length);
        return;
    }
    char size[80], message[240];
    nmk_length_print(size, sizeof size, &draft->designed[length], draft->edition->unit, 3, NMK_FRACTION_PLAIN);
    snprintf(message, sizeof message, "%.80s comes out at %.60s in the edition %.60s", l->name, size, draft->edition->name);
    nmk_drafting_complain(d, l->span, "not-positive", message, "every length of card must be more than 0");
    nmk_rat_set_int(&draft->designed[length], 1); /* so that what builds on it is not blamed for it */
    draft->nearest[length] = 1;
}
