#include "report/plan/cue_row.h"

#include "ground/store.h"
#include "report/row_words.h"

static void add_place(const struct cue_teller *t, struct sink *s, enum nmk_way way, int64_t at, int64_t whole, bool spoken)
{
    static const char *const edges[2][2] = {{"left edge", "right edge"}, {"upper edge", "lower edge"}};
    if (at == 0 || at == whole)
        sink_format(s, "the %s", edges[way][at > 0]);
    else
        cue_add_marks(t, s, at, spoken);
}

/* The runs that are cut, of a line that elsewhere is scored or runs through what is cut away. */
static void add_cut_runs(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, const struct nmk_run *runs, size_t count, bool spoken)
{
    enum nmk_way along = step->way == NMK_ACROSS ? NMK_DOWN : NMK_ACROSS;
    size_t lines = nmk_draft_line_count(nmk_settled_draft(t->settled), step->piece, along), told = 0;
    int64_t whole = nmk_settled_line(t->settled, NMK_SETTLED, step->piece, along, lines - 1);
    for (size_t i = 0; i < count; i++) {
        if (!runs[i].is_cut || (runs[i].from == 0 && runs[i].to == whole))
            continue;
        sink_string(s, told++ ? ", and from " : ", only from ");
        add_place(t, s, along, runs[i].from, whole, spoken);
        sink_string(s, " to ");
        add_place(t, s, along, runs[i].to, whole, spoken);
    }
}

void cue_row_add_runs(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_piece *piece = cue_piece(t, step);
    const struct nmk_row *row = row_of_line(piece, step->way, step->line);
    if (row) {
        sink_string(s, ", only beside ");
        row_add_panels(s, piece, row, spoken);
        return;
    }
    if (step->act != NMK_PLAN_KNIFE)
        return;
    size_t count = nmk_settled_runs(NULL, 0, t->settled, NMK_SETTLED, step->piece, step->way, step->line);
    struct nmk_run *runs = store_new(count, sizeof *runs);
    nmk_settled_runs(runs, count, t->settled, NMK_SETTLED, step->piece, step->way, step->line);
    add_cut_runs(t, s, step, runs, count, spoken);
    store_free(runs);
}
