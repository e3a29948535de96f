#include "unit/solve/wholecase.h"

#include <stdio.h>
#include <string.h>

/* ---- by definition ---- */

static int64_t sum_of(const struct whole_case *c, const struct case_demand *d, const int64_t *x)
{
    int64_t n = d->constant;
    for (size_t j = 0; j < c->unknown_count; j++)
        if (d->in_demand[j])
            n += c->unknowns[j].is_choice ? d->table[j][x[j]] : d->times[j] * x[j];
    return n;
}

static bool is_between(int64_t n, int64_t least, int64_t most)
{
    return (least == INT32_MIN || n >= least) && (most == INT32_MAX || n <= most);
}

bool case_is_allowed(const struct whole_case *c, const int64_t *x)
{
    for (size_t j = 0; j < c->unknown_count; j++)
        if (x[j] < c->unknowns[j].low || (c->unknowns[j].high != CASE_OPEN && x[j] > c->unknowns[j].high))
            return false;
    for (size_t i = 0; i < c->demand_count; i++)
        if (!c->demands[i].soft && !is_between(sum_of(c, &c->demands[i], x), c->demands[i].least, c->demands[i].most))
            return false;
    for (size_t i = 0; i < c->remainder_count; i++) {
        int64_t n = -c->remainders[i].residue;
        for (size_t j = 0; j < c->unknown_count; j++)
            n += c->remainders[i].times[j] * x[j];
        if (n % c->remainders[i].modulus)
            return false;
    }
    return true;
}

/* Tenths below 1. */
static int lost(const struct case_demand *d, int64_t n)
{
    if (!d->graded)
        return 0;
    int64_t off = 0;
    if (d->sure_least <= d->sure_most) {
        if (n < d->sure_least && d->sure_least != INT32_MIN)
            off = d->sure_least - n;
        if (n > d->sure_most && d->sure_most != INT32_MAX)
            off = n - d->sure_most;
    } else {
        int64_t twice = 2 * n - d->sure_least - d->sure_most;
        off = (twice < 0 ? -twice : twice) / 2 + 1;
    }
    off = off > d->still ? off - d->still : 0;
    int64_t tenths = (off + d->slope - 1) / d->slope;
    return (int)(tenths > 10 ? 10 : tenths);
}

static int64_t nearest(const struct case_unknown *u)
{
    if (u->step <= 0)
        return u->low;
    int64_t twice = 2 * u->goal + u->step, by = 2 * u->step;
    return twice >= 0 ? twice / by : -((-twice + by - 1) / by);
}

static void cost_of(int64_t parts[3], const struct whole_case *c, size_t j, int64_t x)
{
    const struct case_unknown *u = &c->unknowns[j];
    parts[0] = parts[1] = parts[2] = 0;
    if (u->is_choice || !c->has_costs)
        return;
    int64_t off = x - nearest(u);
    parts[0] = off > u->within || -off > u->within;
    for (int k = 1; k <= 4 && c->has_fineness; k++)
        parts[1] += x % (1 << k) != 0;
    parts[2] = off != 0;
}

static int64_t total_cost(const struct whole_case *c, int part, const int64_t *x)
{
    int64_t sum = 0, parts[3];
    for (size_t j = 0; j < c->unknown_count; j++) {
        const struct case_unknown *u = &c->unknowns[j];
        if (u->is_choice)
            continue;
        cost_of(parts, c, j, x[j]);
        int64_t off = x[j] * u->step - u->goal;
        sum += part < 3 ? parts[part] : off < 0 ? -off : off;
    }
    return sum;
}

static int order_of(int64_t a, int64_t b)
{
    return a < b ? -1 : a > b;
}

static int compare_grades(const struct whole_case *c, const int64_t *a, const int64_t *b)
{
    int count[11] = {0};
    for (size_t i = 0; i < c->demand_count; i++) {
        count[lost(&c->demands[i], sum_of(c, &c->demands[i], a))]++;
        count[lost(&c->demands[i], sum_of(c, &c->demands[i], b))]--;
    }
    for (int k = 10; k > 0; k--)
        if (count[k])
            return count[k];
    return 0;
}

