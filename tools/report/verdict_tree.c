#include "report/verdict_tree.h"

#include "report/edition_text.h"
#include "report/hint.h"
#include "report/store.h"

static const struct nmk_design *design_of(const struct nmk_settled *settled)
{
    return nmk_draft_design(nmk_settled_draft(settled));
}

static void set(json_t *tree, const char *key, json_t *value)
{
    json_object_set_new(tree, key, value);
}

/* ---- lengths ---- */

static json_t *length_tree(const struct nmk_settled *settled, size_t i)
{
    const struct nmk_length *length = nmk_design_length(design_of(settled), i);
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    bool known = nmk_settled_holds_together(settled);
    json_t *tree = json_object();
    set(tree, "name", tree_text(length->name));
    if (length->kind == NMK_LENGTH_CHOICE) {
        set(tree, "choice", known ? json_integer(nmk_settled_choice(settled, i)) : json_null());
        return tree;
    }
    set(tree, "designed_mm", tree_rat(nmk_draft_designed(draft, i)));
    set(tree, "nearest", json_integer(nmk_draft_nearest(draft, i)));
    set(tree, "marks", known ? json_integer(nmk_settled_marks(settled, i)) : json_null());
    return tree;
}

static json_t *lengths_tree(const struct nmk_settled *settled)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_length_count(design_of(settled)); i++)
        json_array_append_new(all, length_tree(settled, i));
    return all;
}

static json_t *unwatched_tree(const struct nmk_settled *settled)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_length_count(design_of(settled)); i++)
        if (nmk_settled_unwatched(settled, i))
            json_array_append_new(all, tree_text(nmk_design_length(design_of(settled), i)->name));
    return all;
}

/* ---- pieces ---- */

static void set_hint(json_t *tree, const struct nmk_settled *settled, int64_t marks)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    char *hint = hint_mark(marks, nmk_draft_step(draft), nmk_draft_step_unit(draft), edition_unit(settled));
    set(tree, "find", hint ? tree_text(hint) : json_null());
    store_free(hint);
}

static json_t *score_tree(const struct nmk_settled *settled, size_t piece, enum nmk_way way, size_t line, int64_t whole)
{
    bool last = nmk_draft_from_last(nmk_settled_draft(settled), piece, way, line);
    int64_t at = nmk_settled_line(settled, NMK_SETTLED, piece, way, line);
    json_t *tree = json_object();
    set(tree, "from", json_string(last ? "last" : "first"));
    set(tree, "at", json_integer(last ? whole - at : at));
    set_hint(tree, settled, last ? whole - at : at);
    return tree;
}

/* The glue panels of a direction (at one end or both): at which edge, and how wide. */
static void set_glue(json_t *tree, const struct nmk_settled *settled, size_t piece, enum nmk_way way)
{
    const struct nmk_list *list = &nmk_design_piece(design_of(settled), piece)->lists[way];
    json_t *all = json_array();
    for (size_t i = 0; i < list->count; i++) {
        if (!list->stretches[i].glue)
            continue;
        json_t *glue = json_object();
        set(glue, "at", json_string(i ? "last" : "first"));
        set(glue, "marks", json_integer(nmk_settled_line(settled, NMK_SETTLED, piece, way, i + 1) -
                                        nmk_settled_line(settled, NMK_SETTLED, piece, way, i)));
        json_array_append_new(all, glue);
    }
    set(tree, "glue", all);
}

static json_t *direction_tree(const struct nmk_settled *settled, size_t i, enum nmk_way way)
{
    const struct nmk_piece *piece = nmk_design_piece(design_of(settled), i);
    if (!nmk_settled_holds_together(settled))
        return json_null();
    json_t *tree = json_object();
    if (piece->kind == NMK_PIECE_PUNCHED) {
        set(tree, "punched_mm", tree_rat(nmk_settled_punched(settled, piece->length, way)));
        return tree;
    }
    size_t lines = nmk_draft_line_count(nmk_settled_draft(settled), i, way);
    int64_t whole = nmk_settled_line(settled, NMK_SETTLED, i, way, lines - 1);
    json_t *scores = json_array();
    for (size_t line = 1; line + 1 < lines; line++)
        json_array_append_new(scores, score_tree(settled, i, way, line, whole));
    set(tree, "cut", json_integer(whole));
    set_hint(tree, settled, whole);
    set(tree, "scores", scores);
    set_glue(tree, settled, i, way);
    return tree;
}

