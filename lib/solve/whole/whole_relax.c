#include "solve/whole/whole_relax.h"

#include <limits.h>
#include <stdlib.h>

#include "base/memory.h"
#include "solve/whole/whole_alone.h"
#include "solve/whole/whole_best.h"
#include "solve/whole/whole_branch.h"
#include "solve/whole/whole_kept.h"

#ifdef NMK_STRESS
enum { PATIENCE = 2, EFFORT = 20, REMAINDER_EFFORT = 20, PIVOTS = 1, TRIAL = 1000 };
#else
enum {
    PATIENCE = 8, /* a group that grows more often takes up all demands that hang together with it */
    PIVOTS = 64,
    EFFORT = 200, /* and one that takes more steps than so many an unknown or demand: they help to solve it */
    REMAINDER_EFFORT = 40000, /* the same: they join unknowns that no demand need join */
    TRIAL = 20000000          /* steps */
};
#endif
enum { ALL = UCHAR_MAX }; /* rounds of a group that has taken up all */

/* Unknowns that share a demand that was taken up are a group: a circle by `next`, known by its root. */
struct relaxation {
    struct nmk_bench *bench;
    int64_t *values;
    size_t *up, *next;      /* of each unknown */
    unsigned char *rounds;  /* of each root: how often its group was solved */
    bool *is_taken;         /* of each demand */
    bool *is_waiting;       /* of each root: its group is to be solved */
    size_t *waiting;        /* unknowns of such groups, perhaps several of one */
    size_t waiting_count, waiting_space;
    size_t *remainder, *next_remainder; /* lists of the remainders at their first unknown: number + 1 */
    /* the group that is being solved */
    size_t *unknowns, *demands, *remainders;
    size_t unknown_space, demand_space, remainder_space;
    struct nmk_part part;
};

static void reserve(size_t **array, size_t *space, size_t wanted)
{
    void *data = *array;
    nmk_memory_reserve(&data, space, wanted, sizeof **array);
    *array = data;
}

/* ---- groups ---- */

static size_t root_of(struct relaxation *r, size_t x)
{
    while (r->up[x] != x)
        x = r->up[x] = r->up[r->up[x]];
    return x;
}

static void wait_for(struct relaxation *r, size_t root)
{
    if (r->is_waiting[root])
        return;
    r->is_waiting[root] = true;
    reserve(&r->waiting, &r->waiting_space, r->waiting_count + 1);
    r->waiting[r->waiting_count++] = root;
}

static void join(struct relaxation *r, size_t a, size_t b)
{
    a = root_of(r, a);
    b = root_of(r, b);
    if (a == b)
        return;
    size_t root = a < b ? a : b, other = a < b ? b : a, next = r->next[root];
    r->up[other] = root;
    r->next[root] = r->next[other]; /* two circles become one */
    r->next[other] = next;
    r->rounds[root] = r->rounds[other] > r->rounds[root] ? r->rounds[other] : r->rounds[root];
    if (r->is_waiting[other])
        wait_for(r, root);
}

/* Does not make its group wait. */
static void join_terms(struct relaxation *r, size_t demand)
{
    const struct nmk_whole_demand *d = &r->bench->model.problem->demands[demand];
    r->is_taken[demand] = true;
    for (size_t k = 1; k < d->count; k++)
        join(r, d->terms[0].unknown, d->terms[k].unknown);
}

static void take_up(struct relaxation *r, size_t demand)
{
    join_terms(r, demand);
    wait_for(r, root_of(r, r->bench->model.problem->demands[demand].terms[0].unknown));
}

/* ---- what is kept ---- */

static bool is_kept(const struct relaxation *r, size_t demand)
{
    return nmk_is_kept(&r->bench->model, demand, r->values);
}

/* Every demand of the group's unknowns that is not taken up yet and not kept. */
static void look_round(struct relaxation *r, size_t root)
{
    const struct nmk_model *m = &r->bench->model;
    size_t x = root;
    do {
        for (size_t u = m->use_first[x]; u < m->use_first[x + 1]; u++)
            if (!r->is_taken[m->uses[u]] && !is_kept(r, m->uses[u]))
                take_up(r, m->uses[u]);
        x = r->next[x];
    } while (x != root);
}

