#include "solve/cutting/cuttree.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { MOST_NODES = 1 << 22 };

/* A build that is still to be laid into the rectangle of a node. */
struct task {
    size_t node;
    uint32_t build;
};

struct layout {
    const struct nmk_cutjob *job;
    const struct nmk_builds *builds;
    int64_t reach;
    enum nmk_spare_way way;
    struct nmk_cutting_node *nodes;
    size_t node_count, node_space;
    struct task *tasks;
    size_t task_count, task_space;
    uint32_t *parts, *open; /* of the row in hand */
    size_t part_count, part_space, open_space;
    bool too_many;
};

/* --- cutting a node --- */

static size_t add_node(struct layout *l, int64_t x, int64_t y, int64_t width, int64_t height)
{
    void *nodes = l->nodes;
    nmk_memory_reserve(&nodes, &l->node_space, l->node_count + 1, sizeof *l->nodes);
    l->nodes = nodes;
    l->nodes[l->node_count] = (struct nmk_cutting_node){.x = x, .y = y, .width = width, .height = height,
                                                        .use = NMK_CUTTING_OFFCUT};
    l->too_many = l->too_many || l->node_count >= MOST_NODES;
    return l->node_count++;
}

static int64_t side(const struct nmk_cutting_node *node, enum nmk_cutting_use use)
{
    return use == NMK_CUTTING_ACROSS ? node->width : node->height;
}

/* Cuts a node; the parts begin as offcuts. */
static void cut(struct layout *l, size_t node, enum nmk_cutting_use use, int64_t at, bool from_first)
{
    struct nmk_cutting_node n = l->nodes[node];
    assert(at > 0 && at < side(&n, use));
    bool across = use == NMK_CUTTING_ACROSS;
    size_t first = add_node(l, n.x, n.y, across ? at : n.width, across ? n.height : at);
    size_t second = across ? add_node(l, n.x + at, n.y, n.width - at, n.height)
                           : add_node(l, n.x, n.y + at, n.width, n.height - at);
    n.use = use;
    n.at = at;
    n.from_first = from_first;
    n.first = first;
    n.second = second;
    l->nodes[node] = n;
}

static bool within_reach(const struct layout *l, int64_t distance)
{
    return !l->reach || distance <= l->reach;
}

/* How much is cut off at once of what falls away: all, or equal parts if there are any within the reach: one setting. */
static int64_t cut_off(const struct layout *l, int64_t rest)
{
    if (within_reach(l, rest))
        return rest;
    int64_t cuts = rest / l->reach + (rest % l->reach != 0);
    return rest % cuts ? l->reach : rest / cuts;
}

/* Cuts off what is beyond `size`; returns the node that is kept. A size beyond the reach is made by measuring what
 * falls away, in several cuts if that is beyond it too. */
static size_t trim(struct layout *l, size_t node, enum nmk_cutting_use use, int64_t size)
{
    while (side(&l->nodes[node], use) > size && !l->too_many) {
        int64_t whole = side(&l->nodes[node], use), rest = whole - size;
        bool direct = within_reach(l, size);
        cut(l, node, use, direct ? size : whole - cut_off(l, rest), direct);
        node = l->nodes[node].first;
    }
    return node;
}

/* --- rows --- */

static int64_t build_side(const struct layout *l, uint32_t build, enum nmk_cutting_use use)
{
    const struct nmk_build *b = &l->builds->at[build];
    return l->job->unit * (use == NMK_CUTTING_ACROSS ? b->width : b->height);
}

static void push(uint32_t **list, size_t *count, size_t *space, uint32_t value)
{
    void *room = *list;
    nmk_memory_reserve(&room, space, *count + 1, sizeof **list);
    *list = room;
    (*list)[(*count)++] = value;
}

