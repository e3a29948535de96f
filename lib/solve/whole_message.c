#include "solve/whole_message.h"

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

void nmk_message_clear(struct nmk_message *m)
{
    nmk_memory_free(m->hashed_places);
    nmk_memory_free(m->hashed_entries);
    *m = (struct nmk_message){0};
}
