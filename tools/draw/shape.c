#include "draw/shape.h"

#include <string.h>

#include "draw/dimension.h"
#include "draw/shape_rows.h"
#include "ground/letters.h"
#include "ground/sink.h"
#include "ground/store.h"

#define TIMES " \xC3\x97 "

static const struct nmk_draft *draft_of(const struct nmk_settled *settled)
{
    return nmk_settled_draft(settled);
}

static const struct nmk_design *design_of(const struct nmk_settled *settled)
{
    return nmk_draft_design(draft_of(settled));
}

static char *plain(const char *text)
{
    return letters_plain(text, strlen(text));
}

/* ---- lists ---- */

static void mm_of(struct nmk_rat *out, const struct nmk_settled *settled, int64_t marks)
{
    nmk_rat_set_int(out, marks);
    nmk_rat_mul(out, out, nmk_draft_step(draft_of(settled)));
}

static void list_room(struct shape_list *list, size_t count, size_t lines)
{
    list->count = count;
    list->line_count = lines;
    list->settings = lines - 1;
    list->lines = store_new(lines, sizeof *list->lines);
    list->from_last = store_new(lines, sizeof *list->from_last);
    list->figures = store_new(lines, sizeof *list->figures);
}

static void name_panels(struct shape_list *list, const struct nmk_piece *piece, enum nmk_way way)
{
    list->panels = store_new(list->count, sizeof *list->panels);
    for (size_t i = 0; i < list->count; i++) {
        const struct nmk_stretch *stretch = &piece->lists[way].stretches[i];
        list->panels[i] = (struct shape_panel){stretch->panel == NMK_NONE ? NULL : piece->panels[stretch->panel].name,
                                               stretch->glue,
                                               {stretch->lines[0], stretch->lines[1]},
                                               stretch->row,
                                               stretch->beside};
    }
}

static void fill_list(struct shape_list *list, const struct nmk_settled *settled, size_t index, enum nmk_way way)
{
    const struct nmk_draft *draft = draft_of(settled);
    const struct nmk_piece *piece = nmk_design_piece(design_of(settled), index);
    size_t last = nmk_draft_line_count(draft, index, way) - 1;
    int64_t whole = nmk_settled_line(settled, NMK_SETTLED, index, way, last);
    struct nmk_rat mm = {0};
    list_room(list, piece->kind == NMK_PIECE_PANELS ? piece->lists[way].count : 1, last + 1);
    for (size_t i = 1; i <= last; i++) {
        int64_t at = nmk_settled_line(settled, NMK_SETTLED, index, way, i);
        list->from_last[i] = i < last && nmk_draft_from_last(draft, index, way, i);
        mm_of(&mm, settled, at);
        list->lines[i] = size_number(&mm);
        mm_of(&mm, settled, list->from_last[i] ? whole - at : at);
        list->figures[i] = size_figure(settled, &mm);
    }
    nmk_rat_clear(&mm);
    if (piece->kind == NMK_PIECE_PANELS)
        name_panels(list, piece, way);
}

static void fill_punched(struct shape_list *list, const struct nmk_settled *settled, size_t length, enum nmk_way way)
{
    const struct nmk_rat *mm = nmk_settled_punched(settled, length, way);
    list_room(list, 1, 2);
    list->lines[1] = size_number(mm);
    list->figures[1] = size_with_unit(settled, mm); /* as it is bought, perhaps in another unit than the edition's */
}

double shape_whole(const struct shape_list *list)
{
    return list->lines[list->line_count - 1];
}

bool shape_has_scores(const struct shape *shape)
{
    for (int way = 0; way < 2; way++) {
        const struct shape_list *list = &shape->lists[way];
        for (size_t i = 0; i < list->run_count; i++)
            if (!list->runs[i].is_cut)
                return true;
        if (!shape->has_rows && list->count > 1)
            return true;
    }
    return false;
}

/* ---- outlines ---- */

/* Points are put down as if snips ran down or the ends stood left and right; `turned` exchanges x and y. */
static void put(struct shape *shape, bool turned, double x, double y)
{
    shape->outline[shape->outline_count++] = turned ? (struct point){y, x} : (struct point){x, y};
}

static void outline_box(struct shape *shape)
{
    put(shape, false, 0, 0);
    put(shape, false, shape->across, 0);
    put(shape, false, shape->across, shape->down);
    put(shape, false, 0, shape->down);
}

