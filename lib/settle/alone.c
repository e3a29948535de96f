#include "settle/alone.h"

#include <string.h>

#include "base/memory.h"
#include "settle/ease.h"

/* A part's problem. Rationals in it are borrowed: from the marking, or from the draft of the row. */
struct solo {
    bool can;
    struct nmk_whole_unknown *unknowns;
    struct nmk_whole_demand *demands;
};

struct sure_range {
    bool has_least, has_most;
    struct nmk_rat least, most;
};

struct nmk_alone {
    const struct nmk_parts *parts;
    const struct nmk_clearances *clearances;
    const struct nmk_marking *marking;
    const struct nmk_settle_options *options;
    struct solo *solos;        /* by part */
    struct nmk_judge *judge;   /* at these edges; NULL: not made yet */
    struct nmk_text edges, key;
    struct sure_range *sure;   /* by demand */
    struct nmk_affine *forms;  /* by demand: at the sizes of the row */
    int64_t *marks;
    size_t *bad;
};

/* ---- the problems: made once ---- */

static const struct nmk_design *design_of(const struct nmk_alone *a)
{
    return nmk_draft_design(a->clearances->draft);
}

/* By length: its part. */
static size_t *part_of_lengths(const struct nmk_alone *a)
{
    size_t *part_of = nmk_memory_new(nmk_design_length_count(design_of(a)), sizeof *part_of);
    for (size_t p = 0; p < a->parts->count; p++)
        for (size_t k = 0; k < a->parts->all[p].length_count; k++)
            part_of[a->parts->all[p].lengths[k]] = p;
    return part_of;
}

/* Which parts can be settled here: (2), (3). */
static void find_able(struct nmk_alone *a, const struct nmk_whole_problem *p)
{
    size_t lengths = nmk_design_length_count(design_of(a)), *part_of = part_of_lengths(a);
    for (size_t i = 0; i < a->parts->count; i++)
        a->solos[i].can = true;
    for (size_t i = 0; i < a->parts->count; i++)
        for (size_t k = 0; k < a->parts->all[i].demand_count; k++)
            if (a->clearances->all[a->parts->all[i].demands[k]].product_count)
                a->solos[i].can = false;
    for (size_t i = a->clearances->count; i < p->demand_count; i++) /* strips and rows */
        for (size_t k = 0; k < p->demands[i].count; k++)
            if (p->demands[i].terms[k].unknown < lengths)
                a->solos[part_of[p->demands[i].terms[k].unknown]].can = false;
    for (size_t i = 0; i < p->remainder_count; i++)
        for (size_t k = 0; k < p->remainders[i].count; k++)
            if (p->remainders[i].unknowns[k] < lengths)
                a->solos[part_of[p->remainders[i].unknowns[k]]].can = false;
    nmk_memory_free(part_of);
}

/* The same demand over the unknowns of its part. */
static void copy_demand(struct nmk_whole_demand *out, const struct nmk_whole_demand *d, const size_t *place)
{
    struct nmk_whole_term *terms = nmk_memory_new(d->count, sizeof *terms);
    *out = *d;
    for (size_t k = 0; k < d->count; k++) {
        terms[k] = d->terms[k];
        terms[k].unknown = place[d->terms[k].unknown];
    }
    out->terms = terms;
}

static void make_solo(struct nmk_alone *a, size_t part, const struct nmk_whole_problem *p, size_t *place)
{
    const struct nmk_part *of = &a->parts->all[part];
    struct solo *solo = &a->solos[part];
    if (!solo->can)
        return;
    solo->unknowns = nmk_memory_new(of->length_count, sizeof *solo->unknowns);
    solo->demands = nmk_memory_new(of->demand_count, sizeof *solo->demands);
    for (size_t k = 0; k < of->length_count; k++) {
        solo->unknowns[k] = p->unknowns[of->lengths[k]];
        place[of->lengths[k]] = k;
    }
    for (size_t k = 0; k < of->demand_count; k++)
        copy_demand(&solo->demands[k], &p->demands[of->demands[k]], place);
}

