/* letters.h -- UTF-8 text that others wrote: made safe to show, and how wide it is on a screen. */
#ifndef TOOLS_GROUND_LETTERS_H
#define TOOLS_GROUND_LETTERS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Text is UTF-8: for libraries that ask the locale. The first width of a letter beyond ASCII sees to it by itself. */
void letters_prepare(void);

struct letter {
    uint32_t code;
    size_t bytes; /* 0: the end of the text */
    bool valid;   /* false: one byte that is no UTF-8 */
};
struct letter letter_get(const char *text, size_t size, size_t at);
/* Does it drive a terminal, or turn the text round it about? Control characters, line ends, directions. */
bool letter_is_control(struct letter l);
int letter_width(struct letter l); /* columns: 0, 1 or 2 */

/* A copy in which every control character, tab and invalid byte is U+FFFD. The caller's (store_free). */
__attribute__((returns_nonnull)) char *letters_plain(const char *text, size_t size);
int letters_width(const char *text);
#endif
