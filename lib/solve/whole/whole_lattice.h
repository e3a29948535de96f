/* whole_lattice.h -- have linear equations a solution in whole numbers?
 *
 * a + b = 2 c and a - b = 2 d + 1 have rational solutions, but none in whole numbers. The equations are taken one by one;
 * by whole column operations (those of Euclid's algorithm) each is left with one new unknown, whose value must be whole. */
#ifndef LIB_SOLVE_WHOLE_LATTICE_H
#define LIB_SOLVE_WHOLE_LATTICE_H

#include "solve/whole/whole_work.h"

/* times: rows * columns; right: the sums wanted. The first row that the ones before it leave no whole solution; rows if
 * all have one, or the work has to end. */
size_t nmk_lattice_first_impossible(const int64_t *times, const int64_t *right, size_t rows, size_t columns,
                                    struct nmk_work *work);

#endif
