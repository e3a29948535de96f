#include "solve/cutting/build.h"

#include <assert.h>

#include "base/memory.h"

void nmk_builds_clear(struct nmk_builds *builds)
{
    nmk_memory_free(builds->at);
    *builds = (struct nmk_builds){0};
}

static uint32_t add(struct nmk_builds *builds, struct nmk_build build)
{
    assert(builds->count < NMK_BUILD_NONE);
    void *at = builds->at;
    nmk_memory_reserve(&at, &builds->space, builds->count + 1, sizeof *builds->at);
    builds->at = at;
    build.next = NMK_BUILD_NONE;
    builds->at[builds->count] = build;
    return (uint32_t)builds->count++;
}

uint32_t nmk_builds_piece(struct nmk_builds *builds, int32_t lot, int32_t width, int32_t height)
{
    return add(builds, (struct nmk_build){.width = width, .height = height, .lot = lot, .kind = NMK_BUILD_PIECE});
}

static int32_t greater(int32_t a, int32_t b)
{
    return a > b ? a : b;
}

uint32_t nmk_builds_join(struct nmk_builds *builds, enum nmk_build_kind kind, uint32_t first, uint32_t second)
{
    const struct nmk_build *a = &builds->at[first], *b = &builds->at[second];
    bool beside = kind == NMK_BUILD_BESIDE;
    assert(beside || kind == NMK_BUILD_STACKED);
    return add(builds, (struct nmk_build){
                           .width = beside ? a->width + b->width : greater(a->width, b->width),
                           .height = beside ? greater(a->height, b->height) : a->height + b->height,
                           .first = first, .second = second, .lot = -1, .kind = (uint8_t)kind});
}

uint32_t nmk_builds_turn(struct nmk_builds *builds, uint32_t which)
{
    const struct nmk_build *b = &builds->at[which];
    return add(builds, (struct nmk_build){.width = b->height, .height = b->width, .first = which, .lot = -1,
                                          .kind = NMK_BUILD_TURNED});
}

static uint32_t copy_turned(struct nmk_builds *to, const struct nmk_builds *from, uint32_t root, bool turn)
{
    const struct nmk_build *b = &from->at[root];
    if (b->kind == NMK_BUILD_TURNED)
        return copy_turned(to, from, b->first, !turn);
    if (b->kind == NMK_BUILD_PIECE)
        return nmk_builds_piece(to, b->lot, turn ? b->height : b->width, turn ? b->width : b->height);
    uint32_t first = copy_turned(to, from, b->first, turn);
    uint32_t second = copy_turned(to, from, b->second, turn);
    bool beside = (b->kind == NMK_BUILD_BESIDE) != turn;
    return nmk_builds_join(to, beside ? NMK_BUILD_BESIDE : NMK_BUILD_STACKED, first, second);
}

uint32_t nmk_builds_copy(struct nmk_builds *to, const struct nmk_builds *from, uint32_t root)
{
    return copy_turned(to, from, root, false);
}

/* Which builds up to the root are parts of it: parts stand before their whole, so going backwards meets the whole first. */
static bool *mark_parts(const struct nmk_builds *builds, uint32_t root)
{
    bool *marked = nmk_memory_new((size_t)root + 1, sizeof *marked);
    marked[root] = true;
    for (uint32_t b = root + 1; b-- > 0;) {
        const struct nmk_build *build = &builds->at[b];
        if (marked[b] && build->kind != NMK_BUILD_PIECE)
            marked[build->first] = marked[build->second] = true;
    }
    return marked;
}

void nmk_builds_count(const struct nmk_builds *builds, uint32_t root, int64_t *counts)
{
    bool *marked = mark_parts(builds, root);
    for (uint32_t b = 0; b <= root; b++)
        if (marked[b] && builds->at[b].kind == NMK_BUILD_PIECE)
            counts[builds->at[b].lot]++;
    nmk_memory_free(marked);
}

static uint32_t join_some(struct nmk_builds *to, enum nmk_build_kind kind, uint32_t first, uint32_t second)
{
    if (first == NMK_BUILD_NONE || second == NMK_BUILD_NONE)
        return first == NMK_BUILD_NONE ? second : first;
    return nmk_builds_join(to, kind, first, second);
}

uint32_t nmk_builds_append_some(struct nmk_builds *to, const struct nmk_builds *from, uint32_t root, int64_t *keep)
{
    bool *marked = mark_parts(from, root);
    uint32_t *copies = nmk_memory_new((size_t)root + 1, sizeof *copies);
    for (uint32_t b = 0; b <= root; b++) {
        const struct nmk_build *build = &from->at[b];
        copies[b] = NMK_BUILD_NONE;
        if (!marked[b])
            continue;
        if (build->kind != NMK_BUILD_PIECE)
            copies[b] = join_some(to, (enum nmk_build_kind)build->kind, copies[build->first], copies[build->second]);
        else if (!keep || keep[build->lot]-- > 0)
            copies[b] = nmk_builds_piece(to, build->lot, build->width, build->height);
    }
    uint32_t copy = copies[root];
    nmk_memory_free(copies);
    nmk_memory_free(marked);
    return copy;
}

uint32_t nmk_builds_append(struct nmk_builds *to, const struct nmk_builds *from, uint32_t root)
{
    return nmk_builds_append_some(to, from, root, NULL);
}
