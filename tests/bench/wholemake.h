/* wholemake.h -- problems of any size for the benchmarks of the solver of whole numbers. */
#ifndef TESTS_BENCH_WHOLEMAKE_H
#define TESTS_BENCH_WHOLEMAKE_H

#include "nearmark/whole.h"

struct make_term {
    size_t unknown;
    int64_t times;
};

struct made {
    struct nmk_whole_problem problem;
    struct nmk_whole_unknown *unknowns;
    struct nmk_whole_demand *demands;
    struct nmk_whole_term *terms; /* four places for each demand */
    size_t unknown_space, demand_space;
    bool graded;
    size_t grade_calls;
};

/* Lengths in tenths of a millimetre; a mark is 127/80 mm (1/16 in). */
void make_chain(struct made *m, size_t boxes, bool graded); /* a box in a box in a box: 6 unknowns, 6 demands each */
void make_anchored(struct made *m, size_t boxes);           /* a box for each of many objects, each with a lid */
void make_grid(struct made *m, size_t rows, size_t columns, uint64_t seed);
/* n unknowns, each with `degree` demands on it on average, on 2 or 3 unknowns, round a hidden answer,
 * with `width` tenths between the bounds. */
void make_dense(struct made *m, size_t n, size_t degree, int64_t width, uint64_t seed);
/* Both side by side. */
void make_pair(struct made *m, const struct made *a, const struct made *b);
void make_clear(struct made *m);

#endif
