#include "solve/whole/whole_cells.h"

#include <stdlib.h>

#include "base/memory.h"

#ifdef NMK_STRESS
enum { ALL_SINGLE = 2, NEAR = 0, SETTLED = 2, FEW = 2, FIRST = 1 };
#else
enum {
    ALL_SINGLE = 12, /* so many numbers are all single */
    NEAR = 2,        /* so many single numbers on each side of the goal */
    SETTLED = 32,    /* so wide a settled interval is single */
    FEW = 8,         /* a wide cell of so few is split into single numbers */
    FIRST = 4        /* so many numbers of a split cell become single at first */
};
#endif

static void add(struct nmk_cells *cells, int64_t low, int64_t high)
{
    void *items = cells->items;
    nmk_memory_reserve(&items, &cells->space, cells->count + 1, sizeof *cells->items);
    cells->items = items;
    cells->items[cells->count++] = (struct nmk_cell){low, high};
}

static void add_singles(struct nmk_cells *cells, int64_t low, int64_t high)
{
    for (int64_t x = low; x <= high; x++)
        add(cells, x, x);
}

static void add_if_any(struct nmk_cells *cells, int64_t low, int64_t high)
{
    if (low <= high)
        add(cells, low, high);
}

/* The numbers of [low, high] as wide cells, one for each remainder. */
static void add_wide(struct nmk_cells *cells, int64_t low, int64_t high)
{
    for (int64_t first = low; first <= high && first < low + cells->stride; first++)
        add(cells, first, high == NMK_MODEL_OPEN ? high : high - (high - first) % cells->stride);
}

static int by_low_end(const void *a, const void *b)
{
    int64_t x = ((const struct nmk_cell *)a)->low, y = ((const struct nmk_cell *)b)->low;
    return x < y ? -1 : x > y;
}

static int64_t clamp(int64_t x, int64_t low, int64_t high)
{
    return x < low ? low : x > high ? high : x;
}

/* With short numbers, as most are: the smallest n with (2 n + 1) step >= 2 goal. */
static bool nearest_in_words(int64_t *n, const struct nmk_whole_unknown *u)
{
    int64_t a, b, c, d;
    if (nmk_rat_get_frac(&a, &b, &u->step) != NMK_OK || nmk_rat_get_frac(&c, &d, &u->goal) != NMK_OK)
        return false;
    int64_t step, goal, num;
    if (__builtin_mul_overflow(a, d, &step) || __builtin_mul_overflow(c, b, &goal) || step > INT64_MAX / 4 ||
        __builtin_mul_overflow(goal, 2, &num) || __builtin_sub_overflow(num, step, &num))
        return false;
    *n = num / (2 * step) + (num % (2 * step) > 0);
    return true;
}

int64_t nmk_cells_nearest(const struct nmk_whole_unknown *u, int64_t low, int64_t high)
{
    if (nmk_rat_sign(&u->step) <= 0)
        return low;
    int64_t n;
    if (nearest_in_words(&n, u))
        return clamp(n, low, high < NMK_MODEL_FAR ? high : NMK_MODEL_FAR);
    struct nmk_rat x = {0}, half = {0};
    (void)nmk_rat_div(&x, &u->goal, &u->step);
    (void)nmk_rat_set_frac(&half, 1, 2);
    nmk_rat_sub(&x, &x, &half);
    nmk_rat_ceil(&x, &x);
    if (nmk_rat_get_int(&n, &x) != NMK_OK)
        n = nmk_rat_sign(&x) < 0 ? -NMK_MODEL_FAR : NMK_MODEL_FAR;
    nmk_rat_clear(&x);
    nmk_rat_clear(&half);
    return clamp(n, low, high < NMK_MODEL_FAR ? high : NMK_MODEL_FAR);
}

void nmk_cells_start(struct nmk_cells *cells, const struct nmk_model *m, size_t unknown, int64_t stride, const int64_t *goal)
{
    const struct nmk_whole_unknown *u = &m->problem->unknowns[unknown];
    int64_t low = m->low[unknown], high = m->high[unknown];
    cells->count = 0;
    cells->stride = stride;
    if (u->is_choice || (high != NMK_MODEL_OPEN && high - low < ALL_SINGLE)) {
        cells->goal = low;
        add_singles(cells, low, high);
        return;
    }
    cells->goal = goal ? clamp(*goal, low, high) : nmk_cells_nearest(u, low, high);
    int64_t first = clamp(cells->goal - NEAR, low, high), last = clamp(cells->goal + NEAR, low, high);
    int64_t settled_low = clamp(u->settled_low, low, high), settled_high = clamp(u->settled_high, low, high);
    if (settled_low <= first && settled_high >= last && settled_high - settled_low <= SETTLED) {
        first = settled_low;
        last = settled_high;
    }
    add_wide(cells, low, first - 1);
    add_singles(cells, first, last);
    if (last < high)
        add_wide(cells, last + 1, high);
}

