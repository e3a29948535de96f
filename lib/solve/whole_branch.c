#include "solve/whole_branch.h"

#include <string.h>

#include "base/memory.h"

typedef unsigned __int128 natural;

#ifdef NMK_STRESS
enum { EFFORT = 4, LEAST_EFFORT = 50 };
#else
enum {
    EFFORT = 400, /* so many looks at a demand for each unknown and each demand, and: */
    LEAST_EFFORT = 1000
};
#endif
enum { SLOTS = 4, PARTS = 3, PART_BITS = 31, MOST_SETTLED = 16 };

/* A demand as it must be to be met wholly. */
struct need {
    uint32_t first, count;         /* terms */
    int64_t least, most;           /* INT64_MIN, INT64_MAX: open */
    int64_t low, high;             /* what its unknowns can give, without those that are open */
    uint32_t open_low, open_high;  /* how many are */
    int64_t value;                 /* what they give */
    bool is_queued;
};

struct term {
    uint32_t number;
    int64_t times;
};

struct use {
    uint32_t need;
    int64_t times;
};

struct number {
    int64_t low, high; /* NMK_MODEL_OPEN */
    int64_t best, at;  /* the cheapest number of all, and of [low, high]: of equals the smaller */
    natural price;     /* of `at` */
    uint32_t first_use, use_count;
    int64_t step, goal; /* the distance of x is |x step - goal| */
    int64_t slot_x[SLOTS]; /* prices known, of x at slot x % SLOTS */
    natural slot_price[SLOTS];
    bool slot_used[SLOTS];
};

struct change {
    uint32_t number;
    int64_t low, high; /* of before */
    int64_t at;
    natural price;
};

/* One of its unknowns moves on from where it stood. */
struct option {
    uint32_t number;
    bool up;
    int64_t from;
    natural more; /* what it costs at least */
};

struct frame {
    size_t first, count, next; /* options */
    size_t base, mark;         /* how long the trail was before it, and before its present case */
    natural price;             /* before it */
};

struct branching {
    struct nmk_bench *bench;
    const struct nmk_part *part;
    struct need *needs;
    struct term *terms;
    struct use *uses;
    struct number *numbers;
    size_t need_count, number_count;
    uint32_t *queue; /* needs, in a ring */
    size_t queue_first, queue_count;
    struct change *trail;
    size_t trail_count, trail_space;
    struct option *options;
    size_t option_count, option_space;
    struct frame *frames;
    size_t frame_count, frame_space;
    uint32_t *unmet; /* needs */
    natural *unmet_more;
    bool *is_counted; /* numbers */
    int64_t far;    /* no number goes beyond it, so that no sum runs over */
    natural price;  /* of all numbers where they are */
    int64_t *best;
    natural best_price;
    bool has_best, is_narrowed, is_unsuited;
    uint64_t left; /* looks */
    struct nmk_arena arena;
};

/* ---- prices: part 0, part 2, the distance, as one natural number (part 1 is the same for all) ---- */

static bool ask(struct branching *b, natural *out, uint32_t number, int64_t x)
{
    const struct nmk_whole_problem *p = b->bench->model.problem;
    const struct number *n = &b->numbers[number];
    int64_t parts[PARTS] = {0}, way;
    if (p->cost && !p->any)
        p->cost(parts, p->context, b->part->unknowns[number], x);
    if (__builtin_mul_overflow(x, n->step, &way) || __builtin_sub_overflow(way, n->goal, &way))
        return false;
    int64_t share = (int64_t)(b->number_count + 1), most = INT64_MAX / share, most_part = ((int64_t)1 << PART_BITS) / share;
    if (parts[0] < 0 || parts[0] > most_part || parts[1] < 0 || parts[2] < 0 || parts[2] > most_part || way > most || way < -most)
        return false;
    *out = ((natural)parts[0] << (64 + PART_BITS)) + ((natural)parts[2] << 64) + (natural)(way < 0 ? -way : way);
    return true;
}

