#include "judgement.h"

#include "editions.h"
#include "ground/message.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/sofar_text.h"

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

static void options_of(struct nmk_settle_options *options, struct judged *one, const struct call *call)
{
    editions_options(options, call);
    options->progress = waiting_go_on;
    options->context = &one->waiting;
}

static enum nmk_status settle(struct judged *one, const struct nmk_settle_options *options, struct nmk_diagnostics *list)
{
    waiting_begin(&one->waiting, "Settling");
    enum nmk_status status = nmk_settle(&one->settled, one->draft, options, list);
    if (!status && !nmk_settled_holds_together(one->settled))
        status = nmk_conflict_new(&one->conflict, one->settled);
    waiting_end(&one->waiting);
    return status;
}

/* Neither done nor wrong: what is known is said, and nothing is written. */
static enum ending give_up(const struct judged *one, enum nmk_status status, const struct nmk_settle_options *options)
{
    sofar_text_say(one->draft, options, one->waiting.steps);
    if (status == NMK_STOPPED)
        ending_interrupt();
    return ENDING_WRONG;
}

static enum ending judge_edition(struct judged *one, const struct nmk_design *design, size_t edition, const char *name,
                                 const struct call *call)
{
    struct nmk_diagnostics *list;
    struct nmk_settle_options options;
    if (nmk_diagnostics_new(&list, 0))
        return ENDING_FAILED;
    options_of(&options, one, call);
    enum nmk_status status = editions_draft(&one->draft, design, edition, call, list);
    if (!status)
        status = settle(one, &options, list);
    enum ending ending = status == NMK_STOPPED || status == NMK_BUDGET ? give_up(one, status, &options)
                                                                        : editions_ending(status, list, name, design, edition);
    nmk_settle_options_clear(&options);
    nmk_diagnostics_free(list);
    return ending;
}

/* ---- the editions asked for ---- */

enum ending judge_design(struct judgement *out, const struct nmk_design *design, const char *name, const struct call *call)
{
    struct edition_range range;
    enum ending ending = editions_pick(&range, design, call);
    if (ending)
        return ending;
    struct judgement j = {.count = range.count, .editions = store_new(range.count, sizeof *j.editions)};
    ending_note_interrupts();
    for (size_t i = 0; i < range.count && !ending; i++)
        ending = judge_edition(&j.editions[i], design, range.first + i, name, call);
    ending_heed_interrupts();
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
