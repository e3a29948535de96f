#include "nearmark/draft.h"

#include <assert.h>
#include <stdio.h>

#include "base/diagnose.h"
#include "base/memory.h"
#include "nearmark/enclosure.h"
#include "nearmark/marks.h"

struct layout { /* the lines of one direction of a piece */
    size_t count;
    struct nmk_rat *lines;
    bool *from_last;
};

struct nmk_draft {
    const struct nmk_design *design;
    const struct nmk_edition *edition;
    struct nmk_rat step;
    enum nmk_unit step_unit;
    int64_t score_marks;
    size_t length_count, let_count, piece_count;
    struct nmk_rat *designed; /* by length */
    int64_t *nearest;
    struct nmk_enclosure *lets;  /* by let */
    struct layout (*layouts)[2]; /* by piece and way */
};

struct drafter {
    struct nmk_draft *draft;
    struct nmk_diagnostics *list;
    bool failed;
};

const struct nmk_rat *nmk_draft_twin(const struct nmk_draft *draft, const struct nmk_twin *twin)
{
    return nmk_unit_is_inch(draft->edition->unit) ? &twin->inch : &twin->metric;
}

static void complain(struct drafter *d, struct nmk_span span, const char *code, const char *message, const char *hint)
{
    nmk_diagnostics_say(d->list, false, code, span, hint, "%s", message);
    d->failed = true;
}

/* ---- designed sizes ---- */

size_t nmk_piece_stretches(const struct nmk_piece *piece, size_t panel)
{
    size_t count = 0;
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
        for (size_t i = 0; i < piece->lists[way].count; i++)
            count += piece->lists[way].stretches[i].panel == panel;
    return count;
}

/* The scores of a stretch; where glue closes the ring of its row, the edge at its own end counts as one. */
static size_t folds_beside(const struct nmk_list *list, size_t stretch)
{
    const struct nmk_stretch *s = &list->stretches[stretch];
    const struct nmk_row *row = &list->rows[s->row];
    size_t first = row->first + row->rests[0], last = row->first + row->count - row->rests[1] - 1;
    size_t folds = (size_t)!list->lines[s->lines[0]].is_cut + (size_t)!list->lines[s->lines[1]].is_cut;
    if (last > first) {
        folds += stretch == first && list->stretches[last].glue;
        folds += stretch == last && list->stretches[first].glue;
    }
    return folds;
}

size_t nmk_piece_folds(const struct nmk_piece *piece, size_t panel)
{
    size_t most = 0;
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        const struct nmk_list *list = &piece->lists[way];
        for (size_t i = 0; i < list->count; i++) {
            size_t folds = list->stretches[i].panel == panel ? folds_beside(list, i) : 0;
            most = folds > most ? folds : most;
        }
    }
    return most;
}

static void panel_size(struct nmk_enclosure *out, const struct nmk_draft *draft, size_t piece, size_t panel)
{
    nmk_enclosure_set_rat(out, &draft->designed[nmk_design_piece(draft->design, piece)->panels[panel].length]);
}

static void scale(struct nmk_enclosure *e, size_t times)
{
    struct nmk_enclosure n = {0};
    nmk_rat_set_int(&n.low, (int64_t)times);
    nmk_rat_set_int(&n.high, (int64_t)times);
    nmk_enclosure_mul(e, e, &n);
    nmk_enclosure_clear(&n);
}

static void outside_size(struct nmk_enclosure *out, const struct nmk_draft *draft, size_t piece_index, size_t panel)
{
    const struct nmk_piece *piece = nmk_design_piece(draft->design, piece_index);
    struct nmk_enclosure thickness = {0};
    nmk_enclosure_set_rat(&thickness, &nmk_design_stock(draft->design, piece->stock)->thickness);
    scale(&thickness, nmk_piece_folds(piece, panel));
    panel_size(out, draft, piece_index, panel);
    nmk_enclosure_add(out, out, &thickness);
    nmk_enclosure_clear(&thickness);
}

static void total_size(struct nmk_enclosure *out, const struct nmk_draft *draft, size_t piece_index, size_t panel)
{
    const struct nmk_piece *piece = nmk_design_piece(draft->design, piece_index);
    panel_size(out, draft, piece_index, panel);
    scale(out, nmk_piece_stretches(piece, panel) * piece->copies);
}

