#include "solve/whole/whole_table.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "solve/whole/whole_sum.h"

#ifdef NMK_STRESS
enum { LONG_TERMS = 2, LONG_TABLE = 16, WIDE_TABLE = 64 };
#else
enum {
    LONG_TERMS = 3,
    LONG_TABLE = 600,    /* with more terms and combinations, partial sums are cheaper */
    WIDE_TABLE = 1 << 20 /* with so many combinations they are in any case */
};
#endif
enum {
    MEMO = 16,
    GRID_STEPS = 8,
    MANY_SUMS = 1 << 14, /* of more, both ends are made wider */
    MOST_ASKED = 1000 /* a wide cell between crossed sure bounds over more sums than this counts as sure */
};
#define MOST_COMBINATIONS ((uint64_t)1 << 26)

struct builder {
    struct nmk_net *net;
    struct nmk_bench *bench;
    const struct nmk_part *part;
    /* a demand, or a remainder (modulus > 0) */
    size_t number;
    const struct nmk_model_demand *demand;
    const struct nmk_whole_demand *source;
    int64_t modulus, residue;
    struct nmk_side *sides;
    size_t side_count;
    bool is_exact; /* the sides hold rationals */
    bool is_graded;
    int64_t must_least, must_most; /* of the demand; of a remainder: any */
    bool is_yes_or_no;             /* all sums within them are as good as each other */
    struct nmk_sum rest; /* what the sides from the third on can add */
    bool is_coarse;      /* both ends of wide partial sums are rounded */
    int64_t grid;        /* wide partial sums are rounded outwards to its multiples, so that they are few */
    int64_t memo_sum[MEMO];
    uint32_t memo_grade[MEMO];
    bool has_memo[MEMO];
};

/* ---- the code of a sum ---- */

static uint32_t note_grade(struct nmk_bench *b, uint32_t grade)
{
    if (grade)
        nmk_bench_use_grade(b, grade);
    return grade;
}

/* The grade of constant + n / scale. */
static uint32_t ask_scaled(struct builder *b, int64_t n)
{
    size_t at = (size_t)((uint64_t)n % MEMO);
    if (b->has_memo[at] && b->memo_sum[at] == n)
        return b->memo_grade[at];
    struct nmk_rat v = {0};
    (void)nmk_rat_set_frac(&v, n, b->demand->scale);
    nmk_rat_add(&v, &v, &b->source->constant);
    b->memo_grade[at] = note_grade(b->bench, nmk_grades_ask(&b->bench->grades, b->number, &v));
    b->memo_sum[at] = n;
    b->has_memo[at] = true;
    nmk_rat_clear(&v);
    return b->memo_grade[at];
}

static uint32_t code_of(bool met, uint32_t grade)
{
    return 1 + 2 * grade + !met;
}

/* The best grade of the n in [low, high] that the window's sums can be. */
static uint32_t best_between(struct builder *b, int64_t low, int64_t high, struct nmk_sum n)
{
    int64_t unit = nmk_sum_unit(n);
    low = nmk_sum_round_down(low, n.like, unit); /* outwards: the best of more is no worse */
    high = nmk_sum_round_up(high, n.like, unit);
    if ((high - low) / unit > MOST_ASKED)
        return 0;
    uint32_t best = ask_scaled(b, low);
    for (int64_t at = low + unit; at <= high && best; at += unit) {
        uint32_t grade = ask_scaled(b, at);
        const struct nmk_rat *grades = b->bench->grades.grades;
        best = nmk_rat_cmp(&grades[grade], &grades[best]) > 0 ? grade : best;
    }
    return best;
}

/* The best grade of a window. */
static uint32_t grade_scaled(struct builder *b, const struct nmk_sum_window *w)
{
    const struct nmk_model_demand *d = b->demand;
    bool crossed = d->sure_least > d->sure_most;
    if (w->n.high < d->sure_least && (!crossed || w->n.high <= d->sure_most))
        return ask_scaled(b, w->n.high);
    if (w->n.low > d->sure_most && (!crossed || w->n.low >= d->sure_least))
        return ask_scaled(b, w->n.low);
    int64_t low = w->n.low < d->sure_most ? d->sure_most : w->n.low;
    int64_t high = w->n.high > d->sure_least ? d->sure_least : w->n.high;
    if (crossed)
        return best_between(b, low, high, w->n);
    if (d->sure_least == INT64_MIN || d->sure_most == INT64_MAX || w->n.low == w->n.high)
        return 0;
    /* No n of its kind may be sure. */
    if (nmk_sum_round_up(d->sure_least, w->n.like, nmk_sum_unit(w->n)) <= d->sure_most)
        return 0;
    return best_between(b, d->sure_least, d->sure_most, w->n);
}

