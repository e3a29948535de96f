#include "solve/build.h"

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

uint32_t nmk_builds_piece(struct nmk_builds *builds, int32_t lot, int32_t width, int32_t height, bool turned)
{
    return add(builds, (struct nmk_build){.width = width, .height = height, .lot = lot, .kind = NMK_BUILD_PIECE,
                                          .turned = turned});
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
        return nmk_builds_piece(to, b->lot, turn ? b->height : b->width, turn ? b->width : b->height, b->turned != turn);
    uint32_t first = copy_turned(to, from, b->first, turn);
    uint32_t second = copy_turned(to, from, b->second, turn);
    bool beside = (b->kind == NMK_BUILD_BESIDE) != turn;
    return nmk_builds_join(to, beside ? NMK_BUILD_BESIDE : NMK_BUILD_STACKED, first, second);
}

uint32_t nmk_builds_copy(struct nmk_builds *to, const struct nmk_builds *from, uint32_t root)
{
    return copy_turned(to, from, root, false);
}
