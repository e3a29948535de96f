/* whole_arena.h -- many small arrays that are released together. */
#ifndef LIB_SOLVE_WHOLE_ARENA_H
#define LIB_SOLVE_WHOLE_ARENA_H

#include <stddef.h>

struct nmk_arena_chunk;

struct nmk_arena {
    struct nmk_arena_chunk *chunks;
    size_t used, space; /* of the newest chunk */
};

/* Zeroed; a zeroed arena is an empty one. */
void *nmk_arena_new(struct nmk_arena *arena, size_t count, size_t size);
void nmk_arena_clear(struct nmk_arena *arena);

#endif
