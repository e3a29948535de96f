/* spell.h -- words compared without regard to case (ASCII only: the same under every locale). */
#ifndef LIB_LENGTH_SPELL_H
#define LIB_LENGTH_SPELL_H

#include <stdbool.h>
#include <stddef.h>

char nmk_spell_lower(char c);
/* Is text[0..size) the word `spelling`? */
bool nmk_spell_is(const char *text, size_t size, const char *spelling);

#endif
