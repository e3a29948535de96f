#include "solve/whole/whole_linear.h"

#include <string.h>

#include "base/memory.h"

/* basic[r] = sum cells[r * columns + c] * free[c], always. */
struct tableau {
    const struct nmk_linear *linear;
    size_t columns, rows;
    struct nmk_rat *cells;
    struct nmk_rat *value; /* of each variable */
    size_t *basic, *free;
};

void nmk_linear_init(struct nmk_linear *l, size_t columns, size_t rows)
{
    *l = (struct nmk_linear){.columns = columns, .rows = rows};
    l->times = nmk_memory_new(columns * rows, sizeof *l->times);
    l->bounds = nmk_memory_new(columns + rows, sizeof *l->bounds);
}

void nmk_linear_clear(struct nmk_linear *l)
{
    nmk_memory_free(l->times);
    nmk_memory_free(l->bounds);
    memset(l, 0, sizeof *l);
}

void nmk_linear_conflict_clear(struct nmk_linear_conflict *conflict)
{
    nmk_memory_free(conflict->which);
    nmk_memory_free(conflict->is_low);
    memset(conflict, 0, sizeof *conflict);
}

static struct nmk_rat *cell(const struct tableau *t, size_t row, size_t column)
{
    return &t->cells[row * t->columns + column];
}

/* < 0: below its low bound, > 0: above its high one. */
static int violation(const struct tableau *t, size_t var)
{
    const struct nmk_linear_bounds *b = &t->linear->bounds[var];
    if (b->has_low && nmk_rat_cmp_int(&t->value[var], b->low) < 0)
        return -1;
    return b->has_high && nmk_rat_cmp_int(&t->value[var], b->high) > 0;
}

/* Could a free variable go up (sign > 0) or down? */
static bool can_move(const struct tableau *t, size_t var, int sign)
{
    const struct nmk_linear_bounds *b = &t->linear->bounds[var];
    if (sign > 0)
        return !b->has_high || nmk_rat_cmp_int(&t->value[var], b->high) < 0;
    return !b->has_low || nmk_rat_cmp_int(&t->value[var], b->low) > 0;
}

/* Within the bounds; near: as near to it as they let. */
static int64_t first_value(const struct nmk_linear_bounds *b, const int64_t *near)
{
    if (!near)
        return b->has_low ? b->low : b->has_high && b->high < 0 ? b->high : 0;
    return b->has_low && *near < b->low ? b->low : b->has_high && *near > b->high ? b->high : *near;
}

static void set_values(struct tableau *t, const int64_t *near)
{
    for (size_t c = 0; c < t->columns; c++)
        nmk_rat_set_int(&t->value[c], first_value(&t->linear->bounds[c], near ? &near[c] : NULL));
    for (size_t r = 0; r < t->rows; r++)
        for (size_t c = 0; c < t->columns; c++)
            nmk_rat_addmul(&t->value[t->columns + r], cell(t, r, c), &t->value[c]);
}

static void init(struct tableau *t, const struct nmk_linear *l, const int64_t *near)
{
    *t = (struct tableau){.linear = l, .columns = l->columns, .rows = l->rows};
    t->cells = nmk_memory_new(l->columns * l->rows, sizeof *t->cells);
    t->value = nmk_memory_new(l->columns + l->rows, sizeof *t->value);
    t->basic = nmk_memory_new(l->rows, sizeof *t->basic);
    t->free = nmk_memory_new(l->columns, sizeof *t->free);
    for (size_t k = 0; k < l->columns * l->rows; k++)
        nmk_rat_set_int(&t->cells[k], l->times[k]);
    for (size_t r = 0; r < l->rows; r++)
        t->basic[r] = l->columns + r;
    for (size_t c = 0; c < l->columns; c++)
        t->free[c] = c;
    set_values(t, near);
}

static void clear(struct tableau *t)
{
    for (size_t k = 0; k < t->columns * t->rows; k++)
        nmk_rat_clear(&t->cells[k]);
    for (size_t k = 0; k < t->columns + t->rows; k++)
        nmk_rat_clear(&t->value[k]);
    nmk_memory_free(t->cells);
    nmk_memory_free(t->value);
    nmk_memory_free(t->basic);
    nmk_memory_free(t->free);
}

/* The free variable of a column moves by `by`; the basic ones follow. */
static void move_by(struct tableau *t, size_t column, const struct nmk_rat *by)
{
    nmk_rat_add(&t->value[t->free[column]], &t->value[t->free[column]], by);
    for (size_t r = 0; r < t->rows; r++)
        nmk_rat_addmul(&t->value[t->basic[r]], cell(t, r, column), by);
}

static void solve_row(struct tableau *t, size_t row, size_t column)
{
    struct nmk_rat by = {0}, one = {0};
    nmk_rat_set_int(&one, 1);
    (void)nmk_rat_div(&by, &one, cell(t, row, column));
    for (size_t c = 0; c < t->columns; c++) {
        nmk_rat_mul(cell(t, row, c), cell(t, row, c), &by);
        nmk_rat_neg(cell(t, row, c), cell(t, row, c));
    }
    nmk_rat_set(cell(t, row, column), &by);
    nmk_rat_clear(&by);
    nmk_rat_clear(&one);
}

