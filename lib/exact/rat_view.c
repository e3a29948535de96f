#include "exact/rat_view.h"

#include "base/debug.h"
#include "base/memory.h"
#include "exact/word.h"

static void whole_view(mpz_ptr z, mp_limb_t *limbs, bool negative, uint64_t size)
{
    mp_size_t count = 0;
    for (uint64_t rest = size; rest; count++) {
        limbs[count] = (mp_limb_t)rest;
        rest = GMP_NUMB_BITS < 64 ? rest >> (GMP_NUMB_BITS % 64) : 0;
    }
    (void)mpz_roinit_n(z, limbs, negative ? -count : count);
}

mpq_srcptr nmk_rat_view(struct nmk_rat_view *room, const struct nmk_rat *a)
{
    if (a->big)
        return a->big;
    whole_view(mpq_numref(&room->q), room->num, a->num < 0, nmk_word_size(a->num));
    whole_view(mpq_denref(&room->q), room->den, false, (uint64_t)a->less + 1);
    return &room->q;
}

bool nmk_rat_word_of(uint64_t *out, mpz_srcptr z)
{
    if (mpz_size(z) > NMK_RAT_VIEW_LIMBS)
        return false;
    uint64_t word = 0;
    for (mp_size_t i = 0; i < NMK_RAT_VIEW_LIMBS; i++)
        word |= (uint64_t)mpz_getlimbn(z, i) << (i * GMP_NUMB_BITS % 64);
    *out = word;
    return true;
}

/* Small if and only if it fits: both sizes at most NMK_RAT_MAX. */
static bool take_small(struct nmk_rat *out, mpq_srcptr q)
{
    uint64_t num, den;
    if (!nmk_rat_word_of(&num, mpq_numref(q)) || !nmk_rat_word_of(&den, mpq_denref(q)))
        return false;
    if (num > (uint64_t)NMK_RAT_MAX || den > (uint64_t)NMK_RAT_MAX)
        return false;
    int64_t size = (int64_t)num;
    bool negative = mpq_sgn(q) < 0;
    nmk_rat_clear(out);
    out->num = negative ? -size : size;
    out->less = (int64_t)den - 1;
    return true;
}

bool nmk_rat_is_lowest(mpq_srcptr q)
{
    mpz_t g;
    if (mpz_sgn(mpq_denref(q)) <= 0)
        return false;
    mpz_init(g);
    mpz_gcd(g, mpq_numref(q), mpq_denref(q));
    bool lowest = mpz_cmp_ui(g, 1) == 0;
    mpz_clear(g);
    return lowest;
}

void nmk_rat_take(struct nmk_rat *out, mpq_ptr q)
{
    NMK_DEBUG_ASSERT(nmk_rat_is_lowest(q));
    if (take_small(out, q)) {
        mpq_clear(q);
    } else if (out->big) {
        mpq_swap(out->big, q);
        mpq_clear(q);
    } else {
        mpq_ptr box = nmk_memory_new(1, sizeof *box);
        *box = *q;
        *out = (struct nmk_rat){.big = box};
    }
}

void nmk_rat_take_whole(struct nmk_rat *out, mpz_ptr z)
{
    mpq_t q;
    mpq_init(q);
    mpz_swap(mpq_numref(q), z);
    mpz_clear(z);
    nmk_rat_take(out, q);
}

enum { wide_limbs = 2 * NMK_RAT_VIEW_LIMBS };

/* A GMP rational for out with room for two wide numbers. Growing keeps the old value: out is the same until written. */
static mpq_ptr wide_room(struct nmk_rat *out)
{
    if (out->big) {
        mpq_ptr q = out->big;
        (void)mpz_limbs_modify(mpq_numref(q), wide_limbs);
        (void)mpz_limbs_modify(mpq_denref(q), wide_limbs);
        return q;
    }
    mpq_ptr q = nmk_memory_new(1, sizeof *q);
    mpz_init2(mpq_numref(q), wide_limbs * GMP_NUMB_BITS);
    mpz_init2(mpq_denref(q), wide_limbs * GMP_NUMB_BITS);
    *out = (struct nmk_rat){.big = q};
    return q;
}

static void write_wide(mpz_ptr z, bool negative, nmk_wide_size size)
{
    mp_limb_t *limbs = mpz_limbs_write(z, wide_limbs);
    for (mp_size_t i = 0; i < wide_limbs; i++)
        limbs[i] = (mp_limb_t)(size >> (i * GMP_NUMB_BITS));
    mpz_limbs_finish(z, negative ? -wide_limbs : wide_limbs);
}

void nmk_rat_set_wide(struct nmk_rat *out, bool negative, nmk_wide_size num, nmk_wide_size den)
{
    if (num <= (nmk_wide_size)NMK_RAT_MAX && den <= (nmk_wide_size)NMK_RAT_MAX) {
        nmk_rat_set_words(out, negative, (uint64_t)num, (uint64_t)den);
        return;
    }
    NMK_DEBUG_ASSERT(nmk_wide_gcd(num, den) == 1 && den);
    mpq_ptr q = wide_room(out);
    write_wide(mpq_numref(q), negative, num);
    write_wide(mpq_denref(q), false, den);
}

void nmk_rat_set_words(struct nmk_rat *out, bool negative, uint64_t num, uint64_t den)
{
    NMK_DEBUG_ASSERT(nmk_word_gcd(num, den) == 1 && den);
    if (num > (uint64_t)NMK_RAT_MAX || den > (uint64_t)NMK_RAT_MAX) {
        nmk_rat_set_wide(out, negative, num, den);
        return;
    }
    if (out->big)
        nmk_rat_clear(out);
    out->num = negative ? -(int64_t)num : (int64_t)num;
    out->less = (int64_t)(den - 1);
}
