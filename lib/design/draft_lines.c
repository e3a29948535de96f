#include "design/drafting.h"

#include <stdio.h>

#include "base/memory.h"

/* ---- laying out ---- */

void nmk_layout_init(struct nmk_layout *layout, size_t lines)
{
    layout->count = lines;
    layout->lines = nmk_memory_new(lines, sizeof *layout->lines);
    layout->from_last = nmk_memory_new(lines, sizeof *layout->from_last);
}

void nmk_layout_clear(struct nmk_layout *layout)
{
    for (size_t i = 0; i < layout->count; i++)
        nmk_rat_clear(&layout->lines[i]);
    nmk_memory_free(layout->lines);
    nmk_memory_free(layout->from_last);
}

/* Is a score at `at` of a piece `whole` wide taken from the last edge? As its `score` line says, or from the nearer edge
 * (a tie: the first); if that is out of reach, from the other one where that is within reach. */
static bool takes_last(const struct nmk_rat *at, const struct nmk_rat *whole, enum nmk_edge edge, const struct nmk_rat *reach)
{
    struct nmk_rat other = {0};
    nmk_rat_sub(&other, whole, at);
    bool last = edge == NMK_FROM_LAST || (edge == NMK_FROM_BOTH && nmk_rat_cmp(&other, at) < 0);
    if (nmk_rat_sign(reach) > 0) {
        const struct nmk_rat *here = last ? &other : at, *there = last ? at : &other;
        if (nmk_rat_cmp(here, reach) > 0 && nmk_rat_cmp(there, reach) <= 0)
            last = !last;
    }
    nmk_rat_clear(&other);
    return last;
}

/* Sets *out to what is cut away before the first panel of a row `sum` wide. */
static void first_rest(struct nmk_rat *out, const struct nmk_row *row, const struct nmk_rat *whole, const struct nmk_rat *sum)
{
    struct nmk_rat part = {0};
    nmk_rat_set_frac(&part, (int64_t)row->rests[0], row->rests[0] && row->rests[1] ? 2 : 1);
    nmk_rat_sub(out, whole, sum);
    nmk_rat_mul(out, out, &part);
    nmk_rat_clear(&part);
}

static void lay_out_row(struct nmk_layout *layout, const struct nmk_draft *draft, const struct nmk_piece *piece, int way,
                        size_t row_index)
{
    const struct nmk_list *list = &piece->lists[way];
    const struct nmk_row *row = &list->rows[row_index];
    const struct nmk_rat *whole = &layout->lines[layout->count - 1];
    struct nmk_rat at = {0};
    nmk_drafting_sum_row(&at, draft, piece, way, row_index);
    first_rest(&at, row, whole, &at);
    for (size_t i = 0; i + 1 < row->count; i++) {
        const struct nmk_stretch *s = &list->stretches[row->first + i];
        if (s->panel != NMK_NONE)
            nmk_rat_add(&at, &at, &draft->designed[piece->panels[s->panel].length]);
        nmk_rat_set(&layout->lines[s->lines[1]], &at);
        layout->from_last[s->lines[1]] = !list->lines[s->lines[1]].is_cut &&
                                         takes_last(&at, whole, list->edge, &draft->edition->reach);
    }
    nmk_rat_clear(&at);
}

void nmk_drafting_lay_out(struct nmk_drafting *d, size_t piece_index, enum nmk_way way)
{
    struct nmk_draft *draft = d->draft;
    const struct nmk_piece *piece = nmk_design_piece(draft->design, piece_index);
    const struct nmk_list *list = &piece->lists[way];
    struct nmk_layout *layout = &draft->layouts[piece_index][way];
    nmk_layout_init(layout, list->line_count);
    nmk_drafting_sum_row(&layout->lines[list->line_count - 1], draft, piece, (int)way, list->widest);
    for (size_t row = 0; row < list->row_count; row++)
        lay_out_row(layout, draft, piece, (int)way, row);
}

/* ---- what cannot be ---- */

static void size_text(char *out, size_t room, const struct nmk_draft *draft, const struct nmk_rat *mm)
{
    nmk_length_print(out, room, mm, draft->edition->unit, 3, NMK_FRACTION_PLAIN);
}

static void complain_of_width(struct nmk_drafting *d, const struct nmk_row *row, enum nmk_way way, const struct nmk_rat *sum,
                              const struct nmk_rat *whole)
{
    char own[80], other[80], message[320];
    size_text(own, sizeof own, d->draft, sum);
    size_text(other, sizeof other, d->draft, whole);
    snprintf(message, sizeof message, "this list comes to %.70s, but the piece is %.70s %s, in the edition %.40s", own, other,
             way == NMK_ACROSS ? "across" : "down", d->draft->edition->name);
    nmk_drafting_complain(d, row->span, "other-width", message, "let a `rest` take what is over, or change a panel");
}

static void complain_of_rest(struct nmk_drafting *d, const struct nmk_stretch *rest, const struct nmk_rat *left)
{
    char size[80], message[240];
    size_text(size, sizeof size, d->draft, left);
    snprintf(message, sizeof message, "`rest` comes out at %.70s in the edition %.60s", size, d->draft->edition->name);
    nmk_drafting_complain(d, rest->span, "not-positive", message,
                          "its panels must leave something of the width to be cut away");
}

void nmk_drafting_check_widths(struct nmk_drafting *d, size_t piece_index, enum nmk_way way)
{
    const struct nmk_piece *piece = nmk_design_piece(d->draft->design, piece_index);
    const struct nmk_list *list = &piece->lists[way];
    const struct nmk_rat *whole = &d->draft->layouts[piece_index][way].lines[list->line_count - 1];
    struct nmk_rat sum = {0}, left = {0};
    for (size_t i = 0; i < list->row_count; i++) {
        const struct nmk_row *row = &list->rows[i];
        nmk_drafting_sum_row(&sum, d->draft, piece, (int)way, i);
        nmk_rat_sub(&left, whole, &sum);
        if (!row->rests[0] && !row->rests[1]) {
            if (!nmk_rat_is_zero(&left))
                complain_of_width(d, row, way, &sum, whole);
        } else if (nmk_rat_sign(&left) <= 0) {
            complain_of_rest(d, &list->stretches[row->first + (row->rests[0] ? 0 : row->count - 1)], &left);
        }
    }
    nmk_rat_clear(&sum);
    nmk_rat_clear(&left);
}
