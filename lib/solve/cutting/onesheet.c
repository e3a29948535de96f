#include "solve/cutting/onesheet.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { MOST_DUALS = 6, MOST_RAISED = 1 << 14, MOST_PARTS = 64 };
enum { NOT_A_ROW = 1, NOT_A_STACK = 2 }; /* roots of a build: it can be opened by something else than ... */
/* wide: a row can be cut apart where at most one of its parts is wider than the reach: the narrow ones are cut off one
 * after the other, each measured by itself. WIDE_IN_ROW: put into a row, this build brings such a part along. */
enum { WIDE_IN_ROW = 1, WIDE_IN_STACK = 2 };

/* A build of a finished group, with what joining asks for. */
struct nmk_onesheet_entry {
    int32_t width, height;
    uint32_t build;
    uint8_t roots, wide;
};

/* All the builds kept of one set. */
struct nmk_onesheet_group {
    uint64_t set;
    int64_t area, least_waste;
    int64_t values[MOST_DUALS];
    uint32_t front; /* list of builds, none no larger than another */
    uint32_t entries, entry_count; /* the same once its level is finished */
    uint8_t lowest; /* first lot */
};

struct search {
    struct nmk_onesheet *room;
    struct nmk_cutjob *job;
    uint64_t whole_set;
    int32_t width, height;
    bool mirrored; /* a square sheet and all pieces turnable: with each build, what it is turned serves as well */
    int64_t slack;        /* area the sheet can spare */
    int32_t share;        /* parts may waste so many sixteenths of it: 16 decides, fewer are a quick look first */
    size_t dual_count;
    struct {
        const struct nmk_dualpair *pair;
        int64_t slack;
    } duals[MOST_DUALS];
    size_t parts;
    size_t widest;    /* at most so many groups a level are kept; SIZE_MAX: all */
    uint32_t found;   /* build of the whole set */
    uint64_t work;    /* steps not yet spent */
    bool over;
};

void nmk_onesheet_clear(struct nmk_onesheet *room)
{
    nmk_builds_clear(&room->builds);
    nmk_memory_free(room->groups);
    nmk_memory_free(room->entries);
    nmk_memory_free(room->slots);
    nmk_memory_free(room->level_starts);
    nmk_raising_clear(&room->raising);
    *room = (struct nmk_onesheet){0};
}

static void fit_sizes(struct search *s, const struct nmk_format *sheet)
{
    bool keep = sheet->width > MOST_RAISED || sheet->height > MOST_RAISED;
    int32_t sizes[2] = {sheet->width, sheet->height};
    for (int down = 0; down < 2; down++) {
        if (keep)
            s->room->raising.size[down] = 0;
        else
            sizes[down] = nmk_raising_make(&s->room->raising, down, s->job, s->whole_set, sizes[down], &s->work);
    }
    s->width = sizes[0];
    s->height = sizes[1];
}

/* --- groups --- */

static size_t slot_of(const struct nmk_onesheet *room, uint64_t set)
{
    uint64_t hash = set * UINT64_C(0x9E3779B97F4A7C15);
    size_t mask = room->slot_count - 1, slot = (size_t)(hash >> 32) & mask;
    while (room->slots[slot] && room->groups[room->slots[slot] - 1].set != set)
        slot = (slot + 1) & mask;
    return slot;
}

static void refill_slots(struct nmk_onesheet *room)
{
    memset(room->slots, 0, room->slot_count * sizeof *room->slots);
    for (size_t i = 0; i < room->group_count; i++)
        room->slots[slot_of(room, room->groups[i].set)] = (uint32_t)i + 1;
}

static void grow_slots(struct nmk_onesheet *room)
{
    room->slot_count = room->slot_count ? 2 * room->slot_count : 256;
    nmk_memory_free(room->slots);
    room->slots = nmk_memory_new(room->slot_count, sizeof *room->slots);
    refill_slots(room);
}

static void start_groups(struct nmk_onesheet *room)
{
    room->builds.count = 0;
    room->group_count = 0;
    room->entry_count = 0;
    if (room->slot_count > 1 << 16) {
        nmk_memory_free(room->slots);
        room->slots = NULL;
        room->slot_count = 0;
    }
    if (room->slots)
        memset(room->slots, 0, room->slot_count * sizeof *room->slots);
    else
        grow_slots(room);
}

