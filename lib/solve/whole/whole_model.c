#include "solve/whole/whole_model.h"

#include <string.h>

#include "base/memory.h"
#include "exact/word.h"

/* ---- is the problem well formed? ---- */

static bool is_valid_unknown(const struct nmk_whole_unknown *u)
{
    if (u->is_choice)
        return u->low >= 0 && u->high >= u->low && u->high < INT32_MAX && u->ranks;
    return nmk_rat_sign(&u->step) >= 0;
}

static size_t options_of(const struct nmk_whole_unknown *u)
{
    return (size_t)u->high + 1;
}

/* Each unknown at most once: `seen` holds the number of the last list in which it stood. */
static bool is_first_in(size_t *seen, size_t unknown, size_t list)
{
    bool first = seen[unknown] != list;
    seen[unknown] = list;
    return first;
}

static bool is_valid_demand(const struct nmk_whole_problem *p, const struct nmk_whole_demand *d, size_t *seen, size_t list)
{
    if (d->count && !d->terms)
        return false;
    if (d->graded && !p->grade)
        return false;
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_whole_term *t = &d->terms[k];
        if (t->unknown >= p->unknown_count || !is_first_in(seen, t->unknown, list))
            return false;
        if (p->unknowns[t->unknown].is_choice != (t->table != NULL))
            return false;
    }
    return true;
}

static bool is_valid_remainder(const struct nmk_whole_problem *p, const struct nmk_whole_remainder *r, size_t *seen,
                               size_t list)
{
    if (r->modulus < 1 || (r->count && (!r->unknowns || !r->times)))
        return false;
    for (size_t k = 0; k < r->count; k++)
        if (r->unknowns[k] >= p->unknown_count || p->unknowns[r->unknowns[k]].is_choice ||
            !is_first_in(seen, r->unknowns[k], list))
            return false;
    return true;
}

static bool are_lists_valid(const struct nmk_whole_problem *p, size_t *seen)
{
    size_t list = 1;
    for (size_t i = 0; i < p->demand_count; i++)
        if (!is_valid_demand(p, &p->demands[i], seen, list++))
            return false;
    for (size_t i = 0; i < p->remainder_count; i++)
        if (!is_valid_remainder(p, &p->remainders[i], seen, list++))
            return false;
    return true;
}

static bool is_too_far(const struct nmk_whole_problem *p)
{
    for (size_t j = 0; j < p->unknown_count; j++)
        if (p->unknowns[j].low < -NMK_MODEL_FAR || p->unknowns[j].low > NMK_MODEL_FAR)
            return true;
    for (size_t i = 0; i < p->remainder_count; i++)
        if (p->remainders[i].modulus > NMK_MODEL_FAR / 4)
            return true;
    return false;
}

enum nmk_status nmk_model_is_valid(const struct nmk_whole_problem *p)
{
    if (!p || (p->unknown_count && !p->unknowns) || (p->demand_count && !p->demands) ||
        (p->remainder_count && !p->remainders))
        return NMK_INVALID;
    if (p->unknown_count >= UINT32_MAX / 4 || p->demand_count >= UINT32_MAX / 4)
        return NMK_TOO_LARGE;
    for (size_t j = 0; j < p->unknown_count; j++)
        if (!is_valid_unknown(&p->unknowns[j]))
            return NMK_INVALID;
    size_t *seen = nmk_memory_new(p->unknown_count, sizeof *seen);
    bool valid = are_lists_valid(p, seen);
    nmk_memory_free(seen);
    if (!valid)
        return NMK_INVALID;
    return is_too_far(p) ? NMK_TOO_LARGE : NMK_OK;
}

/* ---- scaling (1) ---- */

/* The smallest scale that makes r * scale whole for this r and those before; false when it grows too long. */
static bool widen_scale(int64_t *scale, const struct nmk_rat *r)
{
    int64_t num, den;
    if (nmk_rat_get_frac(&num, &den, r) != NMK_OK || den > NMK_MODEL_COEFFICIENT)
        return false;
    int64_t times = den / nmk_word_divisor(*scale, den);
    if (times > NMK_MODEL_COEFFICIENT / *scale)
        return false;
    *scale *= times;
    return true;
}

