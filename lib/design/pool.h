/* pool.h -- rationals of one owner. What is put into a pool is never changed; copies of the struct (`=`) may be taken
 * freely and need no clearing: they live until the pool is cleared. A zeroed struct is an empty pool. */
#ifndef LIB_DESIGN_POOL_H
#define LIB_DESIGN_POOL_H

#include "nearmark/enclosure.h"
#include "nearmark/rat.h"

struct nmk_pool {
    struct nmk_rat *rats;
    size_t count, space;
};

/* Moves *r into the pool (r is 0 again). */
struct nmk_rat nmk_pool_take(struct nmk_pool *pool, struct nmk_rat *r);
struct nmk_enclosure nmk_pool_take_enclosure(struct nmk_pool *pool, struct nmk_enclosure *e);
struct nmk_rat nmk_pool_copy(struct nmk_pool *pool, const struct nmk_rat *r);
void nmk_pool_clear(struct nmk_pool *pool);

#endif
