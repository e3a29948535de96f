#include "length/spell.h"

char nmk_spell_lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool nmk_spell_is(const char *text, size_t size, const char *spelling)
{
    for (size_t i = 0; i < size; i++)
        if (!spelling[i] || nmk_spell_lower(text[i]) != nmk_spell_lower(spelling[i]))
            return false;
    return !spelling[size];
}
