#include "solve/cutting/dualbound.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { PLAIN, BIG, ROUNDED, SHARES };
enum { MOST_FUNCTIONS = 160 };

int64_t nmk_dual_value(const struct nmk_dual *f, int32_t x)
{
    int64_t n = f->n, k = f->k;
    switch (f->kind) {
    case BIG:
        return x > n - k ? n : x < k ? 0 : x;
    case ROUNDED:
        return 2 * (int64_t)x < n ? 2 * (x / k) : 2 * (int64_t)x == n ? n / k : 2 * (n / k - (n - x) / k);
    case SHARES:
        return x * (k + 1) % n == 0 ? k * x : n * (x * (k + 1) / n);
    default:
        return x;
    }
}

int64_t nmk_dualpair_size(const struct nmk_dualpair *p, int32_t width, int32_t height)
{
    int64_t size = nmk_dual_value(&p->f, width) * nmk_dual_value(&p->g, height);
    if (p->both)
        size += nmk_dual_value(&p->g, width) * nmk_dual_value(&p->f, height);
    return size;
}

struct functions {
    size_t count;
    struct nmk_dual at[MOST_FUNCTIONS];
};

static void add_function(struct functions *list, int kind, int32_t k, int32_t n)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->at[i].kind == kind && list->at[i].k == k)
            return;
    if (list->count < MOST_FUNCTIONS)
        list->at[list->count++] = (struct nmk_dual){kind, k, n};
}

static void add_for_side(struct functions *list, int32_t x, int32_t n)
{
    int32_t k = x <= n - x ? x : n - x;
    if (k >= 1) {
        add_function(list, BIG, k, n);
        add_function(list, ROUNDED, k, n);
    }
    if (2 * (int64_t)x <= n && 2 * (int64_t)(x + 1) <= n)
        add_function(list, BIG, x + 1, n);
    if (n - x + 1 <= n / 2)
        add_function(list, BIG, n - x + 1, n);
}

/* The functions worth trying for one direction: their values change only at the sizes of the pieces. */
static void list_functions(struct functions *list, const struct nmk_cutjob *job, bool across, int32_t n)
{
    list->count = 0;
    add_function(list, PLAIN, 0, n);
    for (int32_t k = 1; k <= 6 && n <= 1 << 16; k++)
        add_function(list, SHARES, k, n);
    for (int32_t k = 2; k <= 8 && k <= n; k++)
        if (n / k >= 1 && n / k <= n / 2)
            add_function(list, ROUNDED, n / k, n);
    for (size_t i = 0; i < job->lot_count; i++) {
        const struct nmk_lot *lot = &job->lots[i];
        if ((across ? lot->width : lot->height) <= n)
            add_for_side(list, across ? lot->width : lot->height, n);
        if (lot->may_turn && (across ? lot->height : lot->width) <= n)
            add_for_side(list, across ? lot->height : lot->width, n);
    }
}

static int64_t lot_value(const struct nmk_dualpair *pair, const struct nmk_lot *lot, const struct nmk_format *format)
{
    int64_t least = INT64_MAX;
    if (nmk_lot_fits(lot, false, format->width, format->height))
        least = nmk_dualpair_size(pair, lot->width, lot->height);
    if (nmk_lot_fits(lot, true, format->width, format->height)) {
        int64_t turned = nmk_dualpair_size(pair, lot->height, lot->width);
        least = turned < least ? turned : least;
    }
    assert(least != INT64_MAX);
    return least;
}

/* Pairs are compared by how full the sheets are: sum / whole, as 2^20ths. */
struct rank {
    struct nmk_dualpair pair;
    int64_t sum, fullness;
    size_t number;
};

static bool measure(struct rank *out, const struct nmk_cutjob *job, const struct nmk_format *format)
{
    out->pair.whole = nmk_dualpair_size(&out->pair, format->width, format->height);
    out->sum = 0;
    /* whole <= 2^46 for plain areas, but SHARES scales by up to 7 * 2^16: keep the sums within 62 bits */
    if (out->pair.whole <= 0 || out->pair.whole > INT64_MAX / 2 / (job->pieces + 1))
        return false;
    for (size_t i = 0; i < job->lot_count; i++)
        out->sum += job->lots[i].demand * lot_value(&out->pair, &job->lots[i], format);
    int64_t full = out->sum / out->pair.whole, rest = out->sum % out->pair.whole;
    out->fullness = (full << 20) + (out->pair.whole < (int64_t)1 << 40 ? (rest << 20) / out->pair.whole
                                                                     : rest / (out->pair.whole >> 20));
    return true;
}

