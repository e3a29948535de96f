#include "solve/cutting/bestfit.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { BY_AREA, BY_WIDTH, BY_HEIGHT, BY_LONG_SIDE, BY_SUM, BY_SHORT_SIDE };
enum { LEAST_AREA, LEAST_SHORT_REST, LEAST_LONG_REST };
enum { SPLIT_SHORT_REST, SPLIT_LONG_REST, SPLIT_ACROSS, SPLIT_DOWN };

/* A rectangle of the sheet: free, or with a piece in its corner and the rest in two parts. */
struct nmk_bestfit_area {
    int32_t width, height;
    int32_t lot; /* -1: free */
    bool turned, column; /* column: first cut beside the piece, so that it and `above` are one column */
    uint32_t above, beside;
    uint32_t build;
};

struct rule {
    int order, choice, split;
    uint64_t mix; /* 0: as said; else the state of the mixing */
};

void nmk_bestfit_clear(struct nmk_bestfit *room)
{
    nmk_memory_free(room->areas);
    nmk_memory_free(room->order);
    nmk_memory_free(room->keys);
    nmk_memory_free(room->left);
    nmk_memory_free(room->used);
    *room = (struct nmk_bestfit){0};
}

static void prepare(struct nmk_bestfit *room, const struct nmk_cutjob *job)
{
    if (room->lot_space >= job->lot_count)
        return;
    size_t n = room->lot_space = job->lot_count;
    room->order = nmk_memory_resize(room->order, n, sizeof *room->order);
    room->keys = nmk_memory_resize(room->keys, n, sizeof *room->keys);
    room->left = nmk_memory_resize(room->left, n, sizeof *room->left);
    room->used = nmk_memory_resize(room->used, n, sizeof *room->used);
}

/* A well-mixed number from a counter (splitmix64 of Steele, Lea and Flood 2014; from memory). */
static uint64_t mixed(uint64_t *state)
{
    uint64_t z = *state += UINT64_C(0x9E3779B97F4A7C15);
    z = (z ^ z >> 30) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ z >> 27) * UINT64_C(0x94D049BB133111EB);
    return z ^ z >> 31;
}

static struct rule rule_of(uint64_t number)
{
    struct rule r = {0};
    if (number >= NMK_BESTFIT_RULES) {
        r.mix = number;
        number = mixed(&r.mix) % NMK_BESTFIT_RULES;
    }
    r.order = (int)(number % NMK_BESTFIT_ORDERS);
    r.choice = (int)(number / NMK_BESTFIT_ORDERS % NMK_BESTFIT_CHOICES);
    r.split = (int)(number / NMK_BESTFIT_ORDERS / NMK_BESTFIT_CHOICES);
    return r;
}

static int64_t order_key(const struct nmk_lot *lot, int order)
{
    bool wide = lot->width >= lot->height;
    switch (order) {
    case BY_WIDTH:
        return lot->width;
    case BY_HEIGHT:
        return lot->height;
    case BY_LONG_SIDE:
        return wide ? lot->width : lot->height;
    case BY_SHORT_SIDE:
        return wide ? lot->height : lot->width;
    case BY_SUM:
        return (int64_t)lot->width + lot->height;
    default:
        return lot->area;
    }
}

/* Largest key first, of equals the lot that stands first; a stable merge sort, since qsort differs between systems. */
static void sort_order(size_t *order, size_t *spare, const int64_t *keys, size_t n)
{
    for (size_t width = 1; width < n; width *= 2) {
        for (size_t from = 0; from < n; from += 2 * width) {
            size_t middle = from + width < n ? from + width : n, end = from + 2 * width < n ? from + 2 * width : n;
            size_t a = from, b = middle;
            for (size_t i = from; i < end; i++)
                spare[i] = b == end || (a < middle && keys[order[a]] >= keys[order[b]]) ? order[a++] : order[b++];
        }
        memcpy(order, spare, n * sizeof *order);
    }
}

