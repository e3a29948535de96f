/* Intervals: with R = least - (the most that the other terms can give), a term c x has c x >= R; and likewise above.
 * An unknown whose interval keeps shrinking is left alone after CHANGES times, since x >= y + 1, y >= x + 1 would go on
 * for ever: stopping early is always right. */
#include "solve/whole/whole_bounds.h"

#include "base/memory.h"

typedef __int128 wide;

enum { CHANGES = 64 };

static bool has_bound(const struct nmk_model_demand *d)
{
    return d->must_least != INT64_MIN || d->must_most != INT64_MAX;
}

struct activity {
    wide low, high; /* of the finite terms */
    size_t open_low, open_high;
};

struct span {
    wide low, high;
    bool open_low, open_high;
};

static wide min4(wide a, wide b, wide c, wide d)
{
    wide x = a < b ? a : b, y = c < d ? c : d;
    return x < y ? x : y;
}

static struct span span_of(const struct nmk_model_term *t, const int64_t *low, const int64_t *high)
{
    if (t->table_low)
        return (struct span){.low = t->least, .high = t->most};
    int64_t l = low[t->unknown], h = high[t->unknown], a = t->low, b = t->high;
    bool open = h == NMK_MODEL_OPEN;
    if (open)
        h = l;
    wide al = (wide)a * l, ah = (wide)a * h;
    struct span s = {.low = al, .high = ah, .open_low = open && a < 0, .open_high = open && b > 0};
    if (a == b && al > ah)
        s = (struct span){ah, al, s.open_low, s.open_high};
    if (a != b) {
        wide bl = (wide)b * l, bh = (wide)b * h;
        s.low = min4(al, bl, ah, bh);
        s.high = -min4(-al, -bl, -ah, -bh);
    }
    return s;
}

static struct activity activity_of(const struct nmk_model *m, const struct nmk_model_demand *d, const int64_t *low,
                                   const int64_t *high)
{
    struct activity all = {0};
    for (size_t k = 0; k < d->count; k++) {
        struct span s = span_of(&m->terms[d->first + k], low, high);
        all.low += s.open_low ? 0 : s.low;
        all.high += s.open_high ? 0 : s.high;
        all.open_low += s.open_low;
        all.open_high += s.open_high;
    }
    return all;
}

static void exchange(struct activity *all, const struct span *old, const struct span *now)
{
    all->low += (now->open_low ? 0 : now->low) - (old->open_low ? 0 : old->low);
    all->high += (now->open_high ? 0 : now->high) - (old->open_high ? 0 : old->high);
    all->open_low += (size_t)now->open_low - (size_t)old->open_low;
    all->open_high += (size_t)now->open_high - (size_t)old->open_high;
}

static wide divide_down(wide a, wide b)
{
    if (a == (int64_t)a && b == (int64_t)b && a != INT64_MIN)
        return (int64_t)a / (int64_t)b - ((int64_t)a % (int64_t)b != 0 && (a < 0) != (b < 0));
    wide q = a / b;
    return q * b != a && (a < 0) != (b < 0) ? q - 1 : q;
}

static wide divide_up(wide a, wide b)
{
    return -divide_down(-a, b);
}

/* c x >= need for some c in [a, b]: moves *low up or *high down. Nothing follows if c may be 0. */
static void apply(wide *low, wide *high, wide a, wide b, wide need)
{
    if (a > 0) {
        wide least = divide_up(need, need > 0 ? b : a);
        *low = least > *low ? least : *low;
    } else if (b < 0) {
        wide most = divide_down(need, need > 0 ? a : b);
        *high = most < *high ? most : *high;
    }
}

static void narrow(wide *low, wide *high, const struct nmk_model_demand *d, const struct nmk_model_term *t,
                   const struct activity *all, const struct span *own)
{
    if (d->must_least != INT64_MIN && all->open_high == own->open_high)
        apply(low, high, t->low, t->high, d->must_least - (all->high - (own->open_high ? 0 : own->high)));
    if (d->must_most != INT64_MAX && all->open_low == own->open_low)
        apply(low, high, -(wide)t->high, -(wide)t->low, (all->low - (own->open_low ? 0 : own->low)) - d->must_most);
}

static int64_t clamp(wide x)
{
    const wide far = (wide)NMK_MODEL_FAR + 1;
    return (int64_t)(x > far ? far : x < -far ? -far : x);
}

void nmk_bounds_of_term(int64_t *low_out, int64_t *high_out, const struct nmk_model *m, size_t demand, size_t term,
                        const int64_t *low, const int64_t *high)
{
    const struct nmk_model_demand *d = &m->demands[demand];
    const struct nmk_model_term *t = &m->terms[d->first + term];
    wide l = low[t->unknown], h = high[t->unknown];
    if (has_bound(d) && !t->table_low) {
        struct activity all = activity_of(m, d, low, high);
        struct span own = span_of(t, low, high);
        narrow(&l, &h, d, t, &all, &own);
    }
    *low_out = clamp(l);
    *high_out = h == NMK_MODEL_OPEN ? NMK_MODEL_OPEN : clamp(h);
}

