#include "base/memory.h"

#include <gmp.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static nmk_memory_handler the_handler;
static size_t fail_countdown;

_Noreturn void nmk_memory_exhausted(size_t wanted)
{
    if (the_handler)
        the_handler(wanted);
    abort();
}

static int fails_now(void)
{
    return fail_countdown && --fail_countdown == 0;
}

static void *take(void *old, size_t bytes)
{
    void *p = fails_now() ? NULL : realloc(old, bytes ? bytes : 1);
    if (!p)
        nmk_memory_exhausted(bytes);
    return p;
}

static size_t product(size_t count, size_t size)
{
    if (size && count > SIZE_MAX / size)
        nmk_memory_exhausted(SIZE_MAX);
    return count * size;
}

void *nmk_memory_new(size_t count, size_t size)
{
    size_t bytes = product(count, size);
    return memset(take(NULL, bytes), 0, bytes ? bytes : 1);
}

void *nmk_memory_resize(void *old, size_t count, size_t size)
{
    return take(old, product(count, size));
}

void nmk_memory_free(void *old)
{
    free(old);
}

char *nmk_memory_copy_text(const char *text, size_t size)
{
    char *copy = take(NULL, product(size + 1, 1));
    if (size)
        memcpy(copy, text, size);
    copy[size] = '\0';
    return copy;
}

void nmk_memory_reserve(void **array, size_t *space, size_t wanted, size_t size)
{
    if (wanted <= *space)
        return;
    size_t more = *space + *space / 2 + 4;
    if (more < wanted)
        more = wanted;
    char *grown = take(*array, product(more, size));
    memset(grown + *space * size, 0, (more - *space) * size);
    *array = grown;
    *space = more;
}

void nmk_memory_fail_at(size_t n)
{
    fail_countdown = n;
}

static void *gmp_new(size_t bytes)
{
    return take(NULL, bytes);
}

static void *gmp_resize(void *old, size_t old_bytes, size_t bytes)
{
    (void)old_bytes;
    return take(old, bytes);
}

static void gmp_free(void *old, size_t bytes)
{
    (void)bytes;
    free(old);
}

void nmk_memory_handler_set(nmk_memory_handler handler)
{
    the_handler = handler;
    mp_set_memory_functions(gmp_new, gmp_resize, gmp_free);
}