int case_compare(const struct whole_case *c, const int64_t *a, const int64_t *b)
{
    int64_t unmet = 0;
    for (size_t i = 0; i < c->demand_count; i++)
        if (c->demands[i].soft) {
            unmet += !is_between(sum_of(c, &c->demands[i], a), c->demands[i].least, c->demands[i].most);
            unmet -= !is_between(sum_of(c, &c->demands[i], b), c->demands[i].least, c->demands[i].most);
        }
    int order = unmet ? order_of(unmet, 0) : compare_grades(c, a, b);
    for (size_t j = 0; j < c->unknown_count && !order; j++)
        if (c->unknowns[j].is_choice)
            order = order_of(c->unknowns[j].ranks[a[j]], c->unknowns[j].ranks[b[j]]);
    for (int part = 0; part < 4 && !order; part++)
        order = order_of(total_cost(c, part, a), total_cost(c, part, b));
    for (size_t j = 0; j < c->unknown_count && !order; j++)
        if (!c->unknowns[j].is_choice)
            order = order_of(a[j], b[j]);
    return order;
}

static int64_t end_of(const struct case_unknown *u, int64_t reach)
{
    return u->high == CASE_OPEN || u->high > u->low + reach ? u->low + reach : u->high;
}

bool case_best(int64_t *best, const struct whole_case *c, int64_t reach)
{
    int64_t x[CASE_UNKNOWNS];
    bool any = false;
    for (size_t j = 0; j < c->unknown_count; j++)
        x[j] = c->unknowns[j].low;
    for (;;) {
        if (case_is_allowed(c, x) && (!any || case_compare(c, x, best) < 0)) {
            memcpy(best, x, c->unknown_count * sizeof *x);
            any = true;
        }
        size_t j = 0;
        while (j < c->unknown_count && ++x[j] > end_of(&c->unknowns[j], reach)) {
            x[j] = c->unknowns[j].low;
            j++;
        }
        if (j == c->unknown_count)
            return any;
    }
}

/* ---- the problem for the solver ---- */

static struct nmk_rat twelfths(int64_t n)
{
    struct nmk_rat r = {0};
    (void)nmk_rat_set_frac(&r, n, CASE_UNIT);
    return r; /* small: nothing to clear */
}

static void grade(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    struct whole_case *c = context;
    struct nmk_rat n = {0};
    int64_t whole;
    c->grade_calls++;
    nmk_rat_set_int(&n, CASE_UNIT);
    nmk_rat_mul(&n, &n, v);
    if (nmk_rat_get_int(&whole, &n) != NMK_OK)
        whole = nmk_rat_sign(&n) < 0 ? INT32_MIN / 2 : INT32_MAX / 2;
    (void)nmk_rat_set_frac(out, 10 - lost(&c->demands[demand], whole), 10);
    nmk_rat_clear(&n);
}

static void cost(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    cost_of(parts, context, unknown, x);
}

static void build_unknown(struct nmk_whole_unknown *out, const struct whole_case *c, const struct case_unknown *u)
{
    *out = (struct nmk_whole_unknown){.low = u->low,
                                      .high = u->high == CASE_OPEN ? u->low - 1 : u->high,
                                      .is_choice = u->is_choice,
                                      .ranks = u->is_choice ? u->ranks : NULL,
                                      .step = twelfths(u->step),
                                      .goal = twelfths(u->goal),
                                      .settled_low = nearest(u) - u->within,
                                      .settled_high = nearest(u) + u->within,
                                      .period = !c->has_period ? 0 : c->has_fineness ? 16 : 1};
}

