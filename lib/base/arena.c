#include "base/arena.h"

#include <stdint.h>
#include <string.h>

#include "base/memory.h"

enum { ALIGN = _Alignof(max_align_t), BLOCK = 16 * 1024 };

struct nmk_arena_block {
    struct nmk_arena_block *before;
    size_t used, space;
    _Alignas(max_align_t) char bytes[];
};

static void *take(struct nmk_arena_block *block, size_t bytes)
{
    void *p = block->bytes + block->used;
    block->used += bytes;
    return p;
}

void *nmk_arena_new(struct nmk_arena *arena, size_t count, size_t size)
{
    if (size && count > (SIZE_MAX - BLOCK) / size)
        nmk_memory_exhausted(SIZE_MAX);
    size_t bytes = (count * size + ALIGN - 1) / ALIGN * ALIGN;
    if (arena->last && arena->last->space - arena->last->used >= bytes)
        return take(arena->last, bytes);
    size_t space = bytes > BLOCK ? bytes : BLOCK;
    struct nmk_arena_block *block = nmk_memory_new(1, sizeof *block + space);
    block->space = space;
    block->before = arena->last;
    arena->last = block;
    return take(block, bytes);
}

void *nmk_arena_copy(struct nmk_arena *arena, const void *from, size_t count, size_t size)
{
    void *to = nmk_arena_new(arena, count, size);
    if (count && size)
        memcpy(to, from, count * size);
    return to;
}

char *nmk_arena_copy_text(struct nmk_arena *arena, const char *text, size_t size)
{
    char *to = nmk_arena_new(arena, size + 1, 1);
    if (size)
        memcpy(to, text, size);
    return to;
}

void nmk_arena_clear(struct nmk_arena *arena)
{
    while (arena->last) {
        struct nmk_arena_block *before = arena->last->before;
        nmk_memory_free(arena->last);
        arena->last = before;
    }
}
