#include "solve/whole_hull.h"

#include "base/memory.h"

/* (1) Quantities 0 .. n-1 are the unknowns, n .. n+m-1 the demands' sums. Each has bounds, either open. m of them are
 *     basic: sums over the others, which lie at values within their bounds. Rows keep the basic ones right.
 * (2) A basic quantity outside its bounds is exchanged for another that can move it; if none can, its row proves that the
 *     demands contradict each other. (Dutertre and de Moura, CAV 2006; from memory.)
 * (3) Then one quantity is raised until a bound stops it. Of several to choose from always the first in number, so that no
 *     basis comes twice (Bland, Mathematics of Operations Research 2, 1977). */
struct hull {
    size_t n, m;
    struct nmk_rat *rows;          /* [m][n]: row i, place k */
    size_t *basic, *other;         /* by row, by place: the quantity */
    size_t *place;                 /* by quantity: its row if basic, else its place */
    bool *is_basic;
    struct nmk_rat *value, *low, *high; /* by quantity */
    bool *has_low, *has_high;
};

enum { MOST_ENTRIES = 60000 };
#define NONE SIZE_MAX

static struct nmk_rat *entry(struct hull *h, size_t row, size_t place)
{
    return &h->rows[row * h->n + place];
}

/* ---- setting up ---- */

static void set_bound(struct nmk_rat *to, bool *has, int64_t n, int64_t open)
{
    *has = n != open;
    if (*has)
        nmk_rat_set_int(to, n);
}

static void set_row(struct hull *h, size_t row, const struct nmk_bench *b, const struct nmk_part *part, size_t demand)
{
    const struct nmk_model_demand *d = &b->model.demands[demand];
    struct nmk_rat part_of_sum = {0};
    int64_t least = d->least, most = d->most;
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_model_term *term = &b->model.terms[d->first + k];
        if (term->table_low) { /* a choice widens the bounds by all it may be */
            least = least == INT64_MIN ? least : least - term->most;
            most = most == INT64_MAX ? most : most - term->least;
            continue;
        }
        size_t place = 0;
        while (part->unknowns[place] != term->unknown)
            place++;
        nmk_rat_set_int(entry(h, row, place), term->low);
        nmk_rat_mul(&part_of_sum, entry(h, row, place), &h->value[place]);
        nmk_rat_add(&h->value[h->n + row], &h->value[h->n + row], &part_of_sum);
    }
    set_bound(&h->low[h->n + row], &h->has_low[h->n + row], least, INT64_MIN);
    set_bound(&h->high[h->n + row], &h->has_high[h->n + row], most, INT64_MAX);
    nmk_rat_clear(&part_of_sum);
}

static bool is_looked_at(const struct nmk_model_demand *d)
{
    return d->is_hard && d->is_scaled && d->count;
}

static void hull_init(struct hull *h, const struct nmk_bench *b, const struct nmk_part *part, size_t rows)
{
    *h = (struct hull){.n = part->unknown_count, .m = rows};
    size_t count = h->n + h->m;
    h->rows = nmk_memory_new(h->n * h->m, sizeof *h->rows);
    h->basic = nmk_memory_new(h->m, sizeof *h->basic);
    h->other = nmk_memory_new(h->n, sizeof *h->other);
    h->place = nmk_memory_new(count, sizeof *h->place);
    h->is_basic = nmk_memory_new(count, sizeof *h->is_basic);
    h->value = nmk_memory_new(count, sizeof *h->value);
    h->low = nmk_memory_new(count, sizeof *h->low);
    h->high = nmk_memory_new(count, sizeof *h->high);
    h->has_low = nmk_memory_new(count, sizeof *h->has_low);
    h->has_high = nmk_memory_new(count, sizeof *h->has_high);
    for (size_t k = 0; k < h->n; k++) {
        h->other[k] = h->place[k] = k;
        set_bound(&h->low[k], &h->has_low[k], b->model.low[part->unknowns[k]], INT64_MIN);
        set_bound(&h->high[k], &h->has_high[k], b->model.high[part->unknowns[k]], NMK_MODEL_OPEN);
        nmk_rat_set(&h->value[k], &h->low[k]);
    }
    size_t row = 0;
    for (size_t i = 0; i < part->demand_count; i++) {
        if (!is_looked_at(&b->model.demands[part->demands[i]]))
            continue;
        h->basic[row] = h->n + row;
        h->place[h->n + row] = row;
        h->is_basic[h->n + row] = true;
        set_row(h, row++, b, part, part->demands[i]);
    }
}

