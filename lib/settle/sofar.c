#include "nearmark/sofar.h"

#include "base/memory.h"
#include "settle/ease.h"
#include "settle/marking.h"
#include "settle/settled.h"

struct looking {
    struct nmk_sofar *out;
    const struct nmk_draft *draft;
    const struct nmk_settle_options *options;
    struct nmk_clearances *clearances;
    struct nmk_judge *judge;
};

void nmk_sofar_clear(struct nmk_sofar *s)
{
    nmk_rat_clear(&s->weakest);
    nmk_rat_clear(&s->deviation);
    nmk_rat_clear(&s->at_most);
    *s = (struct nmk_sofar){0};
}

/* ---- marks that are known ---- */

static void note_weakest(struct nmk_sofar *out, const struct nmk_whole_problem *p, const int64_t *values)
{
    struct nmk_rat v = {0}, grade = {0};
    nmk_rat_set_int(&out->weakest, 1);
    for (size_t i = 0; i < p->demand_count; i++) {
        if (!p->demands[i].graded)
            continue;
        nmk_marking_value(&v, &p->demands[i], values);
        p->grade(&grade, p->context, i, &v);
        if (nmk_rat_cmp(&grade, &out->weakest) < 0)
            nmk_rat_swap(&grade, &out->weakest);
    }
    nmk_rat_clear(&v);
    nmk_rat_clear(&grade);
}

static void note_distance(struct nmk_sofar *out, const struct nmk_draft *draft, size_t length, int64_t marks)
{
    struct nmk_rat off = {0};
    nmk_rat_set_int(&off, marks);
    nmk_rat_mul(&off, &off, nmk_draft_step(draft));
    nmk_rat_sub(&off, &off, nmk_draft_designed(draft, length));
    nmk_rat_abs(&off, &off);
    nmk_rat_add(&out->deviation, &out->deviation, &off);
    out->moved += nmk_marks_moved(draft, length, marks);
    nmk_rat_clear(&off);
}

static void note_marks(const struct looking *l, const struct nmk_whole_problem *p, const int64_t *values)
{
    l->out->decided = l->out->feasible = true;
    note_weakest(l->out, p, values);
    for (size_t i = 0; i < nmk_design_length_count(nmk_draft_design(l->draft)); i++)
        if (nmk_draft_designed(l->draft, i))
            note_distance(l->out, l->draft, i, values[i]);
}

/* The best marks of which none is further than so many from its nearest. */
static bool find_within(const struct looking *l, const struct nmk_whole_problem *p, int64_t reach, uint64_t steps)
{
    struct nmk_whole_unknown *unknowns = nmk_memory_new(p->unknown_count, sizeof *unknowns);
    struct nmk_whole_problem near = *p;
    struct nmk_whole_answer answer = {0};
    for (size_t i = 0; i < p->unknown_count; i++)
        unknowns[i] = p->unknowns[i];
    for (size_t i = 0; i < nmk_design_length_count(nmk_draft_design(l->draft)); i++) {
        int64_t nearest = nmk_draft_nearest(l->draft, i);
        if (!nmk_draft_designed(l->draft, i))
            continue;
        unknowns[i].low = nearest - reach > 1 ? nearest - reach : 1;
        unknowns[i].high = nearest + reach;
    }
    near.unknowns = unknowns;
    near.most_steps = steps;
    near.progress = NULL;
    bool found = nmk_whole_solve(&answer, &near) == NMK_OK && answer.feasible;
    if (found)
        note_marks(l, p, answer.values);
    nmk_whole_answer_clear(&answer);
    nmk_memory_free(unknowns);
    return found;
}

/* Any marks, or that there are none. */
static void find_any(const struct looking *l, const struct nmk_whole_problem *p, uint64_t steps)
{
    struct nmk_marking *marking;
    struct nmk_whole_answer answer = {0};
    nmk_marking_new(&marking, &(struct nmk_marking_plan){.draft = l->draft, .clearances = l->clearances, .options = l->options,
                                                         .only_feasible = true});
    struct nmk_whole_problem any = *nmk_marking_problem(marking);
    any.most_steps = steps;
    any.progress = NULL;
    if (nmk_whole_solve(&answer, &any) == NMK_OK) {
        l->out->decided = true;
        if (answer.feasible)
            note_marks(l, p, answer.values);
    }
    nmk_whole_answer_clear(&answer);
    nmk_marking_free(marking);
}

