/* Bucket elimination. Taking out x: all factors and messages that mention x are added, over all combinations of x and
 * its neighbours S, and for each combination of S the best x stays (aims: ordered monoids, so the best of a sum is the
 * sum of bests). Combinations of S are visited depth first with all cells of x side by side, and left as soon as no cell
 * is allowed any more: the work is that of a join, not of the full product. Of equals the first in lexicographic order
 * stays; the messages are sorted for that only once there are equals. */
#include "solve/whole/whole_eliminate.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"
#include "solve/whole/whole_lanes.h"
#include "solve/whole/whole_value.h"

#ifdef NMK_STRESS
enum { DIRECT = 4 };
#else
enum { DIRECT = 1 << 14 };
#endif

struct eliminator {
    const struct nmk_net *net;
    const uint32_t *order;
    struct nmk_work *work;
    struct nmk_arena arena;
    struct nmk_message *messages; /* of each variable */
    size_t sorted[2];             /* so many in the order are sorted by choices, and by the other numbers */
    size_t done;                  /* so many in the order are taken out */
    uint64_t most_entries;
    uint32_t *uses_first, *uses; /* factors of each variable */
    bool *factor_used;
    uint32_t *pending_first, *pending_next; /* messages waiting at each variable: lists; a message stands in several */
    size_t pending_count, pending_space;
    uint32_t *pending_message;
    bool *message_used;
    struct nmk_nest nest; /* of the present variable */
    struct nmk_lane_stack lanes;
    uint32_t *part_sources; /* the nest's source of each part of the outgoing message */
    size_t part_space;
    /* the outgoing message, as it grows */
    struct nmk_message out;
    struct nmk_message_entry *entries;
    size_t entry_space;
    uint64_t *entry_costs;
    size_t entry_cost_space;
    uint32_t *children; /* as in the message; two sets more: those of two lanes that are compared */
    size_t child_space;
};

static void reserve_u32(uint32_t **array, size_t *space, size_t wanted)
{
    void *data = *array;
    nmk_memory_reserve(&data, space, wanted, sizeof **array);
    *array = data;
}

static void reserve_u64(uint64_t **array, size_t *space, size_t wanted)
{
    void *data = *array;
    nmk_memory_reserve(&data, space, wanted, sizeof **array);
    *array = data;
}

/* ---- collecting the bucket ---- */

static void collect_sources(struct eliminator *e, uint32_t var)
{
    for (uint32_t u = e->uses_first[var]; u < e->uses_first[var + 1]; u++)
        if (!e->factor_used[e->uses[u]]) {
            e->factor_used[e->uses[u]] = true;
            nmk_nest_add(&e->nest, &e->net->factors[e->uses[u]], NULL);
        }
    for (uint32_t p = e->pending_first[var]; p; p = e->pending_next[p])
        if (!e->message_used[e->pending_message[p]]) {
            e->message_used[e->pending_message[p]] = true;
            nmk_nest_add(&e->nest, NULL, &e->messages[e->pending_message[p]]);
        }
}

/* ---- the outgoing message ---- */

/* The next variable of the outgoing message; false if it would have too many places. */
static bool add_scope(uint32_t *vars, uint64_t *strides, struct eliminator *e, uint32_t var, uint64_t *size)
{
    vars[e->out.count] = var;
    strides[e->out.count++] = *size;
    return !__builtin_mul_overflow(*size, e->net->vars[var].cells, size) && *size <= UINT64_MAX / 4;
}

static bool start_message(struct eliminator *e, uint32_t var)
{
    struct nmk_message *out = &e->out;
    struct nmk_nest *nest = &e->nest;
    *out = (struct nmk_message){.var = var};
    uint32_t *vars = nmk_arena_new(&e->arena, nest->level_count - 1 + nest->follower_count, sizeof *vars);
    uint64_t *strides = nmk_arena_new(&e->arena, nest->level_count - 1 + nest->follower_count, sizeof *strides);
    uint64_t size = 1;
    for (size_t k = 1; k < nest->level_count; k++) {
        struct nmk_nest_level *l = &nest->levels[k];
        nest->moves[l->first_move + l->move_count++] =
            (struct nmk_nest_move){.source = (uint32_t)nest->source_count, .stride = size};
        if (!add_scope(vars, strides, e, l->var, &size))
            return false;
    }
    for (size_t k = 0; k < nest->follower_count; k++) {
        nest->followers[k].stride = size;
        if (!add_scope(vars, strides, e, nest->followers[k].var, &size))
            return false;
    }
    out->vars = vars;
    out->strides = strides;
    if (size <= DIRECT) {
        out->direct = nmk_arena_new(&e->arena, (size_t)size, sizeof *out->direct);
        return true;
    }
    out->slots = 64;
    out->hashed_places = nmk_memory_new(out->slots, sizeof *out->hashed_places);
    out->hashed_entries = nmk_memory_new(out->slots, sizeof *out->hashed_entries);
    return true;
}

