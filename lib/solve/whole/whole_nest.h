/* whole_nest.h -- the loops over all combinations of an eliminated variable's neighbours.
 *
 * Level 0 is the variable's own: all its cells are taken through the loops side by side (whole_lanes). Each further level
 * is the loop of one neighbour. Each source (a table or message that mentions the variable) has a running place in its
 * table, moved on by the loops of its variables; it is looked up at the level at which the last of them is fixed. The
 * outgoing message has a running place too.
 *
 * What a map gives needs no loop, unless another source mentions it: it follows from the cells, each lane's its own. */
#ifndef LIB_SOLVE_WHOLE_NEST_H
#define LIB_SOLVE_WHOLE_NEST_H

#include "solve/whole/whole_message.h"

#define NMK_NEST_FOLLOWS UINT32_MAX

/* A factor or message in the bucket of x. */
struct nmk_nest_source {
    const struct nmk_net_factor *factor;
    const struct nmk_message *message;
    const uint32_t *vars;
    uint32_t count, missing; /* variables (of a map the first two), and those without a place in the nest yet */
    uint64_t at;             /* the running place, of the variable's first cell */
    uint64_t own_stride;     /* from there to its next cell */
    uint32_t given_level;    /* a map: the level of its third variable; NMK_NEST_FOLLOWS: it has none */
};

/* A variable that has no loop, since a map gives its cell. */
struct nmk_nest_follower {
    uint32_t var, source;
    uint64_t stride; /* in the outgoing message */
};

struct nmk_nest_move {
    uint32_t source; /* source_count: the outgoing message */
    uint64_t stride;
};

/* One loop of the nest. */
struct nmk_nest_level {
    uint32_t var, cells, cell;
    size_t first_move, move_count, first_end, end_count;
};

struct nmk_nest {
    const struct nmk_net *net;
    uint32_t *level_of; /* of each variable, UINT32_MAX: not in the nest */
    struct nmk_nest_source *sources;
    size_t source_count, source_space;
    struct nmk_nest_level *levels;
    size_t level_count, level_space;
    struct nmk_nest_move *moves; /* by level */
    size_t move_space;
    struct nmk_nest_follower *followers;
    size_t follower_count, follower_space;
    uint32_t *ends; /* sources, by the level at which they are complete */
    size_t end_space;
    uint64_t out_at; /* place in the outgoing message */
};

void nmk_nest_init(struct nmk_nest *nest, const struct nmk_net *net);
void nmk_nest_clear(struct nmk_nest *nest);
/* One of the two, the other NULL. */
void nmk_nest_add(struct nmk_nest *nest, const struct nmk_net_factor *factor, const struct nmk_message *message);
/* Lays out the loops for what was added, and leaves room for the outgoing message's move at each level but the first. */
void nmk_nest_lay_out(struct nmk_nest *nest, uint32_t var);
/* Empty again, for the next variable. */
void nmk_nest_reset(struct nmk_nest *nest);
/* The loop of a level goes on by `times` (modulo 2^64). */
void nmk_nest_shift(struct nmk_nest *nest, const struct nmk_nest_level *level, uint64_t times);

#endif
