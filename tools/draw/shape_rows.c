#include "draw/shape_rows.h"

#include "ground/store.h"
#include "report/row_words.h"

struct taking {
    struct shape *shape;
    const struct nmk_settled *settled;
    const struct nmk_piece *piece;
};

/* A number of marks in mm. */
static double mm_of(const struct taking *t, int64_t marks)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(nmk_settled_draft(t->settled)));
    double out = size_number(&mm);
    nmk_rat_clear(&mm);
    return out;
}

/* ---- where lines run ---- */

static void take_line(const struct taking *t, enum nmk_way way, size_t line)
{
    struct shape_list *list = &t->shape->lists[way];
    size_t count = nmk_settled_runs(NULL, 0, t->settled, NMK_SETTLED, t->shape->piece, way, line);
    struct nmk_run *runs = store_new(count, sizeof *runs);
    nmk_settled_runs(runs, count, t->settled, NMK_SETTLED, t->shape->piece, way, line);
    list->starts[line] = count ? mm_of(t, runs[0].from) : 0;
    bool at_edge = list->lines[line] <= 0 || list->lines[line] >= shape_whole(list); /* as designed a rest may be nothing */
    list->is_told[line] = !count || at_edge;
    for (size_t i = 0; i < count; i++) {
        if (!(list->run_count & (list->run_count - 1))) /* full at every power of two */
            list->runs = store_resize(list->runs, (list->run_count ? 2 * list->run_count : 1) * sizeof *list->runs);
        list->runs[list->run_count++] = (struct shape_run){line, mm_of(t, runs[i].from), mm_of(t, runs[i].to), runs[i].is_cut};
        t->shape->has_knife = t->shape->has_knife || (runs[i].is_cut && line && line + 1 < list->line_count);
    }
    store_free(runs);
}

/* Of lines in one place, the settings from one edge are told once, and all begin where the first does. */
static void join_places(struct shape_list *list, const struct row_lines *lines)
{
    for (size_t first = 0, end; first < lines->count; first = end) {
        double start = shape_whole(list) + 1e9;
        bool told[2] = {false, false};
        for (end = first; end < lines->count && list->lines[lines->all[end]] <= list->lines[lines->all[first]]; end++) {
            size_t line = lines->all[end];
            start = !list->is_told[line] && list->starts[line] < start ? list->starts[line] : start;
            list->is_told[line] = list->is_told[line] || told[list->from_last[line]];
            told[list->from_last[line]] = told[list->from_last[line]] || !list->is_told[line];
        }
        for (size_t i = first; i < end; i++)
            list->starts[lines->all[i]] = start;
    }
}

static void name_rows(const struct taking *t, struct shape_list *list, enum nmk_way way)
{
    for (size_t line = 1; line + 1 < list->line_count; line++) {
        const struct nmk_row *row = row_of_line(t->piece, way, line);
        struct sink words = {0};
        if (!row)
            continue;
        sink_string(&words, " beside ");
        row_add_panels(&words, t->piece, row, false);
        list->beside[line] = store_copy(words.data, words.size);
        sink_drop(&words);
    }
}

static void take_runs(const struct taking *t, enum nmk_way way)
{
    struct shape_list *list = &t->shape->lists[way];
    struct row_lines lines;
    list->is_told = store_new(list->line_count, sizeof *list->is_told);
    list->starts = store_new(list->line_count, sizeof *list->starts);
    list->beside = store_new(list->line_count, sizeof *list->beside);
    for (size_t line = 0; line < list->line_count; line++)
        take_line(t, way, line);
    row_lines_make(&lines, t->settled, NMK_SETTLED, t->shape->piece, way);
    join_places(list, &lines);
    row_lines_clear(&lines);
    list->settings = 1;
    for (size_t line = 1; line + 1 < list->line_count; line++)
        list->settings += !list->is_told[line];
    name_rows(t, list, way);
}

/* ---- what is left of the card ---- */

/* Beside a stretch of the direction with one row: from where to where. */
static struct point left_beside(const struct taking *t, enum nmk_way rows, size_t beside)
{
    const struct shape_list *list = &t->shape->lists[rows];
    const struct nmk_row *row = &t->piece->lists[rows].rows[beside];
    const struct shape_panel *first = &list->panels[row->first], *last = first + row->count - 1;
    return (struct point){list->lines[first->lines[row->rests[0]]], list->lines[last->lines[!row->rests[1]]]};
}