static void build_demand(struct whole_case *c, size_t i)
{
    const struct case_demand *d = &c->demands[i];
    size_t count = 0;
    for (size_t j = 0; j < c->unknown_count; j++) {
        if (!d->in_demand[j])
            continue;
        for (size_t o = 0; o < CASE_OPTIONS; o++)
            c->tables[i][j][o] = twelfths(d->table[j][o]);
        c->terms[i][count++] = (struct nmk_whole_term){
            .unknown = j, .times = twelfths(d->times[j]), .table = c->unknowns[j].is_choice ? c->tables[i][j] : NULL};
    }
    c->nmk_demands[i] = (struct nmk_whole_demand){.count = count,
                                                  .terms = c->terms[i],
                                                  .constant = twelfths(d->constant),
                                                  .has_least = d->least != INT32_MIN,
                                                  .has_most = d->most != INT32_MAX,
                                                  .least = twelfths(d->least),
                                                  .most = twelfths(d->most),
                                                  .soft = d->soft,
                                                  .graded = d->graded,
                                                  .has_sure_least = d->sure_least != INT32_MIN,
                                                  .has_sure_most = d->sure_most != INT32_MAX,
                                                  .sure_least = twelfths(d->sure_least),
                                                  .sure_most = twelfths(d->sure_most),
                                                  .shape = d->shape};
}

static void build_remainder(struct whole_case *c, size_t i)
{
    size_t count = 0;
    for (size_t j = 0; j < c->unknown_count; j++)
        if (c->remainders[i].times[j]) {
            c->remainder_unknowns[i][count] = j;
            c->remainder_times[i][count++] = c->remainders[i].times[j];
        }
    c->nmk_remainders[i] = (struct nmk_whole_remainder){.count = count,
                                                        .unknowns = c->remainder_unknowns[i],
                                                        .times = c->remainder_times[i],
                                                        .modulus = c->remainders[i].modulus,
                                                        .residue = c->remainders[i].residue};
}

void case_build(struct whole_case *c)
{
    for (size_t j = 0; j < c->unknown_count; j++)
        build_unknown(&c->nmk_unknowns[j], c, &c->unknowns[j]);
    for (size_t i = 0; i < c->demand_count; i++)
        build_demand(c, i);
    for (size_t i = 0; i < c->remainder_count; i++)
        build_remainder(c, i);
    c->problem = (struct nmk_whole_problem){.unknown_count = c->unknown_count,
                                            .demand_count = c->demand_count,
                                            .remainder_count = c->remainder_count,
                                            .unknowns = c->nmk_unknowns,
                                            .demands = c->nmk_demands,
                                            .remainders = c->nmk_remainders,
                                            .grade = grade,
                                            .cost = cost,
                                            .context = c};
}

/* ---- showing ---- */

static void print_demand(const struct whole_case *c, const struct case_demand *d)
{
    printf("#   %s%s", d->soft ? "soft " : "", d->graded ? "graded " : "");
    for (size_t j = 0; j < c->unknown_count; j++) {
        if (!d->in_demand[j])
            continue;
        if (c->unknowns[j].is_choice)
            printf(" + [%d %d %d %d](x%zu)", (int)d->table[j][0], (int)d->table[j][1], (int)d->table[j][2],
                   (int)d->table[j][3], j);
        else
            printf(" + %d x%zu", (int)d->times[j], j);
    }
    printf(" + %d in [%d, %d] sure [%d, %d] slope %d\n", (int)d->constant, (int)d->least, (int)d->most,
           (int)d->sure_least, (int)d->sure_most, (int)d->slope);
}

void case_print(const struct whole_case *c)
{
    printf("# in twelfths:\n");
    for (size_t j = 0; j < c->unknown_count; j++) {
        const struct case_unknown *u = &c->unknowns[j];
        printf("#   x%zu%s in [%d, %d] step %d goal %d within %d\n", j, u->is_choice ? " choice" : "", (int)u->low,
               (int)u->high, (int)u->step, (int)u->goal, (int)u->within);
    }
    for (size_t i = 0; i < c->demand_count; i++)
        print_demand(c, &c->demands[i]);
    for (size_t i = 0; i < c->remainder_count; i++) {
        printf("#  ");
        for (size_t j = 0; j < c->unknown_count; j++)
            printf(" %+d x%zu", (int)c->remainders[i].times[j], j);
        printf(" = %d mod %d\n", (int)c->remainders[i].residue, (int)c->remainders[i].modulus);
    }
    fflush(stdout);
}
