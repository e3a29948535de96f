/* hitting.h -- a smallest set of numbers that meets each of some sets of numbers. */
#ifndef LIB_SETTLE_HITTING_H
#define LIB_SETTLE_HITTING_H

#include <stdbool.h>
#include <stddef.h>

struct nmk_hitting { /* sets of numbers below `limit` */
    size_t limit, count, space;
    bool **sets; /* each `limit` flags, owned */
};

void nmk_hitting_add(struct nmk_hitting *h, const bool *set); /* copies */
void nmk_hitting_clear(struct nmk_hitting *h);
/* in: `limit` flags; the fewest numbers that meet every set, of equally few the first list in rising order. No set may
 * be empty. Returns how many. */
size_t nmk_hitting_smallest(bool *in, const struct nmk_hitting *h);

#endif
