#include "nearmark/settle.h"

#include <assert.h>

#include "base/memory.h"
#include "settle/ease.h"
#include "settle/marking.h"
#include "settle/punching.h"
#include "settle/settled.h"

/* ---- options ---- */

void nmk_settle_options_init(struct nmk_settle_options *options)
{
    *options = (struct nmk_settle_options){.prefer = NMK_CLOSEST, .within = 2};
    nmk_rat_set_frac(&options->sure, 999, 1000);
}

void nmk_settle_options_clear(struct nmk_settle_options *options)
{
    nmk_rat_clear(&options->sure);
}

bool nmk_settle_options_are_good(const struct nmk_settle_options *o)
{
    return (o->prefer == NMK_CLOSEST || o->prefer == NMK_EASIEST) && o->within >= 0 && o->within <= INT32_MAX &&
           nmk_rat_sign(&o->sure) >= 0 && nmk_rat_cmp_int(&o->sure, 1) <= 0;
}

/* ---- marks ---- */

struct nmk_marking_plan nmk_settled_plan(const struct nmk_settled *s, bool only_feasible)
{
    return (struct nmk_marking_plan){
        .draft = s->draft,
        .clearances = s->clearances,
        .judge = only_feasible ? NULL : s->judge,
        .options = &s->options,
        .only_feasible = only_feasible,
        .mats_unbound = s->mats_unbound,
        .held = s->is_held ? &s->held : NULL,
    };
}


static void take_answer(struct nmk_settled *s, const struct nmk_whole_answer *answer)
{
    s->holds_together = answer->feasible;
    for (size_t i = 0; answer->feasible && i < s->length_count; i++) {
        if (nmk_design_length(nmk_draft_design(s->draft), i)->kind == NMK_LENGTH_CHOICE)
            s->choices[i] = (size_t)answer->values[i];
        else
            s->marks[i] = answer->values[i];
    }
}

static enum nmk_status find_marks(struct nmk_settled *s, struct nmk_marking *marking)
{
    struct nmk_whole_answer answer = {0};
    const struct nmk_whole_problem *problem = nmk_marking_problem(marking);
    enum nmk_status status = nmk_whole_solve(&answer, problem);
    if (status == NMK_OK) {
        assert(!answer.feasible || nmk_whole_check(problem, answer.values));
        take_answer(s, &answer);
    }
    nmk_whole_answer_clear(&answer);
    return status;
}

/* The marks as they come: each length's nearest, and the best punches for them. */
static enum nmk_status take_nearest(struct nmk_settled *s)
{
    s->holds_together = true;
    for (size_t i = 0; i < s->length_count; i++)
        s->marks[i] = nmk_draft_nearest(s->draft, i);
    return nmk_punching_choose(s->choices, s->draft, s->clearances, s->judge, &s->options);
}

static enum nmk_status choose_marks(struct nmk_settled *s)
{
    struct nmk_marking *marking;
    struct nmk_marking_plan plan = nmk_settled_plan(s, false);
    nmk_marking_new(&marking, &plan);
    for (size_t i = 0; i < s->length_count; i++)
        s->unwatched[i] = nmk_marking_unwatched(marking, i);
    enum nmk_status status;
    if (nmk_draft_edition(s->draft)->as_designed) {
        status = take_nearest(s);
    } else {
        status = find_marks(s, marking);
        if (status == NMK_OK && !s->holds_together)
            status = nmk_punching_choose(s->choices, s->draft, s->clearances, s->judge, &s->options);
    }
    nmk_marking_free(marking);
    return status;
}

static void count_moves(struct nmk_settled *s)
{
    struct nmk_rat off = {0};
    for (size_t i = 0; s->holds_together && i < s->length_count; i++) {
        const struct nmk_rat *designed = nmk_draft_designed(s->draft, i);
        if (!designed)
            continue;
        s->moved += nmk_marks_moved(s->draft, i, s->marks[i]);
        nmk_rat_set_int(&off, s->marks[i]);
        nmk_rat_mul(&off, &off, nmk_draft_step(s->draft));
        nmk_rat_sub(&off, &off, designed);
        nmk_rat_abs(&off, &off);
        nmk_rat_add(&s->deviation, &s->deviation, &off);
    }
    nmk_rat_clear(&off);
}

/* ---- judging ---- */

static enum nmk_status judge_all(struct nmk_settled *s)
{
    nmk_sizes_new_designed(&s->sizes[NMK_DESIGNED], s->draft, s->choices);
    nmk_sizes_choose(s->sizes[NMK_ROUNDED], s->choices);
    if (s->holds_together)
        nmk_sizes_new_settled(&s->sizes[NMK_SETTLED], s->draft, s->marks, s->choices);
    enum nmk_status status = NMK_OK;
    for (size_t i = 0; i < s->demand_count; i++)
        for (int column = NMK_DESIGNED; column <= NMK_SETTLED && status == NMK_OK; column++)
            if (s->sizes[column])
                status =
                    nmk_judge_view(&s->views[i][column], &s->worst[i][column], s->judge, i, s->sizes[column], &s->options.sure);
    for (size_t i = 0; s->holds_together && i < s->demand_count; i++)
        if (s->views[i][NMK_SETTLED].state > s->state)
            s->state = s->views[i][NMK_SETTLED].state;
    return status;
}

