#include "solve/whole/whole_branch.h"

#include <string.h>

#include "base/memory.h"
#include "solve/whole/whole_bill.h"

#ifdef NMK_STRESS
enum { EFFORT = 0, LEAST_EFFORT = 12, MOST_EFFORT = 12 };
#else
enum {
    EFFORT = 200,        /* so many looks at a demand for each unknown and each demand, for long ones more, and: */
    LEAST_EFFORT = 1000,
    MOST_EFFORT = 1 << 21
};
#endif

/* One case for each option. */
struct frame {
    size_t first, count, next; /* options */
    size_t base, mark;         /* how long the trail was before it, and before its present case */
    nmk_price price;           /* before it */
};

struct unmet {
    uint32_t need;
    struct nmk_bill bill;
};

struct branching {
    struct nmk_stand stand;
    bool any; /* the first is good enough */
    struct nmk_option *options;
    size_t option_count, option_space;
    struct frame *frames;
    size_t frame_count, frame_space;
    struct unmet *unmet; /* room for all needs */
    size_t unmet_count;
    bool *is_taken; /* numbers */
    int64_t *best;
    nmk_price best_price;
    bool has_best;
};

/* ---- needs that are not met ---- */

/* The unmet need whose first step is dearest, of equals that with the fewest options; UINT32_MAX: all are met. Lists them. */
static struct unmet find_dearest(struct branching *b)
{
    struct unmet found = {.need = UINT32_MAX};
    b->unmet_count = 0;
    for (uint32_t i = 0; i < b->stand.need_count; i++) {
        const struct nmk_stand_need *d = &b->stand.needs[i];
        if (nmk_stand_is_met(d))
            continue;
        struct unmet u = {.need = i};
        nmk_bill_make(&u.bill, &b->stand, d);
        nmk_stand_look(&b->stand, d);
        b->unmet[b->unmet_count++] = u;
        if (found.need == UINT32_MAX || u.bill.first > found.bill.first ||
            (u.bill.first == found.bill.first && u.bill.options < found.bill.options))
            found = u;
    }
    return found;
}

/* Takes the numbers of a need if none of them is taken. */
static bool take_numbers(struct branching *b, const struct nmk_stand_need *d)
{
    for (uint32_t k = d->first; k < d->first + d->count; k++)
        if (b->is_taken[b->stand.terms[k].number])
            return false;
    for (uint32_t k = d->first; k < d->first + d->count; k++)
        b->is_taken[b->stand.terms[k].number] = true;
    return true;
}

static void sort_unmet(struct branching *b)
{
    for (size_t k = 1; k < b->unmet_count; k++) {
        struct unmet u = b->unmet[k];
        size_t at = k;
        for (; at > 0 && b->unmet[at - 1].bill.total < u.bill.total; at--)
            b->unmet[at] = b->unmet[at - 1];
        b->unmet[at] = u;
    }
}

/* Unmet needs without a common number cost as much more as each by itself; the dearest are taken first. */
static nmk_price more_in_all(struct branching *b)
{
    nmk_price sum = 0;
    memset(b->is_taken, 0, b->stand.number_count * sizeof *b->is_taken);
    sort_unmet(b);
    for (size_t k = 0; k < b->unmet_count; k++)
        if (take_numbers(b, &b->stand.needs[b->unmet[k].need]))
            sum = sum + b->unmet[k].bill.total;
    return sum;
}

/* ---- the best ---- */

/* The smallest that a number can be for so much more: each step down costs no less than the first. */
static int64_t least_for(struct branching *b, uint32_t number, nmk_price more)
{
    const struct nmk_stand_number *n = &b->stand.numbers[number];
    if (n->at == n->low)
        return n->at;
    nmk_price step = nmk_prices_ask(&b->stand.prices, number, n->at - 1) - n->price;
    if (step > more)
        return n->at;
    nmk_price room = (nmk_price)(n->at - n->low);
    return nmk_price_is_dear(step) || !step || more / step >= room ? n->low : n->at - (int64_t)(more / step);
}

/* May what is here, for so much more, be better than the best? Of equal prices it is if an earlier number can be smaller. */
static bool is_promising(struct branching *b, nmk_price more)
{
    if (!b->has_best || b->stand.price + more < b->best_price)
        return true;
    if (b->stand.price + more > b->best_price)
        return false;
    for (uint32_t j = 0; j < b->stand.number_count; j++) {
        int64_t x = least_for(b, j, more);
        if (x != b->best[j])
            return x < b->best[j];
    }
    return false;
}

static void note_best(struct branching *b)
{
    for (uint32_t j = 0; j < b->stand.number_count; j++)
        b->best[j] = b->stand.numbers[j].at;
    b->best_price = b->stand.price;
    b->has_best = true;
}

/* ---- the search ---- */

/* The cheapest first; of equals the one that makes an earlier number small, or leaves it so. */
static bool is_after(const struct nmk_option *a, const struct nmk_option *b)
{
    return a->more != b->more ? a->more > b->more : b->up && a->number < b->number;
}

static void add_option(struct branching *b, struct frame *f, struct nmk_option o)
{
    void *options = b->options;
    nmk_memory_reserve(&options, &b->option_space, b->option_count + 1, sizeof *b->options);
    b->options = options;
    size_t at = b->option_count++;
    for (; at > f->first && is_after(&b->options[at - 1], &o); at--)
        b->options[at] = b->options[at - 1];
    b->options[at] = o;
    f->count++;
}

