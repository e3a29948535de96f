#include "solve/cutting/fewest.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"

enum { FITS_NOT = 255 }; /* values of `fits` below it: number of the kind of sheet + 1 */
enum { QUICK_RULES = 12, MOST_SETS = 1 << 22 };

/* --- sets remembered --- */

static size_t slot_of(const struct nmk_setmap *map, uint64_t set)
{
    size_t mask = map->slot_count - 1, slot = (size_t)(set * UINT64_C(0x9E3779B97F4A7C15) >> 32) & mask;
    while (map->values[slot] && map->sets[slot] != set)
        slot = (slot + 1) & mask;
    return slot;
}

static void grow(struct nmk_setmap *map)
{
    struct nmk_setmap old = *map;
    map->slot_count = old.slot_count ? 2 * old.slot_count : 1024;
    map->sets = nmk_memory_new(map->slot_count, sizeof *map->sets);
    map->values = nmk_memory_new(map->slot_count, 1);
    for (size_t i = 0; i < old.slot_count; i++)
        if (old.values[i]) {
            size_t slot = slot_of(map, old.sets[i]);
            map->sets[slot] = old.sets[i];
            map->values[slot] = old.values[i];
        }
    nmk_memory_free(old.sets);
    nmk_memory_free(old.values);
}

static uint8_t map_get(const struct nmk_setmap *map, uint64_t set)
{
    return map->slot_count ? map->values[slot_of(map, set)] : 0;
}

/* Beyond MOST_SETS nothing more is remembered; that costs time only. */
static void map_put(struct nmk_setmap *map, uint64_t set, uint8_t value)
{
    if (map->count >= MOST_SETS)
        return;
    if (2 * (map->count + 1) > map->slot_count)
        grow(map);
    size_t slot = slot_of(map, set);
    map->count += map->values[slot] == 0;
    map->sets[slot] = set;
    map->values[slot] = value;
}

static void map_clear(struct nmk_setmap *map)
{
    nmk_memory_free(map->sets);
    nmk_memory_free(map->values);
    *map = (struct nmk_setmap){0};
}

/* --- life --- */

void nmk_fewest_init(struct nmk_fewest *search, struct nmk_cutjob *job, const struct nmk_duals *duals)
{
    assert(job->small);
    *search = (struct nmk_fewest){.job = job, .duals = duals};
    search->counts = nmk_memory_new(job->lot_count, sizeof *search->counts);
    search->chosen = nmk_memory_new(64, sizeof *search->chosen);
}

void nmk_fewest_clear(struct nmk_fewest *search)
{
    nmk_onesheet_clear(&search->onesheet);
    nmk_bestfit_clear(&search->bestfit);
    map_clear(&search->fits);
    map_clear(&search->hopeless);
    nmk_memory_free(search->counts);
    nmk_memory_free(search->chosen);
    *search = (struct nmk_fewest){0};
}

/* --- one sheet --- */

static void count_set(struct nmk_fewest *s, uint64_t set)
{
    for (size_t i = 0; i < s->job->lot_count; i++)
        s->counts[i] = nmk_set_count(s->job, set, i);
}

/* Does some pair show that the set needs more than so many sheets? */
static bool needs_more(struct nmk_fewest *s, uint64_t set, int64_t sheets)
{
    size_t lots = s->job->lot_count, p = 0;
    count_set(s, set);
    bool more = false;
    for (; p < s->duals->count && !more; p++) {
        const struct nmk_dualpair *pair = &s->duals->pairs[p];
        int64_t value = 0;
        for (size_t i = 0; i < lots; i++)
            value += s->counts[i] * pair->values[i];
        more = value > sheets * pair->whole;
    }
    nmk_cutjob_spend(s->job, lots * (p + 1) / 2 + 4);
    return more;
}

static bool fits_quickly(struct nmk_fewest *s, size_t format, struct nmk_builds *out, uint32_t *root)
{
    for (uint64_t rule = 0; rule < QUICK_RULES; rule++)
        if (nmk_bestfit_fits(&s->bestfit, s->job, rule * (NMK_BESTFIT_RULES / QUICK_RULES) + rule % NMK_BESTFIT_ORDERS,
                             s->counts, &s->job->formats[format], out, root))
            return true;
    return false;
}