static natural price_of(struct branching *b, uint32_t number, int64_t x)
{
    struct number *n = &b->numbers[number];
    size_t slot = (size_t)((uint64_t)x % SLOTS);
    if (n->slot_used[slot] && n->slot_x[slot] == x)
        return n->slot_price[slot];
    natural price = 0;
    if (!ask(b, &price, number, x))
        b->is_unsuited = true;
    n->slot_used[slot] = true;
    n->slot_x[slot] = x;
    n->slot_price[slot] = price;
    return price;
}

static int64_t cheapest_in(const struct number *n, int64_t low, int64_t high)
{
    return low > n->best ? low : high < n->best ? high : n->best;
}

/* ---- moving ---- */

/* What a number adds to its needs; sign: +1, -1. */
static void count_in(struct branching *b, const struct number *n, int64_t sign)
{
    bool open = n->high == NMK_MODEL_OPEN;
    for (uint32_t u = n->first_use; u < n->first_use + n->use_count; u++) {
        struct need *d = &b->needs[b->uses[u].need];
        int64_t times = sign * b->uses[u].times;
        bool rising = b->uses[u].times > 0;
        d->value += times * n->at;
        *(rising ? &d->low : &d->high) += times * n->low;
        if (open)
            *(rising ? &d->open_high : &d->open_low) += (uint32_t)sign;
        else
            *(rising ? &d->high : &d->low) += times * n->high;
    }
}

static void enqueue(struct branching *b, uint32_t need)
{
    struct need *d = &b->needs[need];
    if (d->is_queued)
        return;
    d->is_queued = true;
    size_t at = b->queue_first + b->queue_count++;
    b->queue[at < b->need_count ? at : at - b->need_count] = need;
}

static uint32_t dequeue(struct branching *b)
{
    uint32_t need = b->queue[b->queue_first];
    b->queue_first = b->queue_first + 1 < b->need_count ? b->queue_first + 1 : 0;
    b->queue_count--;
    b->needs[need].is_queued = false;
    return need;
}

static bool is_too_far(const struct branching *b, int64_t x)
{
    return x > b->far || x < -b->far;
}

/* False if the interval is empty. */
static bool set_interval(struct branching *b, uint32_t number, int64_t low, int64_t high)
{
    struct number *n = &b->numbers[number];
    if (low > high)
        return false;
    if (is_too_far(b, low) || (high != NMK_MODEL_OPEN && is_too_far(b, high))) {
        b->is_unsuited = true;
        return false;
    }
    void *trail = b->trail;
    nmk_memory_reserve(&trail, &b->trail_space, b->trail_count + 1, sizeof *b->trail);
    b->trail = trail;
    b->trail[b->trail_count++] = (struct change){number, n->low, n->high, n->at, n->price};
    count_in(b, n, -1);
    n->low = low;
    n->high = high;
    int64_t at = cheapest_in(n, low, high);
    if (at != n->at) {
        b->price = b->price - n->price;
        n->at = at;
        n->price = price_of(b, number, at);
        b->price = b->price + n->price;
    }
    count_in(b, n, 1);
    for (uint32_t u = n->first_use; u < n->first_use + n->use_count; u++)
        enqueue(b, b->uses[u].need);
    return true;
}

static void undo(struct branching *b, size_t count)
{
    while (b->trail_count > count) {
        const struct change *c = &b->trail[--b->trail_count];
        struct number *n = &b->numbers[c->number];
        count_in(b, n, -1);
        b->price = b->price - n->price + c->price;
        n->low = c->low;
        n->high = c->high;
        n->at = c->at;
        n->price = c->price;
        count_in(b, n, 1);
    }
}

/* ---- tightening ---- */

static int64_t divide_down(int64_t a, int64_t b)
{
    return a / b - (a % b != 0 && (a < 0) != (b < 0));
}

