/* whole_live.h -- which cells of a net can still be, as cells are taken away and given back.
 *
 * Each factor keeps its allowed combinations, those still possible in front; each cell must stand in a possible
 * combination of every factor of its variable. What is taken away is noted on a trail and given back in reverse. */
#ifndef LIB_SOLVE_WHOLE_LIVE_H
#define LIB_SOLVE_WHOLE_LIVE_H

#include "solve/whole_value.h"
#include "solve/whole_work.h"

struct nmk_live_table {
    uint32_t arity, count; /* of combinations possible now: rows[order[0 .. count)] */
    const uint32_t *vars;
    uint32_t *rows;  /* arity cells each, counted over all variables (`first`) */
    uint32_t *codes; /* of each row */
    uint32_t *order;
    uint32_t best_unmet, best_set; /* the least unmet, the best grade, of those possible now */
    bool is_queued;
};

struct nmk_live_change {
    uint32_t table; /* UINT32_MAX: a cell of a variable */
    uint32_t a, b, c; /* table: count, best_unmet, best_set of before; cell: variable, cell */
};

struct nmk_live {
    const struct nmk_net *net;
    struct nmk_live_table *tables; /* of each factor */
    size_t *first;                 /* of each variable: where its cells start */
    bool *is_live;                 /* of each cell */
    uint32_t *live_count;          /* of each variable */
    size_t *support;               /* of each cell: the last revision that found one */
    size_t revision;
    size_t *use_first;
    uint32_t *uses; /* tables of each variable */
    uint32_t *queue;
    size_t queue_count;
    struct nmk_live_change *trail;
    size_t trail_count, trail_space;
    const uint32_t *position; /* of each variable in the order of elimination */
    const uint32_t *sequence; /* the tables, in the order in which the bound takes them */
    unsigned __int128 *moved; /* of each cell: what its cost is when costs have been moved along */
    unsigned __int128 *least; /* of each cell of one table */
    struct nmk_arena arena;
};

/* False if nothing is possible. */
bool nmk_live_init(struct nmk_live *live, const struct nmk_net *net, struct nmk_work *work);
void nmk_live_clear(struct nmk_live *live);
static inline bool nmk_live_has(const struct nmk_live *live, uint32_t var, uint32_t cell)
{
    return live->is_live[live->first[var] + cell];
}
/* Takes away all other cells of the variable, or the one cell, and what falls with them; false if nothing is possible. */
bool nmk_live_keep(struct nmk_live *live, uint32_t var, uint32_t cell, struct nmk_work *work);
bool nmk_live_drop(struct nmk_live *live, uint32_t var, uint32_t cell, struct nmk_work *work);
/* Gives back what was taken since the trail was `count` long. */
void nmk_live_undo(struct nmk_live *live, size_t count);
/* Before the first bound; order: of elimination. */
void nmk_live_set_order(struct nmk_live *live, const uint32_t *order);
/* At least as good as all that is possible: the value, and cells for aims 2 and 4. */
void nmk_live_bound(struct nmk_value *value, uint32_t *cells, struct nmk_live *live);

#endif