static void sort_lots(struct nmk_bestfit *room, const struct nmk_cutjob *job, struct rule *rule)
{
    for (size_t i = 0; i < job->lot_count; i++) {
        room->order[i] = i;
        if (rule->mix) /* between 5/8 and 11/8 of it */
            room->keys[i] = room->keys[i] * 80 + room->keys[i] * (int64_t)(mixed(&rule->mix) % 96);
    }
    size_t *spare = nmk_memory_new(job->lot_count, sizeof *spare);
    sort_order(room->order, spare, room->keys, job->lot_count);
    nmk_memory_free(spare);
}

static void make_order(struct nmk_bestfit *room, const struct nmk_cutjob *job, struct rule *rule)
{
    for (size_t i = 0; i < job->lot_count; i++)
        room->keys[i] = order_key(&job->lots[i], rule->order);
    sort_lots(room, job, rule);
}

/* By price, every other rule by price a unit of area. */
static void make_priced_order(struct nmk_bestfit *room, const struct nmk_cutjob *job, struct rule *rule, const int64_t *prices)
{
    for (size_t i = 0; i < job->lot_count; i++)
        room->keys[i] = rule->order % 2 ? prices[i] : prices[i] * (1 << 20) / job->lots[i].area;
    sort_lots(room, job, rule);
}

/* --- one sheet --- */

static uint32_t add_area(struct nmk_bestfit *room, int32_t width, int32_t height)
{
    if (width <= 0 || height <= 0)
        return UINT32_MAX;
    void *areas = room->areas;
    nmk_memory_reserve(&areas, &room->area_space, room->area_count + 1, sizeof *room->areas);
    room->areas = areas;
    room->areas[room->area_count] = (struct nmk_bestfit_area){width, height, -1, false, false, 0, 0, 0};
    return (uint32_t)room->area_count++;
}

static int64_t score(const struct nmk_bestfit_area *area, int32_t width, int32_t height, int choice)
{
    int64_t w = area->width - width, h = area->height - height;
    switch (choice) {
    case LEAST_SHORT_REST:
        return (w < h ? w : h) * ((int64_t)1 << 24) + (w < h ? h : w);
    case LEAST_LONG_REST:
        return (w < h ? h : w) * ((int64_t)1 << 24) + (w < h ? w : h);
    default:
        return (int64_t)area->width * area->height - (int64_t)width * height;
    }
}

static bool split_as_column(const struct nmk_bestfit_area *area, int32_t width, int32_t height, struct rule *rule)
{
    int32_t w = area->width - width, h = area->height - height;
    switch (rule->split) {
    case SPLIT_SHORT_REST:
        return w > h; /* the longer rest stays whole along its side */
    case SPLIT_LONG_REST:
        return w <= h;
    case SPLIT_ACROSS:
        return true;
    default:
        return false;
    }
}

static int32_t at_most(int32_t x, int32_t most)
{
    return x < most ? x : most;
}

/* Beside a part larger than the reach only a strip within the reach can be cut off and used. */
static void place(struct nmk_bestfit *room, const struct nmk_cutjob *job, uint32_t where, size_t lot, bool turned,
                  struct rule *rule)
{
    struct nmk_bestfit_area area = room->areas[where];
    int32_t w = turned ? job->lots[lot].height : job->lots[lot].width;
    int32_t h = turned ? job->lots[lot].width : job->lots[lot].height;
    area.lot = (int32_t)lot;
    area.turned = turned;
    area.column = split_as_column(&area, w, h, rule);
    int32_t right = w > job->reach ? at_most(area.width - w, job->reach) : area.width - w;
    int32_t top = h > job->reach ? at_most(area.height - h, job->reach) : area.height - h;
    area.above = add_area(room, area.column ? w : area.width, top);
    area.beside = add_area(room, right, area.column ? area.height : h);
    room->areas[where] = area;
}

