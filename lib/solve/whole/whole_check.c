/* The checker: word by word from whole.h, sharing nothing with the solver. */
#include <stdlib.h>

#include "base/memory.h"
#include "nearmark/whole.h"

static void value_of(struct nmk_rat *v, const struct nmk_whole_demand *d, const int64_t *values)
{
    struct nmk_rat x = {0};
    nmk_rat_set(v, &d->constant);
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_whole_term *t = &d->terms[k];
        if (t->table) {
            nmk_rat_add(v, v, &t->table[values[t->unknown]]);
        } else {
            nmk_rat_set_int(&x, values[t->unknown]);
            nmk_rat_addmul(v, &t->times, &x);
        }
    }
    nmk_rat_clear(&x);
}

static bool is_met(const struct nmk_whole_demand *d, const struct nmk_rat *v)
{
    return (!d->has_least || nmk_rat_cmp(v, &d->least) >= 0) && (!d->has_most || nmk_rat_cmp(v, &d->most) <= 0);
}

static bool is_demand_met(const struct nmk_whole_demand *d, const int64_t *values)
{
    struct nmk_rat v = {0};
    value_of(&v, d, values);
    bool met = is_met(d, &v);
    nmk_rat_clear(&v);
    return met;
}

static bool is_remainder_met(const struct nmk_whole_remainder *r, const int64_t *values)
{
    __int128 left = -(__int128)r->residue % r->modulus;
    for (size_t k = 0; k < r->count; k++)
        left = (left + (__int128)r->times[k] * values[r->unknowns[k]]) % r->modulus;
    return left == 0;
}

bool nmk_whole_check(const struct nmk_whole_problem *p, const int64_t *values)
{
    for (size_t j = 0; j < p->unknown_count; j++) {
        const struct nmk_whole_unknown *u = &p->unknowns[j];
        bool open = u->high < u->low;
        if (values[j] < u->low || (!open && values[j] > u->high))
            return false;
    }
    for (size_t i = 0; i < p->demand_count; i++)
        if (!p->demands[i].soft && !is_demand_met(&p->demands[i], values))
            return false;
    for (size_t i = 0; i < p->remainder_count; i++)
        if (!is_remainder_met(&p->remainders[i], values))
            return false;
    return true;
}

/* ---- the aims, one after the other ---- */

static int compare_unmet(const struct nmk_whole_problem *p, const int64_t *a, const int64_t *b)
{
    size_t unmet_a = 0, unmet_b = 0;
    for (size_t i = 0; i < p->demand_count; i++) {
        unmet_a += p->demands[i].soft && !is_demand_met(&p->demands[i], a);
        unmet_b += p->demands[i].soft && !is_demand_met(&p->demands[i], b);
    }
    return unmet_a < unmet_b ? -1 : unmet_a > unmet_b;
}

static bool is_sure(const struct nmk_whole_demand *d, const struct nmk_rat *v)
{
    return (!d->has_sure_least || nmk_rat_cmp(v, &d->sure_least) >= 0) &&
           (!d->has_sure_most || nmk_rat_cmp(v, &d->sure_most) <= 0);
}

static void set_grade(struct nmk_rat *out, const struct nmk_whole_problem *p, size_t i, const int64_t *values)
{
    const struct nmk_whole_demand *d = &p->demands[i];
    struct nmk_rat v = {0};
    nmk_rat_set_int(out, 1);
    if (d->graded) {
        value_of(&v, d, values);
        if (!is_sure(d, &v))
            p->grade(out, p->context, i, &v);
    }
    nmk_rat_clear(&v);
}

static int compare_grades(const void *a, const void *b)
{
    return nmk_rat_cmp(a, b);
}

static struct nmk_rat *sorted_grades(const struct nmk_whole_problem *p, const int64_t *values)
{
    struct nmk_rat *grades = nmk_memory_new(p->demand_count, sizeof *grades);
    for (size_t i = 0; i < p->demand_count; i++)
        set_grade(&grades[i], p, i, values);
    qsort(grades, p->demand_count, sizeof *grades, compare_grades);
    return grades;
}

