#include "report/sizes/chart_view.h"

#include "ground/figure.h"
#include "ground/store.h"
#include "report/edition_text.h"

const char *chart_view_state(const struct nmk_chart_row *row)
{
    return row->holds_together ? nmk_state_name(row->state) : "cannot hold";
}

static char *choice_figure(const struct chart_view *view, const struct nmk_length *length, int64_t choice)
{
    const struct nmk_rat *size = nmk_design_punches(view->design, length->punches)->sizes[choice - 1];
    struct sink both = {0};
    char *across = draft_size(view->draft, &size[NMK_ACROSS]), *down = draft_size(view->draft, &size[NMK_DOWN]);
    sink_format(&both, "%s x %s", across, down);
    char *figure = store_copy(both.data, both.size);
    store_free(across);
    store_free(down);
    sink_drop(&both);
    return figure;
}

char *chart_view_length(const struct chart_view *view, const struct nmk_chart_row *row, size_t i)
{
    const struct nmk_length *length = nmk_design_length(view->design, i);
    if (!row->holds_together)
        return store_copy("", 0);
    if (length->kind == NMK_LENGTH_CHOICE)
        return choice_figure(view, length, row->marks[i]);
    return draft_mark(view->draft, row->marks[i]);
}

char *chart_view_size(const struct chart_view *view, const struct nmk_rat *sizes, size_t i)
{
    return figure_length(&sizes[i], view->units[i]);
}

char *chart_view_bad(const struct chart_view *view, const size_t *bad, size_t count)
{
    struct sink all = {0};
    for (size_t i = 0; i < count; i++) {
        char *title = demand_title(nmk_design_demand(view->design, bad[i]));
        sink_format(&all, "%s%s", i ? "; " : "", title);
        store_free(title);
    }
    char *text = store_copy(all.size ? all.data : "", all.size);
    sink_drop(&all);
    return text;
}
