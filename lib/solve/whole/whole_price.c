#include "solve/whole/whole_price.h"

#include "exact/word.h"

enum { PARTS = 3, PART_BITS = 31, WORD = 64, MOST_SETTLED = 16 };

/* ---- one price ---- */

/* False if it does not fit: the sum of all is to fit too. */
static bool price_of(nmk_price *out, const struct nmk_prices *p, size_t at, int64_t x)
{
    const struct nmk_priced *n = &p->all[at];
    int64_t parts[PARTS] = {0}, way;
    if (p->problem->cost && !p->any)
        p->problem->cost(parts, p->problem->context, p->unknowns[at], x);
    if (__builtin_mul_overflow(x, n->step, &way) || __builtin_sub_overflow(way, n->goal, &way))
        return false;
    int64_t share = (int64_t)(p->count + 1), most = INT64_MAX / share, most_part = ((int64_t)1 << PART_BITS) / share;
    if (parts[0] < 0 || parts[0] > most_part || parts[1] < 0 || parts[2] < 0 || parts[2] > most_part || way > most ||
        way < -most)
        return false;
    *out = ((nmk_price)parts[0] << (WORD + PART_BITS)) + ((nmk_price)parts[2] << WORD) + (nmk_price)(way < 0 ? -way : way);
    return true;
}

nmk_price nmk_prices_ask(struct nmk_prices *p, size_t at, int64_t x)
{
    struct nmk_priced *n = &p->all[at];
    size_t slot = (size_t)((uint64_t)x % NMK_PRICE_SLOTS);
    if (n->is_known[slot] && n->known[slot] == x)
        return n->prices[slot];
    nmk_price price = 0;
    p->is_lost = !price_of(&price, p, at, x) || p->is_lost;
    n->is_known[slot] = true;
    n->known[slot] = x;
    n->prices[slot] = price;
    return price;
}

/* ---- all distances on one scale ---- */

static bool widen(int64_t *scale, const struct nmk_rat *r)
{
    int64_t num, den;
    return nmk_rat_get_frac(&num, &den, r) == NMK_OK &&
           !__builtin_mul_overflow(*scale, den / nmk_word_divisor(*scale, den), scale) && *scale <= NMK_MODEL_COEFFICIENT;
}

static bool scaled(int64_t *out, const struct nmk_rat *r, int64_t scale)
{
    int64_t num, den;
    return nmk_rat_get_frac(&num, &den, r) == NMK_OK && !__builtin_mul_overflow(num, scale / den, out);
}

static bool set_distances(struct nmk_prices *p)
{
    int64_t scale = 1;
    for (size_t k = 0; k < p->count; k++) {
        const struct nmk_whole_unknown *u = &p->problem->unknowns[p->unknowns[k]];
        if (nmk_rat_sign(&u->step) <= 0 || !widen(&scale, &u->step) || !widen(&scale, &u->goal))
            return false;
    }
    for (size_t k = 0; k < p->count; k++) {
        const struct nmk_whole_unknown *u = &p->problem->unknowns[p->unknowns[k]];
        if (!scaled(&p->all[k].step, &u->step, scale) || !scaled(&p->all[k].goal, &u->goal, scale))
            return false;
    }
    return true;
}

/* ---- the cheapest ---- */

/* Beyond the settled interval prices rise anyway. */
static bool set_best(struct nmk_prices *p, size_t at)
{
    const struct nmk_whole_unknown *u = &p->problem->unknowns[p->unknowns[at]];
    int64_t nearest = nmk_cells_nearest(u, -NMK_MODEL_FAR, NMK_MODEL_FAR), low = u->settled_low, high = u->settled_high;
    if (p->any)
        low = high = nearest;
    if (low > nearest || high < nearest || high - low > MOST_SETTLED)
        return false;
    int64_t best = low;
    for (int64_t x = low + 1; x <= high; x++)
        if (nmk_prices_ask(p, at, x) < nmk_prices_ask(p, at, best))
            best = x;
    p->all[at].best = best;
    for (int64_t x = low; x < high; x++) {
        nmk_price here = nmk_prices_ask(p, at, x), next = nmk_prices_ask(p, at, x + 1);
        if (x < best ? here < next : here > next)
            return false;
    }
    return !p->is_lost;
}

bool nmk_prices_init(struct nmk_prices *p, struct nmk_priced *all, const struct nmk_whole_problem *problem,
                     const size_t *unknowns, size_t count, bool any)
{
    *p = (struct nmk_prices){.problem = problem, .unknowns = unknowns, .count = count, .all = all, .any = any};
    for (size_t k = 0; k < count; k++) {
        const struct nmk_whole_unknown *u = &problem->unknowns[unknowns[k]];
        if (u->is_choice || (u->period != 1 && !any))
            return false;
    }
    if (!set_distances(p))
        return false;
    for (size_t k = 0; k < count; k++)
        if (!set_best(p, k))
            return false;
    return true;
}
