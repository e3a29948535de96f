/* whole_value.h -- what a whole combination of a net's cells is worth. */
#ifndef LIB_SOLVE_WHOLE_VALUE_H
#define LIB_SOLVE_WHOLE_VALUE_H

#include "solve/whole/whole_net.h"

struct nmk_value {
    uint32_t unmet, set; /* aims 0 and 1 */
    uint64_t *cost;      /* aim 3 */
};

void nmk_value_init(struct nmk_value *value, const struct nmk_net *net);
void nmk_value_clear(struct nmk_value *value);
void nmk_value_swap(struct nmk_value *a, struct nmk_value *b);
void nmk_value_set(struct nmk_value *out, const struct nmk_net *net, const uint32_t *cells);
/* < 0: a is better. cells: for aims 2 and 4. */
int nmk_value_compare(const struct nmk_net *net, const struct nmk_value *a, const uint32_t *cells_a,
                      const struct nmk_value *b, const uint32_t *cells_b);

/* Costs are natural numbers of `limbs` words, most significant first; sums never run over. */
static inline void nmk_cost_add(uint64_t *sum, const uint64_t *more, unsigned limbs)
{
    unsigned carry = 0;
    for (unsigned k = limbs; k-- > 0;) {
        uint64_t with = more[k] + carry;
        carry = with < carry;
        sum[k] += with;
        carry |= sum[k] < with;
    }
}

static inline int nmk_cost_compare(const uint64_t *a, const uint64_t *b, unsigned limbs)
{
    for (unsigned k = 0; k < limbs; k++)
        if (a[k] != b[k])
            return a[k] < b[k] ? -1 : 1;
    return 0;
}

#endif
