#include "report/plan/cue_making.h"

#include <string.h>

#include "report/on_text.h"
#include "report/row_words.h"

static void add_punched(const struct cue_teller *t, struct sink *s, size_t length, bool spoken)
{
    for (int w = 0; w < 2; w++) {
        sink_string(s, !w ? "" : spoken ? " by " : " x ");
        cue_add_length(t, s, nmk_settled_punched(t->settled, length, (enum nmk_way)w), spoken);
    }
}

/* "face x depth of Sleeve"; spoken: "face by depth of Sleeve", names with their words apart. */
static void add_place(const struct cue_teller *t, struct sink *s, const struct nmk_on *on, bool spoken)
{
    struct sink place = {0};
    on_text_add(&place, t->design, on);
    for (size_t i = 0; i < place.size; i++)
        if (spoken && i + 2 < place.size && !memcmp(place.data + i, " x ", 3)) {
            sink_string(s, " by ");
            i += 2;
        } else {
            sink_add(s, spoken && place.data[i] == '_' ? " " : place.data + i, 1);
        }
    sink_drop(&place);
}

static void put_punch(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    sink_string(s, step->count > 1 ? "Punch each from its blank, " : "Punch it from its blank, ");
    add_punched(t, s, cue_piece(t, step)->length, spoken);
    sink_string(s, ".");
}

static void put_opening(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_opening *opening = nmk_design_opening(t->design, step->opening);
    bool first = step->piece == opening->through[0];
    sink_string(s, "Punch the opening, ");
    add_punched(t, s, opening->length, spoken);
    if (first) {
        sink_string(s, ", in the middle of ");
        add_place(t, s, &opening->on, spoken);
    } else {
        sink_format(s, ", in the middle; the first one, %s, shows where",
                    nmk_design_piece(t->design, opening->through[0])->label);
    }
    sink_string(s, ".");
}

static void put_mitre(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    (void)t;
    (void)step;
    (void)spoken;
    sink_string(s, "Mitre both ends; the longer edge keeps its length.");
}

static int64_t end_gap(const struct cue_teller *t, size_t piece, enum nmk_way way, bool last)
{
    size_t lines = nmk_draft_line_count(nmk_settled_draft(t->settled), piece, way), line = last ? lines - 2 : 0;
    return nmk_settled_line(t->settled, NMK_SETTLED, piece, way, line + 1) -
           nmk_settled_line(t->settled, NMK_SETTLED, piece, way, line);
}

static void put_snip(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_piece *piece = cue_piece(t, step);
    enum nmk_way way = piece->snipped_way;
    int64_t first = end_gap(t, step->piece, way, false), last = end_gap(t, step->piece, way, true);
    sink_string(s, "Snip ");
    cue_add_marks(t, s, first, spoken);
    if (first != last) {
        sink_format(s, " from the %s edge, ", way == NMK_DOWN ? "upper" : "left");
        cue_add_marks(t, s, last, spoken);
        sink_format(s, " from the %s edge,", way == NMK_DOWN ? "lower" : "right");
    }
    sink_format(s, " %s along each outer score: four snips.", way == NMK_DOWN ? "down" : "across");
    if (piece->tapered) {
        sink_string(s, " Taper the free side of each tab by ");
        cue_add_length(t, s, nmk_draft_twin(nmk_settled_draft(t->settled), &piece->taper), spoken);
        sink_string(s, ".");
    }
}

static void put_fold(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    (void)t;
    (void)step;
    (void)spoken;
    sink_string(s, "Fold every score and burnish it.");
}

/* Which tab it is tells its edge; its size is for the eye. */
static void put_tab(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, enum nmk_way way,
                    const struct nmk_stretch *tab, bool spoken)
{
    static const char *const edges[2][2] = {{"left", "right"}, {"upper", "lower"}};
    const struct nmk_piece *piece = cue_piece(t, step);
    const struct nmk_list *list = &piece->lists[way];
    const struct nmk_row *row = &list->rows[tab->row];
    bool last = tab > &list->stretches[row->first + row->rests[0]];
    sink_string(s, s->size ? " Glue the " : "Glue the ");
    if (!spoken) {
        cue_add_marks(t, s, nmk_settled_line(t->settled, NMK_SETTLED, step->piece, way, tab->lines[1]) -
                                nmk_settled_line(t->settled, NMK_SETTLED, step->piece, way, tab->lines[0]), false);
        sink_string(s, " ");
    }
    sink_format(s, "tab at the %s edge", edges[way][last]);
    if (list->row_count > 1) {
        sink_string(s, " beside ");
        row_add_panels(s, piece, row, spoken);
    }
    sink_string(s, ", and hold it.");
}

static void put_glue(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_piece *piece = cue_piece(t, step);
    for (int w = 0; w < 2; w++)
        for (size_t k = 0; k < piece->lists[w].count; k++)
            if (piece->lists[w].stretches[k].glue)
                put_tab(t, s, step, (enum nmk_way)w, &piece->lists[w].stretches[k], spoken);
    if (piece->snipped)
        sink_format(s, "%sGlue the corner tabs, opposite corners first, and hold them.", s->size ? " " : "");
}

static void put_layer(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_piece *piece = cue_piece(t, step);
    struct nmk_rat strip = {0}, half = {0};
    nmk_rat_set_frac(&half, nmk_settled_marks(t->settled, piece->smaller_length), 2);
    nmk_rat_mul(&strip, &half, nmk_draft_step(nmk_settled_draft(t->settled)));
    sink_string(s, step->count > 1 ? "Glue each on " : "Glue it on ");
    add_place(t, s, &piece->on, spoken);
    sink_string(s, ", with ");
    cue_add_length(t, s, &strip, spoken);
    sink_string(s, " showing on every side.");
    nmk_rat_clear(&strip);
    nmk_rat_clear(&half);
}

static void put_say(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    (void)t;
    (void)spoken;
    sink_string(s, cue_piece(t, step)->says[step->say].text);
}

void cue_making_put(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    static void (*const puts[])(const struct cue_teller *, struct sink *, const struct nmk_plan_step *, bool) = {
        [NMK_PLAN_PUNCH] = put_punch, [NMK_PLAN_OPENING] = put_opening, [NMK_PLAN_MITRE] = put_mitre,
        [NMK_PLAN_SNIP] = put_snip,   [NMK_PLAN_FOLD] = put_fold,       [NMK_PLAN_GLUE] = put_glue,
        [NMK_PLAN_LAY] = put_layer,   [NMK_PLAN_SAY] = put_say,
    };
    puts[step->act](t, s, step, spoken);
}