static size_t add_group(struct nmk_onesheet *room, const struct nmk_onesheet_group *group)
{
    if (2 * (room->group_count + 1) > room->slot_count)
        grow_slots(room);
    void *groups = room->groups;
    nmk_memory_reserve(&groups, &room->group_space, room->group_count + 1, sizeof *room->groups);
    room->groups = groups;
    room->groups[room->group_count] = *group;
    room->slots[slot_of(room, group->set)] = (uint32_t)room->group_count + 1;
    return room->group_count++;
}

/* --- keeping a build --- */

static int64_t part_of(const struct search *s, int64_t slack)
{
    return slack / 16 * s->share + slack % 16 * s->share / 16;
}

/* Is what this build wastes more than the sheet can spare? Measured with the size it can be raised to: the others
 * cannot use that room either. */
static bool wastes_too_much(struct search *s, const struct nmk_onesheet_group *group, int32_t width, int32_t height)
{
    if (group->set == s->whole_set)
        return false;
    int32_t w = nmk_raised(&s->room->raising, 0, width), h = nmk_raised(&s->room->raising, 1, height);
    s->work += 4 + 2 * s->dual_count;
    if ((int64_t)w * h - group->area > part_of(s, s->slack))
        return true;
    for (size_t i = 0; i < s->dual_count; i++)
        if (nmk_dualpair_size(s->duals[i].pair, w, h) - group->values[i] > part_of(s, s->duals[i].slack))
            return true;
    return false;
}

struct candidate {
    enum nmk_build_kind kind;
    uint32_t first, second;
    int32_t width, height;
    uint8_t roots, wide;
};

/* True if a build of the set is there that serves wherever this one does; one of the same size is then opened in its
 * ways too. */
static bool is_needless(struct search *s, const struct nmk_onesheet_group *group, const struct candidate *c)
{
    for (uint32_t b = group->front; b != NMK_BUILD_NONE;) {
        struct nmk_build *build = &s->room->builds.at[b];
        s->work += 2;
        if (build->width <= c->width && build->height <= c->height && !(build->wide & ~c->wide)) {
            if (build->width == c->width && build->height == c->height)
                build->roots |= c->roots;
            return true;
        }
        b = build->next;
    }
    return false;
}

static void drop_needless(struct search *s, struct nmk_onesheet_group *group, const struct nmk_build *new)
{
    uint32_t *link = &group->front;
    while (*link != NMK_BUILD_NONE) {
        struct nmk_build *build = &s->room->builds.at[*link];
        if (build->width >= new->width && build->height >= new->height && !(new->wide & ~build->wide))
            *link = build->next;
        else
            link = &build->next;
    }
}

static void keep_build(struct search *s, struct nmk_onesheet_group *group, uint32_t b, uint8_t roots, uint8_t wide)
{
    struct nmk_build *build = &s->room->builds.at[b];
    build->roots = roots;
    build->wide = wide;
    drop_needless(s, group, build);
    build->next = group->front;
    group->front = b;
    int64_t waste = (int64_t)build->width * build->height - group->area;
    if (waste < group->least_waste)
        group->least_waste = waste;
    if (group->set == s->whole_set)
        s->found = b;
}

/* Offers a join of two builds to their common group, which may still be a new one (*place none). */
static void offer(struct search *s, struct nmk_onesheet_group *fresh, size_t *place, const struct candidate *c)
{
    struct nmk_onesheet *room = s->room;
    struct nmk_onesheet_group *group = *place == SIZE_MAX ? fresh : &room->groups[*place];
    if (is_needless(s, group, c) || wastes_too_much(s, group, c->width, c->height))
        return;
    if (*place == SIZE_MAX)
        *place = add_group(room, fresh);
    uint32_t b = nmk_builds_join(&room->builds, c->kind, c->first, c->second);
    keep_build(s, &room->groups[*place], b, c->roots, c->wide);
}

/* The two low bits exchanged: rows become stacks. */
static uint8_t exchanged(uint8_t bits)
{
    return (uint8_t)((bits & 1) << 1 | (bits & 2) >> 1);
}

static void offer_turned(struct search *s, size_t place, uint32_t b)
{
    struct nmk_onesheet *room = s->room;
    const struct nmk_build *build = &room->builds.at[b];
    struct nmk_onesheet_group *group = &room->groups[place];
    struct candidate c = {.width = build->height, .height = build->width, .roots = exchanged(build->roots),
                          .wide = exchanged(build->wide)};
    if (c.width > s->width || c.height > s->height || is_needless(s, group, &c) ||
        wastes_too_much(s, group, c.width, c.height))
        return;
    keep_build(s, group, nmk_builds_turn(&room->builds, b), c.roots, c.wide);
}

