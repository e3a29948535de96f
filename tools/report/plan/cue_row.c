#include "report/plan/cue_row.h"

#include "report/row_words.h"

struct speech {
    const struct cue_teller *t;
    bool spoken;
};

static void write_marks(struct sink *out, const void *with, int64_t marks)
{
    const struct speech *speech = with;
    cue_add_marks(speech->t, out, marks, speech->spoken);
}

void cue_row_add_runs(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_piece *piece = cue_piece(t, step);
    const struct nmk_row *row = row_of_line(piece, step->way, step->line);
    struct sink runs = {0};
    if (row) {
        sink_string(s, ", only beside ");
        row_add_panels(s, piece, row, spoken);
    } else if (step->act == NMK_PLAN_KNIFE && row_add_cut_runs(&runs, t->settled, NMK_SETTLED, step->piece, step->way,
                                                               step->line, false, write_marks, &(struct speech){t, spoken})) {
        sink_format(s, ", only %s", runs.data);
    }
    sink_drop(&runs);
}