static int compare_ranks(const void *left, const void *right)
{
    const struct rank *a = left, *b = right;
    if (a->fullness != b->fullness)
        return a->fullness > b->fullness ? -1 : 1;
    return (a->number > b->number) - (a->number < b->number);
}

static void keep(struct nmk_duals *duals, const struct nmk_cutjob *job, const struct nmk_dualpair *from)
{
    void *pairs = duals->pairs;
    nmk_memory_reserve(&pairs, &duals->space, duals->count + 1, sizeof *duals->pairs);
    duals->pairs = pairs;
    struct nmk_dualpair *pair = &duals->pairs[duals->count++];
    *pair = *from;
    pair->values = nmk_memory_new(job->lot_count, sizeof *pair->values);
    for (size_t i = 0; i < job->lot_count; i++)
        pair->values[i] = lot_value(pair, &job->lots[i], &duals->format);
}

static int64_t divide_up(int64_t a, int64_t b)
{
    return a / b + (a % b != 0);
}

/* The first whose values differ from those kept before are kept: equal ones would prune nothing more. */
static bool is_new(const struct nmk_duals *duals, const struct nmk_cutjob *job, const struct nmk_dualpair *pair)
{
    for (size_t i = 0; i < duals->count; i++) {
        const struct nmk_dualpair *old = &duals->pairs[i];
        bool same = old->whole == pair->whole;
        for (size_t j = 0; same && j < job->lot_count; j++)
            same = old->values[j] == lot_value(pair, &job->lots[j], &duals->format);
        if (same)
            return false;
    }
    return true;
}

/* Areas are bounded by the largest sheet, not by the rectangle that encloses all kinds. */
static int64_t area_bound(const struct nmk_cutjob *job)
{
    int64_t largest = 1;
    for (size_t i = 0; i < job->format_count; i++) {
        int64_t area = (int64_t)job->formats[i].width * job->formats[i].height;
        largest = area > largest ? area : largest;
    }
    return divide_up(job->area, largest);
}

static size_t rank_pairs(struct rank *ranks, struct nmk_cutjob *job, const struct nmk_format *format,
                         const struct functions *across, const struct functions *down)
{
    bool square = format->width == format->height;
    size_t count = 0;
    for (size_t i = 0; i < across->count; i++) {
        for (size_t j = 0; j < down->count; j++)
            for (int both = 0; both <= (square && (i || j)); both++) {
                struct rank r = {.pair = {across->at[i], down->at[j], both, NULL, 0}, .number = count};
                if (measure(&r, job, format))
                    ranks[count++] = r;
            }
        nmk_cutjob_spend(job, down->count * job->lot_count);
    }
    return count;
}

void nmk_duals_init(struct nmk_duals *duals, struct nmk_cutjob *job, size_t most)
{
    *duals = (struct nmk_duals){.bound = area_bound(job)};
    for (size_t i = 0; i < job->format_count; i++) {
        struct nmk_format *f = &job->formats[i];
        duals->format.width = f->width > duals->format.width ? f->width : duals->format.width;
        duals->format.height = f->height > duals->format.height ? f->height : duals->format.height;
    }
    struct functions *across = nmk_memory_new(2, sizeof *across), *down = across + 1;
    list_functions(across, job, true, duals->format.width);
    list_functions(down, job, false, duals->format.height);
    struct rank *ranks = nmk_memory_new(2 * across->count * down->count, sizeof *ranks);
    size_t count = rank_pairs(ranks, job, &duals->format, across, down);
    if (count)
        keep(duals, job, &ranks[0].pair);
    if (count)
        qsort(ranks, count, sizeof *ranks, compare_ranks);
    for (size_t i = 0; i < count && duals->count < most; i++)
        if (is_new(duals, job, &ranks[i].pair))
            keep(duals, job, &ranks[i].pair);
    if (count) {
        int64_t bound = divide_up(ranks[0].sum, ranks[0].pair.whole);
        duals->bound = bound > duals->bound ? bound : duals->bound;
    }
    nmk_memory_free(ranks);
    nmk_memory_free(across);
}

void nmk_duals_clear(struct nmk_duals *duals)
{
    for (size_t i = 0; i < duals->count; i++)
        nmk_memory_free(duals->pairs[i].values);
    nmk_memory_free(duals->pairs);
    *duals = (struct nmk_duals){0};
}
