/* What is done after the cuts: punching, mitres, scores, cuts within a piece, snips, folding and glue, layers. */
#include "base/memory.h"
#include "nearmark/runs.h"
#include "settle/planning.h"

typedef void (*piece_act)(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece);

static struct nmk_plan_step *add_next(struct nmk_plan *plan, enum nmk_plan_act act, size_t piece)
{
    plan->numbers++;
    return nmk_plan_add_piece_step(plan, act, piece);
}

/* ---- scores, and what is cut within a piece ---- */

struct setting {
    int64_t marks;
    enum nmk_way way;
    size_t line;
    bool last, done;
};

/* Does the line run anywhere as a score, or as a cut? */
static bool has_run(const struct nmk_plan *plan, size_t piece_index, enum nmk_way way, size_t line, bool is_cut)
{
    const struct nmk_piece *piece = nmk_design_piece(plan->design, piece_index);
    struct nmk_run runs[3];
    if (piece->lists[!way].row_count == 1) /* its own row has something beside it */
        return piece->lists[way].lines[line].is_cut == is_cut;
    size_t count = nmk_settled_runs(runs, 3, plan->settled, NMK_SETTLED, piece_index, way, line);
    for (size_t i = 0; i < count; i++)
        if (runs[i].is_cut == is_cut)
            return true;
    return false;
}

static void list_way(struct setting *out, size_t *count, const struct nmk_plan *plan, size_t piece, enum nmk_way way,
                     bool is_cut)
{
    size_t lines = nmk_draft_line_count(plan->draft, piece, way);
    int64_t whole = plan->pieces[piece].marks[way];
    for (int last = 0; last < 2; last++)
        for (size_t k = 1; k + 1 < lines; k++) {
            size_t line = last ? lines - 1 - k : k; /* from each edge inward */
            int64_t at = nmk_settled_line(plan->settled, NMK_SETTLED, piece, way, line);
            if (nmk_draft_from_last(plan->draft, piece, way, line) != (bool)last || at <= 0 || at >= whole ||
                !has_run(plan, piece, way, line, is_cut))
                continue;
            out[(*count)++] = (struct setting){last ? whole - at : at, way, line, last, false};
        }
}

static bool is_beyond(const struct nmk_plan *plan, int64_t marks)
{
    return plan->reach && marks > plan->reach / plan->step;
}

static void add_setting(struct nmk_plan *plan, enum nmk_plan_act act, size_t piece, struct setting *setting)
{
    struct nmk_plan_step *step = nmk_plan_add_piece_step(plan, act, piece);
    step->marks = setting->marks;
    nmk_rat_set_int(&step->at, setting->marks);
    nmk_rat_mul(&step->at, &step->at, nmk_draft_step(plan->draft));
    step->beyond = act == NMK_PLAN_SCORE && is_beyond(plan, setting->marks);
    step->way = setting->way;
    step->line = setting->line;
    nmk_plan_lay_edges(step, setting->way == NMK_ACROSS, !setting->last);
    setting->done = true;
}

/* A piece's lines, each distance once, with everything that is scored, or cut, at it. */
static void add_settings(struct nmk_plan *plan, enum nmk_plan_act act, size_t piece)
{
    size_t count = 0;
    struct setting *all = nmk_memory_new(
        nmk_draft_line_count(plan->draft, piece, NMK_ACROSS) + nmk_draft_line_count(plan->draft, piece, NMK_DOWN), sizeof *all);
    list_way(all, &count, plan, piece, NMK_ACROSS, act == NMK_PLAN_KNIFE);
    list_way(all, &count, plan, piece, NMK_DOWN, act == NMK_PLAN_KNIFE);
    for (size_t a = 0; a < count; a++) {
        if (all[a].done)
            continue;
        plan->numbers++;
        for (size_t b = a; b < count; b++)
            if (!all[b].done && all[b].marks == all[a].marks)
                add_setting(plan, act, piece, &all[b]);
    }
    nmk_memory_free(all);
}

/* Between what is said at the scores. */
static void score_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    if (piece->kind != NMK_PIECE_PANELS)
        return;
    nmk_plan_say(plan, i, NMK_SAY_SCORE);
    add_settings(plan, NMK_PLAN_SCORE, i);
    nmk_plan_say(plan, i, NMK_SAY_SCORED);
}

/* Scores are measured from edges that are whole: only then is anything cut away. */
static void knife_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    if (nmk_piece_has_rows(piece))
        add_settings(plan, NMK_PLAN_KNIFE, i);
}

/* ---- the rest ---- */

static void punch_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    if (piece->kind == NMK_PIECE_PUNCHED)
        add_next(plan, NMK_PLAN_PUNCH, i);
}

static void punch_openings(struct nmk_plan *plan)
{
    for (size_t i = 0; i < nmk_design_opening_count(plan->design); i++) {
        const struct nmk_opening *opening = nmk_design_opening(plan->design, i);
        plan->numbers++;
        for (size_t k = 0; k < opening->through_count; k++)
            nmk_plan_add_piece_step(plan, NMK_PLAN_OPENING, opening->through[k])->opening = i;
    }
}

static void mitre_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    if (!piece->mitred)
        return;
    nmk_plan_say(plan, i, NMK_SAY_MITRE);
    add_next(plan, NMK_PLAN_MITRE, i);
}

static void snip_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    if (!piece->snipped)
        return;
    nmk_plan_say(plan, i, NMK_SAY_SNIP);
    add_next(plan, NMK_PLAN_SNIP, i);
}

static bool has_glue(const struct nmk_piece *piece)
{
    for (int w = 0; w < 2; w++)
        for (size_t k = 0; k < piece->lists[w].count; k++)
            if (piece->lists[w].stretches[k].glue)
                return true;
    return piece->snipped;
}

static bool folds(const struct nmk_piece *piece)
{
    for (int w = 0; piece->kind == NMK_PIECE_PANELS && w < 2; w++)
        for (size_t line = 1; line + 1 < piece->lists[w].line_count; line++)
            if (!piece->lists[w].lines[line].is_cut)
                return true;
    return false;
}

static void glue_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    if (folds(piece))
        add_next(plan, NMK_PLAN_FOLD, i);
    nmk_plan_say(plan, i, NMK_SAY_GLUE);
    if (piece->kind == NMK_PIECE_PANELS && has_glue(piece))
        add_next(plan, NMK_PLAN_GLUE, i);
}

static void lay_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    if (piece->kind == NMK_PIECE_MAT)
        add_next(plan, NMK_PLAN_LAY, i);
}

static void for_each_piece(struct nmk_plan *plan, piece_act act)
{
    for (size_t i = 0; i < nmk_design_piece_count(plan->design); i++)
        act(plan, i, nmk_design_piece(plan->design, i));
}

void nmk_plan_make_up(struct nmk_plan *plan)
{
    for_each_piece(plan, punch_piece);
    punch_openings(plan);
    for_each_piece(plan, mitre_piece);
    for_each_piece(plan, score_piece);
    for_each_piece(plan, knife_piece);
    for_each_piece(plan, snip_piece);
    for_each_piece(plan, glue_piece);
    for_each_piece(plan, lay_piece);
}