/* The messages among the sources, which its entries are put together of. */
static void set_parts(struct eliminator *e)
{
    struct nmk_message *out = &e->out;
    reserve_u32(&e->part_sources, &e->part_space, e->nest.source_count);
    for (size_t s = 0; s < e->nest.source_count; s++)
        if (e->nest.sources[s].message)
            e->part_sources[out->part_count++] = (uint32_t)s;
    const struct nmk_message **parts = nmk_arena_new(&e->arena, out->part_count, sizeof *parts);
    out->has_choices = e->net->vars[out->var].ranks != NULL;
    for (uint32_t k = 0; k < out->part_count; k++) {
        parts[k] = e->nest.sources[e->part_sources[k]].message;
        out->has_choices = out->has_choices || parts[k]->has_choices;
    }
    out->parts = parts;
}

/* ---- comparing two ways ---- */

/* To one combination: a lane, or an entry. */
struct way {
    uint32_t unmet, set, cell;
    const uint64_t *cost;
    const uint32_t *children; /* NULL: not looked up yet */
};

static struct way way_of_lane(const struct eliminator *e, const struct nmk_lanes *l, uint32_t lane)
{
    return (struct way){l->unmet[lane], l->sets[lane], l->cells[lane], l->costs + (size_t)lane * e->net->limbs, NULL};
}

static struct way way_of_entry(const struct eliminator *e, size_t entry)
{
    const struct nmk_message_entry *old = &e->entries[entry];
    const uint32_t *children = e->out.part_count ? e->children + entry * e->out.part_count : NULL;
    return (struct way){old->unmet, old->set, old->best, e->entry_costs + entry * e->net->limbs, children};
}

/* What a lane takes of each part. */
static void find_children(uint32_t *out, const struct eliminator *e, uint32_t cell)
{
    for (uint32_t k = 0; k < e->out.part_count; k++) {
        const struct nmk_nest_source *s = &e->nest.sources[e->part_sources[k]];
        out[k] = nmk_message_find(s->message, s->at + s->own_stride * cell) - 1;
    }
}

static void sort_messages(struct eliminator *e, bool choices)
{
    for (; e->sorted[choices] < e->done; e->sorted[choices]++) {
        struct nmk_message *m = &e->messages[e->order[e->sorted[choices]]];
        if (!choices || m->has_choices)
            nmk_message_sort(m, &e->net->vars[m->var], choices, &e->arena);
    }
}

static struct nmk_message_way with_children(struct eliminator *e, const struct way *w, size_t room)
{
    struct nmk_message_way way = {w->children, w->cell};
    if (!way.children && e->out.part_count) {
        uint32_t *children = e->children + (e->out.entry_count + room) * e->out.part_count;
        find_children(children, e, w->cell);
        way.children = children;
    }
    return way;
}

/* < 0: a comes first; 0: they are the same in this aim. */
static int compare_order(struct eliminator *e, bool choices, const struct way *a, const struct way *b)
{
    if (e->net->any || (choices && !e->out.has_choices))
        return 0;
    sort_messages(e, choices);
    return nmk_message_differ(&e->out, &e->net->vars[e->out.var], choices, with_children(e, a, 0), with_children(e, b, 1)).sign;
}

/* < 0: a is better. */
static int compare_ways(struct eliminator *e, const struct way *a, const struct way *b)
{
    if (a->unmet != b->unmet)
        return a->unmet < b->unmet ? -1 : 1;
    int order = nmk_multiset_compare(e->net->pool, a->set, b->set);
    if (order == 0)
        order = compare_order(e, true, a, b);
    if (order == 0)
        order = nmk_cost_compare(a->cost, b->cost, e->net->limbs);
    return order ? order : compare_order(e, false, a, b);
}

static uint32_t best_lane(struct eliminator *e, const struct nmk_lanes *l)
{
    uint32_t best = 0;
    struct way so_far = way_of_lane(e, l, 0);
    for (uint32_t k = 1; k < l->count; k++) {
        struct way other = way_of_lane(e, l, k);
        if (compare_ways(e, &other, &so_far) < 0) {
            so_far = other;
            best = k;
        }
    }
    return best;
}

/* ---- the nest of loops ---- */

static void make_room(struct eliminator *e, size_t entries)
{
    void *data = e->entries;
    nmk_memory_reserve(&data, &e->entry_space, entries, sizeof *e->entries);
    e->entries = data;
    reserve_u64(&e->entry_costs, &e->entry_cost_space, entries * e->net->limbs);
    reserve_u32(&e->children, &e->child_space, (entries + 2) * e->out.part_count);
}

