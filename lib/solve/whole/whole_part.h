/* whole_part.h -- one connected part of the problem. */
#ifndef LIB_SOLVE_WHOLE_PART_H
#define LIB_SOLVE_WHOLE_PART_H

#include "solve/whole/whole_bounds.h"
#include "solve/whole/whole_cells.h"
#include "solve/whole/whole_grade.h"
#include "solve/whole/whole_net.h"

/* Shared by all parts, one after the other. */
struct nmk_bench {
    struct nmk_model model;
    struct nmk_grades grades;
    struct nmk_work work;
    struct nmk_bounds bounds;
    uint32_t *local;    /* unknown -> variable of the present net */
    uint32_t *sets;     /* grade -> multiset in the present net */
    bool *is_used;      /* grade: does it occur in the present net? */
    size_t set_space;    /* of both */
    uint32_t *used;     /* the grades that occur */
    size_t used_count, used_space;
    int64_t *box_low, *box_high; /* of each unknown: the cell chosen last */
    bool exact_sums;             /* wide partial sums are kept as they are: a case is given up by what is promised exactly */
};

/* Notes that a grade occurs in the present net. */
void nmk_bench_use_grade(struct nmk_bench *bench, uint32_t grade);
void nmk_bench_init(struct nmk_bench *bench, const struct nmk_whole_problem *problem);
void nmk_bench_clear(struct nmk_bench *bench);

struct nmk_part {
    size_t unknown_count, demand_count, remainder_count;
    const size_t *unknowns, *demands, *remainders; /* ascending */
    struct nmk_cells *cells; /* of each of its unknowns */
};

/* Sets values[] of the part's unknowns. False if there is no answer: infeasible if work.status is NMK_OK. */
bool nmk_part_solve(int64_t *values, struct nmk_bench *bench, struct nmk_part *part);

#endif
