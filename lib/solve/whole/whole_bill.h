/* whole_bill.h -- what it costs at least to meet a demand that is not met where its unknowns stand.
 *
 * An unknown that helps is an option: it moves on by one number or more. Options whose next number costs more than its
 * distance are dear; what they have in common with all is that each further step costs no less than the one before. */
#ifndef LIB_SOLVE_WHOLE_BILL_H
#define LIB_SOLVE_WHOLE_BILL_H

#include "solve/whole/whole_stand.h"

struct nmk_option {
    uint32_t number;
    bool up;
    int64_t from;    /* where it stands */
    int64_t gives;   /* towards the need, with each step */
    int64_t saved;   /* so much is its first step shorter than its later ones */
    nmk_price first; /* what the first step costs */
    nmk_price more;  /* nmk_bill_with: what the need costs at least if it moves */
};

struct nmk_bill {
    uint32_t options;
    nmk_price first; /* the least first step */
    nmk_price total; /* what it costs at least */
    /* how it comes about */
    int64_t lacks;           /* of the need */
    nmk_price dear[2];       /* the two least first steps of dear options */
    int64_t saved[2];        /* the two most that a dear one's first step is shorter than its later ones */
    nmk_price alone;         /* the least of a dear one that meets the need by itself */
    int64_t cheap_sum;       /* what the others can give, as far as it is of use */
    int64_t way, for_each;   /* of the others, the shortest way for what it gives: for each step; for_each 0: none */
    int64_t any_way, any_for_each; /* of all, the dear ones by their later steps */
};

/* False if the term's unknown cannot help. The need must be unmet. */
bool nmk_option_make(struct nmk_option *out, struct nmk_stand *stand, const struct nmk_stand_need *need,
                     const struct nmk_stand_term *term);
void nmk_bill_make(struct nmk_bill *out, struct nmk_stand *stand, const struct nmk_stand_need *need);
/* What the need costs at least if this option moves. */
nmk_price nmk_bill_with(const struct nmk_bill *bill, const struct nmk_option *option);

#endif
