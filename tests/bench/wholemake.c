#include "bench/wholemake.h"

#include <stdlib.h>
#include <string.h>

enum { TERMS = 4, MARK_TENTHS_NUM = 127, MARK_TENTHS_DEN = 8 };

static uint64_t next_random(uint64_t *state)
{
    uint64_t z = *state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static int64_t between(uint64_t *state, int64_t low, int64_t high)
{
    return low + (int64_t)(next_random(state) % (uint64_t)(high - low + 1));
}

static struct nmk_rat tenths(int64_t n)
{
    struct nmk_rat r = {0};
    (void)nmk_rat_set_frac(&r, n, 10);
    return r;
}

static struct nmk_rat marks(int64_t n)
{
    struct nmk_rat r = {0};
    (void)nmk_rat_set_frac(&r, n * MARK_TENTHS_NUM, 10 * MARK_TENTHS_DEN);
    return r;
}

static int64_t nearest_mark(int64_t goal)
{
    int64_t n = (2 * goal * MARK_TENTHS_DEN + MARK_TENTHS_NUM) / (2 * MARK_TENTHS_NUM);
    return n < 1 ? 1 : n;
}

static void cost(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    const struct made *m = context;
    parts[0] = x != m->unknowns[unknown].settled_low;
    parts[1] = parts[2] = 0;
}

/* Falls by its distance in millimetres from the sure interval over 4. */
static void grade(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    struct made *m = context;
    const struct nmk_whole_demand *d = &m->demands[demand];
    struct nmk_rat quarter = {0};
    m->grade_calls++;
    (void)nmk_rat_set_frac(&quarter, 1, 4);
    if (nmk_rat_cmp(v, &d->sure_least) < 0)
        nmk_rat_sub(out, v, &d->sure_least);
    else
        nmk_rat_sub(out, &d->sure_most, v);
    nmk_rat_mul(out, out, &quarter);
    nmk_rat_set_int(&quarter, 1);
    nmk_rat_add(out, out, &quarter);
    if (nmk_rat_sign(out) < 0)
        nmk_rat_set_int(out, 0);
}

static void start(struct made *m, size_t unknowns, size_t demands)
{
    memset(m, 0, sizeof *m);
    m->unknown_space = unknowns;
    m->demand_space = demands;
    m->unknowns = calloc(unknowns, sizeof *m->unknowns);
    m->demands = calloc(demands, sizeof *m->demands);
    m->terms = calloc(demands * TERMS, sizeof *m->terms);
    if (!m->unknowns || !m->demands || !m->terms)
        abort();
}

static size_t add_unknown(struct made *m, int64_t goal)
{
    int64_t near = nearest_mark(goal);
    m->unknowns[m->problem.unknown_count] = (struct nmk_whole_unknown){
        .low = 1, .high = 0, .step = marks(1), .goal = tenths(goal), .settled_low = near, .settled_high = near, .period = 1};
    return m->problem.unknown_count++;
}

static struct nmk_whole_demand *add_demand(struct made *m, size_t count, const struct make_term *terms, int64_t constant,
                                           int64_t least, int64_t most)
{
    size_t i = m->problem.demand_count++;
    for (size_t k = 0; k < count; k++)
        m->terms[i * TERMS + k] = (struct nmk_whole_term){.unknown = terms[k].unknown, .times = marks(terms[k].times)};
    m->demands[i] = (struct nmk_whole_demand){.count = count,
                                              .terms = &m->terms[i * TERMS],
                                              .constant = tenths(constant),
                                              .has_least = true,
                                              .has_most = true,
                                              .least = tenths(least),
                                              .most = tenths(most)};
    return &m->demands[i];
}

/* outer - inner - thickness within [least, most], less sure within 8 tenths of its ends. */
static void add_fit(struct made *m, size_t outer, size_t inner, int64_t thickness, int64_t least, int64_t most)
{
    const struct make_term terms[] = {{outer, 1}, {inner, -1}};
    struct nmk_whole_demand *d = add_demand(m, 2, terms, -thickness, least, most);
    d->graded = m->graded;
    d->has_sure_least = d->has_sure_most = m->graded;
    d->sure_least = tenths(least + 8);
    d->sure_most = tenths(most - 8);
}

static void add_anchor(struct made *m, size_t unknown, int64_t size, int64_t least, int64_t most)
{
    const struct make_term terms[] = {{unknown, 1}};
    add_demand(m, 1, terms, -size, least, most);
}

static void finish(struct made *m)
{
    m->problem.unknowns = m->unknowns;
    m->problem.demands = m->demands;
    m->problem.grade = grade;
    m->problem.cost = cost;
    m->problem.context = m;
}

/* Sizes as designed: a tray, its sleeve, the next tray over that sleeve; all clearances 1.5 mm as drawn. */
void make_chain(struct made *m, size_t boxes, bool graded)
{
    start(m, 6 * boxes, 6 * boxes + 1);
    m->graded = graded;
    int64_t size[3] = {740, 1050, 260}; /* short, long, high */
    size_t outer[3];
    for (size_t k = 0; k < boxes; k++) {
        size_t tray[3], sleeve[3];
        for (int s = 0; s < 3; s++) {
            tray[s] = add_unknown(m, size[s] + (s < 2 ? 15 : 0));
            if (k == 0)
                add_anchor(m, tray[s], size[s], 0, 40);
            else
                add_fit(m, tray[s], outer[s], 6, 0, 40);
            size[s] += 15;
        }
        for (int s = 0; s < 3; s++) {
            sleeve[s] = add_unknown(m, size[s] + 6 + (s == 1 ? 0 : 15));
            add_fit(m, sleeve[s], tray[s], 6, s == 1 ? -15 : 0, s == 1 ? 15 : 40);
            size[s] += 6 + (s == 1 ? 0 : 15) + 6;
            outer[s] = sleeve[s];
        }
        if (k == 0) { /* the three directions hang together: once round the first sleeve, and its depth */
            const struct make_term round[] = {{sleeve[0], 2}, {sleeve[2], 2}, {sleeve[1], -1}};
            add_demand(m, 3, round, 0, 950, 1150);
        }
    }
    finish(m);
}

void make_anchored(struct made *m, size_t boxes)
{
    uint64_t state = 7;
    start(m, 6 * boxes, 9 * boxes);
    m->graded = true;
    size_t last = 0;
    for (size_t k = 0; k < boxes; k++) {
        size_t tray[3], sleeve[3];
        for (int s = 0; s < 3; s++) {
            int64_t size = between(&state, 300, 1800);
            tray[s] = add_unknown(m, size + 15);
            sleeve[s] = add_unknown(m, size + 36);
            add_anchor(m, tray[s], size, 0, 40);
            add_fit(m, sleeve[s], tray[s], 6, 0, 40);
        }
        if (k > 0) {
            int64_t apart = (int64_t)((m->unknowns[tray[0]].settled_low - m->unknowns[last].settled_low) * 127 / 8);
            add_fit(m, tray[0], last, apart, -30, 30);
        }
        last = sleeve[2];
    }
    finish(m);
}

void make_grid(struct made *m, size_t rows, size_t columns, uint64_t seed)
{
    start(m, rows * columns, 2 * rows * columns);
    m->graded = true;
    for (size_t j = 0; j < rows * columns; j++)
        add_unknown(m, between(&seed, 300, 340));
    for (size_t r = 0; r < rows; r++)
        for (size_t c = 0; c < columns; c++) {
            if (r)
                add_fit(m, r * columns + c, (r - 1) * columns + c, 0, -20, 20);
            if (c)
                add_fit(m, r * columns + c, r * columns + c - 1, 0, -20, 20);
        }
    finish(m);
}

void make_dense(struct made *m, size_t n, size_t degree, int64_t width, uint64_t seed)
{
    size_t demands = n * degree * 2 / 5;
    start(m, n, demands);
    int64_t *hidden = calloc(n, sizeof *hidden);
    if (!hidden)
        abort();
    for (size_t j = 0; j < n; j++) {
        size_t unknown = add_unknown(m, between(&seed, 100, 2000));
        hidden[j] = m->unknowns[unknown].settled_low + between(&seed, -2, 2);
    }
    for (size_t i = 0; i < demands; i++) {
        struct make_term terms[3];
        size_t count = 2 + next_random(&seed) % 2;
        int64_t sum = 0;
        for (size_t k = 0; k < count; k++) {
            terms[k].times = between(&seed, 0, 1) ? 1 : -1;
            do
                terms[k].unknown = next_random(&seed) % n;
            while ((k > 0 && terms[k].unknown == terms[0].unknown) || (k > 1 && terms[k].unknown == terms[1].unknown));
            sum += terms[k].times * hidden[terms[k].unknown];
        }
        int64_t middle = sum * MARK_TENTHS_NUM / MARK_TENTHS_DEN;
        int64_t below = between(&seed, 1, width - 1);
        struct nmk_whole_demand *d = add_demand(m, count, terms, -middle, -below, width - below);
        d->graded = d->has_sure_least = d->has_sure_most = seed % 2;
        d->sure_least = tenths(-below + 5);
        d->sure_most = tenths(width - 5 - below);
    }
    free(hidden);
    finish(m);
}

static void append(struct made *m, const struct made *from)
{
    size_t unknowns = m->problem.unknown_count, demands = m->problem.demand_count;
    memcpy(m->unknowns + unknowns, from->unknowns, from->problem.unknown_count * sizeof *m->unknowns);
    memcpy(m->demands + demands, from->demands, from->problem.demand_count * sizeof *m->demands);
    memcpy(m->terms + demands * TERMS, from->terms, from->problem.demand_count * TERMS * sizeof *m->terms);
    for (size_t i = demands; i < demands + from->problem.demand_count; i++) {
        m->demands[i].terms = m->terms + i * TERMS;
        for (size_t k = 0; k < m->demands[i].count; k++)
            m->terms[i * TERMS + k].unknown += unknowns;
    }
    m->problem.unknown_count += from->problem.unknown_count;
    m->problem.demand_count += from->problem.demand_count;
}

void make_pair(struct made *m, const struct made *a, const struct made *b)
{
    start(m, a->problem.unknown_count + b->problem.unknown_count, a->problem.demand_count + b->problem.demand_count);
    append(m, a);
    append(m, b);
    finish(m);
}

void make_clear(struct made *m)
{
    free(m->unknowns);
    free(m->demands);
    free(m->terms);
    memset(m, 0, sizeof *m);
}
