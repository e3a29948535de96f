#include "solve/whole/whole_sum.h"

#include <string.h>

#include "base/memory.h"

static bool product(int64_t *out, int64_t a, int64_t x, int64_t share)
{
    return !__builtin_mul_overflow(a, x, out) && *out <= share && *out >= -share;
}

static bool set_number(struct nmk_sum *out, int64_t times, struct nmk_cell cell, const struct nmk_cells *cells, int64_t share)
{
    int64_t a, b = 0;
    bool open = cell.high == NMK_MODEL_OPEN, single = nmk_cell_is_single(cell);
    if (!product(&a, times, cell.low, share) || (!open && !product(&b, times, cell.high, share)))
        return false;
    if (open)
        b = times > 0 ? NMK_SUM_OPEN : times < 0 ? -NMK_SUM_OPEN : 0;
    int64_t unit = 0;
    if (times && !single && !product(&unit, times < 0 ? -times : times, cells->stride, NMK_MODEL_FAR))
        unit = 1;
    bool up = (cell.high > cells->goal) == (times > 0);
    *out = (struct nmk_sum){.low = a < b ? a : b,
                            .high = a < b ? b : a,
                            .like = unit ? (a % unit + unit) % unit : a,
                            .unit = unit,
                            .far_low = !single && !up,
                            .far_high = !single && up};
    return true;
}

bool nmk_side_set(struct nmk_side *side, struct nmk_bench *bench, const struct nmk_model_term *term,
                  const struct nmk_cells *cells, int64_t share)
{
    side->var = bench->local[term->unknown];
    side->cells = (uint32_t)cells->count;
    side->sums = nmk_memory_new(cells->count, sizeof *side->sums);
    for (size_t c = 0; c < cells->count; c++) {
        if (term->table_low) {
            int64_t n = term->table_low[cells->items[c].low];
            side->sums[c] = nmk_sum_single(n);
            if (n > share || n < -share)
                return false;
        } else if (!set_number(&side->sums[c], term->low, cells->items[c], cells, share)) {
            return false;
        }
    }
    return true;
}

static void set_exact_number(struct nmk_side *side, size_t c, const struct nmk_rat *times, struct nmk_cell cell)
{
    int sign = nmk_rat_sign(times);
    struct nmk_rat *near = &side->exact_low[c], *far = &side->exact_high[c];
    nmk_rat_set_int(near, cell.low);
    nmk_rat_mul(near, near, times);
    if (cell.high == NMK_MODEL_OPEN) {
        side->open_high[c] = sign > 0;
        side->open_low[c] = sign < 0;
        nmk_rat_set(far, near);
        return;
    }
    nmk_rat_set_int(far, cell.high);
    nmk_rat_mul(far, far, times);
    if (sign < 0)
        nmk_rat_swap(near, far);
}

void nmk_side_set_exact(struct nmk_side *side, const struct nmk_whole_term *term, const struct nmk_cells *cells)
{
    size_t n = cells->count;
    side->cells = (uint32_t)n;
    side->exact_low = nmk_memory_new(n, sizeof *side->exact_low);
    side->exact_high = nmk_memory_new(n, sizeof *side->exact_high);
    side->open_low = nmk_memory_new(n, sizeof *side->open_low);
    side->open_high = nmk_memory_new(n, sizeof *side->open_high);
    for (size_t c = 0; c < n; c++) {
        if (term->table) {
            nmk_rat_set(&side->exact_low[c], &term->table[cells->items[c].low]);
            nmk_rat_set(&side->exact_high[c], &term->table[cells->items[c].low]);
        } else {
            set_exact_number(side, c, &term->times, cells->items[c]);
        }
    }
}

void nmk_side_set_remainder(struct nmk_side *side, int64_t times, int64_t modulus, const struct nmk_cells *cells)
{
    side->cells = (uint32_t)cells->count;
    side->sums = nmk_memory_new(cells->count, sizeof *side->sums);
    for (size_t c = 0; c < cells->count; c++) {
        bool comes_round = (__int128)times * cells->stride % modulus == 0;
        if (!nmk_cell_is_single(cells->items[c]) && !comes_round) {
            side->sums[c] = (struct nmk_sum){.low = -NMK_SUM_OPEN, .high = NMK_SUM_OPEN, .unit = 1};
            continue;
        }
        int64_t rest = (int64_t)((__int128)times * cells->items[c].low % modulus);
        rest = rest < 0 ? rest + modulus : rest;
        side->sums[c] = nmk_sum_single(rest);
    }
}

void nmk_side_clear(struct nmk_side *side)
{
    nmk_memory_free(side->sums);
    for (uint32_t c = 0; side->exact_low && c < side->cells; c++) {
        nmk_rat_clear(&side->exact_low[c]);
        nmk_rat_clear(&side->exact_high[c]);
    }
    nmk_memory_free(side->exact_low);
    nmk_memory_free(side->exact_high);
    nmk_memory_free(side->open_low);
    nmk_memory_free(side->open_high);
    memset(side, 0, sizeof *side);
}

static struct nmk_sum narrow(struct nmk_sum s, int64_t least, int64_t most)
{
    int64_t unit = nmk_sum_unit(s);
    if (least != INT64_MIN && s.low < least)
        s.low = least;
    if (most != INT64_MAX && s.high > most)
        s.high = most;
    if (unit == 1)
        return s;
    if (s.low != -NMK_SUM_OPEN)
        s.low = nmk_sum_round_up(s.low, s.like, unit);
    if (s.high != NMK_SUM_OPEN)
        s.high = nmk_sum_round_down(s.high, s.like, unit);
    return s;
}

bool nmk_sum_window_set(struct nmk_sum_window *w, const struct nmk_model_demand *d, struct nmk_sum sum)
{
    w->n = narrow(sum, d->must_least, d->must_most);
    if (w->n.low > w->n.high)
        return false;
    struct nmk_sum met = narrow(w->n, d->least, d->most);
    w->met = met.low <= met.high;
    if (w->met)
        w->n = met;
    return true;
}