static void clear_all(struct nmk_rat *all, size_t count)
{
    for (size_t i = 0; i < count; i++)
        nmk_rat_clear(&all[i]);
    nmk_memory_free(all);
}

static void hull_clear(struct hull *h)
{
    size_t count = h->n + h->m;
    clear_all(h->rows, h->n * h->m);
    clear_all(h->value, count);
    clear_all(h->low, count);
    clear_all(h->high, count);
    nmk_memory_free(h->basic);
    nmk_memory_free(h->other);
    nmk_memory_free(h->place);
    nmk_memory_free(h->is_basic);
    nmk_memory_free(h->has_low);
    nmk_memory_free(h->has_high);
}

/* ---- moving ---- */

/* Moves the quantity at `place` by `step`, and with it every basic one. */
static void move(struct hull *h, size_t place, const struct nmk_rat *step)
{
    struct nmk_rat part = {0};
    nmk_rat_add(&h->value[h->other[place]], &h->value[h->other[place]], step);
    for (size_t row = 0; row < h->m; row++) {
        if (nmk_rat_is_zero(entry(h, row, place)))
            continue;
        nmk_rat_mul(&part, entry(h, row, place), step);
        nmk_rat_add(&h->value[h->basic[row]], &h->value[h->basic[row]], &part);
    }
    nmk_rat_clear(&part);
}

/* Solves `row` for the quantity at `place` and puts that into all other rows. */
static void exchange(struct hull *h, size_t row, size_t place)
{
    struct nmk_rat inverse = {0}, times = {0}, part = {0};
    nmk_rat_set_int(&inverse, 1);
    nmk_rat_div(&inverse, &inverse, entry(h, row, place));
    for (size_t k = 0; k < h->n; k++) {
        nmk_rat_mul(entry(h, row, k), entry(h, row, k), &inverse);
        if (k != place)
            nmk_rat_neg(entry(h, row, k), entry(h, row, k));
    }
    nmk_rat_set(entry(h, row, place), &inverse);
    for (size_t i = 0; i < h->m; i++) {
        if (i == row || nmk_rat_is_zero(entry(h, i, place)))
            continue;
        nmk_rat_set(&times, entry(h, i, place));
        nmk_rat_set_int(entry(h, i, place), 0);
        for (size_t k = 0; k < h->n; k++) {
            nmk_rat_mul(&part, entry(h, row, k), &times);
            nmk_rat_add(entry(h, i, k), entry(h, i, k), &part);
        }
    }
    size_t leaves = h->basic[row], enters = h->other[place];
    h->basic[row] = enters;
    h->other[place] = leaves;
    h->is_basic[enters] = true;
    h->is_basic[leaves] = false;
    h->place[enters] = row;
    h->place[leaves] = place;
    nmk_rat_clear(&inverse);
    nmk_rat_clear(&times);
    nmk_rat_clear(&part);
}

static bool can_rise(const struct hull *h, size_t q)
{
    return !h->has_high[q] || nmk_rat_cmp(&h->value[q], &h->high[q]) < 0;
}

static bool can_fall(const struct hull *h, size_t q)
{
    return !h->has_low[q] || nmk_rat_cmp(&h->value[q], &h->low[q]) > 0;
}

/* The first quantity that can move the basic one of `row` upwards (or downwards); NONE: none. */
static size_t find_mover(struct hull *h, size_t row, bool upwards)
{
    size_t best = NONE;
    for (size_t k = 0; k < h->n; k++) {
        int sign = nmk_rat_sign(entry(h, row, k));
        if (sign && ((sign > 0) == upwards ? can_rise(h, h->other[k]) : can_fall(h, h->other[k])))
            if (best == NONE || h->other[k] < h->other[best])
                best = k;
    }
    return best;
}

