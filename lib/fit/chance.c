#include "nearmark/chance.h"

#include <stdlib.h>

#include "base/memory.h"
#include "exact/rat_view.h"

/* Widths are taken in their greatest common measure, so that the exponents of (2) are whole numbers; the measure itself
 * cancels out of a chance. */
struct nmk_chance {
    size_t n;
    struct nmk_rat measure, reach; /* reach: W */
    size_t count;                  /* the terms of (2), exponents rising */
    struct term {
        mpz_t at, times;
    } *terms;
    mpz_t share; /* n! prod 2 w_i, in the measure */
};

enum { MOST_TERMS = 1 << 20 };

static void free_terms(struct term *terms, size_t count)
{
    for (size_t i = 0; i < count; i++)
        mpz_clears(terms[i].at, terms[i].times, (mpz_ptr)NULL);
    nmk_memory_free(terms);
}

static void push(struct term *to, size_t *count, const mpz_t at, const mpz_t times)
{
    mpz_init_set(to[*count].at, at);
    mpz_init_set(to[*count].times, times);
    ++*count;
}

/* Multiplies the polynomial by (1 - x^shift): the merge of its terms and of their negatives, moved by shift. */
static void multiply(struct nmk_chance *c, const mpz_t shift)
{
    struct term *sum = nmk_memory_new(2 * c->count, sizeof *sum);
    size_t count = 0, i = 0, j = 0;
    mpz_t moved, times;
    mpz_inits(moved, times, (mpz_ptr)NULL);
    while (j < c->count) {
        mpz_add(moved, c->terms[j].at, shift);
        int order = i < c->count ? mpz_cmp(c->terms[i].at, moved) : 1;
        if (order < 0) {
            push(sum, &count, c->terms[i].at, c->terms[i].times);
            i++;
            continue;
        }
        mpz_neg(times, c->terms[j++].times);
        if (order == 0)
            mpz_add(times, times, c->terms[i++].times);
        if (mpz_sgn(times))
            push(sum, &count, moved, times);
    }
    mpz_clears(moved, times, (mpz_ptr)NULL);
    free_terms(c->terms, c->count);
    c->terms = sum;
    c->count = count;
}

/* w / measure, a whole number. */
static void whole_width(mpz_t out, const struct nmk_chance *c, const struct nmk_rat *width)
{
    struct nmk_rat ratio = {0};
    struct nmk_rat_view view;
    nmk_rat_div(&ratio, width, &c->measure);
    mpz_set(out, mpq_numref(nmk_rat_view(&view, &ratio)));
    nmk_rat_clear(&ratio);
}

static enum nmk_status expand(struct nmk_chance *c, const struct nmk_rat *widths)
{
    enum nmk_status status = NMK_OK;
    mpz_t twice;
    mpz_init(twice);
    c->terms = nmk_memory_new(1, sizeof *c->terms);
    mpz_init(c->terms[0].at);
    mpz_init_set_ui(c->terms[0].times, 1);
    c->count = 1;
    for (size_t i = 0; i < c->n && status == NMK_OK; i++) {
        whole_width(twice, c, &widths[i]);
        mpz_mul_2exp(twice, twice, 1);
        mpz_mul(c->share, c->share, twice);
        mpz_mul_ui(c->share, c->share, i + 1);
        if (c->count > MOST_TERMS / 2)
            status = NMK_TOO_LARGE;
        else
            multiply(c, twice);
    }
    mpz_clear(twice);
    return status;
}

enum nmk_status nmk_chance_new(struct nmk_chance **out, const struct nmk_rat *widths, size_t count)
{
    if (!out || (count && !widths))
        return NMK_INVALID;
    for (size_t i = 0; i < count; i++)
        if (nmk_rat_sign(&widths[i]) <= 0)
            return NMK_INVALID;
    struct nmk_chance *c = nmk_memory_new(1, sizeof *c);
    c->n = count;
    mpz_init_set_ui(c->share, 1);
    for (size_t i = 0; i < count; i++) {
        nmk_rat_gcd(&c->measure, &c->measure, &widths[i]);
        nmk_rat_add(&c->reach, &c->reach, &widths[i]);
    }
    enum nmk_status status = expand(c, widths);
    if (status != NMK_OK)
        nmk_chance_free(c);
    else
        *out = c;
    return status;
}