/* Everything that hangs together with the group. */
static void take_all(struct relaxation *r, size_t root)
{
    const struct nmk_model *m = &r->bench->model;
    size_t count = 0;
    r->unknowns[count++] = root;
    for (size_t x = r->next[root]; x != root; x = r->next[x])
        r->unknowns[count++] = x;
    for (size_t k = 0; k < count; k++)
        for (size_t u = m->use_first[r->unknowns[k]]; u < m->use_first[r->unknowns[k] + 1]; u++) {
            if (r->is_taken[m->uses[u]])
                continue;
            const struct nmk_model_demand *d = &m->demands[m->uses[u]];
            for (size_t t = 0; t < d->count; t++) {
                size_t other = m->terms[d->first + t].unknown;
                if (root_of(r, other) == root_of(r, root))
                    continue;
                size_t y = other;
                do {
                    r->unknowns[count++] = y;
                    y = r->next[y];
                } while (y != other);
                join(r, root, other);
            }
            r->is_taken[m->uses[u]] = true;
        }
}

/* ---- solving a group ---- */

static int by_number(const void *a, const void *b)
{
    size_t x = *(const size_t *)a, y = *(const size_t *)b;
    return x < y ? -1 : x > y;
}

static void add_unknown(struct relaxation *r, size_t x)
{
    const struct nmk_model *m = &r->bench->model;
    struct nmk_part *part = &r->part;
    r->unknowns[part->unknown_count++] = x;
    for (size_t u = m->use_first[x]; u < m->use_first[x + 1]; u++)
        if (r->is_taken[m->uses[u]] && m->terms[m->demands[m->uses[u]].first].unknown == x) {
            reserve(&r->demands, &r->demand_space, part->demand_count + 1);
            r->demands[part->demand_count++] = m->uses[u];
        }
    for (size_t k = r->remainder[x]; k; k = r->next_remainder[k - 1]) {
        reserve(&r->remainders, &r->remainder_space, part->remainder_count + 1);
        r->remainders[part->remainder_count++] = k - 1;
    }
}

static void collect(struct relaxation *r, size_t root)
{
    struct nmk_part *part = &r->part;
    *part = (struct nmk_part){0};
    size_t x = root;
    do {
        add_unknown(r, x);
        x = r->next[x];
    } while (x != root);
    qsort(r->unknowns, part->unknown_count, sizeof *r->unknowns, by_number);
    if (part->demand_count)
        qsort(r->demands, part->demand_count, sizeof *r->demands, by_number);
    if (part->remainder_count)
        qsort(r->remainders, part->remainder_count, sizeof *r->remainders, by_number);
    part->unknowns = r->unknowns;
    part->demands = r->demands;
    part->remainders = r->remainders;
}

/* First only where every grade is as good as it can be by itself: mostly the best values lie there, and tables without grades
 * are much smaller. */
static bool solve_by_tables(struct relaxation *r)
{
    struct nmk_work *work = &r->bench->work;
    struct nmk_model_demand *kept;
    if (nmk_best_narrow(&kept, r->bench, &r->part)) {
        uint64_t most = nmk_work_limit(work, TRIAL);
        bool solved = nmk_part_solve(r->values, r->bench, &r->part);
        bool goes_on = nmk_work_unlimit(work, most);
        nmk_best_restore(kept, r->bench, &r->part);
        if (solved && !goes_on)
            return true;
    }
    return work->status == NMK_OK && nmk_part_solve(r->values, r->bench, &r->part);
}

static bool solve_part(struct relaxation *r)
{
    enum nmk_branch_outcome outcome = nmk_branch_solve(r->values, r->bench, &r->part);
    if (outcome == NMK_BRANCH_UNSUITED)
        return solve_by_tables(r);
    return outcome == NMK_BRANCH_SOLVED;
}

static bool solve_whole_group(struct relaxation *r, size_t root)
{
    take_all(r, root);
    root = root_of(r, root);
    r->rounds[root] = ALL;
    r->is_waiting[root] = false;
    collect(r, root);
    return solve_part(r);
}

/* Do its demands close many circles? Then more demands make it easier, not larger. */
static bool is_dense(const struct nmk_bench *b, const struct nmk_part *part)
{
    size_t joints = 1; /* a group without circles has as many as unknowns */
    for (size_t k = 0; k < part->demand_count; k++)
        joints += b->model.demands[part->demands[k]].count - 1;
    return 2 * joints > 3 * part->unknown_count;
}

