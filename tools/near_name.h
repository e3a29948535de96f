/* near_name.h -- the known name nearest to a word that is not known. */
#ifndef TOOLS_NEAR_NAME_H
#define TOOLS_NEAR_NAME_H

#include <stddef.h>

struct near_name {
    const char *word; /* borrowed */
    size_t size;
    size_t slips;     /* of the best so far; at first one more than are allowed */
    const char *best; /* borrowed; NULL: none is near */
};

struct near_name near_name_begin(const char *word, size_t size);
void near_name_offer(struct near_name *near, const char *name); /* the first of equally near ones stays */

#endif
