#include "solve/whole/whole_reach.h"

#include "base/memory.h"
#include "solve/whole/whole_linear.h"

enum {
    MOST_CELLS = 1 << 14,   /* of the tableau */
    MOST_POINT_CELLS = 1 << 17, /* likewise, where it is solved once */
    FIRST_ASKED = 1 << 16   /* an unknown that can be so large counts as open */
};

static bool is_asked(const struct nmk_model_demand *d)
{
    return d->is_scaled && d->count && (d->must_least != INT64_MIN || d->must_most != INT64_MAX);
}

/* A choice widens the bounds by all that it may add. */
static void set_row(struct nmk_linear *l, size_t row, const struct nmk_bench *b, const struct nmk_model_demand *d)
{
    struct nmk_linear_bounds *bounds = &l->bounds[l->columns + row];
    int64_t least = d->must_least, most = d->must_most;
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_model_term *t = &b->model.terms[d->first + k];
        if (!t->table_low) {
            l->times[row * l->columns + b->local[t->unknown]] = t->low;
            continue;
        }
        least = least == INT64_MIN ? least : least - t->most;
        most = most == INT64_MAX ? most : most - t->least;
    }
    *bounds = (struct nmk_linear_bounds){least != INT64_MIN, most != INT64_MAX, least, most};
}

static void set_columns(struct nmk_linear *l, const struct nmk_bench *b, const struct nmk_part *part)
{
    for (size_t k = 0; k < l->columns; k++) {
        int64_t low = b->model.low[part->unknowns[k]], high = b->model.high[part->unknowns[k]];
        l->bounds[k] = (struct nmk_linear_bounds){true, high != NMK_MODEL_OPEN, low, high};
    }
}

static bool is_possible(const struct nmk_linear *l, struct nmk_work *work)
{
    struct nmk_linear_conflict conflict = {0};
    bool possible = nmk_linear_is_possible(&conflict, l, work);
    if (!possible)
        nmk_linear_conflict_clear(&conflict);
    return possible;
}

/* The largest whole number that the unknown of a column can be in rationals; false: it can be very large. */
static bool find_reach(int64_t *reach, struct nmk_linear *l, size_t column, struct nmk_work *work)
{
    struct nmk_linear_bounds own = l->bounds[column];
    int64_t can = own.low, cannot = own.low + FIRST_ASKED;
    l->bounds[column].low = cannot;
    bool open = is_possible(l, work);
    while (!open && cannot - can > 1) {
        int64_t middle = can + (cannot - can) / 2;
        l->bounds[column].low = middle;
        *(is_possible(l, work) ? &can : &cannot) = middle;
    }
    l->bounds[column] = own;
    *reach = can;
    return !open;
}

static enum nmk_reach_outcome bound_all(struct nmk_linear *l, struct nmk_bench *b, const struct nmk_part *part)
{
    enum nmk_reach_outcome outcome = NMK_REACH_SAME;
    if (!is_possible(l, &b->work))
        return NMK_REACH_EMPTY;
    for (size_t k = 0; k < l->columns; k++) {
        int64_t reach;
        if (l->bounds[k].has_high || !find_reach(&reach, l, k, &b->work))
            continue;
        b->model.high[part->unknowns[k]] = reach;
        l->bounds[k].has_high = true;
        l->bounds[k].high = reach;
        outcome = NMK_REACH_TIGHTER;
    }
    return outcome;
}

static bool make_linear(struct nmk_linear *l, const struct nmk_bench *b, const struct nmk_part *part, size_t most_cells)
{
    size_t rows = 0;
    for (size_t i = 0; i < part->demand_count; i++)
        rows += is_asked(&b->model.demands[part->demands[i]]);
    if (!rows || rows > most_cells / part->unknown_count)
        return false;
    nmk_linear_init(l, part->unknown_count, rows);
    set_columns(l, b, part);
    rows = 0;
    for (size_t i = 0; i < part->demand_count; i++)
        if (is_asked(&b->model.demands[part->demands[i]]))
            set_row(l, rows++, b, &b->model.demands[part->demands[i]]);
    return true;
}

enum nmk_reach_outcome nmk_reach_bound(struct nmk_bench *b, const struct nmk_part *part)
{
    struct nmk_linear l;
    if (!make_linear(&l, b, part, MOST_CELLS))
        return NMK_REACH_SAME;
    enum nmk_reach_outcome outcome = bound_all(&l, b, part);
    nmk_linear_clear(&l);
    return outcome;
}

enum nmk_reach_outcome nmk_reach_point(int64_t *point, struct nmk_bench *b, const struct nmk_part *part)
{
    struct nmk_linear l;
    for (size_t k = 0; k < part->unknown_count; k++)
        b->local[part->unknowns[k]] = (uint32_t)k;
    if (!make_linear(&l, b, part, MOST_POINT_CELLS))
        return NMK_REACH_SAME;
    bool possible = nmk_linear_point(point, &l, point, &b->work);
    nmk_linear_clear(&l);
    return possible ? NMK_REACH_TIGHTER : NMK_REACH_EMPTY;
}
