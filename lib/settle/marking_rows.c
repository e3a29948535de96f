#include "base/memory.h"
#include "settle/marking_model.h"
#include "settle/row_forms.h"

/* ---- rows: (5) ---- */

/* At least so many marks are left; 0: exactly nothing. */
static void add_left(struct nmk_marking *m, const struct nmk_affine *left, int64_t least)
{
    struct nmk_rat low = {0};
    struct nmk_whole_demand *d = nmk_marking_new_demand(m);
    nmk_rat_set_int(&low, least);
    nmk_rat_mul(&low, &low, nmk_draft_step(m->plan.draft));
    nmk_marking_set_terms(m, d, left);
    nmk_marking_set_bounds(d, &low, least ? NULL : &low);
    nmk_rat_clear(&low);
}

/* Lists of the same panels are equally wide by themselves: their form is empty. */
static void add_row_demand(struct nmk_marking *m, size_t piece, int way, size_t row_index, bool rests)
{
    const struct nmk_row *row = &nmk_design_piece(m->design, piece)->lists[way].rows[row_index];
    struct nmk_affine sum = {0}, left = {0};
    int64_t count = (int64_t)(row->rests[0] + row->rests[1]);
    if (rests != (count > 0))
        return;
    nmk_row_add_left(&sum, nmk_design_piece(m->design, piece), way, row);
    nmk_marking_add_in_mm(&left, m, &sum);
    if (left.count)
        add_left(m, &left, count);
    nmk_affine_clear(&left);
}

void nmk_marking_add_rows(struct nmk_marking *m, bool rests)
{
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_PANELS && way <= NMK_DOWN; way++)
            for (size_t row = 0; piece->lists[way].row_count > 1 && row < piece->lists[way].row_count; row++)
                add_row_demand(m, i, way, row, rests);
    }
}

static void add_odd(struct nmk_marking *m, size_t piece, int way, size_t row)
{
    void *odds = m->odds;
    nmk_memory_reserve(&odds, &m->odd_space, m->odd_count + 1, sizeof *m->odds);
    m->odds = odds;
    m->odds[m->odd_count++] = (struct nmk_marking_odd){piece, row, way};
    nmk_marking_add_unknown(m, 0, 1);
}

static void add_odds(struct nmk_marking *m)
{
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_PANELS && way <= NMK_DOWN; way++)
            for (size_t r = 0; r < piece->lists[way].row_count; r++) {
                const struct nmk_row *row = &piece->lists[way].rows[r];
                if (nmk_row_is_between_rests(row) && nmk_row_has_score(&piece->lists[way], row))
                    add_odd(m, i, way, r);
            }
    }
}

/* ---- scores on score marks: (4) ---- */

static struct nmk_whole_remainder *new_remainder(struct nmk_marking *m, int64_t modulus)
{
    void *remainders = m->remainders;
    nmk_memory_reserve(&remainders, &m->remainder_space, m->remainder_count + 1, sizeof *m->remainders);
    m->remainders = remainders;
    m->remainders[m->remainder_count].modulus = modulus;
    return &m->remainders[m->remainder_count++];
}

static bool stands_before(const struct nmk_marking_odd *a, const struct nmk_marking_odd *b)
{
    return a->piece != b->piece ? a->piece < b->piece : a->way != b->way ? a->way < b->way : a->row < b->row;
}

/* The row's own unknown for its odd mark: (5). */
static size_t odd_of(const struct nmk_marking *m, size_t piece, int way, size_t row)
{
    struct nmk_marking_odd wanted = {piece, row, way};
    size_t low = 0, high = m->odd_count - 1;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (stands_before(&m->odds[middle], &wanted))
            low = middle + 1;
        else
            high = middle;
    }
    return m->unknown_count - m->odd_count + low;
}

/* The distance of the score before a stretch from its edge: (4), between two rests twice that: (5). */
static void add_score(struct nmk_marking *m, size_t piece_index, int way, size_t stretch, bool last)
{
    const struct nmk_piece *piece = nmk_design_piece(m->design, piece_index);
    size_t row = piece->lists[way].stretches[stretch].row;
    bool between = nmk_row_is_between_rests(&piece->lists[way].rows[row]);
    struct nmk_affine form = {0};
    nmk_row_add_distance(&form, piece, way, stretch, last, between ? odd_of(m, piece_index, way, row) : 0);
    struct nmk_whole_remainder *r = new_remainder(m, nmk_draft_score_marks(m->plan.draft) * (between ? 2 : 1));
    size_t *unknowns = nmk_memory_new(form.count, sizeof *unknowns);
    int64_t *times = nmk_memory_new(form.count, sizeof *times);
    for (size_t i = 0; i < form.count; i++) {
        unknowns[i] = (size_t)form.terms[i].name;
        (void)nmk_rat_get_int(&times[i], &form.terms[i].times); /* whole, and no more than there are stretches */
    }
    r->count = form.count;
    r->unknowns = unknowns;
    r->times = times;
    nmk_affine_clear(&form);
}

void nmk_marking_add_scores(struct nmk_marking *m)
{
    add_odds(m);
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_PANELS && way <= NMK_DOWN; way++) {
            const struct nmk_list *list = &piece->lists[way];
            for (size_t k = 0; k < list->count; k++) {
                size_t line = list->stretches[k].lines[0];
                if (!list->lines[line].is_cut)
                    add_score(m, i, way, k, nmk_draft_from_last(m->plan.draft, i, (enum nmk_way)way, line));
            }
        }
    }
}

int64_t nmk_marking_odd_value(const struct nmk_marking *m, const struct nmk_marking_odd *odd, const int64_t *values)
{
    const struct nmk_piece *piece = nmk_design_piece(m->design, odd->piece);
    struct nmk_affine left = {0};
    int64_t sum = 0, times = 0;
    nmk_row_add_left(&left, piece, odd->way, &piece->lists[odd->way].rows[odd->row]);
    for (size_t i = 0; i < left.count; i++) {
        (void)nmk_rat_get_int(&times, &left.terms[i].times);
        sum += times * values[left.terms[i].name];
    }
    nmk_affine_clear(&left);
    return sum % 2; /* allowed marks leave something */
}