/* Of one number. */
static uint32_t code_single(struct builder *b, int64_t n)
{
    const struct nmk_model_demand *d = b->demand;
    if (n < d->must_least || n > d->must_most)
        return 0;
    bool graded = b->is_graded && (n < d->sure_least || n > d->sure_most);
    return code_of(n >= d->least && n <= d->most, graded ? ask_scaled(b, n) : 0);
}

/* Of a sum that no grade depends on; most are so wide or so far off that no rounding is needed to tell. */
static uint32_t code_ungraded(const struct nmk_model_demand *d, struct nmk_sum s)
{
    int64_t low = s.low > d->must_least ? s.low : d->must_least, high = s.high < d->must_most ? s.high : d->must_most;
    if (low > high)
        return 0;
    if (d->is_hard && high - low >= s.unit - 1)
        return code_of(true, 0);
    struct nmk_sum_window w;
    return nmk_sum_window_set(&w, d, s) ? code_of(w.met, 0) : 0;
}

static uint32_t code_scaled(struct builder *b, struct nmk_sum s)
{
    if (b->modulus) /* an open sum may be any */
        return s.low != s.high || s.low % b->modulus == b->residue;
    if (s.low == s.high)
        return code_single(b, s.low);
    if (!b->is_graded)
        return code_ungraded(b->demand, s);
    struct nmk_sum_window w;
    return nmk_sum_window_set(&w, b->demand, s) ? code_of(w.met, grade_scaled(b, &w)) : 0;
}

/* ---- the same with rationals; low, high: NULL if open ---- */

static uint32_t ask_exact(struct builder *b, const struct nmk_rat *v)
{
    return note_grade(b->bench, nmk_grades_ask(&b->bench->grades, b->number, v));
}

static bool is_below(const struct nmk_rat *a, const struct nmk_rat *b)
{
    return a && b && nmk_rat_cmp(a, b) < 0;
}

static uint32_t grade_exact(struct builder *b, const struct nmk_rat *low, const struct nmk_rat *high)
{
    const struct nmk_whole_demand *d = b->source;
    const struct nmk_rat *sure_least = d->has_sure_least ? &d->sure_least : NULL;
    const struct nmk_rat *sure_most = d->has_sure_most ? &d->sure_most : NULL;
    bool crossed = is_below(sure_most, sure_least);
    if (is_below(high, sure_least) && (!crossed || !is_below(sure_most, high)))
        return ask_exact(b, high);
    if (is_below(sure_most, low) && (!crossed || !is_below(low, sure_least)))
        return ask_exact(b, low);
    return crossed && low && high && nmk_rat_equal(low, high) ? ask_exact(b, low) : 0;
}

static uint32_t code_exact(struct builder *b, const struct nmk_rat *low, const struct nmk_rat *high)
{
    const struct nmk_whole_demand *d = b->source;
    bool met = !(d->has_least && is_below(high, &d->least)) && !(d->has_most && is_below(&d->most, low));
    if (!met && !d->soft)
        return 0;
    return code_of(met, b->is_graded ? grade_exact(b, low, high) : 0);
}

static uint32_t exact_code_of(struct builder *b, const uint32_t *cells)
{
    struct nmk_rat low = {0}, high = {0};
    bool open_low = false, open_high = false;
    nmk_rat_set(&low, &b->source->constant);
    nmk_rat_set(&high, &b->source->constant);
    for (size_t k = 0; k < b->side_count; k++) {
        nmk_rat_add(&low, &low, &b->sides[k].exact_low[cells[k]]);
        nmk_rat_add(&high, &high, &b->sides[k].exact_high[cells[k]]);
        open_low = open_low || b->sides[k].open_low[cells[k]];
        open_high = open_high || b->sides[k].open_high[cells[k]];
    }
    uint32_t code = code_exact(b, open_low ? NULL : &low, open_high ? NULL : &high);
    nmk_rat_clear(&low);
    nmk_rat_clear(&high);
    return code;
}

/* ---- the table ---- */

static uint64_t combinations(const struct builder *b)
{
    uint64_t size = 1;
    for (size_t k = 0; k < b->side_count; k++)
        if (__builtin_mul_overflow(size, b->sides[k].cells, &size))
            return UINT64_MAX;
    return size;
}