void nmk_alone_new(struct nmk_alone **out, const struct nmk_parts *parts, const struct nmk_clearances *clearances,
                   const struct nmk_marking *marking, const struct nmk_settle_options *options)
{
    const struct nmk_whole_problem *p = nmk_marking_problem(marking);
    struct nmk_alone *a = nmk_memory_new(1, sizeof *a);
    *a = (struct nmk_alone){.parts = parts, .clearances = clearances, .marking = marking, .options = options};
    a->solos = nmk_memory_new(parts->count, sizeof *a->solos);
    a->sure = nmk_memory_new(clearances->count, sizeof *a->sure);
    a->forms = nmk_memory_new(clearances->count, sizeof *a->forms);
    a->marks = nmk_memory_new(p->unknown_count, sizeof *a->marks);
    a->bad = nmk_memory_new(clearances->count, sizeof *a->bad);
    find_able(a, p);
    size_t *place = nmk_memory_new(p->unknown_count, sizeof *place);
    for (size_t i = 0; i < parts->count; i++)
        make_solo(a, i, p, place);
    nmk_memory_free(place);
    *out = a;
}

void nmk_alone_free(struct nmk_alone *a)
{
    if (!a)
        return;
    for (size_t i = 0; i < a->parts->count; i++) {
        for (size_t k = 0; a->solos[i].demands && k < a->parts->all[i].demand_count; k++)
            nmk_memory_free((struct nmk_whole_term *)a->solos[i].demands[k].terms);
        nmk_memory_free(a->solos[i].demands);
        nmk_memory_free(a->solos[i].unknowns);
    }
    for (size_t i = 0; i < a->clearances->count; i++) {
        nmk_rat_clear(&a->sure[i].least);
        nmk_rat_clear(&a->sure[i].most);
        nmk_affine_clear(&a->forms[i]);
    }
    nmk_judge_free(a->judge);
    nmk_text_clear(&a->edges);
    nmk_text_clear(&a->key);
    nmk_memory_free(a->solos);
    nmk_memory_free(a->sure);
    nmk_memory_free(a->forms);
    nmk_memory_free(a->marks);
    nmk_memory_free(a->bad);
    nmk_memory_free(a);
}

bool nmk_alone_can(const struct nmk_alone *alone, size_t part)
{
    return alone->solos[part].can;
}

/* ---- the shapes: while the edges stay ---- */

static bool has_same_edges(struct nmk_alone *a, const struct nmk_draft *draft)
{
    a->key.size = 0;
    for (size_t i = 0; i < nmk_design_piece_count(design_of(a)); i++)
        nmk_edges_key(&a->key, draft, i);
    return a->judge && a->key.size == a->edges.size && (!a->key.size || !memcmp(a->key.data, a->edges.data, a->key.size));
}

/* Makes the judge anew where a score is taken from another edge than before. */
static enum nmk_status keep_judge(struct nmk_alone *a, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct nmk_judge *judge;
    struct nmk_sizes *rounded;
    if (has_same_edges(a, draft))
        return NMK_OK;
    nmk_sizes_new_rounded(&rounded, draft, NULL);
    enum nmk_status status = nmk_judge_new(&judge, a->clearances, rounded, NULL, list);
    nmk_sizes_free(rounded);
    if (status != NMK_OK)
        return status;
    nmk_judge_free(a->judge);
    a->judge = judge;
    a->edges.size = 0;
    nmk_text_add(&a->edges, nmk_text_get(&a->key), a->key.size);
    for (size_t i = 0; i < a->clearances->count; i++)
        nmk_judge_sure_range(&a->sure[i].least, &a->sure[i].has_least, &a->sure[i].most, &a->sure[i].has_most, judge, i,
                             &a->options->sure);
    return NMK_OK;
}

/* ---- one part at one size ---- */

struct row { /* the context of a problem */
    const struct nmk_alone *alone;
    const struct nmk_part *part;
    const struct nmk_draft *draft;
};

static void grade_of(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    const struct row *row = context;
    nmk_judge_grade(out, row->alone->judge, row->part->demands[demand], v, &row->alone->options->sure);
}

