#include "editions.h"

#include <string.h>

#include "ground/message.h"
#include "known_names.h"

static enum ending no_such_edition(const struct nmk_design *design, const char *name)
{
    struct known_names known = known_names_begin(name);
    for (size_t i = 0; i < nmk_design_edition_count(design); i++)
        known_names_add(&known, nmk_design_edition(design, i)->name);
    known_names_refuse(&known, "", "the design", "edition");
    return ENDING_WRONG;
}

enum ending editions_pick(struct edition_range *out, const struct nmk_design *design, const struct call *call)
{
    size_t declared = nmk_design_declared_count(design);
    struct edition_range range = {.first = 0, .count = declared ? declared : nmk_design_edition_count(design)};
    if (call->edition)
        range = (struct edition_range){.first = nmk_design_find_edition(design, call->edition), .count = 1};
    if (range.first == NMK_NONE)
        return no_such_edition(design, call->edition);
    *out = range;
    return ENDING_DONE;
}

void editions_options(struct nmk_settle_options *out, const struct call *call)
{
    nmk_settle_options_init(out);
    out->most_steps = NMK_SETTLE_EFFORT;
    if (call->given[OPTION_PREFER])
        out->prefer = call->prefer;
    if (call->given[OPTION_WITHIN])
        out->within = call->within;
    if (call->given[OPTION_SURE])
        nmk_rat_set(&out->sure, &call->sure);
}

enum nmk_status editions_draft(struct nmk_draft **out, const struct nmk_design *design, size_t edition, const struct call *call,
                               struct nmk_diagnostics *list)
{
    return nmk_draft_new(out, design, edition, call->has_marks ? &call->step : NULL, call->step_unit, list);
}

enum ending editions_ending(enum nmk_status status, const struct nmk_diagnostics *list, const char *name,
                            const struct nmk_design *design, size_t edition)
{
    const char *which = nmk_design_edition(design, edition)->name;
    message_diagnostics(name, list);
    if (status && nmk_diagnostics_errors(list))
        message_error("so the edition %s cannot be settled", which);
    else if (status)
        message_error("the edition %s cannot be settled: %s", which, nmk_status_name(status));
    return status ? ENDING_WRONG : ENDING_DONE;
}
