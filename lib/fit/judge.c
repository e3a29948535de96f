#include "fit/judge.h"

#include <stdlib.h>
#include <string.h>

#include "base/diagnose.h"
#include "base/memory.h"
#include "fit/cases.h"

/* Widths that many demands share, with their chance and how much slack makes them sure. */
struct shape {
    struct nmk_rat *widths;
    size_t count;
    struct nmk_chance *chance;
    struct nmk_rat let_down[2], slack[2]; /* [0] one bound, [1] two: the last question asked and its answer */
    bool known[2];
};

struct judged {
    struct nmk_cases cases;
    struct shape **shapes; /* by case; borrowed */
};

struct nmk_judge {
    const struct nmk_clearances *clearances;
    const struct nmk_widths *more; /* by demand, or NULL */
    struct judged *demands;
    struct shape **table; /* open addressing, a power of two */
    size_t table_size, table_used;
};

void nmk_view_clear(struct nmk_view *view)
{
    nmk_rat_clear(&view->least);
    nmk_rat_clear(&view->nominal);
    nmk_rat_clear(&view->most);
    nmk_rat_clear(&view->chance);
}

/* ---- shapes ---- */

static uint64_t hash_widths(const struct nmk_rat *widths, size_t count)
{
    uint64_t hash = 1469598103934665603u + count;
    for (size_t i = 0; i < count; i++)
        hash = (hash ^ nmk_rat_hash(&widths[i])) * 1099511628211u;
    return hash;
}

static struct shape **find_shape(const struct nmk_judge *j, const struct nmk_rat *widths, size_t count)
{
    size_t i = (size_t)hash_widths(widths, count) & (j->table_size - 1);
    while (j->table[i] && nmk_widths_cmp(j->table[i]->widths, j->table[i]->count, widths, count))
        i = (i + 1) & (j->table_size - 1);
    return &j->table[i];
}

static void grow_table(struct nmk_judge *j)
{
    struct shape **old = j->table;
    size_t old_size = j->table_size;
    j->table_size = old_size ? 2 * old_size : 64;
    j->table = nmk_memory_new(j->table_size, sizeof(struct shape *));
    for (size_t i = 0; i < old_size; i++)
        if (old[i])
            *find_shape(j, old[i]->widths, old[i]->count) = old[i];
    nmk_memory_free(old);
}

static void free_shape(struct shape *shape)
{
    if (!shape)
        return;
    nmk_widths_free(shape->widths, shape->count);
    nmk_chance_free(shape->chance);
    for (int i = 0; i < 2; i++) {
        nmk_rat_clear(&shape->let_down[i]);
        nmk_rat_clear(&shape->slack[i]);
    }
    nmk_memory_free(shape);
}

static enum nmk_status new_shape(struct shape **out, struct nmk_rat *widths, size_t count)
{
    struct shape *shape = nmk_memory_new(1, sizeof *shape);
    shape->widths = widths;
    shape->count = count;
    enum nmk_status status = nmk_chance_new(&shape->chance, widths, count);
    if (status == NMK_OK)
        *out = shape;
    else
        free_shape(shape);
    return status;
}

static size_t widths_of(struct nmk_rat **out, const struct nmk_judge *j, size_t demand, const struct nmk_errors *errors)
{
    return nmk_errors_widths(out, errors, j->more ? j->more[demand].all : NULL, j->more ? j->more[demand].count : 0);
}

/* The shape of a case in a column: from the table, or made and put there. */
static enum nmk_status take_shape(struct shape **out, struct nmk_judge *j, size_t demand, const struct nmk_errors *errors)
{
    struct nmk_rat *widths;
    size_t count = widths_of(&widths, j, demand, errors);
    if (2 * (j->table_used + 1) > j->table_size)
        grow_table(j);
    struct shape **place = find_shape(j, widths, count);
    if (*place) {
        nmk_widths_free(widths, count);
        *out = *place;
        return NMK_OK;
    }
    enum nmk_status status = new_shape(place, widths, count);
    if (status == NMK_OK) {
        j->table_used++;
        *out = *place;
    }
    return status;
}

/* ---- making a judge ---- */