static void cost_of(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    const struct row *row = context;
    size_t length = row->part->lengths[unknown];
    if (nmk_draft_designed(row->draft, length))
        nmk_marks_cost(parts, row->draft, length, x, row->alone->options);
    else
        parts[0] = parts[1] = parts[2] = 0;
}

static bool progress_of(void *context, uint64_t steps)
{
    const struct nmk_settle_options *options = ((const struct row *)context)->alone->options;
    return options->progress(options->context, steps);
}

/* What the sizes of the row change: the goals, and the constants of the demands. */
static void set_sizes(struct solo *solo, struct nmk_alone *a, const struct row *row)
{
    for (size_t k = 0; k < row->part->length_count; k++)
        if (nmk_draft_designed(row->draft, row->part->lengths[k]))
            nmk_marks_aim(&solo->unknowns[k], row->draft, row->part->lengths[k], a->options->prefer == NMK_EASIEST,
                          a->options->within);
    for (size_t k = 0; k < row->part->demand_count; k++) {
        struct nmk_whole_demand *d = &solo->demands[k];
        size_t demand = row->part->demands[k];
        nmk_marking_form(&a->forms[demand], a->marking, demand);
        d->constant = a->forms[demand].constant;
        d->graded = !nmk_design_demand(design_of(a), demand)->exact;
        d->has_sure_least = d->graded && a->sure[demand].has_least;
        d->has_sure_most = d->graded && a->sure[demand].has_most;
        d->sure_least = a->sure[demand].least;
        d->sure_most = a->sure[demand].most;
    }
}

/* Every demand is met as marked; it is at risk where its grade says so. */
static bool is_at_risk(const struct row *row, const struct nmk_whole_demand *d, size_t k, const int64_t *values)
{
    struct nmk_rat v = {0}, grade = {0};
    if (!d->graded)
        return false;
    nmk_marking_value(&v, d, values);
    grade_of(&grade, (void *)row, k, &v);
    bool at_risk = nmk_rat_cmp_int(&grade, 1) < 0;
    nmk_rat_clear(&v);
    nmk_rat_clear(&grade);
    return at_risk;
}

static void judge_part(struct nmk_alone_found *found, struct nmk_alone *a, const struct row *row, const struct solo *solo,
                       const int64_t *values)
{
    found->feasible = true;
    found->marks = a->marks;
    found->bad = a->bad;
    for (size_t k = 0; k < row->part->length_count; k++)
        a->marks[k] = values[k] + (solo->unknowns[k].is_choice ? 1 : 0);
    for (size_t k = 0; k < row->part->demand_count; k++)
        if (is_at_risk(row, &solo->demands[k], k, values))
            a->bad[found->bad_count++] = row->part->demands[k];
    found->state = found->bad_count ? NMK_AT_RISK : NMK_HOLDS;
}

enum nmk_status nmk_alone_settle(struct nmk_alone_found *found, struct nmk_alone *alone, size_t part,
                                 const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct solo *solo = &alone->solos[part];
    struct row row = {.alone = alone, .part = &alone->parts->all[part], .draft = draft};
    struct nmk_whole_answer answer = {0};
    enum nmk_status status = keep_judge(alone, draft, list);
    if (status != NMK_OK)
        return status;
    set_sizes(solo, alone, &row);
    struct nmk_whole_problem problem = {
        .unknown_count = row.part->length_count,
        .demand_count = row.part->demand_count,
        .unknowns = solo->unknowns,
        .demands = solo->demands,
        .grade = grade_of,
        .cost = cost_of,
        .context = &row,
        .progress = alone->options->progress ? progress_of : NULL,
        .most_steps = alone->options->most_steps,
    };
    status = nmk_whole_solve(&answer, &problem);
    if (status == NMK_OK) {
        *found = (struct nmk_alone_found){.feasible = false};
        if (answer.feasible)
            judge_part(found, alone, &row, solo, answer.values);
    }
    nmk_whole_answer_clear(&answer);
    return status;
}
