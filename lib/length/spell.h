/* spell.h -- words compared without regard to case (ASCII only: the same under every locale). */
#ifndef LIB_LENGTH_SPELL_H
#define LIB_LENGTH_SPELL_H

#include <stdbool.h>
#include <stddef.h>

static inline char nmk_spell_lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Is text[0..size) the word `spelling`? */
static inline bool nmk_spell_is(const char *text, size_t size, const char *spelling)
{
    for (size_t i = 0; i < size; i++)
        if (!spelling[i] || nmk_spell_lower(text[i]) != nmk_spell_lower(spelling[i]))
            return false;
    return !spelling[size];
}

#endif