/* times * x >= least and <= most, where these are not open, tell what of x? */
static bool tighten(struct branching *b, const struct term *t, int64_t least, int64_t most)
{
    struct number *n = &b->numbers[t->number];
    int64_t low = n->low, high = n->high, size = t->times < 0 ? -t->times : t->times;
    int64_t from = t->times > 0 ? least : most == INT64_MAX ? INT64_MIN : -most;
    int64_t to = t->times > 0 ? most : least == INT64_MIN ? INT64_MAX : -least;
    if (from != INT64_MIN && -divide_down(-from, size) > low)
        low = -divide_down(-from, size);
    if (to != INT64_MAX && divide_down(to, size) < high)
        high = divide_down(to, size);
    return (low == n->low && high == n->high) || set_interval(b, t->number, low, high);
}

static bool is_possible(const struct need *d)
{
    return (d->open_high || d->high >= d->least) && (d->open_low || d->low <= d->most);
}

/* What the others leave of each of its terms. */
static bool look_at(struct branching *b, uint32_t need)
{
    struct need *d = &b->needs[need];
    for (uint32_t k = d->first; k < d->first + d->count; k++) {
        const struct term *t = &b->terms[k];
        const struct number *n = &b->numbers[t->number];
        bool open = n->high == NMK_MODEL_OPEN, rising = t->times > 0;
        int64_t own_low = t->times * (rising ? n->low : open ? 0 : n->high);
        int64_t own_high = t->times * (rising ? (open ? 0 : n->high) : n->low);
        int64_t least = INT64_MIN, most = INT64_MAX;
        if (d->least != INT64_MIN && d->open_high == (open && rising))
            least = d->least - (d->high - own_high);
        if (d->most != INT64_MAX && d->open_low == (open && !rising))
            most = d->most - (d->low - own_low);
        bool tells = (least != INT64_MIN && ((open && !rising) || least > own_low)) ||
                     (most != INT64_MAX && ((open && rising) || most < own_high));
        if (tells && !tighten(b, t, least, most))
            return false;
    }
    return is_possible(d);
}

/* The queue is empty afterwards. */
static bool propagate(struct branching *b)
{
    bool possible = true;
    while (b->queue_count) {
        uint32_t need = dequeue(b);
        if (!possible)
            continue;
        b->needs[need].is_queued = true; /* its own changes tell it nothing */
        possible = b->left > 0 && is_possible(&b->needs[need]) && look_at(b, need);
        b->needs[need].is_queued = false;
        b->left -= b->left > 0;
    }
    return possible;
}

/* Moves one end, and tightens. */
static bool move_low(struct branching *b, uint32_t number, int64_t low)
{
    struct number *n = &b->numbers[number];
    return (low <= n->low || set_interval(b, number, low, n->high)) && propagate(b);
}

static bool move_high(struct branching *b, uint32_t number, int64_t high)
{
    struct number *n = &b->numbers[number];
    return (high >= n->high || set_interval(b, number, n->low, high)) && propagate(b);
}

/* ---- needs that are not met ---- */

static bool is_met(const struct need *d)
{
    return d->value >= d->least && d->value <= d->most;
}

/* Can term k of an unmet need help, and on which way? What its next number costs more. */
static bool helps(struct branching *b, struct option *out, const struct need *d, const struct term *t)
{
    const struct number *n = &b->numbers[t->number];
    bool up = (t->times > 0) == (d->value < d->least);
    if (up ? n->at >= n->high : n->at <= n->low)
        return false;
    natural next = price_of(b, t->number, up ? n->at + 1 : n->at - 1);
    *out = (struct option){t->number, up, n->at, next > n->price ? next - n->price : 0};
    return true;
}

/* What it costs more, at least, to meet it. */
static natural more_for(struct branching *b, const struct need *d, uint32_t *options)
{
    natural least = ~(natural)0;
    struct option o;
    *options = 0;
    for (uint32_t k = d->first; k < d->first + d->count; k++)
        if (helps(b, &o, d, &b->terms[k])) {
            least = o.more < least ? o.more : least;
            ++*options;
        }
    return least;
}

