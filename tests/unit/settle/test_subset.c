/* Subsets of demands that can be met together, the smallest change of a bound, and what is left out: against all marks and
 * all subsets of small problems. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "settle/keeping.h"
#include "settle/subset.h"
#include "unit/exact/biased.h"

enum { UNKNOWNS = 3, DEMANDS = 7, HIGH = 9, VALUES = HIGH * HIGH * HIGH };

/* Unknowns 1 .. HIGH, one of them perhaps a choice; demands with whole multiples of 1/2. */
struct trial {
    struct nmk_whole_problem problem;
    struct nmk_whole_unknown unknowns[UNKNOWNS];
    struct nmk_whole_demand demands[DEMANDS];
    struct nmk_whole_term terms[DEMANDS][UNKNOWNS];
    struct nmk_rat tables[DEMANDS][HIGH + 1];
    int64_t ranks[HIGH + 1];
    size_t choice; /* an unknown, or UNKNOWNS */
    size_t count;  /* demands that may be left out */
};

static void no_cost(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    (void)context;
    (void)unknown;
    (void)x;
    parts[0] = parts[1] = parts[2] = 0;
}

static int64_t few(int64_t most)
{
    return (int64_t)biased_below((uint64_t)(2 * most + 1)) - most;
}

static void make_demand(struct trial *t, size_t i)
{
    struct nmk_whole_demand *d = &t->demands[i];
    *d = (struct nmk_whole_demand){.terms = t->terms[i]};
    for (size_t j = 0; j < UNKNOWNS; j++) {
        struct nmk_whole_term *term = &t->terms[i][d->count];
        int64_t times = few(3);
        if (!times || !biased_below(3))
            continue;
        *term = (struct nmk_whole_term){.unknown = j};
        if (j == t->choice) {
            for (int k = 0; k <= HIGH; k++)
                nmk_rat_set_frac(&t->tables[i][k], few(20), 2);
            term->table = t->tables[i];
        } else {
            nmk_rat_set_frac(&term->times, times, 2);
        }
        d->count++;
    }
    nmk_rat_set_frac(&d->constant, few(9), 3);
    d->has_least = biased_below(4);
    d->has_most = biased_below(4);
    int64_t least = few(12);
    nmk_rat_set_frac(&d->least, least, 2);
    nmk_rat_set_frac(&d->most, least + (int64_t)biased_below(5), 2);
}

static void make_trial(struct trial *t)
{
    *t = (struct trial){.choice = biased_below(2 * UNKNOWNS), .count = 2 + biased_below(DEMANDS - 2)};
    if (t->choice > UNKNOWNS)
        t->choice = UNKNOWNS;
    for (int k = 0; k <= HIGH; k++)
        t->ranks[k] = k;
    for (size_t j = 0; j < UNKNOWNS; j++) {
        t->unknowns[j] = (struct nmk_whole_unknown){.low = 1, .high = HIGH, .settled_low = 1, .settled_high = HIGH};
        if (j == t->choice)
            t->unknowns[j] = (struct nmk_whole_unknown){.is_choice = true, .high = HIGH - 1, .ranks = t->ranks};
    }
    for (size_t i = 0; i < DEMANDS; i++)
        make_demand(t, i);
    t->problem = (struct nmk_whole_problem){.unknown_count = UNKNOWNS, .demand_count = t->count + biased_below(2),
                                            .unknowns = t->unknowns, .demands = t->demands, .cost = no_cost};
}

static void clear_trial(struct trial *t)
{
    for (size_t i = 0; i < DEMANDS; i++)
        for (size_t j = 0; j < UNKNOWNS; j++)
            nmk_rat_clear(&t->terms[i][j].times);
}

/* ---- slow ---- */

