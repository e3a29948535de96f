#include "report/plan_tree.h"

#include "report/cue.h"
#include "report/edition_text.h"
#include "report/hint.h"
#include "report/store.h"

static void set(json_t *tree, const char *key, json_t *value)
{
    json_object_set_new(tree, key, value);
}

static json_t *count(size_t n)
{
    return json_integer((json_int_t)n);
}

static json_t *pair_tree(const struct nmk_rat pair[2])
{
    json_t *list = json_array();
    json_array_append_new(list, tree_rat(&pair[0]));
    json_array_append_new(list, tree_rat(&pair[1]));
    return list;
}

static const struct nmk_design *design_of(const struct nmk_settled *settled)
{
    return nmk_draft_design(nmk_settled_draft(settled));
}

static const char *piece_name(const struct nmk_plan *plan, size_t piece)
{
    return nmk_design_piece(design_of(nmk_plan_settled(plan)), piece)->name;
}

/* ---- stocks, pieces, sheets ---- */

static json_t *stock_tree(const struct nmk_plan *plan, const struct nmk_plan_stock *stock)
{
    const struct nmk_stock *s = nmk_design_stock(design_of(nmk_plan_settled(plan)), stock->stock);
    json_t *tree = json_object();
    set(tree, "stock", tree_text(s->name));
    set(tree, "label", tree_text(s->label));
    set(tree, "weight", tree_text(s->weight));
    set(tree, "sheets", json_integer(stock->sheets));
    set(tree, "bound", json_integer(stock->bound));
    set(tree, "proved", json_boolean(stock->bound == stock->sheets));
    set(tree, "settings", json_integer(stock->settings));
    set(tree, "offcut_mm", stock->has_offcut ? pair_tree(stock->offcut) : json_null());
    return tree;
}

static json_t *piece_tree(const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_piece *piece = nmk_plan_piece(plan, i);
    json_t *tree = json_object();
    set(tree, "piece", tree_text(piece_name(plan, i)));
    set(tree, "count", json_integer(piece->count));
    set(tree, "blank", json_boolean(piece->blank));
    set(tree, "against_grain", json_boolean(piece->against_grain));
    set(tree, "across", json_integer(piece->marks[0]));
    set(tree, "down", json_integer(piece->marks[1]));
    set(tree, "size_mm", pair_tree(piece->size));
    return tree;
}

static json_t *part_tree(const struct nmk_plan *plan, size_t i)
{
    static const char *const kinds[] = {[NMK_PLAN_SHEET] = "sheet", [NMK_PLAN_STRIP] = "strip", [NMK_PLAN_PIECE] = "piece",
                                        [NMK_PLAN_OFFCUT] = "offcut"};
    const struct nmk_plan_part *part = nmk_plan_part(plan, i);
    json_t *tree = json_object();
    char *name = cue_part_name(plan, i);
    set(tree, "part", count(i));
    set(tree, "kind", json_string(kinds[part->kind]));
    set(tree, "name", tree_text(name));
    set(tree, "count", json_integer(part->count));
    set(tree, "at_mm", pair_tree(part->at));
    set(tree, "size_mm", pair_tree(part->size));
    if (part->kind == NMK_PLAN_PIECE) {
        set(tree, "piece", tree_text(piece_name(plan, part->piece)));
        set(tree, "turned", json_boolean(part->turned));
    }
    store_free(name);
    return tree;
}

static json_t *sheet_tree(const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_sheet *sheet = nmk_plan_sheet(plan, i);
    json_t *tree = json_object(), *parts = json_array();
    set(tree, "number", count(sheet->number));
    set(tree, "copies", json_integer(sheet->copies));
    set(tree, "stock", tree_text(nmk_design_stock(design_of(nmk_plan_settled(plan)), sheet->stock)->name));
    set(tree, "sheet", tree_text(sheet->sheet->name));
    set(tree, "size_mm", pair_tree(sheet->size));
    for (size_t k = 0; k < sheet->part_count; k++)
        json_array_append_new(parts, part_tree(plan, sheet->part + k));
    set(tree, "parts", parts);
    return tree;
}

/* ---- steps ---- */

static void set_setting(json_t *tree, const struct nmk_plan *plan, const struct nmk_plan_step *step)
{
    static const char *const edges[] = {[NMK_PLAN_LEFT] = "left", [NMK_PLAN_UPPER] = "upper", [NMK_PLAN_RIGHT] = "right",
                                        [NMK_PLAN_LOWER] = "lower"};
    const struct nmk_settled *settled = nmk_plan_settled(plan);
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    char *hint = step->marks ? hint_mark(step->marks, nmk_draft_step(draft), nmk_draft_step_unit(draft), edition_unit(settled)) : NULL;
    set(tree, "at", step->marks ? json_integer(step->marks) : json_null());
    set(tree, "at_mm", tree_rat(&step->at));
    set(tree, "find", tree_text(hint));
    set(tree, "way", json_string(step->way == NMK_ACROSS ? "across" : "down"));
    set(tree, "edge", json_string(edges[step->edge]));
    set(tree, "fence", json_string(edges[step->fence]));
    if (step->beyond)
        set(tree, "beyond_reach", json_true());
    store_free(hint);
}