static enum nmk_status judge_demand(struct nmk_judge *j, size_t i, const struct nmk_sizes *rounded)
{
    const struct nmk_clearance *clearance = &j->clearances->all[i];
    struct judged *d = &j->demands[i];
    enum nmk_status status = nmk_cases_new(&d->cases, clearance, rounded);
    if (status != NMK_OK)
        return status;
    d->shapes = nmk_memory_new(d->cases.count, sizeof(struct shape *));
    for (size_t k = 0; k < d->cases.count && status == NMK_OK; k++) {
        struct nmk_errors errors;
        nmk_errors_new(&errors, clearance, nmk_cases_picks(&d->cases, k), d->cases.pick_count, rounded);
        status = take_shape(&d->shapes[k], j, i, &errors);
        nmk_errors_free(&errors);
    }
    return status;
}

enum nmk_status nmk_judge_new(struct nmk_judge **out, const struct nmk_clearances *clearances, const struct nmk_sizes *rounded,
                              const struct nmk_widths *more, struct nmk_diagnostics *list)
{
    struct nmk_judge *j = nmk_memory_new(1, sizeof *j);
    enum nmk_status status = NMK_OK;
    j->clearances = clearances;
    j->more = more;
    j->demands = nmk_memory_new(clearances->count, sizeof *j->demands);
    for (size_t i = 0; i < clearances->count && status == NMK_OK; i++) {
        status = judge_demand(j, i, rounded);
        if (status != NMK_OK) {
            const struct nmk_demand *demand = nmk_design_demand(nmk_draft_design(clearances->draft), i);
            nmk_diagnostics_say(list, false, "too-many-stretches", demand->span, "split it into several demands",
                                "this demand holds for too many stretches of card at once");
        }
    }
    if (status == NMK_OK)
        *out = j;
    else
        nmk_judge_free(j);
    return status;
}

void nmk_judge_free(struct nmk_judge *judge)
{
    if (!judge)
        return;
    for (size_t i = 0; i < judge->clearances->count; i++) {
        nmk_cases_free(&judge->demands[i].cases);
        nmk_memory_free(judge->demands[i].shapes);
    }
    for (size_t i = 0; i < judge->table_size; i++)
        free_shape(judge->table[i]);
    nmk_memory_free(judge->table);
    nmk_memory_free(judge->demands);
    nmk_memory_free(judge);
}

/* ---- views ---- */

static void view_exact(struct nmk_view *v)
{
    bool met = nmk_rat_is_zero(&v->nominal);
    nmk_rat_set(&v->least, &v->nominal);
    nmk_rat_set(&v->most, &v->nominal);
    nmk_rat_set_int(&v->chance, met);
    v->state = met ? NMK_HOLDS : NMK_UNEVEN;
}

static void view_shape(struct nmk_view *v, const struct nmk_clearance *c, const struct shape *shape, const struct nmk_rat *sure)
{
    const struct nmk_rat *reach = nmk_chance_reach(shape->chance);
    nmk_rat_sub(&v->least, &v->nominal, reach);
    nmk_rat_add(&v->most, &v->nominal, reach);
    if ((!c->low || nmk_rat_cmp(c->low, &v->least) <= 0) && (!c->high || nmk_rat_cmp(&v->most, c->high) <= 0))
        nmk_rat_set_int(&v->chance, 1); /* always */
    else
        nmk_chance_within(&v->chance, shape->chance, &v->nominal, c->low, c->high);
    if (c->low && nmk_rat_cmp(&v->nominal, c->low) < 0)
        v->state = NMK_TOO_TIGHT;
    else if (c->high && nmk_rat_cmp(&v->nominal, c->high) > 0)
        v->state = NMK_TOO_LOOSE;
    else
        v->state = nmk_rat_cmp(&v->chance, sure) >= 0 ? NMK_HOLDS : NMK_AT_RISK;
}

/* min(least - low, high - most); NULL bounds do not count. false: both are open. */
static bool slack(struct nmk_rat *out, const struct nmk_clearance *c, const struct nmk_view *v)
{
    struct nmk_rat other = {0};
    bool any = false;
    if (c->low) {
        nmk_rat_sub(out, &v->least, c->low);
        any = true;
    }
    if (c->high) {
        nmk_rat_sub(&other, c->high, &v->most);
        if (!any || nmk_rat_cmp(&other, out) < 0)
            nmk_rat_swap(out, &other);
        any = true;
    }
    nmk_rat_clear(&other);
    return any;
}