/* The parts of a row: all that is joined in its direction, at any depth. */
static void list_parts(struct layout *l, uint32_t build)
{
    uint8_t kind = l->builds->at[build].kind;
    size_t open_count = 0;
    l->part_count = 0;
    push(&l->open, &open_count, &l->open_space, build);
    while (open_count) {
        uint32_t b = l->open[--open_count];
        const struct nmk_build *at = &l->builds->at[b];
        if (at->kind == kind) {
            push(&l->open, &open_count, &l->open_space, at->second);
            push(&l->open, &open_count, &l->open_space, at->first);
        } else {
            push(&l->parts, &l->part_count, &l->part_space, b);
        }
    }
}

struct sized {
    int64_t size;
    size_t alike; /* so many parts of the row have this size */
    size_t place;
    uint32_t build;
    bool wide; /* beyond the reach */
};

static int compare_sizes(const void *left, const void *right)
{
    const struct sized *a = left, *b = right;
    if (a->size != b->size)
        return a->size > b->size ? -1 : 1;
    return (a->place > b->place) - (a->place < b->place);
}

/* Many alike first, so that the last, which may need no cut, is a size of its own; a part beyond the reach is the very
 * last, as what remains. */
static int compare_turns(const void *left, const void *right)
{
    const struct sized *a = left, *b = right;
    if (a->wide != b->wide)
        return (int)a->wide - (int)b->wide;
    if (a->alike != b->alike)
        return a->alike > b->alike ? -1 : 1;
    return compare_sizes(left, right);
}

static void order_parts(struct layout *l, enum nmk_cutting_use use)
{
    struct sized *sized = nmk_memory_new(l->part_count, sizeof *sized);
    size_t n = l->part_count;
    for (size_t i = 0; i < n; i++) {
        int64_t size = build_side(l, l->parts[i], use);
        sized[i] = (struct sized){size, 0, i, l->parts[i], !within_reach(l, size)};
    }
    qsort(sized, n, sizeof *sized, compare_sizes);
    for (size_t from = 0, to; from < n; from = to) {
        for (to = from; to < n && sized[to].size == sized[from].size; to++)
            ;
        for (size_t i = from; i < to; i++)
            sized[i].alike = to - from;
    }
    qsort(sized, n, sizeof *sized, compare_turns);
    for (size_t i = 0; i < n; i++)
        l->parts[i] = sized[i].build;
    nmk_memory_free(sized);
}

static void add_task(struct layout *l, size_t node, uint32_t build)
{
    void *tasks = l->tasks;
    nmk_memory_reserve(&tasks, &l->task_space, l->task_count + 1, sizeof *l->tasks);
    l->tasks = tasks;
    l->tasks[l->task_count++] = (struct task){node, build};
}

static enum nmk_cutting_use other(enum nmk_cutting_use use)
{
    return use == NMK_CUTTING_ACROSS ? NMK_CUTTING_DOWN : NMK_CUTTING_ACROSS;
}

/* Is the room left beside the row (along its other direction) cut off before its parts are cut? */
static bool trims_first(const struct layout *l, size_t node, uint32_t build, enum nmk_cutting_use use)
{
    const struct nmk_cutting_node *n = &l->nodes[node];
    int64_t whole = side(n, use), end = whole - build_side(l, build, use);
    int64_t depth = side(n, other(use)), beside = depth - build_side(l, build, other(use));
    if (l->way != NMK_SPARE_LARGEST)
        return l->way == NMK_SPARE_FIRST;
    return beside * whole >= end * depth;
}

static void lay_row(struct layout *l, size_t node, uint32_t build)
{
    enum nmk_cutting_use use = l->builds->at[build].kind == NMK_BUILD_BESIDE ? NMK_CUTTING_ACROSS : NMK_CUTTING_DOWN;
    if (trims_first(l, node, build, use))
        node = trim(l, node, other(use), build_side(l, build, other(use)));
    list_parts(l, build);
    order_parts(l, use);
    for (size_t i = 0; i < l->part_count; i++) {
        int64_t size = build_side(l, l->parts[i], use);
        if (i + 1 == l->part_count) {
            node = trim(l, node, use, size);
            add_task(l, node, l->parts[i]);
        } else {
            cut(l, node, use, size, true);
            add_task(l, l->nodes[node].first, l->parts[i]);
            node = l->nodes[node].second;
        }
    }
}

