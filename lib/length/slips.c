#include "nearmark/slips.h"

#include <stdbool.h>
#include <stdint.h>

#include "length/glyph.h"

enum { MOST_LETTERS = 64 }; /* of words that are compared letter by letter */

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
size_t nmk_slips_count(const char *a_text, size_t a_size, const char *b_text, size_t b_size, size_t most)
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

size_t nmk_slips_allowed(size_t size)
{
    return size <= 2 ? 0 : size <= 5 ? 1 : size <= 9 ? 2 : 3;
}
