#include "report/verdict_json.h"

#include "ground/hint.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/row_words.h"

static const struct nmk_design *design_of(const struct nmk_settled *settled)
{
    return nmk_draft_design(nmk_settled_draft(settled));
}

/* ---- lengths ---- */

static void put_length(struct json *j, const struct nmk_settled *settled, size_t i)
{
    const struct nmk_length *length = nmk_design_length(design_of(settled), i);
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    bool known = nmk_settled_holds_together(settled);
    json_object(j, NULL);
    json_text(j, "name", length->name);
    if (length->kind == NMK_LENGTH_CHOICE) {
        json_whole_if(j, "choice", known, nmk_settled_choice(settled, i));
    } else {
        json_rat(j, "designed_mm", nmk_draft_designed(draft, i));
        json_whole(j, "nearest", nmk_draft_nearest(draft, i));
        json_whole_if(j, "marks", known, nmk_settled_marks(settled, i));
    }
    json_close(j);
}

static void put_lengths(struct json *j, const struct nmk_settled *settled)
{
    json_list(j, "lengths");
    for (size_t i = 0; i < nmk_design_length_count(design_of(settled)); i++)
        put_length(j, settled, i);
    json_close(j);
}

static void put_unwatched(struct json *j, const struct nmk_settled *settled)
{
    json_list(j, "unwatched");
    for (size_t i = 0; i < nmk_design_length_count(design_of(settled)); i++)
        if (nmk_settled_unwatched(settled, i))
            json_text(j, NULL, nmk_design_length(design_of(settled), i)->name);
    json_close(j);
}

/* ---- pieces ---- */

static void put_hint(struct json *j, const struct nmk_settled *settled, int64_t marks)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    char *hint = hint_mark(marks, nmk_draft_step(draft), nmk_draft_step_unit(draft), edition_unit(settled));
    json_text(j, "find", hint);
    store_free(hint);
}

/* A line within a piece; where the piece has rows also beside what it runs and from where to where. */
static void put_line(struct json *j, const struct nmk_settled *settled, size_t index, enum nmk_way way, size_t line,
                     int64_t whole)
{
    const struct nmk_piece *piece = nmk_design_piece(design_of(settled), index);
    bool last = nmk_draft_from_last(nmk_settled_draft(settled), index, way, line);
    int64_t at = nmk_settled_line(settled, NMK_SETTLED, index, way, line);
    json_object(j, NULL);
    json_text(j, "from", last ? "last" : "first");
    json_whole(j, "at", last ? whole - at : at);
    put_hint(j, settled, last ? whole - at : at);
    if (nmk_piece_has_rows(piece)) {
        row_json_beside(j, piece, row_of_line(piece, way, line));
        row_json_runs(j, settled, index, way, line);
    }
    json_close(j);
}

/* The scores, or the cuts within the piece. */
static void put_some_lines(struct json *j, const char *key, const struct nmk_settled *settled, size_t index, enum nmk_way way,
                           bool cuts)
{
    const struct nmk_piece *piece = nmk_design_piece(design_of(settled), index);
    int64_t whole =
        nmk_settled_line(settled, NMK_SETTLED, index, way, nmk_draft_line_count(nmk_settled_draft(settled), index, way) - 1);
    struct row_lines lines;
    row_lines_make(&lines, settled, NMK_SETTLED, index, way);
    json_list(j, key);
    for (size_t i = 0; i < lines.count; i++)
        if (row_line_is_cut(piece, way, lines.all[i]) == cuts)
            put_line(j, settled, index, way, lines.all[i], whole);
    json_close(j);
    row_lines_clear(&lines);
}

static int64_t stretch_marks(const struct nmk_settled *settled, size_t piece, enum nmk_way way,
                             const struct nmk_stretch *stretch)
{
    return nmk_settled_line(settled, NMK_SETTLED, piece, way, stretch->lines[1]) -
           nmk_settled_line(settled, NMK_SETTLED, piece, way, stretch->lines[0]);
}

/* Stretches at an end of a row: at which edge, how wide, and beside what. */
static void put_end(struct json *j, const struct nmk_settled *settled, size_t index, enum nmk_way way,
                    const struct nmk_stretch *stretch)
{
    const struct nmk_piece *piece = nmk_design_piece(design_of(settled), index);
    const struct nmk_row *row = &piece->lists[way].rows[stretch->row];
    const struct nmk_stretch *first = &piece->lists[way].stretches[row->first];
    json_object(j, NULL);
    json_text(j, "at", stretch == first || (first->panel == NMK_NONE && stretch == first + 1) ? "first" : "last");
    json_whole(j, "marks", stretch_marks(settled, index, way, stretch));
    row_json_beside(j, piece, row);
    json_close(j);
}