static bool scale_to_int(int64_t *out, const struct nmk_rat *r, int64_t scale)
{
    int64_t num, den;
    if (nmk_rat_get_frac(&num, &den, r) != NMK_OK)
        return false;
    int64_t times = scale / den;
    if (num > NMK_MODEL_COEFFICIENT / times || num < -NMK_MODEL_COEFFICIENT / times)
        return false;
    *out = num * times;
    return true;
}

static bool find_scale(int64_t *scale, const struct nmk_whole_problem *p, const struct nmk_whole_demand *d)
{
    *scale = 1;
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_whole_term *t = &d->terms[k];
        size_t values = t->table ? options_of(&p->unknowns[t->unknown]) : 1;
        for (size_t o = 0; o < values; o++)
            if (!widen_scale(scale, t->table ? &t->table[o] : &t->times))
                return false;
    }
    return true;
}

static bool scale_terms(struct nmk_model *m, struct nmk_model_demand *out, const struct nmk_whole_demand *d)
{
    if (!find_scale(&out->scale, m->problem, d))
        return false;
    for (size_t k = 0; k < d->count; k++) {
        struct nmk_model_term *t = &m->terms[out->first + k];
        if (!d->terms[k].table) {
            if (!scale_to_int(&t->low, &d->terms[k].times, out->scale))
                return false;
            t->high = t->low;
            continue;
        }
        for (size_t o = 0; o < options_of(&m->problem->unknowns[t->unknown]); o++) {
            if (!scale_to_int(&t->table_low[o], &d->terms[k].table[o], out->scale))
                return false;
            t->table_high[o] = t->table_low[o];
        }
    }
    return true;
}

/* ---- (2): a power of two in place of the scale ---- */

/* Some e with |r| < 2^e. */
static long magnitude(const struct nmk_rat *r)
{
    struct nmk_rat size = {0}, whole = {0};
    nmk_rat_abs(&size, r);
    nmk_rat_floor(&whole, &size);
    long e = (long)nmk_rat_bits(&whole);
    nmk_rat_clear(&size);
    nmk_rat_clear(&whole);
    return e;
}

static void set_power(struct nmk_rat *out, long e)
{
    nmk_rat_set_int(out, 2);
    nmk_rat_pow(out, out, (unsigned)(e < 0 ? -e : e));
    if (e >= 0)
        return;
    struct nmk_rat one = {0};
    nmk_rat_set_int(&one, 1);
    (void)nmk_rat_div(out, &one, out);
    nmk_rat_clear(&one);
}

/* floor or ceiling of r * factor, held within +-NMK_MODEL_FAR. */
static int64_t round_scaled(const struct nmk_rat *r, const struct nmk_rat *factor, bool up)
{
    struct nmk_rat product = {0};
    int64_t n;
    nmk_rat_mul(&product, r, factor);
    if (up)
        nmk_rat_ceil(&product, &product);
    else
        nmk_rat_floor(&product, &product);
    if (nmk_rat_get_int(&n, &product) != NMK_OK)
        n = nmk_rat_sign(&product) < 0 ? -NMK_MODEL_FAR : NMK_MODEL_FAR;
    nmk_rat_clear(&product);
    return n > NMK_MODEL_FAR ? NMK_MODEL_FAR : n < -NMK_MODEL_FAR ? -NMK_MODEL_FAR : n;
}

static long largest_magnitude(const struct nmk_whole_problem *p, const struct nmk_whole_demand *d)
{
    long most = 0;
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_whole_term *t = &d->terms[k];
        size_t values = t->table ? options_of(&p->unknowns[t->unknown]) : 1;
        for (size_t o = 0; o < values; o++) {
            long e = magnitude(t->table ? &t->table[o] : &t->times);
            most = e > most ? e : most;
        }
    }
    return most;
}

static void approximate_terms(struct nmk_model *m, struct nmk_model_demand *out, const struct nmk_whole_demand *d,
                              const struct nmk_rat *factor)
{
    for (size_t k = 0; k < d->count; k++) {
        struct nmk_model_term *t = &m->terms[out->first + k];
        if (!d->terms[k].table) {
            t->low = round_scaled(&d->terms[k].times, factor, false);
            t->high = round_scaled(&d->terms[k].times, factor, true);
            continue;
        }
        for (size_t o = 0; o < options_of(&m->problem->unknowns[t->unknown]); o++) {
            t->table_low[o] = round_scaled(&d->terms[k].table[o], factor, false);
            t->table_high[o] = round_scaled(&d->terms[k].table[o], factor, true);
        }
    }
}

