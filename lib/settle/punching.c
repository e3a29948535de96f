#include "settle/punching.h"

#include "base/memory.h"
#include "settle/marking.h"

/* Every length stands at its nearest mark; only choices are left. Each demand that names one keeps its terms of choices,
 * the rest of its clearance is a number; all are soft. */
struct punching {
    const struct nmk_judge *judge;
    const struct nmk_draft *draft;
    const struct nmk_settle_options *options;
};

static void grade_of(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    const struct punching *p = context;
    if (nmk_design_demand(nmk_draft_design(p->draft), demand)->exact)
        nmk_rat_set_int(out, nmk_rat_is_zero(v));
    else
        nmk_judge_grade(out, p->judge, demand, v, &p->options->sure);
}

static void cost_of(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    (void)context;
    (void)unknown;
    (void)x;
    parts[0] = parts[1] = parts[2] = 0;
}

static void fix_lengths(struct nmk_whole_problem *problem, const struct nmk_draft *draft)
{
    struct nmk_whole_unknown *unknowns = (struct nmk_whole_unknown *)problem->unknowns;
    for (size_t i = 0; i < nmk_design_length_count(nmk_draft_design(draft)); i++)
        if (!unknowns[i].is_choice)
            unknowns[i].low = unknowns[i].high = nmk_draft_nearest(draft, i);
}

static bool has_choices(const struct nmk_design *design)
{
    bool any = false;
    for (size_t i = 0; i < nmk_design_length_count(design); i++)
        any |= nmk_design_length(design, i)->kind == NMK_LENGTH_CHOICE;
    return any;
}

enum nmk_status nmk_punching_choose(size_t *choices, const struct nmk_draft *draft, const struct nmk_clearances *clearances,
                                    const struct nmk_judge *judge, const struct nmk_settle_options *options)
{
    if (!has_choices(nmk_draft_design(draft)))
        return NMK_OK;
    struct nmk_marking *marking;
    struct punching context = {.judge = judge, .draft = draft, .options = options};
    nmk_marking_new(&marking, &(struct nmk_marking_plan){.draft = draft, .clearances = clearances, .judge = judge, .options = options});
    struct nmk_whole_problem problem = *nmk_marking_problem(marking);
    struct nmk_whole_answer answer = {0};
    fix_lengths(&problem, draft);
    problem.demand_count = clearances->count; /* the design's own stand first; nothing else binds marks as they come */
    problem.unknown_count = nmk_design_length_count(nmk_draft_design(draft));
    problem.remainder_count = 0;
    for (size_t i = 0; i < problem.demand_count; i++) {
        struct nmk_whole_demand *d = nmk_marking_demand(marking, i);
        d->soft = true;
        if (nmk_design_demand(nmk_draft_design(draft), i)->exact) {
            d->graded = true;
            d->has_sure_least = d->has_sure_most = true; /* only 0 itself is sure */
        }
    }
    problem.grade = grade_of;
    problem.cost = cost_of;
    problem.context = &context;
    problem.progress = NULL;
    enum nmk_status status = nmk_whole_solve(&answer, &problem);
    for (size_t i = 0; status == NMK_OK && i < problem.unknown_count; i++)
        if (problem.unknowns[i].is_choice)
            choices[i] = (size_t)answer.values[i];
    nmk_whole_answer_clear(&answer);
    nmk_marking_free(marking);
    return status;
}
