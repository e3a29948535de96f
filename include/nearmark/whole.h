/* whole.h -- whole numbers under linear demands, the best by ordered aims, proved.
 *
 * (1) Unknowns x_j: whole numbers low_j <= x_j <= high_j (high may be open), or choices among 0 .. options_j - 1.
 * (2) Demands: least_i <= v_i <= most_i (either may be open), v_i = constant_i + sum times_ij x_j + sum table_ij[x_j].
 * (3) Remainders: sum times_rj x_j = residue_r (mod modulus_r), whole coefficients.
 * (4) Grades: a demand i may have a grade g_i(v_i) in [0, 1], from the caller. The aim is fixed:
 *     A0. the fewest soft demands unmet (a demand that is not soft is always met).
 *     A1. the grades of all demands, sorted from the weakest up and compared one by one: the larger list wins. A grade
 *         of 1 means that nothing better can be had (the caller caps at what is sure).
 *     A2. the ranks of the choices, in the order of the unknowns, compared one by one: the smaller wins.
 *     A3. costs: each unknown has a cost of up to NMK_WHOLE_COSTS parts; the parts are summed over the unknowns and
 *         compared one by one: the smaller wins.
 *     A4. the values of the unknowns that are not choices, in their order: the lexicographically smaller wins.
 *     All are ordered monoids, so that parts without a common demand are solved apart and elimination is exact.
 * The answer is a proven optimum: no window round any value is assumed. The work ends wherever the demands bound the
 * unknowns. With unknowns open above it may, in rare cases, go on until the budget is used up: where several demands
 * together have fractional but no whole solutions of inequalities, or where part 1 of the cost promises far out what
 * equations between open unknowns never allow. So callers set a budget. */
#ifndef NEARMARK_WHOLE_H
#define NEARMARK_WHOLE_H

#include "nearmark/rat.h"

enum { NMK_WHOLE_COSTS = 4 };

struct nmk_whole_unknown {
    int64_t low, high;   /* high < low: open above. Choices: 0 .. options - 1 */
    bool is_choice;
    const int64_t *ranks; /* choices: rank of each option, all different */
    /* Costs of a number x: count parts, each >= 0:  part 0, 1, 2: whole; part 3: `distance`, |x * step - goal|.
     * Given by the caller's function (below); the solver needs to know how they grow: beyond `settled_low` downwards and
     * beyond `settled_high` upwards parts 0 and 2 never fall as x goes further away from the goal; part 1 may be any,
     * at least 0. */
    struct nmk_rat step, goal;
    int64_t settled_low, settled_high;
    int64_t period; /* part 1 is the same for x and x + period; 0: that is not known */
};

struct nmk_whole_term {
    size_t unknown;
    struct nmk_rat times;        /* numbers */
    const struct nmk_rat *table; /* choices: one value an option; NULL for numbers */
};

struct nmk_whole_demand {
    size_t count;
    const struct nmk_whole_term *terms; /* each unknown once */
    struct nmk_rat constant;
    bool has_least, has_most;
    struct nmk_rat least, most;
    bool soft; /* may stay unmet, at the price of A0; its grade is asked for beyond its bounds too */
    bool graded;
    /* v within [sure_least, sure_most] has grade 1 (either may be open); outside it the grade falls, never rises, with
     * the distance. If sure_least > sure_most no value is known to have grade 1: then the grade never falls while v
     * goes up to sure_most, never rises while v goes up from sure_least, and between the two it may be any. */
    bool has_sure_least, has_sure_most;
    struct nmk_rat sure_least, sure_most;
    size_t shape; /* 0, or a number shared by demands that have the same grade at the same v: it is then asked once */
};

struct nmk_whole_remainder {
    size_t count;
    const size_t *unknowns; /* numbers, each once */
    const int64_t *times;
    int64_t modulus, residue; /* modulus >= 1 */
};

struct nmk_whole_problem {
    size_t unknown_count, demand_count, remainder_count;
    const struct nmk_whole_unknown *unknowns;
    const struct nmk_whole_demand *demands;
    const struct nmk_whole_remainder *remainders;
    /* grade of demand i at the value v, exact, in [0, 1]; a pure function. */
    void (*grade)(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v);
    /* the whole parts 0..2 of the cost of unknown j at x; a pure function. */
    void (*cost)(int64_t parts[3], void *context, size_t unknown, int64_t x);
    void *context;
    bool any; /* any allowed values will do: no aim is looked at, nor a soft demand */
    uint64_t most_steps; /* the budget; 0: no limit */
    /* Called now and then; returning false stops the search with NMK_STOPPED. May be NULL. */
    bool (*progress)(void *context, uint64_t steps);
};

struct nmk_whole_answer {
    bool feasible;
    int64_t *values;   /* unknown_count, owned by the answer; NULL if not feasible */
    uint64_t steps;
};

/* The same problem has the same answer, also where any will do.
 * NMK_INVALID: a list is missing or an index, a step, options or a modulus is out of range, or an unknown stands twice in
 * one demand. NMK_TOO_LARGE: more than about 10^9 unknowns or demands, a low below -2^60, a modulus above 2^58.
 * NMK_OVERFLOW: the best values, if there are any, lie beyond +-2^60. NMK_BUDGET, NMK_STOPPED. */
enum nmk_status nmk_whole_solve(struct nmk_whole_answer *out, const struct nmk_whole_problem *problem);
void nmk_whole_answer_clear(struct nmk_whole_answer *answer);

/* The independent checker: are these values allowed? It starts from the problem and shares no code with the solver. */
bool nmk_whole_check(const struct nmk_whole_problem *problem, const int64_t *values);
/* < 0: a is better, 0: equal, > 0: b is better. Both must be allowed. Shares no code with the solver. */
int nmk_whole_compare(const struct nmk_whole_problem *problem, const int64_t *a, const int64_t *b);

#endif
