#include "report/source_text.h"

#include <string.h>

#include "ground/figure.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/row_words.h"

static const char *edge_name(enum nmk_way way, bool last)
{
    if (way == NMK_ACROSS)
        return last ? "right edge" : "left edge";
    return last ? "lower edge" : "upper edge";
}

static void add_line(struct sink *out, const struct nmk_settled *settled, enum nmk_column column,
                     const struct nmk_contribution *source)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(draft), source->subject);
    size_t end = nmk_draft_line_count(draft, source->subject, source->way) - 1;
    int64_t whole = nmk_settled_line(settled, column, source->subject, source->way, end);
    bool is_cut = source->line == end, last = !is_cut && nmk_draft_from_last(draft, source->subject, source->way, source->line);
    int64_t at = nmk_settled_line(settled, column, source->subject, source->way, source->line);
    char *mark = draft_mark(draft, is_cut ? whole : last ? whole - at : at);
    sink_plain(out, piece->label);
    sink_string(out, ": ");
    if (is_cut)
        sink_format(out, "the cut %s at %s", source->way == NMK_ACROSS ? "across" : "down", mark);
    else
        sink_format(out, "the %s %s from the %s", row_line_is_cut(piece, source->way, source->line) ? "cut" : "score", mark,
                    edge_name(source->way, last));
    const struct nmk_row *row = row_of_line(piece, source->way, source->line);
    if (row) {
        sink_string(out, " beside ");
        row_add_panels(out, piece, row, false);
    }
    if (source->copy)
        sink_format(out, ", copy %u", (unsigned)source->copy + 1);
    store_free(mark);
}

static void add_measure(struct sink *out, const struct nmk_measure *measure)
{
    sink_string(out, "your measure '");
    sink_plain(out, measure->label);
    sink_string(out, "'");
}

static void add_source(struct sink *out, const struct nmk_settled *settled, enum nmk_column column, size_t demand,
                       const struct nmk_contribution *source)
{
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(settled));
    size_t top = nmk_design_demand(design, demand)->piece;
    switch (source->source) {
    case NMK_FROM_MEASURE: add_measure(out, nmk_design_measure(design, source->subject)); break;
    case NMK_FROM_STOCK:
        sink_string(out, "the thickness of ");
        sink_plain(out, nmk_design_stock(design, source->subject)->label);
        break;
    case NMK_FROM_LINE: add_line(out, settled, column, source); break;
    case NMK_FROM_PLACE:
        sink_string(out, "laying ");
        sink_plain(out, top == NMK_NONE ? "it" : nmk_design_piece(design, top)->label);
        sink_format(out, " by hand, %s", source->way == NMK_ACROSS ? "across" : "down");
        break;
    case NMK_FROM_CONSTANT: sink_string(out, "pi or a root, as far as it is known"); break;
    }
}

void source_text_add(struct sink *out, const struct nmk_settled *settled, enum nmk_column column, size_t demand,
                     const struct nmk_contribution *source)
{
    struct nmk_rat times = {0};
    add_source(out, settled, column, demand, source);
    nmk_rat_abs(&times, &source->times);
    if (nmk_rat_cmp_int(&times, 1) != 0 && source->source != NMK_FROM_CONSTANT) {
        char *figure = figure_exact(&times);
        sink_format(out, ", times %s", figure);
        store_free(figure);
    }
    nmk_rat_clear(&times);
}