static void value_of(struct nmk_rat *out, const struct trial *t, size_t demand, size_t number)
{
    const struct nmk_whole_demand *d = &t->demands[demand];
    int64_t x[UNKNOWNS];
    struct nmk_rat times = {0};
    for (size_t j = 0; j < UNKNOWNS; j++, number /= HIGH)
        x[j] = (int64_t)(number % HIGH) + (j == t->choice ? 0 : 1);
    nmk_rat_set(out, &d->constant);
    for (size_t k = 0; k < d->count; k++) {
        nmk_rat_set_int(&times, x[d->terms[k].unknown]);
        if (d->terms[k].table)
            nmk_rat_add(out, out, &d->terms[k].table[x[d->terms[k].unknown]]);
        else
            nmk_rat_addmul(out, &times, &d->terms[k].times);
    }
    nmk_rat_clear(&times);
}

/* met[v]: which demands the v-th values meet, as bits. */
static void meet_all(uint32_t met[VALUES], const struct trial *t)
{
    struct nmk_rat v = {0};
    for (size_t i = 0; i < VALUES; i++) {
        met[i] = 0;
        for (size_t k = 0; k < t->problem.demand_count; k++) {
            const struct nmk_whole_demand *d = &t->demands[k];
            value_of(&v, t, k, i);
            bool low = !d->has_least || nmk_rat_cmp(&v, &d->least) >= 0, high = !d->has_most || nmk_rat_cmp(&v, &d->most) <= 0;
            met[i] |= (uint32_t)(low && high) << k;
        }
    }
    nmk_rat_clear(&v);
}

static uint32_t always_of(const struct trial *t)
{
    uint32_t all = (1u << t->problem.demand_count) - 1;
    return all & ~((1u << t->count) - 1);
}

static bool slow_feasible(const uint32_t met[VALUES], uint32_t wanted)
{
    for (size_t i = 0; i < VALUES; i++)
        if ((met[i] & wanted) == wanted)
            return true;
    return false;
}

static uint32_t bits_of(const bool *in, size_t count)
{
    uint32_t bits = 0;
    for (size_t i = 0; i < count; i++)
        bits |= (uint32_t)in[i] << i;
    return bits;
}

/* The nearest value beyond one bound among the values that meet the rest and the other bound. */
static bool slow_change(struct nmk_rat *out, const struct trial *t, const uint32_t met[VALUES], uint32_t rest, size_t demand,
                        bool high)
{
    const struct nmk_whole_demand *d = &t->demands[demand];
    struct nmk_rat v = {0};
    bool any = false;
    if (!(high ? d->has_most : d->has_least))
        return false;
    for (size_t i = 0; i < VALUES; i++) {
        if ((met[i] & rest) != rest)
            continue;
        value_of(&v, t, demand, i);
        if (high ? d->has_least && nmk_rat_cmp(&v, &d->least) < 0 : d->has_most && nmk_rat_cmp(&v, &d->most) > 0)
            continue;
        nmk_rat_sub(&v, &v, high ? &d->most : &d->least);
        nmk_rat_abs(&v, &v);
        if (!any || nmk_rat_cmp(&v, out) < 0)
            nmk_rat_set(out, &v);
        any = true;
    }
    nmk_rat_clear(&v);
    return any;
}

/* ---- the tests ---- */

static void check_change(const struct trial *t, const uint32_t *met, struct nmk_subset *subset, const bool *in, size_t demand,
                         unsigned long number)
{
    struct nmk_rat low = {0}, high = {0};
    struct nmk_change change = {0};
    uint32_t rest = (bits_of(in, t->count) & ~(1u << demand)) | always_of(t);
    bool has_low = slow_change(&low, t, met, rest, demand, false), has_high = slow_change(&high, t, met, rest, demand, true);
    bool expect_high = has_high && (!has_low || nmk_rat_cmp(&high, &low) < 0);
    assert_int_equal(nmk_subset_change(&change, subset, in, demand), NMK_OK);
    biased_check(change.helps == (has_low || has_high), number, "a change helps", NULL, NULL);
    if (change.helps) {
        const struct nmk_rat *expected = expect_high ? &high : &low;
        biased_check(change.high == expect_high && nmk_rat_equal(&change.amount, expected), number, "change", &change.amount,
                     expected);
    }
    nmk_rat_clear(&change.amount);
    nmk_rat_clear(&low);
    nmk_rat_clear(&high);
}