static int compare_slack(const struct nmk_clearance *c, const struct nmk_view *a, const struct nmk_view *b)
{
    struct nmk_rat slack_a = {0}, slack_b = {0};
    int order = 0;
    if (slack(&slack_a, c, a) && slack(&slack_b, c, b))
        order = nmk_rat_cmp(&slack_a, &slack_b);
    nmk_rat_clear(&slack_a);
    nmk_rat_clear(&slack_b);
    return order;
}

static int compare_range(const struct nmk_view *a, const struct nmk_view *b)
{
    struct nmk_rat range_a = {0}, range_b = {0};
    nmk_rat_sub(&range_a, &a->most, &a->least);
    nmk_rat_sub(&range_b, &b->most, &b->least);
    int order = nmk_rat_cmp(&range_a, &range_b);
    nmk_rat_clear(&range_a);
    nmk_rat_clear(&range_b);
    return order;
}

static bool is_worse(const struct nmk_clearance *c, const struct nmk_view *a, const struct nmk_view *b)
{
    if (a->state != b->state)
        return a->state > b->state;
    int order = nmk_rat_cmp(&a->chance, &b->chance);
    if (!order)
        order = -compare_range(a, b);
    if (!order)
        order = compare_slack(c, a, b);
    if (!order)
        order = nmk_rat_cmp(&a->nominal, &b->nominal);
    return order < 0;
}

static void set_nominal(struct nmk_rat *out, const struct nmk_judge *j, size_t demand, size_t k, const struct nmk_sizes *sizes)
{
    const struct judged *d = &j->demands[demand];
    nmk_errors_nominal(out, &j->clearances->all[demand].form, nmk_cases_picks(&d->cases, k), d->cases.pick_count, sizes);
}

/* The rest of a view, from its nominal. An enclosed constant's error grows with what it multiplies, so that its shape is
 * the column's own. */
static enum nmk_status view_case(struct nmk_view *v, const struct nmk_judge *j, size_t demand, size_t k,
                                 const struct nmk_sizes *sizes, const struct nmk_rat *sure)
{
    const struct nmk_clearance *c = &j->clearances->all[demand];
    const struct judged *d = &j->demands[demand];
    if (nmk_design_demand(nmk_draft_design(sizes->draft), demand)->exact) {
        view_exact(v);
        return NMK_OK;
    }
    if (!c->product_count) {
        view_shape(v, c, d->shapes[k], sure);
        return NMK_OK;
    }
    struct nmk_errors errors;
    struct nmk_rat *widths;
    struct shape *shape = NULL;
    nmk_errors_new(&errors, c, nmk_cases_picks(&d->cases, k), d->cases.pick_count, sizes);
    size_t count = widths_of(&widths, j, demand, &errors);
    enum nmk_status status = new_shape(&shape, widths, count);
    if (status == NMK_OK)
        view_shape(v, c, shape, sure);
    free_shape(shape);
    nmk_errors_free(&errors);
    return status;
}

/* Cases that differ in what they are called alone: most do, where a panel stands several times. */
static bool is_alike(const struct nmk_judge *j, size_t demand, size_t k, const struct nmk_rat *nominal, size_t other,
                     const struct nmk_rat *other_nominal)
{
    const struct judged *d = &j->demands[demand];
    return !j->clearances->all[demand].product_count && d->shapes[k] == d->shapes[other] &&
           nmk_rat_equal(nominal, other_nominal);
}