/* The best free rectangle for the lot; false: there is none. */
static bool find_place(const struct nmk_bestfit *room, const struct nmk_lot *lot, int choice, uint32_t *where, bool *turned)
{
    int64_t best = INT64_MAX;
    for (size_t a = 0; a < room->area_count; a++) {
        const struct nmk_bestfit_area *area = &room->areas[a];
        if (area->lot >= 0)
            continue;
        for (int t = 0; t <= lot->may_turn; t++) {
            if (!nmk_lot_fits(lot, t, area->width, area->height))
                continue;
            int64_t s = score(area, t ? lot->height : lot->width, t ? lot->width : lot->height, choice);
            if (s < best) {
                best = s;
                *where = (uint32_t)a;
                *turned = t;
            }
        }
    }
    return best != INT64_MAX;
}

/* Fills one sheet from left[]; used[] says with what. Returns the area filled. */
static int64_t fill(struct nmk_bestfit *room, struct nmk_cutjob *job, struct rule *rule, const struct nmk_format *sheet)
{
    room->area_count = 0;
    add_area(room, sheet->width, sheet->height);
    memset(room->used, 0, job->lot_count * sizeof *room->used);
    int64_t area = 0;
    uint64_t steps = 6 * job->lot_count + 20;
    for (size_t i = 0; i < job->lot_count; i++) {
        size_t lot = room->order[i];
        uint32_t where = 0;
        bool turned = false;
        while (room->used[lot] < room->left[lot] && find_place(room, &job->lots[lot], rule->choice, &where, &turned)) {
            place(room, job, where, lot, turned, rule);
            room->used[lot]++;
            area += job->lots[lot].area;
            steps += 4 * room->area_count;
        }
        steps += 2 * room->area_count;
    }
    nmk_cutjob_spend(job, steps);
    return area;
}

static uint32_t join(struct nmk_builds *out, enum nmk_build_kind kind, uint32_t first, uint32_t second)
{
    return second == NMK_BUILD_NONE ? first : nmk_builds_join(out, kind, first, second);
}

/* The filled sheet as a build. Parts stand behind what they are part of, so going backwards meets them first. */
uint32_t nmk_bestfit_build(struct nmk_bestfit *room, const struct nmk_cutjob *job, struct nmk_builds *out)
{
    for (size_t a = room->area_count; a-- > 0;) {
        struct nmk_bestfit_area *area = &room->areas[a];
        area->build = NMK_BUILD_NONE;
        if (area->lot < 0)
            continue;
        const struct nmk_lot *lot = &job->lots[area->lot];
        area->build = nmk_builds_piece(out, area->lot, area->turned ? lot->height : lot->width,
                                       area->turned ? lot->width : lot->height);
        uint32_t above = area->above == UINT32_MAX ? NMK_BUILD_NONE : room->areas[area->above].build;
        uint32_t beside = area->beside == UINT32_MAX ? NMK_BUILD_NONE : room->areas[area->beside].build;
        if (area->column)
            area->build = join(out, NMK_BUILD_BESIDE, join(out, NMK_BUILD_STACKED, area->build, above), beside);
        else
            area->build = join(out, NMK_BUILD_STACKED, join(out, NMK_BUILD_BESIDE, area->build, beside), above);
    }
    return room->areas[0].build;
}

/* --- plans --- */

/* Picky rules fill each sheet in several ways and keep the one worth most. What a piece is worth grows faster than its
 * area, by `bonus` quarters for one as large as the sheet: large pieces are the hard ones to place later. */
enum { TRIES = 8 };

static int64_t worth(const struct nmk_bestfit *room, const struct nmk_cutjob *job, int64_t sheet_area, int64_t bonus)
{
    int64_t sum = 0;
    for (size_t i = 0; i < job->lot_count; i++) {
        int64_t area = job->lots[i].area, share = area * 64 / sheet_area;
        sum += room->used[i] * (area + (area * share >> 8) * bonus);
    }
    return sum;
}