static int compare_surest(const struct nmk_whole_problem *p, const int64_t *a, const int64_t *b)
{
    struct nmk_rat *grades_a = sorted_grades(p, a), *grades_b = sorted_grades(p, b);
    int order = 0;
    for (size_t i = 0; i < p->demand_count && order == 0; i++)
        order = nmk_rat_cmp(&grades_b[i], &grades_a[i]);
    for (size_t i = 0; i < p->demand_count; i++) {
        nmk_rat_clear(&grades_a[i]);
        nmk_rat_clear(&grades_b[i]);
    }
    nmk_memory_free(grades_a);
    nmk_memory_free(grades_b);
    return order;
}

static int compare_choices(const struct nmk_whole_problem *p, const int64_t *a, const int64_t *b)
{
    for (size_t j = 0; j < p->unknown_count; j++) {
        const struct nmk_whole_unknown *u = &p->unknowns[j];
        if (u->is_choice && u->ranks[a[j]] != u->ranks[b[j]])
            return u->ranks[a[j]] < u->ranks[b[j]] ? -1 : 1;
    }
    return 0;
}

static void set_whole_sum(struct nmk_rat *out, const struct nmk_whole_problem *p, int part, const int64_t *values)
{
    struct nmk_rat one = {0};
    nmk_rat_set_int(out, 0);
    for (size_t j = 0; j < p->unknown_count && p->cost; j++) {
        int64_t parts[3] = {0};
        p->cost(parts, p->context, j, values[j]);
        nmk_rat_set_int(&one, parts[part]);
        nmk_rat_add(out, out, &one);
    }
    nmk_rat_clear(&one);
}

static void set_distance(struct nmk_rat *out, const struct nmk_whole_problem *p, const int64_t *values)
{
    struct nmk_rat x = {0};
    nmk_rat_set_int(out, 0);
    for (size_t j = 0; j < p->unknown_count; j++) {
        if (p->unknowns[j].is_choice)
            continue;
        nmk_rat_set_int(&x, values[j]);
        nmk_rat_mul(&x, &x, &p->unknowns[j].step);
        nmk_rat_sub(&x, &x, &p->unknowns[j].goal);
        nmk_rat_abs(&x, &x);
        nmk_rat_add(out, out, &x);
    }
    nmk_rat_clear(&x);
}

static int compare_costs(const struct nmk_whole_problem *p, const int64_t *a, const int64_t *b)
{
    struct nmk_rat sum_a = {0}, sum_b = {0};
    int order = 0;
    for (int part = 0; part < NMK_WHOLE_COSTS && order == 0; part++) {
        if (part < NMK_WHOLE_COSTS - 1) {
            set_whole_sum(&sum_a, p, part, a);
            set_whole_sum(&sum_b, p, part, b);
        } else {
            set_distance(&sum_a, p, a);
            set_distance(&sum_b, p, b);
        }
        order = nmk_rat_cmp(&sum_a, &sum_b);
    }
    nmk_rat_clear(&sum_a);
    nmk_rat_clear(&sum_b);
    return order;
}

static int compare_numbers(const struct nmk_whole_problem *p, const int64_t *a, const int64_t *b)
{
    for (size_t j = 0; j < p->unknown_count; j++)
        if (!p->unknowns[j].is_choice && a[j] != b[j])
            return a[j] < b[j] ? -1 : 1;
    return 0;
}

int nmk_whole_compare(const struct nmk_whole_problem *p, const int64_t *a, const int64_t *b)
{
    int order = compare_unmet(p, a, b);
    if (order == 0)
        order = compare_surest(p, a, b);
    if (order == 0)
        order = compare_choices(p, a, b);
    if (order == 0)
        order = compare_costs(p, a, b);
    return order ? order : compare_numbers(p, a, b);
}