/* The combination of the first `count` sides after this one, the last of them running fastest. */
static void advance(const struct builder *b, uint32_t *cells, size_t count)
{
    for (size_t k = count; k-- > 0;) {
        if (++cells[k] < b->sides[k].cells)
            return;
        cells[k] = 0;
    }
}

static struct nmk_sum ends_of(const struct nmk_side *side)
{
    struct nmk_sum ends = side->sums[0];
    for (uint32_t c = 1; c < side->cells; c++) {
        ends.low = side->sums[c].low < ends.low ? side->sums[c].low : ends.low;
        ends.high = side->sums[c].high > ends.high ? side->sums[c].high : ends.high;
    }
    return ends;
}

/* The codes of all cells of the last side, after these of the others; they are 0. Most sums lie so far out that it is seen
 * from their ends; of the others, most are single numbers. */
static void fill_row(struct builder *b, uint32_t *codes, struct nmk_sum sum)
{
    const struct nmk_side *last = &b->sides[b->side_count - 1];
    int64_t least = b->must_least, most = b->must_most;
    for (uint32_t c = 0; c < last->cells; c++) {
        const struct nmk_sum *own = &last->sums[c];
        int64_t low = sum.low + own->low, high = sum.high + own->high;
        if (high < least || low > most)
            continue;
        if (low == high && b->is_yes_or_no)
            codes[c] = code_of(true, 0);
        else
            codes[c] = code_scaled(b, nmk_sum_add(sum, *own));
    }
}

/* codes: 0 all. Whole rows are out of reach of the ends of the last side. */
static void fill_rows(struct builder *b, uint32_t *codes, uint64_t size)
{
    uint32_t *cells = nmk_memory_new(b->side_count, sizeof *cells);
    size_t outer = b->side_count - 1;
    uint32_t width = b->sides[outer].cells;
    struct nmk_sum ends = ends_of(&b->sides[outer]);
    for (uint64_t at = 0; at < size; at += width) {
        struct nmk_sum sum = nmk_sum_single(0);
        for (size_t k = 0; k < outer; k++)
            sum = nmk_sum_add(sum, b->sides[k].sums[cells[k]]);
        if (sum.high + ends.high >= b->must_least && sum.low + ends.low <= b->must_most)
            fill_row(b, codes + at, sum);
        advance(b, cells, outer);
    }
    nmk_memory_free(cells);
}

static void fill_exact(struct builder *b, uint32_t *codes, uint64_t size)
{
    uint32_t *cells = nmk_memory_new(b->side_count, sizeof *cells);
    for (uint64_t at = 0; at < size; at++) {
        codes[at] = exact_code_of(b, cells);
        advance(b, cells, b->side_count);
    }
    nmk_memory_free(cells);
}

static void fill(struct builder *b, uint32_t *codes, uint64_t size)
{
    if (b->is_exact)
        fill_exact(b, codes, size);
    else if (b->side_count)
        fill_rows(b, codes, size);
    else
        *codes = code_scaled(b, nmk_sum_single(0));
}

static bool add_table(struct builder *b)
{
    uint64_t size = combinations(b);
    if (size > MOST_COMBINATIONS)
        return nmk_work_fail(&b->bench->work, NMK_TOO_LARGE);
    uint32_t *vars = nmk_memory_new(b->side_count, sizeof *vars);
    for (size_t k = 0; k < b->side_count; k++)
        vars[k] = b->sides[k].var;
    struct nmk_net_factor *factor = nmk_net_add_factor(b->net, vars, b->side_count);
    nmk_memory_free(vars);
    fill(b, factor->codes, size);
    return nmk_work_step(&b->bench->work, size);
}

/* ---- partial sums ---- */

static int compare_sums(const void *a, const void *b)
{
    const struct nmk_sum *x = a, *y = b;
    if (x->low != y->low)
        return x->low < y->low ? -1 : 1;
    if (x->high != y->high)
        return x->high < y->high ? -1 : 1;
    if (x->unit != y->unit)
        return x->unit < y->unit ? -1 : 1;
    if (x->far_low != y->far_low)
        return x->far_low < y->far_low ? -1 : 1;
    if (x->far_high != y->far_high)
        return x->far_high < y->far_high ? -1 : 1;
    return x->like != y->like ? (x->like < y->like ? -1 : 1) : 0;
}

