#include "solve/whole/whole_conflict.h"

#include "base/memory.h"
#include "solve/whole/whole_lattice.h"
#include "solve/whole/whole_linear.h"
#include "solve/whole/whole_sum.h"

enum {
    MOST_CELLS = 1 << 16, /* of the tableau */
    MOST_ASKED = 1000     /* grades between crossed sure bounds */
};

struct finder {
    struct nmk_bench *bench;
    const struct nmk_part *part;
    const uint32_t *cells;
    struct nmk_linear linear;
    int64_t *shift; /* of each row: what its choices add */
};

static const struct nmk_whole_unknown *unknown_of(const struct finder *f, size_t k)
{
    return &f->bench->model.problem->unknowns[f->part->unknowns[k]];
}

static struct nmk_cell cell_of(const struct finder *f, size_t k)
{
    return f->part->cells[k].items[f->cells[k]];
}

/* ---- what a demand promises ---- */

static int64_t clamp(__int128 n)
{
    return n > NMK_MODEL_FAR ? NMK_SUM_OPEN : n < -NMK_MODEL_FAR ? -NMK_SUM_OPEN : (int64_t)n;
}

static int64_t times_of(const struct finder *f, const struct nmk_model_term *t)
{
    return t->table_low ? t->table_low[cell_of(f, f->bench->local[t->unknown]).low] : t->low;
}

static struct nmk_sum sum_of_term(const struct finder *f, const struct nmk_model_term *t)
{
    struct nmk_cell cell = cell_of(f, f->bench->local[t->unknown]);
    int64_t times = times_of(f, t);
    if (t->table_low)
        return nmk_sum_single(times);
    int64_t a = clamp((__int128)times * cell.low);
    int64_t b = cell.high != NMK_MODEL_OPEN ? clamp((__int128)times * cell.high)
                : times > 0                 ? NMK_SUM_OPEN
                : times < 0                 ? -NMK_SUM_OPEN
                                            : 0;
    if (nmk_cell_is_single(cell))
        return nmk_sum_single(a);
    int64_t unit = clamp((__int128)(times < 0 ? -times : times) * f->part->cells[f->bench->local[t->unknown]].stride);
    return (struct nmk_sum){
        .low = a < b ? a : b, .high = a < b ? b : a, .like = unit ? (a % unit + unit) % unit : 0, .unit = unit};
}

static struct nmk_sum sum_of(const struct finder *f, const struct nmk_model_demand *d)
{
    struct nmk_sum s = nmk_sum_single(0);
    for (size_t k = 0; k < d->count; k++)
        s = nmk_sum_add(s, sum_of_term(f, &f->bench->model.terms[d->first + k]));
    return s;
}

static void keep_above(struct nmk_linear_bounds *b, int64_t low)
{
    low = low > NMK_MODEL_FAR ? NMK_MODEL_FAR : low;
    if (low < -NMK_MODEL_FAR || (b->has_low && b->low >= low))
        return;
    b->has_low = true;
    b->low = low;
}

static void keep_below(struct nmk_linear_bounds *b, int64_t high)
{
    high = high < -NMK_MODEL_FAR ? -NMK_MODEL_FAR : high;
    if (high > NMK_MODEL_FAR || (b->has_high && b->high <= high))
        return;
    b->has_high = true;
    b->high = high;
}

/* The first n = like (mod unit) round [low, high] with the best grade. */
static int64_t surest_between(struct nmk_bench *b, size_t demand, int64_t low, int64_t high, struct nmk_sum sum)
{
    const struct nmk_model_demand *d = &b->model.demands[demand];
    int64_t unit = nmk_sum_unit(sum);
    struct nmk_rat v = {0};
    low = nmk_sum_round_down(low, sum.like, unit);
    high = nmk_sum_round_up(high, sum.like, unit);
    int64_t best = low;
    uint32_t best_grade = 0;
    for (int64_t n = low; n <= high; n += unit) {
        (void)nmk_rat_set_frac(&v, n, d->scale);
        nmk_rat_add(&v, &v, &b->model.problem->demands[demand].constant);
        uint32_t grade = nmk_grades_ask(&b->grades, demand, &v);
        if (n == low || nmk_rat_cmp(&b->grades.grades[grade], &b->grades.grades[best_grade]) > 0) {
            best = n;
            best_grade = grade;
        }
    }
    nmk_rat_clear(&v);
    return best;
}

