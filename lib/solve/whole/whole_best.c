#include "solve/whole/whole_best.h"

#include "base/memory.h"
#include "exact/word.h"

#ifdef NMK_STRESS
enum { MOST_ASKED = 3 };
#else
enum { MOST_ASKED = 16 }; /* among so many grades the best is looked for */
#endif
enum { MOST_TERMS = 16 }; /* longer demands and equations are not held against each other */

static uint32_t grade_at(struct nmk_bench *b, size_t demand, int64_t n)
{
    struct nmk_rat v = {0};
    (void)nmk_rat_set_frac(&v, n, b->model.demands[demand].scale);
    nmk_rat_add(&v, &v, &b->model.problem->demands[demand].constant);
    uint32_t grade = nmk_grades_ask(&b->grades, demand, &v);
    nmk_rat_clear(&v);
    return grade;
}

/* On the way from `from` to `end`, in steps, the grade never rises: the last place that has this one. */
static int64_t last_with(struct nmk_bench *b, size_t demand, uint32_t grade, int64_t from, int64_t end, int64_t step)
{
    int64_t most = (end - from) / step, known = 0, ahead = 1;
    while (ahead <= most && grade_at(b, demand, from + ahead * step) == grade) {
        known = ahead;
        ahead *= 2;
    }
    int64_t beyond = ahead < most + 1 ? ahead : most + 1;
    while (beyond - known > 1) {
        int64_t middle = known + (beyond - known) / 2;
        *(grade_at(b, demand, from + middle * step) == grade ? &known : &beyond) = middle;
    }
    return from + known * step;
}

/* The places that a sum can have: every `unit`-th, one of them `offset`. */
struct places {
    int64_t unit, offset;
};

static int64_t remainder_of(int64_t n, int64_t unit)
{
    int64_t rest = n % unit;
    return rest < 0 ? rest + unit : rest;
}

static int64_t up_to_place(int64_t n, const struct places *p)
{
    return n == INT64_MIN ? n : n + remainder_of(p->offset - n, p->unit);
}

static int64_t down_to_place(int64_t n, const struct places *p)
{
    return n == INT64_MAX ? n : n - remainder_of(n - p->offset, p->unit);
}

/* The terms of an equation without those of the demand: false if it has not all of the demand's, `times` as large each;
 * *divisor: what the others have in common. */
static bool leave_of(int64_t *divisor, int64_t *times, const struct nmk_model *m, const struct nmk_model_demand *d,
                     const struct nmk_model_demand *equation)
{
    uint32_t shared = 0;
    *divisor = *times = 0;
    for (size_t k = 0; k < equation->count; k++) {
        const struct nmk_model_term *t = &m->terms[equation->first + k], *own = NULL;
        for (size_t i = 0; i < d->count && !own; i++)
            own = m->terms[d->first + i].unknown == t->unknown ? &m->terms[d->first + i] : NULL;
        if (t->table_low)
            return false;
        if (!own) {
            *divisor = nmk_word_divisor(*divisor, t->low);
            continue;
        }
        if (own->table_low || !own->low || t->low % own->low || (shared && t->low / own->low != *times))
            return false;
        *times = t->low / own->low;
        shared++;
    }
    return shared == d->count && *divisor && *times;
}

/* An equation may leave a demand fewer places than its own multiples do: a border of whole strips is even, say. */
static struct places places_of(const struct nmk_bench *b, size_t demand)
{
    const struct nmk_model *m = &b->model;
    const struct nmk_model_demand *d = &m->demands[demand];
    struct places places = {.unit = d->unit};
    size_t unknown = d->count && d->count <= MOST_TERMS ? m->terms[d->first].unknown : 0;
    size_t end = d->count && d->count <= MOST_TERMS ? m->use_first[unknown + 1] : 0;
    for (size_t u = d->count ? m->use_first[unknown] : 0; u < end; u++) {
        const struct nmk_model_demand *equation = &m->demands[m->uses[u]];
        int64_t divisor, times;
        if (m->uses[u] == demand || !equation->is_scaled || equation->must_least != equation->must_most ||
            equation->count > MOST_TERMS || !leave_of(&divisor, &times, m, d, equation))
            continue;
        if (divisor % times || equation->must_least % times || divisor / times % places.unit)
            continue;
        int64_t unit = divisor / times < 0 ? -(divisor / times) : divisor / times;
        if (unit > places.unit)
            places = (struct places){unit, equation->must_least / times};
    }
    return places;
}

