/* The independent checker: does the work. Written from nearmark/plan.h alone; it shares no code with the planner. */
#include <string.h>

#include "base/memory.h"
#include "nearmark/plan.h"
#include "nearmark/runs.h"
#include "settle/say_check.h"

enum { ACTS = NMK_PLAN_LAY + 1 };

struct hand { /* what the person has of one part */
    struct nmk_rat size[2]; /* as cut here */
    int64_t count, made;    /* in hand now; ever */
};

struct bench {
    const struct nmk_plan *plan;
    const struct nmk_settled *settled;
    const struct nmk_draft *draft;
    const struct nmk_design *design;
    struct hand *hands;       /* by part */
    unsigned char *done;      /* by line, of all pieces one after the other: 1 scored, 2 cut */
    size_t *first_line;       /* by piece and way */
    int64_t *times;           /* by piece and act: how often that is done to it */
    int64_t *opened;          /* by opening and piece */
    size_t piece_count;
    const char *why;
};

static bool wrong(struct bench *b, const char *why)
{
    b->why = why;
    return false;
}

/* ---- pieces and sheets, from the design ---- */

static bool is_multiple_of(const struct nmk_rat *size, int64_t marks, const struct nmk_rat *step)
{
    struct nmk_rat want = {0};
    nmk_rat_set_int(&want, marks);
    nmk_rat_mul(&want, &want, step);
    bool same = nmk_rat_equal(&want, size);
    nmk_rat_clear(&want);
    return same;
}

/* Is this the cut size of the piece, or room enough for its punch? */
static bool has_right_size(const struct bench *b, size_t piece, int way, const struct nmk_rat *size)
{
    const struct nmk_piece *p = nmk_design_piece(b->design, piece);
    if (p->kind == NMK_PIECE_PUNCHED)
        return nmk_rat_cmp(size, nmk_settled_punched(b->settled, p->length, (enum nmk_way)way)) >= 0;
    size_t lines = nmk_draft_line_count(b->draft, piece, (enum nmk_way)way);
    return is_multiple_of(size, nmk_settled_line(b->settled, NMK_SETTLED, piece, (enum nmk_way)way, lines - 1),
                          nmk_draft_step(b->draft));
}

static bool names_sheet(const struct nmk_sheet *named, const struct nmk_sheet *all, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (nmk_rat_equal(&all[i].width, &named->width) && nmk_rat_equal(&all[i].height, &named->height))
            return true;
    return false;
}

/* May the stock be bought on this sheet in this edition? */
static bool may_be_bought(const struct bench *b, const struct nmk_plan_sheet *sheet)
{
    const struct nmk_stock *stock = nmk_design_stock(b->design, sheet->stock);
    const struct nmk_edition *edition = nmk_draft_edition(b->draft);
    bool of_edition = names_sheet(sheet->sheet, edition->sheets, edition->sheet_count);
    if (!stock->sheet_count)
        return of_edition;
    if (!names_sheet(sheet->sheet, stock->sheets, stock->sheet_count))
        return false;
    for (size_t i = 0; i < edition->sheet_count && !of_edition; i++)
        if (names_sheet(&edition->sheets[i], stock->sheets, stock->sheet_count))
            return false; /* it could have been had on the edition's */
    return true;
}

/* Along which way of an upright sheet does the grain run? */
static enum nmk_way sheet_grain(const struct nmk_stock *stock)
{
    return stock->grain == NMK_GRAIN_LONG ? NMK_DOWN : NMK_ACROSS;
}

static bool lies_with_grain(const struct bench *b, const struct nmk_plan_part *part)
{
    const struct nmk_piece *piece = nmk_design_piece(b->design, part->piece);
    const struct nmk_stock *stock = nmk_design_stock(b->design, piece->stock);
    if (!piece->has_grain || stock->grain == NMK_GRAIN_NONE)
        return true;
    bool across_runs_across = !part->turned;
    enum nmk_way runs = across_runs_across ? piece->grain : piece->grain == NMK_ACROSS ? NMK_DOWN : NMK_ACROSS;
    return runs == sheet_grain(stock);
}