static void pick_rule(struct nmk_bestfit *room, struct nmk_cutjob *job, uint64_t *mix, struct rule *best)
{
    const struct nmk_format *sheet = &job->formats[0];
    int64_t most = -1, bonus = (int64_t)(mixed(mix) % 8);
    for (int i = 0; i < TRIES; i++) {
        struct rule rule = rule_of(NMK_BESTFIT_RULES + (mixed(mix) >> 1));
        struct rule kept = rule;
        make_order(room, job, &rule);
        fill(room, job, &rule, sheet);
        int64_t value = worth(room, job, (int64_t)sheet->width * sheet->height, bonus);
        if (value > most) {
            most = value;
            *best = kept;
        }
    }
    make_order(room, job, best);
}

static size_t best_format(struct nmk_bestfit *room, struct nmk_cutjob *job, struct rule *rule)
{
    if (job->format_count == 1) {
        fill(room, job, rule, &job->formats[0]);
        return 0;
    }
    size_t best = 0;
    int64_t most = -1, least_sheet = INT64_MAX;
    for (size_t f = 0; f < job->format_count; f++) {
        int64_t filled = fill(room, job, rule, &job->formats[f]);
        int64_t sheet = (int64_t)job->formats[f].width * job->formats[f].height;
        if (filled > most || (filled == most && sheet < least_sheet)) {
            best = f;
            most = filled;
            least_sheet = sheet;
        }
    }
    fill(room, job, rule, &job->formats[best]);
    return best;
}

static int64_t copies_of(const struct nmk_bestfit *room, const struct nmk_cutjob *job)
{
    int64_t copies = INT64_MAX;
    for (size_t i = 0; i < job->lot_count; i++)
        if (room->used[i] && room->left[i] / room->used[i] < copies)
            copies = room->left[i] / room->used[i];
    return copies;
}

bool nmk_bestfit_plan(struct nmk_bestfit *room, struct nmk_cutjob *job, uint64_t number, int64_t most,
                      struct nmk_cutplan *plan)
{
    struct rule rule = rule_of(number);
    nmk_cutplan_restart(plan);
    prepare(room, job);
    make_order(room, job, &rule);
    int64_t pieces = job->pieces;
    for (size_t i = 0; i < job->lot_count; i++)
        room->left[i] = job->lots[i].demand;
    bool picky = number >= NMK_BESTFIT_RULES && number % 2;
    uint64_t mix = number;
    while (pieces > 0) {
        if (picky)
            pick_rule(room, job, &mix, &rule);
        size_t format = best_format(room, job, &rule);
        int64_t copies = copies_of(room, job);
        assert(copies < INT64_MAX); /* every piece fits some sheet */
        if (plan->total + copies > most || !nmk_cutjob_goes_on(job))
            return false;
        for (size_t i = 0; i < job->lot_count; i++) {
            room->left[i] -= copies * room->used[i];
            pieces -= copies * room->used[i];
        }
        nmk_cutplan_add(plan, format, nmk_bestfit_build(room, job, &plan->builds), copies);
    }
    return true;
}

bool nmk_bestfit_fits(struct nmk_bestfit *room, struct nmk_cutjob *job, uint64_t number, const int64_t *counts,
                      const struct nmk_format *sheet, struct nmk_builds *out, uint32_t *root)
{
    struct rule rule = rule_of(number);
    prepare(room, job);
    make_order(room, job, &rule);
    memcpy(room->left, counts, job->lot_count * sizeof *room->left);
    fill(room, job, &rule, sheet);
    if (memcmp(room->used, counts, job->lot_count * sizeof *room->used) != 0)
        return false;
    if (out)
        *root = nmk_bestfit_build(room, job, out);
    return true;
}

int64_t nmk_bestfit_priced(struct nmk_bestfit *room, struct nmk_cutjob *job, uint64_t number, const int64_t *limits,
                           const int64_t *prices, const struct nmk_format *sheet)
{
    struct rule rule = rule_of(number);
    prepare(room, job);
    make_priced_order(room, job, &rule, prices);
    memcpy(room->left, limits, job->lot_count * sizeof *room->left);
    fill(room, job, &rule, sheet);
    int64_t value = 0;
    for (size_t i = 0; i < job->lot_count; i++)
        value += room->used[i] * prices[i];
    return value;
}