/* At each end a cut under 45 degrees; the upper, or left, edge keeps the length. Short pieces come to a point. */
static void outline_mitred(struct shape *shape)
{
    bool turned = shape->down > shape->across;
    double length = turned ? shape->down : shape->across, wide = turned ? shape->across : shape->down;
    double in = wide < length / 2 ? wide : length / 2;
    put(shape, turned, 0, 0);
    put(shape, turned, length, 0);
    put(shape, turned, length - in, wide);
    put(shape, turned, in, wide);
}

/* The cut runs from the edge along the outer score to the first score of the other way; the tab's free side is drawn in
 * towards the edge of the card. */
static void outline_snipped(struct shape *shape, double taper)
{
    bool turned = shape->snipped_way == NMK_ACROSS;
    const struct shape_list *beside = &shape->lists[!turned ? NMK_ACROSS : NMK_DOWN];
    const struct shape_list *along = &shape->lists[!turned ? NMK_DOWN : NMK_ACROSS];
    double a = beside->lines[1], b = beside->lines[beside->line_count - 2], width = shape_whole(beside);
    double c = along->lines[1], d = along->lines[along->line_count - 2], depth = shape_whole(along);
    double in_a = taper < 0.8 * a ? taper : 0.8 * a, in_b = taper < 0.8 * (width - b) ? taper : 0.8 * (width - b);
    const struct point corner[] = {
        {0, 0}, {a - in_a, 0}, {a, c}, {a, 0}, {b, 0}, {b, c}, {b + in_b, 0}, {width, 0}, {width, depth},
        {b + in_b, depth}, {b, d}, {b, depth}, {a, depth}, {a, d}, {a - in_a, depth}, {0, depth}};
    for (size_t i = 0; i < sizeof corner / sizeof *corner; i++)
        put(shape, turned, corner[i].x, corner[i].y);
}

static void take_outline(struct shape *shape, const struct nmk_settled *settled, const struct nmk_piece *piece)
{
    if (shape->has_rows) {
        shape_take_rows(shape, settled);
        return;
    }
    shape->outline = store_new(SHAPE_MOST_POINTS, sizeof *shape->outline);
    if (shape->snipped)
        outline_snipped(shape, piece->tapered ? size_number(nmk_draft_twin(draft_of(settled), &piece->taper)) : 0);
    else if (piece->mitred)
        outline_mitred(shape);
    else
        outline_box(shape);
}

bool shape_line(const struct shape *shape, enum nmk_way way, size_t line, double *from, double *to)
{
    const struct shape_list *other = &shape->lists[way == NMK_ACROSS ? NMK_DOWN : NMK_ACROSS];
    const struct shape_list *own = &shape->lists[way];
    double at = own->lines[line];
    *from = 0;
    *to = shape_whole(other);
    /* `snipped down` cuts where lines of the list `across` were */
    if (shape->snipped && shape->snipped_way != way && (line == 1 || line == own->line_count - 2)) {
        *from = other->lines[1];
        *to = other->lines[other->line_count - 2];
    }
    double low = *to, high = *from;
    for (size_t i = 0; i < shape->outline_count && !shape->snipped; i++) {
        struct point a = shape->outline[i], b = shape->outline[(i + 1) % shape->outline_count];
        double ua = way == NMK_ACROSS ? a.x : a.y, ub = way == NMK_ACROSS ? b.x : b.y;
        double va = way == NMK_ACROSS ? a.y : a.x, vb = way == NMK_ACROSS ? b.y : b.x;
        if ((ua < at) == (ub < at))
            continue;
        double v = va + (vb - va) * (at - ua) / (ub - ua);
        low = v < low ? v : low;
        high = v > high ? v : high;
    }
    if (!shape->snipped) {
        *from = low;
        *to = high;
    }
    return *from < *to;
}

/* ---- words ---- */

static void add_note(struct shape *shape, struct sink *words)
{
    shape->notes = store_resize(shape->notes, (shape->note_count + 1) * sizeof *shape->notes);
    shape->notes[shape->note_count++] = plain(words->data);
    sink_drop(words);
}

static const char *owner_name(const struct nmk_design *design, const struct nmk_formula *size)
{
    if (size->kind == NMK_F_OPENING)
        return nmk_design_opening(design, size->subject)->name;
    return nmk_design_piece(design, size->subject)->label;
}