/* What a row's panels measure together. */
static void sum_row(struct nmk_rat *out, const struct nmk_draft *draft, const struct nmk_piece *piece, int way, size_t row)
{
    const struct nmk_list *list = &piece->lists[way];
    nmk_rat_set_int(out, 0);
    for (size_t i = list->rows[row].first; i < list->rows[row].first + list->rows[row].count; i++)
        if (list->stretches[i].panel != NMK_NONE)
            nmk_rat_add(out, out, &draft->designed[piece->panels[list->stretches[i].panel].length]);
}

/* Of a piece of which only this list is known so far, where one of its later panels names it, the sum. A punched piece has
 * no lines; the reader keeps punched sizes out of what is designed. */
static void whole_size(struct nmk_enclosure *out, const struct nmk_draft *draft, size_t piece_index, size_t way)
{
    const struct layout *layout = &draft->layouts[piece_index][way];
    const struct nmk_piece *piece = nmk_design_piece(draft->design, piece_index);
    struct nmk_rat sum = {0};
    if (layout->count)
        nmk_rat_set(&sum, &layout->lines[layout->count - 1]);
    else if (piece->kind == NMK_PIECE_PANELS)
        sum_row(&sum, draft, piece, (int)way, piece->lists[way].widest);
    nmk_enclosure_set_rat(out, &sum);
    nmk_rat_clear(&sum);
}

static enum nmk_status evaluate(struct nmk_enclosure *out, const struct nmk_draft *draft, const struct nmk_formula *f,
                                const struct nmk_formula **blame);

static enum nmk_status evaluate_pair(struct nmk_enclosure *out, const struct nmk_draft *draft, const struct nmk_formula *f,
                                     const struct nmk_formula **blame)
{
    struct nmk_enclosure right = {0};
    enum nmk_status status = evaluate(out, draft, f->left, blame);
    if (status == NMK_OK)
        status = evaluate(&right, draft, f->right, blame);
    if (status != NMK_OK)
        goto out;
    switch (f->kind) {
    case NMK_F_ADD: nmk_enclosure_add(out, out, &right); break;
    case NMK_F_SUB: nmk_enclosure_sub(out, out, &right); break;
    case NMK_F_MUL: nmk_enclosure_mul(out, out, &right); break;
    case NMK_F_MIN: nmk_enclosure_min(out, out, &right); break;
    case NMK_F_MAX: nmk_enclosure_max(out, out, &right); break;
    default:
        *blame = f->right;
        status = nmk_enclosure_div(out, out, &right);
    }
out:
    nmk_enclosure_clear(&right);
    return status;
}

static enum nmk_status evaluate_one(struct nmk_enclosure *out, const struct nmk_draft *draft, const struct nmk_formula *f,
                                    const struct nmk_formula **blame)
{
    enum nmk_status status = evaluate(out, draft, f->left, blame);
    if (status != NMK_OK)
        return status;
    *blame = f->left;
    if (f->kind == NMK_F_SQRT)
        return nmk_enclosure_sqrt(out, out);
    if (f->kind == NMK_F_ABS)
        nmk_enclosure_abs(out, out);
    else
        nmk_enclosure_neg(out, out);
    return NMK_OK;
}

/* The size of a formula at nominal, enclosed. On failure *blame is the part that cannot be computed. The depth is bounded
 * by the reader's limit on parentheses; names are looked up, never followed. */
static enum nmk_status evaluate(struct nmk_enclosure *out, const struct nmk_draft *draft, const struct nmk_formula *f,
                                const struct nmk_formula **blame)
{
    switch (f->kind) {
    case NMK_F_NUMBER:
    case NMK_F_LENGTH: nmk_enclosure_set_rat(out, nmk_draft_twin(draft, &f->value)); break;
    case NMK_F_PI: nmk_enclosure_pi(out); break;
    case NMK_F_NEG:
    case NMK_F_ABS:
    case NMK_F_SQRT: return evaluate_one(out, draft, f, blame);
    case NMK_F_MEASURE: nmk_enclosure_set_rat(out, &nmk_design_measure(draft->design, f->subject)->size); break;
    case NMK_F_STOCK: nmk_enclosure_set_rat(out, &nmk_design_stock(draft->design, f->subject)->thickness); break;
    case NMK_F_LET: nmk_enclosure_set(out, &draft->lets[f->subject]); break;
    case NMK_F_PANEL: panel_size(out, draft, f->subject, f->part); break;
    case NMK_F_SMALLER:
        nmk_enclosure_set_rat(out, &draft->designed[nmk_design_piece(draft->design, f->subject)->smaller_length]);
        break;
    case NMK_F_WHOLE: whole_size(out, draft, f->subject, f->part); break;
    case NMK_F_OPENING: nmk_enclosure_clear(out); break; /* kept out by the reader, as in whole_size */
    case NMK_F_TOTAL: total_size(out, draft, f->subject, f->part); break;
    case NMK_F_OUTSIDE: outside_size(out, draft, f->subject, f->part); break;
    default: return evaluate_pair(out, draft, f, blame);
    }
    return NMK_OK;
}

