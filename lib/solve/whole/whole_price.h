/* whole_price.h -- what the numbers of some unknowns cost, each as one natural number.
 *
 * Part 0, part 2 and the distance side by side, the distances on one scale, so that prices are added and compared as
 * numbers. Part 1 has to be the same for all numbers of an unknown, and prices have to rise on both sides of its cheapest
 * number: then the cheapest of an interval is known without looking. */
#ifndef LIB_SOLVE_WHOLE_PRICE_H
#define LIB_SOLVE_WHOLE_PRICE_H

#include "solve/whole/whole_part.h"

typedef unsigned __int128 nmk_price;

#define NMK_PRICE_NONE (~(nmk_price)0)

enum { NMK_PRICE_SLOTS = 4 };

struct nmk_priced {
    int64_t best;       /* the cheapest number of all, of equals the smaller */
    int64_t step, goal; /* the distance of x is |x step - goal| */
    /* prices known, that of x at slot x % NMK_PRICE_SLOTS */
    int64_t known[NMK_PRICE_SLOTS];
    nmk_price prices[NMK_PRICE_SLOTS];
    bool is_known[NMK_PRICE_SLOTS];
};

struct nmk_prices {
    const struct nmk_whole_problem *problem;
    const size_t *unknowns;
    size_t count;
    struct nmk_priced *all; /* of each of the unknowns; borrowed */
    bool any;               /* by their distances alone */
    bool is_lost;           /* a price did not fit, and nothing that was asked since is right */
};

/* all: room for `count`, zeroed. False if the unknowns are not of this kind. any: by their distances alone. */
bool nmk_prices_init(struct nmk_prices *prices, struct nmk_priced *all, const struct nmk_whole_problem *problem,
                     const size_t *unknowns, size_t count, bool any);
nmk_price nmk_prices_ask(struct nmk_prices *prices, size_t at, int64_t x);
/* Is there more in it than a distance? */
static inline bool nmk_price_is_dear(nmk_price price)
{
    return price >> 64 != 0;
}
/* The cheapest number of [low, high]; high may be NMK_MODEL_OPEN. */
static inline int64_t nmk_priced_in(const struct nmk_priced *p, int64_t low, int64_t high)
{
    return low > p->best ? low : high < p->best ? high : p->best;
}

#endif
