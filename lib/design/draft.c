#include "design/drafting.h"

#include <assert.h>

#include "base/diagnose.h"
#include "base/memory.h"

void nmk_drafting_complain(struct nmk_drafting *d, struct nmk_span span, const char *code, const char *message,
                           const char *hint)
{
    nmk_diagnostics_say(d->list, false, code, span, hint, "%s", message);
    d->failed = true;
}

/* ---- from the first line of the file to the last ---- */

static void draft_let(struct nmk_drafting *d, size_t i)
{
    const struct nmk_let *let = nmk_design_let(d->draft->design, i);
    if (!nmk_drafting_size(&d->draft->lets[i], d, let->formula) || let->length == NMK_NONE)
        return;
    nmk_drafting_set_length(d, let->length, &d->draft->lets[i]);
    nmk_enclosure_set_rat(&d->draft->lets[i], &d->draft->designed[let->length]);
}

static void draft_panels(struct nmk_drafting *d, size_t piece_index)
{
    const struct nmk_piece *piece = nmk_design_piece(d->draft->design, piece_index);
    struct nmk_enclosure value = {0};
    bool failed = d->failed;
    for (size_t i = 0; i < piece->panel_count; i++) {
        size_t length = piece->panels[i].length;
        if (nmk_design_length(d->draft->design, length)->kind == NMK_LENGTH_LET)
            continue;
        if (nmk_drafting_size(&value, d, piece->panels[i].formula))
            nmk_drafting_set_length(d, length, &value);
        else
            nmk_rat_set_int(&d->draft->designed[length], 1);
    }
    nmk_enclosure_clear(&value);
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        nmk_drafting_lay_out(d, piece_index, (enum nmk_way)way);
        if (d->failed == failed)
            nmk_drafting_check_widths(d, piece_index, (enum nmk_way)way);
    }
}

static void draft_mat_way(struct nmk_drafting *d, size_t piece_index, int way, const struct nmk_formula *on)
{
    const struct nmk_piece *piece = nmk_design_piece(d->draft->design, piece_index);
    struct nmk_layout *layout = &d->draft->layouts[piece_index][way];
    struct nmk_enclosure value = {0};
    nmk_layout_init(layout, 2);
    if (nmk_drafting_size(&value, d, on)) {
        nmk_drafting_nail(&layout->lines[1], &value);
        nmk_rat_sub(&layout->lines[1], &layout->lines[1], &d->draft->designed[piece->smaller_length]);
        if (nmk_rat_sign(&layout->lines[1]) <= 0)
            nmk_drafting_complain(d, piece->span, "not-positive", "this mat has no size left as designed",
                                  "take a smaller step");
    }
    nmk_enclosure_clear(&value);
}

static void draft_mat(struct nmk_drafting *d, size_t piece_index)
{
    const struct nmk_piece *piece = nmk_design_piece(d->draft->design, piece_index);
    struct nmk_enclosure value = {0};
    if (nmk_design_length(d->draft->design, piece->smaller_length)->kind == NMK_LENGTH_SMALLER &&
        nmk_drafting_size(&value, d, piece->smaller))
        nmk_drafting_set_length(d, piece->smaller_length, &value);
    nmk_enclosure_clear(&value);
    draft_mat_way(d, piece_index, NMK_ACROSS, piece->on.across);
    draft_mat_way(d, piece_index, NMK_DOWN, piece->on.down);
}

/* Everything in file order, so that each name is known before it is used: pieces and lets merged by their lines. */
static void draft_all(struct nmk_drafting *d)
{
    const struct nmk_design *design = d->draft->design;
    size_t let = 0;
    for (size_t i = 0; i < d->draft->piece_count; i++) {
        const struct nmk_piece *piece = nmk_design_piece(design, i);
        while (let < d->draft->let_count && nmk_design_let(design, let)->span.line < piece->span.line)
            draft_let(d, let++);
        if (piece->kind == NMK_PIECE_PANELS)
            draft_panels(d, i);
        else if (piece->kind == NMK_PIECE_MAT)
            draft_mat(d, i);
    }
    while (let < d->draft->let_count)
        draft_let(d, let++);
}

/* ---- the draft ---- */

/* Scores stand where both the marks and the score step have a place: every (denominator of step / score step) marks. */
static void set_score_marks(struct nmk_drafting *d)
{
    struct nmk_draft *draft = d->draft;
    struct nmk_rat ratio = {0};
    int64_t num, den;
    draft->score_marks = 1;
    if (nmk_rat_sign(&draft->edition->score_step) > 0 && !draft->edition->as_designed) {
        nmk_rat_div(&ratio, &draft->step, &draft->edition->score_step);
        if (nmk_rat_get_frac(&num, &den, &ratio) != NMK_OK || den > INT32_MAX)
            nmk_drafting_complain(d, draft->edition->span, "score-step",
                                  "the marks and the scores of this edition have no common place",
                                  "choose a score step that is a few marks wide");
        else
            draft->score_marks = den;
    }
    nmk_rat_clear(&ratio);
}

