#include "design/pool.h"

#include "base/memory.h"

struct nmk_rat nmk_pool_take(struct nmk_pool *pool, struct nmk_rat *r)
{
    struct nmk_rat taken = *r;
    if (taken.big) { /* a small one holds no memory */
        void *rats = pool->rats;
        nmk_memory_reserve(&rats, &pool->space, pool->count + 1, sizeof *pool->rats);
        pool->rats = rats;
        pool->rats[pool->count++] = taken;
    }
    *r = (struct nmk_rat){0};
    return taken;
}

struct nmk_enclosure nmk_pool_take_enclosure(struct nmk_pool *pool, struct nmk_enclosure *e)
{
    struct nmk_enclosure taken;
    taken.low = nmk_pool_take(pool, &e->low);
    taken.high = nmk_pool_take(pool, &e->high);
    return taken;
}

struct nmk_rat nmk_pool_copy(struct nmk_pool *pool, const struct nmk_rat *r)
{
    struct nmk_rat copy = {0};
    nmk_rat_set(&copy, r);
    return nmk_pool_take(pool, &copy);
}

void nmk_pool_clear(struct nmk_pool *pool)
{
    for (size_t i = 0; i < pool->count; i++)
        nmk_rat_clear(&pool->rats[i]);
    nmk_memory_free(pool->rats);
    *pool = (struct nmk_pool){0};
}