/* The one rounding of a designed size: an irrational result to the nearest 10^-9 mm. */
static void nail(struct nmk_rat *out, const struct nmk_enclosure *e)
{
    if (nmk_enclosure_is_exact(e)) {
        nmk_rat_set(out, &e->low);
        return;
    }
    struct nmk_rat fine = {0}, half = {0};
    nmk_rat_set_int(&fine, 1000000000);
    nmk_rat_set_frac(&half, 1, 2);
    nmk_enclosure_mid(out, e);
    nmk_rat_mul(out, out, &fine);
    nmk_rat_add(out, out, &half);
    nmk_rat_floor(out, out);
    nmk_rat_div(out, out, &fine);
    nmk_rat_clear(&fine);
    nmk_rat_clear(&half);
}

static bool size_of(struct nmk_enclosure *out, struct drafter *d, const struct nmk_formula *f)
{
    const struct nmk_formula *blame = f;
    enum nmk_status status = evaluate(out, d->draft, f, &blame);
    if (status == NMK_OK)
        return true;
    if (status == NMK_NEGATIVE_ROOT)
        complain(d, blame->span, "negative-root", "this is below 0 as designed, and only sizes from 0 up have a root",
                 "change what stands in sqrt(...)");
    else
        complain(d, blame->span, "division-by-zero", "this is 0 as designed, and nothing can be divided by 0",
                 "divide by something that is not 0");
    return false;
}

static void set_nearest(struct drafter *d, size_t length)
{
    struct nmk_marks marks = {.step = d->draft->step};
    int64_t k;
    if (nmk_marks_nearest(&k, &marks, &d->draft->designed[length], NMK_TIE_LARGER) != NMK_OK || k > INT32_MAX)
        complain(d, nmk_design_length(d->draft->design, length)->span, "too-many-marks", "this size is too many marks long",
                 "use smaller sizes or wider marks");
    else
        d->draft->nearest[length] = k < 1 ? 1 : k;
}

/* Sets the designed size and nearest mark of a length from its formula's value. */
static void set_length(struct drafter *d, size_t length, const struct nmk_enclosure *value)
{
    struct nmk_draft *draft = d->draft;
    const struct nmk_length *l = nmk_design_length(draft->design, length);
    nail(&draft->designed[length], value);
    if (nmk_rat_sign(&draft->designed[length]) > 0) {
        set_nearest(d, length);
        return;
    }
    char size[80], message[240];
    nmk_length_print(size, sizeof size, &draft->designed[length], draft->edition->unit, 3, NMK_FRACTION_PLAIN);
    snprintf(message, sizeof message, "%.80s comes out at %.60s in the edition %.60s", l->name, size, draft->edition->name);
    complain(d, l->span, "not-positive", message, "every length of card must be more than 0");
    nmk_rat_set_int(&draft->designed[length], 1); /* so that what builds on it is not blamed for it */
    draft->nearest[length] = 1;
}

static void draft_let(struct drafter *d, size_t i)
{
    const struct nmk_let *let = nmk_design_let(d->draft->design, i);
    if (!size_of(&d->draft->lets[i], d, let->formula) || let->length == NMK_NONE)
        return;
    set_length(d, let->length, &d->draft->lets[i]);
    nmk_enclosure_set_rat(&d->draft->lets[i], &d->draft->designed[let->length]);
}

/* ---- lines ---- */

static void new_layout(struct layout *layout, size_t lines)
{
    layout->count = lines;
    layout->lines = nmk_memory_new(lines, sizeof *layout->lines);
    layout->from_last = nmk_memory_new(lines, sizeof *layout->from_last);
}

/* Is a score at `at` of a piece `whole` wide taken from the last edge? As its `score` line says, or from the nearer edge
 * (a tie: the first); if that is out of reach, from the other one where that is within reach. */
