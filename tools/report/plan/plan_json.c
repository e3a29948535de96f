#include "report/plan/plan_json.h"

#include "ground/hint.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/row_words.h"
#include "report/plan/cue.h"
#include "report/plan/cue_name.h"

static void put_pair(struct json *j, const char *key, const struct nmk_rat pair[2])
{
    json_list(j, key);
    json_rat(j, NULL, &pair[0]);
    json_rat(j, NULL, &pair[1]);
    json_close(j);
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

static void put_stock(struct json *j, const struct nmk_plan *plan, const struct nmk_plan_stock *stock)
{
    const struct nmk_stock *s = nmk_design_stock(design_of(nmk_plan_settled(plan)), stock->stock);
    json_object(j, NULL);
    json_text(j, "stock", s->name);
    json_text(j, "label", s->label);
    json_text(j, "weight", s->weight);
    json_whole(j, "sheets", stock->sheets);
    json_whole(j, "bound", stock->bound);
    json_truth(j, "proved", stock->bound == stock->sheets);
    json_whole(j, "settings", stock->settings);
    if (stock->has_offcut)
        put_pair(j, "offcut_mm", stock->offcut);
    else
        json_null(j, "offcut_mm");
    json_close(j);
}

static void put_piece(struct json *j, const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_piece *piece = nmk_plan_piece(plan, i);
    json_object(j, NULL);
    json_text(j, "piece", piece_name(plan, i));
    json_whole(j, "count", piece->count);
    json_truth(j, "blank", piece->blank);
    json_truth(j, "against_grain", piece->against_grain);
    json_whole(j, "across", piece->marks[0]);
    json_whole(j, "down", piece->marks[1]);
    put_pair(j, "size_mm", piece->size);
    json_close(j);
}

static void put_part(struct json *j, const struct nmk_plan *plan, size_t i)
{
    static const char *const kinds[] = {[NMK_PLAN_SHEET] = "sheet", [NMK_PLAN_STRIP] = "strip", [NMK_PLAN_PIECE] = "piece",
                                        [NMK_PLAN_OFFCUT] = "offcut"};
    const struct nmk_plan_part *part = nmk_plan_part(plan, i);
    char *name = cue_part_name(plan, i);
    json_object(j, NULL);
    json_count(j, "part", i);
    json_text(j, "kind", kinds[part->kind]);
    json_text(j, "name", name);
    json_whole(j, "count", part->count);
    put_pair(j, "at_mm", part->at);
    put_pair(j, "size_mm", part->size);
    if (part->kind == NMK_PLAN_PIECE) {
        json_text(j, "piece", piece_name(plan, part->piece));
        json_truth(j, "turned", part->turned);
    }
    json_close(j);
    store_free(name);
}

static void put_sheet(struct json *j, const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_sheet *sheet = nmk_plan_sheet(plan, i);
    json_object(j, NULL);
    json_count(j, "number", sheet->number);
    json_whole(j, "copies", sheet->copies);
    json_text(j, "stock", nmk_design_stock(design_of(nmk_plan_settled(plan)), sheet->stock)->name);
    json_text(j, "sheet", sheet->sheet->name);
    put_pair(j, "size_mm", sheet->size);
    json_list(j, "parts");
    for (size_t k = 0; k < sheet->part_count; k++)
        put_part(j, plan, sheet->part + k);
    json_close(j);
    json_close(j);
}

/* ---- steps ---- */

static void put_setting(struct json *j, const struct nmk_plan *plan, const struct nmk_plan_step *step)
{
    static const char *const edges[] = {[NMK_PLAN_LEFT] = "left", [NMK_PLAN_UPPER] = "upper", [NMK_PLAN_RIGHT] = "right",
                                        [NMK_PLAN_LOWER] = "lower"};
    const struct nmk_settled *settled = nmk_plan_settled(plan);
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    char *hint =
        step->marks ? hint_mark(step->marks, nmk_draft_step(draft), nmk_draft_step_unit(draft), edition_unit(settled)) : NULL;
    json_whole_if(j, "at", step->marks, step->marks);
    json_rat(j, "at_mm", &step->at);
    json_text(j, "find", hint);
    json_text(j, "way", step->way == NMK_ACROSS ? "across" : "down");
    json_text(j, "edge", edges[step->edge]);
    json_text(j, "fence", edges[step->fence]);
    if (step->beyond)
        json_truth(j, "beyond_reach", true);
    store_free(hint);
}

/* Where a piece has rows: beside what the line runs, and from where to where. */
static void put_rows(struct json *j, const struct nmk_plan *plan, const struct nmk_plan_step *step)
{
    const struct nmk_piece *piece = nmk_design_piece(design_of(nmk_plan_settled(plan)), step->piece);
    if (!nmk_piece_has_rows(piece))
        return;
    row_json_beside(j, piece, row_of_line(piece, step->way, step->line));
    row_json_runs(j, nmk_plan_settled(plan), step->piece, step->way, step->line);
}

static void put_step(struct json *j, const struct nmk_plan *plan, const struct nmk_plan_step *step)
{
    static const char *const acts[] = {
        [NMK_PLAN_CUT] = "cut",     [NMK_PLAN_PUNCH] = "punch", [NMK_PLAN_OPENING] = "opening", [NMK_PLAN_MITRE] = "mitre",
        [NMK_PLAN_SCORE] = "score", [NMK_PLAN_SAY] = "say",     [NMK_PLAN_SNIP] = "snip",       [NMK_PLAN_FOLD] = "fold",
        [NMK_PLAN_GLUE] = "glue",   [NMK_PLAN_LAY] = "lay",     [NMK_PLAN_KNIFE] = "knife",
    };
    bool line = step->act == NMK_PLAN_SCORE || step->act == NMK_PLAN_KNIFE;
    json_object(j, NULL);
    json_count(j, "number", step->number);
    json_text(j, "act", acts[step->act]);
    json_whole(j, "count", step->count);
    if (step->act == NMK_PLAN_CUT) {
        json_count(j, "part", step->part);
        json_count(j, "first", step->first);
        json_count(j, "second", step->second);
    } else {
        json_text(j, "piece", piece_name(plan, step->piece));
    }
    if (line)
        json_count(j, "line", step->line);
    if (step->act == NMK_PLAN_OPENING)
        json_text(j, "opening", nmk_design_opening(design_of(nmk_plan_settled(plan)), step->opening)->name);
    if (step->act == NMK_PLAN_SAY)
        json_text(j, "text", nmk_design_piece(design_of(nmk_plan_settled(plan)), step->piece)->says[step->say].text);
    if (step->act == NMK_PLAN_CUT || line)
        put_setting(j, plan, step);
    if (line)
        put_rows(j, plan, step);
    json_close(j);
}

static void put_cue(struct json *j, const struct cue *cue)
{
    static const char *const parts[] = {
        [CUE_CUT] = "cuts", [CUE_PUNCH] = "punches and mitres", [CUE_SCORE] = "scores", [CUE_MAKE] = "making up"};
    json_object(j, NULL);
    json_count(j, "number", cue->number);
    json_text(j, "work", parts[cue->part]);
    json_text(j, "figure", cue->figure);
    if (cue->other)
        json_text(j, "other", cue->other);
    json_text(j, "find", cue->hint);
    json_text(j, "what", cue->what);
    json_text(j, "how", cue->how);
    json_text(j, "gives", cue->gives);
    json_text(j, "spoken", cue->say);
    json_close(j);
}

static void put_cues(struct json *j, const struct nmk_plan *plan, bool both)
{
    struct cue_list list;
    cue_list_make(&list, plan, both);
    json_list(j, "cues");
    for (size_t i = 0; i < list.count; i++)
        put_cue(j, &list.all[i]);
    json_close(j);
    cue_list_clear(&list);
}

/* ---- the whole ---- */

static void put_unfit(struct json *j, const struct nmk_plan *plan, size_t piece)
{
    json_object(j, NULL);
    json_text(j, "piece", piece_name(plan, piece));
    put_pair(j, "size_mm", nmk_plan_piece(plan, piece)->size);
    json_close(j);
}

static void put_head(struct json *j, const struct nmk_settled *settled, int64_t makers)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    const struct nmk_edition *edition = nmk_draft_edition(draft);
    bool known = nmk_settled_holds_together(settled);
    json_text(j, "design", nmk_design_title(nmk_draft_design(draft)));
    json_text(j, "edition", edition->name);
    json_text(j, "unit", nmk_unit_name(edition->unit));
    json_rat(j, "step_mm", nmk_draft_step(draft));
    json_rat(j, "reach_mm", nmk_rat_sign(&edition->reach) > 0 ? &edition->reach : NULL);
    json_text(j, "state", known ? nmk_state_name(nmk_settled_state(settled)) : "cannot hold");
    json_whole(j, "makers", makers);
}

