/* memory.h -- the one funnel of the library's memory (rule: status.h). None of these returns NULL. */
#ifndef LIB_BASE_MEMORY_H
#define LIB_BASE_MEMORY_H

#include <stddef.h>

#include "nearmark/status.h"

void *nmk_memory_new(size_t count, size_t size);                  /* zeroed; count * size may be 0 */
void *nmk_memory_resize(void *old, size_t count, size_t size);    /* what is new is not zeroed */
void nmk_memory_free(void *old);                                  /* NULL allowed */
char *nmk_memory_copy_text(const char *text, size_t size);        /* with a NUL added */
/* Room for at least `wanted` elements in *array (of *space): grows by half again, zeroes what is new. */
void nmk_memory_reserve(void **array, size_t *space, size_t wanted, size_t size);
_Noreturn void nmk_memory_exhausted(size_t wanted);

/* For tests: the n-th allocation from now (1 is the next) is treated as failed; 0: none. */
void nmk_memory_fail_at(size_t n);

#endif