static void push_frame(struct branching *b, const struct unmet *u)
{
    const struct nmk_stand_need *d = &b->stand.needs[u->need];
    void *frames = b->frames;
    nmk_memory_reserve(&frames, &b->frame_space, b->frame_count + 1, sizeof *b->frames);
    b->frames = frames;
    struct frame *f = &b->frames[b->frame_count++];
    size_t trail = b->stand.trail_count;
    *f = (struct frame){.first = b->option_count, .base = trail, .mark = trail, .price = b->stand.price};
    for (uint32_t k = d->first; k < d->first + d->count; k++) {
        struct nmk_option o;
        if (!nmk_option_make(&o, &b->stand, d, &b->stand.terms[k]))
            continue;
        o.more = nmk_bill_with(&u->bill, &o);
        add_option(b, f, o);
    }
}

static void pop_frame(struct branching *b)
{
    struct frame *f = &b->frames[--b->frame_count];
    nmk_stand_undo(&b->stand, f->base);
    b->option_count = f->first;
}

static void open_node(struct branching *b)
{
    b->stand.left -= b->stand.left > 0;
    if (!is_promising(b, 0))
        return;
    struct unmet dearest = find_dearest(b);
    if (dearest.need == UINT32_MAX)
        note_best(b);
    else if (!b->has_best || is_promising(b, more_in_all(b)))
        push_frame(b, &dearest);
}

static bool move(struct branching *b, const struct nmk_option *o)
{
    return o->up ? nmk_stand_raise(&b->stand, o->number, o->from + 1) : nmk_stand_lower(&b->stand, o->number, o->from - 1);
}

/* The number of a case that is done stays from now on. */
static bool stay(struct branching *b, const struct nmk_option *o)
{
    return o->up ? nmk_stand_lower(&b->stand, o->number, o->from) : nmk_stand_raise(&b->stand, o->number, o->from);
}

/* The next case of the last frame. */
static void go_on(struct branching *b)
{
    struct frame *f = &b->frames[b->frame_count - 1];
    nmk_stand_undo(&b->stand, f->mark);
    const struct nmk_option *o = &b->options[f->first + f->next];
    bool is_done = f->next == f->count || (f->next && !stay(b, o - 1));
    if (is_done || (b->has_best && f->price + o->more > b->best_price)) { /* those behind it cost no less */
        pop_frame(b);
        return;
    }
    f->mark = b->stand.trail_count;
    f->next++;
    if (move(b, o))
        open_node(b);
}

static void search(struct branching *b)
{
    if (nmk_stand_tighten(&b->stand))
        open_node(b);
    while (b->frame_count && !nmk_stand_is_over(&b->stand) && !(b->any && b->has_best))
        go_on(b);
}

static enum nmk_branch_outcome outcome_of(const struct branching *b)
{
    if (nmk_stand_is_over(&b->stand))
        return NMK_BRANCH_UNSUITED;
    if (b->has_best)
        return NMK_BRANCH_SOLVED;
    return b->stand.is_narrowed ? NMK_BRANCH_UNSUITED : NMK_BRANCH_IMPOSSIBLE;
}

static enum nmk_branch_outcome solve(int64_t *values, struct branching *b, uint64_t looks)
{
    struct nmk_stand *s = &b->stand;
    b->any = s->bench->model.problem->any;
    b->unmet = nmk_arena_new(&s->arena, s->need_count, sizeof *b->unmet);
    b->is_taken = nmk_arena_new(&s->arena, s->number_count, sizeof *b->is_taken);
    b->best = nmk_arena_new(&s->arena, s->number_count, sizeof *b->best);
    search(b);
    enum nmk_branch_outcome outcome = outcome_of(b);
    if (!nmk_work_step(&s->bench->work, looks - s->left))
        outcome = NMK_BRANCH_UNSUITED;
    for (uint32_t j = 0; outcome == NMK_BRANCH_SOLVED && j < s->number_count; j++)
        values[s->part->unknowns[j]] = b->best[j];
    nmk_memory_free(b->options);
    nmk_memory_free(b->frames);
    return outcome;
}

/* Not all can be sure: can they be met at all? */
static bool is_impossible(struct nmk_bench *bench, const struct nmk_part *part, uint64_t looks)
{
    struct nmk_stand s;
    bool impossible = nmk_stand_init(&s, bench, part, looks, true) && !nmk_stand_tighten(&s) && !nmk_stand_is_over(&s);
    (void)nmk_work_step(&bench->work, looks - s.left);
    nmk_stand_clear(&s);
    return impossible;
}

/* Tables of long demands take very long, so that more effort is worth while. */
static uint64_t effort_for(const struct nmk_bench *bench, const struct nmk_part *part)
{
    uint64_t sum = part->unknown_count;
    for (size_t k = 0; k < part->demand_count && sum < MOST_EFFORT; k++) {
        uint64_t count = bench->model.demands[part->demands[k]].count;
        sum += 1 + (count < MOST_EFFORT ? count * count / 8 : MOST_EFFORT);
    }
    uint64_t looks = LEAST_EFFORT + EFFORT * sum;
    return looks < MOST_EFFORT ? looks : MOST_EFFORT;
}

enum nmk_branch_outcome nmk_branch_solve(int64_t *values, struct nmk_bench *bench, const struct nmk_part *part)
{
    struct branching b = {0};
    uint64_t looks = effort_for(bench, part);
    enum nmk_branch_outcome outcome = NMK_BRANCH_UNSUITED;
    if (nmk_stand_init(&b.stand, bench, part, looks, bench->model.problem->any))
        outcome = solve(values, &b, looks);
    if (outcome == NMK_BRANCH_UNSUITED && b.stand.is_narrowed && is_impossible(bench, part, looks))
        outcome = NMK_BRANCH_IMPOSSIBLE;
    nmk_stand_clear(&b.stand);
    return outcome;
}