/* The glue panels of a direction, at ends of its lists; where there are rows also what is cut away. */
static void put_ends(struct json *j, const char *key, const struct nmk_settled *settled, size_t piece, enum nmk_way way,
                     bool rests)
{
    const struct nmk_list *list = &nmk_design_piece(design_of(settled), piece)->lists[way];
    json_list(j, key);
    for (size_t i = 0; i < list->count; i++)
        if (rests ? list->stretches[i].panel == NMK_NONE : list->stretches[i].glue)
            put_end(j, settled, piece, way, &list->stretches[i]);
    json_close(j);
}

static const char *way_name(enum nmk_way way)
{
    return way == NMK_ACROSS ? "across" : "down";
}

static void put_lines(struct json *j, const struct nmk_settled *settled, size_t i, enum nmk_way way)
{
    size_t lines = nmk_draft_line_count(nmk_settled_draft(settled), i, way);
    int64_t whole = nmk_settled_line(settled, NMK_SETTLED, i, way, lines - 1);
    json_whole(j, "cut", whole);
    put_hint(j, settled, whole);
    put_some_lines(j, "scores", settled, i, way, false);
    put_ends(j, "glue", settled, i, way, false);
    if (!nmk_piece_has_rows(nmk_design_piece(design_of(settled), i)))
        return;
    put_some_lines(j, "cuts", settled, i, way, true);
    put_ends(j, "cut_away", settled, i, way, true);
}

static void put_direction(struct json *j, const struct nmk_settled *settled, size_t i, enum nmk_way way)
{
    const struct nmk_piece *piece = nmk_design_piece(design_of(settled), i);
    if (!nmk_settled_holds_together(settled)) {
        json_null(j, way_name(way));
        return;
    }
    json_object(j, way_name(way));
    if (piece->kind == NMK_PIECE_PUNCHED)
        json_rat(j, "punched_mm", nmk_settled_punched(settled, piece->length, way));
    else
        put_lines(j, settled, i, way);
    json_close(j);
}

static void put_piece(struct json *j, const struct nmk_settled *settled, size_t i)
{
    static const char *const kinds[] = {
        [NMK_PIECE_PANELS] = "panels", [NMK_PIECE_MAT] = "mat", [NMK_PIECE_PUNCHED] = "punched"};
    const struct nmk_design *design = design_of(settled);
    const struct nmk_piece *piece = nmk_design_piece(design, i);
    json_object(j, NULL);
    json_text(j, "piece", piece->name);
    json_text(j, "label", piece->label);
    json_text(j, "kind", kinds[piece->kind]);
    json_whole(j, "copies", piece->copies);
    json_text(j, "stock", nmk_design_stock(design, piece->stock)->name);
    put_direction(j, settled, i, NMK_ACROSS);
    put_direction(j, settled, i, NMK_DOWN);
    if (piece->has_grain)
        json_text(j, "grain", way_name(piece->grain));
    if (piece->snipped)
        json_text(j, "snipped", way_name(piece->snipped_way));
    if (piece->snipped && piece->tapered)
        json_rat(j, "taper_mm", nmk_draft_twin(nmk_settled_draft(settled), &piece->taper));
    if (piece->mitred)
        json_truth(j, "mitred", true);
    json_close(j);
}

static void put_pieces(struct json *j, const struct nmk_settled *settled)
{
    json_list(j, "pieces");
    for (size_t i = 0; i < nmk_design_piece_count(design_of(settled)); i++)
        put_piece(j, settled, i);
    json_close(j);
}

static void put_opening(struct json *j, const struct nmk_settled *settled, const struct nmk_opening *opening)
{
    json_object(j, NULL);
    json_text(j, "opening", opening->name);
    json_list(j, "through");
    for (size_t i = 0; i < opening->through_count; i++)
        json_text(j, NULL, nmk_design_piece(design_of(settled), opening->through[i])->name);
    json_close(j);
    json_rat(j, "across_mm", nmk_settled_punched(settled, opening->length, NMK_ACROSS));
    json_rat(j, "down_mm", nmk_settled_punched(settled, opening->length, NMK_DOWN));
    json_close(j);
}

static void put_openings(struct json *j, const struct nmk_settled *settled)
{
    json_list(j, "openings");
    for (size_t i = 0; i < nmk_design_opening_count(design_of(settled)); i++)
        put_opening(j, settled, nmk_design_opening(design_of(settled), i));
    json_close(j);
}

/* ---- demands ---- */