void nmk_bounds_init(struct nmk_bounds *q, const struct nmk_whole_problem *p)
{
    *q = (struct nmk_bounds){.space = p->demand_count + 1};
    q->items = nmk_memory_new(q->space, sizeof *q->items);
    q->has = nmk_memory_new(q->space, sizeof *q->has);
    q->changes = nmk_memory_new(p->unknown_count, sizeof *q->changes);
    q->changed = nmk_memory_new(p->unknown_count, sizeof *q->changed);
}

void nmk_bounds_clear(struct nmk_bounds *q)
{
    nmk_memory_free(q->items);
    nmk_memory_free(q->has);
    nmk_memory_free(q->changes);
    nmk_memory_free(q->changed);
    *q = (struct nmk_bounds){0};
}

/* What `has` says of a demand: another one is none of ours. */
enum { OURS = 1, WAITING = 2 };

static void push(struct nmk_bounds *q, size_t demand)
{
    if (q->has[demand] != OURS)
        return;
    q->has[demand] = WAITING;
    size_t at = q->first + q->count++;
    q->items[at < q->space ? at : at - q->space] = demand;
}

static size_t pop(struct nmk_bounds *q)
{
    size_t demand = q->items[q->first];
    q->first = q->first + 1 < q->space ? q->first + 1 : 0;
    q->count--;
    q->has[demand] = OURS;
    return demand;
}

static void push_uses(struct nmk_bounds *q, const struct nmk_model *m, size_t unknown)
{
    for (size_t u = m->use_first[unknown]; u < m->use_first[unknown + 1]; u++)
        push(q, m->uses[u]);
}

static void note_change(struct nmk_bounds *q, const struct nmk_model *m, size_t unknown)
{
    if (q->changes[unknown] >= CHANGES)
        return;
    if (!q->changes[unknown]++)
        q->changed[q->changed_count++] = unknown;
    push_uses(q, m, unknown);
}

static bool set_interval(struct nmk_model *m, struct nmk_bounds *q, size_t unknown, wide low, wide high)
{
    if (low == m->low[unknown] && high == m->high[unknown])
        return true;
    if (low > high && high != NMK_MODEL_OPEN)
        return false;
    int64_t near_low = low > NMK_MODEL_FAR ? NMK_MODEL_FAR : clamp(low); /* beyond it nothing is looked for */
    int64_t near_high = high > NMK_MODEL_FAR ? NMK_MODEL_OPEN : clamp(high);
    if (near_high < -NMK_MODEL_FAR)
        near_high = -NMK_MODEL_FAR;
    if (near_low == m->low[unknown] && near_high == m->high[unknown])
        return true;
    m->low[unknown] = near_low;
    m->high[unknown] = near_high;
    note_change(q, m, unknown);
    return true;
}

/* Can demand d be met at all, and what does it leave of each of its unknowns? */
static bool look_at(struct nmk_model *m, struct nmk_work *work, struct nmk_bounds *q, const struct nmk_model_demand *d)
{
    struct activity all = activity_of(m, d, m->low, m->high);
    if (d->must_least > d->must_most || (!all.open_high && all.high < d->must_least) ||
        (!all.open_low && all.low > d->must_most))
        return false;
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_model_term *t = &m->terms[d->first + k];
        if (t->table_low || q->changes[t->unknown] >= CHANGES)
            continue;
        struct span own = span_of(t, m->low, m->high);
        wide low = m->low[t->unknown], high = m->high[t->unknown];
        narrow(&low, &high, d, t, &all, &own);
        if (low == m->low[t->unknown] && high == m->high[t->unknown])
            continue;
        if (!set_interval(m, q, t->unknown, low, high))
            return false;
        struct span now = span_of(t, m->low, m->high);
        exchange(&all, &own, &now);
    }
    return nmk_work_step(work, d->count + 1);
}

bool nmk_bounds_tighten(struct nmk_bounds *q, struct nmk_model *m, const size_t *demands, size_t count, struct nmk_work *work)
{
    for (size_t k = 0; k < count; k++)
        q->has[demands[k]] = has_bound(&m->demands[demands[k]]) ? OURS : 0;
    for (size_t k = 0; k < count; k++)
        push(q, demands[k]);
    bool ok = true;
    while (ok && q->count)
        ok = look_at(m, work, q, &m->demands[pop(q)]);
    for (size_t k = 0; k < count; k++)
        q->has[demands[k]] = 0;
    for (size_t k = 0; k < q->changed_count; k++)
        q->changes[q->changed[k]] = 0;
    q->first = q->count = q->changed_count = 0;
    return ok;
}
