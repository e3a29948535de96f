#include "base/arena.h"

#include <stdint.h>
#include <string.h>

#include "base/memory.h"

enum { ALIGN = _Alignof(max_align_t), FIRST_BLOCK = 1024, BLOCK = 16 * 1024 }; /* blocks double up to BLOCK */

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

static void add_block(struct nmk_arena *arena, size_t bytes)
{
    size_t space = arena->last ? 2 * arena->last->space : FIRST_BLOCK;
    space = space > BLOCK ? BLOCK : space;
    space = bytes > space ? bytes : space;
    struct nmk_arena_block *block = nmk_memory_resize(NULL, 1, sizeof *block + space);
    *block = (struct nmk_arena_block){.before = arena->last, .space = space};
    arena->last = block;
}

/* Not zeroed. */
static void *take_items(struct nmk_arena *arena, size_t count, size_t size)
{
    if (size && count > (SIZE_MAX - BLOCK) / size)
        nmk_memory_exhausted(SIZE_MAX);
    size_t bytes = (count * size + ALIGN - 1) / ALIGN * ALIGN;
    if (!arena->last || arena->last->space - arena->last->used < bytes)
        add_block(arena, bytes);
    return take(arena->last, bytes);
}

void *nmk_arena_new(struct nmk_arena *arena, size_t count, size_t size)
{
    return memset(take_items(arena, count, size), 0, count * size);
}

void *nmk_arena_copy(struct nmk_arena *arena, const void *from, size_t count, size_t size)
{
    void *to = take_items(arena, count, size);
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
