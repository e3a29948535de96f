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

/* Copies that borrow what they point to. */
static struct nmk_whole_unknown *fixed_unknowns(const struct nmk_whole_problem *problem, const struct nmk_draft *draft)
{
    struct nmk_whole_unknown *unknowns = nmk_memory_new(problem->unknown_count, sizeof *unknowns);
    for (size_t i = 0; i < problem->unknown_count; i++) {
        unknowns[i] = problem->unknowns[i];
        if (!unknowns[i].is_choice)
            unknowns[i].low = unknowns[i].high = nmk_draft_nearest(draft, i);
    }
    return unknowns;
}

static struct nmk_whole_demand *soft_demands(const struct nmk_whole_problem *problem, const struct nmk_design *design)
{
    struct nmk_whole_demand *demands = nmk_memory_new(problem->demand_count, sizeof *demands);
    for (size_t i = 0; i < problem->demand_count; i++) {
        demands[i] = problem->demands[i];
        demands[i].soft = true;
        if (!nmk_design_demand(design, i)->exact)
            continue;
        demands[i].graded = true;
        demands[i].has_sure_least = demands[i].has_sure_most = true; /* only 0 itself is sure */
    }
    return demands;
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
    nmk_marking_new(&marking,
                    &(struct nmk_marking_plan){
                        .draft = draft, .clearances = clearances, .judge = judge, .options = options, .strips_apart = true});
    struct nmk_whole_problem problem = *nmk_marking_problem(marking);
    struct nmk_whole_answer answer = {0};
    problem.demand_count = clearances->count; /* the design's own stand first; nothing else binds marks as they come */
    problem.unknown_count = nmk_design_length_count(nmk_draft_design(draft));
    problem.remainder_count = 0;
    struct nmk_whole_unknown *unknowns = fixed_unknowns(&problem, draft);
    struct nmk_whole_demand *demands = soft_demands(&problem, nmk_draft_design(draft));
    problem.unknowns = unknowns;
    problem.demands = demands;
    problem.grade = grade_of;
    problem.cost = cost_of;
    problem.context = &context;
    problem.progress = NULL;
    enum nmk_status status = nmk_whole_solve(&answer, &problem);
    for (size_t i = 0; status == NMK_OK && i < problem.unknown_count; i++)
        if (problem.unknowns[i].is_choice)
            choices[i] = (size_t)answer.values[i];
    nmk_whole_answer_clear(&answer);
    nmk_memory_free(unknowns);
    nmk_memory_free(demands);
    nmk_marking_free(marking);
    return status;
}
