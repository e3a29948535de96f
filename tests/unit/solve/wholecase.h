/* wholecase.h -- small problems in plain integers, and their best answer by trying everything.
 *
 * Everything of a case is counted in twelfths: v = n / 12. Grades fall by a tenth each `slope` twelfths outside the sure
 * interval, from `still` twelfths on. Costs: part 0 is 1 for a number further than `within` from its nearest mark; part 1 is
 * the number of factors 2 that it lacks of four; part 2 is 1 for a number that is not at its nearest mark. */
#ifndef TESTS_UNIT_SOLVE_WHOLECASE_H
#define TESTS_UNIT_SOLVE_WHOLECASE_H

#include "nearmark/whole.h"

enum { CASE_UNKNOWNS = 8, CASE_DEMANDS = 12, CASE_OPTIONS = 4, CASE_OPEN = INT32_MAX, CASE_UNIT = 12 };

struct case_unknown {
    bool is_choice;
    int64_t low, high;  /* CASE_OPEN: open above */
    int64_t step, goal; /* twelfths */
    int64_t within;
    int64_t ranks[CASE_OPTIONS];
};

struct case_demand {
    int64_t times[CASE_UNKNOWNS]; /* twelfths; 0: not in the demand */
    int64_t table[CASE_UNKNOWNS][CASE_OPTIONS];
    bool in_demand[CASE_UNKNOWNS];
    int64_t constant, least, most; /* INT32_MIN, INT32_MAX: open */
    bool soft, graded;
    int64_t sure_least, sure_most, slope, still;
    size_t shape;
};

struct case_remainder {
    int64_t times[CASE_UNKNOWNS], modulus, residue;
};

struct whole_case {
    size_t unknown_count, demand_count, remainder_count;
    struct case_unknown unknowns[CASE_UNKNOWNS];
    struct case_demand demands[CASE_DEMANDS];
    struct case_remainder remainders[2];
    bool has_costs, has_fineness; /* parts 0 and 2; part 1 */
    bool has_period;              /* the solver is told when part 1 comes round: at once where there is none */
    /* the problem for the solver, filled in by case_build */
    struct nmk_whole_problem problem;
    struct nmk_whole_unknown nmk_unknowns[CASE_UNKNOWNS];
    struct nmk_whole_demand nmk_demands[CASE_DEMANDS];
    struct nmk_whole_term terms[CASE_DEMANDS][CASE_UNKNOWNS];
    struct nmk_rat tables[CASE_DEMANDS][CASE_UNKNOWNS][CASE_OPTIONS];
    struct nmk_whole_remainder nmk_remainders[2];
    size_t remainder_unknowns[2][CASE_UNKNOWNS];
    int64_t remainder_times[2][CASE_UNKNOWNS];
    size_t grade_calls;
};

void case_build(struct whole_case *c);
void case_print(const struct whole_case *c); /* for a failure */
bool case_is_allowed(const struct whole_case *c, const int64_t *x);
int case_compare(const struct whole_case *c, const int64_t *a, const int64_t *b); /* < 0: a is better */
/* The best of all x with low <= x <= low + reach (and within the unknown's bounds); false if none is allowed. */
bool case_best(int64_t *best, const struct whole_case *c, int64_t reach);

#endif
