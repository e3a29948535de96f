/* rat_view.h -- the big path of rat.h: any rational read as a GMP number, and a GMP number stored as a rational. */
#ifndef LIB_EXACT_RAT_VIEW_H
#define LIB_EXACT_RAT_VIEW_H

#include <gmp.h>

#include "exact/word.h"
#include "nearmark/rat.h"

enum { NMK_RAT_VIEW_LIMBS = (64 + GMP_NUMB_BITS - 1) / GMP_NUMB_BITS };

/* Room for a small value dressed as a GMP number. Nothing in it is allocated: nothing is to be released. */
struct nmk_rat_view {
    __mpq_struct q;
    mp_limb_t num[NMK_RAT_VIEW_LIMBS], den[NMK_RAT_VIEW_LIMBS];
};

/* `a` for reading by GMP; borrowed from `a` and `room`, good while both last and `a` is not written. */
mpq_srcptr nmk_rat_view(struct nmk_rat_view *room, const struct nmk_rat *a);

/* Stores q, which must be canonical, and clears it: q is used up. If memory runs out, out is untouched. */
void nmk_rat_take(struct nmk_rat *out, mpq_ptr q);
/* The same with an integer. */
void nmk_rat_take_whole(struct nmk_rat *out, mpz_ptr z);
/* (negative ? -num : num) / den, which must be in lowest terms with den >= 1. */
void nmk_rat_set_words(struct nmk_rat *out, bool negative, uint64_t num, uint64_t den);
void nmk_rat_set_wide(struct nmk_rat *out, bool negative, nmk_wide_size num, nmk_wide_size den);

/* The denominator is positive and has no factor in common with the numerator. */
bool nmk_rat_is_lowest(mpq_srcptr q);

/* *out = |z| and true if that is below 2^64. */
bool nmk_rat_word_of(uint64_t *out, mpz_srcptr z);

#endif
