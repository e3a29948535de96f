/* command_check.c -- check and cuts: a design settled for its editions, shown in two ways. */
#include "commands.h"
#include "judgement.h"
#include "load.h"
#include "report/check_table.h"
#include "report/conflict_text.h"
#include "report/cut_list.h"
#include "report/edition_text.h"
#include "report/verdict_json.h"

typedef void (*show_edition)(struct sink *out, const struct judged *one, bool first);

/* One object for one edition asked for by name, else a list of them. */
static void put_json(struct sink *out, const struct judgement *judgement, const struct call *call)
{
    struct json j;
    json_begin(&j, out, JSON_INDENTED);
    if (!call->edition)
        json_list(&j, NULL);
    for (size_t i = 0; i < judgement->count; i++)
        verdict_json(&j, judgement->editions[i].settled, judgement->editions[i].conflict);
    json_end(&j);
}

static void put_screens(struct sink *out, const struct judgement *j, show_edition show)
{
    for (size_t i = 0; i < j->count; i++) {
        sink_string(out, i ? "\n\n" : "");
        edition_heading(out, j->editions[i].settled);
        if (j->editions[i].conflict)
            conflict_text_show(out, j->editions[i].settled, j->editions[i].conflict);
        show(out, &j->editions[i], i == 0);
    }
}

static enum ending settle_and_show(const struct call *call, struct sink *out, show_edition show)
{
    enum ending ending;
    struct judgement j = {0};
    const char *path = call->words[0];
    struct nmk_design *design = load_design(path, call, &ending);
    if (!design)
        return ending;
    ending = judge_design(&j, design, path, call);
    if (!ending) {
        if (call->given[OPTION_JSON])
            put_json(out, &j, call);
        else
            put_screens(out, &j, show);
        ending = sink_flush(out) ? judgement_ending(&j, call) : ENDING_DONE; /* messages come behind the result */
    }
    judgement_clear(&j);
    nmk_design_free(design);
    return ending;
}

static void show_check(struct sink *out, const struct judged *one, bool first)
{
    (void)first;
    check_table_show(out, one->settled);
}

/* Where nothing meets all demands: the rounded list, and what it breaks. The caution stands once, on top. */
static void show_cuts(struct sink *out, const struct judged *one, bool first)
{
    enum nmk_column column = one->conflict ? NMK_ROUNDED : NMK_SETTLED;
    if (first) {
        sink_string(out, "\n");
        cut_list_caution(out);
    }
    if (one->conflict)
        sink_string(out, "\nHere is every number rounded by itself:\n");
    cut_list_show(out, one->settled, column);
    check_table_summary(out, one->settled);
    check_table_broken(out, one->settled, column);
}

enum ending command_check(const struct call *call, struct sink *out)
{
    return settle_and_show(call, out, show_check);
}

enum ending command_cuts(const struct call *call, struct sink *out)
{
    return settle_and_show(call, out, show_cuts);
}