/* A wide sum stands for its best number anyway: cut off what can no longer be allowed, and made a little wider at the ends
 * away from a goal, which promise the least; at both if they are very many. A single number stays what it is. */
static struct nmk_sum coarsen(const struct builder *b, struct nmk_sum s)
{
    if (s.low == s.high || b->modulus || b->bench->exact_sums)
        return s;
    const struct nmk_model_demand *d = b->demand;
    if (d->must_least != INT64_MIN && b->rest.high < NMK_SUM_OPEN && s.low < d->must_least - b->rest.high)
        s.low = d->must_least - b->rest.high;
    if (d->must_most != INT64_MAX && b->rest.low > -NMK_SUM_OPEN && s.high > d->must_most - b->rest.low)
        s.high = d->must_most - b->rest.low;
    if ((s.far_low || b->is_coarse) && s.low > -NMK_SUM_OPEN)
        s.low = nmk_sum_clamp(nmk_sum_round_down(s.low, 0, b->grid));
    if ((s.far_high || b->is_coarse) && s.high < NMK_SUM_OPEN)
        s.high = nmk_sum_clamp(nmk_sum_round_up(s.high, 0, b->grid));
    return s;
}

static struct nmk_sum pair_sum(const struct builder *b, uint32_t i, uint32_t j)
{
    struct nmk_sum s = nmk_sum_add(b->sides[0].sums[i], b->sides[1].sums[j]);
    if (s.unit)
        s.like = (s.like % s.unit + s.unit) % s.unit; /* so that equal ones are found to be equal */
    if (b->modulus && s.low == s.high)
        s.low = s.high = s.low % b->modulus;
    if (b->modulus)
        s.like = 0; /* a remainder's sums are told apart by their ends */
    return coarsen(b, s);
}

static void set_rest(struct builder *b)
{
    b->rest = nmk_sum_single(0);
    for (size_t k = 2; k < b->side_count; k++)
        b->rest = nmk_sum_add(b->rest, ends_of(&b->sides[k]));
}

/* A few steps of the grid over all single sums. */
static void set_grid(struct builder *b)
{
    int64_t low = INT64_MAX, high = INT64_MIN;
    for (int side = 0; side < 2; side++)
        for (uint32_t c = 0; c < b->sides[side].cells; c++) {
            struct nmk_sum s = b->sides[side].sums[c];
            if (s.low != s.high)
                continue;
            low = s.low < low ? s.low : low;
            high = s.high > high ? s.high : high;
        }
    b->grid = low < high ? (high - low) / GRID_STEPS + 1 : 1;
}

/* Can the demand still be met with this partial sum? */
static bool is_of_use(const struct builder *b, struct nmk_sum s)
{
    if (b->modulus)
        return true;
    s = nmk_sum_add(s, b->rest);
    return s.high >= b->demand->must_least && s.low <= b->demand->must_most;
}

static uint32_t collect_sums(const struct builder *b, struct nmk_sum *sums)
{
    size_t count = 0, kept = 0;
    for (uint32_t i = 0; i < b->sides[0].cells; i++)
        for (uint32_t j = 0; j < b->sides[1].cells; j++)
            if (is_of_use(b, pair_sum(b, i, j)))
                sums[count++] = pair_sum(b, i, j);
    qsort(sums, count, sizeof *sums, compare_sums);
    for (size_t k = 0; k < count; k++)
        if (!kept || compare_sums(&sums[kept - 1], &sums[k]) != 0)
            sums[kept++] = sums[k];
    return (uint32_t)kept;
}

static void add_sum_map(struct builder *b, const struct nmk_side *sum)
{
    const uint32_t vars[3] = {b->sides[0].var, b->sides[1].var, sum->var};
    uint32_t *map = nmk_net_add_map(b->net, vars)->map;
    for (uint32_t i = 0; i < b->sides[0].cells; i++)
        for (uint32_t j = 0; j < b->sides[1].cells; j++, map++) {
            struct nmk_sum wanted = pair_sum(b, i, j);
            const struct nmk_sum *found =
                bsearch(&wanted, sum->sums, sum->cells, sizeof *sum->sums, compare_sums);
            *map = found ? (uint32_t)(found - sum->sums) + 1 : 0;
        }
}