enum nmk_status nmk_judge_view(struct nmk_view *out, size_t *which, const struct nmk_judge *judge, size_t demand,
                               const struct nmk_sizes *sizes, const struct nmk_rat *sure)
{
    struct nmk_view worst = {0}, v = {0};
    size_t worst_case = 0;
    set_nominal(&worst.nominal, judge, demand, 0, sizes);
    enum nmk_status status = view_case(&worst, judge, demand, 0, sizes, sure);
    for (size_t k = 1; k < judge->demands[demand].cases.count && status == NMK_OK; k++) {
        set_nominal(&v.nominal, judge, demand, k, sizes);
        if (is_alike(judge, demand, k, &v.nominal, worst_case, &worst.nominal))
            continue;
        status = view_case(&v, judge, demand, k, sizes, sure);
        if (status == NMK_OK && is_worse(&judge->clearances->all[demand], &v, &worst)) {
            struct nmk_view better = worst;
            worst = v;
            v = better;
            worst_case = k;
        }
    }
    if (status == NMK_OK) {
        struct nmk_view old = *out;
        *out = worst;
        worst = old;
        if (which)
            *which = worst_case;
    }
    nmk_view_clear(&worst);
    nmk_view_clear(&v);
    return status;
}

/* ---- grades ---- */

void nmk_judge_grade(struct nmk_rat *out, const struct nmk_judge *judge, size_t demand, const struct nmk_rat *nominal,
                     const struct nmk_rat *sure)
{
    const struct nmk_clearance *c = &judge->clearances->all[demand];
    const struct judged *d = &judge->demands[demand];
    struct nmk_rat chance = {0}, least = {0};
    nmk_rat_set_int(&least, 1);
    for (size_t k = 0; k < d->cases.count; k++) {
        bool seen = false;
        for (size_t i = 0; i < k && !seen; i++)
            seen = d->shapes[i] == d->shapes[k];
        if (seen)
            continue;
        nmk_chance_within(&chance, d->shapes[k]->chance, nominal, c->low, c->high);
        if (nmk_rat_cmp(&chance, &least) < 0)
            nmk_rat_swap(&least, &chance);
    }
    if (nmk_rat_cmp(&least, sure) >= 0)
        nmk_rat_set_int(&least, 1);
    nmk_rat_swap(out, &least);
    nmk_rat_clear(&chance);
    nmk_rat_clear(&least);
}

void nmk_judge_reach(struct nmk_rat *out, const struct nmk_judge *judge, size_t demand)
{
    const struct judged *d = &judge->demands[demand];
    const struct nmk_rat *most = nmk_chance_reach(d->shapes[0]->chance);
    for (size_t k = 1; k < d->cases.count; k++)
        if (nmk_rat_cmp(nmk_chance_reach(d->shapes[k]->chance), most) > 0)
            most = nmk_chance_reach(d->shapes[k]->chance);
    nmk_rat_set(out, most);
}

/* A slack t, from above and within W / 2^16 of the smallest, with P(S <= -t) <= let_down. */
static void find_slack(struct nmk_rat *out, const struct nmk_chance *chance, const struct nmk_rat *let_down)
{
    enum { PARTS = 1 << 16 };
    struct nmk_rat t = {0}, tail = {0};
    int64_t low = -1, high = PARTS; /* P at high is 0; low is not known to serve */
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        nmk_rat_set_frac(&t, -middle, PARTS);
        nmk_rat_mul(&t, &t, nmk_chance_reach(chance));
        nmk_chance_below(&tail, chance, &t);
        if (nmk_rat_cmp(&tail, let_down) <= 0)
            high = middle;
        else
            low = middle;
    }
    nmk_rat_set_frac(&t, high, PARTS);
    nmk_rat_mul(out, &t, nmk_chance_reach(chance));
    nmk_rat_clear(&t);
    nmk_rat_clear(&tail);
}

/* Many demands share a shape and all ask the same. */
static const struct nmk_rat *slack_of(struct shape *shape, int bounds, const struct nmk_rat *let_down)
{
    if (!shape->known[bounds] || !nmk_rat_equal(&shape->let_down[bounds], let_down)) {
        nmk_rat_set(&shape->let_down[bounds], let_down);
        find_slack(&shape->slack[bounds], shape->chance, let_down);
        shape->known[bounds] = true;
    }
    return &shape->slack[bounds];
}

