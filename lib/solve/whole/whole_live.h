/* whole_live.h -- which cells of a net can still be, as cells are taken away and given back.
 *
 * Each factor keeps a bit for each of its allowed combinations (rows): can it still be? Each of its cells knows its rows as
 * such bits too, of the words that are not 0: so what stays of the rows is the union of those of a variable's cells, and
 * a cell that shares no bit with it can no longer be (Demeulenaere and others, Compact-Table, 2016). What is taken away is
 * noted on a trail and given back in reverse. */
#ifndef LIB_SOLVE_WHOLE_LIVE_H
#define LIB_SOLVE_WHOLE_LIVE_H

#include "solve/whole/whole_value.h"
#include "solve/whole/whole_work.h"

/* The rows of one cell of a table: words[k] has the bits masks[k]. */
struct nmk_live_run {
    uint32_t count, last; /* last: where a possible one was found */
    uint32_t *words;
    uint64_t *masks;
};

struct nmk_live_table {
    uint32_t arity, row_count;
    const uint32_t *vars;
    uint32_t *rows;  /* arity cells each, counted over all variables (`first`) */
    uint32_t *codes; /* of each row */
    uint64_t *now;   /* a bit a row: it is possible now */
    uint32_t *index, index_count; /* the words of `now` that are not 0; the others behind */
    struct nmk_live_run **runs;   /* of each place: of the cells of its variable */
    uint64_t changed;             /* places (modulo 64) whose variable has lost cells; 0: not in the queue */
    uint32_t *sorted;             /* places, the last to be eliminated first */
    uint32_t best_unmet, best_set; /* the least unmet, the best grade, of those possible now */
    bool has_codes;                /* not all rows have the same */
    bool is_stale;                 /* the best are to be looked for again */
};

struct nmk_live_change {
    uint32_t table; /* UINT32_MAX: a cell of a variable */
    uint32_t at;    /* word; cell */
    uint64_t old;   /* the word of before; variable */
};

/* A factor, and the place of the variable in it. */
struct nmk_live_use {
    uint32_t table, place;
};

struct nmk_live {
    const struct nmk_net *net;
    struct nmk_live_table *tables; /* of each factor */
    size_t *first;                 /* of each variable: where its cells start */
    bool *is_live;                 /* of each cell */
    uint32_t *live_count;          /* of each variable */
    size_t *use_first;
    struct nmk_live_use *uses; /* of each variable */
    uint32_t *queue;           /* tables */
    size_t queue_count;
    struct nmk_live_change *trail;
    size_t trail_count, trail_space;
    uint64_t *kept;           /* words of one table */
    uint32_t *listed;         /* rows of one table */
    const uint32_t *sequence; /* the tables, in the order in which the bound takes them */
    unsigned __int128 *moved; /* of each cell: what its cost is when costs have been moved along */
    unsigned __int128 *least; /* of each cell of one table */
    unsigned __int128 *rest;  /* of each row of one table */
    struct nmk_arena arena;
};

static inline uint64_t nmk_live_bit(uint32_t n)
{
    return (uint64_t)1 << n % 64;
}
/* A factor's table, all its rows possible (whole_live_table). In the live's arena. */
void nmk_live_make_table(struct nmk_live_table *out, struct nmk_live *live, const struct nmk_net_factor *factor);

/* False if nothing is possible. */
bool nmk_live_init(struct nmk_live *live, const struct nmk_net *net, struct nmk_work *work);
void nmk_live_clear(struct nmk_live *live);
static inline bool nmk_live_has(const struct nmk_live *live, uint32_t var, uint32_t cell)
{
    return live->is_live[live->first[var] + cell];
}
/* Takes away all other cells of the variable, and what falls with them; false if nothing is possible. */
bool nmk_live_keep(struct nmk_live *live, uint32_t var, uint32_t cell, struct nmk_work *work);
/* The rows of a table that are possible now, into `rows` (room for all), rising; how many. */
uint32_t nmk_live_list(uint32_t *rows, const struct nmk_live_table *table);
/* Gives back what was taken since the trail was `count` long. */
void nmk_live_undo(struct nmk_live *live, size_t count);
/* The bound (whole_live_bound). Before the first one; order: of elimination. */
void nmk_live_set_order(struct nmk_live *live, const uint32_t *order);
/* At least as good as all that is possible: the value, and cells for aims 2 and 4. */
void nmk_live_bound(struct nmk_value *value, uint32_t *cells, struct nmk_live *live);

#endif