static void store(struct eliminator *e, size_t entry, const struct nmk_lanes *l, uint32_t lane)
{
    unsigned limbs = e->net->limbs;
    e->entries[entry] = (struct nmk_message_entry){l->unmet[lane], l->sets[lane], l->cells[lane]};
    memcpy(e->entry_costs + entry * limbs, l->costs + (size_t)lane * limbs, limbs * sizeof *l->costs);
    if (e->out.part_count)
        find_children(e->children + entry * e->out.part_count, e, l->cells[lane]);
}

/* False when the table has become too wide. */
static bool put_entry(struct eliminator *e, const struct nmk_lanes *l, uint32_t lane, uint64_t place)
{
    if (e->out.entry_count >= e->most_entries)
        return false;
    size_t entry = e->out.entry_count++;
    make_room(e, e->out.entry_count);
    store(e, entry, l, lane);
    nmk_message_put(&e->out, place, (uint32_t)entry + 1);
    return true;
}

static uint64_t place_of_lane(const struct nmk_nest *nest, uint32_t cell)
{
    uint64_t place = nest->out_at;
    for (size_t k = 0; k < nest->follower_count; k++) {
        const struct nmk_nest_source *s = &nest->sources[nest->followers[k].source];
        place += nest->followers[k].stride * (s->factor->map[s->at + s->own_stride * cell] - 1);
    }
    return place;
}

/* Each lane to where its followers are. */
static bool put_lanes(struct eliminator *e, const struct nmk_lanes *l)
{
    for (uint32_t k = 0; k < l->count; k++) {
        uint64_t place = place_of_lane(&e->nest, l->cells[k]);
        uint32_t found = nmk_message_find(&e->out, place);
        if (!found && !put_entry(e, l, k, place))
            return false;
        if (!found)
            continue;
        struct way lane = way_of_lane(e, l, k), entry = way_of_entry(e, found - 1);
        if (compare_ways(e, &lane, &entry) < 0)
            store(e, found - 1, l, k);
    }
    return true;
}

/* A complete combination. */
static bool put(struct eliminator *e, const struct nmk_lanes *l)
{
    return e->nest.follower_count ? put_lanes(e, l) : put_entry(e, l, best_lane(e, l), e->nest.out_at);
}

/* The next combination: of this loop or of one further out; its depth, or 0 after the last. */
static size_t advance(struct nmk_nest *nest, size_t depth)
{
    for (; depth > 0; depth--) {
        struct nmk_nest_level *l = &nest->levels[depth];
        nmk_nest_shift(nest, l, 1);
        if (++l->cell < l->cells)
            return depth;
        nmk_nest_shift(nest, l, 0 - (uint64_t)l->cells);
    }
    return 0;
}

static enum nmk_eliminate_outcome visit_all(struct eliminator *e)
{
    size_t depth = 0, last = e->nest.level_count - 1;
    e->nest.out_at = 0;
    do {
        uint64_t before = e->lanes.steps;
        bool any = nmk_lanes_enter(&e->lanes, depth, &e->nest) > 0;
        if (!nmk_work_step(e->work, e->lanes.steps - before))
            return NMK_ELIMINATE_ENDED;
        if (any) {
            if (depth < last) {
                e->nest.levels[++depth].cell = 0;
                continue;
            }
            if (!put(e, nmk_lanes_of(&e->lanes, depth)))
                return NMK_ELIMINATE_TOO_WIDE;
        }
        depth = advance(&e->nest, depth);
    } while (depth > 0);
    return e->out.entry_count ? NMK_ELIMINATE_SOLVED : NMK_ELIMINATE_INFEASIBLE;
}

/* ---- finishing the message ---- */

static void finish_message(struct eliminator *e)
{
    struct nmk_message *out = &e->out;
    out->entries = nmk_arena_copy(&e->arena, e->entries, out->entry_count, sizeof *e->entries);
    out->costs = nmk_arena_copy(&e->arena, e->entry_costs, out->entry_count * e->net->limbs, sizeof *e->entry_costs);
    if (out->part_count)
        out->children = nmk_arena_copy(&e->arena, e->children, out->entry_count * out->part_count, sizeof *e->children);
}

static void file_message(struct eliminator *e)
{
    uint32_t var = e->out.var;
    e->messages[var] = e->out;
    for (uint32_t k = 0; k < e->out.count; k++) {
        size_t p = ++e->pending_count, space = e->pending_space;
        reserve_u32(&e->pending_message, &space, p + 1);
        reserve_u32(&e->pending_next, &e->pending_space, p + 1);
        e->pending_message[p] = var;
        e->pending_next[p] = e->pending_first[e->out.vars[k]];
        e->pending_first[e->out.vars[k]] = (uint32_t)p;
    }
    e->out = (struct nmk_message){0};
}

