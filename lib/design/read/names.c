#include "design/read/names.h"

#include <string.h>

#include "base/memory.h"
#include "nearmark/slips.h"

void nmk_names_clear(struct nmk_names *names)
{
    nmk_memory_free(names->all);
    nmk_memory_free(names->slots);
    *names = (struct nmk_names){0};
}

/* FNV-1a, 64 bits. */
static uint64_t hash(size_t scope, const char *text, size_t size)
{
    uint64_t h = 14695981039346656037u ^ scope;
    for (size_t i = 0; i < size; i++)
        h = (h ^ (unsigned char)text[i]) * 1099511628211u;
    return h ^ h >> 29;
}

/* The slot of a name, or the empty one where it belongs. slot_count is a power of two and never full. */
static size_t *slot_of(const struct nmk_names *names, size_t scope, const char *text, size_t size)
{
    for (size_t i = hash(scope, text, size);; i++) {
        size_t *slot = &names->slots[i & (names->slot_count - 1)];
        if (!*slot)
            return slot;
        const struct nmk_name *n = &names->all[*slot - 1];
        if (n->scope == scope && n->size == size && !memcmp(n->text, text, size))
            return slot;
    }
}

struct nmk_name *nmk_names_find(const struct nmk_names *names, size_t scope, const char *text, size_t size)
{
    if (!names->slot_count)
        return NULL;
    size_t slot = *slot_of(names, scope, text, size);
    return slot ? &names->all[slot - 1] : NULL;
}

static void grow(struct nmk_names *names)
{
    nmk_memory_free(names->slots);
    names->slots = NULL;
    names->slot_count = names->slot_count ? 2 * names->slot_count : 64;
    names->slots = nmk_memory_new(names->slot_count, sizeof *names->slots);
    for (size_t i = 0; i < names->count; i++)
        *slot_of(names, names->all[i].scope, names->all[i].text, names->all[i].size) = i + 1;
}

struct nmk_name *nmk_names_add(struct nmk_names *names, struct nmk_name name)
{
    if (2 * (names->count + 1) > names->slot_count)
        grow(names);
    size_t *slot = slot_of(names, name.scope, name.text, name.size);
    if (!*slot) {
        void *all = names->all;
        nmk_memory_reserve(&all, &names->space, names->count + 1, sizeof *names->all);
        names->all = all;
        *slot = ++names->count;
    }
    names->all[*slot - 1] = name;
    return &names->all[*slot - 1];
}

/* ---- near names ---- */

static uint64_t least(uint64_t a, uint64_t b)
{
    return a < b ? a : b;
}

const struct nmk_name *nmk_names_near(struct nmk_names *names, size_t scope, enum nmk_named wanted, const char *text,
                                      size_t size)
{
    const struct nmk_name *best = NULL;
    size_t most = nmk_slips_allowed(size);
    for (size_t i = 0; i < names->count && names->patience; i++) {
        const struct nmk_name *n = &names->all[i];
        names->patience--;
        if (n->scope != scope || n->is == NMK_NAMED_BROKEN || (wanted && n->is != wanted))
            continue;
        names->patience -= least(names->patience, 16);
        size_t slips = nmk_slips_count(text, size, n->text, n->size, most);
        if (slips > most || (slips == most && best))
            continue;
        best = n;
        most = slips;
    }
    return best;
}