static struct nmk_draft *new_draft(const struct nmk_design *design, size_t edition)
{
    struct nmk_draft *draft = nmk_memory_new(1, sizeof *draft);
    draft->design = design;
    draft->edition = nmk_design_edition(design, edition);
    draft->length_count = nmk_design_length_count(design);
    draft->let_count = nmk_design_let_count(design);
    draft->piece_count = nmk_design_piece_count(design);
    draft->designed = nmk_memory_new(draft->length_count, sizeof *draft->designed);
    draft->nearest = nmk_memory_new(draft->length_count, sizeof *draft->nearest);
    draft->lets = nmk_memory_new(draft->let_count, sizeof *draft->lets);
    draft->layouts = nmk_memory_new(draft->piece_count, sizeof *draft->layouts);
    return draft;
}

enum nmk_status nmk_draft_new(struct nmk_draft **out, const struct nmk_design *design, size_t edition,
                              const struct nmk_rat *step, enum nmk_unit step_unit, struct nmk_diagnostics *list)
{
    if (!out || !design || edition >= nmk_design_edition_count(design))
        return NMK_INVALID;
    struct nmk_draft *draft = new_draft(design, edition);
    struct nmk_drafting d = {.draft = draft, .list = list};
    nmk_rat_set(&draft->step, step ? step : &draft->edition->step);
    draft->step_unit = step ? step_unit : draft->edition->step_unit;
    if (nmk_rat_sign(&draft->step) <= 0) {
        nmk_drafting_complain(&d, draft->edition->span, "mark-step", "marks must be more than 0 apart",
                              "for example: marks 1/16 in");
    } else {
        set_score_marks(&d);
        draft_all(&d);
    }
    if (d.failed) {
        nmk_draft_free(draft);
        return NMK_INVALID;
    }
    *out = draft;
    return NMK_OK;
}

void nmk_draft_free(struct nmk_draft *draft)
{
    if (!draft)
        return;
    for (size_t i = 0; i < draft->length_count; i++)
        nmk_rat_clear(&draft->designed[i]);
    for (size_t i = 0; i < draft->let_count; i++)
        nmk_enclosure_clear(&draft->lets[i]);
    for (size_t i = 0; i < draft->piece_count; i++) {
        nmk_layout_clear(&draft->layouts[i][NMK_ACROSS]);
        nmk_layout_clear(&draft->layouts[i][NMK_DOWN]);
    }
    nmk_rat_clear(&draft->step);
    nmk_memory_free(draft->designed);
    nmk_memory_free(draft->nearest);
    nmk_memory_free(draft->lets);
    nmk_memory_free(draft->layouts);
    nmk_memory_free(draft);
}

const struct nmk_design *nmk_draft_design(const struct nmk_draft *draft)
{
    return draft->design;
}

const struct nmk_edition *nmk_draft_edition(const struct nmk_draft *draft)
{
    return draft->edition;
}

const struct nmk_rat *nmk_draft_twin(const struct nmk_draft *draft, const struct nmk_twin *twin)
{
    return nmk_unit_is_inch(draft->edition->unit) ? &twin->inch : &twin->metric;
}

const struct nmk_rat *nmk_draft_step(const struct nmk_draft *draft)
{
    return &draft->step;
}

enum nmk_unit nmk_draft_step_unit(const struct nmk_draft *draft)
{
    return draft->step_unit;
}

int64_t nmk_draft_score_marks(const struct nmk_draft *draft)
{
    return draft->score_marks;
}

const struct nmk_rat *nmk_draft_designed(const struct nmk_draft *draft, size_t length)
{
    assert(length < draft->length_count);
    return nmk_design_length(draft->design, length)->kind == NMK_LENGTH_CHOICE ? NULL : &draft->designed[length];
}

int64_t nmk_draft_nearest(const struct nmk_draft *draft, size_t length)
{
    assert(length < draft->length_count);
    return draft->nearest[length];
}

size_t nmk_draft_line_count(const struct nmk_draft *draft, size_t piece, enum nmk_way way)
{
    assert(piece < draft->piece_count);
    return draft->layouts[piece][way].count;
}

const struct nmk_rat *nmk_draft_line(const struct nmk_draft *draft, size_t piece, enum nmk_way way, size_t line)
{
    assert(line < nmk_draft_line_count(draft, piece, way));
    return &draft->layouts[piece][way].lines[line];
}

bool nmk_draft_from_last(const struct nmk_draft *draft, size_t piece, enum nmk_way way, size_t line)
{
    assert(line < nmk_draft_line_count(draft, piece, way));
    return draft->layouts[piece][way].from_last[line];
}
