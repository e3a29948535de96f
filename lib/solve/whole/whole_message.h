/* whole_message.h -- what an eliminated variable leaves behind: the best for each combination of its neighbours. */
#ifndef LIB_SOLVE_WHOLE_MESSAGE_H
#define LIB_SOLVE_WHOLE_MESSAGE_H

#include "solve/whole/whole_lex.h"
#include "solve/whole/whole_net.h"

struct nmk_message_entry {
    uint32_t unmet; /* aim 0 */
    uint32_t set;   /* aim 1 */
    uint32_t best;  /* cell of the eliminated variable */
};

/* Only combinations that are allowed have entries. A combination's place is sum stride * cell. */
struct nmk_message {
    uint32_t var, count;
    const uint32_t *vars;
    const uint64_t *strides;
    uint32_t *direct;              /* place -> entry + 1, or 0; NULL: by hash */
    uint64_t *hashed_places;       /* hash table; hashed_entries 0: free */
    uint32_t *hashed_entries;
    size_t slots;
    size_t entry_count;
    const struct nmk_message_entry *entries;
    const uint64_t *costs; /* entry_count * limbs: aim 3 */
    /* For aims 2 and 4: the messages that went into it, and what each entry took of them. */
    const struct nmk_message **parts;
    uint32_t part_count;
    const uint32_t *children; /* entry * part_count + part: the part's entry */
    bool has_choices;         /* its variable is one, or a part has any */
    struct nmk_lex choices, values; /* once they have been sorted */
};

/* A way to a combination: what it takes of each part, and the cell of the message's variable. */
struct nmk_message_way {
    const uint32_t *children;
    uint32_t cell;
};

/* Files an entry (its number + 1) at a place that has none. */
void nmk_message_put(struct nmk_message *message, uint64_t place, uint32_t entry);
/* By choices or by the other numbers; the parts have to be sorted by it. */
struct nmk_lex_difference nmk_message_differ(const struct nmk_message *message, const struct nmk_net_var *var, bool choices,
                                             struct nmk_message_way a, struct nmk_message_way b);
/* Sorts the entries, so that they can be told apart in messages that this one is part of. */
void nmk_message_sort(struct nmk_message *message, const struct nmk_net_var *var, bool choices, struct nmk_arena *arena);
/* What is not in the arena. */
void nmk_message_clear(struct nmk_message *message);

static inline size_t nmk_message_hash(uint64_t place)
{
    place *= UINT64_C(0x9E3779B97F4A7C15);
    return (size_t)(place ^ (place >> 32));
}

/* entry + 1, or 0 if the combination is not allowed. */
static inline uint32_t nmk_message_find(const struct nmk_message *m, uint64_t place)
{
    if (m->direct)
        return m->direct[place];
    size_t at = nmk_message_hash(place) & (m->slots - 1);
    while (m->hashed_entries[at] && m->hashed_places[at] != place)
        at = (at + 1) & (m->slots - 1);
    return m->hashed_entries[at];
}

#endif
