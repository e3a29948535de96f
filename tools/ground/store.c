#include "ground/store.h"

#include <stdlib.h>
#include <string.h>

#include "ground/ending.h"

void *store_new(size_t count, size_t size)
{
    void *p = calloc(count ? count : 1, size ? size : 1);
    if (!p)
        ending_without_memory(size);
    return p;
}

void *store_resize(void *old, size_t size)
{
    void *p = realloc(old, size ? size : 1);
    if (!p)
        ending_without_memory(size);
    return p;
}

void store_free(void *old)
{
    free(old);
}

char *store_copy(const char *text, size_t size)
{
    char *copy = store_new(size + 1, 1);
    if (size)
        memcpy(copy, text, size);
    return copy;
}
