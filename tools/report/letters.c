#define _XOPEN_SOURCE 700
#include "report/letters.h"

#include <locale.h>
#include <string.h>
#include <wchar.h>

#include "report/store.h"

#define REPLACEMENT "\xEF\xBF\xBD"

void letters_prepare(void)
{
    setlocale(LC_CTYPE, "C.UTF-8");
}

/* How many bytes a first byte announces; 0: it is none. */
static size_t announced(unsigned char first)
{
    if (first < 0x80)
        return 1;
    if (first >= 0xC2 && first < 0xE0)
        return 2;
    if (first >= 0xE0 && first < 0xF0)
        return 3;
    return first >= 0xF0 && first < 0xF5 ? 4 : 0;
}

static bool in_range(uint32_t code, size_t bytes)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    return code >= least[bytes] && code <= 0x10FFFF && !(code >= 0xD800 && code < 0xE000);
}

struct letter letter_get(const char *text, size_t size, size_t at)
{
    if (at >= size)
        return (struct letter){0};
    const unsigned char *p = (const unsigned char *)text + at;
    struct letter bad = {.code = 0xFFFD, .bytes = 1};
    size_t bytes = announced(*p);
    if (!bytes || bytes > size - at)
        return bad;
    uint32_t code = bytes == 1 ? *p : *p & (0x7Fu >> bytes);
    for (size_t i = 1; i < bytes; i++) {
        if ((p[i] & 0xC0) != 0x80)
            return bad;
        code = code << 6 | (p[i] & 0x3F);
    }
    return in_range(code, bytes) ? (struct letter){code, bytes, true} : bad;
}

bool letter_is_control(struct letter l)
{
    uint32_t c = l.code;
    return c < 0x20 || (c >= 0x7F && c < 0xA0) || c == 0x2028 || c == 0x2029 || (c >= 0x202A && c <= 0x202E) ||
           (c >= 0x2066 && c <= 0x2069) || c == 0x200E || c == 0x200F || c == 0xFEFF;
}

int letter_width(struct letter l)
{
    int width = wcwidth((wchar_t)l.code);
    return width < 0 ? 1 : width;
}

char *letters_plain(const char *text, size_t size)
{
    char *plain = store_new(size * 3 + 1, 1);
    size_t used = 0;
    for (size_t at = 0; at < size;) {
        struct letter l = letter_get(text, size, at);
        bool keep = l.valid && !letter_is_control(l);
        size_t bytes = keep ? l.bytes : strlen(REPLACEMENT);
        memcpy(plain + used, keep ? text + at : REPLACEMENT, bytes);
        used += bytes;
        at += l.bytes;
    }
    return plain;
}

int letters_width(const char *text)
{
    int width = 0;
    size_t size = strlen(text);
    for (size_t at = 0; at < size;) {
        struct letter l = letter_get(text, size, at);
        width += letter_width(l);
        at += l.bytes;
    }
    return width;
}

enum { LONGEST = 64 }; /* a longer word has no near one */

static size_t spell(uint32_t out[LONGEST], const char *text)
{
    size_t count = 0, size = strlen(text);
    for (size_t at = 0; at < size && count < LONGEST; count++) {
        struct letter l = letter_get(text, size, at);
        out[count] = l.code >= 'A' && l.code <= 'Z' ? l.code + 32 : l.code;
        at += l.bytes;
    }
    return count;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* The distance of the first i letters of one and the first j of the other, row by row; three rows are kept. */
size_t letters_distance(const char *a, const char *b, size_t most)
{
    uint32_t x[LONGEST], y[LONGEST];
    size_t rows[3][LONGEST + 1], n = spell(x, a), m = spell(y, b);
    for (size_t j = 0; j <= m; j++)
        rows[0][j] = j;
    for (size_t i = 1; i <= n; i++) {
        size_t *now = rows[i % 3], *last = rows[(i + 2) % 3], *before = rows[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= m; j++) {
            now[j] = least(least(last[j], now[j - 1]) + 1, last[j - 1] + (x[i - 1] != y[j - 1]));
            if (i > 1 && j > 1 && x[i - 1] == y[j - 2] && x[i - 2] == y[j - 1])
                now[j] = least(now[j], before[j - 2] + 1);
        }
    }
    return least(rows[n % 3][m], most + 1);
}
