#include "unfit.h"

#include "ground/message.h"

static enum ending say_piece(const struct nmk_draft *draft, size_t piece, const char *what)
{
    message_error("in the edition %s %s fits %s", nmk_draft_edition(draft)->name,
                  nmk_design_piece(nmk_draft_design(draft), piece)->label, what);
    return ENDING_UNMET;
}

enum ending say_unfit(const struct nmk_plan *plan)
{
    enum ending ending = ENDING_DONE;
    if (!plan)
        return ending;
    const struct nmk_draft *draft = nmk_settled_draft(nmk_plan_settled(plan));
    for (size_t k = 0; k < nmk_plan_unfit_count(plan); k++)
        ending = say_piece(draft, nmk_plan_unfit(plan, k), "no sheet");
    for (size_t k = 0; k < nmk_design_piece_count(nmk_draft_design(draft)); k++)
        if (nmk_plan_piece(plan, k)->against_grain)
            ending = say_piece(draft, k, "its sheet only across the grain");
    return ending;
}
