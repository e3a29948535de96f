#include "nearmark/affine.h"

#include <assert.h>

#include "base/debug.h"
#include "base/memory.h"

/* Slots of `terms` past `count` hold zero rationals, so that they may be set without further care. */

void nmk_affine_init(struct nmk_affine *f)
{
    *f = (struct nmk_affine){0};
}

static void clear_terms(struct nmk_affine *f)
{
    for (size_t i = 0; i < f->count; i++)
        nmk_rat_clear(&f->terms[i].times);
    f->count = 0;
}

void nmk_affine_clear(struct nmk_affine *f)
{
    clear_terms(f);
    nmk_memory_free(f->terms);
    nmk_rat_clear(&f->constant);
    nmk_affine_init(f);
}

void nmk_affine_swap(struct nmk_affine *a, struct nmk_affine *b)
{
    struct nmk_affine kept = *a;
    *a = *b;
    *b = kept;
}

static void reserve(struct nmk_affine *f, size_t wanted)
{
    void *terms = f->terms;
    nmk_memory_reserve(&terms, &f->space, wanted, sizeof *f->terms);
    f->terms = terms;
}

/* The slot after the last, a zero, not yet counted: counted by `keep` if it became other than zero. */
static struct nmk_rat *next_slot(struct nmk_affine *f, uint64_t name)
{
    assert(f->count < f->space && nmk_rat_is_zero(&f->terms[f->count].times));
    f->terms[f->count].name = name;
    return &f->terms[f->count].times;
}

static void keep(struct nmk_affine *f)
{
    if (!nmk_rat_is_zero(&f->terms[f->count].times))
        f->count++;
}

/* out = what was built in `made`. */
static void deliver(struct nmk_affine *out, struct nmk_affine *made)
{
    NMK_DEBUG_ASSERT(nmk_affine_is_canonical(made));
    nmk_affine_swap(out, made);
    nmk_affine_clear(made);
}

void nmk_affine_set(struct nmk_affine *out, const struct nmk_affine *a)
{
    if (out == a)
        return;
    struct nmk_affine made = {0};
    reserve(&made, a->count);
    nmk_rat_set(&made.constant, &a->constant);
    for (size_t i = 0; i < a->count; i++) {
        nmk_rat_set(next_slot(&made, a->terms[i].name), &a->terms[i].times);
        keep(&made);
    }
    deliver(out, &made);
}

void nmk_affine_set_rat(struct nmk_affine *out, const struct nmk_rat *c)
{
    struct nmk_affine made = {0};
    nmk_rat_set(&made.constant, c);
    deliver(out, &made);
}

typedef void operation(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b);

/* Two sorted lists, the smaller name first; a name met in both once, and not at all where it comes to 0. */
static void merge(operation *apply, struct nmk_affine *out, const struct nmk_affine *a, const struct nmk_affine *b)
{
    static const struct nmk_rat zero;
    struct nmk_affine made = {0};
    size_t i = 0, j = 0;
    reserve(&made, a->count + b->count);
    apply(&made.constant, &a->constant, &b->constant);
    while (i < a->count || j < b->count) {
        bool left = i < a->count && (j == b->count || a->terms[i].name <= b->terms[j].name);
        bool right = j < b->count && (i == a->count || b->terms[j].name <= a->terms[i].name);
        struct nmk_rat *slot = next_slot(&made, left ? a->terms[i].name : b->terms[j].name);
        apply(slot, left ? &a->terms[i].times : &zero, right ? &b->terms[j].times : &zero);
        keep(&made);
        i += left;
        j += right;
    }
    deliver(out, &made);
}

void nmk_affine_add(struct nmk_affine *out, const struct nmk_affine *a, const struct nmk_affine *b)
{
    merge(nmk_rat_add, out, a, b);
}

void nmk_affine_sub(struct nmk_affine *out, const struct nmk_affine *a, const struct nmk_affine *b)
{
    merge(nmk_rat_sub, out, a, b);
}

void nmk_affine_scale(struct nmk_affine *out, const struct nmk_affine *a, const struct nmk_rat *times)
{
    struct nmk_affine made = {0};
    reserve(&made, a->count);
    nmk_rat_mul(&made.constant, &a->constant, times);
    for (size_t i = 0; i < a->count; i++) {
        nmk_rat_mul(next_slot(&made, a->terms[i].name), &a->terms[i].times, times);
        keep(&made);
    }
    deliver(out, &made);
}

void nmk_affine_add_rat(struct nmk_affine *f, const struct nmk_rat *c)
{
    nmk_rat_add(&f->constant, &f->constant, c);
}

/* The first place whose name is not below `name`. */
static size_t place_of(const struct nmk_affine *f, uint64_t name)
{
    size_t low = 0, high = f->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (f->terms[middle].name < name)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static bool is_at(const struct nmk_affine *f, size_t place, uint64_t name)
{
    return place < f->count && f->terms[place].name == name;
}

static void insert(struct nmk_affine *f, size_t place, uint64_t name, struct nmk_rat *times)
{
    assert(place <= f->count && !is_at(f, place, name));
    reserve(f, f->count + 1);
    for (size_t i = f->count++; i > place; i--)
        f->terms[i] = f->terms[i - 1];
    f->terms[place] = (struct nmk_affine_term){.name = name};
    nmk_rat_swap(&f->terms[place].times, times);
}

static void take_out(struct nmk_affine *f, size_t place)
{
    assert(place < f->count);
    nmk_rat_clear(&f->terms[place].times);
    f->count--;
    for (size_t i = place; i < f->count; i++)
        f->terms[i] = f->terms[i + 1];
    f->terms[f->count] = (struct nmk_affine_term){0};
}

/* `times` may be a coefficient of f itself: it is copied before anything moves. */
void nmk_affine_add_term(struct nmk_affine *f, uint64_t name, const struct nmk_rat *times)
{
    NMK_DEBUG_ASSERT(nmk_affine_is_canonical(f));
    struct nmk_rat copy = {0};
    size_t place = place_of(f, name);
    if (nmk_rat_is_zero(times))
        return;
    if (is_at(f, place, name)) {
        nmk_rat_add(&f->terms[place].times, &f->terms[place].times, times);
        if (nmk_rat_is_zero(&f->terms[place].times))
            take_out(f, place);
    } else {
        nmk_rat_set(&copy, times);
        insert(f, place, name, &copy);
    }
}

const struct nmk_rat *nmk_affine_times(const struct nmk_affine *f, uint64_t name)
{
    size_t place = place_of(f, name);
    return is_at(f, place, name) ? &f->terms[place].times : NULL;
}

bool nmk_affine_is_constant(const struct nmk_affine *f)
{
    return f->count == 0;
}

bool nmk_affine_equal(const struct nmk_affine *a, const struct nmk_affine *b)
{
    if (a->count != b->count || !nmk_rat_equal(&a->constant, &b->constant))
        return false;
    for (size_t i = 0; i < a->count; i++)
        if (a->terms[i].name != b->terms[i].name || !nmk_rat_equal(&a->terms[i].times, &b->terms[i].times))
            return false;
    return true;
}

bool nmk_affine_is_canonical(const struct nmk_affine *f)
{
    if (f->count > f->space || !nmk_rat_is_canonical(&f->constant))
        return false;
    for (size_t i = 0; i < f->count; i++) {
        const struct nmk_rat *times = &f->terms[i].times;
        if (nmk_rat_is_zero(times) || !nmk_rat_is_canonical(times))
            return false;
        if (i && f->terms[i - 1].name >= f->terms[i].name)
            return false;
    }
    return true;
}