static void promise_grade(struct finder *f, size_t demand, const struct nmk_sum_window *w, struct nmk_linear_bounds *b)
{
    const struct nmk_model_demand *d = &f->bench->model.demands[demand];
    bool crossed = d->sure_least > d->sure_most;
    if (w->n.high < d->sure_least && (!crossed || w->n.high <= d->sure_most)) {
        keep_above(b, w->n.high);
    } else if (w->n.low > d->sure_most && (!crossed || w->n.low >= d->sure_least)) {
        keep_below(b, w->n.low);
    } else if (!crossed) {
        keep_above(b, d->sure_least);
        keep_below(b, d->sure_most);
    } else {
        int64_t low = w->n.low < d->sure_most ? d->sure_most : w->n.low;
        int64_t high = w->n.high > d->sure_least ? d->sure_least : w->n.high;
        if ((high - low) / nmk_sum_unit(w->n) > MOST_ASKED)
            return;
        int64_t n = surest_between(f->bench, demand, low, high, w->n);
        keep_above(b, n);
        keep_below(b, n);
    }
}

static void set_row(struct finder *f, size_t row)
{
    size_t demand = f->part->demands[row];
    const struct nmk_model_demand *d = &f->bench->model.demands[demand];
    struct nmk_linear_bounds *b = &f->linear.bounds[f->linear.columns + row];
    if (!d->is_scaled)
        return;
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_model_term *t = &f->bench->model.terms[d->first + k];
        if (t->table_low)
            f->shift[row] += times_of(f, t);
        else
            f->linear.times[row * f->linear.columns + f->bench->local[t->unknown]] = t->low;
    }
    keep_above(b, d->must_least);
    keep_below(b, d->must_most);
    struct nmk_sum_window w;
    if (nmk_sum_window_set(&w, d, sum_of(f, d))) {
        if (w.met) {
            keep_above(b, d->least);
            keep_below(b, d->most);
        }
        if (d->is_graded)
            promise_grade(f, demand, &w, b);
    }
    b->low -= f->shift[row];
    b->high -= f->shift[row];
}

static void set_column(struct finder *f, size_t k)
{
    struct nmk_cell cell = cell_of(f, k);
    struct nmk_linear_bounds *b = &f->linear.bounds[k];
    if (unknown_of(f, k)->is_choice)
        return;
    keep_above(b, cell.low);
    if (cell.high != NMK_MODEL_OPEN)
        keep_below(b, cell.high);
}

/* ---- which of them to decide ---- */

static bool always_holds(const struct finder *f, size_t var, bool is_low)
{
    const struct nmk_model *m = &f->bench->model;
    const struct nmk_linear_bounds *b = &f->linear.bounds[var];
    if (var < f->linear.columns) {
        size_t unknown = f->part->unknowns[var];
        return is_low ? b->low <= m->low[unknown] : b->high >= m->high[unknown];
    }
    size_t row = var - f->linear.columns;
    const struct nmk_model_demand *d = &m->demands[f->part->demands[row]];
    return is_low ? d->must_least != INT64_MIN && b->low + f->shift[row] <= d->must_least
                  : d->must_most != INT64_MAX && b->high + f->shift[row] >= d->must_most;
}

/* Demands first, then single numbers, then wide cells: beyond a wide cell there is always another. */
static int importance(const struct finder *f, size_t var)
{
    if (var >= f->linear.columns)
        return 3;
    return nmk_cell_is_single(cell_of(f, var)) ? 2 : 1;
}

static struct nmk_conflict decide(const struct finder *f, const struct nmk_linear_conflict *c)
{
    struct nmk_conflict out = {.kind = NMK_CONFLICT_INFEASIBLE};
    int best = 0;
    for (size_t k = 0; k < c->count; k++) {
        size_t var = c->which[k];
        const struct nmk_linear_bounds *b = &f->linear.bounds[var];
        if (always_holds(f, var, c->is_low[k]) || importance(f, var) <= best)
            continue;
        best = importance(f, var);
        bool is_demand = var >= f->linear.columns;
        out.kind = is_demand ? NMK_CONFLICT_DEMAND : NMK_CONFLICT_UNKNOWN;
        out.which = is_demand ? var - f->linear.columns : var;
        int64_t unit = is_demand ? f->bench->model.demands[f->part->demands[out.which]].unit : 1;
        out.at = (c->is_low[k] ? b->low - unit : b->high) + (is_demand ? f->shift[out.which] : 0);
    }
    return out;
}

/* ---- equations in whole numbers ---- */

struct equations {
    size_t count, columns;
    int64_t *times, *right;
    size_t *row; /* of the linear programme; SIZE_MAX: a remainder */
};

