#include "settle/keeping.h"

#include <string.h>

#include "base/memory.h"
#include "settle/hitting.h"

/* (1) What is left out must meet every core, a set that cannot be met together. So a smallest set that meets all cores
 *     known so far is enough if the rest can then be met; if not, the rest holds one more core. (Implicit hitting sets:
 *     Davies and Bacchus, CP 2011; from memory.) */
struct keeper {
    struct nmk_subset *subset;
    struct nmk_hitting cores;
    bool *fixed; /* must be kept */
    bool *out, *trial;
};

/* Shrinks `trial`, which cannot be met together, to a core: each demand leaves that is not needed for that. */
static enum nmk_status add_core(struct keeper *k)
{
    enum nmk_status status = NMK_OK;
    for (size_t i = 0; i < k->subset->count && status == NMK_OK; i++) {
        bool feasible = false;
        if (!k->trial[i])
            continue;
        k->trial[i] = false;
        status = nmk_subset_try(&feasible, k->subset, k->trial, NULL);
        k->trial[i] = feasible;
    }
    if (status == NMK_OK)
        nmk_hitting_add(&k->cores, k->trial);
    return status;
}

/* The smallest set of demands that are not fixed and meet every core; SIZE_MAX if a core is fixed altogether. */
static size_t smallest_out(struct keeper *k)
{
    struct nmk_hitting free = {.limit = k->cores.limit};
    bool *set = nmk_memory_new(free.limit, sizeof *set);
    bool possible = true;
    for (size_t i = 0; i < k->cores.count && possible; i++) {
        possible = false;
        for (size_t j = 0; j < free.limit; j++) {
            set[j] = k->cores.sets[i][j] && !k->fixed[j];
            possible |= set[j];
        }
        nmk_hitting_add(&free, set);
    }
    size_t count = possible ? nmk_hitting_smallest(k->out, &free) : SIZE_MAX;
    nmk_hitting_clear(&free);
    nmk_memory_free(set);
    return count;
}

/* How many must go at the least; `out` is such a set. SIZE_MAX: what is fixed cannot be met. */
static enum nmk_status fewest_out(size_t *count, struct keeper *k)
{
    enum nmk_status status = NMK_OK;
    bool feasible = false;
    while (status == NMK_OK && !feasible) {
        *count = smallest_out(k);
        if (*count == SIZE_MAX)
            break;
        for (size_t i = 0; i < k->subset->count; i++)
            k->trial[i] = !k->out[i];
        status = nmk_subset_try(&feasible, k->subset, k->trial, NULL);
        if (status == NMK_OK && !feasible)
            status = add_core(k);
        if (status == NMK_OK && !feasible && !memchr(k->cores.sets[k->cores.count - 1], true, k->cores.limit)) {
            *count = SIZE_MAX; /* the empty core: what always stays */
            break;
        }
    }
    return status;
}

static enum nmk_status choose(bool *kept, struct keeper *k)
{
    size_t fewest, count;
    bool *best = nmk_memory_new(k->subset->count, sizeof *best);
    enum nmk_status status = fewest_out(&fewest, k);
    if (status == NMK_OK && fewest == SIZE_MAX)
        status = NMK_INVALID;
    memcpy(best, k->out, k->subset->count * sizeof *best);
    for (size_t i = 0; i < k->subset->count && status == NMK_OK && fewest; i++) {
        k->fixed[i] = true;
        if (!best[i])
            continue;
        status = fewest_out(&count, k);
        k->fixed[i] = count == fewest;
        if (status == NMK_OK && k->fixed[i])
            memcpy(best, k->out, k->subset->count * sizeof *best);
    }
    for (size_t i = 0; i < k->subset->count; i++)
        kept[i] = !best[i];
    nmk_memory_free(best);
    return status;
}

enum nmk_status nmk_keeping_choose(bool *kept, struct nmk_subset *subset)
{
    struct keeper k = {.subset = subset, .cores = {.limit = subset->count}};
    k.fixed = nmk_memory_new(subset->count, sizeof *k.fixed);
    k.out = nmk_memory_new(subset->count, sizeof *k.out);
    k.trial = nmk_memory_new(subset->count, sizeof *k.trial);
    enum nmk_status status = choose(kept, &k);
    nmk_hitting_clear(&k.cores);
    nmk_memory_free(k.fixed);
    nmk_memory_free(k.out);
    nmk_memory_free(k.trial);
    return status;
}
