#include "solve/whole/whole_grid.h"

#include "base/memory.h"
#include "solve/whole/whole_model.h"

static const int64_t MOST_MODULUS = (int64_t)1 << 30; /* beyond it a remainder is left as it is */

/* ---- whole numbers ---- */

static int64_t mod(__int128 a, int64_t m)
{
    int64_t rest = (int64_t)(a % m);
    return rest < 0 ? rest + m : rest;
}

/* gcd(a, m) for 0 <= a < m, and in *inverse a number u with a u = gcd (mod m). */
static int64_t gcd_inverse(int64_t a, int64_t m, int64_t *inverse)
{
    int64_t r0 = m, r1 = a, u0 = 0, u1 = 1;
    while (r1) {
        int64_t q = r0 / r1, r = r0 - q * r1, u = u0 - q * u1;
        r0 = r1;
        r1 = r;
        u0 = u1;
        u1 = u;
    }
    *inverse = mod(u0, m);
    return r0;
}

/* x = a (mod m) and x = b (mod n) as one; false if they contradict each other. */
static bool combine(int64_t *a, int64_t *m, int64_t b, int64_t n)
{
    int64_t inverse, g = gcd_inverse(mod(*m, n), n, &inverse);
    if (n == 1)
        return true;
    if (mod((__int128)b - *a, g))
        return false;
    int64_t part = n / g, steps = mod((__int128)(mod((__int128)b - *a, n) / g) * inverse, part);
    *a += *m * steps;
    *m *= part;
    return true;
}

/* ---- what the remainders say of each unknown ---- */

static bool is_known(const struct nmk_grid *g, const struct nmk_whole_remainder *r, size_t k)
{
    return mod((__int128)r->times[k] * g->modulus[r->unknowns[k]], r->modulus) == 0;
}

/* What is left of the residue once the known unknowns are taken from it. */
static int64_t rest_of(const struct nmk_grid *g, const struct nmk_whole_remainder *r)
{
    int64_t rest = mod(r->residue, r->modulus);
    for (size_t k = 0; k < r->count; k++)
        if (is_known(g, r, k))
            rest = mod(rest - (__int128)r->times[k] * g->residue[r->unknowns[k]], r->modulus);
    return rest;
}

/* times x = rest (mod modulus), taken together with what is known of x. *news: something new. */
static bool learn(struct nmk_grid *g, size_t unknown, int64_t times, int64_t modulus, int64_t rest, bool *news)
{
    int64_t inverse, shared = gcd_inverse(mod(times, modulus), modulus, &inverse);
    if (rest % shared)
        return false;
    int64_t m = modulus / shared, before = g->modulus[unknown];
    int64_t residue = mod((__int128)(rest / shared) * inverse, m);
    if (before > MOST_MODULUS / m)
        return true;
    if (!combine(&g->residue[unknown], &g->modulus[unknown], residue, m))
        return false;
    *news |= g->modulus[unknown] != before;
    return true;
}

static bool ask(struct nmk_grid *g, const struct nmk_whole_remainder *r, bool *news)
{
    size_t unknown = r->count, open = 0;
    for (size_t k = 0; k < r->count; k++)
        if (!is_known(g, r, k)) {
            unknown = k;
            open++;
        }
    if (open == 0)
        return rest_of(g, r) == 0;
    if (open > 1 || r->modulus > MOST_MODULUS)
        return true;
    return learn(g, r->unknowns[unknown], r->times[unknown], r->modulus, rest_of(g, r), news);
}

static bool learn_all(struct nmk_grid *g)
{
    const struct nmk_whole_problem *p = g->original;
    for (size_t i = 0; i < p->unknown_count; i++)
        g->modulus[i] = 1;
    for (bool news = true; news;) {
        news = false;
        for (size_t i = 0; i < p->remainder_count; i++)
            if (!ask(g, &p->remainders[i], &news))
                return false;
    }
    return true;
}