static const char *way_name(enum nmk_way way)
{
    return way == NMK_ACROSS ? "across" : "down";
}

static json_t *piece_tree(const struct nmk_settled *settled, size_t i)
{
    static const char *const kinds[] = {[NMK_PIECE_PANELS] = "panels", [NMK_PIECE_MAT] = "mat", [NMK_PIECE_PUNCHED] = "punched"};
    const struct nmk_design *design = design_of(settled);
    const struct nmk_piece *piece = nmk_design_piece(design, i);
    json_t *tree = json_object();
    set(tree, "piece", tree_text(piece->name));
    set(tree, "label", tree_text(piece->label));
    set(tree, "kind", json_string(kinds[piece->kind]));
    set(tree, "copies", json_integer(piece->copies));
    set(tree, "stock", tree_text(nmk_design_stock(design, piece->stock)->name));
    set(tree, "across", direction_tree(settled, i, NMK_ACROSS));
    set(tree, "down", direction_tree(settled, i, NMK_DOWN));
    if (piece->has_grain)
        set(tree, "grain", json_string(way_name(piece->grain)));
    if (piece->snipped)
        set(tree, "snipped", json_string(way_name(piece->snipped_way)));
    if (piece->snipped && piece->tapered)
        set(tree, "taper_mm", tree_rat(nmk_draft_twin(nmk_settled_draft(settled), &piece->taper)));
    if (piece->mitred)
        set(tree, "mitred", json_true());
    return tree;
}

static json_t *pieces_tree(const struct nmk_settled *settled)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_piece_count(design_of(settled)); i++)
        json_array_append_new(all, piece_tree(settled, i));
    return all;
}

static json_t *opening_tree(const struct nmk_settled *settled, const struct nmk_opening *opening)
{
    json_t *tree = json_object(), *through = json_array();
    for (size_t i = 0; i < opening->through_count; i++)
        json_array_append_new(through, tree_text(nmk_design_piece(design_of(settled), opening->through[i])->name));
    set(tree, "opening", tree_text(opening->name));
    set(tree, "through", through);
    set(tree, "across_mm", tree_rat(nmk_settled_punched(settled, opening->length, NMK_ACROSS)));
    set(tree, "down_mm", tree_rat(nmk_settled_punched(settled, opening->length, NMK_DOWN)));
    return tree;
}

static json_t *openings_tree(const struct nmk_settled *settled)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_opening_count(design_of(settled)); i++)
        json_array_append_new(all, opening_tree(settled, nmk_design_opening(design_of(settled), i)));
    return all;
}

/* ---- demands ---- */

static json_t *view_tree(const struct nmk_settled *settled, size_t demand, enum nmk_column column)
{
    if (column == NMK_SETTLED && !nmk_settled_holds_together(settled))
        return json_null();
    const struct nmk_view *view = nmk_settled_view(settled, demand, column);
    json_t *tree = json_object();
    set(tree, "least_mm", tree_rat(&view->least));
    set(tree, "nominal_mm", tree_rat(&view->nominal));
    set(tree, "most_mm", tree_rat(&view->most));
    set(tree, "state", json_string(nmk_state_name(view->state)));
    set(tree, "chance", tree_rat(&view->chance));
    return tree;
}

/* What names a demand: kind, name, direction. */
json_t *demand_name_tree(const struct nmk_demand *demand)
{
    json_t *tree = json_object();
    set(tree, "kind", json_string(demand_kind(demand)));
    set(tree, "name", tree_text(demand->name));
    if (demand_way(demand))
        set(tree, "direction", json_string(demand_way(demand)));
    return tree;
}

