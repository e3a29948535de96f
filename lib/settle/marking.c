#include "settle/marking.h"

#include "base/memory.h"
#include "settle/ease.h"
#include "settle/marking_model.h"

static const int64_t MOST_MARKS = (int64_t)1 << 40; /* beyond every size of a design */

/* ---- unknowns and their costs ---- */

static void cost_of(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    const struct nmk_marking *m = context;
    parts[0] = parts[1] = parts[2] = 0;
    if (unknown >= m->length_count || m->unknowns[unknown].is_choice || m->plan.only_feasible)
        return;
    nmk_marks_cost(parts, m->plan.draft, unknown, x, m->plan.options);
}

static void set_number(struct nmk_marking *m, size_t length)
{
    struct nmk_whole_unknown *u = &m->unknowns[length];
    bool by_fineness = m->plan.options->prefer == NMK_EASIEST && !m->plan.only_feasible;
    nmk_marks_aim(u, m->plan.draft, length, by_fineness, m->plan.options->within);
    u->low = 1;
    u->high = 0;
}

/* Ranks of the sizes of a punch by A times B, the best 0; of equal sizes the earlier in the list. */
static int64_t *ranks_of(const struct nmk_punches *punches, bool largest)
{
    int64_t *ranks = nmk_memory_new(punches->count, sizeof *ranks);
    struct nmk_rat *areas = nmk_memory_new(punches->count, sizeof *areas);
    for (size_t i = 0; i < punches->count; i++)
        nmk_rat_mul(&areas[i], &punches->sizes[i][NMK_ACROSS], &punches->sizes[i][NMK_DOWN]);
    for (size_t i = 0; i < punches->count; i++)
        for (size_t k = 0; k < punches->count; k++) {
            int order = nmk_rat_cmp(&areas[k], &areas[i]);
            if (largest)
                order = -order;
            ranks[i] += order < 0 || (order == 0 && k < i);
        }
    for (size_t i = 0; i < punches->count; i++)
        nmk_rat_clear(&areas[i]);
    nmk_memory_free(areas);
    return ranks;
}

static void make_unknowns(struct nmk_marking *m)
{
    void *unknowns = NULL;
    m->length_count = m->unknown_count = nmk_design_length_count(m->design);
    nmk_memory_reserve(&unknowns, &m->unknown_space, m->length_count, sizeof *m->unknowns);
    m->unknowns = unknowns;
    m->watched = nmk_memory_new(m->length_count, sizeof *m->watched);
    for (size_t i = 0; i < m->length_count; i++) {
        const struct nmk_length *length = nmk_design_length(m->design, i);
        if (length->kind != NMK_LENGTH_CHOICE) {
            set_number(m, i);
            continue;
        }
        const struct nmk_punches *punches = nmk_design_punches(m->design, length->punches);
        m->unknowns[i].is_choice = true;
        m->unknowns[i].high = (int64_t)punches->count - 1;
        m->unknowns[i].ranks = ranks_of(punches, length->is_opening);
    }
    const struct nmk_held *held = m->plan.held;
    if (held && !m->unknowns[held->length].is_choice) {
        m->unknowns[held->length].low = held->low > 1 ? held->low : 1;
        m->unknowns[held->length].high = held->high;
    }
}

void nmk_marking_add_unknown(struct nmk_marking *m, int64_t low, int64_t high)
{
    void *unknowns = m->unknowns;
    nmk_memory_reserve(&unknowns, &m->unknown_space, m->unknown_count + 1, sizeof *m->unknowns);
    m->unknowns = unknowns;
    struct nmk_whole_unknown *u = &m->unknowns[m->unknown_count++];
    u->low = u->settled_low = low;
    u->high = u->settled_high = high;
}

/* ---- demands ---- */

struct nmk_whole_demand *nmk_marking_new_demand(struct nmk_marking *m)
{
    void *demands = m->demands;
    nmk_memory_reserve(&demands, &m->demand_space, m->demand_count + 1, sizeof *m->demands);
    m->demands = demands;
    return &m->demands[m->demand_count++];
}

