/* command_rules.c -- rules: the rule card of a design for its editions. */
#include "commands.h"
#include "editions.h"
#include "ground/message.h"
#include "ground/store.h"
#include "ground/waiting.h"
#include "load.h"
#include "report/edition_text.h"
#include "report/sizes/rule_card.h"
#include "report/sizes/rule_json.h"

struct carded { /* one edition */
    struct nmk_draft *draft;
    struct nmk_rules *rules;
};

static enum ending card_edition(struct carded *one, const struct nmk_design *design, size_t edition, const struct call *call)
{
    struct nmk_diagnostics *list;
    struct nmk_settle_options options;
    struct waiting waiting;
    if (nmk_diagnostics_new(&list, 0))
        return ENDING_FAILED;
    editions_options(&options, call);
    waiting_begin(&waiting, "Settling");
    options.progress = waiting_go_on;
    options.context = &waiting;
    enum nmk_status status = editions_draft(&one->draft, design, edition, call, list);
    if (!status)
        status = nmk_rules_new(&one->rules, one->draft, &options, list);
    waiting_end(&waiting);
    enum ending ending = editions_ending(status, list, call->words[0], design, edition);
    if (status == NMK_STOPPED)
        ending_interrupt(); /* of a card there is nothing to say before it is whole */
    nmk_settle_options_clear(&options);
    nmk_diagnostics_free(list);
    return ending;
}

/* ---- what comes out ---- */

/* One object for one edition asked for by name, else a list of them. */
static void put_json(struct sink *out, const struct carded *all, size_t count, const struct call *call)
{
    struct json j;
    json_begin(&j, out, JSON_INDENTED);
    if (!call->edition)
        json_list(&j, NULL);
    for (size_t i = 0; i < count; i++)
        rule_json(&j, all[i].rules);
    json_end(&j);
}

static void put(struct sink *out, const struct carded *all, size_t count, const struct call *call)
{
    if (call->given[OPTION_JSON])
        put_json(out, all, count, call);
    for (size_t i = 0; !call->given[OPTION_JSON] && i < count; i++) {
        sink_string(out, i ? "\n\n" : "");
        rule_card_show(out, all[i].rules);
    }
}

/* ---- how it ends ---- */

static enum ending ending_of(const struct nmk_rules *rules, const struct call *call)
{
    const struct nmk_draft *draft = nmk_rules_draft(rules);
    const struct nmk_design *design = nmk_draft_design(draft);
    enum ending ending = ENDING_DONE;
    for (size_t i = 0; i < nmk_design_demand_count(design); i++) {
        const struct nmk_rule_demand *rule = nmk_rules_demand(rules, i);
        if (rule->chart_only || rule->view.state == NMK_HOLDS)
            continue;
        char *title = demand_title(nmk_design_demand(design, i));
        message_error("%s in the edition %s: %s", rule->met ? "at risk" : "not met for all sizes",
                      nmk_draft_edition(draft)->name, title);
        store_free(title);
        if (!rule->met || call->given[OPTION_STRICT])
            ending = ENDING_UNMET;
    }
    return ending;
}

static enum ending card_design(const struct call *call, struct sink *out, const struct nmk_design *design)
{
    struct edition_range range;
    enum ending ending = editions_pick(&range, design, call);
    if (ending)
        return ending;
    struct carded *all = store_new(range.count, sizeof *all);
    ending_note_interrupts();
    for (size_t i = 0; i < range.count && !ending; i++)
        ending = card_edition(&all[i], design, range.first + i, call);
    ending_heed_interrupts();
    if (!ending) {
        put(out, all, range.count, call);
        bool told = sink_flush(out); /* messages come behind the result */
        for (size_t i = 0; told && i < range.count; i++)
            ending = ending_worse(ending, ending_of(all[i].rules, call));
    }
    for (size_t i = 0; i < range.count; i++) {
        nmk_rules_free(all[i].rules);
        nmk_draft_free(all[i].draft);
    }
    store_free(all);
    return ending;
}

enum ending command_rules(const struct call *call, struct sink *out)
{
    enum ending ending;
    struct nmk_design *design = load_design(call->words[0], call, &ending);
    if (!design)
        return ending;
    ending = card_design(call, out, design);
    nmk_design_free(design);
    return ending;
}
