/* slips.h -- how like one word is to another: which known name was meant by a word that is not known. */
#ifndef NEARMARK_SLIPS_H
#define NEARMARK_SLIPS_H

#include <stddef.h>

/* The number of slips (a character wrong, lost, added, or two exchanged: the optimal string alignment distance) between
 * two texts in UTF-8, capital letters of ASCII counting as small; more than `most`: any number above it. */
size_t nmk_slips_count(const char *a, size_t a_size, const char *b, size_t b_size, size_t most);
/* How many slips a word of that many bytes may have and still be recognised. */
size_t nmk_slips_allowed(size_t size);

#endif