/* --- joining --- */

/* May x and y be joined so? (3): the part with the first lot must not be a row (stack) itself; of two with the same
 * first lot one is enough. And at most one part beyond the reach. */
static bool may_join(const struct nmk_onesheet_group *a, const struct nmk_onesheet_group *b,
                     const struct nmk_onesheet_entry *x, const struct nmk_onesheet_entry *y, enum nmk_build_kind kind)
{
    bool row = kind == NMK_BUILD_BESIDE;
    uint8_t bit = row ? NOT_A_ROW : NOT_A_STACK, wide = row ? WIDE_IN_ROW : WIDE_IN_STACK;
    bool last_x = a->lowest <= b->lowest && (x->roots & bit), last_y = b->lowest <= a->lowest && (y->roots & bit);
    return (last_x || last_y) && !(x->wide & y->wide & wide);
}

static struct candidate join_of(const struct search *s, const struct nmk_onesheet_entry *x,
                                const struct nmk_onesheet_entry *y, enum nmk_build_kind kind)
{
    struct candidate c = {kind, x->build, y->build, 0, 0, 0, 0};
    int32_t reach = s->job->reach;
    uint8_t wide = x->wide | y->wide;
    if (kind == NMK_BUILD_BESIDE) {
        c.width = x->width + y->width;
        c.height = x->height > y->height ? x->height : y->height;
        c.roots = NOT_A_STACK;
        c.wide = (uint8_t)((c.width > reach ? wide & WIDE_IN_ROW : 0) | (c.height > reach ? WIDE_IN_STACK : 0));
    } else {
        c.width = x->width > y->width ? x->width : y->width;
        c.height = x->height + y->height;
        c.roots = NOT_A_ROW;
        c.wide = (uint8_t)((c.height > reach ? wide & WIDE_IN_STACK : 0) | (c.width > reach ? WIDE_IN_ROW : 0));
    }
    return c;
}

struct joint { /* two disjoint groups being joined */
    struct nmk_onesheet_group a, b;
    struct nmk_onesheet_group fresh; /* their common group, if it is not there yet */
    size_t place;                    /* of the common group; SIZE_MAX: not there yet */
    bool looked_up;                  /* place and fresh are set but for the set and its area; most joints never need it */
};

static void look_up(struct search *s, struct joint *j)
{
    struct nmk_onesheet *room = s->room;
    uint32_t found = room->slots[slot_of(room, j->fresh.set)];
    j->place = found ? found - 1 : SIZE_MAX;
    j->looked_up = true;
    j->fresh.least_waste = INT64_MAX;
    j->fresh.front = NMK_BUILD_NONE;
    j->fresh.lowest = j->a.lowest < j->b.lowest ? j->a.lowest : j->b.lowest;
    for (size_t i = 0; i < s->dual_count; i++)
        j->fresh.values[i] = j->a.values[i] + j->b.values[i];
    s->work += 24;
}

static void join_entries(struct search *s, struct joint *j, const struct nmk_onesheet_entry *x,
                         const struct nmk_onesheet_entry *y, enum nmk_build_kind kind)
{
    if (!may_join(&j->a, &j->b, x, y, kind))
        return;
    struct candidate c = join_of(s, x, y, kind);
    if (c.width > s->width || c.height > s->height || (int64_t)c.width * c.height - j->fresh.area > s->slack)
        return;
    if (!j->looked_up)
        look_up(s, j);
    size_t before = s->room->builds.count;
    offer(s, &j->fresh, &j->place, &c);
    if (s->mirrored && s->room->builds.count > before)
        offer_turned(s, j->place, (uint32_t)before);
}

/* All joins of two disjoint groups. */
static void join_groups(struct search *s, size_t first, size_t second)
{
    struct nmk_onesheet *room = s->room;
    struct joint joint;
    joint.a = room->groups[first];
    joint.b = room->groups[second];
    joint.fresh.set = joint.a.set + joint.b.set;
    joint.fresh.area = joint.a.area + joint.b.area;
    joint.looked_up = false;
    const struct nmk_onesheet_entry *x = room->entries + joint.a.entries, *x_end = x + joint.a.entry_count;
    for (; x < x_end; x++) {
        const struct nmk_onesheet_entry *y = room->entries + joint.b.entries, *y_end = y + joint.b.entry_count;
        s->work += 2 * joint.b.entry_count;
        for (; y < y_end; y++) {
            join_entries(s, &joint, x, y, NMK_BUILD_BESIDE);
            if (!s->mirrored) /* else the stacks are the rows turned */
                join_entries(s, &joint, x, y, NMK_BUILD_STACKED);
        }
    }
    s->over = !nmk_cutjob_spend(s->job, 8 + s->work);
    s->work = 0;
}

