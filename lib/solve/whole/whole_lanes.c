#include "solve/whole/whole_lanes.h"

#include <string.h>

#include "base/memory.h"
#include "solve/whole/whole_value.h"

void nmk_lanes_clear(struct nmk_lane_stack *s)
{
    nmk_memory_free(s->levels);
    nmk_memory_free(s->words);
    nmk_memory_free(s->costs);
    *s = (struct nmk_lane_stack){0};
}

static void reserve(struct nmk_lane_stack *s, size_t levels)
{
    void *data = s->levels;
    nmk_memory_reserve(&data, &s->level_space, levels, sizeof *s->levels);
    s->levels = data;
    data = s->words;
    nmk_memory_reserve(&data, &s->word_space, 3 * levels * s->width, sizeof *s->words);
    s->words = data;
    data = s->costs;
    nmk_memory_reserve(&data, &s->cost_space, levels * s->width * s->net->limbs, sizeof *s->costs);
    s->costs = data;
}

static struct nmk_lanes own_lanes(const struct nmk_lane_stack *s, size_t at)
{
    uint32_t *words = s->words + 3 * at * s->width;
    return (struct nmk_lanes){0, words, words + s->width, words + 2 * s->width, s->costs + at * s->width * s->net->limbs};
}

void nmk_lanes_start(struct nmk_lane_stack *s, size_t levels, const struct nmk_net_var *var)
{
    s->width = var->cells;
    reserve(s, levels + 1);
    struct nmk_lanes l = own_lanes(s, 0);
    l.count = var->cells;
    for (uint32_t c = 0; c < var->cells; c++)
        l.cells[c] = c;
    memset(l.unmet, 0, 2 * s->width * sizeof *l.unmet); /* and the sets behind it */
    size_t limbs = (size_t)var->cells * s->net->limbs;
    if (var->costs)
        memcpy(l.costs, var->costs, limbs * sizeof *l.costs);
    else
        memset(l.costs, 0, limbs * sizeof *l.costs);
    s->levels[0] = l;
}

/* ---- one source: from lanes to lanes, perhaps the same ones, of which fewer are left ---- */

static void copy_lane(struct nmk_lanes *to, uint32_t lane, const struct nmk_lanes *from, uint32_t old, unsigned limbs)
{
    to->cells[lane] = from->cells[old];
    to->unmet[lane] = from->unmet[old];
    to->sets[lane] = from->sets[old];
    for (unsigned k = 0; k < limbs; k++)
        to->costs[(size_t)lane * limbs + k] = from->costs[(size_t)old * limbs + k];
}

static uint32_t add_factor(struct nmk_lanes *to, const struct nmk_lanes *from, const struct nmk_net *net,
                           const struct nmk_nest_source *s)
{
    const uint32_t *codes = s->factor->codes + s->at;
    uint32_t kept = 0;
    for (uint32_t k = 0; k < from->count; k++) {
        uint32_t code = codes[s->own_stride * from->cells[k]];
        if (!code)
            continue;
        copy_lane(to, kept, from, k, net->limbs);
        if (code > 1) {
            to->unmet[kept] += (code - 1) & 1;
            to->sets[kept] = nmk_multiset_add(net->pool, to->sets[kept], net->sets[(code - 1) >> 1]);
        }
        kept++;
    }
    return kept;
}

/* Of all lanes only that of one cell. They are in the order of their cells. */
static uint32_t add_given(struct nmk_lanes *to, const struct nmk_lanes *from, const struct nmk_net *net, uint32_t given)
{
    uint32_t low = 0, high = from->count;
    while (low < high) {
        uint32_t middle = low + (high - low) / 2;
        if (from->cells[middle] + 1 < given)
            low = middle + 1;
        else
            high = middle;
    }
    if (!given || low == from->count || from->cells[low] + 1 != given)
        return 0;
    copy_lane(to, 0, from, low, net->limbs);
    return 1;
}

/* A map gives one cell: the lane's own, that of a loop, or one that is looked up later. */
static uint32_t add_map(struct nmk_lanes *to, const struct nmk_lanes *from, const struct nmk_net *net,
                        const struct nmk_nest_source *s, const struct nmk_nest *nest)
{
    const uint32_t *map = s->factor->map + s->at;
    uint32_t kept = 0;
    if (!s->given_level)
        return add_given(to, from, net, *map);
    for (uint32_t k = 0; k < from->count; k++) {
        uint32_t given = map[s->own_stride * from->cells[k]];
        if (given && (s->given_level == NMK_NEST_FOLLOWS || given == nest->levels[s->given_level].cell + 1))
            copy_lane(to, kept++, from, k, net->limbs);
    }
    return kept;
}

static uint32_t add_message(struct nmk_lanes *to, const struct nmk_lanes *from, const struct nmk_net *net,
                            const struct nmk_nest_source *s)
{
    const struct nmk_message *m = s->message;
    unsigned limbs = net->limbs;
    uint32_t kept = 0;
    for (uint32_t k = 0; k < from->count; k++) {
        uint32_t found = nmk_message_find(m, s->at + s->own_stride * from->cells[k]);
        if (!found)
            continue;
        const struct nmk_message_entry *entry = &m->entries[found - 1];
        copy_lane(to, kept, from, k, limbs);
        to->unmet[kept] += entry->unmet;
        if (entry->set)
            to->sets[kept] = nmk_multiset_add(net->pool, to->sets[kept], entry->set);
        nmk_cost_add(to->costs + (size_t)kept * limbs, m->costs + (size_t)(found - 1) * limbs, limbs);
        kept++;
    }
    return kept;
}

uint32_t nmk_lanes_enter(struct nmk_lane_stack *s, size_t level, const struct nmk_nest *nest)
{
    const struct nmk_nest_level *l = &nest->levels[level];
    const struct nmk_lanes *from = &s->levels[level];
    struct nmk_lanes *to = &s->levels[level + 1];
    *to = *from;
    struct nmk_lanes own = own_lanes(s, level + 1);
    s->steps++;
    for (size_t k = l->first_end; k < l->first_end + l->end_count && to->count; k++) {
        const struct nmk_nest_source *source = &nest->sources[nest->ends[k]];
        bool is_given = source->factor && source->factor->map && !source->given_level;
        s->steps += is_given ? 1 : to->count;
        own.count = source->message       ? add_message(&own, to, s->net, source)
                    : source->factor->map ? add_map(&own, to, s->net, source, nest)
                                          : add_factor(&own, to, s->net, source);
        *to = own;
    }
    return to->count;
}