static json_t *demand_tree(const struct nmk_settled *settled, size_t i)
{
    const struct nmk_demand *demand = nmk_design_demand(design_of(settled), i);
    json_t *tree = demand_name_tree(demand), *allowed = json_array();
    json_array_append_new(allowed, tree_rat(nmk_settled_low(settled, i)));
    json_array_append_new(allowed, tree_rat(nmk_settled_high(settled, i)));
    set(tree, "allowed_mm", allowed);
    if (demand->exact)
        set(tree, "exact", json_true());
    if (nmk_settled_enclosed(settled, i))
        set(tree, "enclosed", json_true());
    set(tree, "designed", view_tree(settled, i, NMK_DESIGNED));
    set(tree, "rounded", view_tree(settled, i, NMK_ROUNDED));
    set(tree, "settled", view_tree(settled, i, NMK_SETTLED));
    return tree;
}

static json_t *demands_tree(const struct nmk_settled *settled)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_demand_count(design_of(settled)); i++)
        json_array_append_new(all, demand_tree(settled, i));
    return all;
}

static bool any_enclosed(const struct nmk_settled *settled)
{
    for (size_t i = 0; i < nmk_design_demand_count(design_of(settled)); i++)
        if (nmk_settled_enclosed(settled, i))
            return true;
    return false;
}

/* ---- where nothing meets all demands ---- */

json_t *conflict_tree(const struct nmk_settled *settled, const struct nmk_conflict *conflict)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_conflict_count(conflict); i++) {
        const struct nmk_conflict_member *member = nmk_conflict_member(conflict, i);
        json_t *tree = demand_name_tree(nmk_design_demand(design_of(settled), member->demand));
        set(tree, "bound", json_string(member->high ? "hi" : "lo"));
        set(tree, "change_mm", member->can_change ? tree_rat(&member->change) : json_null());
        json_array_append_new(all, tree);
    }
    return all;
}

/* ---- the whole ---- */

static void set_settings(json_t *tree, const struct nmk_settled *settled)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    const struct nmk_edition *edition = nmk_draft_edition(draft);
    const struct nmk_settle_options *options = nmk_settled_options(settled);
    set(tree, "design", tree_text(nmk_design_title(nmk_draft_design(draft))));
    set(tree, "edition", tree_text(edition->name));
    set(tree, "unit", json_string(nmk_unit_name(edition->unit)));
    set(tree, "step_mm", tree_rat(nmk_draft_step(draft)));
    set(tree, "score_marks", json_integer(nmk_draft_score_marks(draft)));
    set(tree, "cut_mm", tree_rat(&edition->cut));
    set(tree, "as_designed", json_boolean(edition->as_designed));
    set(tree, "prefer", json_string(options->prefer == NMK_EASIEST ? "easiest" : "closest"));
    set(tree, "within", json_integer(options->within));
    set(tree, "sure", tree_rat(&options->sure));
}

static void set_outcome(json_t *tree, const struct nmk_settled *settled)
{
    bool known = nmk_settled_holds_together(settled);
    set(tree, "state", json_string(known ? nmk_state_name(nmk_settled_state(settled)) : "cannot hold"));
    set(tree, "moved", known ? json_integer((json_int_t)nmk_settled_moved(settled)) : json_null());
    set(tree, "deviation_mm", known ? tree_rat(nmk_settled_deviation(settled)) : json_null());
    set(tree, "unwatched", unwatched_tree(settled));
    if (any_enclosed(settled))
        set(tree, "enclosed", json_true());
}

json_t *verdict_tree(const struct nmk_settled *settled, const struct nmk_conflict *conflict)
{
    json_t *tree = json_object();
    set_settings(tree, settled);
    set_outcome(tree, settled);
    set(tree, "lengths", lengths_tree(settled));
    set(tree, "pieces", pieces_tree(settled));
    set(tree, "openings", openings_tree(settled));
    set(tree, "demands", demands_tree(settled));
    if (conflict) {
        set(tree, "conflict", conflict_tree(settled, conflict));
        set(tree, "finer_mm", tree_rat(nmk_conflict_finer(conflict)));
    }
    return tree;
}
