#include "solve/whole/whole_message.h"

#include "base/memory.h"

static void put_hashed(struct nmk_message *m, uint64_t place, uint32_t entry)
{
    size_t at = nmk_message_hash(place) & (m->slots - 1);
    while (m->hashed_entries[at])
        at = (at + 1) & (m->slots - 1);
    m->hashed_places[at] = place;
    m->hashed_entries[at] = entry;
}

static void widen_hash(struct nmk_message *m)
{
    struct nmk_message old = *m;
    m->slots *= 2;
    m->hashed_places = nmk_memory_new(m->slots, sizeof *m->hashed_places);
    m->hashed_entries = nmk_memory_new(m->slots, sizeof *m->hashed_entries);
    for (size_t k = 0; k < old.slots; k++)
        if (old.hashed_entries[k])
            put_hashed(m, old.hashed_places[k], old.hashed_entries[k]);
    nmk_memory_free(old.hashed_places);
    nmk_memory_free(old.hashed_entries);
}

void nmk_message_put(struct nmk_message *m, uint64_t place, uint32_t entry)
{
    if (m->direct) {
        m->direct[place] = entry;
        return;
    }
    if (2 * (size_t)entry > m->slots)
        widen_hash(m);
    put_hashed(m, place, entry);
}

static void take_first(struct nmk_lex_difference *best, struct nmk_lex_difference other)
{
    if (other.key < best->key)
        *best = other;
}

struct nmk_lex_difference nmk_message_differ(const struct nmk_message *m, const struct nmk_net_var *var, bool choices,
                                             struct nmk_message_way a, struct nmk_message_way b)
{
    struct nmk_lex_difference first = {NMK_LEX_SAME, 0};
    for (uint32_t k = 0; k < m->part_count; k++)
        if (a.children[k] != b.children[k] && (!choices || m->parts[k]->has_choices))
            take_first(&first,
                       nmk_lex_differ(choices ? &m->parts[k]->choices : &m->parts[k]->values, a.children[k], b.children[k]));
    if (a.cell == b.cell || (var->ranks != NULL) != choices || var->key >= first.key)
        return first;
    bool less = choices ? var->ranks[a.cell] < var->ranks[b.cell] : a.cell < b.cell;
    return (struct nmk_lex_difference){var->key, less ? -1 : 1};
}

struct comparison {
    const struct nmk_message *message;
    const struct nmk_net_var *var;
    bool choices;
};

static struct nmk_message_way way_of(const struct nmk_message *m, uint32_t entry)
{
    const uint32_t *children = m->part_count ? m->children + (size_t)entry * m->part_count : NULL;
    return (struct nmk_message_way){children, m->entries[entry].best};
}

static struct nmk_lex_difference compare_entries(const void *context, uint32_t a, uint32_t b)
{
    const struct comparison *c = context;
    return nmk_message_differ(c->message, c->var, c->choices, way_of(c->message, a), way_of(c->message, b));
}

void nmk_message_sort(struct nmk_message *m, const struct nmk_net_var *var, bool choices, struct nmk_arena *arena)
{
    struct comparison c = {m, var, choices};
    nmk_lex_build(choices ? &m->choices : &m->values, arena, m->entry_count, compare_entries, &c);
}

void nmk_message_clear(struct nmk_message *m)
{
    nmk_memory_free(m->hashed_places);
    nmk_memory_free(m->hashed_entries);
    *m = (struct nmk_message){0};
}