/* Does the piece fit one of its sheets, along its grain or anyhow? */
static bool fits_sheets(const struct bench *b, size_t piece, bool along_grain)
{
    struct nmk_plan_part part = {.kind = NMK_PLAN_PIECE, .piece = piece};
    const struct nmk_stock *stock = nmk_design_stock(b->design, nmk_design_piece(b->design, piece)->stock);
    const struct nmk_plan_piece *sized = nmk_plan_piece(b->plan, piece);
    const struct nmk_sheet *sheets;
    size_t count = nmk_stock_sheets(&sheets, nmk_draft_edition(b->draft), stock);
    bool fits = false;
    for (size_t k = 0; k < 2 * count; k++) {
        const struct nmk_sheet *s = &sheets[k / 2];
        bool upright = nmk_rat_cmp(&s->width, &s->height) <= 0;
        part.turned = k % 2;
        if (along_grain && !lies_with_grain(b, &part))
            continue;
        fits = fits || (nmk_rat_cmp(&sized->size[part.turned], upright ? &s->width : &s->height) <= 0 &&
                        nmk_rat_cmp(&sized->size[!part.turned], upright ? &s->height : &s->width) <= 0);
    }
    return fits;
}

/* ---- buying ---- */

static bool take_sheet(struct bench *b, const struct nmk_plan_sheet *sheet)
{
    const struct nmk_sheet *named = sheet->sheet;
    bool upright = nmk_rat_cmp(&named->width, &named->height) <= 0;
    if (sheet->copies < 1 || sheet->part >= nmk_plan_part_count(b->plan))
        return wrong(b, "a sheet is not there");
    if (!may_be_bought(b, sheet))
        return wrong(b, "a stock does not come in this sheet");
    if (!nmk_rat_equal(&sheet->size[0], upright ? &named->width : &named->height) ||
        !nmk_rat_equal(&sheet->size[1], upright ? &named->height : &named->width))
        return wrong(b, "a sheet has not its size");
    struct hand *hand = &b->hands[sheet->part];
    if (hand->made)
        return wrong(b, "a sheet is taken twice");
    nmk_rat_set(&hand->size[0], &sheet->size[0]);
    nmk_rat_set(&hand->size[1], &sheet->size[1]);
    hand->count = hand->made = sheet->copies;
    return true;
}

static bool buy(struct bench *b)
{
    for (size_t i = 0; i < nmk_plan_sheet_count(b->plan); i++)
        if (!take_sheet(b, nmk_plan_sheet(b->plan, i)))
            return false;
    for (size_t i = 0; i < nmk_plan_stock_count(b->plan); i++) {
        const struct nmk_plan_stock *stock = nmk_plan_stock(b->plan, i);
        int64_t sheets = 0;
        for (size_t k = 0; k < nmk_plan_sheet_count(b->plan); k++)
            if (nmk_plan_sheet(b->plan, k)->stock == stock->stock)
                sheets += nmk_plan_sheet(b->plan, k)->copies;
        if (sheets != stock->sheets || stock->bound > sheets)
            return wrong(b, "the number of sheets to buy is not as stated");
    }
    return true;
}

/* ---- cutting ---- */

static bool is_within_reach(const struct bench *b, const struct nmk_rat *at)
{
    const struct nmk_rat *reach = &nmk_draft_edition(b->draft)->reach;
    return nmk_rat_sign(reach) <= 0 || nmk_rat_cmp(at, reach) <= 0;
}

static bool edges_agree(const struct nmk_plan_step *step)
{
    bool side = step->edge == NMK_PLAN_LEFT || step->edge == NMK_PLAN_RIGHT;
    bool fence_side = step->fence == NMK_PLAN_LEFT || step->fence == NMK_PLAN_RIGHT;
    return side != fence_side && (step->way == NMK_ACROSS) == side;
}

static bool is_from_last(const struct nmk_plan_step *step)
{
    return step->edge == NMK_PLAN_RIGHT || step->edge == NMK_PLAN_LOWER;
}

static bool setting_is_true(struct bench *b, const struct nmk_plan_step *step)
{
    const struct nmk_rat *mark = nmk_draft_step(b->draft);
    if (nmk_rat_sign(&step->at) <= 0 || (step->marks && !is_multiple_of(&step->at, step->marks, mark)))
        return wrong(b, "a setting is not at its mark");
    if (!step->marks && nmk_rat_sign(&nmk_draft_edition(b->draft)->reach) <= 0)
        return wrong(b, "a setting is between the marks, and no reach is the reason");
    return edges_agree(step) || wrong(b, "the fence does not lie along the neighbouring edge");
}