static enum nmk_eliminate_outcome take_out(struct eliminator *e, uint32_t var)
{
    collect_sources(e, var);
    nmk_nest_lay_out(&e->nest, var);
    nmk_lanes_start(&e->lanes, e->nest.level_count, &e->net->vars[var]);
    bool started = start_message(e, var);
    set_parts(e);
    make_room(e, 1);
    enum nmk_eliminate_outcome outcome = started ? visit_all(e) : NMK_ELIMINATE_TOO_WIDE;
    if (outcome != NMK_ELIMINATE_SOLVED) {
        nmk_message_clear(&e->out);
        return outcome;
    }
    finish_message(e);
    file_message(e);
    nmk_nest_reset(&e->nest);
    return NMK_ELIMINATE_SOLVED;
}

/* ---- the whole ---- */

static void list_uses(struct eliminator *e)
{
    const struct nmk_net *net = e->net;
    size_t total = 0;
    e->uses_first = nmk_memory_new(net->var_count + 2, sizeof *e->uses_first);
    for (size_t f = 0; f < net->factor_count; f++)
        for (uint32_t k = 0; k < net->factors[f].count; k++, total++)
            e->uses_first[net->factors[f].vars[k] + 2]++;
    for (size_t v = 2; v < net->var_count + 2; v++)
        e->uses_first[v] += e->uses_first[v - 1];
    e->uses = nmk_memory_new(total, sizeof *e->uses);
    for (size_t f = 0; f < net->factor_count; f++)
        for (uint32_t k = 0; k < net->factors[f].count; k++)
            e->uses[e->uses_first[net->factors[f].vars[k] + 1]++] = (uint32_t)f;
}

static void init(struct eliminator *e, const struct nmk_net *net, const uint32_t *order, uint64_t most_entries,
                 struct nmk_work *work)
{
    *e = (struct eliminator){.net = net, .order = order, .work = work, .lanes = {.net = net}};
    e->most_entries = most_entries < UINT32_MAX / 2 ? most_entries : UINT32_MAX / 2;
    e->messages = nmk_memory_new(net->var_count, sizeof *e->messages);
    e->factor_used = nmk_memory_new(net->factor_count, sizeof *e->factor_used);
    e->pending_first = nmk_memory_new(net->var_count, sizeof *e->pending_first);
    e->message_used = nmk_memory_new(net->var_count, sizeof *e->message_used);
    nmk_nest_init(&e->nest, net);
    list_uses(e);
}

static void clear(struct eliminator *e)
{
    for (size_t v = 0; v < e->net->var_count; v++)
        nmk_message_clear(&e->messages[v]);
    nmk_memory_free(e->messages);
    nmk_memory_free(e->uses_first);
    nmk_memory_free(e->uses);
    nmk_memory_free(e->factor_used);
    nmk_memory_free(e->pending_first);
    nmk_memory_free(e->pending_next);
    nmk_memory_free(e->pending_message);
    nmk_memory_free(e->message_used);
    nmk_nest_clear(&e->nest);
    nmk_lanes_clear(&e->lanes);
    nmk_memory_free(e->part_sources);
    nmk_memory_free(e->entries);
    nmk_memory_free(e->entry_costs);
    nmk_memory_free(e->children);
    nmk_arena_clear(&e->arena);
}

/* Backwards: each variable's neighbours of then are known when its turn comes. */
static void trace(uint32_t *cells, const struct eliminator *e)
{
    for (size_t k = e->net->var_count; k-- > 0;) {
        const struct nmk_message *m = &e->messages[e->order[k]];
        uint64_t place = 0;
        for (uint32_t s = 0; s < m->count; s++)
            place += m->strides[s] * cells[m->vars[s]];
        uint32_t entry = nmk_message_find(m, place);
        assert(entry);
        cells[e->order[k]] = m->entries[entry - 1].best;
    }
}

enum nmk_eliminate_outcome nmk_eliminate(uint32_t *cells, const struct nmk_net *net, const uint32_t *order,
                                         uint64_t most_entries, struct nmk_work *work)
{
    struct eliminator e;
    init(&e, net, order, most_entries, work);
    enum nmk_eliminate_outcome outcome = NMK_ELIMINATE_SOLVED;
    for (; e.done < net->var_count && outcome == NMK_ELIMINATE_SOLVED; e.done++)
        outcome = take_out(&e, order[e.done]);
    if (outcome == NMK_ELIMINATE_SOLVED)
        trace(cells, &e);
    clear(&e);
    return outcome;
}