/* The unmet need that is dearest to meet, of equals that with the fewest ways; UINT32_MAX: all are met. Fills `unmet`. */
static uint32_t dearest(struct branching *b, size_t *count)
{
    uint32_t found = UINT32_MAX, fewest = 0;
    natural most = 0;
    *count = 0;
    for (uint32_t i = 0; i < b->need_count; i++) {
        if (is_met(&b->needs[i]))
            continue;
        uint32_t options;
        natural more = more_for(b, &b->needs[i], &options);
        b->left -= b->left > 0;
        b->unmet[*count] = i;
        b->unmet_more[(*count)++] = more;
        if (found == UINT32_MAX || more > most || (more == most && options < fewest)) {
            found = i;
            most = more;
            fewest = options;
        }
    }
    return found;
}

/* Takes the unknowns of a need if none of them is taken. */
static bool take_unknowns(struct branching *b, const struct need *d)
{
    for (uint32_t k = d->first; k < d->first + d->count; k++)
        if (b->is_counted[b->terms[k].number])
            return false;
    for (uint32_t k = d->first; k < d->first + d->count; k++)
        b->is_counted[b->terms[k].number] = true;
    return true;
}

/* Unmet needs without a common unknown cost more together than each by itself; the dearest are taken first. */
static natural more_in_all(struct branching *b, size_t count)
{
    natural sum = 0;
    memset(b->is_counted, 0, b->number_count * sizeof *b->is_counted);
    for (size_t k = 1; k < count; k++) {
        uint32_t need = b->unmet[k];
        natural more = b->unmet_more[k];
        size_t at = k;
        for (; at > 0 && b->unmet_more[at - 1] < more; at--) {
            b->unmet[at] = b->unmet[at - 1];
            b->unmet_more[at] = b->unmet_more[at - 1];
        }
        b->unmet[at] = need;
        b->unmet_more[at] = more;
    }
    for (size_t k = 0; k < count; k++)
        if (take_unknowns(b, &b->needs[b->unmet[k]]))
            sum = sum + b->unmet_more[k];
    return sum;
}

/* ---- the search ---- */

/* May what is here be better than the best? Of equal prices it is if an earlier unknown can be smaller. `more`: what the
 * unmet needs cost; if nothing, no unknown can be elsewhere than where it stands. */
static bool is_promising(const struct branching *b, natural more)
{
    if (!b->has_best || b->price + more < b->best_price)
        return true;
    if (b->price + more > b->best_price)
        return false;
    for (size_t j = 0; j < b->number_count; j++) {
        int64_t x = more ? b->numbers[j].low : b->numbers[j].at;
        if (x != b->best[j])
            return x < b->best[j];
    }
    return false;
}

static void note_best(struct branching *b)
{
    for (size_t j = 0; j < b->number_count; j++)
        b->best[j] = b->numbers[j].at;
    b->best_price = b->price;
    b->has_best = true;
}

/* The cheapest way first. */
static void add_option(struct branching *b, struct frame *f, struct option o)
{
    void *options = b->options;
    nmk_memory_reserve(&options, &b->option_space, b->option_count + 1, sizeof *b->options);
    b->options = options;
    size_t at = b->option_count++;
    for (; at > f->first && b->options[at - 1].more > o.more; at--)
        b->options[at] = b->options[at - 1];
    b->options[at] = o;
    f->count++;
}

static void push_frame(struct branching *b, const struct need *d)
{
    void *frames = b->frames;
    nmk_memory_reserve(&frames, &b->frame_space, b->frame_count + 1, sizeof *b->frames);
    b->frames = frames;
    struct frame *f = &b->frames[b->frame_count++];
    *f = (struct frame){.first = b->option_count, .base = b->trail_count, .mark = b->trail_count, .price = b->price};
    struct option o;
    for (uint32_t k = d->first; k < d->first + d->count; k++)
        if (helps(b, &o, d, &b->terms[k]))
            add_option(b, f, o);
}

static void pop_frame(struct branching *b)
{
    struct frame *f = &b->frames[--b->frame_count];
    undo(b, f->base);
    b->option_count = f->first;
}

static void open_node(struct branching *b)
{
    size_t count;
    b->left -= b->left > 0;
    if (!is_promising(b, 0))
        return;
    uint32_t need = dearest(b, &count);
    if (need == UINT32_MAX)
        note_best(b);
    else if (!b->has_best || is_promising(b, more_in_all(b, count)))
        push_frame(b, &b->needs[need]);
}

