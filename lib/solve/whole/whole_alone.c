#include "solve/whole/whole_alone.h"

enum { PARTS = 3, MOST_LOOKED_AT = 64 };

struct candidate {
    int64_t x, parts[PARTS];
    struct nmk_rat distance; /* from the goal */
    int side;                /* of the goal: < 0 below */
};

static void ask_parts(int64_t parts[PARTS], const struct nmk_whole_problem *p, size_t unknown, int64_t x)
{
    for (int k = 0; k < PARTS; k++)
        parts[k] = 0;
    if (p->cost)
        p->cost(parts, p->context, unknown, x);
}

/* Does it cost nothing but its distance? */
static bool is_free(const struct nmk_whole_problem *p, size_t unknown, int64_t x)
{
    int64_t parts[PARTS];
    ask_parts(parts, p, unknown, x);
    return !parts[0] && !parts[1] && !parts[2];
}

static void set_candidate(struct candidate *c, const struct nmk_whole_problem *p, size_t unknown, int64_t x)
{
    const struct nmk_whole_unknown *u = &p->unknowns[unknown];
    c->x = x;
    ask_parts(c->parts, p, unknown, x);
    nmk_rat_set_int(&c->distance, x);
    nmk_rat_mul(&c->distance, &c->distance, &u->step);
    nmk_rat_sub(&c->distance, &c->distance, &u->goal);
    c->side = nmk_rat_sign(&c->distance);
    nmk_rat_abs(&c->distance, &c->distance);
}

/* By costs. */
static int compare(const struct candidate *a, const struct candidate *b)
{
    for (int k = 0; k < PARTS; k++)
        if (a->parts[k] != b->parts[k])
            return a->parts[k] < b->parts[k] ? -1 : 1;
    return nmk_rat_cmp(&a->distance, &b->distance);
}

/* Is everything beyond this end of the settled interval worse than the best? Only part 1 may fall there. */
static bool is_worse_beyond(const struct candidate *end, const struct candidate *best, int side)
{
    struct candidate beyond = *end; /* borrows its distance */
    beyond.parts[1] = 0;
    return end->side * side >= 0 && compare(best, &beyond) <= 0;
}

/* Over the settled interval, if that is short and the ends tell enough. */
static bool look_at_settled(int64_t *out, const struct nmk_whole_problem *p, size_t unknown, int64_t low, int64_t high)
{
    const struct nmk_whole_unknown *u = &p->unknowns[unknown];
    int64_t first = low > u->settled_low ? low : u->settled_low, last = high < u->settled_high ? high : u->settled_high;
    if (first > last || last - first > MOST_LOOKED_AT)
        return false;
    struct candidate best = {0}, ends[2] = {{0}, {0}}, now = {0};
    set_candidate(&ends[0], p, unknown, first);
    set_candidate(&ends[1], p, unknown, last);
    set_candidate(&best, p, unknown, first);
    for (int64_t x = first + 1; x <= last; x++) {
        set_candidate(&now, p, unknown, x);
        if (compare(&now, &best) < 0)
            set_candidate(&best, p, unknown, x);
    }
    bool proved =
        (first == low || is_worse_beyond(&ends[0], &best, -1)) && (last == high || is_worse_beyond(&ends[1], &best, 1));
    *out = best.x;
    nmk_rat_clear(&best.distance);
    nmk_rat_clear(&now.distance);
    nmk_rat_clear(&ends[0].distance);
    nmk_rat_clear(&ends[1].distance);
    return proved;
}

static int64_t first_choice(const struct nmk_whole_unknown *u, int64_t low, int64_t high)
{
    int64_t best = low;
    for (int64_t x = low + 1; x <= high; x++)
        best = u->ranks[x] < u->ranks[best] ? x : best;
    return best;
}

bool nmk_alone_best(int64_t *out, const struct nmk_bench *b, size_t unknown)
{
    const struct nmk_whole_problem *p = b->model.problem;
    const struct nmk_whole_unknown *u = &p->unknowns[unknown];
    int64_t low = b->model.low[unknown], high = b->model.high[unknown];
    if (u->is_choice) {
        *out = first_choice(u, low, high);
        return true;
    }
    *out = nmk_cells_nearest(u, low, high);
    if (p->any)
        return true;
    bool proved = is_free(p, unknown, *out); /* no other is nearer */
    return proved || look_at_settled(out, p, unknown, low, high);
}
