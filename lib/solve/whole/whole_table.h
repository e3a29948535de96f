/* whole_table.h -- demands and remainders as tables of a net. */
#ifndef LIB_SOLVE_WHOLE_TABLE_H
#define LIB_SOLVE_WHOLE_TABLE_H

#include "solve/whole/whole_part.h"

/* Both count steps; false if the work has to end. Long sums go through auxiliary variables for partial sums. */
bool nmk_table_add_demand(struct nmk_net *net, struct nmk_bench *bench, const struct nmk_part *part, size_t demand);
bool nmk_table_add_remainder(struct nmk_net *net, struct nmk_bench *bench, const struct nmk_part *part, size_t remainder);

#endif
