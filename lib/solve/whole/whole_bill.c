#include "solve/whole/whole_bill.h"

enum { WORD = 64 };

static int64_t size_of(int64_t n)
{
    return n < 0 ? -n : n;
}

static int64_t way_of(nmk_price price)
{
    return (int64_t)(uint64_t)price;
}

/* ---- options ---- */

bool nmk_option_make(struct nmk_option *out, struct nmk_stand *s, const struct nmk_stand_need *d,
                     const struct nmk_stand_term *t)
{
    const struct nmk_stand_number *n = &s->numbers[t->number];
    bool up = (t->times > 0) == (d->value < d->least);
    if (up ? n->at >= n->high : n->at <= n->low)
        return false;
    nmk_price next = nmk_prices_ask(&s->prices, t->number, up ? n->at + 1 : n->at - 1);
    *out = (struct nmk_option){.number = t->number, .up = up, .from = n->at, .gives = size_of(t->times)};
    out->first = next - n->price;
    int64_t step = s->prices.all[t->number].step;
    out->saved = way_of(out->first) < step ? step - way_of(out->first) : 0;
    return true;
}

/* How far its number can go. */
static int64_t room_of(const struct nmk_stand_number *n, const struct nmk_option *o)
{
    if (!o->up)
        return n->at - n->low;
    return n->high == NMK_MODEL_OPEN ? INT64_MAX : n->high - n->at;
}

/* ---- the bill ---- */

/* Is a / b < c / d? b, d > 0; d 0: there is none yet. */
static bool is_less(int64_t a, int64_t b, int64_t c, int64_t d)
{
    return !d || (nmk_price)(uint64_t)a * (uint64_t)d < (nmk_price)(uint64_t)c * (uint64_t)b;
}

static void note_any(struct nmk_bill *b, int64_t way, int64_t gives)
{
    if (!is_less(way, gives, b->any_way, b->any_for_each))
        return;
    b->any_way = way;
    b->any_for_each = gives;
}

static void add_cheap(struct nmk_bill *b, const struct nmk_stand_number *n, const struct nmk_option *o, int64_t steps)
{
    int64_t room = room_of(n, o), sum = b->cheap_sum + (room < steps ? room * o->gives : b->lacks);
    b->cheap_sum = sum < b->lacks ? sum : b->lacks;
    note_any(b, way_of(o->first), o->gives);
    if (!is_less(way_of(o->first), o->gives, b->way, b->for_each))
        return;
    b->way = way_of(o->first);
    b->for_each = o->gives;
}

/* The larger first. */
static void note_saved(struct nmk_bill *b, int64_t saved)
{
    int64_t least = saved < b->saved[0] ? saved : b->saved[0];
    b->saved[0] = saved > b->saved[0] ? saved : b->saved[0];
    b->saved[1] = least > b->saved[1] ? least : b->saved[1];
}

static void add_dear(struct nmk_bill *b, const struct nmk_stand_number *n, const struct nmk_option *o, int64_t step,
                     int64_t steps)
{
    nmk_price later = o->first < b->dear[0] ? b->dear[0] : o->first;
    b->dear[0] = o->first < b->dear[0] ? o->first : b->dear[0];
    b->dear[1] = later < b->dear[1] ? later : b->dear[1];
    note_saved(b, o->saved);
    note_any(b, step, o->gives);
    nmk_price all = o->first + (nmk_price)(uint64_t)step * (uint64_t)(steps - 1);
    b->alone = room_of(n, o) >= steps && all < b->alone ? all : b->alone;
}

/* What everything lacking costs at the best of all rates, less what first steps save. */
static nmk_price way_for_all(const struct nmk_bill *b, int64_t saved)
{
    nmk_price way = (nmk_price)(uint64_t)b->lacks * (uint64_t)b->any_way / (uint64_t)b->any_for_each;
    return way > (uint64_t)saved ? way - (uint64_t)saved : 0;
}

static nmk_price greater(nmk_price a, nmk_price b)
{
    return a > b ? a : b;
}

/* Cheap options alone, if they can; else a dear one with them, or, without any, by itself or with a second. */
static nmk_price total_of(const struct nmk_bill *b)
{
    if (b->for_each && b->cheap_sum >= b->lacks)
        return (nmk_price)(uint64_t)b->lacks * (uint64_t)b->way / (uint64_t)b->for_each;
    if (b->dear[0] == NMK_PRICE_NONE)
        return NMK_PRICE_NONE;
    if (b->for_each)
        return greater(b->dear[0], (b->dear[0] >> WORD << WORD) + way_for_all(b, b->saved[0]));
    if (b->dear[1] == NMK_PRICE_NONE)
        return b->alone;
    nmk_price both = (b->dear[0] >> WORD << WORD) + (b->dear[1] >> WORD << WORD) + way_for_all(b, b->saved[0] + b->saved[1]);
    both = greater(both, b->dear[0] + b->dear[1]);
    return both < b->alone ? both : b->alone;
}

void nmk_bill_make(struct nmk_bill *b, struct nmk_stand *s, const struct nmk_stand_need *d)
{
    *b = (struct nmk_bill){.first = NMK_PRICE_NONE, .dear = {NMK_PRICE_NONE, NMK_PRICE_NONE}, .alone = NMK_PRICE_NONE};
    b->lacks = d->value < d->least ? d->least - d->value : d->value - d->most;
    for (uint32_t k = d->first; k < d->first + d->count; k++) {
        struct nmk_option o;
        if (!nmk_option_make(&o, s, d, &s->terms[k]))
            continue;
        int64_t steps = b->lacks / o.gives + (b->lacks % o.gives != 0);
        if (nmk_price_is_dear(o.first))
            add_dear(b, &s->numbers[o.number], &o, s->prices.all[o.number].step, steps);
        else
            add_cheap(b, &s->numbers[o.number], &o, steps);
        b->first = o.first < b->first ? o.first : b->first;
        b->options++;
    }
    b->total = total_of(b);
}

nmk_price nmk_bill_with(const struct nmk_bill *b, const struct nmk_option *o)
{
    nmk_price least = greater(o->first, b->total);
    if (!nmk_price_is_dear(o->first))
        return least;
    return greater(least, (o->first >> WORD << WORD) + way_for_all(b, o->saved));
}
