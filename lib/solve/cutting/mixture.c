#include "solve/cutting/mixture.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"

void nmk_mixture_init(struct nmk_mixture *mix, size_t rows, const int64_t *demands, const int32_t *singles)
{
    *mix = (struct nmk_mixture){.rows = rows};
    mix->basis = nmk_memory_new(rows, sizeof *mix->basis);
    mix->amounts = nmk_memory_new(rows, sizeof *mix->amounts);
    mix->inverse = nmk_memory_new(rows * rows, sizeof *mix->inverse);
    mix->prices = nmk_memory_new(rows, sizeof *mix->prices);
    mix->direction = nmk_memory_new(rows, sizeof *mix->direction);
    mix->scaled = nmk_memory_new(rows, sizeof *mix->scaled);
    int32_t *counts = nmk_memory_new(rows, sizeof *counts);
    for (size_t i = 0; i < rows; i++) {
        counts[i] = singles[i];
        nmk_mixture_add(mix, counts);
        counts[i] = 0;
        mix->basis[i] = i;
        nmk_rat_set_frac(&mix->amounts[i], demands[i], singles[i]);
        nmk_rat_set_frac(&mix->inverse[i * rows + i], 1, singles[i]);
    }
    nmk_memory_free(counts);
}

static void clear_rats(struct nmk_rat *rats, size_t count)
{
    for (size_t i = 0; rats && i < count; i++)
        nmk_rat_clear(&rats[i]);
    nmk_memory_free(rats);
}

void nmk_mixture_clear(struct nmk_mixture *mix)
{
    nmk_memory_free(mix->columns);
    nmk_memory_free(mix->basis);
    nmk_memory_free(mix->scaled);
    clear_rats(mix->amounts, mix->rows);
    clear_rats(mix->inverse, mix->rows * mix->rows);
    clear_rats(mix->prices, mix->rows);
    clear_rats(mix->direction, mix->rows);
    *mix = (struct nmk_mixture){0};
}

void nmk_mixture_add(struct nmk_mixture *mix, const int32_t *counts)
{
    void *columns = mix->columns;
    size_t size = mix->rows * sizeof *mix->columns;
    nmk_memory_reserve(&columns, &mix->column_space, mix->column_count + 1, size);
    mix->columns = columns;
    memcpy(mix->columns + mix->column_count++ * mix->rows, counts, size);
}

/* --- prices --- */

static bool is_surplus(size_t column)
{
    return column >= NMK_MIXTURE_SURPLUS;
}

/* prices = costs of the basis times the inverse; a pattern costs one sheet, surplus nothing. */
static void set_prices(struct nmk_mixture *mix)
{
    struct nmk_rat scale = {0}, part = {0};
    nmk_rat_set_int(&scale, (int64_t)1 << NMK_MIXTURE_SCALE);
    for (size_t j = 0; j < mix->rows; j++) {
        nmk_rat_set_int(&mix->prices[j], 0);
        for (size_t r = 0; r < mix->rows; r++)
            if (!is_surplus(mix->basis[r]))
                nmk_rat_add(&mix->prices[j], &mix->prices[j], &mix->inverse[r * mix->rows + j]);
        nmk_rat_mul(&part, &mix->prices[j], &scale);
        nmk_rat_floor(&part, &part);
        if (nmk_rat_get_int(&mix->scaled[j], &part) != NMK_OK)
            mix->scaled[j] = 0;
    }
    nmk_rat_clear(&scale);
    nmk_rat_clear(&part);
}

/* Are the pieces of a column worth more than the sheet it takes? */
static bool is_worth_it(const struct nmk_mixture *mix, const int32_t *column)
{
    struct nmk_rat sum = {0}, count = {0};
    for (size_t i = 0; i < mix->rows; i++)
        if (column[i]) {
            nmk_rat_set_int(&count, column[i]);
            nmk_rat_addmul(&sum, &count, &mix->prices[i]);
        }
    bool worth = nmk_rat_cmp_int(&sum, 1) > 0;
    nmk_rat_clear(&sum);
    nmk_rat_clear(&count);
    return worth;
}

/* The column to come in: the one worth most by the rounded prices; or, so that ties cannot go round in circles, the
 * first that is worth it (Bland 1977, "New finite pivoting rules for the simplex method"; from memory). SIZE_MAX: none. */
static size_t choose_column(const struct nmk_mixture *mix, bool first)
{
    const int64_t sheet = (int64_t)1 << NMK_MIXTURE_SCALE;
    size_t best = SIZE_MAX;
    int64_t most = -1;
    for (size_t c = 0; c < mix->column_count; c++) {
        const int32_t *column = mix->columns + c * mix->rows;
        int64_t value = 0, slack = 0;
        for (size_t i = 0; i < mix->rows; i++) {
            value += column[i] * mix->scaled[i];
            slack += column[i];
        }
        if (value + slack <= sheet || value <= most || (first && best != SIZE_MAX))
            continue;
        if (value > sheet || is_worth_it(mix, column)) {
            best = c;
            most = value;
        }
    }
    return best;
}

static size_t choose_entering(const struct nmk_mixture *mix, bool first)
{
    size_t column = choose_column(mix, first);
    if (column != SIZE_MAX && first)
        return column;
    for (size_t i = 0; i < mix->rows; i++)
        if (nmk_rat_sign(&mix->prices[i]) < 0)
            return NMK_MIXTURE_SURPLUS + i;
    return column;
}