static void narrow(struct nmk_rat *least, struct nmk_rat *most, const struct nmk_clearance *c, const struct nmk_rat *slack_each)
{
    struct nmk_rat bound = {0};
    if (c->low) {
        nmk_rat_add(&bound, c->low, slack_each);
        if (nmk_rat_cmp(&bound, least) > 0)
            nmk_rat_swap(least, &bound);
    }
    if (c->high) {
        nmk_rat_sub(&bound, c->high, slack_each);
        if (nmk_rat_cmp(&bound, most) < 0)
            nmk_rat_swap(most, &bound);
    }
    nmk_rat_clear(&bound);
}

void nmk_judge_sure_range(struct nmk_rat *least, bool *has_least, struct nmk_rat *most, bool *has_most,
                          const struct nmk_judge *judge, size_t demand, const struct nmk_rat *sure)
{
    const struct nmk_clearance *c = &judge->clearances->all[demand];
    const struct judged *d = &judge->demands[demand];
    struct nmk_rat let_down = {0}, two = {0};
    nmk_rat_set_int(&let_down, 1);
    nmk_rat_sub(&let_down, &let_down, sure);
    nmk_rat_set_int(&two, 2);
    if (c->low && c->high) /* both tails share what may go wrong */
        nmk_rat_div(&let_down, &let_down, &two);
    *has_least = c->low != NULL;
    *has_most = c->high != NULL;
    if (c->low)
        nmk_rat_set(least, c->low);
    if (c->high)
        nmk_rat_set(most, c->high);
    for (size_t k = 0; k < d->cases.count; k++)
        narrow(least, most, c, slack_of(d->shapes[k], c->low && c->high, &let_down));
    nmk_rat_clear(&let_down);
    nmk_rat_clear(&two);
}

/* ---- contributions ---- */

static int by_width(const void *left, const void *right)
{
    const struct nmk_contribution *a = left, *b = right;
    int order = nmk_rat_cmp(&b->off, &a->off);
    if (!order)
        order = (a->source > b->source) - (a->source < b->source);
    if (!order)
        order = (a->subject > b->subject) - (a->subject < b->subject);
    if (!order)
        order = (a->copy > b->copy) - (a->copy < b->copy);
    if (!order)
        order = (a->way > b->way) - (a->way < b->way);
    return order ? order : (a->line > b->line) - (a->line < b->line);
}

static enum nmk_source source_of(enum nmk_error_kind kind)
{
    switch (kind) {
    case NMK_ERROR_MEASURE: return NMK_FROM_MEASURE;
    case NMK_ERROR_STOCK: return NMK_FROM_STOCK;
    case NMK_ERROR_LINE: return NMK_FROM_LINE;
    case NMK_ERROR_PLACE: return NMK_FROM_PLACE;
    case NMK_ERROR_PRODUCT: break;
    }
    return NMK_FROM_CONSTANT;
}

size_t nmk_judge_contributions(struct nmk_contribution **out, const struct nmk_judge *judge, size_t demand, size_t which,
                               const struct nmk_sizes *sizes)
{
    const struct judged *d = &judge->demands[demand];
    struct nmk_errors errors;
    size_t count = 0, k = 0;
    nmk_errors_new(&errors, &judge->clearances->all[demand], nmk_cases_picks(&d->cases, which), d->cases.pick_count, sizes);
    for (size_t i = 0; i < errors.count; i++)
        count += errors.all[i].times_alike;
    struct nmk_contribution *all = nmk_memory_new(count, sizeof *all);
    for (size_t i = 0; i < errors.count; i++) {
        const struct nmk_error *e = &errors.all[i];
        for (size_t copy = 0; copy < e->times_alike; copy++, k++) {
            all[k] = (struct nmk_contribution){.source = source_of(e->kind),
                                               .subject = e->subject,
                                               .way = e->way,
                                               .line = e->line,
                                               .copy = (uint32_t)(copy + e->other_copies)};
            nmk_rat_set(&all[k].times, &e->times);
            nmk_rat_set(&all[k].off, &e->width);
        }
    }
    qsort(all, count, sizeof *all, by_width);
    nmk_errors_free(&errors);
    *out = all;
    return count;
}

void nmk_contributions_free(struct nmk_contribution *all, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        nmk_rat_clear(&all[i].times);
        nmk_rat_clear(&all[i].off);
    }
    nmk_memory_free(all);
}
