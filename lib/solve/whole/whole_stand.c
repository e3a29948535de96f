#include "solve/whole/whole_stand.h"

#include "base/memory.h"
#include "solve/whole/whole_best.h"

/* ---- moving ---- */

/* What a number adds to its needs; sign: +1, -1. */
static void count_in(struct nmk_stand *s, const struct nmk_stand_number *n, int64_t sign)
{
    bool open = n->high == NMK_MODEL_OPEN;
    for (uint32_t u = n->first_use; u < n->first_use + n->use_count; u++) {
        struct nmk_stand_need *d = &s->needs[s->uses[u].need];
        int64_t times = sign * s->uses[u].times;
        bool rising = s->uses[u].times > 0;
        d->value += times * n->at;
        *(rising ? &d->low : &d->high) += times * n->low;
        if (open)
            *(rising ? &d->open_high : &d->open_low) += (uint32_t)sign;
        else
            *(rising ? &d->high : &d->low) += times * n->high;
    }
}

static void enqueue(struct nmk_stand *s, uint32_t need)
{
    struct nmk_stand_need *d = &s->needs[need];
    if (d->is_queued)
        return;
    d->is_queued = true;
    size_t at = s->queue_first + s->queue_count++;
    s->queue[at < s->need_count ? at : at - s->need_count] = need;
}

static uint32_t dequeue(struct nmk_stand *s)
{
    uint32_t need = s->queue[s->queue_first];
    s->queue_first = s->queue_first + 1 < s->need_count ? s->queue_first + 1 : 0;
    s->queue_count--;
    return need;
}

static bool is_too_far(const struct nmk_stand *s, int64_t x)
{
    return x > s->far || x < -s->far;
}

static void note(struct nmk_stand *s, uint32_t number)
{
    void *trail = s->trail;
    nmk_memory_reserve(&trail, &s->trail_space, s->trail_count + 1, sizeof *s->trail);
    s->trail = trail;
    s->trail[s->trail_count++] = (struct nmk_stand_change){number, s->numbers[number]};
}

/* False if the interval is empty. */
static bool set_interval(struct nmk_stand *s, uint32_t number, int64_t low, int64_t high)
{
    struct nmk_stand_number *n = &s->numbers[number];
    if (low > high)
        return false;
    if (is_too_far(s, low) || (high != NMK_MODEL_OPEN && is_too_far(s, high))) {
        s->is_lost = true;
        return false;
    }
    note(s, number);
    count_in(s, n, -1);
    n->low = low;
    n->high = high;
    int64_t at = nmk_priced_in(&s->prices.all[number], low, high);
    if (at != n->at) {
        n->at = at;
        s->price = s->price - n->price;
        n->price = nmk_prices_ask(&s->prices, number, at);
        s->price = s->price + n->price;
    }
    count_in(s, n, 1);
    for (uint32_t u = n->first_use; u < n->first_use + n->use_count; u++)
        enqueue(s, s->uses[u].need);
    return true;
}

void nmk_stand_undo(struct nmk_stand *s, size_t count)
{
    while (s->trail_count > count) {
        const struct nmk_stand_change *c = &s->trail[--s->trail_count];
        struct nmk_stand_number *n = &s->numbers[c->number];
        count_in(s, n, -1);
        s->price = s->price - n->price + c->before.price;
        *n = c->before;
        count_in(s, n, 1);
    }
}

/* ---- tightening ---- */

static int64_t divide_down(int64_t a, int64_t b)
{
    return a / b - (a % b != 0 && (a < 0) != (b < 0));
}

/* least <= times * x <= most, where these are not open. */
static bool tighten(struct nmk_stand *s, const struct nmk_stand_term *t, int64_t least, int64_t most)
{
    const struct nmk_stand_number *n = &s->numbers[t->number];
    int64_t low = n->low, high = n->high, size = t->times < 0 ? -t->times : t->times;
    int64_t from = t->times > 0 ? least : most == INT64_MAX ? INT64_MIN : -most;
    int64_t to = t->times > 0 ? most : least == INT64_MIN ? INT64_MAX : -least;
    if (from != INT64_MIN && -divide_down(-from, size) > low)
        low = -divide_down(-from, size);
    if (to != INT64_MAX && divide_down(to, size) < high)
        high = divide_down(to, size);
    return (low == n->low && high == n->high) || set_interval(s, t->number, low, high);
}