/* Of the places from *first to *last those with the best grade. False if others lie between them, or it is not asked. */
static bool find_best(int64_t *first, int64_t *last, uint32_t *grade, struct nmk_bench *b, size_t demand, int64_t unit)
{
    int64_t low = *first, high = *last;
    if ((high - low) / unit >= MOST_ASKED)
        return false;
    *grade = grade_at(b, demand, low);
    *last = low;
    bool together = true;
    for (int64_t n = low + unit; n <= high; n += unit) {
        uint32_t other = grade_at(b, demand, n);
        int order = other == *grade ? 0 : nmk_rat_cmp(&b->grades.grades[other], &b->grades.grades[*grade]);
        if (order < 0)
            continue;
        together = order > 0 || (together && *last == n - unit);
        *first = order > 0 ? n : *first;
        *last = n;
        *grade = other;
    }
    return together;
}

static int64_t clamp(int64_t n, int64_t least, int64_t most)
{
    return n < least ? least : n > most ? most : n;
}

/* The grade never falls on the way up to one of the sure ends, and never rises on the way up from the other. */
static bool narrow(int64_t *least, int64_t *most, struct nmk_bench *b, size_t demand)
{
    const struct nmk_model_demand *d = &b->model.demands[demand];
    struct places places = places_of(b, demand);
    int64_t sure_least = up_to_place(d->sure_least, &places), sure_most = down_to_place(d->sure_most, &places);
    *least = up_to_place(*least, &places);
    *most = down_to_place(*most, &places);
    if (*least > *most)
        return true;
    if ((*least == INT64_MIN && sure_least != INT64_MIN) || (*most == INT64_MAX && sure_most != INT64_MAX))
        return false;
    bool crossed = sure_least > sure_most, sure = !crossed && *least <= sure_most && sure_least <= *most;
    int64_t low = clamp(crossed ? sure_most : sure_least, *least, *most);
    int64_t high = clamp(crossed ? sure_least : sure_most, *least, *most);
    int64_t first = low, last = high;
    uint32_t grade = 0;
    if (!sure && !find_best(&first, &last, &grade, b, demand, places.unit))
        return false;
    if (first == low && low > *least)
        first = last_with(b, demand, grade, low, *least, -places.unit);
    if (last == high && high < *most)
        last = last_with(b, demand, grade, high, *most, places.unit);
    *least = first;
    *most = last;
    return true;
}

bool nmk_best_window(int64_t *least, int64_t *most, struct nmk_bench *b, size_t demand)
{
    const struct nmk_model_demand *d = &b->model.demands[demand];
    *least = d->must_least > d->least ? d->must_least : d->least;
    *most = d->must_most < d->most ? d->must_most : d->most;
    return !d->is_graded || *least > *most || narrow(least, most, b, demand);
}

bool nmk_best_narrow(struct nmk_model_demand **kept, struct nmk_bench *b, const struct nmk_part *part)
{
    struct nmk_model_demand *all = b->model.demands;
    struct nmk_model_demand *narrowed = nmk_memory_new(part->demand_count, sizeof *narrowed);
    bool known = true, any_graded = false;
    for (size_t k = 0; k < part->demand_count && known; k++) { /* all before any is put in place: each by itself */
        struct nmk_model_demand *d = &narrowed[k];
        int64_t least, most;
        *d = all[part->demands[k]];
        any_graded = any_graded || d->is_graded;
        known = d->is_scaled && nmk_best_window(&least, &most, b, part->demands[k]) && least <= most;
        if (!known)
            break;
        d->is_hard = true;
        d->is_graded = false;
        d->least = d->must_least = least;
        d->most = d->must_most = most;
    }
    if (!known || !any_graded) {
        nmk_memory_free(narrowed);
        return false;
    }
    for (size_t k = 0; k < part->demand_count; k++) {
        struct nmk_model_demand before = all[part->demands[k]];
        all[part->demands[k]] = narrowed[k];
        narrowed[k] = before;
    }
    *kept = narrowed;
    return true;
}

void nmk_best_restore(struct nmk_model_demand *kept, struct nmk_bench *b, const struct nmk_part *part)
{
    for (size_t k = 0; k < part->demand_count; k++)
        b->model.demands[part->demands[k]] = kept[k];
    nmk_memory_free(kept);
}