/* Puts a choice's share for one way into its table. */
static void add_to_table(const struct nmk_marking *m, struct nmk_whole_term *term, size_t way, const struct nmk_rat *times)
{
    const struct nmk_punches *punches = nmk_design_punches(m->design, nmk_design_length(m->design, term->unknown)->punches);
    struct nmk_rat *table = (struct nmk_rat *)term->table;
    if (!table)
        term->table = table = nmk_memory_new(punches->count, sizeof *table);
    for (size_t i = 0; i < punches->count; i++)
        nmk_rat_addmul(&table[i], times, &punches->sizes[i][way]);
}

/* The terms of a form. Choices stand after the numbers in it, first all across, then all down: one term each. */
void nmk_marking_set_terms(const struct nmk_marking *m, struct nmk_whole_demand *d, const struct nmk_affine *form)
{
    struct nmk_whole_term *terms = nmk_memory_new(form->count, sizeof *terms);
    nmk_rat_set(&d->constant, &form->constant);
    for (size_t i = 0; i < form->count; i++) {
        size_t unknown = (size_t)(form->terms[i].name & UINT32_MAX), way = (size_t)(form->terms[i].name >> 32);
        size_t k = d->count;
        while (way && k > 0 && terms[k - 1].unknown != unknown)
            k--;
        struct nmk_whole_term *term = way && k > 0 ? &terms[k - 1] : &terms[d->count++];
        term->unknown = unknown;
        if (way)
            add_to_table(m, term, way - 1, &form->terms[i].times);
        else
            nmk_rat_set(&term->times, &form->terms[i].times);
    }
    d->terms = terms;
}

static void clear_terms(struct nmk_marking *m, struct nmk_whole_demand *d)
{
    for (size_t i = 0; i < d->count; i++) {
        struct nmk_whole_term *term = (struct nmk_whole_term *)&d->terms[i];
        size_t options = term->table ? (size_t)m->unknowns[term->unknown].high + 1 : 0;
        for (size_t k = 0; k < options; k++)
            nmk_rat_clear((struct nmk_rat *)&term->table[k]);
        nmk_memory_free((struct nmk_rat *)term->table);
        nmk_rat_clear(&term->times);
    }
    nmk_memory_free((struct nmk_whole_term *)d->terms);
    d->terms = NULL;
    d->count = 0;
}

void nmk_marking_set_bounds(struct nmk_whole_demand *d, const struct nmk_rat *low, const struct nmk_rat *high)
{
    d->has_least = low != NULL;
    d->has_most = high != NULL;
    if (low)
        nmk_rat_set(&d->least, low);
    if (high)
        nmk_rat_set(&d->most, high);
}

static void add_design_demand(struct nmk_marking *m, size_t i)
{
    const struct nmk_clearance *clearance = &m->plan.clearances->all[i];
    struct nmk_affine form = {0};
    nmk_marking_form(&form, m, i);
    for (size_t k = 0; k < form.count; k++)
        m->watched[form.terms[k].name & UINT32_MAX] = true;
    struct nmk_whole_demand *d = nmk_marking_new_demand(m);
    nmk_marking_set_terms(m, d, &form);
    nmk_marking_set_bounds(d, clearance->low, clearance->high);
    if (m->plan.judge && !nmk_design_demand(m->design, i)->exact) {
        d->graded = true;
        nmk_judge_sure_range(&d->sure_least, &d->has_sure_least, &d->sure_most, &d->has_sure_most, m->plan.judge, i,
                             &m->plan.options->sure);
    }
    nmk_affine_clear(&form);
}

static void grade_of(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    const struct nmk_marking *m = context;
    nmk_judge_grade(out, m->plan.judge, demand, v, &m->plan.options->sure);
}

static bool progress_of(void *context, uint64_t steps)
{
    const struct nmk_settle_options *options = ((const struct nmk_marking *)context)->plan.options;
    return options->progress(options->context, steps);
}

/* By piece and way: does a mat lie on that whole size? Then the mat's one mark sees to its own. */
static bool (*find_covered(const struct nmk_marking *m))[2]
{
    bool(*covered)[2] = nmk_memory_new(nmk_design_piece_count(m->design), sizeof *covered);
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_MAT && way <= NMK_DOWN; way++) {
            const struct nmk_formula *on = way == NMK_ACROSS ? piece->on.across : piece->on.down;
            if (on->kind == NMK_F_WHOLE)
                covered[on->subject][on->part] = true;
        }
    }
    return covered;
}