/* Where any values will do a linear programme may have to be solved: so many pivots of it. */
static uint64_t effort_for(const struct relaxation *r)
{
    uint64_t n = r->part.unknown_count, d = r->part.demand_count;
    uint64_t joined = REMAINDER_EFFORT * r->part.remainder_count;
    return EFFORT * (n + d) + joined + (r->bench->model.problem->any ? PIVOTS * n * d : 0);
}

static bool solve_group(struct relaxation *r, size_t root)
{
    struct nmk_work *work = &r->bench->work;
    if (r->rounds[root]++ >= PATIENCE)
        return solve_whole_group(r, root);
    r->is_waiting[root] = false;
    collect(r, root);
    if (is_dense(r->bench, &r->part))
        return solve_whole_group(r, root);
    enum nmk_branch_outcome outcome = nmk_branch_solve(r->values, r->bench, &r->part);
    if (outcome == NMK_BRANCH_SOLVED)
        look_round(r, root);
    if (outcome != NMK_BRANCH_UNSUITED)
        return outcome == NMK_BRANCH_SOLVED;
    uint64_t most = nmk_work_limit(work, effort_for(r));
    bool solved = solve_by_tables(r);
    if (nmk_work_unlimit(work, most))
        return solve_whole_group(r, root);
    if (solved)
        look_round(r, root);
    return solved;
}

/* ---- the whole ---- */

static void start(struct relaxation *r)
{
    const struct nmk_whole_problem *p = r->bench->model.problem;
    for (size_t j = 0; j < p->unknown_count; j++) {
        r->up[j] = r->next[j] = j;
        if (!nmk_alone_best(&r->values[j], r->bench, j))
            wait_for(r, j);
    }
    for (size_t i = p->remainder_count; i-- > 0;) {
        const struct nmk_whole_remainder *m = &p->remainders[i];
        if (!m->count)
            continue;
        r->next_remainder[i] = r->remainder[m->unknowns[0]];
        r->remainder[m->unknowns[0]] = i + 1;
        for (size_t k = 1; k < m->count; k++)
            join(r, m->unknowns[0], m->unknowns[k]);
        wait_for(r, root_of(r, m->unknowns[0]));
    }
    for (size_t i = 0; i < p->demand_count; i++)
        if (p->demands[i].count && !is_kept(r, i))
            take_up(r, i);
}

static bool solve_all(struct relaxation *r)
{
    start(r);
    for (size_t k = 0; k < r->waiting_count; k++) {
        size_t root = root_of(r, r->waiting[k]);
        if (r->is_waiting[root] && !solve_group(r, root))
            return false;
    }
    return true;
}

bool nmk_relax_solve(int64_t *values, struct nmk_bench *b)
{
    const struct nmk_whole_problem *p = b->model.problem;
    struct relaxation r = {.bench = b, .values = values};
    r.up = nmk_memory_new(p->unknown_count, sizeof *r.up);
    r.next = nmk_memory_new(p->unknown_count, sizeof *r.next);
    r.rounds = nmk_memory_new(p->unknown_count, sizeof *r.rounds);
    r.is_waiting = nmk_memory_new(p->unknown_count, sizeof *r.is_waiting);
    r.is_taken = nmk_memory_new(p->demand_count, sizeof *r.is_taken);
    r.remainder = nmk_memory_new(p->unknown_count, sizeof *r.remainder);
    r.next_remainder = nmk_memory_new(p->remainder_count, sizeof *r.next_remainder);
    reserve(&r.unknowns, &r.unknown_space, p->unknown_count);
    bool solved = solve_all(&r);
    nmk_memory_free(r.up);
    nmk_memory_free(r.next);
    nmk_memory_free(r.rounds);
    nmk_memory_free(r.is_waiting);
    nmk_memory_free(r.is_taken);
    nmk_memory_free(r.waiting);
    nmk_memory_free(r.remainder);
    nmk_memory_free(r.next_remainder);
    nmk_memory_free(r.unknowns);
    nmk_memory_free(r.demands);
    nmk_memory_free(r.remainders);
    return solved;
}
