#include "settle/findings.h"

#include <string.h>

#include "base/memory.h"

enum { MOST_FOUND = 1 << 17, LEAST_SIZE = 256 };

static void free_found(struct nmk_found *f)
{
    if (!f)
        return;
    nmk_memory_free(f->key);
    nmk_memory_free(f->marks);
    nmk_memory_free(f->bad);
    nmk_memory_free(f);
}

static uint64_t hash_of(size_t number, const struct nmk_text *key)
{
    uint64_t hash = 1469598103934665603u + number;
    for (size_t i = 0; i < key->size; i++)
        hash = (hash ^ (unsigned char)key->data[i]) * 1099511628211u;
    return hash ^ hash >> 29;
}

static struct nmk_found **place_of(struct nmk_findings *all, size_t number, const char *key, size_t size, uint64_t hash)
{
    size_t i = (size_t)hash & (all->size - 1);
    for (; all->table[i]; i = (i + 1) & (all->size - 1)) {
        const struct nmk_found *f = all->table[i];
        if (f->hash == hash && f->number == number && f->key_size == size && (!size || !memcmp(f->key, key, size)))
            break;
    }
    return &all->table[i];
}

static void forget(struct nmk_findings *all)
{
    for (size_t i = 0; i < all->size; i++) {
        free_found(all->table[i]);
        all->table[i] = NULL;
    }
    all->used = 0;
}

void nmk_findings_clear(struct nmk_findings *all)
{
    forget(all);
    nmk_memory_free(all->table);
    nmk_text_clear(&all->key);
    *all = (struct nmk_findings){0};
}

static void grow(struct nmk_findings *all)
{
    struct nmk_found **old = all->table;
    size_t size = all->size;
    all->size = size ? 2 * size : LEAST_SIZE;
    all->table = nmk_memory_new(all->size, sizeof(struct nmk_found *));
    for (size_t i = 0; i < size; i++)
        if (old[i])
            *place_of(all, old[i]->number, old[i]->key, old[i]->key_size, old[i]->hash) = old[i];
    nmk_memory_free(old);
}

void nmk_findings_make_room(struct nmk_findings *all, size_t count)
{
    if (2 * (all->used + count) > 2 * MOST_FOUND)
        forget(all);
    while (2 * (all->used + count) >= all->size)
        grow(all);
}

struct nmk_found *nmk_findings_get(struct nmk_findings *all, size_t number, const struct nmk_part *part,
                                   const struct nmk_draft *draft)
{
    nmk_part_key(&all->key, part, draft);
    return *place_of(all, number, nmk_text_get(&all->key), all->key.size, hash_of(number, &all->key));
}

struct nmk_found *nmk_findings_add(struct nmk_findings *all, size_t number, const struct nmk_part *part,
                                   const struct nmk_draft *draft)
{
    struct nmk_found *f = nmk_memory_new(1, sizeof *f);
    nmk_part_key(&all->key, part, draft);
    f->number = number;
    f->key_size = all->key.size;
    f->key = nmk_memory_copy_text(nmk_text_get(&all->key), all->key.size);
    f->hash = hash_of(number, &all->key);
    *place_of(all, number, f->key, f->key_size, f->hash) = f;
    all->used++;
    return f;
}