/* count numbers from `low` on, a stride apart, each by itself. */
static void add_strided(struct nmk_cells *cells, int64_t low, int64_t count)
{
    for (int64_t k = 0; k < count; k++)
        add(cells, low + k * cells->stride, low + k * cells->stride);
}

static int64_t whole_strides(const struct nmk_cells *cells, int64_t length)
{
    return length - length % cells->stride;
}

/* The pieces of a cell, the near end first in its thoughts: FIRST single numbers there, then two wide cells, the nearer
 * one four times as long as what lies between it and the goal. */
static void add_upwards(struct nmk_cells *cells, int64_t low, int64_t high)
{
    int64_t stride = cells->stride;
    if (high != NMK_MODEL_OPEN && (high - low) / stride < FEW) {
        add_strided(cells, low, (high - low) / stride + 1);
        return;
    }
    add_strided(cells, low, FIRST);
    low += FIRST * stride;
    int64_t reach = whole_strides(cells, 4 * (low / 4 - cells->goal / 4) + 4 * FIRST * stride);
    int64_t middle = reach > NMK_MODEL_FAR - low ? low + whole_strides(cells, NMK_MODEL_FAR - low) : low + reach;
    if (high != NMK_MODEL_OPEN && high - low < reach)
        middle = low + whole_strides(cells, (high - low) / 2);
    add_if_any(cells, low, middle);
    add_if_any(cells, middle + stride, high);
}

static void add_downwards(struct nmk_cells *cells, int64_t low, int64_t high)
{
    int64_t stride = cells->stride;
    if ((high - low) / stride < FEW) {
        add_strided(cells, low, (high - low) / stride + 1);
        return;
    }
    int64_t end = high - FIRST * stride;
    int64_t reach = whole_strides(cells, 4 * (cells->goal / 4 - end / 4) + 4 * FIRST * stride);
    int64_t middle = end - low < reach ? low + whole_strides(cells, (end - low) / 2) : end - reach;
    add_if_any(cells, low, middle - stride);
    add_if_any(cells, middle, end);
    add_strided(cells, end + stride, FIRST);
}

static void add_pieces(struct nmk_cells *cells, int64_t low, int64_t high)
{
    if (low > high)
        return;
    if (high < cells->goal)
        add_downwards(cells, low, high);
    else
        add_upwards(cells, low, high);
}

/* Moves [low, high] inwards to numbers of the cell. */
static void fit_into(const struct nmk_cells *cells, struct nmk_cell cell, int64_t *low, int64_t *high)
{
    *low = *low < cell.low ? cell.low : *low;
    *high = *high > cell.high ? cell.high : *high;
    if (*low > *high)
        return;
    int64_t over = (*low - cell.low) % cells->stride;
    *low += over ? cells->stride - over : 0;
    if (*high != NMK_MODEL_OPEN)
        *high -= (*high - cell.low) % cells->stride;
}

bool nmk_cells_split(struct nmk_cells *cells, size_t at, int64_t low, int64_t high)
{
    struct nmk_cells old = *cells;
    struct nmk_cell cell = old.items[at];
    if (cell.low > NMK_MODEL_FAR || (cell.high == NMK_MODEL_OPEN && cell.low > NMK_MODEL_FAR - 2 * FEW * cells->stride))
        return false;
    fit_into(cells, cell, &low, &high);
    cells->items = NULL;
    cells->count = cells->space = 0;
    for (size_t k = 0; k < old.count; k++)
        if (k != at)
            add(cells, old.items[k].low, old.items[k].high);
    if (low > high || (low == cell.low && high == cell.high)) {
        add_pieces(cells, cell.low, cell.high);
    } else {
        add_if_any(cells, cell.low, low - cells->stride);
        add_pieces(cells, low, high);
        if (high != NMK_MODEL_OPEN)
            add_if_any(cells, high + cells->stride, cell.high);
    }
    qsort(cells->items, cells->count, sizeof *cells->items, by_low_end);
    nmk_memory_free(old.items);
    return true;
}

void nmk_cells_clear(struct nmk_cells *cells)
{
    nmk_memory_free(cells->items);
    *cells = (struct nmk_cells){0};
}
