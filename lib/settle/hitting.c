#include "settle/hitting.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"

void nmk_hitting_add(struct nmk_hitting *h, const bool *set)
{
    void *sets = h->sets;
    nmk_memory_reserve(&sets, &h->space, h->count + 1, sizeof *h->sets);
    h->sets = sets;
    h->sets[h->count] = nmk_memory_new(h->limit, sizeof(bool));
    memcpy(h->sets[h->count++], set, h->limit * sizeof(bool));
}

void nmk_hitting_clear(struct nmk_hitting *h)
{
    for (size_t i = 0; i < h->count; i++)
        nmk_memory_free(h->sets[i]);
    nmk_memory_free(h->sets);
    *h = (struct nmk_hitting){.limit = h->limit};
}

struct search {
    const struct nmk_hitting *h;
    size_t *hits;  /* by set: how many of the chosen numbers meet it */
    bool *covered; /* scratch */
    bool *in;
};

static bool meets_later(const bool *set, size_t from, size_t limit)
{
    return memchr(set + from, true, limit - from) != NULL;
}

/* No fewer than the greatest number of unmet sets, taken greedily, of which no two share a number from `from` on. */
static size_t fewest(struct search *s, size_t from)
{
    size_t needed = 0;
    memset(s->covered, 0, s->h->limit);
    for (size_t i = 0; i < s->h->count; i++) {
        bool apart = s->hits[i] == 0;
        for (size_t k = from; k < s->h->limit && apart; k++)
            apart = !(s->h->sets[i][k] && s->covered[k]);
        for (size_t k = from; k < s->h->limit && apart; k++)
            s->covered[k] |= s->h->sets[i][k];
        needed += apart;
    }
    return needed;
}

static void choose(struct search *s, size_t number, bool chosen)
{
    s->in[number] = chosen;
    for (size_t i = 0; i < s->h->count; i++)
        if (s->h->sets[i][number])
            s->hits[i] += chosen ? 1 : (size_t)-1;
}

/* Numbers from `from` on, at most `left` more, in rising order: the first list found is the first of all. The depth is
 * the size of the answer. */
static bool extend(struct search *s, size_t from, size_t left)
{
    bool all_met = true;
    for (size_t i = 0; i < s->h->count; i++) {
        all_met &= s->hits[i] > 0;
        if (!s->hits[i] && !meets_later(s->h->sets[i], from, s->h->limit))
            return false;
    }
    if (all_met)
        return true;
    if (fewest(s, from) > left)
        return false;
    for (size_t k = from; k < s->h->limit; k++) {
        bool useful = false, last = false;
        for (size_t i = 0; i < s->h->count; i++)
            if (!s->hits[i] && s->h->sets[i][k]) {
                useful = true;
                last |= !meets_later(s->h->sets[i], k + 1, s->h->limit);
            }
        if (!useful)
            continue;
        choose(s, k, true);
        if (extend(s, k + 1, left - 1))
            return true;
        choose(s, k, false);
        if (last)
            return false; /* a set that only this number could still meet */
    }
    return false;
}

size_t nmk_hitting_smallest(bool *in, const struct nmk_hitting *h)
{
    struct search s = {.h = h, .in = in};
    s.hits = nmk_memory_new(h->count, sizeof *s.hits);
    s.covered = nmk_memory_new(h->limit, sizeof *s.covered);
    memset(in, 0, h->limit * sizeof *in);
    size_t size = fewest(&s, 0);
    while (!extend(&s, 0, size)) {
        size++;
        assert(size <= h->limit);
    }
    nmk_memory_free(s.hits);
    nmk_memory_free(s.covered);
    size_t count = 0;
    for (size_t i = 0; i < h->limit; i++)
        count += in[i];
    return count;
}
