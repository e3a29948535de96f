#include "near_name.h"

#include <string.h>

#include "report/letters.h"

struct near_name near_name_begin(const char *word, size_t size)
{
    struct near_name near = {.best = NULL};
    if (size >= sizeof near.word)
        size = sizeof near.word - 1;
    memcpy(near.word, word, size);
    near.distance = 1 + (size > 2 ? (size + 2) / 3 : 1);
    return near;
}

/* A beginning of the name counts as near, too: `edit` for `edition`. */
static size_t distance_of(const struct near_name *near, const char *name)
{
    size_t size = strlen(near->word);
    if (size >= 3 && !strncmp(name, near->word, size))
        return 1;
    return letters_distance(near->word, name, near->distance);
}

void near_name_offer(struct near_name *near, const char *name)
{
    size_t distance = distance_of(near, name);
    if (distance >= near->distance)
        return;
    near->distance = distance;
    near->best = name;
}
