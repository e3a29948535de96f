#include "solve/whole/whole_kept.h"

/* False if the value does not fit. */
static bool value_of(int64_t *out, const struct nmk_model *m, const struct nmk_model_demand *d, const int64_t *values)
{
    *out = 0;
    for (size_t k = 0; k < d->count; k++) {
        const struct nmk_model_term *t = &m->terms[d->first + k];
        int64_t x = values[t->unknown], n;
        if (t->table_low)
            n = t->table_low[x];
        else if (__builtin_mul_overflow(t->low, x, &n))
            return false;
        if (__builtin_add_overflow(*out, n, out))
            return false;
    }
    return true;
}

bool nmk_is_kept(const struct nmk_model *m, size_t demand, const int64_t *values)
{
    const struct nmk_model_demand *d = &m->demands[demand];
    const struct nmk_whole_demand *source = &m->problem->demands[demand];
    int64_t n;
    if (m->problem->any && source->soft)
        return true;
    if (!d->is_scaled || !value_of(&n, m, d, values) || n < d->least || n > d->most)
        return false;
    return !d->is_graded || (n >= d->sure_least && n <= d->sure_most);
}

bool nmk_is_remainder_kept(const struct nmk_whole_remainder *r, const int64_t *values)
{
    __int128 rest = -r->residue;
    for (size_t k = 0; k < r->count; k++)
        rest += (__int128)r->times[k] * values[r->unknowns[k]] % r->modulus;
    return rest % r->modulus == 0;
}