void nmk_chance_free(struct nmk_chance *chance)
{
    if (!chance)
        return;
    free_terms(chance->terms, chance->count);
    mpz_clear(chance->share);
    nmk_rat_clear(&chance->measure);
    nmk_rat_clear(&chance->reach);
    nmk_memory_free(chance);
}

const struct nmk_rat *nmk_chance_reach(const struct nmk_chance *chance)
{
    return &chance->reach;
}

/* (2) for u = (t + W) / measure = p/q with 0 < p/q: sum c_e (p - e q)^n over e q < p, divided by q^n and the share. */
static void sum_terms(struct nmk_rat *out, const struct nmk_chance *c, const struct nmk_rat *u)
{
    struct nmk_rat_view view;
    mpq_srcptr at = nmk_rat_view(&view, u);
    mpz_t sum, base;
    mpq_t chance;
    mpz_inits(sum, base, (mpz_ptr)NULL);
    mpq_init(chance);
    for (size_t i = 0; i < c->count; i++) {
        mpz_set(base, mpq_numref(at));
        mpz_submul(base, c->terms[i].at, mpq_denref(at));
        if (mpz_sgn(base) <= 0)
            break;
        mpz_pow_ui(base, base, c->n);
        mpz_addmul(sum, base, c->terms[i].times);
    }
    mpz_pow_ui(base, mpq_denref(at), c->n);
    mpz_mul(mpq_denref(chance), base, c->share);
    mpz_swap(mpq_numref(chance), sum);
    mpq_canonicalize(chance);
    mpz_clears(sum, base, (mpz_ptr)NULL);
    nmk_rat_take(out, chance);
}

/* P(S <= t) for t <= 0, where (2) has the fewer terms. */
static void lower_tail(struct nmk_rat *out, const struct nmk_chance *c, const struct nmk_rat *t)
{
    struct nmk_rat u = {0};
    nmk_rat_add(&u, t, &c->reach);
    if (nmk_rat_sign(&u) <= 0) {
        nmk_rat_set_int(out, 0);
    } else {
        nmk_rat_div(&u, &u, &c->measure);
        sum_terms(out, c, &u);
    }
    nmk_rat_clear(&u);
}

void nmk_chance_below(struct nmk_rat *out, const struct nmk_chance *c, const struct nmk_rat *t)
{
    struct nmk_rat minus = {0}, one = {0};
    nmk_rat_set_int(&one, 1);
    if (c->n == 0) {
        nmk_rat_set_int(out, nmk_rat_sign(t) >= 0);
    } else if (nmk_rat_sign(t) <= 0) {
        lower_tail(out, c, t);
    } else { /* S and -S are alike, and no single value has a chance of its own */
        nmk_rat_neg(&minus, t);
        lower_tail(out, c, &minus);
        nmk_rat_sub(out, &one, out);
    }
    nmk_rat_clear(&minus);
    nmk_rat_clear(&one);
}

/* Without errors the clearance is inside or it is not. */
static bool inside(const struct nmk_rat *nominal, const struct nmk_rat *low, const struct nmk_rat *high)
{
    return (!low || nmk_rat_cmp(low, nominal) <= 0) && (!high || nmk_rat_cmp(nominal, high) <= 0);
}

void nmk_chance_within(struct nmk_rat *out, const struct nmk_chance *c, const struct nmk_rat *nominal,
                       const struct nmk_rat *low, const struct nmk_rat *high)
{
    struct nmk_rat t = {0}, below = {0}, above = {0}, sum = {0};
    nmk_rat_set_int(&sum, 1);
    if (c->n == 0 || (low && high && nmk_rat_cmp(low, high) > 0)) {
        nmk_rat_set_int(&sum, c->n == 0 && inside(nominal, low, high));
        goto out;
    }
    if (low) { /* 1 - P(S <= low - nominal) - P(S <= nominal - high) */
        nmk_rat_sub(&t, low, nominal);
        nmk_chance_below(&below, c, &t);
        nmk_rat_sub(&sum, &sum, &below);
    }
    if (high) {
        nmk_rat_sub(&t, nominal, high);
        nmk_chance_below(&above, c, &t);
        nmk_rat_sub(&sum, &sum, &above);
    }
out:
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&t);
    nmk_rat_clear(&below);
    nmk_rat_clear(&above);
    nmk_rat_clear(&sum);
}