static void put_plan(struct json *j, const struct nmk_plan *plan)
{
    json_count(j, "moves", nmk_plan_moves(plan));
    json_count(j, "moves_bound", nmk_plan_moves_bound(plan));
    json_list(j, "fits_no_sheet");
    for (size_t i = 0; i < nmk_plan_unfit_count(plan); i++)
        put_unfit(j, plan, nmk_plan_unfit(plan, i));
    json_close(j);
    json_list(j, "stocks");
    for (size_t i = 0; i < nmk_plan_stock_count(plan); i++)
        put_stock(j, plan, nmk_plan_stock(plan, i));
    json_close(j);
    json_list(j, "pieces");
    for (size_t i = 0; i < nmk_design_piece_count(design_of(nmk_plan_settled(plan))); i++)
        put_piece(j, plan, i);
    json_close(j);
    json_list(j, "sheets");
    for (size_t i = 0; i < nmk_plan_sheet_count(plan); i++)
        put_sheet(j, plan, i);
    json_close(j);
    json_list(j, "steps");
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++)
        put_step(j, plan, nmk_plan_step(plan, i));
    json_close(j);
}

void plan_json(struct json *j, const struct nmk_settled *settled, const struct nmk_plan *plan, int64_t makers, bool cues,
               bool both)
{
    json_object(j, NULL);
    put_head(j, settled, makers);
    if (plan)
        put_plan(j, plan);
    if (plan && cues)
        put_cues(j, plan, both);
    json_close(j);
}
