#include "near_name.h"

#include <string.h>

#include "nearmark/slips.h"

struct near_name near_name_begin(const char *word, size_t size)
{
    return (struct near_name){.word = word, .size = size, .slips = nmk_slips_allowed(size) + 1};
}

/* A beginning of the name counts as near, too: `edit` for `edition`. */
static size_t slips_of(const struct near_name *near, const char *name)
{
    if (near->size >= 3 && !strncmp(name, near->word, near->size))
        return 1;
    return nmk_slips_count(near->word, near->size, name, strlen(name), near->slips);
}

void near_name_offer(struct near_name *near, const char *name)
{
    size_t slips = slips_of(near, name);
    if (slips >= near->slips)
        return;
    near->slips = slips;
    near->best = name;
}