/* (4) */
static void add_mat_demands(struct nmk_marking *m)
{
    bool(*covered)[2] = find_covered(m);
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        if (nmk_design_piece(m->design, i)->kind != NMK_PIECE_MAT)
            continue;
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
            if (covered[i][way])
                continue;
            struct nmk_whole_demand *d = nmk_marking_new_demand(m);
            nmk_marking_set_terms(m, d, &m->wholes[i][way]);
            nmk_marking_set_bounds(d, nmk_draft_step(m->plan.draft), NULL);
        }
    }
    nmk_memory_free(covered);
}

/* ---- strips of whole marks: (2) ---- */

/* strip = a whole number of marks, in a new unknown that costs nothing. */
static void add_strip(struct nmk_marking *m, size_t border)
{
    struct nmk_affine form = {0}, strip = {0};
    struct nmk_rat minus = {0}, zero = {0};
    size_t unknown = m->unknown_count;
    nmk_marking_add_unknown(m, -MOST_MARKS, MOST_MARKS);
    nmk_rat_neg(&minus, nmk_draft_step(m->plan.draft));
    nmk_marking_form(&form, m, border);
    nmk_affine_add_term(&form, unknown, &minus);
    struct nmk_whole_demand *d = nmk_marking_new_demand(m);
    nmk_marking_set_terms(m, d, &form);
    nmk_marking_set_bounds(d, &zero, &zero);
    if (!m->plan.strips_apart) {
        nmk_affine_add_term(&strip, unknown, nmk_draft_step(m->plan.draft));
        clear_terms(m, &m->demands[border]);
        nmk_marking_set_terms(m, &m->demands[border], &strip);
    }
    nmk_affine_clear(&form);
    nmk_affine_clear(&strip);
    nmk_rat_clear(&minus);
}

/* The two borders of an `even whole` stand just before it. */
static void add_strips(struct nmk_marking *m)
{
    for (size_t i = 2; i < nmk_design_demand_count(m->design); i++)
        if (nmk_design_demand(m->design, i)->whole) {
            add_strip(m, i - 2);
            add_strip(m, i - 1);
        }
}

/* ---- the whole ---- */

void nmk_marking_new(struct nmk_marking **out, const struct nmk_marking_plan *plan)
{
    struct nmk_marking *m = nmk_memory_new(1, sizeof *m);
    m->plan = *plan;
    m->design = nmk_draft_design(plan->draft);
    nmk_marking_make_wholes(m);
    make_unknowns(m);
    for (size_t i = 0; i < nmk_design_demand_count(m->design); i++)
        add_design_demand(m, i);
    m->places.mats = m->demand_count;
    if (!plan->mats_unbound)
        add_mat_demands(m);
    m->places.widths = m->demand_count;
    nmk_marking_add_rows(m, false);
    m->places.rests = m->demand_count;
    nmk_marking_add_rows(m, true);
    m->places.strips = m->demand_count;
    add_strips(m);
    if (nmk_draft_score_marks(plan->draft) > 1)
        nmk_marking_add_scores(m);
    m->problem = (struct nmk_whole_problem){
        .unknown_count = m->unknown_count,
        .demand_count = m->demand_count,
        .remainder_count = m->remainder_count,
        .unknowns = m->unknowns,
        .demands = m->demands,
        .remainders = m->remainders,
        .grade = grade_of,
        .cost = cost_of,
        .context = m,
        .progress = plan->options->progress ? progress_of : NULL,
        .any = plan->only_feasible,
        .most_steps = plan->options->most_steps,
    };
    *out = m;
}

static void free_demand(struct nmk_marking *m, struct nmk_whole_demand *d)
{
    clear_terms(m, d);
    nmk_rat_clear(&d->constant);
    nmk_rat_clear(&d->least);
    nmk_rat_clear(&d->most);
    nmk_rat_clear(&d->sure_least);
    nmk_rat_clear(&d->sure_most);
}

