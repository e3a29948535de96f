#include "report/explain_tree.h"

#include "report/edition_text.h"
#include "report/source_text.h"
#include "report/verdict_tree.h"

static void set(json_t *object, const char *key, json_t *value)
{
    json_object_set_new_nocheck(object, key, value);
}

static const struct nmk_draft *draft_of(const struct explained *e)
{
    return nmk_settled_draft(e->settled);
}

static const struct nmk_design *design_of(const struct explained *e)
{
    return nmk_draft_design(draft_of(e));
}

/* ---- sources ---- */

static void set_line(json_t *tree, const struct explained *e, const struct nmk_contribution *source)
{
    size_t end = nmk_draft_line_count(draft_of(e), source->subject, source->way) - 1;
    int64_t whole = nmk_settled_line(e->settled, e->column, source->subject, source->way, end);
    int64_t at = nmk_settled_line(e->settled, e->column, source->subject, source->way, source->line);
    bool cut = source->line == end, last = !cut && nmk_draft_from_last(draft_of(e), source->subject, source->way, source->line);
    set(tree, "name", tree_text(nmk_design_piece(design_of(e), source->subject)->name));
    set(tree, "direction", json_string(source->way == NMK_ACROSS ? "across" : "down"));
    set(tree, "copy", json_integer((json_int_t)source->copy + 1));
    set(tree, "cut", json_boolean(cut));
    set(tree, "from", json_string(last ? "last" : "first"));
    set(tree, "at", json_integer(last ? whole - at : at));
}

static void set_subject(json_t *tree, const struct explained *e, size_t demand, const struct nmk_contribution *source)
{
    size_t top = nmk_design_demand(design_of(e), demand)->piece;
    switch (source->source) {
    case NMK_FROM_MEASURE: set(tree, "name", tree_text(nmk_design_measure(design_of(e), source->subject)->name)); break;
    case NMK_FROM_STOCK: set(tree, "name", tree_text(nmk_design_stock(design_of(e), source->subject)->name)); break;
    case NMK_FROM_LINE: set_line(tree, e, source); break;
    case NMK_FROM_PLACE:
        set(tree, "name", top == NMK_NONE ? json_null() : tree_text(nmk_design_piece(design_of(e), top)->name));
        set(tree, "direction", json_string(source->way == NMK_ACROSS ? "across" : "down"));
        break;
    case NMK_FROM_CONSTANT: set(tree, "name", json_null()); break;
    }
}

static json_t *source_tree(const struct explained *e, size_t demand, const struct nmk_contribution *source)
{
    static const char *const names[] = {[NMK_FROM_MEASURE] = "measure", [NMK_FROM_STOCK] = "stock", [NMK_FROM_LINE] = "line",
                                        [NMK_FROM_PLACE] = "place", [NMK_FROM_CONSTANT] = "constant"};
    struct sink words = {0};
    json_t *tree = json_object();
    source_text_add(&words, e->settled, e->column, demand, source);
    set(tree, "source", json_string(names[source->source]));
    set_subject(tree, e, demand, source);
    set(tree, "times", tree_rat(&source->times));
    set(tree, "off_mm", tree_rat(&source->off));
    set(tree, "words", tree_text(words.data));
    sink_drop(&words);
    return tree;
}

static json_t *demand_tree(const struct explained *e, size_t demand)
{
    const struct nmk_demand *d = nmk_design_demand(design_of(e), demand);
    const struct nmk_view *view = nmk_settled_view(e->settled, demand, e->column);
    json_t *tree = demand_name_tree(d), *allowed = json_array(), *sources = json_array();
    json_array_append_new(allowed, tree_rat(nmk_settled_low(e->settled, demand)));
    json_array_append_new(allowed, tree_rat(nmk_settled_high(e->settled, demand)));
    for (size_t i = 0; !d->exact && i < nmk_settled_contribution_count(e->settled, demand, e->column); i++)
        json_array_append_new(sources, source_tree(e, demand, nmk_settled_contribution(e->settled, demand, e->column, i)));
    set(tree, "allowed_mm", allowed);
    if (d->exact)
        set(tree, "exact", json_true());
    set(tree, "least_mm", tree_rat(&view->least));
    set(tree, "nominal_mm", tree_rat(&view->nominal));
    set(tree, "most_mm", tree_rat(&view->most));
    set(tree, "state", json_string(nmk_state_name(view->state)));
    set(tree, "chance", tree_rat(&view->chance));
    set(tree, "sources", sources);
    return tree;
}

