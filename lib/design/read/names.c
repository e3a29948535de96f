#include "design/read/names.h"

#include <string.h>

#include "base/memory.h"
#include "length/glyph.h"

enum { MOST_LETTERS = 64 }; /* of names that are compared letter by letter */

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

struct letters {
    uint32_t code[MOST_LETTERS];
    size_t count;
};

static bool take_letters(struct letters *out, const char *text, size_t size)
{
    out->count = 0;
    for (size_t at = 0; at < size;) {
        struct nmk_glyph g = nmk_glyph_get(text, size, at);
        if (out->count == MOST_LETTERS)
            return false;
        out->code[out->count++] = g.code >= 'A' && g.code <= 'Z' ? g.code + 32 : g.code;
        at += g.bytes;
    }
    return true;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Row i of the table holds the slips between the first i letters of a and the first j of b (the optimal string
 * alignment distance); three rows are enough. */
size_t nmk_names_slips(const char *a_text, size_t a_size, const char *b_text, size_t b_size, size_t most)
{
    struct letters a, b;
    size_t rows[3][MOST_LETTERS + 1];
    if (!take_letters(&a, a_text, a_size) || !take_letters(&b, b_text, b_size))
        return most + 1;
    if ((a.count > b.count ? a.count - b.count : b.count - a.count) > most)
        return most + 1;
    for (size_t i = 0; i <= a.count; i++) {
        size_t *row = rows[i % 3], *above = rows[(i + 2) % 3], *two = rows[(i + 1) % 3];
        for (size_t j = 0; j <= b.count; j++) {
            if (!i || !j) {
                row[j] = i + j;
                continue;
            }
            row[j] = least(least(row[j - 1], above[j]) + 1, above[j - 1] + (a.code[i - 1] != b.code[j - 1]));
            if (i > 1 && j > 1 && a.code[i - 1] == b.code[j - 2] && a.code[i - 2] == b.code[j - 1])
                row[j] = least(row[j], two[j - 2] + 1);
        }
    }
    return rows[a.count % 3][b.count];
}

size_t nmk_names_allowed(size_t size)
{
    return size <= 2 ? 0 : size <= 5 ? 1 : size <= 9 ? 2 : 3;
}

const struct nmk_name *nmk_names_near(struct nmk_names *names, size_t scope, enum nmk_named wanted, const char *text,
                                      size_t size)
{
    const struct nmk_name *best = NULL;
    size_t most = nmk_names_allowed(size);
    for (size_t i = 0; i < names->count && names->patience; i++) {
        const struct nmk_name *n = &names->all[i];
        names->patience--;
        if (n->scope != scope || n->is == NMK_NAMED_BROKEN || (wanted && n->is != wanted))
            continue;
        names->patience -= least(names->patience, 16);
        size_t slips = nmk_names_slips(text, size, n->text, n->size, most);
        if (slips > most || (slips == most && best))
            continue;
        best = n;
        most = slips;
    }
    return best;
}