/* The unknown of the case that is done stays from now on. */
static bool stay(struct branching *b, const struct option *o)
{
    return o->up ? move_high(b, o->number, o->from) : move_low(b, o->number, o->from);
}

/* The next case of the last frame. */
static void go_on(struct branching *b)
{
    struct frame *f = &b->frames[b->frame_count - 1];
    undo(b, f->mark);
    if (f->next == f->count || (f->next && !stay(b, &b->options[f->first + f->next - 1]))) {
        pop_frame(b);
        return;
    }
    f->mark = b->trail_count;
    const struct option *o = &b->options[f->first + f->next++];
    if (b->has_best && f->price + o->more > b->best_price) { /* so are those after it */
        pop_frame(b);
        return;
    }
    if (o->up ? move_low(b, o->number, o->from + 1) : move_high(b, o->number, o->from - 1))
        open_node(b);
}

static bool is_over(const struct branching *b)
{
    return b->is_unsuited || !b->left || (b->has_best && b->bench->model.problem->any);
}

static void search(struct branching *b)
{
    for (uint32_t i = 0; i < b->need_count; i++)
        enqueue(b, i);
    if (propagate(b))
        open_node(b);
    while (b->frame_count && !is_over(b))
        go_on(b);
}

/* ---- making it ---- */

static int64_t gcd(int64_t a, int64_t b)
{
    while (b) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a < 0 ? -a : a;
}

static bool widen(int64_t *scale, int64_t den)
{
    return !__builtin_mul_overflow(*scale, den / gcd(*scale, den), scale) && *scale <= NMK_MODEL_COEFFICIENT;
}

/* All distances on one scale. */
static bool set_distances(struct branching *b)
{
    const struct nmk_whole_unknown *unknowns = b->bench->model.problem->unknowns;
    int64_t scale = 1;
    for (size_t j = 0; j < b->number_count; j++) {
        const struct nmk_whole_unknown *u = &unknowns[b->part->unknowns[j]];
        struct number *n = &b->numbers[j];
        int64_t step_den, goal_den;
        if (nmk_rat_get_frac(&n->step, &step_den, &u->step) != NMK_OK || nmk_rat_get_frac(&n->goal, &goal_den, &u->goal) != NMK_OK ||
            n->step <= 0 || !widen(&scale, step_den) || !widen(&scale, goal_den))
            return false;
    }
    for (size_t j = 0; j < b->number_count; j++) {
        const struct nmk_whole_unknown *u = &unknowns[b->part->unknowns[j]];
        struct number *n = &b->numbers[j];
        int64_t num, den;
        (void)nmk_rat_get_frac(&num, &den, &u->step);
        if (__builtin_mul_overflow(num, scale / den, &n->step))
            return false;
        (void)nmk_rat_get_frac(&num, &den, &u->goal);
        if (__builtin_mul_overflow(num, scale / den, &n->goal))
            return false;
    }
    return true;
}

/* Do prices rise on both sides of the cheapest number? Beyond the settled interval they do. */
static bool set_best(struct branching *b, uint32_t number)
{
    const struct nmk_whole_unknown *u = &b->bench->model.problem->unknowns[b->part->unknowns[number]];
    struct number *n = &b->numbers[number];
    int64_t nearest = nmk_cells_nearest(u, -NMK_MODEL_FAR, NMK_MODEL_FAR), low = u->settled_low, high = u->settled_high;
    if (low > nearest || high < nearest || high - low > MOST_SETTLED)
        return false;
    n->best = low;
    for (int64_t x = low + 1; x <= high; x++)
        if (price_of(b, number, x) < price_of(b, number, n->best))
            n->best = x;
    for (int64_t x = low; x < high && !b->is_unsuited; x++)
        if (x < n->best ? price_of(b, number, x) < price_of(b, number, x + 1) : price_of(b, number, x) > price_of(b, number, x + 1))
            return false;
    return !b->is_unsuited;
}