/* A subset can be met if some values meet it; where not, each change is the smallest. */
static void check_subsets(unsigned long number)
{
    static uint32_t met[VALUES];
    struct trial t;
    struct nmk_subset subset;
    bool in[DEMANDS], found[DEMANDS];
    make_trial(&t);
    meet_all(met, &t);
    nmk_subset_init(&subset, &t.problem, t.count);
    for (int k = 0; k < 4; k++) {
        bool feasible;
        for (size_t i = 0; i < t.count; i++)
            in[i] = k == 0 || biased_below(2);
        uint32_t wanted = bits_of(in, t.count) | always_of(&t);
        assert_int_equal(nmk_subset_try(&feasible, &subset, in, found), NMK_OK);
        biased_check(feasible == slow_feasible(met, wanted), number, "subset", NULL, NULL);
        if (feasible) /* what it says is met can be met together */
            biased_check(slow_feasible(met, bits_of(found, t.count) | wanted), number, "met", NULL, NULL);
        for (size_t i = 0; !feasible && i < t.count; i++)
            check_change(&t, met, &subset, in, i, number);
    }
    nmk_subset_clear(&subset);
    clear_trial(&t);
}

static void test_subsets(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long i = 0; i < biased_cases(150); i++)
        check_subsets(i);
}

static size_t size_of(uint32_t set)
{
    size_t size = 0;
    for (; set; set &= set - 1)
        size++;
    return size;
}

/* Of equally few left out, those latest in order: each demand in turn is kept if that takes no more. */
static bool leaves_better(uint32_t a, uint32_t b)
{
    uint32_t differ = a ^ b;
    return size_of(a) < size_of(b) || (size_of(a) == size_of(b) && differ && !(a & differ & -differ));
}

static void check_keeping(unsigned long number)
{
    static uint32_t met[VALUES];
    struct trial t;
    struct nmk_subset subset;
    bool kept[DEMANDS] = {false};
    make_trial(&t);
    meet_all(met, &t);
    nmk_subset_init(&subset, &t.problem, t.count);
    uint32_t all = (1u << t.count) - 1, best = all + 1;
    for (uint32_t out = 0; out <= all; out++)
        if (slow_feasible(met, (all & ~out) | always_of(&t)) && (best > all || leaves_better(out, best)))
            best = out;
    enum nmk_status status = nmk_keeping_choose(kept, &subset);
    biased_check(status == (best > all ? NMK_INVALID : NMK_OK), number, "keeping", NULL, NULL);
    if (status == NMK_OK)
        biased_check(bits_of(kept, t.count) == (all & ~best), number, "kept", NULL, NULL);
    nmk_subset_clear(&subset);
    clear_trial(&t);
}

static void test_keeping(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long i = 0; i < biased_cases(150); i++)
        check_keeping(i);
}

/* The budget of steps is passed on. */
static void test_budget(void **state)
{
    (void)state;
    struct trial t;
    struct nmk_subset subset;
    bool in[DEMANDS], kept[DEMANDS], feasible = true;
    struct nmk_change change = {0};
    biased_start();
    do {
        make_trial(&t);
        t.problem.most_steps = 1;
        nmk_subset_init(&subset, &t.problem, t.count);
        for (size_t i = 0; i < t.count; i++)
            in[i] = true;
        if (nmk_subset_try(&feasible, &subset, in, NULL) == NMK_BUDGET &&
            nmk_subset_change(&change, &subset, in, 0) == NMK_BUDGET && nmk_keeping_choose(kept, &subset) == NMK_BUDGET)
            t.problem.most_steps = 0;
        nmk_subset_clear(&subset);
        clear_trial(&t);
    } while (t.problem.most_steps);
    nmk_rat_clear(&change.amount);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_subsets), cmocka_unit_test(test_keeping),
                                       cmocka_unit_test(test_budget)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
