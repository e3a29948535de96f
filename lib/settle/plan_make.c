/* What is done after the cuts: punching, mitres, scores, snips, folding and glue, layers. */
#include "base/memory.h"
#include "settle/planning.h"

typedef void (*piece_act)(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece);

static struct nmk_plan_step *add_next(struct nmk_plan *plan, enum nmk_plan_act act, size_t piece)
{
    plan->numbers++;
    return nmk_plan_add_piece_step(plan, act, piece);
}

/* ---- scores ---- */

struct score {
    int64_t marks;
    enum nmk_way way;
    size_t line;
    bool last, done;
};

static size_t list_scores(struct score **out, const struct nmk_plan *plan, size_t piece)
{
    size_t count = 0, lines[2];
    for (int w = 0; w < 2; w++)
        lines[w] = nmk_draft_line_count(plan->draft, piece, (enum nmk_way)w);
    *out = nmk_memory_new(lines[0] + lines[1], sizeof **out);
    for (int w = 0; w < 2; w++)
        for (int last = 0; last < 2; last++)
            for (size_t k = 1; k + 1 < lines[w]; k++) {
                size_t line = last ? lines[w] - 1 - k : k; /* from each edge inward */
                if (nmk_draft_from_last(plan->draft, piece, (enum nmk_way)w, line) != (bool)last)
                    continue;
                int64_t at = nmk_settled_line(plan->settled, NMK_SETTLED, piece, (enum nmk_way)w, line);
                (*out)[count++] = (struct score){last ? plan->pieces[piece].marks[w] - at : at, (enum nmk_way)w, line, last, false};
            }
    return count;
}

static bool is_beyond(const struct nmk_plan *plan, int64_t marks)
{
    return plan->reach && marks > plan->reach / plan->step;
}

static void add_score(struct nmk_plan *plan, size_t piece, struct score *score)
{
    struct nmk_plan_step *step = nmk_plan_add_piece_step(plan, NMK_PLAN_SCORE, piece);
    step->marks = score->marks;
    nmk_rat_set_int(&step->at, score->marks);
    nmk_rat_mul(&step->at, &step->at, nmk_draft_step(plan->draft));
    step->beyond = is_beyond(plan, score->marks);
    step->way = score->way;
    step->line = score->line;
    nmk_plan_lay_edges(step, score->way == NMK_ACROSS, !score->last);
    score->done = true;
}

/* A piece's scores, each distance once, with everything that is scored at it; between what is said at them. */
static void score_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    if (piece->kind != NMK_PIECE_PANELS)
        return;
    struct score *scores;
    size_t count = list_scores(&scores, plan, i);
    nmk_plan_say(plan, i, NMK_SAY_SCORE);
    for (size_t a = 0; a < count; a++) {
        if (scores[a].done)
            continue;
        plan->numbers++;
        for (size_t b = a; b < count; b++)
            if (!scores[b].done && scores[b].marks == scores[a].marks)
                add_score(plan, i, &scores[b]);
    }
    nmk_plan_say(plan, i, NMK_SAY_SCORED);
    nmk_memory_free(scores);
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

static void glue_piece(struct nmk_plan *plan, size_t i, const struct nmk_piece *piece)
{
    bool folds = piece->kind == NMK_PIECE_PANELS && piece->lists[0].count + piece->lists[1].count > 2;
    if (folds)
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
    for_each_piece(plan, snip_piece);
    for_each_piece(plan, glue_piece);
    for_each_piece(plan, lay_piece);
}