/* ---- bounds ---- */

enum { SHORT_BITS = 40 }; /* three numbers so short have a product that fits 128 bits */

static bool is_short(int64_t n)
{
    return n >> SHORT_BITS == 0 || n >> SHORT_BITS == -1;
}

/* The same with short numbers, as most are. */
static bool scale_in_words(int64_t *out, const struct nmk_rat *bound, const struct nmk_rat *constant, int64_t scale, bool up)
{
    int64_t a, b, c, d;
    if (nmk_rat_get_frac(&a, &b, bound) != NMK_OK || nmk_rat_get_frac(&c, &d, constant) != NMK_OK || !is_short(a) ||
        !is_short(b) || !is_short(c) || !is_short(d) || !is_short(scale))
        return false;
    __int128 num = ((__int128)a * d - (__int128)c * b) * scale, den = (__int128)b * d;
    __int128 whole = num / den, rest = num % den;
    whole += up ? rest > 0 : -(rest < 0);
    *out = (int64_t)(whole > NMK_MODEL_FAR ? NMK_MODEL_FAR : whole < -NMK_MODEL_FAR ? -NMK_MODEL_FAR : whole);
    return true;
}

static int64_t scale_bound(const struct nmk_whole_demand *d, const struct nmk_rat *bound, const struct nmk_rat *factor,
                           bool up)
{
    int64_t scale, in_words;
    if (nmk_rat_get_int(&scale, factor) == NMK_OK && scale_in_words(&in_words, bound, &d->constant, scale, up))
        return in_words;
    struct nmk_rat rest = {0};
    nmk_rat_sub(&rest, bound, &d->constant);
    int64_t n = round_scaled(&rest, factor, up);
    nmk_rat_clear(&rest);
    return n;
}

static void set_bounds(struct nmk_model_demand *out, const struct nmk_whole_demand *d, const struct nmk_rat *factor)
{
    bool inwards = out->is_scaled;
    out->least = d->has_least ? scale_bound(d, &d->least, factor, inwards) : INT64_MIN;
    out->most = d->has_most ? scale_bound(d, &d->most, factor, !inwards) : INT64_MAX;
    out->sure_least = d->has_sure_least ? scale_bound(d, &d->sure_least, factor, inwards) : INT64_MIN;
    out->sure_most = d->has_sure_most ? scale_bound(d, &d->sure_most, factor, !inwards) : INT64_MAX;
}

static void round_up(int64_t *n, int64_t unit)
{
    if (*n != INT64_MIN)
        *n += ((-*n) % unit + unit) % unit;
}

static void round_down(int64_t *n, int64_t unit)
{
    if (*n != INT64_MAX)
        *n -= (*n % unit + unit) % unit;
}

/* n is a multiple of the gcd of its coefficients: the bounds move inwards to multiples (2a - 2b = 1 has none). */
static void round_to_multiples(const struct nmk_model *m, struct nmk_model_demand *d)
{
    bool has_choices = false;
    int64_t unit = 0;
    for (size_t k = 0; k < d->count; k++)
        if (m->terms[d->first + k].table_low)
            has_choices = true;
        else
            unit = nmk_word_divisor(unit, m->terms[d->first + k].low);
    d->number_unit = unit ? unit : 1;
    d->unit = has_choices ? 1 : d->number_unit;
    round_up(&d->least, d->unit);
    round_down(&d->most, d->unit);
    round_up(&d->sure_least, d->unit);
    round_down(&d->sure_most, d->unit);
}

static void set_demand(struct nmk_model *m, size_t i)
{
    const struct nmk_whole_demand *d = &m->problem->demands[i];
    struct nmk_model_demand *out = &m->demands[i];
    struct nmk_rat factor = {0};
    out->is_hard = !d->soft;
    out->is_graded = d->graded && !m->problem->any;
    out->is_scaled = scale_terms(m, out, d);
    if (out->is_scaled) {
        nmk_rat_set_int(&factor, out->scale);
    } else {
        set_power(&factor, 38 - largest_magnitude(m->problem, d));
        approximate_terms(m, out, d, &factor);
    }
    set_bounds(out, d, &factor);
    if (out->is_scaled)
        round_to_multiples(m, out);
    out->must_least = out->is_hard ? out->least : INT64_MIN;
    out->must_most = out->is_hard ? out->most : INT64_MAX;
    nmk_rat_clear(&factor);
}

