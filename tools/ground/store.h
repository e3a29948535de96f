/* store.h -- the program's own memory: never NULL, no memory left ends the program (ending.h). */
#ifndef TOOLS_GROUND_STORE_H
#define TOOLS_GROUND_STORE_H

#include <stddef.h>

__attribute__((returns_nonnull)) void *store_new(size_t count, size_t size); /* zeroed */
__attribute__((returns_nonnull)) void *store_resize(void *old, size_t size); /* what is new is not zeroed */
void store_free(void *old);                 /* NULL allowed */
__attribute__((returns_nonnull)) char *store_copy(const char *text, size_t size); /* with a NUL added */

#endif
