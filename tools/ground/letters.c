#define _XOPEN_SOURCE 700
#include "ground/letters.h"

#include <locale.h>
#include <string.h>
#include <wchar.h>

#include "ground/store.h"

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
    static bool prepared;
    if (l.code >= ' ' && l.code < 0x7F)
        return 1;
    if (!prepared)
        letters_prepare();
    prepared = true;
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