/* ---- the new problem ---- */

static int64_t floor_div(int64_t a, int64_t m)
{
    return (a - mod(a, m)) / m;
}

/* False if none of its numbers is left. */
static bool make_unknown(struct nmk_grid *g, size_t i)
{
    struct nmk_whole_unknown *u = &g->unknowns[i];
    int64_t m = g->modulus[i], r = g->residue[i];
    struct nmk_rat part = {0};
    *u = g->original->unknowns[i]; /* ranks are borrowed */
    u->step = u->goal = (struct nmk_rat){0};
    nmk_rat_set_int(&part, r);
    nmk_rat_mul(&part, &part, &g->original->unknowns[i].step);
    nmk_rat_sub(&u->goal, &g->original->unknowns[i].goal, &part);
    nmk_rat_set_int(&part, m);
    nmk_rat_mul(&u->step, &g->original->unknowns[i].step, &part);
    nmk_rat_clear(&part);
    if (m == 1)
        return true;
    bool open = u->high < u->low;
    int64_t low = -floor_div(r - u->low, m), high = open ? low - 1 : floor_div(u->high - r, m);
    if (!open && high < low)
        return false;
    u->low = low;
    u->high = high;
    int64_t shared, unused;
    shared = u->period ? gcd_inverse(mod(m, u->period), u->period, &unused) : 1;
    u->period = u->period / shared;
    u->settled_low = floor_div(u->settled_low - r, m) - 1;
    u->settled_high = floor_div(u->settled_high - r, m) + 1;
    return true;
}

static void make_demand(struct nmk_grid *g, size_t i)
{
    const struct nmk_whole_demand *from = &g->original->demands[i];
    struct nmk_whole_term *terms = nmk_memory_new(from->count, sizeof *terms);
    struct nmk_rat number = {0}, part = {0};
    g->demands[i] = *from; /* bounds and tables are borrowed */
    g->demands[i].constant = (struct nmk_rat){0};
    nmk_rat_set(&g->demands[i].constant, &from->constant);
    for (size_t k = 0; k < from->count; k++) {
        terms[k] = (struct nmk_whole_term){.unknown = from->terms[k].unknown, .table = from->terms[k].table};
        if (terms[k].table)
            continue;
        nmk_rat_set_int(&number, g->modulus[terms[k].unknown]);
        nmk_rat_mul(&terms[k].times, &from->terms[k].times, &number);
        nmk_rat_set_int(&number, g->residue[terms[k].unknown]);
        nmk_rat_mul(&part, &from->terms[k].times, &number);
        nmk_rat_add(&g->demands[i].constant, &g->demands[i].constant, &part);
    }
    g->demands[i].terms = terms;
    nmk_rat_clear(&number);
    nmk_rat_clear(&part);
}

/* A remainder that still binds several unknowns, in the new ones. */
static void keep_remainder(struct nmk_grid *g, const struct nmk_whole_remainder *r)
{
    struct nmk_whole_remainder *to = &g->remainders[g->problem.remainder_count++];
    size_t *unknowns = nmk_memory_new(r->count, sizeof *unknowns);
    int64_t *times = nmk_memory_new(r->count, sizeof *times);
    *to = (struct nmk_whole_remainder){.unknowns = unknowns, .times = times, .modulus = r->modulus};
    to->residue = mod(r->residue, r->modulus);
    for (size_t k = 0; k < r->count; k++) {
        to->residue = mod(to->residue - (__int128)r->times[k] * g->residue[r->unknowns[k]], r->modulus);
        int64_t new_times = mod((__int128)r->times[k] * g->modulus[r->unknowns[k]], r->modulus);
        if (!new_times)
            continue;
        unknowns[to->count] = r->unknowns[k];
        times[to->count++] = new_times;
    }
}

static bool is_in_words(int64_t *x, const struct nmk_grid *g, size_t unknown, int64_t y)
{
    return !__builtin_mul_overflow(g->modulus[unknown], y, x) && !__builtin_add_overflow(*x, g->residue[unknown], x);
}