static bool takes_last(const struct nmk_rat *at, const struct nmk_rat *whole, enum nmk_edge edge, const struct nmk_rat *reach)
{
    struct nmk_rat other = {0};
    nmk_rat_sub(&other, whole, at);
    bool last = edge == NMK_FROM_LAST || (edge == NMK_FROM_BOTH && nmk_rat_cmp(&other, at) < 0);
    if (nmk_rat_sign(reach) > 0) {
        const struct nmk_rat *here = last ? &other : at, *there = last ? at : &other;
        if (nmk_rat_cmp(here, reach) > 0 && nmk_rat_cmp(there, reach) <= 0)
            last = !last;
    }
    nmk_rat_clear(&other);
    return last;
}

/* Sets *out to what is cut away before the first panel of a row `sum` wide. */
static void first_rest(struct nmk_rat *out, const struct nmk_row *row, const struct nmk_rat *whole, const struct nmk_rat *sum)
{
    struct nmk_rat part = {0};
    nmk_rat_set_frac(&part, (int64_t)row->rests[0], row->rests[0] && row->rests[1] ? 2 : 1);
    nmk_rat_sub(out, whole, sum);
    nmk_rat_mul(out, out, &part);
    nmk_rat_clear(&part);
}

static void lay_out_row(struct nmk_draft *draft, const struct nmk_piece *piece, int way, size_t row_index, struct layout *layout)
{
    const struct nmk_list *list = &piece->lists[way];
    const struct nmk_row *row = &list->rows[row_index];
    const struct nmk_rat *whole = &layout->lines[layout->count - 1];
    struct nmk_rat at = {0};
    sum_row(&at, draft, piece, way, row_index);
    first_rest(&at, row, whole, &at);
    for (size_t i = 0; i + 1 < row->count; i++) {
        const struct nmk_stretch *s = &list->stretches[row->first + i];
        if (s->panel != NMK_NONE)
            nmk_rat_add(&at, &at, &draft->designed[piece->panels[s->panel].length]);
        nmk_rat_set(&layout->lines[s->lines[1]], &at);
        layout->from_last[s->lines[1]] = !list->lines[s->lines[1]].is_cut && takes_last(&at, whole, list->edge, &draft->edition->reach);
    }
    nmk_rat_clear(&at);
}

static void lay_out(struct nmk_draft *draft, size_t piece_index, int way)
{
    const struct nmk_piece *piece = nmk_design_piece(draft->design, piece_index);
    const struct nmk_list *list = &piece->lists[way];
    struct layout *layout = &draft->layouts[piece_index][way];
    new_layout(layout, list->line_count);
    sum_row(&layout->lines[list->line_count - 1], draft, piece, way, list->widest);
    for (size_t row = 0; row < list->row_count; row++)
        lay_out_row(draft, piece, way, row, layout);
}

static void size_text(char *out, size_t room, const struct nmk_draft *draft, const struct nmk_rat *mm)
{
    nmk_length_print(out, room, mm, draft->edition->unit, 3, NMK_FRACTION_PLAIN);
}

static void complain_of_width(struct drafter *d, const struct nmk_row *row, enum nmk_way way, const struct nmk_rat *sum, const struct nmk_rat *whole)
{
    char own[80], other[80], message[320];
    size_text(own, sizeof own, d->draft, sum);
    size_text(other, sizeof other, d->draft, whole);
    snprintf(message, sizeof message, "this list comes to %.70s, but the piece is %.70s %s, in the edition %.40s", own, other,
             way == NMK_ACROSS ? "across" : "down", d->draft->edition->name);
    complain(d, row->span, "other-width", message, "let a `rest` take what is over, or change a panel");
}

static void complain_of_rest(struct drafter *d, const struct nmk_stretch *rest, const struct nmk_rat *left)
{
    char size[80], message[240];
    size_text(size, sizeof size, d->draft, left);
    snprintf(message, sizeof message, "`rest` comes out at %.70s in the edition %.60s", size, d->draft->edition->name);
    complain(d, rest->span, "not-positive", message, "its panels must leave something of the width to be cut away");
}