static enum nmk_fit fits_format(struct nmk_fewest *s, uint64_t set, size_t format, struct nmk_builds *out, uint32_t *root)
{
    count_set(s, set);
    if (fits_quickly(s, format, out, root))
        return NMK_FIT_YES;
    return nmk_onesheet_try(&s->onesheet, s->job, s->duals, set, &s->job->formats[format], out, root);
}

enum nmk_fit nmk_fewest_fits(struct nmk_fewest *s, uint64_t set)
{
    uint8_t known = map_get(&s->fits, set);
    if (known)
        return known == FITS_NOT ? NMK_FIT_NO : NMK_FIT_YES;
    if (needs_more(s, set, 1)) {
        map_put(&s->fits, set, FITS_NOT);
        return NMK_FIT_NO;
    }
    for (size_t f = 0; f < s->job->format_count; f++) {
        enum nmk_fit fit = fits_format(s, set, f, NULL, NULL);
        if (fit == NMK_FIT_YES)
            map_put(&s->fits, set, (uint8_t)(f + 1));
        if (fit != NMK_FIT_NO)
            return fit;
    }
    map_put(&s->fits, set, FITS_NOT);
    return NMK_FIT_NO;
}

/* --- all sheets --- */

static size_t first_lot(const struct nmk_cutjob *job, uint64_t set)
{
    size_t lot = 0;
    while (!nmk_set_count(job, set, lot))
        lot++;
    return lot;
}

static enum nmk_fit search_rest(struct nmk_fewest *s, uint64_t rest, int64_t sheets);

/* The set is complete if nothing that is left can be added. */
static enum nmk_fit is_complete(struct nmk_fewest *s, uint64_t rest, uint64_t set, size_t before)
{
    for (size_t lot = 0; lot < before; lot++) {
        uint64_t more = set + nmk_set_one(s->job, lot);
        if (!nmk_set_is_part(s->job, more, rest))
            continue;
        enum nmk_fit fit = nmk_fewest_fits(s, more);
        if (fit != NMK_FIT_NO)
            return fit == NMK_FIT_YES ? NMK_FIT_NO : NMK_FIT_UNKNOWN;
    }
    return NMK_FIT_YES;
}

/* The pieces of rest from `lot` on that are not in the set. */
static uint64_t still_to_add(const struct nmk_cutjob *job, uint64_t rest, uint64_t set, size_t lot)
{
    uint64_t from = job->shifts[lot] ? ~(((uint64_t)1 << job->shifts[lot]) - 1) : UINT64_MAX;
    return (rest - set) & from;
}

/* Even with all that could still be added to this sheet, would the rest need more sheets than there are? */
static bool is_too_little(struct nmk_fewest *s, uint64_t rest, uint64_t set, size_t lot, int64_t sheets)
{
    uint64_t never = rest - set - still_to_add(s->job, rest, set, lot);
    return never && needs_more(s, never, sheets - 1);
}

static enum nmk_fit try_set(struct nmk_fewest *s, uint64_t rest, uint64_t set, int64_t sheets)
{
    s->chosen[sheets - 1] = set;
    return search_rest(s, rest - set, sheets - 1);
}

/* All complete sets that hold `set` and more pieces of lots from `lot` on. */
static enum nmk_fit extend_set(struct nmk_fewest *s, uint64_t rest, uint64_t set, size_t lot, int64_t sheets)
{
    bool complete = true;
    if (is_too_little(s, rest, set, lot, sheets))
        return NMK_FIT_NO;
    for (size_t next = lot; next < s->job->lot_count; next++) {
        uint64_t more = set + nmk_set_one(s->job, next);
        if (!nmk_set_is_part(s->job, more, rest))
            continue;
        if (!nmk_cutjob_spend(s->job, 8))
            return NMK_FIT_UNKNOWN;
        enum nmk_fit fit = nmk_fewest_fits(s, more);
        if (fit == NMK_FIT_UNKNOWN)
            return fit;
        if (fit == NMK_FIT_NO)
            continue;
        complete = false;
        fit = extend_set(s, rest, more, next, sheets);
        if (fit != NMK_FIT_NO)
            return fit;
        /* from here on nothing of this lot is added: what it leaves must still work out */
        if (next + 1 < s->job->lot_count && is_too_little(s, rest, set, next + 1, sheets))
            return NMK_FIT_NO;
    }
    if (!complete)
        return NMK_FIT_NO;
    enum nmk_fit whole = is_complete(s, rest, set, lot);
    return whole == NMK_FIT_YES ? try_set(s, rest, set, sheets) : whole;
}