/* Puts one side, a new variable, in place of the first two. An empty one (no partial sum is of use) forbids all. */
static bool join_two(struct builder *b)
{
    uint64_t pairs = (uint64_t)b->sides[0].cells * b->sides[1].cells;
    if (pairs > MOST_COMBINATIONS)
        return nmk_work_fail(&b->bench->work, NMK_TOO_LARGE);
    set_rest(b);
    set_grid(b);
    struct nmk_side sum = {0};
    sum.sums = nmk_memory_new((size_t)pairs + 1, sizeof *sum.sums);
    b->is_coarse = false;
    sum.cells = collect_sums(b, sum.sums);
    if (sum.cells > MANY_SUMS) {
        b->is_coarse = true;
        sum.cells = collect_sums(b, sum.sums);
    }
    if (!sum.cells) /* one cell that nothing leads to */
        sum.sums[sum.cells++] = (struct nmk_sum){.low = 1};
    struct nmk_net_var var = {.cells = sum.cells, .key = NMK_NET_NO_KEY};
    sum.var = nmk_net_add_var(b->net, &var);
    add_sum_map(b, &sum);
    nmk_side_clear(&b->sides[0]);
    nmk_side_clear(&b->sides[1]);
    b->sides[0] = sum;
    memmove(&b->sides[1], &b->sides[2], (b->side_count - 2) * sizeof *b->sides);
    b->side_count--;
    return nmk_work_step(&b->bench->work, pairs);
}

static bool build(struct builder *b)
{
    bool ok = true;
    while (ok && !b->is_exact && b->side_count > 2 && combinations(b) > (b->side_count > LONG_TERMS ? LONG_TABLE : WIDE_TABLE))
        ok = join_two(b);
    return ok && add_table(b);
}

static void clear(struct builder *b, size_t sides)
{
    for (size_t k = 0; k < sides; k++)
        nmk_side_clear(&b->sides[k]);
    nmk_memory_free(b->sides);
}

static const struct nmk_cells *cells_of(const struct builder *b, size_t unknown)
{
    return &b->part->cells[b->bench->local[unknown]];
}

static bool set_sides(struct builder *b)
{
    int64_t share = NMK_MODEL_FAR / (int64_t)(b->side_count + 1);
    for (size_t k = 0; k < b->side_count; k++) {
        const struct nmk_model_term *t = &b->bench->model.terms[b->demand->first + k];
        if (!nmk_side_set(&b->sides[k], b->bench, t, cells_of(b, t->unknown), share))
            return false;
    }
    return true;
}

static void set_exact_sides(struct builder *b)
{
    b->is_exact = true;
    for (size_t k = 0; k < b->side_count; k++) {
        size_t unknown = b->source->terms[k].unknown;
        nmk_side_clear(&b->sides[k]);
        b->sides[k].var = b->bench->local[unknown];
        nmk_side_set_exact(&b->sides[k], &b->source->terms[k], cells_of(b, unknown));
    }
}

bool nmk_table_add_demand(struct nmk_net *net, struct nmk_bench *bench, const struct nmk_part *part, size_t demand)
{
    struct builder b = {.net = net, .bench = bench, .part = part, .number = demand};
    b.demand = &bench->model.demands[demand];
    b.source = &bench->model.problem->demands[demand];
    b.is_graded = b.demand->is_graded;
    b.must_least = b.demand->must_least;
    b.must_most = b.demand->must_most;
    b.is_yes_or_no = b.demand->is_hard && !b.is_graded;
    size_t count = b.side_count = b.source->count;
    b.sides = nmk_memory_new(count, sizeof *b.sides);
    if (!b.demand->is_scaled || !set_sides(&b))
        set_exact_sides(&b);
    bool ok = build(&b);
    clear(&b, b.side_count);
    return ok;
}

bool nmk_table_add_remainder(struct nmk_net *net, struct nmk_bench *bench, const struct nmk_part *part, size_t remainder)
{
    const struct nmk_whole_remainder *r = &bench->model.problem->remainders[remainder];
    struct builder b = {.net = net, .bench = bench, .part = part, .modulus = r->modulus};
    b.must_least = INT64_MIN;
    b.must_most = INT64_MAX;
    b.residue = (r->residue % r->modulus + r->modulus) % r->modulus;
    b.side_count = r->count;
    b.sides = nmk_memory_new(r->count, sizeof *b.sides);
    for (size_t k = 0; k < r->count; k++) {
        b.sides[k].var = bench->local[r->unknowns[k]];
        nmk_side_set_remainder(&b.sides[k], r->times[k], r->modulus, cells_of(&b, r->unknowns[k]));
    }
    bool ok = build(&b);
    clear(&b, b.side_count);
    return ok;
}