/* Every row fills the whole width; what is cut away is more than nothing. */
static void check_widths(struct drafter *d, size_t piece_index, enum nmk_way way)
{
    const struct nmk_piece *piece = nmk_design_piece(d->draft->design, piece_index);
    const struct nmk_list *list = &piece->lists[way];
    const struct nmk_rat *whole = &d->draft->layouts[piece_index][way].lines[list->line_count - 1];
    struct nmk_rat sum = {0}, left = {0};
    for (size_t i = 0; i < list->row_count; i++) {
        const struct nmk_row *row = &list->rows[i];
        sum_row(&sum, d->draft, piece, (int)way, i);
        nmk_rat_sub(&left, whole, &sum);
        if (!row->rests[0] && !row->rests[1]) {
            if (!nmk_rat_is_zero(&left))
                complain_of_width(d, row, way, &sum, whole);
        } else if (nmk_rat_sign(&left) <= 0) {
            complain_of_rest(d, &list->stretches[row->first + (row->rests[0] ? 0 : row->count - 1)], &left);
        }
    }
    nmk_rat_clear(&sum);
    nmk_rat_clear(&left);
}

static void draft_panels(struct drafter *d, size_t piece_index)
{
    const struct nmk_piece *piece = nmk_design_piece(d->draft->design, piece_index);
    struct nmk_enclosure value = {0};
    bool failed = d->failed;
    for (size_t i = 0; i < piece->panel_count; i++) {
        size_t length = piece->panels[i].length;
        if (nmk_design_length(d->draft->design, length)->kind == NMK_LENGTH_LET)
            continue;
        if (size_of(&value, d, piece->panels[i].formula))
            set_length(d, length, &value);
        else
            nmk_rat_set_int(&d->draft->designed[length], 1);
    }
    nmk_enclosure_clear(&value);
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        lay_out(d->draft, piece_index, way);
        if (d->failed == failed)
            check_widths(d, piece_index, (enum nmk_way)way);
    }
}

static void draft_mat_way(struct drafter *d, size_t piece_index, int way, const struct nmk_formula *on)
{
    const struct nmk_piece *piece = nmk_design_piece(d->draft->design, piece_index);
    struct layout *layout = &d->draft->layouts[piece_index][way];
    struct nmk_enclosure value = {0};
    new_layout(layout, 2);
    if (size_of(&value, d, on)) {
        nail(&layout->lines[1], &value);
        nmk_rat_sub(&layout->lines[1], &layout->lines[1], &d->draft->designed[piece->smaller_length]);
        if (nmk_rat_sign(&layout->lines[1]) <= 0)
            complain(d, piece->span, "not-positive", "this mat has no size left as designed", "take a smaller step");
    }
    nmk_enclosure_clear(&value);
}

static void draft_mat(struct drafter *d, size_t piece_index)
{
    const struct nmk_piece *piece = nmk_design_piece(d->draft->design, piece_index);
    struct nmk_enclosure value = {0};
    if (nmk_design_length(d->draft->design, piece->smaller_length)->kind == NMK_LENGTH_SMALLER &&
        size_of(&value, d, piece->smaller))
        set_length(d, piece->smaller_length, &value);
    nmk_enclosure_clear(&value);
    draft_mat_way(d, piece_index, NMK_ACROSS, piece->on.across);
    draft_mat_way(d, piece_index, NMK_DOWN, piece->on.down);
}

/* Everything in file order, so that each name is known before it is used: pieces and lets merged by their lines. */
static void draft_all(struct drafter *d)
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
static void set_score_marks(struct drafter *d)
{
    struct nmk_draft *draft = d->draft;
    struct nmk_rat ratio = {0};
    int64_t num, den;
    draft->score_marks = 1;
    if (nmk_rat_sign(&draft->edition->score_step) > 0 && !draft->edition->as_designed) {
        nmk_rat_div(&ratio, &draft->step, &draft->edition->score_step);
        if (nmk_rat_get_frac(&num, &den, &ratio) != NMK_OK || den > INT32_MAX)
            complain(d, draft->edition->span, "score-step", "the marks and the scores of this edition have no common place",
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
    struct drafter d = {.draft = draft, .list = list};
    nmk_rat_set(&draft->step, step ? step : &draft->edition->step);
    draft->step_unit = step ? step_unit : draft->edition->step_unit;
    if (nmk_rat_sign(&draft->step) <= 0) {
        complain(&d, draft->edition->span, "mark-step", "marks must be more than 0 apart", "for example: marks 1/16 in");
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

static void free_layout(struct layout *layout)
{
    for (size_t i = 0; i < layout->count; i++)
        nmk_rat_clear(&layout->lines[i]);
    nmk_memory_free(layout->lines);
    nmk_memory_free(layout->from_last);
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
        free_layout(&draft->layouts[i][NMK_ACROSS]);
        free_layout(&draft->layouts[i][NMK_DOWN]);
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
