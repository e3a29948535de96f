#include "settle/row_forms.h"

/* The panels [from, to) of a direction. */
static void add_panels(struct nmk_affine *form, const struct nmk_piece *piece, int way, size_t from, size_t to, int64_t times)
{
    const struct nmk_stretch *stretches = piece->lists[way].stretches;
    struct nmk_rat k = {0};
    nmk_rat_set_int(&k, times);
    for (size_t i = from; i < to; i++)
        if (stretches[i].panel != NMK_NONE)
            nmk_affine_add_term(form, piece->panels[stretches[i].panel].length, &k);
    nmk_rat_clear(&k);
}

void nmk_row_add_whole(struct nmk_affine *form, const struct nmk_piece *piece, int way)
{
    const struct nmk_row *widest = &piece->lists[way].rows[piece->lists[way].widest];
    add_panels(form, piece, way, widest->first, widest->first + widest->count, 1);
}

void nmk_row_add_left(struct nmk_affine *form, const struct nmk_piece *piece, int way, const struct nmk_row *row)
{
    nmk_row_add_whole(form, piece, way);
    add_panels(form, piece, way, row->first, row->first + row->count, -1);
}

bool nmk_row_is_between_rests(const struct nmk_row *row)
{
    return row->rests[0] && row->rests[1];
}

bool nmk_row_has_score(const struct nmk_list *list, const struct nmk_row *row)
{
    for (size_t i = row->first + 1; i < row->first + row->count; i++)
        if (!list->lines[list->stretches[i].lines[0]].is_cut)
            return true;
    return false;
}

/* With a rest at that edge: the whole less what lies on the other side. */
static void add_plain_distance(struct nmk_affine *form, const struct nmk_piece *piece, int way, const struct nmk_row *row,
                               size_t i, bool last)
{
    size_t end = row->first + row->count;
    if (!row->rests[last]) {
        add_panels(form, piece, way, last ? i : row->first, last ? end : i, 1);
        return;
    }
    nmk_row_add_whole(form, piece, way);
    add_panels(form, piece, way, last ? row->first : i, last ? i : end, -1);
}

/* From the first edge left - odd + 2 d; from the last one twice the whole less that. */
static void add_twice(struct nmk_affine *form, const struct nmk_piece *piece, int way, const struct nmk_row *row, size_t i,
                      bool last, uint64_t odd)
{
    int64_t sign = last ? -1 : 1;
    struct nmk_rat times = {0};
    nmk_row_add_whole(form, piece, way);
    add_panels(form, piece, way, row->first, row->first + row->count, -sign);
    add_panels(form, piece, way, row->first, i, 2 * sign);
    nmk_rat_set_int(&times, -sign);
    nmk_affine_add_term(form, odd, &times);
    nmk_rat_clear(&times);
}

void nmk_row_add_distance(struct nmk_affine *form, const struct nmk_piece *piece, int way, size_t i, bool last, uint64_t odd)
{
    const struct nmk_row *row = &piece->lists[way].rows[piece->lists[way].stretches[i].row];
    if (nmk_row_is_between_rests(row))
        add_twice(form, piece, way, row, i, last, odd);
    else
        add_plain_distance(form, piece, way, row, i, last);
}
