#include "judgement.h"

#include <string.h>

#include "near_name.h"
#include "report/edition_text.h"
#include "report/message.h"
#include "report/store.h"

static void judged_clear(struct judged *one)
{
    nmk_conflict_free(one->conflict);
    nmk_settled_free(one->settled);
    nmk_draft_free(one->draft);
    *one = (struct judged){0};
}

void judgement_clear(struct judgement *j)
{
    for (size_t i = 0; i < j->count; i++)
        judged_clear(&j->editions[i]);
    store_free(j->editions);
    *j = (struct judgement){0};
}

/* ---- one edition ---- */

static enum nmk_status settle(struct judged *one, const struct call *call, struct nmk_diagnostics *list)
{
    struct nmk_settle_options options;
    nmk_settle_options_init(&options);
    if (call->given[OPTION_PREFER])
        options.prefer = call->prefer;
    if (call->given[OPTION_WITHIN])
        options.within = call->within;
    if (call->given[OPTION_SURE])
        nmk_rat_set(&options.sure, &call->sure);
    enum nmk_status status = nmk_settle(&one->settled, one->draft, &options, list);
    nmk_settle_options_clear(&options);
    return status;
}

static enum nmk_status judge(struct judged *one, const struct nmk_design *design, size_t edition, const struct call *call,
                             struct nmk_diagnostics *list)
{
    const struct nmk_rat *step = call->has_marks ? &call->step : NULL;
    enum nmk_status status = nmk_draft_new(&one->draft, design, edition, step, call->step_unit, list);
    if (!status)
        status = settle(one, call, list);
    if (!status && !nmk_settled_holds_together(one->settled))
        status = nmk_conflict_new(&one->conflict, one->settled);
    return status;
}

static enum ending judge_edition(struct judged *one, const struct nmk_design *design, size_t edition, const char *name,
                                 const struct call *call)
{
    struct nmk_diagnostics *list;
    if (nmk_diagnostics_new(&list, 0))
        return ENDING_FAILED;
    enum nmk_status status = judge(one, design, edition, call, list);
    message_diagnostics(name, list);
    const char *which = nmk_design_edition(design, edition)->name;
    if (status && nmk_diagnostics_errors(list))
        message_error("so the edition %s cannot be settled", which);
    else if (status)
        message_error("the edition %s cannot be settled: %s", which, nmk_status_name(status));
    nmk_diagnostics_free(list);
    return status ? ENDING_WRONG : ENDING_DONE;
}

/* ---- the editions asked for ---- */

static enum ending no_such_edition(const struct nmk_design *design, const char *name)
{
    struct near_name near = near_name_begin(name, strlen(name));
    struct sink known = {0};
    for (size_t i = 0; i < nmk_design_edition_count(design); i++) {
        near_name_offer(&near, nmk_design_edition(design, i)->name);
        sink_format(&known, "%s%s", i ? ", " : "", nmk_design_edition(design, i)->name);
    }
    if (near.best)
        message_error("the design has no edition %s; did you mean %s?", name, near.best);
    else
        message_error("the design has no edition %s; its editions: %s", name, known.data);
    sink_drop(&known);
    return ENDING_WRONG;
}

/* One by name, or all that are declared; where none is, the two that exist undeclared. */
static enum ending pick_editions(size_t *first, size_t *count, const struct nmk_design *design, const struct call *call)
{
    size_t declared = nmk_design_declared_count(design);
    *first = 0;
    *count = declared ? declared : nmk_design_edition_count(design);
    if (!call->edition)
        return ENDING_DONE;
    *first = nmk_design_find_edition(design, call->edition);
    *count = 1;
    return *first == NMK_NONE ? no_such_edition(design, call->edition) : ENDING_DONE;
}

enum ending judge_design(struct judgement *out, const struct nmk_design *design, const char *name, const struct call *call)
{
    size_t first, count;
    enum ending ending = pick_editions(&first, &count, design, call);
    if (ending)
        return ending;
    struct judgement j = {.count = count, .editions = store_new(count, sizeof *j.editions)};
    for (size_t i = 0; i < count && !ending; i++)
        ending = judge_edition(&j.editions[i], design, first + i, name, call);
    if (ending)
        judgement_clear(&j);
    else
        *out = j;
    return ending;
}

/* ---- how it ends ---- */

static void say_risks(const struct judged *one)
{
    const struct nmk_design *design = nmk_draft_design(one->draft);
    for (size_t i = 0; i < nmk_design_demand_count(design); i++) {
        if (nmk_settled_view(one->settled, i, NMK_SETTLED)->state != NMK_AT_RISK)
            continue;
        char *title = demand_title(nmk_design_demand(design, i));
        message_error("at risk in the edition %s: %s", nmk_draft_edition(one->draft)->name, title);
        store_free(title);
    }
}

static enum ending ending_of(const struct judged *one, const struct call *call)
{
    if (!nmk_settled_holds_together(one->settled)) {
        message_error("in the edition %s nothing meets every demand", nmk_draft_edition(one->draft)->name);
        return ENDING_UNMET;
    }
    say_risks(one);
    enum nmk_state state = nmk_settled_state(one->settled);
    if (state == NMK_HOLDS || (state == NMK_AT_RISK && !call->given[OPTION_STRICT]))
        return ENDING_DONE;
    return ENDING_UNMET;
}

enum ending judgement_ending(const struct judgement *j, const struct call *call)
{
    enum ending ending = ENDING_DONE;
    for (size_t i = 0; i < j->count; i++)
        ending = ending_worse(ending, ending_of(&j->editions[i], call));
    return ending;
}