/* Puts `count` of a part into the hand; where the plan says it lies on the sheet must be where this cut left it. */
static bool receive(struct bench *b, size_t part, int64_t count, struct nmk_rat size[2], const struct nmk_rat at[2])
{
    struct hand *hand = &b->hands[part];
    const struct nmk_plan_part *p = nmk_plan_part(b->plan, part);
    bool right = !hand->made && p->count == count;
    for (int w = 0; w < 2; w++) {
        right = right && nmk_rat_equal(&p->size[w], &size[w]) && nmk_rat_equal(&p->at[w], &at[w]);
        nmk_rat_set(&hand->size[w], &size[w]);
    }
    hand->count = hand->made = count;
    return right || wrong(b, "a cut does not leave what is said");
}

static bool cut_in_two(struct bench *b, const struct nmk_plan_step *step, struct nmk_rat *rest)
{
    const struct nmk_plan_part *from = nmk_plan_part(b->plan, step->part);
    const struct hand *hand = &b->hands[step->part];
    struct nmk_rat size[2] = {{0}, {0}}, at[2] = {{0}, {0}};
    int along = step->way == NMK_ACROSS ? 0 : 1;
    bool right = true;
    for (int second = 0; second < 2 && right; second++) {
        for (int w = 0; w < 2; w++) {
            nmk_rat_set(&size[w], &hand->size[w]);
            nmk_rat_set(&at[w], &from->at[w]);
        }
        nmk_rat_set(&size[along], second ? rest : &step->at);
        if (second != is_from_last(step)) /* it is the right or lower one */
            nmk_rat_add(&at[along], &at[along], second ? &step->at : rest);
        right = receive(b, second ? step->second : step->first, step->count, size, at);
    }
    for (int w = 0; w < 2; w++) {
        nmk_rat_clear(&size[w]);
        nmk_rat_clear(&at[w]);
    }
    return right;
}

static bool do_cut(struct bench *b, const struct nmk_plan_step *step)
{
    size_t parts = nmk_plan_part_count(b->plan);
    if (step->part >= parts || step->first >= parts || step->second >= parts || step->first == step->second)
        return wrong(b, "a cut in nothing");
    struct hand *hand = &b->hands[step->part];
    if (hand->count != step->count || step->count < 1)
        return wrong(b, "a cut in what is not in hand");
    if (!setting_is_true(b, step))
        return false;
    if (step->beyond || !is_within_reach(b, &step->at))
        return wrong(b, "a cut beyond the reach");
    struct nmk_rat rest = {0};
    nmk_rat_sub(&rest, &hand->size[step->way == NMK_ACROSS ? 0 : 1], &step->at);
    bool right = nmk_rat_sign(&rest) > 0 || wrong(b, "a cut beside the card");
    right = right && cut_in_two(b, step, &rest);
    hand->count = 0;
    nmk_rat_clear(&rest);
    return right;
}

/* After the cuts: every piece as often as wanted, and nothing left that is neither a piece nor an offcut. */
static bool check_piece_part(struct bench *b, size_t i, int64_t *made)
{
    const struct nmk_plan_part *part = nmk_plan_part(b->plan, i);
    if (part->kind == NMK_PLAN_OFFCUT)
        return true;
    if (part->kind != NMK_PLAN_PIECE || part->piece >= b->piece_count)
        return wrong(b, "a strip is left that nobody cut");
    const struct nmk_piece *piece = nmk_design_piece(b->design, part->piece);
    if (nmk_plan_sheet(b->plan, part->sheet)->stock != piece->stock)
        return wrong(b, "a piece is cut from the wrong stock");
    for (int w = 0; w < 2; w++)
        if (!has_right_size(b, part->piece, w, &b->hands[i].size[part->turned ? 1 - w : w]))
            return wrong(b, "a piece has the wrong size");
    if (!lies_with_grain(b, part) && fits_sheets(b, part->piece, true))
        return wrong(b, "a piece lies across the grain");
    made[part->piece] += b->hands[i].count;
    return true;
}