static int compare_waste(const void *left, const void *right)
{
    const struct nmk_onesheet_group *a = left, *b = right;
    if (a->least_waste != b->least_waste)
        return a->least_waste < b->least_waste ? -1 : 1;
    return (a->set > b->set) - (a->set < b->set);
}

/* By the share of waste, as far as whole numbers tell. */
static int compare_shares(const void *left, const void *right)
{
    const struct nmk_onesheet_group *a = left, *b = right;
    int64_t p = a->least_waste * 1024 / a->area, q = b->least_waste * 1024 / b->area;
    return p != q ? (p > q) - (p < q) : compare_waste(left, right);
}

static void list_entries(struct nmk_onesheet *room, struct nmk_onesheet_group *group)
{
    group->entries = (uint32_t)room->entry_count;
    for (uint32_t b = group->front; b != NMK_BUILD_NONE; b = room->builds.at[b].next) {
        const struct nmk_build *build = &room->builds.at[b];
        void *entries = room->entries;
        nmk_memory_reserve(&entries, &room->entry_space, room->entry_count + 1, sizeof *room->entries);
        room->entries = entries;
        room->entries[room->entry_count++] =
            (struct nmk_onesheet_entry){build->width, build->height, b, build->roots, build->wide};
    }
    group->entry_count = (uint32_t)room->entry_count - group->entries;
}

/* Groups of a finished level in the order of their least waste, so that a run over them can stop early; of too many
 * only the best are kept. */
static void finish_level(struct search *s, size_t from)
{
    struct nmk_onesheet *room = s->room;
    size_t count = room->group_count - from;
    if (count > s->widest) {
        qsort(room->groups + from, count, sizeof *room->groups, compare_shares);
        count = s->widest;
        room->group_count = from + count;
    }
    if (count)
        qsort(room->groups + from, count, sizeof *room->groups, compare_waste);
    refill_slots(room);
    for (size_t i = from; i < room->group_count; i++)
        list_entries(room, &room->groups[i]);
    nmk_cutjob_spend(s->job, 32 * count);
}

static void join_levels(struct search *s, size_t i, size_t j)
{
    struct nmk_onesheet *room = s->room;
    const size_t *starts = room->level_starts;
    for (size_t a = starts[i]; a < starts[i + 1] && !s->over; a++) {
        uint64_t set = room->groups[a].set, rest = (s->whole_set | s->job->spare) - set, spare = s->job->spare;
        int64_t waste = s->slack - room->groups[a].least_waste;
        size_t b = i == j ? a : starts[j], end = starts[j + 1];
        for (; b < end && room->groups[b].least_waste <= waste && !s->over; b++)
            if (((rest - room->groups[b].set) & spare) == spare) {
                join_groups(s, a, b);
                if (s->found != NMK_BUILD_NONE)
                    return;
            }
        s->over = s->over || !nmk_cutjob_spend(s->job, (end - starts[j]) + 1);
    }
}

/* Single pieces. */
static void start_level(struct search *s)
{
    struct nmk_onesheet *room = s->room;
    for (size_t i = 0; i < s->job->lot_count; i++) {
        if (!nmk_set_count(s->job, s->whole_set, i))
            continue;
        const struct nmk_lot *lot = &s->job->lots[i];
        struct nmk_onesheet_group group = {.set = nmk_set_one(s->job, i), .area = lot->area, .least_waste = INT64_MAX,
                                           .front = NMK_BUILD_NONE, .lowest = (uint8_t)i};
        for (size_t d = 0; d < s->dual_count; d++)
            group.values[d] = s->duals[d].pair->values[i];
        size_t place = add_group(room, &group);
        for (int turned = 0; turned <= lot->may_turn; turned++) {
            int32_t w = turned ? lot->height : lot->width, h = turned ? lot->width : lot->height;
            if (w > s->width || h > s->height || wastes_too_much(s, &room->groups[place], w, h))
                continue;
            uint8_t wide = (uint8_t)((w > s->job->reach ? WIDE_IN_ROW : 0) | (h > s->job->reach ? WIDE_IN_STACK : 0));
            keep_build(s, &room->groups[place], nmk_builds_piece(&room->builds, (int32_t)i, w, h),
                       NOT_A_ROW | NOT_A_STACK, wide);
        }
        s->over = s->over || room->groups[place].front == NMK_BUILD_NONE;
    }
    finish_level(s, 0);
}