/* (2) false: the demands contradict each other. */
static bool make_feasible(struct hull *h)
{
    struct nmk_rat step = {0};
    bool feasible = true;
    while (feasible) {
        size_t row = NONE;
        for (size_t q = 0; q < h->n + h->m && row == NONE; q++)
            if (h->is_basic[q] && ((h->has_low[q] && nmk_rat_cmp(&h->value[q], &h->low[q]) < 0) ||
                                   (h->has_high[q] && nmk_rat_cmp(&h->value[q], &h->high[q]) > 0)))
                row = h->place[q];
        if (row == NONE)
            break;
        size_t q = h->basic[row];
        bool upwards = h->has_low[q] && nmk_rat_cmp(&h->value[q], &h->low[q]) < 0;
        size_t place = find_mover(h, row, upwards);
        feasible = place != NONE;
        if (!feasible)
            break;
        nmk_rat_sub(&step, upwards ? &h->low[q] : &h->high[q], &h->value[q]);
        nmk_rat_div(&step, &step, entry(h, row, place));
        move(h, place, &step);
        exchange(h, row, place);
    }
    nmk_rat_clear(&step);
    return feasible;
}

/* ---- raising ---- */

/* How far the quantity at `place` can move in one direction: *stop is the row that stops it, NONE its own bound. false:
 * without end. *step is signed. */
static bool find_step(struct nmk_rat *step, size_t *stop, struct hull *h, size_t place, bool rises)
{
    struct nmk_rat room = {0};
    size_t mover = h->other[place], first = NONE;
    bool limited = rises ? h->has_high[mover] : h->has_low[mover];
    *stop = NONE;
    if (limited) {
        nmk_rat_sub(step, rises ? &h->high[mover] : &h->low[mover], &h->value[mover]);
        first = mover;
    }
    for (size_t row = 0; row < h->m; row++) {
        int sign = nmk_rat_sign(entry(h, row, place));
        size_t q = h->basic[row];
        bool up = (sign > 0) == rises;
        if (!sign || !(up ? h->has_high[q] : h->has_low[q]))
            continue;
        nmk_rat_sub(&room, up ? &h->high[q] : &h->low[q], &h->value[q]);
        nmk_rat_div(&room, &room, entry(h, row, place));
        int order = limited ? nmk_rat_cmp(&room, step) : 0;
        if (limited && !rises)
            order = -order;
        if (limited && (order > 0 || (order == 0 && q > first)))
            continue;
        nmk_rat_swap(step, &room);
        limited = true;
        *stop = row;
        first = q;
    }
    nmk_rat_clear(&room);
    return limited;
}

/* (3) Raises quantity q as far as it goes; false: without end. */
static bool raise_it(struct hull *h, size_t q)
{
    struct nmk_rat step = {0};
    bool limited = true;
    for (;;) {
        size_t place = NONE, stop;
        bool rises = true;
        if (!h->is_basic[q]) {
            place = can_rise(h, q) ? h->place[q] : NONE;
        } else {
            size_t row = h->place[q];
            place = find_mover(h, row, true);
            rises = place != NONE && nmk_rat_sign(entry(h, row, place)) > 0;
        }
        if (place == NONE)
            break;
        limited = find_step(&step, &stop, h, place, rises);
        if (!limited)
            break;
        move(h, place, &step);
        if (stop != NONE)
            exchange(h, stop, place);
    }
    nmk_rat_clear(&step);
    return limited;
}

static bool bound_open(struct hull *h, struct nmk_bench *b, const struct nmk_part *part)
{
    struct nmk_rat most = {0};
    bool tighter = false;
    for (size_t k = 0; k < h->n; k++) {
        int64_t *high = &b->model.high[part->unknowns[k]];
        if (*high != NMK_MODEL_OPEN || !raise_it(h, k))
            continue;
        nmk_rat_floor(&most, &h->value[k]);
        int64_t n;
        if (nmk_rat_get_int(&n, &most) == NMK_OK && n < NMK_MODEL_FAR) {
            *high = n;
            tighter = true;
        }
    }
    nmk_rat_clear(&most);
    return tighter;
}

enum nmk_hull_outcome nmk_hull_bound(struct nmk_bench *b, const struct nmk_part *part)
{
    size_t rows = 0;
    struct hull h;
    for (size_t i = 0; i < part->demand_count; i++)
        rows += is_looked_at(&b->model.demands[part->demands[i]]);
    if (!rows || rows > MOST_ENTRIES / part->unknown_count)
        return NMK_HULL_SAME;
    hull_init(&h, b, part, rows);
    enum nmk_hull_outcome outcome = NMK_HULL_EMPTY;
    if (make_feasible(&h))
        outcome = bound_open(&h, b, part) ? NMK_HULL_TIGHTER : NMK_HULL_SAME;
    hull_clear(&h);
    return outcome;
}