/* Down along the far sides of all stretches, and up again along the near ones. */
static void take_outline(const struct taking *t)
{
    struct shape *shape = t->shape;
    enum nmk_way rows = t->piece->lists[NMK_DOWN].row_count > 1 ? NMK_DOWN : NMK_ACROSS,
                 along = rows == NMK_DOWN ? NMK_ACROSS : NMK_DOWN;
    const struct shape_list *list = &shape->lists[along];
    shape->outline = store_new(4 * list->count, sizeof *shape->outline);
    for (size_t i = 0; i < 2 * list->count; i++) {
        bool up = i >= list->count;
        const struct shape_panel *stretch = &list->panels[up ? 2 * list->count - 1 - i : i];
        struct point left = left_beside(t, rows, stretch->beside);
        for (int end = 0; end < 2; end++) {
            double u = up ? left.x : left.y, v = list->lines[stretch->lines[up ? !end : end]];
            shape->outline[shape->outline_count++] = along == NMK_DOWN ? (struct point){u, v} : (struct point){v, u};
        }
    }
}

void shape_take_rows(struct shape *shape, const struct nmk_settled *settled)
{
    struct taking t = {shape, settled, nmk_design_piece(nmk_draft_design(nmk_settled_draft(settled)), shape->piece)};
    take_runs(&t, NMK_ACROSS);
    take_runs(&t, NMK_DOWN);
    take_outline(&t);
}

bool shape_add_rests(struct sink *out, const struct nmk_settled *settled, size_t index, enum nmk_way way, size_t number)
{
    static const char *const edges[2][2] = {{"left", "right"}, {"upper", "lower"}};
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(nmk_settled_draft(settled)), index);
    const struct nmk_row *row = &piece->lists[way].rows[number];
    for (int end = 0; end < 2; end++) {
        const struct nmk_stretch *rest = &piece->lists[way].stretches[row->first + (end ? row->count - 1 : 0)];
        struct nmk_rat mm = {0};
        int64_t marks = nmk_settled_line(settled, NMK_SETTLED, index, way, rest->lines[1]) -
                        nmk_settled_line(settled, NMK_SETTLED, index, way, rest->lines[0]);
        if (!row->rests[end] || marks <= 0)
            continue;
        nmk_rat_set_int(&mm, marks);
        nmk_rat_mul(&mm, &mm, nmk_draft_step(nmk_settled_draft(settled)));
        char *size = size_with_unit(settled, &mm);
        sink_format(out, "%s the %s at the %s edge", out->size ? " and" : "Cut away", size, edges[way][end]);
        store_free(size);
        nmk_rat_clear(&mm);
    }
    if (!out->size)
        return false;
    sink_string(out, ", beside ");
    row_add_panels(out, piece, row, false);
    return true;
}

/* ---- cells ---- */

bool shape_is_cell(const struct shape *shape, size_t across, size_t down)
{
    const struct shape_panel *a = &shape->lists[NMK_ACROSS].panels[across], *d = &shape->lists[NMK_DOWN].panels[down];
    return a->name && d->name && a->row == d->beside && d->row == a->beside;
}

double shape_far(const struct shape *shape, enum nmk_way way, size_t stretch)
{
    const struct shape_list *other = &shape->lists[way == NMK_ACROSS ? NMK_DOWN : NMK_ACROSS];
    double far = 0;
    for (size_t i = 0; i < other->count; i++) {
        bool cell = way == NMK_ACROSS ? shape_is_cell(shape, stretch, i) : shape_is_cell(shape, i, stretch);
        double end = other->lines[other->panels[i].lines[1]];
        far = cell && end > far ? end : far;
    }
    return far;
}

static size_t panel_on(const struct nmk_formula *on, size_t index)
{
    return on && on->kind == NMK_F_PANEL && on->subject == index ? on->part : NMK_NONE;
}

/* The first stretch of its panel; of two panels one where they meet. */
size_t shape_stretch_on(const struct nmk_piece *piece, size_t index, const struct nmk_on *on, enum nmk_way way)
{
    size_t panel = panel_on(way == NMK_ACROSS ? on->across : on->down, index), first = NMK_NONE;
    size_t other = panel_on(way == NMK_ACROSS ? on->down : on->across, index);
    if (panel == NMK_NONE || piece->kind != NMK_PIECE_PANELS)
        return NMK_NONE;
    for (size_t i = 0; i < piece->lists[way].count; i++) {
        const struct nmk_stretch *stretch = &piece->lists[way].stretches[i];
        if (stretch->panel != panel)
            continue;
        first = first == NMK_NONE ? i : first;
        for (size_t k = 0; other != NMK_NONE && k < piece->lists[!way].count; k++) {
            const struct nmk_stretch *across = &piece->lists[!way].stretches[k];
            if (across->panel == other && across->row == stretch->beside && across->beside == stretch->row)
                return i;
        }
    }
    return first;
}
