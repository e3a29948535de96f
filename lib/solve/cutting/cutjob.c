#include "solve/cutting/cutjob.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { CALL_EVERY = 1 << 22 };

static int64_t divisor(int64_t a, int64_t b)
{
    while (b) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* The greatest common divisor of all sizes of pieces and sheets. The reach takes no part: what is within it is decided
 * by its floor. */
static int64_t common_unit(const struct nmk_cutting_problem *p)
{
    int64_t unit = 0;
    for (size_t i = 0; i < p->kind_count; i++)
        unit = divisor(divisor(unit, p->kinds[i].width), p->kinds[i].height);
    for (size_t i = 0; i < p->piece_count; i++)
        if (p->pieces[i].demand)
            unit = divisor(divisor(unit, p->pieces[i].width), p->pieces[i].height);
    return unit;
}

static struct nmk_lot lot_of(const struct nmk_cutting_piece *piece, int64_t unit)
{
    struct nmk_lot lot = {(int32_t)(piece->width / unit), (int32_t)(piece->height / unit), piece->may_turn,
                          piece->demand, 0};
    lot.may_turn = lot.may_turn && lot.width != lot.height;
    if (lot.may_turn && lot.width < lot.height) {
        int32_t width = lot.height;
        lot.height = lot.width;
        lot.width = width;
    }
    lot.area = (int64_t)lot.width * lot.height;
    return lot;
}

static int compare_lots(const void *left, const void *right)
{
    const struct nmk_lot *a = left, *b = right;
    if (a->area != b->area)
        return a->area > b->area ? -1 : 1;
    if (a->width != b->width)
        return a->width > b->width ? -1 : 1;
    return (int)b->may_turn - (int)a->may_turn;
}

static size_t find_lot(const struct nmk_cutjob *job, const struct nmk_lot *lot)
{
    size_t low = 0, high = job->lot_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (compare_lots(&job->lots[middle], lot) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Lots sorted, equal ones made one. */
static void gather_lots(struct nmk_cutjob *job, const struct nmk_cutting_problem *p)
{
    job->lots = nmk_memory_new(p->piece_count, sizeof *job->lots);
    size_t count = 0;
    for (size_t i = 0; i < p->piece_count; i++)
        if (p->pieces[i].demand)
            job->lots[count++] = lot_of(&p->pieces[i], job->unit);
    if (count)
        qsort(job->lots, count, sizeof *job->lots, compare_lots);
    for (size_t i = 0; i < count; i++) {
        job->pieces += job->lots[i].demand;
        job->area += job->lots[i].demand * job->lots[i].area;
        if (job->lot_count && compare_lots(&job->lots[job->lot_count - 1], &job->lots[i]) == 0)
            job->lots[job->lot_count - 1].demand += job->lots[i].demand;
        else
            job->lots[job->lot_count++] = job->lots[i];
    }
}

static void name_lots(struct nmk_cutjob *job, const struct nmk_cutting_problem *p)
{
    job->lot_of_piece = nmk_memory_new(p->piece_count, sizeof *job->lot_of_piece);
    for (size_t i = 0; i < p->piece_count; i++)
        if (p->pieces[i].demand) {
            struct nmk_lot lot = lot_of(&p->pieces[i], job->unit);
            job->lot_of_piece[i] = find_lot(job, &lot);
            assert(job->lot_of_piece[i] < job->lot_count);
        }
}

static unsigned bits_of(uint64_t n)
{
    unsigned bits = 0;
    while (n >> bits)
        bits++;
    return bits;
}

static void lay_out_sets(struct nmk_cutjob *job)
{
    job->shifts = nmk_memory_new(job->lot_count, 1);
    job->masks = nmk_memory_new(job->lot_count, sizeof *job->masks);
    unsigned used = 0;
    job->small = true;
    for (size_t i = 0; i < job->lot_count && job->small; i++) {
        unsigned bits = bits_of((uint64_t)job->lots[i].demand);
        job->small = used + bits + 1 <= 64;
        if (!job->small)
            return;
        job->shifts[i] = (uint8_t)used;
        job->masks[i] = ((uint64_t)1 << bits) - 1;
        job->all |= (uint64_t)job->lots[i].demand << used;
        job->spare |= (uint64_t)1 << (used + bits);
        used += bits + 1;
    }
}

void nmk_cutjob_init(struct nmk_cutjob *job, const struct nmk_cutting_problem *p)
{
    memset(job, 0, sizeof *job);
    job->unit = common_unit(p);
    int64_t reach = p->reach / job->unit;
    job->reach = p->reach == 0 || reach > NMK_CUTTING_LARGEST ? NMK_CUTJOB_NO_REACH : (int32_t)reach;
    job->formats = nmk_memory_new(p->kind_count, sizeof *job->formats);
    job->format_count = p->kind_count;
    for (size_t i = 0; i < p->kind_count; i++)
        job->formats[i] = (struct nmk_format){(int32_t)(p->kinds[i].width / job->unit),
                                              (int32_t)(p->kinds[i].height / job->unit)};
    gather_lots(job, p);
    name_lots(job, p);
    lay_out_sets(job);
    job->most_steps = p->effort ? p->effort : NMK_CUTTING_EFFORT;
    job->next_call = CALL_EVERY;
    job->progress = p->progress;
    job->context = p->context;
}

void nmk_cutjob_clear(struct nmk_cutjob *job)
{
    nmk_memory_free(job->lots);
    nmk_memory_free(job->lot_of_piece);
    nmk_memory_free(job->formats);
    nmk_memory_free(job->shifts);
    nmk_memory_free(job->masks);
    memset(job, 0, sizeof *job);
}

bool nmk_cutjob_goes_on(const struct nmk_cutjob *job)
{
    return !job->stopped && job->steps < job->most_steps;
}

bool nmk_cutjob_spend(struct nmk_cutjob *job, uint64_t steps)
{
    job->steps += steps;
    if (job->progress && job->steps >= job->next_call) {
        job->next_call = job->steps + CALL_EVERY;
        job->stopped = job->stopped || !job->progress(job->context, job->steps);
    }
    return nmk_cutjob_goes_on(job);
}

bool nmk_lot_fits(const struct nmk_lot *lot, bool turned, int32_t width, int32_t height)
{
    if (turned)
        return lot->may_turn && lot->height <= width && lot->width <= height;
    return lot->width <= width && lot->height <= height;
}

int64_t nmk_set_area(const struct nmk_cutjob *job, uint64_t set)
{
    int64_t area = 0;
    for (size_t i = 0; i < job->lot_count; i++)
        area += nmk_set_count(job, set, i) * job->lots[i].area;
    return area;
}
