#include "settle/own_clearance.h"

#include "base/memory.h"
#include "fit/cases.h"
#include "settle/card_forms.h"

static void free_terms(struct nmk_own_term *terms, size_t count)
{
    for (size_t i = 0; i < count; i++)
        nmk_rat_clear(&terms[i].times);
    nmk_memory_free(terms);
}

void nmk_own_clearance_clear(struct nmk_own_clearance *c)
{
    for (size_t i = 0; i < c->case_count; i++)
        nmk_widths_free(c->cases[i].widths, c->cases[i].count);
    nmk_memory_free(c->cases);
    free_terms(c->lengths, c->length_count);
    free_terms(c->measures, c->measure_count);
    nmk_rat_clear(&c->constant);
    *c = (struct nmk_own_clearance){0};
}

static void add_term(struct nmk_own_term *terms, size_t *count, size_t index, const struct nmk_rat *times)
{
    terms[*count].index = index;
    nmk_rat_set(&terms[(*count)++].times, times);
}

/* The size that is punched, of a name of a choice (marking.h). */
static const struct nmk_rat *punched(const struct nmk_carding *c, uint64_t name, const int64_t *values)
{
    size_t length = (size_t)(name & UINT32_MAX), way = (size_t)(name >> 32) - 1;
    const struct nmk_punches *punches = nmk_design_punches(c->design, nmk_design_length(c->design, length)->punches);
    return &punches->sizes[values[length]][way];
}

/* The marking's form has every measure at its size in the file: of those that are read it is taken out again. */
static void put_form(struct nmk_own_clearance *out, const struct nmk_carding *c, size_t demand, const int64_t *values)
{
    struct nmk_affine form = {0}, own = {0};
    struct nmk_rat minus = {0};
    nmk_marking_form(&form, c->marking, demand);
    nmk_card_own_measures(&own, c, demand);
    out->lengths = nmk_memory_new(form.count, sizeof *out->lengths);
    out->measures = nmk_memory_new(own.count, sizeof *out->measures);
    nmk_rat_set(&out->constant, &form.constant);
    for (size_t i = 0; i < form.count; i++) {
        if (form.terms[i].name > UINT32_MAX)
            nmk_rat_addmul(&out->constant, &form.terms[i].times, punched(c, form.terms[i].name, values));
        else
            add_term(out->lengths, &out->length_count, (size_t)form.terms[i].name, &form.terms[i].times);
    }
    for (size_t i = 0; i < own.count; i++) {
        size_t measure = (size_t)own.terms[i].name;
        nmk_rat_neg(&minus, &own.terms[i].times);
        nmk_rat_addmul(&out->constant, &minus, &nmk_design_measure(c->design, measure)->size);
        add_term(out->measures, &out->measure_count, measure, &own.terms[i].times);
    }
    nmk_affine_clear(&form);
    nmk_affine_clear(&own);
    nmk_rat_clear(&minus);
}

/* A case with the same widths as one before it tells nothing new. The errors of products hang on the sizes, and are too small
 * to be told from none. */
static void add_case(struct nmk_own_clearance *out, const struct nmk_errors *errors)
{
    struct nmk_own_case one;
    struct nmk_errors kept = {nmk_memory_new(errors->count, sizeof *kept.all), 0}; /* borrowed */
    for (size_t i = 0; i < errors->count; i++)
        if (errors->all[i].kind != NMK_ERROR_PRODUCT)
            kept.all[kept.count++] = errors->all[i];
    one.count = nmk_errors_widths(&one.widths, &kept, NULL, 0);
    nmk_memory_free(kept.all);
    for (size_t i = 0; i < out->case_count; i++) {
        if (nmk_widths_cmp(out->cases[i].widths, out->cases[i].count, one.widths, one.count))
            continue;
        nmk_widths_free(one.widths, one.count);
        return;
    }
    out->cases[out->case_count++] = one;
}

static bool put_cases(struct nmk_own_clearance *out, const struct nmk_carding *c, size_t demand)
{
    const struct nmk_clearance *clearance = &c->clearances->all[demand];
    struct nmk_cases cases;
    if (nmk_design_demand(c->design, demand)->exact) {
        out->cases = nmk_memory_new(1, sizeof *out->cases);
        out->case_count = 1;
        return true;
    }
    if (nmk_cases_new(&cases, clearance, c->rounded) != NMK_OK)
        return false;
    out->cases = nmk_memory_new(cases.count, sizeof *out->cases);
    for (size_t i = 0; i < cases.count; i++) {
        struct nmk_errors errors;
        nmk_errors_new(&errors, clearance, nmk_cases_picks(&cases, i), cases.pick_count, c->rounded);
        add_case(out, &errors);
        nmk_errors_free(&errors);
    }
    nmk_cases_free(&cases);
    return true;
}

bool nmk_own_clearance_make(struct nmk_own_clearance *out, const struct nmk_carding *c, size_t demand, const int64_t *values)
{
    struct nmk_own_clearance own = {0};
    if (c->cards[demand].chart_only || !put_cases(&own, c, demand))
        return false;
    put_form(&own, c, demand, values);
    *out = own;
    return true;
}