static enum nmk_status settle_all(struct nmk_settled *s, struct nmk_diagnostics *list)
{
    enum nmk_status status = nmk_clearances_new(&s->clearances, s->draft, list);
    if (status != NMK_OK)
        return status;
    nmk_sizes_new_rounded(&s->sizes[NMK_ROUNDED], s->draft, NULL);
    status = nmk_judge_new(&s->judge, s->clearances, s->sizes[NMK_ROUNDED], NULL, list);
    if (status == NMK_OK)
        status = choose_marks(s);
    if (status != NMK_OK)
        return status;
    count_moves(s);
    return judge_all(s);
}

static struct nmk_settled *new_settled(const struct nmk_draft *draft, const struct nmk_settle_options *options)
{
    struct nmk_settled *s = nmk_memory_new(1, sizeof *s);
    s->draft = draft;
    s->options = *options;
    s->options.sure = (struct nmk_rat){0};
    nmk_rat_set(&s->options.sure, &options->sure);
    s->length_count = nmk_design_length_count(nmk_draft_design(draft));
    s->demand_count = nmk_design_demand_count(nmk_draft_design(draft));
    s->marks = nmk_memory_new(s->length_count, sizeof *s->marks);
    s->choices = nmk_memory_new(s->length_count, sizeof *s->choices);
    s->unwatched = nmk_memory_new(s->length_count, sizeof *s->unwatched);
    s->views = nmk_memory_new(s->demand_count, sizeof *s->views);
    s->worst = nmk_memory_new(s->demand_count, sizeof *s->worst);
    s->sources = nmk_memory_new(s->demand_count, sizeof *s->sources);
    return s;
}

enum nmk_status nmk_settle_how(struct nmk_settled **out, const struct nmk_draft *draft,
                               const struct nmk_settle_options *options, const struct nmk_settle_how *how,
                               struct nmk_diagnostics *list)
{
    if (!out || !draft || !options || !nmk_settle_options_are_good(options))
        return NMK_INVALID;
    struct nmk_settled *s = new_settled(draft, options);
    s->mats_unbound = how->mats_unbound;
    s->is_held = how->held != NULL;
    if (how->held)
        s->held = *how->held;
    enum nmk_status status = settle_all(s, list);
    if (status == NMK_OK)
        *out = s;
    else
        nmk_settled_free(s);
    return status;
}

enum nmk_status nmk_settle(struct nmk_settled **out, const struct nmk_draft *draft, const struct nmk_settle_options *options,
                           struct nmk_diagnostics *list)
{
    return nmk_settle_how(out, draft, options, &(struct nmk_settle_how){.held = NULL}, list);
}

void nmk_settled_free(struct nmk_settled *s)
{
    if (!s)
        return;
    for (size_t i = 0; i < s->demand_count; i++)
        for (int column = NMK_DESIGNED; column <= NMK_SETTLED; column++) {
            nmk_view_clear(&s->views[i][column]);
            nmk_contributions_free(s->sources[i].all[column], s->sources[i].count[column]);
        }
    for (int column = NMK_DESIGNED; column <= NMK_SETTLED; column++)
        nmk_sizes_free(s->sizes[column]);
    nmk_judge_free(s->judge);
    nmk_clearances_free(s->clearances);
    nmk_settle_options_clear(&s->options);
    nmk_rat_clear(&s->deviation);
    nmk_memory_free(s->marks);
    nmk_memory_free(s->choices);
    nmk_memory_free(s->unwatched);
    nmk_memory_free(s->views);
    nmk_memory_free(s->worst);
    nmk_memory_free(s->sources);
    nmk_memory_free(s);
}

/* ---- what else could be ---- */

enum nmk_status nmk_settle_held(struct nmk_settled **out, const struct nmk_settled *settled, size_t length, int64_t low,
                                int64_t high, struct nmk_diagnostics *list)
{
    if (!out || !settled || length >= settled->length_count || !nmk_draft_designed(settled->draft, length))
        return NMK_INVALID;
    if (high >= low && high < 1) /* no number of marks */
        return NMK_INVALID;
    struct nmk_held held = {.length = length, .low = low, .high = high};
    return nmk_settle_how(out, settled->draft, &settled->options, &(struct nmk_settle_how){.held = &held}, list);
}

/* Of two results of one draft the one that the aims prefer. */
static struct nmk_settled *better_of(struct nmk_settled *a, struct nmk_settled *b)
{
    struct nmk_marking *marking;
    struct nmk_marking_plan plan = nmk_settled_plan(a, false);
    plan.held = NULL;
    nmk_marking_new(&marking, &plan);
    int order = nmk_marking_compare(marking, a->marks, a->choices, b->marks, b->choices);
    nmk_marking_free(marking);
    return order <= 0 ? a : b;
}

enum nmk_status nmk_settle_next(struct nmk_settled **out, const struct nmk_settled *settled, size_t length,
                                struct nmk_diagnostics *list)
{
    if (!out || !settled || !settled->holds_together || length >= settled->length_count)
        return NMK_INVALID;
    struct nmk_settled *less = NULL, *more = NULL;
    int64_t marks = settled->marks[length];
    enum nmk_status status = nmk_settle_held(&more, settled, length, marks + 1, 0, list);
    if (status == NMK_OK && marks > 1)
        status = nmk_settle_held(&less, settled, length, 1, marks - 1, list);
    if (status != NMK_OK) {
        nmk_settled_free(more);
        return status;
    }
    bool both = less && less->holds_together && more->holds_together;
    struct nmk_settled *best = both ? better_of(less, more) : less && less->holds_together ? less : more;
    nmk_settled_free(best == less ? more : less);
    *out = best;
    return NMK_OK;
}
