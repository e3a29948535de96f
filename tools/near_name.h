/* near_name.h -- the known name nearest to a word that is not known. */
#ifndef TOOLS_NEAR_NAME_H
#define TOOLS_NEAR_NAME_H

#include <stddef.h>

struct near_name {
    char word[128];
    size_t distance;  /* the least so far; a name further away than a third of the word is not near */
    const char *best; /* borrowed; NULL: none is near */
};

struct near_name near_name_begin(const char *word, size_t size);
void near_name_offer(struct near_name *near, const char *name); /* the first of equally near ones stays */

#endif
