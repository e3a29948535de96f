/* whole_search.h -- the best combination of a net's cells, however wide the net. */
#ifndef LIB_SOLVE_WHOLE_SEARCH_H
#define LIB_SOLVE_WHOLE_SEARCH_H

#include "solve/whole/whole_eliminate.h"

/* cells: one of each variable. Elimination where its tables stay small; else a variable is fixed at each of its cells
 * in turn and what is left is solved by itself. Never TOO_WIDE. */
enum nmk_eliminate_outcome nmk_search(uint32_t *cells, const struct nmk_net *net, struct nmk_work *work);

#endif