/* ---- what is proven of all marks ---- */

/* A demand's clearance is its constant plus whole multiples of the common measure of its lengths, whatever the marks: its
 * best grade is that of one of the two such clearances next to the middle of its bounds. */
static bool best_grade(struct nmk_rat *out, const struct nmk_whole_problem *p, size_t demand)
{
    const struct nmk_whole_demand *d = &p->demands[demand];
    struct nmk_rat unit = {0}, at = {0}, k = {0}, grade = {0}, two = {0};
    bool known = d->graded && d->has_least && d->has_most;
    for (size_t i = 0; i < d->count && known; i++) {
        known = !d->terms[i].table;
        nmk_rat_gcd(&unit, &unit, &d->terms[i].times);
    }
    nmk_rat_set_int(&two, 2);
    nmk_rat_add(&at, &d->least, &d->most);
    nmk_rat_div(&at, &at, &two);
    nmk_rat_sub(&at, &at, &d->constant);
    known = known && !nmk_rat_div(&k, &at, &unit);
    nmk_rat_floor(&k, &k);
    nmk_rat_set_int(out, 0);
    for (int side = 0; side < 2 && known; side++) {
        nmk_rat_set(&at, &d->constant);
        nmk_rat_addmul(&at, &k, &unit);
        p->grade(&grade, p->context, demand, &at);
        if (nmk_rat_cmp(&grade, out) > 0)
            nmk_rat_swap(&grade, out);
        nmk_rat_set_int(&at, 1);
        nmk_rat_add(&k, &k, &at);
    }
    nmk_rat_clear(&unit);
    nmk_rat_clear(&at);
    nmk_rat_clear(&k);
    nmk_rat_clear(&grade);
    nmk_rat_clear(&two);
    return known;
}

static void find_bound(struct nmk_sofar *out, const struct nmk_whole_problem *p)
{
    struct nmk_rat grade = {0};
    nmk_rat_set_int(&out->at_most, 1);
    for (size_t i = 0; i < p->demand_count; i++)
        if (best_grade(&grade, p, i) && nmk_rat_cmp(&grade, &out->at_most) < 0)
            nmk_rat_swap(&grade, &out->at_most);
    nmk_rat_clear(&grade);
}

/* ---- the whole ---- */

static void look(const struct looking *l, uint64_t steps)
{
    static const int64_t reaches[] = {1, 2, 4, 8};
    struct nmk_marking *marking;
    nmk_marking_new(&marking, &(struct nmk_marking_plan){.draft = l->draft, .clearances = l->clearances, .judge = l->judge,
                                                         .options = l->options});
    const struct nmk_whole_problem *p = nmk_marking_problem(marking);
    bool found = false;
    find_bound(l->out, p);
    for (size_t i = 0; i < sizeof reaches / sizeof *reaches && !found; i++)
        found = find_within(l, p, reaches[i], steps);
    if (!found)
        find_any(l, p, steps);
    nmk_marking_free(marking);
}

enum nmk_status nmk_sofar_find(struct nmk_sofar *out, const struct nmk_draft *draft, const struct nmk_settle_options *options,
                               uint64_t steps)
{
    struct nmk_sofar found = {0};
    struct nmk_sizes *rounded;
    if (!out || !draft || !options || !steps || !nmk_settle_options_are_good(options) || nmk_draft_edition(draft)->as_designed)
        return NMK_INVALID;
    struct looking l = {.out = &found, .draft = draft, .options = options};
    enum nmk_status status = nmk_clearances_new(&l.clearances, draft, NULL);
    if (status != NMK_OK)
        return status;
    nmk_sizes_new_rounded(&rounded, draft, NULL);
    status = nmk_judge_new(&l.judge, l.clearances, rounded, NULL, NULL);
    nmk_sizes_free(rounded);
    if (status == NMK_OK) {
        look(&l, steps);
        nmk_sofar_clear(out);
        *out = found;
    }
    nmk_judge_free(l.judge);
    nmk_clearances_free(l.clearances);
    return status;
}
