/* settled.h -- what a settled result holds; for the rooms of lib/settle that go on from it. */
#ifndef LIB_SETTLE_SETTLED_H
#define LIB_SETTLE_SETTLED_H

#include "fit/judge.h"
#include "nearmark/settle.h"
#include "settle/marking.h"

struct nmk_settled {
    const struct nmk_draft *draft;
    struct nmk_settle_options options;
    struct nmk_clearances *clearances;
    struct nmk_judge *judge;
    bool holds_together;
    bool mats_unbound; /* mats may come out below one mark */
    bool is_held;
    struct nmk_held held;
    size_t length_count, demand_count;
    int64_t *marks;  /* by length; 0 where there are none */
    size_t *choices; /* by length, from 0; where nothing meets all demands, those of the nearest marks */
    bool *unwatched; /* by length */
    size_t moved;
    struct nmk_rat deviation;
    enum nmk_state state;
    struct nmk_sizes *sizes[3]; /* by column; SETTLED only if it holds together */
    struct nmk_view (*views)[3]; /* by demand and column */
    size_t (*worst)[3];          /* the case of each view */
    struct nmk_settled_sources *sources; /* by demand and column, made when asked for */
};

struct nmk_settled_sources {
    struct nmk_contribution *all[3];
    size_t count[3];
    bool known[3];
};

/* Known preference, 0 <= within, 0 <= sure <= 1. */
bool nmk_settle_options_are_good(const struct nmk_settle_options *options);

/* How nmk_settle may be asked for less or more than the whole design's best. */
struct nmk_settle_how {
    bool mats_unbound; /* without the demand that mats are at least one mark, which binds parts that have nothing else in
                        * common; if the marks found meet it all the same they are those of nmk_settle */
    const struct nmk_held *held; /* NULL: none */
};
enum nmk_status nmk_settle_how(struct nmk_settled **out, const struct nmk_draft *draft,
                               const struct nmk_settle_options *options, const struct nmk_settle_how *how,
                               struct nmk_diagnostics *list);

/* Can these demands (by demand) be met together? If not, `in` tells which of them are a smallest conflict, the first in
 * file order; else it is all false. */
enum nmk_status nmk_conflict_among(bool *in, bool *feasible, const struct nmk_settled *settled, const bool *among);

/* The plan of a marking for a settled result: what it was asked, with or without aims. */
struct nmk_marking_plan nmk_settled_plan(const struct nmk_settled *settled, bool only_feasible);

#endif