static void lay_piece(struct layout *l, size_t node, uint32_t build)
{
    const struct nmk_build *b = &l->builds->at[build];
    const struct nmk_cutting_node *n = &l->nodes[node];
    int64_t width = b->width * l->job->unit, height = b->height * l->job->unit;
    bool across_first = (n->width - width) * n->height >= (n->height - height) * n->width;
    enum nmk_cutting_use first = across_first ? NMK_CUTTING_ACROSS : NMK_CUTTING_DOWN;
    node = trim(l, node, first, across_first ? width : height);
    node = trim(l, node, other(first), across_first ? height : width);
    l->nodes[node].use = NMK_CUTTING_PIECE;
    l->nodes[node].piece = (size_t)b->lot;
}

static void lay_sheet(struct layout *l, struct nmk_cutting_pattern *out, const struct nmk_cutplan_sheet *sheet)
{
    const struct nmk_format *format = &l->job->formats[sheet->format];
    l->nodes = NULL;
    l->node_count = l->node_space = 0;
    add_task(l, add_node(l, 0, 0, l->job->unit * format->width, l->job->unit * format->height), sheet->root);
    while (l->task_count && !l->too_many) {
        struct task task = l->tasks[--l->task_count];
        if (l->builds->at[task.build].kind == NMK_BUILD_PIECE)
            lay_piece(l, task.node, task.build);
        else
            lay_row(l, task.node, task.build);
    }
    *out = (struct nmk_cutting_pattern){sheet->format, sheet->copies, l->node_count, l->nodes};
}

/* --- settings --- */

struct measured {
    struct nmk_cutting_node *node;
    int64_t distance, otherwise; /* otherwise: measured from the other edge; 0: beyond the reach */
};

static int compare_distances(const void *left, const void *right)
{
    const struct measured *a = left, *b = right;
    return (a->distance > b->distance) - (a->distance < b->distance);
}

struct setting {
    int64_t distance;
    size_t from, to; /* its cuts */
    bool dropped;
};

static struct setting *find_setting(struct setting *settings, size_t count, int64_t distance)
{
    size_t low = 0, high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (settings[middle].distance < distance)
            low = middle + 1;
        else
            high = middle;
    }
    return low < count && settings[low].distance == distance ? &settings[low] : NULL;
}

/* All its cuts can be measured from the other edge at settings that remain. */
static bool can_do_without(struct setting *settings, size_t count, const struct setting *s, const struct measured *cuts)
{
    for (size_t i = s->from; i < s->to; i++) {
        const struct setting *instead = cuts[i].otherwise ? find_setting(settings, count, cuts[i].otherwise) : NULL;
        if (!instead || instead->dropped || instead == s)
            return false;
    }
    return true;
}

static struct measured *list_cuts(const struct nmk_cuttree *tree, int64_t reach, size_t *count)
{
    struct measured *cuts = nmk_memory_new(tree->node_count, sizeof *cuts);
    *count = 0;
    for (size_t p = 0; p < tree->sheet_count; p++)
        for (size_t i = 0; i < tree->patterns[p].node_count; i++) {
            struct nmk_cutting_node *n = &tree->patterns[p].nodes[i];
            if (n->use != NMK_CUTTING_ACROSS && n->use != NMK_CUTTING_DOWN)
                continue;
            int64_t first = n->at, last = side(n, n->use) - n->at;
            struct measured m = {n, n->from_first ? first : last, n->from_first ? last : first};
            m.otherwise = reach && m.otherwise > reach ? 0 : m.otherwise;
            cuts[(*count)++] = m;
        }
    return cuts;
}

/* A cut dropped from its setting makes the ones it moved to needed: those may not be dropped any more. */
static void keep_needed(struct setting *settings, size_t count, const struct setting *gone, const struct measured *cuts,
                        bool *needed)
{
    for (size_t i = gone->from; i < gone->to; i++)
        needed[find_setting(settings, count, cuts[i].otherwise) - settings] = true;
}