static void pivot(struct tableau *t, size_t row, size_t column)
{
    struct nmk_rat times = {0};
    solve_row(t, row, column);
    for (size_t r = 0; r < t->rows; r++) {
        if (r == row || nmk_rat_is_zero(cell(t, r, column)))
            continue;
        nmk_rat_set(&times, cell(t, r, column));
        nmk_rat_set_int(cell(t, r, column), 0);
        for (size_t c = 0; c < t->columns; c++)
            if (!nmk_rat_is_zero(cell(t, row, c)))
                nmk_rat_addmul(cell(t, r, c), &times, cell(t, row, c));
    }
    nmk_rat_clear(&times);
    size_t var = t->basic[row];
    t->basic[row] = t->free[column];
    t->free[column] = var;
}

/* The row of the first basic variable outside its bounds; t->rows if none. */
static size_t first_violated(const struct tableau *t)
{
    size_t best = t->rows;
    for (size_t r = 0; r < t->rows; r++)
        if (violation(t, t->basic[r]) && (best == t->rows || t->basic[r] < t->basic[best]))
            best = r;
    return best;
}

/* The column of the first free variable that can bring the row's variable back; t->columns if none. */
static size_t first_helping(const struct tableau *t, size_t row, int wanted)
{
    size_t best = t->columns;
    for (size_t c = 0; c < t->columns; c++) {
        int sign = nmk_rat_sign(cell(t, row, c)) * wanted;
        if (sign && can_move(t, t->free[c], sign) && (best == t->columns || t->free[c] < t->free[best]))
            best = c;
    }
    return best;
}

static void bring_back(struct tableau *t, size_t row, size_t column, int wanted)
{
    size_t var = t->basic[row];
    struct nmk_rat by = {0};
    nmk_rat_set_int(&by, wanted > 0 ? t->linear->bounds[var].low : t->linear->bounds[var].high);
    nmk_rat_sub(&by, &by, &t->value[var]);
    (void)nmk_rat_div(&by, &by, cell(t, row, column));
    move_by(t, column, &by);
    pivot(t, row, column);
    nmk_rat_clear(&by);
}

static void explain(struct nmk_linear_conflict *out, const struct tableau *t, size_t row, int wanted)
{
    out->which = nmk_memory_new(t->columns + t->rows, sizeof *out->which);
    out->is_low = nmk_memory_new(t->columns + t->rows, sizeof *out->is_low);
    out->which[0] = t->basic[row];
    out->is_low[0] = wanted > 0;
    out->count = 1;
    for (size_t c = 0; c < t->columns; c++) {
        int sign = nmk_rat_sign(cell(t, row, c)) * wanted;
        if (!sign)
            continue;
        out->which[out->count] = t->free[c];
        out->is_low[out->count++] = sign < 0; /* it would have to go down */
    }
}

/* Bounds the wrong way round are a conflict by themselves. */
static bool are_crossed(struct nmk_linear_conflict *out, const struct nmk_linear *l)
{
    for (size_t k = 0; k < l->columns + l->rows; k++) {
        const struct nmk_linear_bounds *b = &l->bounds[k];
        if (!b->has_low || !b->has_high || b->low <= b->high)
            continue;
        out->which = nmk_memory_new(l->columns + l->rows + 2, sizeof *out->which);
        out->is_low = nmk_memory_new(l->columns + l->rows + 2, sizeof *out->is_low);
        out->which[0] = out->which[1] = k;
        out->is_low[0] = true;
        out->count = 2;
        return true;
    }
    return false;
}

/* Until all bounds are kept, they cannot be, or the work has to end. */
static void repair(struct nmk_linear_conflict *conflict, struct tableau *t, struct nmk_work *work)
{
    for (size_t row; (row = first_violated(t)) < t->rows && nmk_work_step(work, t->columns * t->rows + 1);) {
        int wanted = -violation(t, t->basic[row]);
        size_t column = first_helping(t, row, wanted);
        if (column == t->columns) {
            explain(conflict, t, row, wanted);
            return;
        }
        bring_back(t, row, column, wanted);
    }
}

bool nmk_linear_is_possible(struct nmk_linear_conflict *conflict, const struct nmk_linear *l, struct nmk_work *work)
{
    *conflict = (struct nmk_linear_conflict){0};
    if (are_crossed(conflict, l))
        return false;
    struct tableau t;
    init(&t, l, NULL);
    repair(conflict, &t, work);
    clear(&t);
    return conflict->count == 0;
}

static void round_values(int64_t *point, const struct tableau *t)
{
    struct nmk_rat half = {0}, n = {0};
    (void)nmk_rat_set_frac(&half, 1, 2);
    for (size_t c = 0; c < t->columns; c++) {
        nmk_rat_add(&n, &t->value[c], &half);
        nmk_rat_floor(&n, &n);
        if (nmk_rat_get_int(&point[c], &n) != NMK_OK)
            point[c] = t->linear->bounds[c].low;
    }
    nmk_rat_clear(&half);
    nmk_rat_clear(&n);
}

bool nmk_linear_point(int64_t *point, const struct nmk_linear *l, const int64_t *near, struct nmk_work *work)
{
    struct nmk_linear_conflict conflict = {0};
    struct tableau t;
    bool possible = !are_crossed(&conflict, l);
    if (possible) {
        init(&t, l, near);
        repair(&conflict, &t, work);
        possible = conflict.count == 0 && work->status == NMK_OK;
        if (possible)
            round_values(point, &t);
        clear(&t);
    }
    nmk_linear_conflict_clear(&conflict);
    return possible;
}