static void put_view(struct json *j, const char *key, const struct nmk_settled *settled, size_t demand, enum nmk_column column)
{
    if (column == NMK_SETTLED && !nmk_settled_holds_together(settled)) {
        json_null(j, key);
        return;
    }
    const struct nmk_view *view = nmk_settled_view(settled, demand, column);
    json_object(j, key);
    json_rat(j, "least_mm", &view->least);
    json_rat(j, "nominal_mm", &view->nominal);
    json_rat(j, "most_mm", &view->most);
    json_text(j, "state", nmk_state_name(view->state));
    json_rat(j, "chance", &view->chance);
    json_close(j);
}

void verdict_json_demand(struct json *j, const struct nmk_demand *demand)
{
    json_text(j, "kind", demand_kind(demand));
    json_text(j, "name", demand->name);
    if (demand_way(demand))
        json_text(j, "direction", demand_way(demand));
}

void verdict_json_allowed(struct json *j, const struct nmk_rat *low, const struct nmk_rat *high)
{
    json_list(j, "allowed_mm");
    json_rat(j, NULL, low);
    json_rat(j, NULL, high);
    json_close(j);
}

static void put_demand(struct json *j, const struct nmk_settled *settled, size_t i)
{
    const struct nmk_demand *demand = nmk_design_demand(design_of(settled), i);
    json_object(j, NULL);
    verdict_json_demand(j, demand);
    verdict_json_allowed(j, nmk_settled_low(settled, i), nmk_settled_high(settled, i));
    if (demand->exact)
        json_truth(j, "exact", true);
    if (nmk_settled_enclosed(settled, i))
        json_truth(j, "enclosed", true);
    put_view(j, "designed", settled, i, NMK_DESIGNED);
    put_view(j, "rounded", settled, i, NMK_ROUNDED);
    put_view(j, "settled", settled, i, NMK_SETTLED);
    json_close(j);
}

static void put_demands(struct json *j, const struct nmk_settled *settled)
{
    json_list(j, "demands");
    for (size_t i = 0; i < nmk_design_demand_count(design_of(settled)); i++)
        put_demand(j, settled, i);
    json_close(j);
}

static bool any_enclosed(const struct nmk_settled *settled)
{
    for (size_t i = 0; i < nmk_design_demand_count(design_of(settled)); i++)
        if (nmk_settled_enclosed(settled, i))
            return true;
    return false;
}

/* ---- where nothing meets all demands ---- */

void verdict_json_conflict(struct json *j, const struct nmk_settled *settled, const struct nmk_conflict *conflict)
{
    json_list(j, "conflict");
    for (size_t i = 0; conflict && i < nmk_conflict_count(conflict); i++) {
        const struct nmk_conflict_member *member = nmk_conflict_member(conflict, i);
        json_object(j, NULL);
        verdict_json_demand(j, nmk_design_demand(design_of(settled), member->demand));
        json_text(j, "bound", member->high ? "hi" : "lo");
        json_rat(j, "change_mm", member->can_change ? &member->change : NULL);
        json_close(j);
    }
    json_close(j);
}

/* ---- the whole ---- */

static void put_settings(struct json *j, const struct nmk_settled *settled)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    const struct nmk_edition *edition = nmk_draft_edition(draft);
    const struct nmk_settle_options *options = nmk_settled_options(settled);
    json_text(j, "design", nmk_design_title(nmk_draft_design(draft)));
    json_text(j, "edition", edition->name);
    json_text(j, "unit", nmk_unit_name(edition->unit));
    json_rat(j, "step_mm", nmk_draft_step(draft));
    json_whole(j, "score_marks", nmk_draft_score_marks(draft));
    json_rat(j, "cut_mm", &edition->cut);
    json_truth(j, "as_designed", edition->as_designed);
    json_text(j, "prefer", options->prefer == NMK_EASIEST ? "easiest" : "closest");
    json_whole(j, "within", options->within);
    json_rat(j, "sure", &options->sure);
}

void verdict_json_outcome(struct json *j, const struct nmk_settled *settled, bool holds)
{
    json_text(j, "state", holds ? nmk_state_name(nmk_settled_state(settled)) : "cannot hold");
    json_whole_if(j, "moved", holds, holds ? (int64_t)nmk_settled_moved(settled) : 0);
    json_rat(j, "deviation_mm", holds ? nmk_settled_deviation(settled) : NULL);
}

void verdict_json(struct json *j, const struct nmk_settled *settled, const struct nmk_conflict *conflict)
{
    json_object(j, NULL);
    put_settings(j, settled);
    verdict_json_outcome(j, settled, nmk_settled_holds_together(settled));
    put_unwatched(j, settled);
    if (any_enclosed(settled))
        json_truth(j, "enclosed", true);
    put_lengths(j, settled);
    put_pieces(j, settled);
    put_openings(j, settled);
    put_demands(j, settled);
    if (conflict) {
        verdict_json_conflict(j, settled, conflict);
        json_rat(j, "finer_mm", nmk_conflict_finer(conflict));
    }
    json_close(j);
}