static bool set_numbers(struct branching *b)
{
    const struct nmk_model *m = &b->bench->model;
    if (!set_distances(b))
        return false;
    for (uint32_t j = 0; j < b->number_count; j++) {
        size_t unknown = b->part->unknowns[j];
        struct number *n = &b->numbers[j];
        b->bench->local[unknown] = j;
        n->low = m->low[unknown];
        n->high = m->high[unknown];
        if (is_too_far(b, n->low) || (n->high != NMK_MODEL_OPEN && is_too_far(b, n->high)) || n->low > n->high || !set_best(b, j))
            return false;
        n->at = cheapest_in(n, n->low, n->high);
        if (is_too_far(b, n->at))
            return false;
        n->price = price_of(b, j, n->at);
        b->price = b->price + n->price;
    }
    return !b->is_unsuited;
}

static bool is_sure(struct branching *b, size_t demand, int64_t n)
{
    struct nmk_rat v = {0};
    (void)nmk_rat_set_frac(&v, n, b->bench->model.demands[demand].scale);
    nmk_rat_add(&v, &v, &b->bench->model.problem->demands[demand].constant);
    bool sure = nmk_grades_ask(&b->bench->grades, demand, &v) == 0;
    nmk_rat_clear(&v);
    return sure;
}

/* A grade may be 1 beyond what is known to be sure: from `sure` on in steps towards `end`, the last that is. Both are
 * multiples of the step; the grade falls once at most. */
static int64_t last_sure(struct branching *b, size_t demand, int64_t sure, int64_t end, int64_t step)
{
    int64_t most = (end - sure) / step, known = 0, ahead = 1;
    while (ahead <= most && is_sure(b, demand, sure + ahead * step)) {
        known = ahead;
        ahead *= 2;
    }
    int64_t beyond = ahead < most + 1 ? ahead : most + 1;
    while (beyond - known > 1) {
        int64_t middle = known + (beyond - known) / 2;
        *(is_sure(b, demand, sure + middle * step) ? &known : &beyond) = middle;
    }
    return sure + known * step;
}

/* The bounds within which the demand is met and sure; false if it cannot be, or that is not known. */
static bool set_window(struct branching *b, struct need *out, size_t demand)
{
    const struct nmk_model_demand *d = &b->bench->model.demands[demand];
    out->least = d->must_least;
    out->most = d->must_most;
    if (b->bench->model.problem->any)
        return out->least <= out->most;
    out->least = d->least > d->must_least ? d->least : d->must_least;
    out->most = d->most < d->must_most ? d->most : d->must_most;
    if (b->bench->model.problem->demands[demand].graded) {
        if (d->sure_least > d->sure_most || out->least > d->sure_most || out->most < d->sure_least)
            return false;
        if ((out->least == INT64_MIN && d->sure_least != INT64_MIN) || (out->most == INT64_MAX && d->sure_most != INT64_MAX))
            return false;
        if (d->sure_least > out->least)
            out->least = last_sure(b, demand, d->sure_least, out->least, -d->unit);
        if (d->sure_most < out->most)
            out->most = last_sure(b, demand, d->sure_most, out->most, d->unit);
    }
    b->is_narrowed = b->is_narrowed || out->least > d->must_least || out->most < d->must_most;
    return out->least <= out->most;
}

/* Is every demand and unknown of a kind that this way can take? Counts the terms; sets `far`. */
static bool is_suited(struct branching *b, size_t *terms)
{
    const struct nmk_model *m = &b->bench->model;
    int64_t longest = 1;
    *terms = 0;
    if (b->part->remainder_count)
        return false;
    for (size_t k = 0; k < b->part->unknown_count; k++) {
        const struct nmk_whole_unknown *u = &m->problem->unknowns[b->part->unknowns[k]];
        if (u->is_choice || (u->period != 1 && !m->problem->any))
            return false;
    }
    for (size_t k = 0; k < b->part->demand_count; k++) {
        const struct nmk_model_demand *d = &m->demands[b->part->demands[k]];
        if (!d->is_scaled)
            return false;
        int64_t sum = 1;
        for (size_t t = 0; t < d->count; t++) {
            int64_t times = m->terms[d->first + t].low;
            if (__builtin_add_overflow(sum, times < 0 ? -times : times, &sum))
                return false;
        }
        longest = sum > longest ? sum : longest;
        *terms += d->count;
    }
    b->far = NMK_MODEL_FAR / longest;
    return true;
}

