/* whole_stand.h -- where the unknowns of a part stand: each at the cheapest number of its interval.
 *
 * Intervals are narrowed, which tightens others through the part's demands, and given back in reverse. A demand is held
 * here as it has to be to be met as well as it can be by itself: within its bounds, and with the best grade that there is
 * within them. Where all are, nothing is better but for the price. What its unknowns can give, and give where they stand,
 * is kept up to date. */
#ifndef LIB_SOLVE_WHOLE_STAND_H
#define LIB_SOLVE_WHOLE_STAND_H

#include "solve/whole/whole_price.h"

struct nmk_stand_need {
    uint32_t first, count;        /* terms */
    int64_t least, most;          /* INT64_MIN, INT64_MAX: open */
    int64_t low, high;            /* what its unknowns can give, without those that are open */
    uint32_t open_low, open_high; /* how many are */
    int64_t value;                /* what they give */
    bool is_queued;
};

struct nmk_stand_term {
    uint32_t number;
    int64_t times;
};

/* A term, from its unknown. */
struct nmk_stand_use {
    uint32_t need;
    int64_t times;
};

struct nmk_stand_number {
    int64_t low, high; /* NMK_MODEL_OPEN */
    int64_t at;        /* the cheapest of them */
    nmk_price price;   /* of `at` */
    uint32_t first_use, use_count;
};

struct nmk_stand_change {
    uint32_t number;
    struct nmk_stand_number before;
};

struct nmk_stand {
    struct nmk_bench *bench;
    const struct nmk_part *part;
    struct nmk_prices prices;
    struct nmk_stand_need *needs;
    struct nmk_stand_term *terms;
    struct nmk_stand_use *uses;
    struct nmk_stand_number *numbers;
    uint32_t need_count, number_count;
    uint32_t *queue; /* needs to be looked at, in a ring */
    size_t queue_first, queue_count;
    struct nmk_stand_change *trail;
    size_t trail_count, trail_space;
    int64_t far;      /* no number goes beyond it, so that no sum runs over */
    nmk_price price;  /* of all, where they stand */
    bool any;         /* no more is asked than that the demands are allowed */
    bool is_narrowed; /* more is asked than that the demands are allowed */
    bool is_lost;     /* nothing is known any more: a number went too far, or a price did not fit */
    uint64_t left;    /* looks at needs: at 0 nothing is known any more */
    struct nmk_arena arena;
};

/* False if the part is none for this, or the best grade of a demand is not known: then nothing may be done but clear
 * it. `looks`: the budget. `any`: it is enough that the demands are allowed, and nothing costs but the way. Uses the
 * bench's `local`. */
bool nmk_stand_init(struct nmk_stand *stand, struct nmk_bench *bench, const struct nmk_part *part, uint64_t looks, bool any);
void nmk_stand_clear(struct nmk_stand *stand);
static inline bool nmk_stand_is_over(const struct nmk_stand *s)
{
    return s->is_lost || s->prices.is_lost || !s->left;
}
static inline bool nmk_stand_is_met(const struct nmk_stand_need *need)
{
    return need->value >= need->least && need->value <= need->most;
}

/* A look at a need: a long one counts for several. */
static inline void nmk_stand_look(struct nmk_stand *s, const struct nmk_stand_need *need)
{
    uint64_t looks = 1 + need->count / 8;
    s->left = s->left > looks ? s->left - looks : 0;
}

/* Each of these is false if the needs cannot be met any more; then only giving back may follow. */
bool nmk_stand_tighten(struct nmk_stand *stand); /* at the start */
bool nmk_stand_raise(struct nmk_stand *stand, uint32_t number, int64_t low);
bool nmk_stand_lower(struct nmk_stand *stand, uint32_t number, int64_t high);
/* As it was when the trail was `count` long. */
void nmk_stand_undo(struct nmk_stand *stand, size_t count);

#endif
