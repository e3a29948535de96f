/* whole_eliminate.h -- the best combination of a net's cells, variable by variable. */
#ifndef LIB_SOLVE_WHOLE_ELIMINATE_H
#define LIB_SOLVE_WHOLE_ELIMINATE_H

#include "solve/whole/whole_net.h"
#include "solve/whole/whole_work.h"

enum nmk_eliminate_outcome {
    NMK_ELIMINATE_SOLVED,
    NMK_ELIMINATE_INFEASIBLE,
    NMK_ELIMINATE_TOO_WIDE, /* a table would have more than `most_entries` entries */
    NMK_ELIMINATE_ENDED     /* work->status */
};

/* cells: one of each variable. */
enum nmk_eliminate_outcome nmk_eliminate(uint32_t *cells, const struct nmk_net *net, const uint32_t *order,
                                         uint64_t most_entries, struct nmk_work *work);

#endif