/* ---- lengths ---- */

static json_t *weaker_tree(const struct explained *e, const struct alternative *other)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_demand_count(design_of(e)); i++) {
        if (!explained_is_weaker(e, other, i))
            continue;
        json_t *tree = demand_name_tree(nmk_design_demand(design_of(e), i));
        set(tree, "chance_from", tree_rat(&nmk_settled_view(e->settled, i, NMK_SETTLED)->chance));
        set(tree, "chance_to", tree_rat(&nmk_settled_view(other->settled, i, NMK_SETTLED)->chance));
        json_array_append_new(all, tree);
    }
    return all;
}

/* `marks`: where the length is held, or 0: where it came out. */
static json_t *alternative_tree(const struct explained *e, const struct alternative *other, size_t length, int64_t marks)
{
    if (!other->settled)
        return json_null();
    json_t *tree = json_object();
    bool holds = !other->conflict;
    set(tree, "marks", holds ? json_integer(nmk_settled_marks(other->settled, length)) : marks ? json_integer(marks) : json_null());
    set(tree, "state", json_string(holds ? nmk_state_name(nmk_settled_state(other->settled)) : "cannot hold"));
    set(tree, "moved", holds ? json_integer((json_int_t)nmk_settled_moved(other->settled)) : json_null());
    set(tree, "deviation_mm", holds ? tree_rat(nmk_settled_deviation(other->settled)) : json_null());
    set(tree, "weaker", holds ? weaker_tree(e, other) : json_array());
    set(tree, "conflict", holds ? json_array() : conflict_tree(e->settled, other->conflict));
    return tree;
}

static json_t *length_tree(const struct explained *e, const struct explained_length *l)
{
    const struct nmk_rat *designed = nmk_draft_designed(draft_of(e), l->length);
    bool known = e->column == NMK_SETTLED;
    json_t *tree = json_object();
    set(tree, "name", tree_text(nmk_design_length(design_of(e), l->length)->name));
    if (!designed) {
        set(tree, "choice", known ? json_integer(nmk_settled_choice(e->settled, l->length)) : json_null());
        set(tree, "across_mm", tree_rat(nmk_settled_punched(e->settled, l->length, NMK_ACROSS)));
        set(tree, "down_mm", tree_rat(nmk_settled_punched(e->settled, l->length, NMK_DOWN)));
        return tree;
    }
    set(tree, "designed_mm", tree_rat(designed));
    set(tree, "nearest", json_integer(nmk_draft_nearest(draft_of(e), l->length)));
    set(tree, "marks", known ? json_integer(nmk_settled_marks(e->settled, l->length)) : json_null());
    set(tree, "at_nearest", alternative_tree(e, &l->held, l->length, nmk_draft_nearest(draft_of(e), l->length)));
    set(tree, "next", alternative_tree(e, &l->next, l->length, 0));
    return tree;
}

json_t *explain_tree(const struct explained *e)
{
    const struct nmk_edition *edition = nmk_draft_edition(draft_of(e));
    bool known = e->column == NMK_SETTLED;
    json_t *tree = json_object(), *demands = json_array(), *lengths = json_array();
    for (size_t i = 0; i < e->demand_count; i++)
        json_array_append_new(demands, demand_tree(e, e->demands[i]));
    for (size_t i = 0; i < e->length_count; i++)
        json_array_append_new(lengths, length_tree(e, &e->lengths[i]));
    set(tree, "design", tree_text(nmk_design_title(design_of(e))));
    set(tree, "edition", tree_text(edition->name));
    set(tree, "unit", json_string(nmk_unit_name(edition->unit)));
    set(tree, "step_mm", tree_rat(nmk_draft_step(draft_of(e))));
    set(tree, "sure", tree_rat(&nmk_settled_options(e->settled)->sure));
    set(tree, "column", json_string(known ? "settled" : "rounded"));
    set(tree, "state", json_string(known ? nmk_state_name(nmk_settled_state(e->settled)) : "cannot hold"));
    set(tree, "moved", known ? json_integer((json_int_t)nmk_settled_moved(e->settled)) : json_null());
    set(tree, "deviation_mm", known ? tree_rat(nmk_settled_deviation(e->settled)) : json_null());
    set(tree, "demands", demands);
    set(tree, "lengths", lengths);
    return tree;
}
