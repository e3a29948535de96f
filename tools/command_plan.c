/* command_plan.c -- plan and cue: a design settled for its editions, then laid out on sheets and put into steps. */
#include <unistd.h>

#include "commands.h"
#include "ground/message.h"
#include "ground/store.h"
#include "judgement.h"
#include "load.h"
#include "prompter.h"
#include "report/conflict_text.h"
#include "report/cut_list.h"
#include "report/edition_text.h"
#include "report/plan/plan_json.h"
#include "report/plan/plan_text.h"
#include "unfit.h"

struct planned {
    const struct call *call;
    struct judgement judgement;
    struct nmk_plan **plans; /* by edition; NULL: nothing meets every demand */
    const char *name;        /* of the design's file */
    bool cue;
};

/* ---- planning ---- */

static int64_t makers_of(const struct call *call)
{
    return call->given[OPTION_MAKERS] ? call->makers : 1;
}

static enum ending plan_edition(struct planned *p, size_t i)
{
    const struct judged *one = &p->judgement.editions[i];
    struct nmk_plan_options options;
    struct nmk_diagnostics *list;
    struct waiting waiting;
    if (one->conflict)
        return ENDING_DONE;
    if (nmk_diagnostics_new(&list, 0))
        return ENDING_FAILED;
    nmk_plan_options_init(&options);
    options.makers = makers_of(p->call);
    options.effort = p->call->given[OPTION_EFFORT] ? p->call->effort : 0;
    waiting_begin(&waiting, "Planning");
    options.progress = waiting_go_on;
    options.context = &waiting;
    enum nmk_status status = nmk_plan_new(&p->plans[i], one->settled, &options, list);
    waiting_end(&waiting);
    message_diagnostics(p->name, list);
    if (status == NMK_STOPPED) {
        message_error("stopped: the edition %s is not planned; nothing is written", nmk_draft_edition(one->draft)->name);
        ending_interrupt();
    } else if (status) {
        message_error("so the edition %s cannot be planned", nmk_draft_edition(one->draft)->name);
    }
    nmk_diagnostics_free(list);
    return status ? ENDING_WRONG : ENDING_DONE;
}

static enum ending plan_all(struct planned *p)
{
    enum ending ending = ENDING_DONE;
    p->plans = store_new(p->judgement.count, sizeof(struct nmk_plan *));
    ending_note_interrupts();
    for (size_t i = 0; i < p->judgement.count && !ending; i++)
        ending = plan_edition(p, i);
    ending_heed_interrupts();
    return ending;
}

/* ---- showing ---- */

/* One object for one edition asked for by name, else a list of them. */
static void put_json(struct sink *out, const struct planned *p)
{
    struct json j;
    bool both = p->call->given[OPTION_BOTH];
    json_begin(&j, out, JSON_INDENTED);
    if (!p->call->edition)
        json_list(&j, NULL);
    for (size_t i = 0; i < p->judgement.count; i++)
        plan_json(&j, p->judgement.editions[i].settled, p->plans[i], makers_of(p->call), p->cue, both);
    json_end(&j);
}

static void put_screen(struct sink *out, const struct planned *p, size_t i)
{
    const struct judged *one = &p->judgement.editions[i];
    sink_string(out, i ? "\n\n" : "");
    edition_heading(out, one->settled);
    if (i == 0) {
        sink_string(out, "\n");
        cut_list_caution(out);
    }
    if (one->conflict) {
        conflict_text_show(out, one->settled, one->conflict);
        sink_string(out, "\nSo there is nothing to plan.\n");
    } else if (nmk_plan_unfit_count(p->plans[i])) {
        sink_string(out, "\n");
        plan_text_unfit(out, p->plans[i]);
    } else if (p->cue) {
        plan_text_cue(out, p->plans[i], p->call->given[OPTION_BOTH]);
    } else {
        plan_text_show(out, p->plans[i]);
    }
}

static enum ending say_all_unfit(const struct planned *p)
{
    enum ending ending = ENDING_DONE;
    for (size_t i = 0; i < p->judgement.count; i++)
        ending = ending_worse(ending, say_unfit(p->plans[i]));
    return ending;
}

/* One edition on a terminal, read from a terminal: a step at a time. */
static bool is_prompted(const struct planned *p)
{
    const struct call *call = p->call;
    return p->cue && !call->output && !call->given[OPTION_JSON] && p->judgement.count == 1 && p->plans[0] &&
           !nmk_plan_unfit_count(p->plans[0]) && isatty(STDIN_FILENO) && isatty(STDOUT_FILENO);
}

static void show(struct sink *out, const struct planned *p)
{
    if (p->call->given[OPTION_JSON])
        put_json(out, p);
    else if (is_prompted(p))
        prompter_run(out, p->plans[0], p->call->given[OPTION_BOTH]);
    else
        for (size_t i = 0; i < p->judgement.count; i++)
            put_screen(out, p, i);
}

static enum ending plan_and_show(const struct call *call, struct sink *out, bool cue)
{
    enum ending ending;
    struct planned p = {.call = call, .name = call->words[0], .cue = cue};
    struct nmk_design *design = load_design(p.name, call, &ending);
    if (!design)
        return ending;
    ending = judge_design(&p.judgement, design, p.name, call);
    if (!ending)
        ending = plan_all(&p);
    if (!ending) {
        show(out, &p);
        ending = sink_flush(out) ? ending_worse(judgement_ending(&p.judgement, call), say_all_unfit(&p)) : ENDING_DONE;
    }
    for (size_t i = 0; p.plans && i < p.judgement.count; i++)
        nmk_plan_free(p.plans[i]);
    store_free(p.plans);
    judgement_clear(&p.judgement);
    nmk_design_free(design);
    return ending;
}

enum ending command_plan(const struct call *call, struct sink *out)
{
    return plan_and_show(call, out, false);
}

enum ending command_cue(const struct call *call, struct sink *out)
{
    return plan_and_show(call, out, true);
}