static bool count_pieces(struct bench *b)
{
    int64_t *made = nmk_memory_new(b->piece_count, sizeof *made);
    bool right = true;
    for (size_t i = 0; right && i < nmk_plan_part_count(b->plan); i++) {
        if (!b->hands[i].made)
            right = wrong(b, "a part that no cut makes");
        else if (b->hands[i].count)
            right = check_piece_part(b, i, made);
    }
    for (size_t i = 0; right && i < b->piece_count; i++)
        if (made[i] != nmk_plan_makers(b->plan) * (int64_t)nmk_design_piece(b->design, i)->copies)
            right = wrong(b, "a piece is not there as often as wanted");
    nmk_memory_free(made);
    return right;
}

/* ---- scores and the rest ---- */

static unsigned char *line_of(const struct bench *b, size_t piece, enum nmk_way way, size_t line)
{
    return &b->done[b->first_line[2 * piece + (way == NMK_DOWN)] + line];
}

/* What is to be done at a line: 1 scored, 2 cut, 3 both; a line on an edge is none. */
static unsigned char work_at(const struct bench *b, size_t piece, enum nmk_way way, size_t line)
{
    size_t lines = nmk_draft_line_count(b->draft, piece, way);
    int64_t whole = nmk_settled_line(b->settled, NMK_SETTLED, piece, way, lines - 1);
    int64_t at = nmk_settled_line(b->settled, NMK_SETTLED, piece, way, line);
    unsigned char work = 0;
    if (at <= 0 || at >= whole)
        return 0;
    if (!nmk_piece_has_rows(nmk_design_piece(b->design, piece)))
        return 1;
    size_t count = nmk_settled_runs(NULL, 0, b->settled, NMK_SETTLED, piece, way, line);
    struct nmk_run *runs = nmk_memory_new(count, sizeof *runs);
    nmk_settled_runs(runs, count, b->settled, NMK_SETTLED, piece, way, line);
    for (size_t i = 0; i < count; i++)
        work |= runs[i].is_cut ? 2 : 1;
    nmk_memory_free(runs);
    return work;
}

static bool do_line(struct bench *b, const struct nmk_plan_step *step)
{
    const struct nmk_piece *piece = nmk_design_piece(b->design, step->piece);
    bool knife = step->act == NMK_PLAN_KNIFE;
    unsigned char work = knife ? 2 : 1;
    size_t lines = piece->kind == NMK_PIECE_PUNCHED ? 0 : nmk_draft_line_count(b->draft, step->piece, step->way);
    if (step->line < 1 || step->line + 1 >= lines)
        return wrong(b, "a score at no line");
    int64_t whole = nmk_settled_line(b->settled, NMK_SETTLED, step->piece, step->way, lines - 1);
    int64_t at = nmk_settled_line(b->settled, NMK_SETTLED, step->piece, step->way, step->line);
    if (!step->marks || !setting_is_true(b, step))
        return b->why ? false : wrong(b, "a score between the marks");
    if (step->marks != (is_from_last(step) ? whole - at : at))
        return wrong(b, "a score beside its line");
    if (knife ? step->beyond : step->beyond == is_within_reach(b, &step->at))
        return wrong(b, "a score beyond the reach, or wrongly said to be");
    if (!(work_at(b, step->piece, step->way, step->line) & work))
        return wrong(b, "a line is scored that is cut, or cut that is scored");
    unsigned char *done = line_of(b, step->piece, step->way, step->line);
    if (*done & work)
        return wrong(b, knife ? "a line is cut twice" : "a line is scored twice");
    *done |= work;
    return true;
}

static bool do_once(struct bench *b, int64_t *times)
{
    return !(*times)++ || wrong(b, "the same is done twice");
}

static bool do_step(struct bench *b, const struct nmk_plan_step *step)
{
    if (step->act == NMK_PLAN_CUT)
        return do_cut(b, step);
    if (step->piece >= b->piece_count)
        return wrong(b, "a step with no piece");
    if (step->count != nmk_plan_makers(b->plan) * (int64_t)nmk_design_piece(b->design, step->piece)->copies)
        return wrong(b, "a step is not done to every copy");
    switch (step->act) {
    case NMK_PLAN_SCORE:
    case NMK_PLAN_KNIFE:
        return do_line(b, step);
    case NMK_PLAN_OPENING:
        if (step->opening >= nmk_design_opening_count(b->design))
            return wrong(b, "no such opening");
        return do_once(b, &b->opened[step->opening * b->piece_count + step->piece]);
    case NMK_PLAN_SAY:
        return true; /* say_check.h */
    default:
        return do_once(b, &b->times[step->piece * ACTS + step->act]);
    }
}

