/* command_demo.c -- the built-in example from end to end: measured, rounded, settled, cut. */
#include <string.h>

#include "commands.h"
#include "demo_design.h"
#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "judgement.h"
#include "load.h"
#include "report/check_table.h"
#include "report/conflict_text.h"
#include "report/cut_list.h"
#include "report/edition_text.h"
#include "report/verdict_json.h"

enum { SIZE_COLUMN = 10, OFF_COLUMN = 12, IMPERIAL = 1 }; /* the second edition of the demo's design */

/* ---- what was measured ---- */

static void show_measure(struct sink *out, const struct nmk_measure *measure)
{
    char *size = figure_length(&measure->size, measure->unit), *off = figure_near(&measure->off, 4);
    sink_string(out, "  ");
    sink_tint(out, TINT_STRONG, size);
    sink_spaces(out, SIZE_COLUMN - letters_width(size));
    sink_format(out, "± %s mm", off);
    sink_spaces(out, OFF_COLUMN - 5 - letters_width(off));
    sink_plain(out, measure->label);
    sink_string(out, "\n");
    store_free(size);
    store_free(off);
}

static void show_measures(struct sink *out, const struct nmk_design *design)
{
    sink_tint(out, TINT_STRONG, "A drawer for recipe cards, from end to end");
    sink_string(out, "\n\n1. What was measured\n\n");
    for (size_t i = 0; i < nmk_design_measure_count(design); i++)
        show_measure(out, nmk_design_measure(design, i));
    sink_string(out, "\n");
    sink_words(out, 0, "A tray for the cards, a sleeve over the tray and a label on each side of the sleeve were designed in "
                       "millimetres. As drawn, it all fits.");
}

/* ---- what rounding breaks, what settling mends ---- */

static void show_rounded(struct sink *out, const struct nmk_settled *settled)
{
    sink_string(out, "\n2. Each number rounded to the nearest sixteenth of an inch\n\n");
    if (!check_table_broken(out, settled, NMK_ROUNDED))
        sink_words(out, 2, "This time nothing breaks.");
}

/* The demand that rounding breaks worst; NMK_NONE: none. */
static size_t worst_rounded(const struct nmk_settled *settled)
{
    size_t worst = NMK_NONE;
    enum nmk_state state = NMK_HOLDS;
    for (size_t i = 0; i < nmk_design_demand_count(nmk_draft_design(nmk_settled_draft(settled))); i++)
        if (nmk_settled_view(settled, i, NMK_ROUNDED)->state > state) {
            worst = i;
            state = nmk_settled_view(settled, i, NMK_ROUNDED)->state;
        }
    return worst;
}

static void show_settled(struct sink *out, const struct judged *imperial)
{
    size_t worst = worst_rounded(imperial->settled);
    sink_string(out, "\n3. All numbers settled together\n");
    if (imperial->conflict)
        conflict_text_show(out, imperial->settled, imperial->conflict);
    check_table_summary(out, imperial->settled);
    if (worst == NMK_NONE)
        return;
    sink_string(out, "\nThe one that rounding broke worst (room in mm):\n");
    check_table_demand(out, imperial->settled, worst);
}

static void show_cut_lists(struct sink *out, const struct judgement *j)
{
    sink_string(out, "\n4. The cut lists\n\n");
    cut_list_caution(out);
    for (size_t i = 0; i < j->count; i++) {
        sink_string(out, "\n");
        edition_heading(out, j->editions[i].settled);
        cut_list_show(out, j->editions[i].settled, j->editions[i].conflict ? NMK_ROUNDED : NMK_SETTLED);
    }
}

static void show_end(struct sink *out)
{
    sink_string(out, "\nYour own cards are another size?\n\n    nearmark demo --set long=148mm --set short=105mm\n");
}

/* ---- as JSON ---- */

static void put_measure(struct json *j, const struct nmk_measure *measure)
{
    json_object(j, NULL);
    json_text(j, "measure", measure->name);
    json_text(j, "label", measure->label);
    json_rat(j, "size_mm", &measure->size);
    json_rat(j, "off_mm", &measure->off);
    json_close(j);
}

static void put_json(struct sink *out, const struct nmk_design *design, const struct judgement *judgement)
{
    struct json j;
    json_begin(&j, out, JSON_INDENTED);
    json_object(&j, NULL);
    json_list(&j, "measures");
    for (size_t i = 0; i < nmk_design_measure_count(design); i++)
        put_measure(&j, nmk_design_measure(design, i));
    json_close(&j);
    json_list(&j, "editions");
    for (size_t i = 0; i < judgement->count; i++)
        verdict_json(&j, judgement->editions[i].settled, judgement->editions[i].conflict);
    json_end(&j);
}

/* ---- the whole ---- */

static void show(struct sink *out, const struct nmk_design *design, const struct judgement *j)
{
    show_measures(out, design);
    show_rounded(out, j->editions[IMPERIAL].settled);
    show_settled(out, &j->editions[IMPERIAL]);
    show_cut_lists(out, j);
    show_end(out);
}

enum ending command_demo(const struct call *call, struct sink *out)
{
    struct judgement j = {0};
    struct nmk_design *design = load_text("the demo", demo_design, strlen(demo_design), call);
    if (!design)
        return ENDING_WRONG;
    enum ending ending = judge_design(&j, design, "the demo", call);
    if (!ending) {
        if (call->given[OPTION_JSON])
            put_json(out, design, &j);
        else
            show(out, design, &j);
        ending = sink_flush(out) ? judgement_ending(&j, call) : ENDING_DONE; /* messages come behind the result */
    }
    judgement_clear(&j);
    nmk_design_free(design);
    return ending;
}