static bool is_equation(const struct finder *f, size_t row, bool always)
{
    size_t var = f->linear.columns + row;
    const struct nmk_linear_bounds *b = &f->linear.bounds[var];
    if (!b->has_low || !b->has_high || b->low != b->high)
        return false;
    return (always_holds(f, var, true) && always_holds(f, var, false)) == always;
}

static void add_equations(struct equations *e, const struct finder *f, bool always)
{
    for (size_t row = 0; row < f->linear.rows; row++) {
        if (!is_equation(f, row, always))
            continue;
        for (size_t c = 0; c < f->linear.columns; c++)
            e->times[e->count * e->columns + c] = f->linear.times[row * f->linear.columns + c];
        e->right[e->count] = f->linear.bounds[f->linear.columns + row].low;
        e->row[e->count++] = row;
    }
}

/* Each has a column of its own for the multiples of the modulus. */
static void add_remainders(struct equations *e, const struct finder *f)
{
    for (size_t k = 0; k < f->part->remainder_count; k++) {
        const struct nmk_whole_remainder *r = &f->bench->model.problem->remainders[f->part->remainders[k]];
        for (size_t t = 0; t < r->count; t++)
            e->times[e->count * e->columns + f->bench->local[r->unknowns[t]]] = r->times[t];
        e->times[e->count * e->columns + f->linear.columns + k] = r->modulus;
        e->right[e->count] = r->residue;
        e->row[e->count++] = SIZE_MAX;
    }
}

/* An equation that was only promised: its n is less, or not; then more, or not. */
static struct nmk_conflict decide_equation(const struct finder *f, const struct equations *e, size_t at)
{
    if (e->row[at] == SIZE_MAX || is_equation(f, e->row[at], true))
        return (struct nmk_conflict){.kind = NMK_CONFLICT_INFEASIBLE};
    size_t row = e->row[at], var = f->linear.columns + row;
    int64_t n = f->linear.bounds[var].low + f->shift[row];
    int64_t unit = f->bench->model.demands[f->part->demands[row]].unit;
    return (struct nmk_conflict){
        .kind = NMK_CONFLICT_DEMAND, .which = row, .at = always_holds(f, var, true) ? n : n - unit};
}

static struct nmk_conflict find_in_equations(const struct finder *f)
{
    struct nmk_conflict out = {.kind = NMK_CONFLICT_NONE};
    size_t rows = f->linear.rows + f->part->remainder_count;
    struct equations e = {.columns = f->linear.columns + f->part->remainder_count};
    if (rows > MOST_CELLS / e.columns)
        return out;
    e.times = nmk_memory_new(rows * e.columns, sizeof *e.times);
    e.right = nmk_memory_new(rows, sizeof *e.right);
    e.row = nmk_memory_new(rows, sizeof *e.row);
    add_remainders(&e, f);
    add_equations(&e, f, true);
    add_equations(&e, f, false);
    size_t at = nmk_lattice_first_impossible(e.times, e.right, e.count, e.columns, &f->bench->work);
    if (at < e.count)
        out = decide_equation(f, &e, at);
    nmk_memory_free(e.times);
    nmk_memory_free(e.right);
    nmk_memory_free(e.row);
    return out;
}

struct nmk_conflict nmk_conflict_find(struct nmk_bench *bench, const struct nmk_part *part, const uint32_t *cells)
{
    struct finder f = {.bench = bench, .part = part, .cells = cells};
    struct nmk_conflict out = {.kind = NMK_CONFLICT_NONE};
    if (part->unknown_count > MOST_CELLS || part->demand_count > MOST_CELLS / part->unknown_count)
        return out;
    for (size_t k = 0; k < part->unknown_count; k++)
        if (unknown_of(&f, k)->is_choice && bench->model.low[part->unknowns[k]] < bench->model.high[part->unknowns[k]])
            return (struct nmk_conflict){.kind = NMK_CONFLICT_CHOICE, .which = k};
    f.shift = nmk_memory_new(part->demand_count, sizeof *f.shift);
    nmk_linear_init(&f.linear, part->unknown_count, part->demand_count);
    for (size_t k = 0; k < part->unknown_count; k++)
        set_column(&f, k);
    for (size_t k = 0; k < part->demand_count; k++)
        set_row(&f, k);
    struct nmk_linear_conflict conflict = {0};
    out = find_in_equations(&f); /* first: if they are impossible for good, nothing else matters */
    if (out.kind != NMK_CONFLICT_INFEASIBLE && !nmk_linear_is_possible(&conflict, &f.linear, &bench->work))
        out = decide(&f, &conflict);
    nmk_linear_conflict_clear(&conflict);
    nmk_linear_clear(&f.linear);
    nmk_memory_free(f.shift);
    return out;
}