/* ---- the order ---- */

static int phase_of(enum nmk_plan_act act)
{
    switch (act) {
    case NMK_PLAN_CUT: return 0;
    case NMK_PLAN_PUNCH:
    case NMK_PLAN_OPENING: return 1;
    case NMK_PLAN_MITRE: return 2;
    case NMK_PLAN_SCORE: return 3;
    case NMK_PLAN_KNIFE: return 4;
    case NMK_PLAN_SNIP: return 5;
    case NMK_PLAN_FOLD:
    case NMK_PLAN_GLUE: return 6;
    case NMK_PLAN_LAY: return 7;
    case NMK_PLAN_SAY: break;
    }
    return -1; /* at any time */
}

/* Steps of one number share the setting, or the piece. */
static bool belongs(const struct nmk_plan_step *last, const struct nmk_plan_step *step)
{
    if (step->number != last->number)
        return step->number == last->number + 1;
    bool lines = step->act == NMK_PLAN_SCORE || step->act == NMK_PLAN_KNIFE;
    if (step->act != last->act || (lines && step->piece != last->piece))
        return false;
    return (step->act != NMK_PLAN_CUT && !lines) || nmk_rat_equal(&step->at, &last->at);
}

static bool work(struct bench *b)
{
    int phase = 0;
    bool counted = false;
    for (size_t i = 0; i < nmk_plan_step_count(b->plan); i++) {
        const struct nmk_plan_step *step = nmk_plan_step(b->plan, i);
        int now = phase_of(step->act);
        if (now >= 0 && now < phase)
            return wrong(b, "a step out of its order");
        if (i ? !belongs(nmk_plan_step(b->plan, i - 1), step) : step->number != 1)
            return wrong(b, "the steps are wrongly numbered");
        phase = now >= 0 ? now : phase;
        if (step->act != NMK_PLAN_CUT && step->act != NMK_PLAN_SAY && !counted) {
            counted = true;
            if (!count_pieces(b))
                return false;
        }
        if (!do_step(b, step))
            return false;
    }
    return counted || count_pieces(b);
}

static bool passes(const struct nmk_opening *opening, size_t piece)
{
    for (size_t k = 0; k < opening->through_count; k++)
        if (opening->through[k] == piece)
            return true;
    return false;
}

/* The trimmer is set anew for cuts at each number. */
static bool moves_are_true(struct bench *b)
{
    size_t moves = 0;
    for (size_t i = 0; i < nmk_plan_step_count(b->plan); i++) {
        const struct nmk_plan_step *step = nmk_plan_step(b->plan, i);
        moves += step->act == NMK_PLAN_CUT && (!i || nmk_plan_step(b->plan, i - 1)->number != step->number);
    }
    return (moves == nmk_plan_moves(b->plan) && nmk_plan_moves_bound(b->plan) <= moves) ||
           wrong(b, "the trimmer is not set as often as stated");
}

static bool has_tab(const struct nmk_piece *piece)
{
    for (int w = 0; w < 2; w++)
        for (size_t i = 0; i < piece->lists[w].count; i++)
            if (piece->lists[w].stretches[i].glue)
                return true;
    return false;
}

static bool has_score(const struct nmk_list *list)
{
    for (size_t i = 1; i + 1 < list->line_count; i++)
        if (!list->lines[i].is_cut)
            return true;
    return false;
}

/* Is this done to the piece as a whole, once? */
static bool is_wanted(const struct nmk_piece *piece, enum nmk_plan_act act)
{
    bool panels = piece->kind == NMK_PIECE_PANELS;
    switch (act) {
    case NMK_PLAN_PUNCH: return piece->kind == NMK_PIECE_PUNCHED;
    case NMK_PLAN_MITRE: return piece->mitred;
    case NMK_PLAN_SNIP: return piece->snipped;
    case NMK_PLAN_FOLD: return panels && (has_score(&piece->lists[0]) || has_score(&piece->lists[1]));
    case NMK_PLAN_GLUE: return panels && (piece->snipped || has_tab(piece));
    case NMK_PLAN_LAY: return piece->kind == NMK_PIECE_MAT;
    default: return false;
    }
}

