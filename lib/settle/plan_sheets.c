#include <assert.h>

#include "base/diagnose.h"
#include "base/memory.h"
#include "settle/planning.h"

/* Room round a punched piece, and what its blank is rounded up to: 20 mm and 5 mm, or 3/4 in and 1/4 in, in 1/40 mm. */
/* Without an effort asked for: enough for a design that one person makes, then, where the fewest are not yet proved, all. */
#define QUICK_EFFORT UINT64_C(8000000)

enum { ROOM_MM = 800, EVEN_MM = 200, ROOM_INCH = 762, EVEN_INCH = 254, PARTS = 40 };

/* One stock's sheets and what is cut from them, as long as it is solved. */
struct asking {
    struct nmk_plan *plan;
    const struct nmk_stock *stock;
    size_t stock_index, kind_count, piece_count;
    const struct nmk_sheet *sheets;
    struct nmk_cutting_kind kinds[2];
    struct nmk_cutting_piece *pieces;
    size_t *named; /* which piece of the design each is */
};

static void *grow(void *array, size_t *space, size_t wanted, size_t size)
{
    nmk_memory_reserve(&array, space, wanted, size);
    return array;
}

static enum nmk_status too_fine(struct nmk_diagnostics *list)
{
    nmk_diagnostics_say(list, false, "sheets-too-fine", (struct nmk_span){0},
                        "give the sheets in whole millimetres or in inches",
                        "The sizes of the sheets and the marks have only a very fine grid in common, too fine to plan on");
    return NMK_TOO_LARGE;
}

static enum nmk_status too_many(struct nmk_diagnostics *list)
{
    nmk_diagnostics_say(list, false, "too-many-pieces", (struct nmk_span){0}, "plan for fewer makers at a time",
                        "There are more pieces than I can plan at once: at most %d", (int)NMK_CUTTING_MOST_PIECES);
    return NMK_TOO_LARGE;
}

/* ---- the grid ---- */

static void share(struct nmk_rat *grid, const struct nmk_sheet *sheets, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        nmk_rat_gcd(grid, grid, &sheets[i].width);
        nmk_rat_gcd(grid, grid, &sheets[i].height);
    }
}

/* How often the grid goes into a length, rounded down; -1: too often. */
static int64_t in_grid(const struct nmk_plan *plan, const struct nmk_rat *mm)
{
    struct nmk_rat times = {0};
    int64_t count = -1;
    nmk_rat_div(&times, mm, &plan->grid);
    nmk_rat_floor(&times, &times);
    if (nmk_rat_get_int(&count, &times) || count > INT32_MAX)
        count = -1;
    nmk_rat_clear(&times);
    return count;
}

static void from_grid(struct nmk_rat *mm, const struct nmk_plan *plan, int64_t count)
{
    nmk_rat_set_int(mm, count);
    nmk_rat_mul(mm, mm, &plan->grid);
}

static bool is_wanted(const struct nmk_plan *plan, size_t stock)
{
    for (size_t i = 0; i < nmk_design_piece_count(plan->design); i++)
        if (nmk_design_piece(plan->design, i)->stock == stock)
            return true;
    return false;
}

static bool find_grid(struct nmk_plan *plan)
{
    const struct nmk_edition *edition = nmk_draft_edition(plan->draft);
    nmk_rat_set(&plan->grid, nmk_draft_step(plan->draft));
    for (size_t i = 0; i < nmk_design_stock_count(plan->design); i++)
        if (is_wanted(plan, i)) {
            const struct nmk_sheet *sheets;
            size_t count = nmk_stock_sheets(&sheets, edition, nmk_design_stock(plan->design, i));
            share(&plan->grid, sheets, count);
        }
    plan->step = in_grid(plan, nmk_draft_step(plan->draft));
    plan->reach = nmk_rat_sign(&edition->reach) > 0 ? in_grid(plan, &edition->reach) : 0;
    if (plan->reach < 0)
        plan->reach = 0; /* farther than any sheet is long */
    else if (!plan->reach && nmk_rat_sign(&edition->reach) > 0)
        plan->reach = 1; /* shorter than anything: nothing is within it */
    return plan->step > 0;
}

/* ---- the pieces ---- */

static bool fits(const struct asking *a, int64_t width, int64_t height)
{
    for (size_t k = 0; k < a->kind_count; k++)
        if (width <= a->kinds[k].width && height <= a->kinds[k].height)
            return true;
    return false;
}

static bool fits_somehow(const struct asking *a, int64_t width, int64_t height)
{
    return fits(a, width, height) || fits(a, height, width);
}