static bool is_mirrored(const struct search *s)
{
    for (size_t i = 0; i < s->job->lot_count; i++)
        if (!s->job->lots[i].may_turn && s->job->lots[i].width != s->job->lots[i].height &&
            nmk_set_count(s->job, s->whole_set, i))
            return false;
    return s->width == s->height;
}

/* The pairs of functions by which this set leaves the least to spare, in 2^16ths of the sheet. False: one of them shows
 * that the set does not fit. */
static bool choose_duals(struct search *s, const struct nmk_duals *duals)
{
    int64_t shares[MOST_DUALS];
    for (size_t p = 0; p < duals->count; p++) {
        const struct nmk_dualpair *pair = &duals->pairs[p];
        int64_t whole = nmk_dualpair_size(pair, s->width, s->height), left = whole;
        for (size_t i = 0; i < s->job->lot_count; i++)
            left -= nmk_set_count(s->job, s->whole_set, i) * pair->values[i];
        if (left < 0)
            return false;
        int64_t share = left / (pair->whole / 65536 + 1);
        size_t at = s->dual_count;
        while (at > 0 && shares[at - 1] > share)
            at--;
        if (at == MOST_DUALS)
            continue;
        size_t last = s->dual_count < MOST_DUALS ? s->dual_count++ : MOST_DUALS - 1;
        for (size_t i = last; i > at; i--) {
            shares[i] = shares[i - 1];
            s->duals[i] = s->duals[i - 1];
        }
        shares[at] = share;
        s->duals[at].pair = pair;
        s->duals[at].slack = left;
    }
    return true;
}

static void make_builds(struct search *s)
{
    nmk_cutjob_spend(s->job, s->work + s->room->slot_count / 8 + 64);
    s->work = 0;
    struct nmk_onesheet *room = s->room;
    start_groups(room);
    size_t *starts = room->level_starts = nmk_memory_resize(room->level_starts, MOST_PARTS + 2, sizeof *starts);
    starts[1] = 0;
    start_level(s);
    starts[2] = room->group_count;
    for (size_t level = 2; level <= s->parts && s->found == NMK_BUILD_NONE && !s->over; level++) {
        for (size_t i = 1; 2 * i <= level && s->found == NMK_BUILD_NONE && !s->over; i++)
            join_levels(s, i, level - i);
        finish_level(s, starts[level]);
        starts[level + 1] = room->group_count;
    }
}

/* Answers that waste little in their parts, or are met among the best builds only, are found long before all builds are
 * made; so look for them first. A look that finds nothing proves nothing unless it was the last. */
static void look(struct search *s)
{
    static const struct {
        int32_t share;
        size_t widest;
    } looks[] = {{16, 100}, {16, 600}, {2, 3000}, {4, 6000}, {8, SIZE_MAX}, {16, SIZE_MAX}};
    enum { LOOKS = sizeof looks / sizeof *looks };
    for (size_t i = s->parts <= 8 ? LOOKS - 1 : 0; i < LOOKS && s->found == NMK_BUILD_NONE && nmk_cutjob_goes_on(s->job); i++) {
        s->share = looks[i].share;
        s->widest = looks[i].widest;
        s->over = false;
        make_builds(s);
    }
}

enum nmk_fit nmk_onesheet_try(struct nmk_onesheet *room, struct nmk_cutjob *job, const struct nmk_duals *duals,
                              uint64_t set, const struct nmk_format *sheet, struct nmk_builds *out, uint32_t *root)
{
    struct search s = {.room = room, .job = job, .whole_set = set, .found = NMK_BUILD_NONE};
    assert(job->small && set);
    for (size_t i = 0; i < job->lot_count; i++)
        s.parts += (size_t)nmk_set_count(job, set, i);
    if (s.parts > MOST_PARTS)
        return NMK_FIT_UNKNOWN;
    fit_sizes(&s, sheet);
    s.mirrored = is_mirrored(&s);
    s.slack = (int64_t)s.width * s.height - nmk_set_area(job, set);
    if (s.slack < 0 || !choose_duals(&s, duals))
        return NMK_FIT_NO;
    look(&s);
    if (s.found == NMK_BUILD_NONE)
        return nmk_cutjob_goes_on(job) ? NMK_FIT_NO : NMK_FIT_UNKNOWN;
    if (out)
        *root = nmk_builds_copy(out, &room->builds, s.found);
    return NMK_FIT_YES;
}
