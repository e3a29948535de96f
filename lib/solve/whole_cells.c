#include "solve/whole_cells.h"

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

static int64_t clamp(int64_t x, int64_t low, int64_t high)
{
    return x < low ? low : x > high ? high : x;
}

/* The number nearest to goal / step within [low, high]. */
static int64_t nearest_to_goal(const struct nmk_whole_unknown *u, int64_t low, int64_t high)
{
    if (nmk_rat_sign(&u->step) <= 0)
        return low;
    struct nmk_rat x = {0}, half = {0};
    int64_t n;
    (void)nmk_rat_div(&x, &u->goal, &u->step);
    (void)nmk_rat_set_frac(&half, 1, 2);
    nmk_rat_add(&x, &x, &half);
    nmk_rat_floor(&x, &x);
    if (nmk_rat_get_int(&n, &x) != NMK_OK)
        n = nmk_rat_sign(&x) < 0 ? -NMK_MODEL_FAR : NMK_MODEL_FAR;
    nmk_rat_clear(&x);
    nmk_rat_clear(&half);
    return clamp(n, low, high < NMK_MODEL_FAR ? high : NMK_MODEL_FAR);
}

void nmk_cells_start(struct nmk_cells *cells, const struct nmk_model *m, size_t unknown)
{
    const struct nmk_whole_unknown *u = &m->problem->unknowns[unknown];
    int64_t low = m->low[unknown], high = m->high[unknown];
    cells->count = 0;
    if (u->is_choice || (high != NMK_MODEL_OPEN && high - low < ALL_SINGLE)) {
        cells->goal = low;
        add_singles(cells, low, high);
        return;
    }
    cells->goal = nearest_to_goal(u, low, high);
    int64_t first = clamp(cells->goal - NEAR, low, high), last = clamp(cells->goal + NEAR, low, high);
    int64_t settled_low = clamp(u->settled_low, low, high), settled_high = clamp(u->settled_high, low, high);
    if (settled_low <= first && settled_high >= last && settled_high - settled_low <= SETTLED) {
        first = settled_low;
        last = settled_high;
    }
    add_if_any(cells, low, first - 1);
    add_singles(cells, first, last);
    add_if_any(cells, last + 1, high);
}

/* The pieces of [low, high], the near end first in its thoughts: FIRST single numbers there, then two wide cells, the
 * nearer one four times as long as what lies between it and the goal. */
static void add_upwards(struct nmk_cells *cells, int64_t low, int64_t high)
{
    if (high != NMK_MODEL_OPEN && high - low < FEW) {
        add_singles(cells, low, high);
        return;
    }
    add_singles(cells, low, low + FIRST - 1);
    low += FIRST;
    int64_t reach = 4 * (low / 4 - cells->goal / 4) + 4 * FIRST;
    int64_t middle = reach > NMK_MODEL_FAR - low ? NMK_MODEL_FAR : low + reach;
    if (high != NMK_MODEL_OPEN && high - low < reach)
        middle = low + (high - low) / 2;
    add_if_any(cells, low, middle);
    add_if_any(cells, middle + 1, high);
}

static void add_downwards(struct nmk_cells *cells, int64_t low, int64_t high)
{
    if (high - low < FEW) {
        add_singles(cells, low, high);
        return;
    }
    int64_t end = high - FIRST;
    int64_t reach = 4 * (cells->goal / 4 - end / 4) + 4 * FIRST;
    int64_t middle = end - low < reach ? low + (end - low) / 2 : end - reach;
    add_if_any(cells, low, middle - 1);
    add_if_any(cells, middle, end);
    add_singles(cells, end + 1, high);
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

bool nmk_cells_split(struct nmk_cells *cells, size_t at, int64_t low, int64_t high)
{
    struct nmk_cells old = *cells;
    struct nmk_cell cell = old.items[at];
    if (cell.low > NMK_MODEL_FAR || (cell.high == NMK_MODEL_OPEN && cell.low > NMK_MODEL_FAR - 2 * FEW))
        return false;
    low = low < cell.low ? cell.low : low;
    high = high > cell.high ? cell.high : high;
    cells->items = NULL;
    cells->count = cells->space = 0;
    for (size_t k = 0; k < at; k++)
        add(cells, old.items[k].low, old.items[k].high);
    if (low > high || (low == cell.low && high == cell.high)) {
        add_pieces(cells, cell.low, cell.high);
    } else {
        add_if_any(cells, cell.low, low - 1);
        add_pieces(cells, low, high);
        if (high != NMK_MODEL_OPEN)
            add_if_any(cells, high + 1, cell.high);
    }
    for (size_t k = at + 1; k < old.count; k++)
        add(cells, old.items[k].low, old.items[k].high);
    nmk_memory_free(old.items);
    return true;
}

void nmk_cells_clear(struct nmk_cells *cells)
{
    nmk_memory_free(cells->items);
    *cells = (struct nmk_cells){0};
}
