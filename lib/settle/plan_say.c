/* What the pieces say, at its place among the steps. */
#include "base/memory.h"
#include "settle/planning.h"

void nmk_plan_say(struct nmk_plan *plan, size_t piece, enum nmk_say_place place)
{
    const struct nmk_piece *p = nmk_design_piece(plan->design, piece);
    for (size_t k = 0; k < p->say_count; k++)
        if (p->says[k].place == place) {
            plan->numbers++;
            nmk_plan_add_piece_step(plan, NMK_PLAN_SAY, piece)->say = k;
        }
}

static void say_of_part(struct nmk_plan *plan, size_t part, bool *said)
{
    const struct nmk_plan_part *p = &plan->parts[part];
    if (p->kind != NMK_PLAN_PIECE || said[p->piece])
        return;
    said[p->piece] = true;
    nmk_plan_say(plan, p->piece, NMK_SAY_CUT);
}

/* Pieces that are whole sheets come off at no cut: they are spoken of first. */
static void say_of_sheets(struct nmk_plan *plan, bool *said)
{
    for (size_t i = 0; i < plan->sheet_count; i++)
        say_of_part(plan, plan->sheets[i].part, said);
}

/* One setting: what is said of the pieces that come off at it for the first time, then its cuts. How many there are. */
static size_t take_setting(struct nmk_plan *plan, const struct nmk_plan_step *cuts, size_t left, bool *said)
{
    size_t count = 1;
    while (count < left && cuts[count].number == cuts->number)
        count++;
    for (size_t i = 0; i < count; i++) {
        say_of_part(plan, cuts[i].first, said);
        say_of_part(plan, cuts[i].second, said);
    }
    plan->numbers++;
    for (size_t i = 0; i < count; i++) {
        struct nmk_plan_step *step = nmk_plan_add_step(plan, NMK_PLAN_CUT);
        size_t number = step->number;
        *step = cuts[i];
        step->number = number;
    }
    return count;
}

void nmk_plan_say_before_cuts(struct nmk_plan *plan)
{
    struct nmk_plan_step *cuts = plan->steps;
    size_t count = plan->step_count;
    bool *said = nmk_memory_new(nmk_design_piece_count(plan->design), sizeof *said);
    plan->steps = NULL;
    plan->step_count = plan->step_space = plan->numbers = 0;
    say_of_sheets(plan, said);
    for (size_t i = 0; i < count;)
        i += take_setting(plan, cuts + i, count - i, said);
    nmk_memory_free(cuts);
    nmk_memory_free(said);
}
