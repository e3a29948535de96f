/* arena.h -- memory that is given out in small parts and released all at once. A zeroed struct is an empty arena. */
#ifndef LIB_BASE_ARENA_H
#define LIB_BASE_ARENA_H

#include <stddef.h>

struct nmk_arena {
    struct nmk_arena_block *last; /* each block points to the one before it */
};

void *nmk_arena_new(struct nmk_arena *arena, size_t count, size_t size); /* zeroed, aligned for anything; never NULL */
void *nmk_arena_copy(struct nmk_arena *arena, const void *from, size_t count, size_t size);
char *nmk_arena_copy_text(struct nmk_arena *arena, const char *text, size_t size); /* with a NUL added */
void nmk_arena_clear(struct nmk_arena *arena);

#endif