static enum nmk_fit search_rest(struct nmk_fewest *s, uint64_t rest, int64_t sheets)
{
    if (!rest)
        return NMK_FIT_YES;
    if (sheets == 0 || needs_more(s, rest, sheets))
        return NMK_FIT_NO;
    if (sheets == 1) {
        s->chosen[0] = rest;
        return nmk_fewest_fits(s, rest);
    }
    uint8_t failed = map_get(&s->hopeless, rest); /* with so many sheets or fewer */
    if (failed >= sheets)
        return NMK_FIT_NO;
    size_t lot = first_lot(s->job, rest);
    uint64_t set = nmk_set_one(s->job, lot);
    enum nmk_fit fit = nmk_fewest_fits(s, set);
    if (fit == NMK_FIT_YES)
        fit = extend_set(s, rest, set, lot, sheets);
    if (fit == NMK_FIT_NO)
        map_put(&s->hopeless, rest, (uint8_t)sheets);
    return fit;
}

void nmk_fewest_lay(struct nmk_fewest *s, uint64_t set, int64_t copies, struct nmk_cutplan *plan)
{
    uint64_t most = s->job->most_steps;
    s->job->most_steps = UINT64_MAX; /* done before within the budget, so it can be done again */
    uint8_t format = map_get(&s->fits, set);
    uint32_t root = 0;
    enum nmk_fit fit = NMK_FIT_NO;
    for (size_t f = format ? format - 1u : 0; fit == NMK_FIT_NO && f < s->job->format_count; f++) {
        fit = fits_format(s, set, f, &plan->builds, &root);
        if (fit == NMK_FIT_YES)
            nmk_cutplan_add(plan, f, root, copies);
    }
    assert(fit == NMK_FIT_YES || s->job->stopped);
    s->job->most_steps = most;
}

static void fill_plan(struct nmk_fewest *s, int64_t sheets, struct nmk_cutplan *plan)
{
    nmk_cutplan_restart(plan);
    uint64_t rest = s->job->all;
    for (int64_t i = sheets - 1; rest; i--) {
        nmk_fewest_lay(s, s->chosen[i], 1, plan);
        rest -= s->chosen[i];
    }
}

enum nmk_fit nmk_fewest_try(struct nmk_fewest *s, int64_t sheets, struct nmk_cutplan *plan)
{
    if (sheets > 64)
        return NMK_FIT_UNKNOWN;
    enum nmk_fit fit = search_rest(s, s->job->all, sheets);
    if (fit == NMK_FIT_YES)
        fill_plan(s, sheets, plan);
    return fit;
}

/* --- all sets of a sheet --- */

static bool list_from(struct nmk_fewest *s, uint64_t set, size_t lot, bool (*take)(void *context, uint64_t set), void *context)
{
    bool complete = true;
    for (size_t next = lot; next < s->job->lot_count; next++) {
        uint64_t more = set + nmk_set_one(s->job, next);
        if (!nmk_set_is_part(s->job, more, s->job->all))
            continue;
        enum nmk_fit fit = nmk_fewest_fits(s, more);
        if (fit == NMK_FIT_UNKNOWN || !nmk_cutjob_spend(s->job, 8))
            return false;
        if (fit == NMK_FIT_NO)
            continue;
        complete = false;
        if (!list_from(s, more, next, take, context))
            return false;
    }
    if (!complete || !set)
        return true;
    enum nmk_fit whole = is_complete(s, s->job->all, set, lot);
    return whole == NMK_FIT_YES ? take(context, set) : whole == NMK_FIT_NO;
}

bool nmk_fewest_list(struct nmk_fewest *s, bool (*take)(void *context, uint64_t set), void *context)
{
    return list_from(s, 0, 0, take, context);
}