static json_t *step_tree(const struct nmk_plan *plan, const struct nmk_plan_step *step)
{
    static const char *const acts[] = {
        [NMK_PLAN_CUT] = "cut",     [NMK_PLAN_PUNCH] = "punch", [NMK_PLAN_OPENING] = "opening", [NMK_PLAN_MITRE] = "mitre",
        [NMK_PLAN_SCORE] = "score", [NMK_PLAN_SAY] = "say",     [NMK_PLAN_SNIP] = "snip",       [NMK_PLAN_FOLD] = "fold",
        [NMK_PLAN_GLUE] = "glue",   [NMK_PLAN_LAY] = "lay",
    };
    json_t *tree = json_object();
    set(tree, "number", count(step->number));
    set(tree, "act", json_string(acts[step->act]));
    set(tree, "count", json_integer(step->count));
    if (step->act == NMK_PLAN_CUT) {
        set(tree, "part", count(step->part));
        set(tree, "first", count(step->first));
        set(tree, "second", count(step->second));
    } else {
        set(tree, "piece", tree_text(piece_name(plan, step->piece)));
    }
    if (step->act == NMK_PLAN_SCORE)
        set(tree, "line", count(step->line));
    if (step->act == NMK_PLAN_OPENING)
        set(tree, "opening", tree_text(nmk_design_opening(design_of(nmk_plan_settled(plan)), step->opening)->name));
    if (step->act == NMK_PLAN_SAY)
        set(tree, "text", tree_text(step->text));
    if (step->act == NMK_PLAN_CUT || step->act == NMK_PLAN_SCORE)
        set_setting(tree, plan, step);
    return tree;
}

static json_t *cue_tree(const struct cue *cue)
{
    static const char *const parts[] = {[CUE_CUT] = "cuts", [CUE_PUNCH] = "punches and mitres", [CUE_SCORE] = "scores", [CUE_MAKE] = "making up"};
    json_t *tree = json_object();
    set(tree, "number", count(cue->number));
    set(tree, "work", json_string(parts[cue->part]));
    set(tree, "figure", tree_text(cue->figure));
    if (cue->other)
        set(tree, "other", tree_text(cue->other));
    set(tree, "find", tree_text(cue->hint));
    set(tree, "what", tree_text(cue->what));
    set(tree, "how", tree_text(cue->how));
    set(tree, "gives", tree_text(cue->gives));
    set(tree, "spoken", tree_text(cue->say));
    return tree;
}

static json_t *cues_tree(const struct nmk_plan *plan, bool both)
{
    struct cue_list list;
    json_t *all = json_array();
    cue_list_make(&list, plan, both);
    for (size_t i = 0; i < list.count; i++)
        json_array_append_new(all, cue_tree(&list.all[i]));
    cue_list_clear(&list);
    return all;
}

/* ---- the whole ---- */

static json_t *unfit_tree(const struct nmk_plan *plan, size_t piece)
{
    json_t *tree = json_object();
    set(tree, "piece", tree_text(piece_name(plan, piece)));
    set(tree, "size_mm", pair_tree(nmk_plan_piece(plan, piece)->size));
    return tree;
}

static void set_head(json_t *tree, const struct nmk_settled *settled, int64_t makers)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    const struct nmk_edition *edition = nmk_draft_edition(draft);
    bool known = nmk_settled_holds_together(settled);
    set(tree, "design", tree_text(nmk_design_title(nmk_draft_design(draft))));
    set(tree, "edition", tree_text(edition->name));
    set(tree, "unit", json_string(nmk_unit_name(edition->unit)));
    set(tree, "step_mm", tree_rat(nmk_draft_step(draft)));
    set(tree, "reach_mm", nmk_rat_sign(&edition->reach) > 0 ? tree_rat(&edition->reach) : json_null());
    set(tree, "state", json_string(known ? nmk_state_name(nmk_settled_state(settled)) : "cannot hold"));
    set(tree, "makers", json_integer(makers));
}

static void set_plan(json_t *tree, const struct nmk_plan *plan)
{
    json_t *unfit = json_array(), *stocks = json_array(), *pieces = json_array(), *sheets = json_array(), *steps = json_array();
    for (size_t i = 0; i < nmk_plan_unfit_count(plan); i++)
        json_array_append_new(unfit, unfit_tree(plan, nmk_plan_unfit(plan, i)));
    for (size_t i = 0; i < nmk_plan_stock_count(plan); i++)
        json_array_append_new(stocks, stock_tree(plan, nmk_plan_stock(plan, i)));
    for (size_t i = 0; i < nmk_design_piece_count(design_of(nmk_plan_settled(plan))); i++)
        json_array_append_new(pieces, piece_tree(plan, i));
    for (size_t i = 0; i < nmk_plan_sheet_count(plan); i++)
        json_array_append_new(sheets, sheet_tree(plan, i));
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++)
        json_array_append_new(steps, step_tree(plan, nmk_plan_step(plan, i)));
    set(tree, "moves", count(nmk_plan_moves(plan)));
    set(tree, "fits_no_sheet", unfit);
    set(tree, "stocks", stocks);
    set(tree, "pieces", pieces);
    set(tree, "sheets", sheets);
    set(tree, "steps", steps);
}

json_t *plan_tree(const struct nmk_settled *settled, const struct nmk_plan *plan, int64_t makers, bool cues, bool both)
{
    json_t *tree = json_object();
    set_head(tree, settled, makers);
    if (plan)
        set_plan(tree, plan);
    if (plan && cues)
        set(tree, "cues", cues_tree(plan, both));
    return tree;
}