static bool is_complete(struct bench *b)
{
    for (size_t i = 0; i < b->piece_count; i++) {
        const struct nmk_piece *piece = nmk_design_piece(b->design, i);
        for (int act = 0; act < ACTS; act++)
            if (b->times[i * ACTS + (size_t)act] != is_wanted(piece, (enum nmk_plan_act)act))
                return wrong(b, "a punch, a mitre, a snip, a fold, glue or a layer is missing, or too many");
        for (size_t k = 0; k < nmk_design_opening_count(b->design); k++)
            if (b->opened[k * b->piece_count + i] != passes(nmk_design_opening(b->design, k), i))
                return wrong(b, "an opening is missing, or too many");
        for (int w = 0; w < 2 && piece->kind == NMK_PIECE_PANELS; w++)
            for (size_t line = 1; line + 1 < nmk_draft_line_count(b->draft, i, (enum nmk_way)w); line++)
                if (*line_of(b, i, (enum nmk_way)w, line) != work_at(b, i, (enum nmk_way)w, line))
                    return wrong(b, "a line is not scored, or not cut");
    }
    b->why = nmk_plan_check_says(b->plan);
    return !b->why;
}

/* ---- pieces that fit no sheet ---- */

static bool is_unfit(const struct bench *b, size_t piece)
{
    for (size_t i = 0; i < nmk_plan_unfit_count(b->plan); i++)
        if (nmk_plan_unfit(b->plan, i) == piece)
            return true;
    return false;
}

static bool check_unfit(struct bench *b)
{
    if (nmk_plan_sheet_count(b->plan) || nmk_plan_step_count(b->plan))
        return wrong(b, "something is cut though a piece fits no sheet");
    for (size_t i = 0; i < b->piece_count; i++) {
        for (int w = 0; w < 2; w++)
            if (!has_right_size(b, i, w, &nmk_plan_piece(b->plan, i)->size[w]))
                return wrong(b, "a piece has the wrong size");
        if (fits_sheets(b, i, false) == is_unfit(b, i))
            return wrong(b, "a piece is said to fit no sheet and does, or the other way round");
    }
    return true;
}

/* ---- the whole ---- */

static void set_up(struct bench *b, const struct nmk_plan *plan)
{
    size_t lines = 0;
    b->plan = plan;
    b->settled = nmk_plan_settled(plan);
    b->draft = nmk_settled_draft(b->settled);
    b->design = nmk_draft_design(b->draft);
    b->piece_count = nmk_design_piece_count(b->design);
    b->hands = nmk_memory_new(nmk_plan_part_count(plan), sizeof *b->hands);
    b->first_line = nmk_memory_new(2 * b->piece_count, sizeof *b->first_line);
    b->times = nmk_memory_new(b->piece_count * ACTS, sizeof *b->times);
    b->opened = nmk_memory_new(nmk_design_opening_count(b->design) * b->piece_count, sizeof *b->opened);
    for (size_t i = 0; i < 2 * b->piece_count; i++) {
        b->first_line[i] = lines;
        if (nmk_design_piece(b->design, i / 2)->kind == NMK_PIECE_PANELS)
            lines += nmk_draft_line_count(b->draft, i / 2, i % 2 ? NMK_DOWN : NMK_ACROSS);
    }
    b->done = nmk_memory_new(lines, sizeof *b->done);
}

static void clear_up(struct bench *b)
{
    for (size_t i = 0; i < nmk_plan_part_count(b->plan); i++)
        for (int w = 0; w < 2; w++)
            nmk_rat_clear(&b->hands[i].size[w]);
    nmk_memory_free(b->hands);
    nmk_memory_free(b->first_line);
    nmk_memory_free(b->times);
    nmk_memory_free(b->opened);
    nmk_memory_free(b->done);
}

bool nmk_plan_check(const struct nmk_plan *plan, const char **why)
{
    struct bench b = {.why = NULL};
    set_up(&b, plan);
    bool right = nmk_plan_unfit_count(plan) ? check_unfit(&b) : buy(&b) && work(&b) && moves_are_true(&b) && is_complete(&b);
    clear_up(&b);
    if (why)
        *why = b.why;
    return right;
}