/* --- a step --- */

static void set_direction(struct nmk_mixture *mix, size_t entering)
{
    struct nmk_rat count = {0};
    for (size_t r = 0; r < mix->rows; r++) {
        const struct nmk_rat *row = &mix->inverse[r * mix->rows];
        struct nmk_rat *out = &mix->direction[r];
        nmk_rat_set_int(out, 0);
        if (is_surplus(entering)) {
            nmk_rat_neg(out, &row[entering - NMK_MIXTURE_SURPLUS]);
            continue;
        }
        const int32_t *column = mix->columns + entering * mix->rows;
        for (size_t i = 0; i < mix->rows; i++)
            if (column[i] && !nmk_rat_is_zero(&row[i])) {
                nmk_rat_set_int(&count, column[i]);
                nmk_rat_addmul(out, &count, &row[i]);
            }
    }
    nmk_rat_clear(&count);
}

/* The row whose amount is used up first; of equals the one with the lowest column. */
static size_t choose_leaving(const struct nmk_mixture *mix)
{
    size_t best = SIZE_MAX;
    struct nmk_rat least = {0}, ratio = {0};
    for (size_t r = 0; r < mix->rows; r++) {
        if (nmk_rat_sign(&mix->direction[r]) <= 0)
            continue;
        nmk_rat_div(&ratio, &mix->amounts[r], &mix->direction[r]);
        int order = best == SIZE_MAX ? -1 : nmk_rat_cmp(&ratio, &least);
        if (order < 0 || (order == 0 && mix->basis[r] < mix->basis[best])) {
            best = r;
            nmk_rat_swap(&least, &ratio);
        }
    }
    nmk_rat_clear(&least);
    nmk_rat_clear(&ratio);
    return best;
}

/* row r less factor times the leaving row */
static void subtract_row(struct nmk_mixture *mix, size_t r, size_t leaving, const struct nmk_rat *factor)
{
    struct nmk_rat minus = {0};
    nmk_rat_neg(&minus, factor);
    nmk_rat_addmul(&mix->amounts[r], &minus, &mix->amounts[leaving]);
    for (size_t j = 0; j < mix->rows; j++)
        if (!nmk_rat_is_zero(&mix->inverse[leaving * mix->rows + j]))
            nmk_rat_addmul(&mix->inverse[r * mix->rows + j], &minus, &mix->inverse[leaving * mix->rows + j]);
    nmk_rat_clear(&minus);
}

static void exchange(struct nmk_mixture *mix, size_t leaving, size_t entering)
{
    struct nmk_rat pivot = {0};
    nmk_rat_swap(&pivot, &mix->direction[leaving]);
    nmk_rat_div(&mix->amounts[leaving], &mix->amounts[leaving], &pivot);
    for (size_t j = 0; j < mix->rows; j++)
        nmk_rat_div(&mix->inverse[leaving * mix->rows + j], &mix->inverse[leaving * mix->rows + j], &pivot);
    for (size_t r = 0; r < mix->rows; r++)
        if (r != leaving && !nmk_rat_is_zero(&mix->direction[r]))
            subtract_row(mix, r, leaving, &mix->direction[r]);
    mix->basis[leaving] = entering;
    nmk_rat_clear(&pivot);
}

bool nmk_mixture_solve(struct nmk_mixture *mix, struct nmk_cutjob *job)
{
    uint64_t cost = 40 * mix->rows * mix->rows;
    size_t idle = 0; /* steps without gain in a row */
    for (;;) {
        set_prices(mix);
        size_t entering = choose_entering(mix, idle > mix->rows);
        if (entering == SIZE_MAX)
            return true;
        set_direction(mix, entering);
        size_t leaving = choose_leaving(mix);
        assert(leaving != SIZE_MAX); /* the sum of sheets cannot fall without end */
        idle = nmk_rat_is_zero(&mix->amounts[leaving]) ? idle + 1 : 0;
        exchange(mix, leaving, entering);
        if (!nmk_cutjob_spend(job, cost + mix->column_count * mix->rows))
            return false;
    }
}

int64_t nmk_mixture_bound(const struct nmk_mixture *mix)
{
    struct nmk_rat sum = {0};
    int64_t bound = 0;
    for (size_t r = 0; r < mix->rows; r++)
        if (!is_surplus(mix->basis[r]))
            nmk_rat_add(&sum, &sum, &mix->amounts[r]);
    nmk_rat_ceil(&sum, &sum);
    enum nmk_status status = nmk_rat_get_int(&bound, &sum);
    assert(status == NMK_OK); /* no more sheets than pieces */
    (void)status;
    nmk_rat_clear(&sum);
    return bound;
}

int64_t nmk_mixture_whole(const struct nmk_mixture *mix, size_t row)
{
    struct nmk_rat part = {0};
    int64_t whole = 0;
    if (is_surplus(mix->basis[row]))
        return 0;
    nmk_rat_floor(&part, &mix->amounts[row]);
    if (nmk_rat_get_int(&whole, &part) != NMK_OK)
        whole = 0;
    nmk_rat_clear(&part);
    return whole;
}