void nmk_marking_free(struct nmk_marking *m)
{
    if (!m)
        return;
    for (size_t i = 0; i < m->demand_count; i++)
        free_demand(m, &m->demands[i]);
    for (size_t i = 0; i < m->unknown_count; i++) {
        nmk_memory_free((int64_t *)m->unknowns[i].ranks);
    }
    for (size_t i = 0; i < m->remainder_count; i++) {
        nmk_memory_free((size_t *)m->remainders[i].unknowns);
        nmk_memory_free((int64_t *)m->remainders[i].times);
    }
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        nmk_affine_clear(&m->wholes[i][NMK_ACROSS]);
        nmk_affine_clear(&m->wholes[i][NMK_DOWN]);
    }
    nmk_memory_free(m->wholes);
    nmk_memory_free(m->odds);
    nmk_memory_free(m->unknowns);
    nmk_memory_free(m->demands);
    nmk_memory_free(m->remainders);
    nmk_memory_free(m->watched);
    nmk_memory_free(m);
}

const struct nmk_whole_problem *nmk_marking_problem(const struct nmk_marking *marking)
{
    return &marking->problem;
}

struct nmk_marking_places nmk_marking_places(const struct nmk_marking *marking)
{
    return marking->places;
}

void nmk_marking_value(struct nmk_rat *out, const struct nmk_whole_demand *demand, const int64_t *values)
{
    struct nmk_rat sum = {0}, marks = {0};
    nmk_rat_set(&sum, &demand->constant);
    for (size_t i = 0; i < demand->count; i++) {
        const struct nmk_whole_term *term = &demand->terms[i];
        nmk_rat_set_int(&marks, values[term->unknown]);
        if (term->table)
            nmk_rat_add(&sum, &sum, &term->table[values[term->unknown]]);
        else
            nmk_rat_addmul(&sum, &term->times, &marks);
    }
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&marks);
}

bool nmk_marking_unwatched(const struct nmk_marking *marking, size_t length)
{
    return !marking->watched[length];
}

/* A border's strip in marks. */
static int64_t strip_of(const struct nmk_marking *m, size_t border, const int64_t *values)
{
    struct nmk_affine form = {0};
    struct nmk_rat sum = {0}, x = {0};
    int64_t strip = 0;
    nmk_marking_form(&form, m, border);
    nmk_rat_set(&sum, &form.constant);
    for (size_t i = 0; i < form.count; i++) {
        size_t length = (size_t)(form.terms[i].name & UINT32_MAX), way = (size_t)(form.terms[i].name >> 32);
        if (way)
            nmk_rat_set(
                &x,
                &nmk_design_punches(m->design, nmk_design_length(m->design, length)->punches)->sizes[values[length]][way - 1]);
        else
            nmk_rat_set_int(&x, values[length]);
        nmk_rat_addmul(&sum, &x, &form.terms[i].times);
    }
    nmk_rat_div(&sum, &sum, nmk_draft_step(m->plan.draft));
    (void)nmk_rat_get_int(&strip, &sum); /* whole where the marks are allowed */
    nmk_affine_clear(&form);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&x);
    return strip;
}

static int64_t *values_of(const struct nmk_marking *m, const int64_t *marks, const size_t *choices)
{
    int64_t *values = nmk_memory_new(m->unknown_count, sizeof *values);
    for (size_t i = 0; i < m->length_count; i++)
        values[i] = m->unknowns[i].is_choice ? (int64_t)choices[i] : marks[i];
    for (size_t i = 2, strip = m->length_count; i < nmk_design_demand_count(m->design); i++)
        if (nmk_design_demand(m->design, i)->whole) {
            values[strip++] = strip_of(m, i - 2, values);
            values[strip++] = strip_of(m, i - 1, values);
        }
    for (size_t i = 0; i < m->odd_count; i++)
        values[m->unknown_count - m->odd_count + i] = nmk_marking_odd_value(m, &m->odds[i], values);
    return values;
}

int nmk_marking_compare(const struct nmk_marking *marking, const int64_t *a_marks, const size_t *a_choices,
                        const int64_t *b_marks, const size_t *b_choices)
{
    int64_t *a = values_of(marking, a_marks, a_choices), *b = values_of(marking, b_marks, b_choices);
    int order = nmk_whole_compare(&marking->problem, a, b);
    nmk_memory_free(a);
    nmk_memory_free(b);
    return order;
}
