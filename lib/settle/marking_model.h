/* marking_model.h -- what a marking is made of, for the files that make it. */
#ifndef LIB_SETTLE_MARKING_MODEL_H
#define LIB_SETTLE_MARKING_MODEL_H

#include "settle/marking.h"

/* (5) The odd mark of what is left in a row with two rests. */
struct nmk_marking_odd {
    size_t piece, row;
    int way;
};

struct nmk_marking {
    struct nmk_marking_plan plan;
    const struct nmk_design *design;
    size_t length_count;
    struct nmk_affine (*wholes)[2]; /* by piece and way, over names of lengths */
    struct nmk_whole_problem problem;
    struct nmk_whole_unknown *unknowns;
    struct nmk_whole_demand *demands;
    struct nmk_whole_remainder *remainders;
    size_t unknown_count, demand_count, demand_space, remainder_count, remainder_space, unknown_space;
    bool *watched;  /* by length */
    struct nmk_marking_places places;
    struct nmk_marking_odd *odds; /* one for each such unknown, in order */
    size_t odd_count, odd_space;
};

/* Forms over lengths (marking_form). */
void nmk_marking_make_wholes(struct nmk_marking *marking);
/* Empties sum. */
void nmk_marking_add_in_mm(struct nmk_affine *form, const struct nmk_marking *marking, struct nmk_affine *sum);

/* What is added to the problem (marking). A demand's terms are the caller's to set, once. */
struct nmk_whole_demand *nmk_marking_new_demand(struct nmk_marking *marking);
void nmk_marking_set_terms(const struct nmk_marking *marking, struct nmk_whole_demand *demand, const struct nmk_affine *form);
void nmk_marking_set_bounds(struct nmk_whole_demand *demand, const struct nmk_rat *low, const struct nmk_rat *high);
void nmk_marking_add_unknown(struct nmk_marking *marking, int64_t low, int64_t high);

/* Rows and scores (marking_rows). rests: of the lists with a rest, else of those without. */
void nmk_marking_add_rows(struct nmk_marking *marking, bool rests);
void nmk_marking_add_scores(struct nmk_marking *marking);
int64_t nmk_marking_odd_value(const struct nmk_marking *marking, const struct nmk_marking_odd *odd, const int64_t *values);

#endif