static void set_table_ends(struct nmk_model_term *t, size_t first, size_t options)
{
    t->least = t->table_low[first];
    t->most = t->table_high[first];
    for (size_t o = first; o < options; o++) {
        t->least = t->table_low[o] < t->least ? t->table_low[o] : t->least;
        t->most = t->table_high[o] > t->most ? t->table_high[o] : t->most;
    }
}

/* ---- layout ---- */

static void count_terms(struct nmk_model *m)
{
    const struct nmk_whole_problem *p = m->problem;
    for (size_t i = 0; i < p->demand_count; i++) {
        m->demands[i].first = m->term_count;
        m->demands[i].count = p->demands[i].count;
        m->term_count += p->demands[i].count;
        for (size_t k = 0; k < p->demands[i].count; k++)
            if (p->demands[i].terms[k].table)
                m->table_size += 2 * options_of(&p->unknowns[p->demands[i].terms[k].unknown]);
    }
}

static void place_terms(struct nmk_model *m)
{
    const struct nmk_whole_problem *p = m->problem;
    int64_t *next = m->tables;
    for (size_t i = 0; i < p->demand_count; i++)
        for (size_t k = 0; k < p->demands[i].count; k++) {
            struct nmk_model_term *t = &m->terms[m->demands[i].first + k];
            t->unknown = p->demands[i].terms[k].unknown;
            if (!p->demands[i].terms[k].table)
                continue;
            t->table_low = next;
            t->table_high = next + options_of(&p->unknowns[t->unknown]);
            next = t->table_high + options_of(&p->unknowns[t->unknown]);
        }
}

static void list_uses(struct nmk_model *m)
{
    size_t n = m->problem->unknown_count;
    m->use_first = nmk_memory_new(n + 2, sizeof *m->use_first);
    m->uses = nmk_memory_new(m->term_count, sizeof *m->uses);
    for (size_t t = 0; t < m->term_count; t++)
        m->use_first[m->terms[t].unknown + 2]++;
    for (size_t j = 2; j < n + 2; j++)
        m->use_first[j] += m->use_first[j - 1];
    for (size_t i = 0; i < m->problem->demand_count; i++)
        for (size_t k = 0; k < m->demands[i].count; k++)
            m->uses[m->use_first[m->terms[m->demands[i].first + k].unknown + 1]++] = i;
}

static void set_unknowns(struct nmk_model *m)
{
    for (size_t j = 0; j < m->problem->unknown_count; j++) {
        const struct nmk_whole_unknown *u = &m->problem->unknowns[j];
        m->low[j] = u->low;
        m->high[j] = u->high < u->low || u->high > NMK_MODEL_FAR ? NMK_MODEL_OPEN : u->high;
    }
}

void nmk_model_init(struct nmk_model *m, const struct nmk_whole_problem *p)
{
    *m = (struct nmk_model){.problem = p};
    m->demands = nmk_memory_new(p->demand_count, sizeof *m->demands);
    m->low = nmk_memory_new(p->unknown_count, sizeof *m->low);
    m->high = nmk_memory_new(p->unknown_count, sizeof *m->high);
    count_terms(m);
    m->terms = nmk_memory_new(m->term_count, sizeof *m->terms);
    m->tables = nmk_memory_new(m->table_size, sizeof *m->tables);
    place_terms(m);
    set_unknowns(m);
    for (size_t i = 0; i < p->demand_count; i++)
        set_demand(m, i);
    for (size_t t = 0; t < m->term_count; t++)
        if (m->terms[t].table_low)
            set_table_ends(&m->terms[t], (size_t)p->unknowns[m->terms[t].unknown].low,
                           options_of(&p->unknowns[m->terms[t].unknown]));
    list_uses(m);
}

void nmk_model_clear(struct nmk_model *m)
{
    nmk_memory_free(m->demands);
    nmk_memory_free(m->terms);
    nmk_memory_free(m->tables);
    nmk_memory_free(m->low);
    nmk_memory_free(m->high);
    nmk_memory_free(m->use_first);
    nmk_memory_free(m->uses);
    memset(m, 0, sizeof *m);
}
