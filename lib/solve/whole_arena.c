#include "solve/whole_arena.h"

#include <stdint.h>

#include "base/memory.h"

struct nmk_arena_chunk {
    struct nmk_arena_chunk *older;
    size_t size; /* keeps the data aligned */
};

#ifdef NMK_STRESS
enum { CHUNK = 32, LARGEST = 32 };
#else
enum { CHUNK = 512, LARGEST = 1 << 18 };
#endif

static void add_chunk(struct nmk_arena *arena, size_t wanted)
{
    size_t size = arena->chunks ? 2 * arena->chunks->size : CHUNK;
    if (size > LARGEST)
        size = LARGEST;
    if (size < wanted)
        size = wanted;
    if (size > SIZE_MAX - sizeof *arena->chunks)
        nmk_memory_exhausted(size);
    struct nmk_arena_chunk *chunk = nmk_memory_new(1, sizeof *chunk + size);
    chunk->older = arena->chunks;
    chunk->size = size;
    arena->chunks = chunk;
    arena->used = 0;
    arena->space = size;
}

void *nmk_arena_new(struct nmk_arena *arena, size_t count, size_t size)
{
    if (size && count > (SIZE_MAX / 2) / size)
        nmk_memory_exhausted(SIZE_MAX);
    size_t wanted = (count * size + 15) / 16 * 16;
    if (wanted > arena->space - arena->used)
        add_chunk(arena, wanted);
    char *data = (char *)(arena->chunks + 1) + arena->used;
    arena->used += wanted;
    return data;
}

void nmk_arena_clear(struct nmk_arena *arena)
{
    while (arena->chunks) {
        struct nmk_arena_chunk *older = arena->chunks->older;
        nmk_memory_free(arena->chunks);
        arena->chunks = older;
    }
    *arena = (struct nmk_arena){0};
}
