#include "base/text.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"

void nmk_text_clear(struct nmk_text *t)
{
    nmk_memory_free(t->data);
    *t = (struct nmk_text){0};
}

static void reserve(struct nmk_text *t, size_t more)
{
    void *data = t->data;
    nmk_memory_reserve(&data, &t->space, t->size + more + 1, 1);
    t->data = data;
}

void nmk_text_add(struct nmk_text *t, const char *bytes, size_t size)
{
    reserve(t, size);
    if (size)
        memcpy(t->data + t->size, bytes, size);
    t->size += size;
    t->data[t->size] = '\0';
}

void nmk_text_add_string(struct nmk_text *t, const char *string)
{
    nmk_text_add(t, string, strlen(string));
}

void nmk_text_add_list(struct nmk_text *t, const char *format, va_list args)
{
    va_list again;
    va_copy(again, args);
    int size = vsnprintf(NULL, 0, format, args);
    assert(size >= 0);
    reserve(t, (size_t)size);
    vsnprintf(t->data + t->size, (size_t)size + 1, format, again);
    va_end(again);
    t->size += (size_t)size;
}

void nmk_text_add_format(struct nmk_text *t, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    nmk_text_add_list(t, format, args);
    va_end(args);
}

const char *nmk_text_get(const struct nmk_text *t)
{
    return t->data ? t->data : "";
}

char *nmk_text_release(struct nmk_text *t)
{
    char *data = t->data ? t->data : nmk_memory_copy_text("", 0);
    *t = (struct nmk_text){0};
    return data;
}