/* ceil((size + room) / step), made a multiple of `even` where the marks allow it. */
static int64_t blank_side(const struct nmk_plan *plan, const struct nmk_rat *punched, bool with_room)
{
    bool inch = nmk_unit_is_inch(nmk_draft_step_unit(plan->draft));
    const struct nmk_rat *step = nmk_draft_step(plan->draft);
    struct nmk_rat size = {0}, unit = {0}, ratio = {0};
    int64_t marks = 0;
    nmk_rat_set_frac(&size, with_room ? (inch ? ROOM_INCH : ROOM_MM) : 0, PARTS);
    nmk_rat_add(&size, &size, punched);
    nmk_rat_set_frac(&unit, inch ? EVEN_INCH : EVEN_MM, PARTS);
    nmk_rat_div(&ratio, &unit, step);
    if (!with_room || !nmk_rat_is_int(&ratio))
        nmk_rat_set(&unit, step);
    nmk_rat_div(&size, &size, &unit);
    nmk_rat_ceil(&size, &size);
    nmk_rat_mul(&size, &size, &unit);
    nmk_rat_div(&size, &size, step);
    if (nmk_rat_get_int(&marks, &size))
        marks = INT32_MAX;
    nmk_rat_clear(&size);
    nmk_rat_clear(&unit);
    nmk_rat_clear(&ratio);
    return marks;
}

static int64_t times_step(const struct nmk_plan *plan, int64_t marks)
{
    return marks < 1 || marks > INT32_MAX / plan->step ? INT32_MAX : marks * plan->step;
}

static void size_blank(const struct asking *a, const struct nmk_piece *piece, struct nmk_plan_piece *out)
{
    for (int room = 1; room >= 0; room--) {
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
            out->marks[way] =
                blank_side(a->plan, nmk_settled_punched(a->plan->settled, piece->length, (enum nmk_way)way), room);
        if (fits_somehow(a, times_step(a->plan, out->marks[0]), times_step(a->plan, out->marks[1])))
            return;
    }
}

static void size_piece(const struct asking *a, size_t i)
{
    const struct nmk_piece *piece = nmk_design_piece(a->plan->design, i);
    struct nmk_plan_piece *out = &a->plan->pieces[i];
    struct nmk_rat marks = {0};
    out->blank = piece->kind == NMK_PIECE_PUNCHED;
    out->count = (int64_t)piece->copies * a->plan->makers;
    if (out->blank)
        size_blank(a, piece, out);
    for (int w = NMK_ACROSS; w <= NMK_DOWN; w++) {
        enum nmk_way way = (enum nmk_way)w;
        if (!out->blank)
            out->marks[w] =
                nmk_settled_line(a->plan->settled, NMK_SETTLED, i, way, nmk_draft_line_count(a->plan->draft, i, way) - 1);
        nmk_rat_set_int(&marks, out->marks[w]);
        nmk_rat_mul(&out->size[w], &marks, nmk_draft_step(a->plan->draft));
    }
    nmk_rat_clear(&marks);
}

/* Sheets lie upright: a long grain runs down, a short one across. */
static bool must_turn(const struct asking *a, const struct nmk_piece *piece)
{
    return piece->grain != (a->stock->grain == NMK_GRAIN_LONG ? NMK_DOWN : NMK_ACROSS);
}

static void add_unfit(struct nmk_plan *plan, size_t piece)
{
    plan->unfit = grow(plan->unfit, &plan->unfit_space, plan->unfit_count + 1, sizeof *plan->unfit);
    plan->unfit[plan->unfit_count++] = piece;
}

static void ask_piece(struct asking *a, size_t i)
{
    const struct nmk_piece *piece = nmk_design_piece(a->plan->design, i);
    size_piece(a, i);
    struct nmk_plan_piece *sized = &a->plan->pieces[i];
    int64_t across = times_step(a->plan, sized->marks[0]), down = times_step(a->plan, sized->marks[1]);
    bool pinned = piece->has_grain && a->stock->grain != NMK_GRAIN_NONE, turned = pinned && must_turn(a, piece);
    if (!fits_somehow(a, across, down)) {
        add_unfit(a->plan, i);
        return;
    }
    sized->against_grain = pinned && !fits(a, turned ? down : across, turned ? across : down);
    turned ^= sized->against_grain;
    a->named[a->piece_count] = i;
    a->pieces[a->piece_count++] =
        (struct nmk_cutting_piece){turned ? down : across, turned ? across : down, sized->count, !pinned};
}

