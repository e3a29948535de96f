#include "settle/say_check.h"

#include "base/memory.h"

static const struct nmk_design *design_of(const struct nmk_plan *plan)
{
    return nmk_draft_design(nmk_settled_draft(nmk_plan_settled(plan)));
}

/* The nearest step that is work, before or after step i; NULL: there is none. */
static const struct nmk_plan_step *work_beside(const struct nmk_plan *plan, size_t i, bool after)
{
    do
        i = after ? i + 1 : i - 1; /* before the first: no index at all */
    while (i < nmk_plan_step_count(plan) && nmk_plan_step(plan, i)->act == NMK_PLAN_SAY);
    return i < nmk_plan_step_count(plan) ? nmk_plan_step(plan, i) : NULL;
}

static bool is_work(const struct nmk_plan_step *step, enum nmk_plan_act act, size_t piece)
{
    return step && step->act == act && step->piece == piece;
}

/* Is this ever done to the piece in the steps [from, to)? */
static bool is_done(const struct nmk_plan *plan, size_t from, size_t to, enum nmk_plan_act act, size_t piece)
{
    for (size_t i = from; i < to; i++)
        if (is_work(nmk_plan_step(plan, i), act, piece))
            return true;
    return false;
}

static bool is_part(const struct nmk_plan *plan, size_t part, size_t piece)
{
    const struct nmk_plan_part *p = nmk_plan_part(plan, part);
    return p->kind == NMK_PLAN_PIECE && p->piece == piece;
}

static bool comes_off(const struct nmk_plan *plan, const struct nmk_plan_step *cut, size_t piece)
{
    return cut->act == NMK_PLAN_CUT && (is_part(plan, cut->first, piece) || is_part(plan, cut->second, piece));
}

static bool is_whole_sheet(const struct nmk_plan *plan, size_t piece)
{
    for (size_t i = 0; i < nmk_plan_sheet_count(plan); i++)
        if (is_part(plan, nmk_plan_sheet(plan, i)->part, piece))
            return true;
    return false;
}

/* Nothing of the piece has come off yet, and something will at the next setting, or is there uncut. */
static bool is_before_its_cut(const struct nmk_plan *plan, size_t i, size_t piece)
{
    const struct nmk_plan_step *next = work_beside(plan, i, true), *last = work_beside(plan, i, false);
    bool here = is_whole_sheet(plan, piece) && !last;
    for (size_t k = 0; k < nmk_plan_step_count(plan); k++) {
        const struct nmk_plan_step *step = nmk_plan_step(plan, k);
        if (!comes_off(plan, step, piece))
            continue;
        if (k < i)
            return false;
        here |= next && step->number == next->number;
    }
    return here;
}

/* Where nothing of the kind is done to the piece: after the work that comes before it, and before what comes after it. */
static bool is_among(const struct nmk_plan *plan, size_t i, enum nmk_plan_act first, enum nmk_plan_act end)
{
    const struct nmk_plan_step *next = work_beside(plan, i, true), *last = work_beside(plan, i, false);
    return (!last || last->act <= end) && (!next || next->act >= first);
}

static bool is_at_its_place(const struct nmk_plan *plan, size_t i, size_t piece, enum nmk_say_place place)
{
    const struct nmk_plan_step *next = work_beside(plan, i, true), *last = work_beside(plan, i, false);
    size_t count = nmk_plan_step_count(plan);
    switch (place) {
    case NMK_SAY_CUT:
        return is_before_its_cut(plan, i, piece);
    case NMK_SAY_SCORE:
        if (!is_done(plan, 0, count, NMK_PLAN_SCORE, piece))
            return is_among(plan, i, NMK_PLAN_SCORE, NMK_PLAN_SCORE);
        return is_work(next, NMK_PLAN_SCORE, piece) && !is_done(plan, 0, i, NMK_PLAN_SCORE, piece);
    case NMK_SAY_SCORED:
        if (!is_done(plan, 0, count, NMK_PLAN_SCORE, piece))
            return is_among(plan, i, NMK_PLAN_SCORE, NMK_PLAN_SCORE);
        return is_work(last, NMK_PLAN_SCORE, piece) && !is_done(plan, i, count, NMK_PLAN_SCORE, piece);
    case NMK_SAY_SNIP:
        return is_work(next, NMK_PLAN_SNIP, piece);
    case NMK_SAY_MITRE:
        return is_work(next, NMK_PLAN_MITRE, piece);
    case NMK_SAY_GLUE:
        if (is_done(plan, 0, count, NMK_PLAN_GLUE, piece))
            return is_work(next, NMK_PLAN_GLUE, piece);
        return is_done(plan, 0, count, NMK_PLAN_FOLD, piece) ? is_work(last, NMK_PLAN_FOLD, piece)
                                                             : is_among(plan, i, NMK_PLAN_FOLD, NMK_PLAN_GLUE);
    }
    return false;
}

/* Of one piece at one place: in the order of the file. */
static bool goes_on(const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_step *step = nmk_plan_step(plan, i), *before = i ? nmk_plan_step(plan, i - 1) : NULL;
    const struct nmk_say *says = nmk_design_piece(design_of(plan), step->piece)->says;
    return !before || !is_work(before, NMK_PLAN_SAY, step->piece) || says[before->say].place != says[step->say].place ||
           before->say < step->say;
}

/* said[first[piece] + k]: by piece and sentence. */
static const char *check_step(const struct nmk_plan *plan, size_t i, bool *said, const size_t *first)
{
    const struct nmk_plan_step *step = nmk_plan_step(plan, i);
    const struct nmk_piece *piece = nmk_design_piece(design_of(plan), step->piece);
    if (!piece || step->say >= piece->say_count)
        return "nothing is said";
    if (said[first[step->piece] + step->say])
        return "the same is said twice";
    said[first[step->piece] + step->say] = true;
    if (!is_at_its_place(plan, i, step->piece, piece->says[step->say].place) || !goes_on(plan, i))
        return "something is said at the wrong place";
    return NULL;
}

const char *nmk_plan_check_says(const struct nmk_plan *plan)
{
    size_t pieces = nmk_design_piece_count(design_of(plan)), count = 0;
    size_t *first = nmk_memory_new(pieces, sizeof *first);
    const char *why = NULL;
    for (size_t i = 0; i < pieces; i++) {
        first[i] = count;
        count += nmk_design_piece(design_of(plan), i)->say_count;
    }
    bool *said = nmk_memory_new(count, sizeof *said);
    for (size_t i = 0; i < nmk_plan_step_count(plan) && !why; i++)
        if (nmk_plan_step(plan, i)->act == NMK_PLAN_SAY)
            why = check_step(plan, i, said, first);
    for (size_t i = 0; i < count && !why; i++)
        if (!said[i])
            why = "something is not said";
    nmk_memory_free(first);
    nmk_memory_free(said);
    return why;
}