static int compare_uses(const void *left, const void *right)
{
    const struct setting *a = left, *b = right;
    if (a->to - a->from != b->to - b->from)
        return a->to - a->from < b->to - b->from ? -1 : 1;
    return (a->distance < b->distance) - (a->distance > b->distance);
}

/* Settings with few cuts are dropped first, where the other edge serves. */
static int64_t drop_settings(struct setting *settings, size_t count, struct measured *cuts)
{
    struct setting *turns = nmk_memory_new(count, sizeof *turns);
    bool *needed = nmk_memory_new(count, sizeof *needed);
    int64_t left = (int64_t)count;
    if (count) {
        memcpy(turns, settings, count * sizeof *turns);
        qsort(turns, count, sizeof *turns, compare_uses);
    }
    for (size_t t = 0; t < count; t++) {
        struct setting *s = find_setting(settings, count, turns[t].distance);
        if (needed[s - settings] || !can_do_without(settings, count, s, cuts))
            continue;
        keep_needed(settings, count, s, cuts, needed);
        s->dropped = true;
        left--;
        for (size_t i = s->from; i < s->to; i++)
            cuts[i].node->from_first = !cuts[i].node->from_first;
    }
    nmk_memory_free(turns);
    nmk_memory_free(needed);
    return left;
}

static void count_settings(struct nmk_cuttree *tree, int64_t reach)
{
    size_t cut_count, count = 0;
    struct measured *cuts = list_cuts(tree, reach, &cut_count);
    if (cut_count)
        qsort(cuts, cut_count, sizeof *cuts, compare_distances);
    struct setting *settings = nmk_memory_new(cut_count, sizeof *settings);
    for (size_t i = 0; i < cut_count; i++) {
        if (!count || settings[count - 1].distance != cuts[i].distance)
            settings[count++] = (struct setting){cuts[i].distance, i, i, false};
        settings[count - 1].to = i + 1;
    }
    tree->settings = drop_settings(settings, count, cuts);
    nmk_memory_free(settings);
    nmk_memory_free(cuts);
}

/* --- offcuts and the whole --- */

static void find_offcut(struct nmk_cuttree *tree)
{
    for (size_t p = 0; p < tree->sheet_count; p++)
        for (size_t i = 0; i < tree->patterns[p].node_count; i++) {
            const struct nmk_cutting_node *n = &tree->patterns[p].nodes[i];
            if (n->use == NMK_CUTTING_OFFCUT && n->width * n->height > tree->offcut_width * tree->offcut_height) {
                tree->offcut_width = n->width;
                tree->offcut_height = n->height;
            }
        }
}

bool nmk_cuttree_make(struct nmk_cuttree *out, const struct nmk_cutjob *job, const struct nmk_cutplan *plan,
                      int64_t reach, enum nmk_spare_way way)
{
    struct layout l = {.job = job, .builds = &plan->builds, .reach = reach, .way = way};
    struct nmk_cuttree tree = {0};
    tree.patterns = nmk_memory_new(plan->count, sizeof *tree.patterns);
    for (size_t i = 0; i < plan->count && !l.too_many; i++) {
        lay_sheet(&l, &tree.patterns[i], &plan->sheets[i]);
        tree.sheet_count++;
        tree.node_count += l.node_count;
        l.too_many = l.too_many || tree.node_count > MOST_NODES;
    }
    nmk_memory_free(l.tasks);
    nmk_memory_free(l.parts);
    nmk_memory_free(l.open);
    if (l.too_many) {
        nmk_cuttree_clear(&tree);
        return false;
    }
    count_settings(&tree, reach);
    find_offcut(&tree);
    *out = tree;
    return true;
}

void nmk_cuttree_clear(struct nmk_cuttree *tree)
{
    for (size_t i = 0; i < tree->sheet_count; i++)
        nmk_memory_free(tree->patterns[i].nodes);
    nmk_memory_free(tree->patterns);
    *tree = (struct nmk_cuttree){0};
}