static bool is_possible(const struct nmk_stand_need *d)
{
    return (d->open_high || d->high >= d->least) && (d->open_low || d->low <= d->most);
}

/* What the others leave of each of its terms. */
static bool look_at(struct nmk_stand *s, const struct nmk_stand_need *d)
{
    for (uint32_t k = d->first; k < d->first + d->count; k++) {
        const struct nmk_stand_term *t = &s->terms[k];
        const struct nmk_stand_number *n = &s->numbers[t->number];
        bool rising = t->times > 0, open_high = n->high == NMK_MODEL_OPEN && rising,
             open_low = n->high == NMK_MODEL_OPEN && !rising;
        int64_t own_low = open_low ? 0 : t->times * (rising ? n->low : n->high);
        int64_t own_high = open_high ? 0 : t->times * (rising ? n->high : n->low);
        int64_t least = INT64_MIN, most = INT64_MAX;
        if (d->least != INT64_MIN && d->open_high == open_high)
            least = d->least - (d->high - own_high);
        if (d->most != INT64_MAX && d->open_low == open_low)
            most = d->most - (d->low - own_low);
        bool tells =
            (least != INT64_MIN && (open_low || least > own_low)) || (most != INT64_MAX && (open_high || most < own_high));
        if (tells && !tighten(s, t, least, most))
            return false;
    }
    return is_possible(d);
}

/* The queue is empty afterwards. */
static bool propagate(struct nmk_stand *s)
{
    bool possible = true;
    while (s->queue_count) {
        struct nmk_stand_need *d = &s->needs[dequeue(s)];
        possible = possible && s->left && is_possible(d) && look_at(s, d); /* its own changes tell it nothing */
        d->is_queued = false;
        nmk_stand_look(s, d);
    }
    return possible;
}

bool nmk_stand_tighten(struct nmk_stand *s)
{
    for (uint32_t i = 0; i < s->need_count; i++)
        enqueue(s, i);
    return propagate(s);
}

bool nmk_stand_raise(struct nmk_stand *s, uint32_t number, int64_t low)
{
    const struct nmk_stand_number *n = &s->numbers[number];
    return (low <= n->low || set_interval(s, number, low, n->high)) && propagate(s);
}

bool nmk_stand_lower(struct nmk_stand *s, uint32_t number, int64_t high)
{
    const struct nmk_stand_number *n = &s->numbers[number];
    return (high >= n->high || set_interval(s, number, n->low, high)) && propagate(s);
}

/* ---- making it ---- */

static bool set_window(struct nmk_stand *s, struct nmk_stand_need *need, size_t demand)
{
    const struct nmk_model_demand *d = &s->bench->model.demands[demand];
    need->least = d->must_least;
    need->most = d->must_most;
    if (!s->any && !nmk_best_window(&need->least, &need->most, s->bench, demand)) {
        s->is_narrowed = true;
        return false;
    }
    s->is_narrowed = s->is_narrowed || need->least > d->must_least || need->most < d->must_most;
    return need->least <= need->most;
}

/* Counts the terms; sets how far numbers may go. */
static bool is_suited(struct nmk_stand *s, size_t *terms)
{
    const struct nmk_model *m = &s->bench->model;
    int64_t longest = 1;
    *terms = 0;
    for (size_t k = 0; k < s->part->demand_count; k++) {
        const struct nmk_model_demand *d = &m->demands[s->part->demands[k]];
        int64_t sum = 1;
        for (size_t t = 0; t < d->count; t++) {
            int64_t times = m->terms[d->first + t].low;
            if (!d->is_scaled || __builtin_add_overflow(sum, times < 0 ? -times : times, &sum))
                return false;
        }
        longest = sum > longest ? sum : longest;
        *terms += d->count;
    }
    s->far = NMK_MODEL_FAR / longest;
    return !s->part->remainder_count;
}