/* ---- the answer as parts ---- */

static size_t add_part(struct nmk_plan *plan, size_t sheet, const struct nmk_cutting_node *node, int64_t copies)
{
    plan->parts = grow(plan->parts, &plan->part_space, plan->part_count + 1, sizeof *plan->parts);
    struct nmk_plan_part *part = &plan->parts[plan->part_count];
    *part = (struct nmk_plan_part){.kind = NMK_PLAN_STRIP, .sheet = sheet, .count = copies, .piece = NMK_NONE};
    from_grid(&part->at[0], plan, node->x);
    from_grid(&part->at[1], plan, node->y);
    from_grid(&part->size[0], plan, node->width);
    from_grid(&part->size[1], plan, node->height);
    return plan->part_count++;
}

static void add_cut(struct nmk_plan *plan, const struct nmk_cutting_node *node, size_t base, size_t i)
{
    bool across = node->use == NMK_CUTTING_ACROSS;
    int64_t whole = across ? node->width : node->height;
    plan->cuts = grow(plan->cuts, &plan->cut_space, plan->cut_count + 1, sizeof *plan->cuts);
    plan->cuts[plan->cut_count++] = (struct nmk_plan_cut){
        .part = base + i,
        .first = base + (node->from_first ? node->first : node->second),
        .second = base + (node->from_first ? node->second : node->first),
        .distance = node->from_first ? node->at : whole - node->at,
        .across = across,
        .from_first = node->from_first,
    };
}

static void add_node(const struct asking *a, const struct nmk_cutting_pattern *pattern, size_t sheet, size_t base, size_t i)
{
    const struct nmk_cutting_node *node = &pattern->nodes[i];
    size_t number = add_part(a->plan, sheet, node, pattern->copies);
    struct nmk_plan_part *part = &a->plan->parts[number];
    if (node->use == NMK_CUTTING_PIECE) {
        part->kind = NMK_PLAN_PIECE;
        part->piece = a->named[node->piece];
        part->turned =
            node->turned != (a->pieces[node->piece].width != times_step(a->plan, a->plan->pieces[part->piece].marks[0]));
    } else if (node->use == NMK_CUTTING_OFFCUT) {
        part->kind = NMK_PLAN_OFFCUT;
    } else {
        part->kind = i ? NMK_PLAN_STRIP : NMK_PLAN_SHEET;
        add_cut(a->plan, node, base, i);
    }
}

static void add_sheets(const struct asking *a, const struct nmk_cutting_pattern *pattern, size_t *number)
{
    struct nmk_plan *plan = a->plan;
    plan->sheets = grow(plan->sheets, &plan->sheet_space, plan->sheet_count + 1, sizeof *plan->sheets);
    struct nmk_plan_sheet *sheet = &plan->sheets[plan->sheet_count];
    *sheet = (struct nmk_plan_sheet){.stock = a->stock_index, .sheet = &a->sheets[pattern->kind], .number = *number,
                                     .copies = pattern->copies, .part = plan->part_count, .part_count = pattern->node_count};
    from_grid(&sheet->size[0], plan, a->kinds[pattern->kind].width);
    from_grid(&sheet->size[1], plan, a->kinds[pattern->kind].height);
    *number += (size_t)pattern->copies;
    for (size_t i = 0; i < pattern->node_count; i++)
        add_node(a, pattern, plan->sheet_count, sheet->part, i);
    plan->sheet_count++;
}

static void add_answer(const struct asking *a, const struct nmk_cutting_answer *answer, size_t *number)
{
    struct nmk_plan *plan = a->plan;
    plan->stocks = grow(plan->stocks, &plan->stock_space, plan->stock_count + 1, sizeof *plan->stocks);
    struct nmk_plan_stock *stock = &plan->stocks[plan->stock_count++];
    *stock = (struct nmk_plan_stock){.stock = a->stock_index, .sheets = answer->sheets, .bound = answer->bound,
                                     .settings = answer->settings, .has_offcut = answer->offcut_width > 0};
    from_grid(&stock->offcut[0], plan, answer->offcut_width);
    from_grid(&stock->offcut[1], plan, answer->offcut_height);
    for (size_t i = 0; i < answer->pattern_count; i++)
        add_sheets(a, &answer->patterns[i], number);
}

/* ---- one stock ---- */

