/* command_explain.c -- explain: where a clearance comes from, and why its lengths are where they are. */
#include "commands.h"
#include "explain_subject.h"
#include "ground/message.h"
#include "ground/store.h"
#include "judgement.h"
#include "load.h"
#include "report/explain_json.h"
#include "report/explain_text.h"

static enum ending explain_edition(struct explained *out, const struct judged *one, const struct explain_subject *subject,
                                   const char *name)
{
    struct nmk_diagnostics *list;
    if (nmk_diagnostics_new(&list, 0))
        return ENDING_FAILED;
    enum nmk_status status = explained_make(out, one->settled, subject->demands, subject->lengths, list);
    message_diagnostics(name, list);
    if (status)
        message_error("it cannot be explained: %s", nmk_status_name(status));
    nmk_diagnostics_free(list);
    return status ? ENDING_WRONG : ENDING_DONE;
}

/* One object for one edition asked for by name, else a list of them. */
static void put_json(struct sink *out, const struct explained *all, size_t count, const struct call *call)
{
    struct json j;
    json_begin(&j, out, JSON_INDENTED);
    if (!call->edition)
        json_list(&j, NULL);
    for (size_t i = 0; i < count; i++)
        explain_json(&j, &all[i]);
    json_end(&j);
}

static void put(struct sink *out, const struct explained *all, size_t count, const struct call *call)
{
    if (call->given[OPTION_JSON])
        put_json(out, all, count, call);
    for (size_t i = 0; !call->given[OPTION_JSON] && i < count; i++) {
        sink_string(out, i ? "\n\n" : "");
        explain_text_show(out, &all[i]);
    }
}

static enum ending explain_editions(const struct call *call, struct sink *out, const struct judgement *j,
                                    const struct explain_subject *subject)
{
    struct explained *all = store_new(j->count, sizeof *all);
    enum ending ending = ENDING_DONE;
    for (size_t i = 0; i < j->count && !ending; i++)
        ending = explain_edition(&all[i], &j->editions[i], subject, call->words[0]);
    if (!ending) {
        put(out, all, j->count, call);
        ending = sink_flush(out) ? judgement_ending(j, call) : ENDING_DONE; /* messages come behind the result */
    }
    for (size_t i = 0; i < j->count; i++)
        explained_clear(&all[i]);
    store_free(all);
    return ending;
}

enum ending command_explain(const struct call *call, struct sink *out)
{
    enum ending ending;
    struct judgement j = {0};
    struct explain_subject subject;
    struct nmk_design *design = load_design(call->words[0], call, &ending);
    if (!design)
        return ending;
    ending =
        explain_subject_find(&subject, design, call->words[1]) ? judge_design(&j, design, call->words[0], call) : ENDING_WRONG;
    if (!ending)
        ending = explain_editions(call, out, &j, &subject);
    explain_subject_clear(&subject);
    judgement_clear(&j);
    nmk_design_free(design);
    return ending;
}
