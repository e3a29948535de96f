#include "report/explain_json.h"

#include "report/edition_text.h"
#include "report/row_words.h"
#include "report/source_text.h"
#include "report/verdict_json.h"

static const struct nmk_draft *draft_of(const struct explained *e)
{
    return nmk_settled_draft(e->settled);
}

static const struct nmk_design *design_of(const struct explained *e)
{
    return nmk_draft_design(draft_of(e));
}

/* ---- sources ---- */

static const char *way_name(enum nmk_way way)
{
    return way == NMK_ACROSS ? "across" : "down";
}

static void put_line(struct json *j, const struct explained *e, const struct nmk_contribution *source)
{
    size_t end = nmk_draft_line_count(draft_of(e), source->subject, source->way) - 1;
    int64_t whole = nmk_settled_line(e->settled, e->column, source->subject, source->way, end);
    int64_t at = nmk_settled_line(e->settled, e->column, source->subject, source->way, source->line);
    bool cut = source->line == end, last = !cut && nmk_draft_from_last(draft_of(e), source->subject, source->way, source->line);
    json_text(j, "name", nmk_design_piece(design_of(e), source->subject)->name);
    json_text(j, "direction", way_name(source->way));
    json_count(j, "copy", source->copy + 1);
    const struct nmk_piece *piece = nmk_design_piece(design_of(e), source->subject);
    json_truth(j, "cut", cut || row_line_is_cut(piece, source->way, source->line));
    row_json_beside(j, piece, row_of_line(piece, source->way, source->line));
    json_text(j, "from", last ? "last" : "first");
    json_whole(j, "at", last ? whole - at : at);
}

static void put_subject(struct json *j, const struct explained *e, size_t demand, const struct nmk_contribution *source)
{
    size_t top = nmk_design_demand(design_of(e), demand)->piece;
    switch (source->source) {
    case NMK_FROM_MEASURE: json_text(j, "name", nmk_design_measure(design_of(e), source->subject)->name); break;
    case NMK_FROM_STOCK: json_text(j, "name", nmk_design_stock(design_of(e), source->subject)->name); break;
    case NMK_FROM_LINE: put_line(j, e, source); break;
    case NMK_FROM_PLACE:
        json_text(j, "name", top == NMK_NONE ? NULL : nmk_design_piece(design_of(e), top)->name);
        json_text(j, "direction", way_name(source->way));
        break;
    case NMK_FROM_CONSTANT: json_null(j, "name"); break;
    }
}

static void put_source(struct json *j, const struct explained *e, size_t demand, const struct nmk_contribution *source)
{
    static const char *const names[] = {[NMK_FROM_MEASURE] = "measure", [NMK_FROM_STOCK] = "stock", [NMK_FROM_LINE] = "line",
                                        [NMK_FROM_PLACE] = "place", [NMK_FROM_CONSTANT] = "constant"};
    struct sink words = {0};
    source_text_add(&words, e->settled, e->column, demand, source);
    json_object(j, NULL);
    json_text(j, "source", names[source->source]);
    put_subject(j, e, demand, source);
    json_rat(j, "times", &source->times);
    json_rat(j, "off_mm", &source->off);
    json_text(j, "words", words.data);
    json_close(j);
    sink_drop(&words);
}

static void put_demand(struct json *j, const struct explained *e, size_t demand)
{
    const struct nmk_demand *d = nmk_design_demand(design_of(e), demand);
    const struct nmk_view *view = nmk_settled_view(e->settled, demand, e->column);
    json_object(j, NULL);
    verdict_json_demand(j, d);
    verdict_json_allowed(j, nmk_settled_low(e->settled, demand), nmk_settled_high(e->settled, demand));
    if (d->exact)
        json_truth(j, "exact", true);
    json_rat(j, "least_mm", &view->least);
    json_rat(j, "nominal_mm", &view->nominal);
    json_rat(j, "most_mm", &view->most);
    json_text(j, "state", nmk_state_name(view->state));
    json_rat(j, "chance", &view->chance);
    json_list(j, "sources");
    for (size_t i = 0; !d->exact && i < nmk_settled_contribution_count(e->settled, demand, e->column); i++)
        put_source(j, e, demand, nmk_settled_contribution(e->settled, demand, e->column, i));
    json_close(j);
    json_close(j);
}