static void set_kinds(struct asking *a)
{
    a->kind_count = nmk_stock_sheets(&a->sheets, nmk_draft_edition(a->plan->draft), a->stock);
    for (size_t k = 0; k < a->kind_count; k++) {
        int64_t width = in_grid(a->plan, &a->sheets[k].width), height = in_grid(a->plan, &a->sheets[k].height);
        a->kinds[k] = (struct nmk_cutting_kind){width < height ? width : height, width < height ? height : width};
    }
}

static bool kinds_are_good(const struct asking *a)
{
    for (size_t k = 0; k < a->kind_count; k++)
        if (a->kinds[k].width < 1)
            return false;
    return true;
}

static enum nmk_status solve(const struct asking *a, const struct nmk_plan_options *options, size_t *number)
{
    struct nmk_cutting_problem problem = {.piece_count = a->piece_count, .kind_count = a->kind_count, .pieces = a->pieces,
                                          .kinds = a->kinds, .reach = a->plan->reach,
                                          .effort = options->effort ? options->effort : QUICK_EFFORT,
                                          .progress = options->progress, .context = options->context};
    struct nmk_cutting_answer answer;
    enum nmk_status status = nmk_cutting_solve(&answer, &problem);
    if (!status && answer.outcome == NMK_CUTTING_FOUND && !options->effort) {
        nmk_cutting_answer_clear(&answer);
        problem.effort = 0;
        status = nmk_cutting_solve(&answer, &problem);
    }
    if (status)
        return status;
    assert(answer.outcome != NMK_CUTTING_TOO_BIG);
    add_answer(a, &answer, number);
    nmk_cutting_answer_clear(&answer);
    return NMK_OK;
}

static enum nmk_status take_stock(struct nmk_plan *plan, size_t stock, const struct nmk_plan_options *options, size_t *number,
                                  struct nmk_diagnostics *list)
{
    size_t count = nmk_design_piece_count(plan->design);
    struct asking a = {.plan = plan, .stock = nmk_design_stock(plan->design, stock), .stock_index = stock};
    enum nmk_status status = NMK_OK;
    set_kinds(&a);
    if (!kinds_are_good(&a))
        return too_fine(list);
    a.pieces = nmk_memory_new(count, sizeof *a.pieces);
    a.named = nmk_memory_new(count, sizeof *a.named);
    for (size_t i = 0; i < count; i++)
        if (nmk_design_piece(plan->design, i)->stock == stock)
            ask_piece(&a, i);
    if (!plan->unfit_count)
        status = solve(&a, options, number);
    if (status == NMK_TOO_LARGE)
        status = too_fine(list);
    nmk_memory_free(a.pieces);
    nmk_memory_free(a.named);
    return status;
}

static bool are_few(const struct nmk_plan *plan)
{
    int64_t left = NMK_CUTTING_MOST_PIECES;
    for (size_t i = 0; i < nmk_design_piece_count(plan->design); i++) {
        int64_t copies = nmk_design_piece(plan->design, i)->copies;
        if (copies > left / plan->makers)
            return false;
        left -= copies * plan->makers;
    }
    return true;
}

/* Where a piece fits no sheet nothing is cut at all, so that nothing is bought in vain. */
static void drop_sheets(struct nmk_plan *plan)
{
    for (size_t i = 0; i < plan->stock_count; i++)
        for (int w = 0; w < 2; w++)
            nmk_rat_clear(&plan->stocks[i].offcut[w]);
    for (size_t i = 0; i < plan->sheet_count; i++)
        for (int w = 0; w < 2; w++)
            nmk_rat_clear(&plan->sheets[i].size[w]);
    for (size_t i = 0; i < plan->part_count; i++)
        for (int w = 0; w < 2; w++) {
            nmk_rat_clear(&plan->parts[i].at[w]);
            nmk_rat_clear(&plan->parts[i].size[w]);
        }
    plan->stock_count = plan->sheet_count = plan->part_count = plan->cut_count = 0;
}

enum nmk_status nmk_plan_take_sheets(struct nmk_plan *plan, const struct nmk_plan_options *options,
                                     struct nmk_diagnostics *list)
{
    size_t number = 1;
    plan->pieces = nmk_memory_new(nmk_design_piece_count(plan->design), sizeof *plan->pieces);
    if (!are_few(plan))
        return too_many(list);
    if (!find_grid(plan))
        return too_fine(list);
    for (size_t i = 0; i < nmk_design_stock_count(plan->design); i++) {
        enum nmk_status status = is_wanted(plan, i) ? take_stock(plan, i, options, &number, list) : NMK_OK;
        if (status)
            return status;
    }
    if (plan->unfit_count)
        drop_sheets(plan);
    return NMK_OK;
}