/* Cells far out are asked for too: there costs only grow, and no answer lies there. */
static void cost_of(int64_t parts[3], void *context, size_t unknown, int64_t y)
{
    const struct nmk_grid *g = context;
    int64_t x;
    if (!is_in_words(&x, g, unknown, y))
        x = y < 0 ? -NMK_MODEL_FAR : NMK_MODEL_FAR;
    g->original->cost(parts, g->original->context, unknown, x);
}

static void grade_of(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    const struct nmk_grid *g = context;
    g->original->grade(out, g->original->context, demand, v);
}

static bool progress_of(void *context, uint64_t steps)
{
    const struct nmk_grid *g = context;
    return g->original->progress(g->original->context, steps);
}

bool nmk_grid_build(struct nmk_grid *g, const struct nmk_whole_problem *p)
{
    *g = (struct nmk_grid){.original = p, .problem = *p};
    g->modulus = nmk_memory_new(p->unknown_count, sizeof *g->modulus);
    g->residue = nmk_memory_new(p->unknown_count, sizeof *g->residue);
    bool possible = learn_all(g);
    g->unknowns = nmk_memory_new(p->unknown_count, sizeof *g->unknowns);
    for (size_t i = 0; i < p->unknown_count && possible; i++)
        possible = make_unknown(g, i);
    g->problem.remainder_count = 0;
    if (!possible) {
        nmk_grid_clear(g);
        return false;
    }
    g->demands = nmk_memory_new(p->demand_count, sizeof *g->demands);
    g->remainders = nmk_memory_new(p->remainder_count, sizeof *g->remainders);
    for (size_t i = 0; i < p->demand_count; i++)
        make_demand(g, i);
    for (size_t i = 0; i < p->remainder_count; i++) {
        bool open = false;
        for (size_t k = 0; k < p->remainders[i].count; k++)
            open |= !is_known(g, &p->remainders[i], k);
        if (open)
            keep_remainder(g, &p->remainders[i]);
    }
    g->problem.unknowns = g->unknowns;
    g->problem.demands = g->demands;
    g->problem.remainders = g->remainders;
    g->problem.cost = p->cost ? cost_of : NULL;
    g->problem.grade = p->grade ? grade_of : NULL;
    g->problem.progress = p->progress ? progress_of : NULL;
    g->problem.context = g;
    return true;
}

void nmk_grid_clear(struct nmk_grid *g)
{
    for (size_t i = 0; g->unknowns && i < g->problem.unknown_count; i++) {
        nmk_rat_clear(&g->unknowns[i].step);
        nmk_rat_clear(&g->unknowns[i].goal);
    }
    for (size_t i = 0; g->demands && i < g->problem.demand_count; i++) {
        for (size_t k = 0; k < g->demands[i].count; k++)
            nmk_rat_clear((struct nmk_rat *)&g->demands[i].terms[k].times);
        nmk_memory_free((struct nmk_whole_term *)g->demands[i].terms);
        nmk_rat_clear(&g->demands[i].constant);
    }
    for (size_t i = 0; g->remainders && i < g->problem.remainder_count; i++) {
        nmk_memory_free((size_t *)g->remainders[i].unknowns);
        nmk_memory_free((int64_t *)g->remainders[i].times);
    }
    nmk_memory_free(g->unknowns);
    nmk_memory_free(g->demands);
    nmk_memory_free(g->remainders);
    nmk_memory_free(g->modulus);
    nmk_memory_free(g->residue);
    *g = (struct nmk_grid){.original = NULL};
}

bool nmk_grid_restore(const struct nmk_grid *g, int64_t *values)
{
    for (size_t i = 0; i < g->problem.unknown_count; i++)
        if (!is_in_words(&values[i], g, i, values[i]))
            return false;
    return true;
}