/* ---- lengths ---- */

static void put_weaker(struct json *j, const struct explained *e, const struct alternative *other)
{
    json_list(j, "weaker");
    for (size_t i = 0; !other->conflict && i < nmk_design_demand_count(design_of(e)); i++) {
        if (!explained_is_weaker(e, other, i))
            continue;
        json_object(j, NULL);
        verdict_json_demand(j, nmk_design_demand(design_of(e), i));
        json_rat(j, "chance_from", &nmk_settled_view(e->settled, i, NMK_SETTLED)->chance);
        json_rat(j, "chance_to", &nmk_settled_view(other->settled, i, NMK_SETTLED)->chance);
        json_close(j);
    }
    json_close(j);
}

/* `marks`: where the length is held, or 0: where it came out. */
static void put_alternative(struct json *j, const char *key, const struct explained *e, const struct alternative *other,
                            size_t length, int64_t marks)
{
    if (!other->settled) {
        json_null(j, key);
        return;
    }
    bool holds = !other->conflict;
    json_object(j, key);
    json_whole_if(j, "marks", holds || marks, holds ? nmk_settled_marks(other->settled, length) : marks);
    verdict_json_outcome(j, other->settled, holds);
    put_weaker(j, e, other);
    verdict_json_conflict(j, e->settled, other->conflict);
    json_close(j);
}

static void put_length(struct json *j, const struct explained *e, const struct explained_length *l)
{
    const struct nmk_rat *designed = nmk_draft_designed(draft_of(e), l->length);
    bool known = e->column == NMK_SETTLED;
    json_object(j, NULL);
    json_text(j, "name", nmk_design_length(design_of(e), l->length)->name);
    if (!designed) {
        json_whole_if(j, "choice", known, nmk_settled_choice(e->settled, l->length));
        json_rat(j, "across_mm", nmk_settled_punched(e->settled, l->length, NMK_ACROSS));
        json_rat(j, "down_mm", nmk_settled_punched(e->settled, l->length, NMK_DOWN));
    } else {
        json_rat(j, "designed_mm", designed);
        json_whole(j, "nearest", nmk_draft_nearest(draft_of(e), l->length));
        json_whole_if(j, "marks", known, nmk_settled_marks(e->settled, l->length));
        put_alternative(j, "at_nearest", e, &l->held, l->length, nmk_draft_nearest(draft_of(e), l->length));
        put_alternative(j, "next", e, &l->next, l->length, 0);
    }
    json_close(j);
}

/* ---- the whole ---- */

static void put_head(struct json *j, const struct explained *e)
{
    const struct nmk_edition *edition = nmk_draft_edition(draft_of(e));
    bool known = e->column == NMK_SETTLED;
    json_text(j, "design", nmk_design_title(design_of(e)));
    json_text(j, "edition", edition->name);
    json_text(j, "unit", nmk_unit_name(edition->unit));
    json_rat(j, "step_mm", nmk_draft_step(draft_of(e)));
    json_rat(j, "sure", &nmk_settled_options(e->settled)->sure);
    json_text(j, "column", known ? "settled" : "rounded");
    verdict_json_outcome(j, e->settled, known);
}

void explain_json(struct json *j, const struct explained *e)
{
    json_object(j, NULL);
    put_head(j, e);
    json_list(j, "demands");
    for (size_t i = 0; i < e->demand_count; i++)
        put_demand(j, e, e->demands[i]);
    json_close(j);
    json_list(j, "lengths");
    for (size_t i = 0; i < e->length_count; i++)
        put_length(j, e, &e->lengths[i]);
    json_close(j);
    json_close(j);
}