static const char *panel_name(const struct nmk_design *design, const struct nmk_formula *size)
{
    return size->kind == NMK_F_PANEL ? nmk_design_piece(design, size->subject)->panels[size->part].name : NULL;
}

static void add_side(struct sink *words, const struct nmk_design *design, const struct nmk_formula *size)
{
    const char *panel = panel_name(design, size);
    sink_format(words, panel ? "%s %s" : "%s", owner_name(design, size), panel);
}

/* "Lid: top × top_short", "Middle layer". */
static void add_on(struct sink *words, const struct nmk_design *design, const struct nmk_on *on)
{
    if (on->piece != NMK_NONE) {
        sink_string(words, nmk_design_piece(design, on->piece)->label);
        return;
    }
    const char *across = panel_name(design, on->across), *down = panel_name(design, on->down);
    if (across && down && on->across->subject == on->down->subject) {
        sink_format(words, "%s: %s" TIMES "%s", owner_name(design, on->across), across, down);
        return;
    }
    add_side(words, design, on->across);
    sink_string(words, TIMES);
    add_side(words, design, on->down);
}

static void note_snips(struct shape *shape, const struct nmk_settled *settled, const struct nmk_piece *piece)
{
    struct sink words = {0};
    sink_string(&words, "Snip the corners");
    if (piece->tapered) {
        char *taper = size_with_unit(settled, nmk_draft_twin(draft_of(settled), &piece->taper));
        sink_format(&words, ", taper each tab by %s", taper);
        store_free(taper);
    }
    add_note(shape, &words);
}

static void note_all(struct shape *shape, const struct nmk_settled *settled, const struct nmk_piece *piece)
{
    struct sink words = {0};
    if (piece->kind == NMK_PIECE_MAT) {
        sink_string(&words, "Lies on ");
        add_on(&words, design_of(settled), &piece->on);
        add_note(shape, &words);
    }
    if (piece->snipped)
        note_snips(shape, settled, piece);
    if (piece->mitred) {
        sink_string(&words, "Mitre both ends; the longer edge is dimensioned");
        add_note(shape, &words);
    }
    if (shape->has_knife) {
        sink_string(&words, SHAPE_KNIFE_NOTE);
        add_note(shape, &words);
    }
    for (int way = 0; way < 2; way++)
        if (shape->lists[way].settings > DIMENSION_MOST) {
            sink_format(&words, "%zu %s %s: their places stand in the cut list", shape->lists[way].settings - 1,
                        shape->has_knife ? "settings" : "scores", way == NMK_ACROSS ? "across" : "down");
            add_note(shape, &words);
        }
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN && shape->has_rows; way++)
        for (size_t row = 0; row < piece->lists[way].row_count; row++)
            if (shape_add_rests(&words, settled, shape->piece, way, row))
                add_note(shape, &words);
    for (size_t i = 0; i < shape->opening_count; i++) {
        sink_format(&words, "Opening %s: punch %s, in the middle", shape->openings[i].name, shape->openings[i].figure);
        add_note(shape, &words);
    }
    if (shape->punched) {
        sink_string(&words, "The outline stands for the shape of your punch");
        add_note(shape, &words);
    }
}

static void say_task(struct shape *shape, const struct nmk_settled *settled, const struct nmk_piece *piece)
{
    struct sink words = {0};
    sink_format(&words, "%s %u from %s", shape->punched ? "Punch" : "Cut", (unsigned)piece->copies,
                nmk_design_stock(design_of(settled), piece->stock)->label);
    shape->task = plain(words.data);
    sink_drop(&words);
    sink_format(&words, "%u of %s", (unsigned)piece->copies, nmk_design_stock(design_of(settled), piece->stock)->label);
    shape->brief = plain(words.data);
    sink_drop(&words);
}

/* ---- openings ---- */

static bool goes_through(const struct nmk_opening *opening, size_t piece)
{
    for (size_t i = 0; i < opening->through_count; i++)
        if (opening->through[i] == piece)
            return true;
    return false;
}

