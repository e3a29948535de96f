#include "solve/whole/whole_lex.h"

#include <string.h>

#include "base/memory.h"

#ifdef NMK_STRESS
enum { BLOCK = 2 };
#else
enum { BLOCK = 16 };
#endif

/* Insertion sort of runs, then merging: stable, the same everywhere. */
enum { RUN = 8 };

static void sort_run(uint32_t *items, size_t count, nmk_lex_compare compare, const void *context)
{
    for (size_t k = 1; k < count; k++) {
        uint32_t item = items[k];
        size_t at = k;
        for (; at > 0 && compare(context, items[at - 1], item).sign > 0; at--)
            items[at] = items[at - 1];
        items[at] = item;
    }
}

static void merge(uint32_t *out, const uint32_t *in, size_t middle, size_t end, nmk_lex_compare compare,
                  const void *context)
{
    size_t left = 0, right = middle;
    for (size_t k = 0; k < end; k++) {
        bool from_right = left == middle || (right < end && compare(context, in[left], in[right]).sign > 0);
        out[k] = from_right ? in[right++] : in[left++];
    }
}

static void sort(uint32_t *items, size_t count, nmk_lex_compare compare, const void *context)
{
    for (size_t k = 0; k < count; k += RUN)
        sort_run(items + k, count - k < RUN ? count - k : RUN, compare, context);
    if (count <= RUN)
        return;
    uint32_t *other = nmk_memory_new(count, sizeof *other);
    for (size_t run = RUN; run < count; run *= 2) {
        for (size_t k = 0; k < count; k += 2 * run) {
            size_t end = count - k < 2 * run ? count - k : 2 * run;
            merge(other + k, items + k, end < run ? end : run, end, compare, context);
        }
        memcpy(items, other, count * sizeof *items);
    }
    nmk_memory_free(other);
}

static uint32_t least_of(const uint32_t *first, size_t from, size_t to)
{
    uint32_t least = NMK_LEX_SAME;
    for (size_t r = from; r < to; r++)
        least = first[r] < least ? first[r] : least;
    return least;
}

static void build_blocks(struct nmk_lex *lex, struct nmk_arena *arena)
{
    size_t n = lex->count / BLOCK, levels = 1;
    lex->block_count = n;
    if (n < 2)
        return;
    while ((size_t)1 << levels <= n)
        levels++;
    uint32_t *blocks = nmk_arena_new(arena, levels * n, sizeof *blocks);
    for (size_t b = 0; b < n; b++)
        blocks[b] = least_of(lex->first, b * BLOCK, (b + 1) * BLOCK);
    for (size_t l = 1; l < levels; l++)
        for (size_t b = 0; b + ((size_t)1 << l) <= n; b++) {
            uint32_t x = blocks[(l - 1) * n + b], y = blocks[(l - 1) * n + b + ((size_t)1 << (l - 1))];
            blocks[l * n + b] = x < y ? x : y;
        }
    lex->blocks = blocks;
}

void nmk_lex_build(struct nmk_lex *out, struct nmk_arena *arena, size_t count, nmk_lex_compare compare,
                   const void *context)
{
    uint32_t *rank = nmk_arena_new(arena, count, sizeof *rank);
    uint32_t *first = nmk_arena_new(arena, count, sizeof *first);
    uint32_t small[2 * RUN];
    uint32_t *sorted = count <= 2 * RUN ? small : nmk_memory_new(count, sizeof *sorted);
    for (size_t k = 0; k < count; k++)
        sorted[k] = (uint32_t)k;
    sort(sorted, count, compare, context);
    for (size_t r = 0; r < count; r++) {
        rank[sorted[r]] = (uint32_t)r;
        first[r] = r ? compare(context, sorted[r - 1], sorted[r]).key : NMK_LEX_SAME;
    }
    if (sorted != small)
        nmk_memory_free(sorted);
    *out = (struct nmk_lex){.count = count, .rank = rank, .first = first};
    build_blocks(out, arena);
}

/* The smallest of first[from .. to). */
static uint32_t least_between(const struct nmk_lex *lex, size_t from, size_t to)
{
    size_t block = (from + BLOCK - 1) / BLOCK, end = to / BLOCK;
    if (!lex->blocks || block >= end)
        return least_of(lex->first, from, to);
    unsigned level = 63U - (unsigned)__builtin_clzll((unsigned long long)(end - block));
    const uint32_t *blocks = lex->blocks + level * lex->block_count;
    uint32_t least = blocks[block], other = blocks[end - ((size_t)1 << level)];
    least = other < least ? other : least;
    other = least_of(lex->first, from, block * BLOCK);
    least = other < least ? other : least;
    other = least_of(lex->first, end * BLOCK, to);
    return other < least ? other : least;
}

struct nmk_lex_difference nmk_lex_differ(const struct nmk_lex *lex, uint32_t a, uint32_t b)
{
    uint32_t x = lex->rank[a], y = lex->rank[b];
    if (x == y)
        return (struct nmk_lex_difference){NMK_LEX_SAME, 0};
    uint32_t key = x < y ? least_between(lex, (size_t)x + 1, (size_t)y + 1) : least_between(lex, (size_t)y + 1, (size_t)x + 1);
    return (struct nmk_lex_difference){key, key == NMK_LEX_SAME ? 0 : x < y ? -1 : 1};
}