static bool set_numbers(struct nmk_stand *s)
{
    const struct nmk_model *m = &s->bench->model;
    for (uint32_t j = 0; j < s->number_count; j++) {
        size_t unknown = s->part->unknowns[j];
        struct nmk_stand_number *n = &s->numbers[j];
        s->bench->local[unknown] = j;
        n->low = m->low[unknown];
        n->high = m->high[unknown];
        if (n->low > n->high || is_too_far(s, n->low) || (n->high != NMK_MODEL_OPEN && is_too_far(s, n->high)))
            return false;
        n->at = nmk_priced_in(&s->prices.all[j], n->low, n->high);
        if (is_too_far(s, n->at))
            return false;
        n->price = nmk_prices_ask(&s->prices, j, n->at);
        s->price = s->price + n->price;
    }
    return !s->prices.is_lost;
}

static bool set_needs(struct nmk_stand *s)
{
    const struct nmk_model *m = &s->bench->model;
    uint32_t next = 0;
    for (uint32_t i = 0; i < s->need_count; i++) {
        const struct nmk_model_demand *d = &m->demands[s->part->demands[i]];
        struct nmk_stand_need *need = &s->needs[i];
        if (!set_window(s, need, s->part->demands[i]))
            return false;
        need->first = next;
        for (size_t t = 0; t < d->count; t++) {
            const struct nmk_model_term *from = &m->terms[d->first + t];
            if (!from->low)
                continue;
            s->terms[next++] = (struct nmk_stand_term){s->bench->local[from->unknown], from->low};
            s->numbers[s->bench->local[from->unknown]].use_count++;
            need->count++;
        }
    }
    return true;
}

static void list_uses(struct nmk_stand *s)
{
    uint32_t next = 0;
    for (uint32_t j = 0; j < s->number_count; j++) {
        s->numbers[j].first_use = next;
        next += s->numbers[j].use_count;
        s->numbers[j].use_count = 0;
    }
    for (uint32_t i = 0; i < s->need_count; i++)
        for (uint32_t k = s->needs[i].first; k < s->needs[i].first + s->needs[i].count; k++) {
            struct nmk_stand_number *n = &s->numbers[s->terms[k].number];
            s->uses[n->first_use + n->use_count++] = (struct nmk_stand_use){i, s->terms[k].times};
        }
    for (uint32_t j = 0; j < s->number_count; j++)
        count_in(s, &s->numbers[j], 1);
}

bool nmk_stand_init(struct nmk_stand *s, struct nmk_bench *bench, const struct nmk_part *part, uint64_t looks, bool any)
{
    size_t terms;
    *s = (struct nmk_stand){.bench = bench, .part = part, .left = looks, .any = any};
    if (!is_suited(s, &terms))
        return false;
    s->number_count = (uint32_t)part->unknown_count;
    s->need_count = (uint32_t)part->demand_count;
    struct nmk_priced *priced = nmk_arena_new(&s->arena, s->number_count, sizeof *priced);
    if (!nmk_prices_init(&s->prices, priced, bench->model.problem, part->unknowns, s->number_count, any))
        return false;
    s->numbers = nmk_arena_new(&s->arena, s->number_count, sizeof *s->numbers);
    s->needs = nmk_arena_new(&s->arena, s->need_count, sizeof *s->needs);
    s->queue = nmk_arena_new(&s->arena, s->need_count, sizeof *s->queue);
    s->terms = nmk_arena_new(&s->arena, terms, sizeof *s->terms);
    s->uses = nmk_arena_new(&s->arena, terms, sizeof *s->uses);
    if (!set_numbers(s) || !set_needs(s))
        return false;
    list_uses(s);
    return true;
}

void nmk_stand_clear(struct nmk_stand *s)
{
    nmk_memory_free(s->trail);
    nmk_arena_clear(&s->arena);
}