/* The middle of the stretch of the panel that it lies on, of the whole piece where that is not one of this piece. */
static double middle(const struct shape *shape, const struct nmk_settled *settled, const struct nmk_on *on, enum nmk_way way)
{
    const struct shape_list *list = &shape->lists[way];
    size_t stretch = shape_stretch_on(nmk_design_piece(design_of(settled), shape->piece), shape->piece, on, way);
    if (stretch == NMK_NONE)
        return shape_whole(list) / 2;
    return (list->lines[list->panels[stretch].lines[0]] + list->lines[list->panels[stretch].lines[1]]) / 2;
}

/* "63 × 38 mm"; each with its unit where they differ. */
static void put_pair(struct sink *words, const struct nmk_settled *settled, const struct nmk_rat *across,
                     const struct nmk_rat *down)
{
    char *first = size_with_unit(settled, across), *second = size_with_unit(settled, down);
    const char *unit = strrchr(first, ' '), *other = strrchr(second, ' ');
    bool same = unit && other && !strcmp(unit, other);
    sink_add(words, first, same ? (size_t)(unit - first) : strlen(first));
    sink_format(words, TIMES "%s", second);
    store_free(first);
    store_free(second);
}

static void add_opening(struct shape *shape, const struct nmk_settled *settled, const struct nmk_opening *opening)
{
    const struct nmk_rat *across = nmk_settled_punched(settled, opening->length, NMK_ACROSS);
    const struct nmk_rat *down = nmk_settled_punched(settled, opening->length, NMK_DOWN);
    struct sink words = {0};
    put_pair(&words, settled, across, down);
    shape->openings = store_resize(shape->openings, (shape->opening_count + 1) * sizeof *shape->openings);
    shape->openings[shape->opening_count++] = (struct shape_opening){
        .across = size_number(across), .down = size_number(down), .x = middle(shape, settled, &opening->on, NMK_ACROSS),
        .y = middle(shape, settled, &opening->on, NMK_DOWN), .figure = store_copy(words.data, words.size),
        .name = plain(opening->name)};
    sink_drop(&words);
}

/* ---- the whole ---- */

void shape_init(struct shape *shape, const struct nmk_settled *settled, size_t index)
{
    const struct nmk_design *design = design_of(settled);
    const struct nmk_piece *piece = nmk_design_piece(design, index);
    *shape = (struct shape){.piece = index, .punched = piece->kind == NMK_PIECE_PUNCHED, .title = plain(piece->label),
                            .has_grain = piece->has_grain, .grain = piece->grain};
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        if (shape->punched)
            fill_punched(&shape->lists[way], settled, piece->length, way);
        else
            fill_list(&shape->lists[way], settled, index, way);
    }
    shape->across = shape_whole(&shape->lists[NMK_ACROSS]);
    shape->down = shape_whole(&shape->lists[NMK_DOWN]);
    shape->has_rows = piece->kind == NMK_PIECE_PANELS && nmk_piece_has_rows(piece);
    shape->snipped = piece->snipped && shape->lists[NMK_ACROSS].count > 1 && shape->lists[NMK_DOWN].count > 1;
    shape->snipped_way = piece->snipped_way;
    take_outline(shape, settled, piece);
    for (size_t i = 0; i < nmk_design_opening_count(design); i++)
        if (goes_through(nmk_design_opening(design, i), index))
            add_opening(shape, settled, nmk_design_opening(design, i));
    say_task(shape, settled, piece);
    note_all(shape, settled, piece);
}

static void list_clear(struct shape_list *list)
{
    for (size_t i = 0; list->figures && i < list->line_count; i++)
        store_free(list->figures[i]);
    for (size_t i = 0; list->beside && i < list->line_count; i++)
        store_free(list->beside[i]);
    store_free(list->figures);
    store_free(list->beside);
    store_free(list->runs);
    store_free(list->is_told);
    store_free(list->starts);
    store_free(list->lines);
    store_free(list->panels);
    store_free(list->from_last);
}

void shape_clear(struct shape *shape)
{
    list_clear(&shape->lists[NMK_ACROSS]);
    list_clear(&shape->lists[NMK_DOWN]);
    for (size_t i = 0; i < shape->opening_count; i++) {
        store_free(shape->openings[i].figure);
        store_free(shape->openings[i].name);
    }
    for (size_t i = 0; i < shape->note_count; i++)
        store_free(shape->notes[i]);
    store_free(shape->outline);
    store_free(shape->openings);
    store_free(shape->notes);
    store_free(shape->title);
    store_free(shape->task);
    store_free(shape->brief);
    *shape = (struct shape){0};
}