static bool set_needs(struct branching *b)
{
    const struct nmk_model *m = &b->bench->model;
    uint32_t next = 0;
    for (size_t k = 0; k < b->need_count; k++) {
        const struct nmk_model_demand *d = &m->demands[b->part->demands[k]];
        struct need *need = &b->needs[k];
        if (!set_window(b, need, b->part->demands[k]))
            return false;
        need->first = next;
        for (size_t t = 0; t < d->count; t++) {
            const struct nmk_model_term *from = &m->terms[d->first + t];
            if (!from->low)
                continue;
            b->terms[next++] = (struct term){b->bench->local[from->unknown], from->low};
            b->numbers[b->bench->local[from->unknown]].use_count++;
            need->count++;
        }
    }
    return true;
}

static void list_uses(struct branching *b)
{
    uint32_t next = 0;
    for (size_t j = 0; j < b->number_count; j++) {
        b->numbers[j].first_use = next;
        next += b->numbers[j].use_count;
        b->numbers[j].use_count = 0;
    }
    for (uint32_t i = 0; i < b->need_count; i++)
        for (uint32_t k = b->needs[i].first; k < b->needs[i].first + b->needs[i].count; k++) {
            struct number *n = &b->numbers[b->terms[k].number];
            b->uses[n->first_use + n->use_count++] = (struct use){i, b->terms[k].times};
        }
    for (size_t j = 0; j < b->number_count; j++)
        count_in(b, &b->numbers[j], 1);
}

static bool init(struct branching *b)
{
    size_t terms;
    if (!is_suited(b, &terms))
        return false;
    size_t n = b->number_count = b->part->unknown_count, d = b->need_count = b->part->demand_count;
    b->needs = nmk_arena_new(&b->arena, d, sizeof *b->needs);
    b->queue = nmk_arena_new(&b->arena, d, sizeof *b->queue);
    b->unmet = nmk_arena_new(&b->arena, d, sizeof *b->unmet);
    b->unmet_more = nmk_arena_new(&b->arena, d, sizeof *b->unmet_more);
    b->terms = nmk_arena_new(&b->arena, terms, sizeof *b->terms);
    b->uses = nmk_arena_new(&b->arena, terms, sizeof *b->uses);
    b->numbers = nmk_arena_new(&b->arena, n, sizeof *b->numbers);
    b->best = nmk_arena_new(&b->arena, n, sizeof *b->best);
    b->is_counted = nmk_arena_new(&b->arena, n, sizeof *b->is_counted);
    b->left = LEAST_EFFORT + EFFORT * (n + d);
    if (!set_numbers(b) || !set_needs(b))
        return false;
    list_uses(b);
    return true;
}

static void clear(struct branching *b)
{
    nmk_memory_free(b->trail);
    nmk_memory_free(b->options);
    nmk_memory_free(b->frames);
    nmk_arena_clear(&b->arena);
}

enum nmk_branch_outcome nmk_branch_solve(int64_t *values, struct nmk_bench *bench, const struct nmk_part *part)
{
    struct branching b = {.bench = bench, .part = part};
    enum nmk_branch_outcome outcome = NMK_BRANCH_UNSUITED;
    if (init(&b)) {
        uint64_t before = b.left;
        search(&b);
        if (nmk_work_step(&bench->work, before - b.left) && !b.is_unsuited && b.left && (b.has_best || !b.is_narrowed))
            outcome = b.has_best ? NMK_BRANCH_SOLVED : NMK_BRANCH_IMPOSSIBLE;
    }
    for (size_t j = 0; outcome == NMK_BRANCH_SOLVED && j < b.number_count; j++)
        values[part->unknowns[j]] = b.best[j];
    clear(&b);
    return outcome;
}
