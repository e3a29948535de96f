/* Rows: beside what the lists of a piece run, looked at when the piece is read to its end, since a list may stand above
 * those that it names. Everything here is linear in the stretches and names of the piece. */
#include <stdio.h>

#include "base/memory.h"
#include "design/read/reader.h"

static const char *const ways[] = {"across", "down"};

struct closing {
    struct nmk_reader *r;
    size_t piece;
    size_t *owner[2]; /* by way and panel: 1 + the list of the way that runs beside it, 0: none */
    bool *stands[2];  /* by way and panel: is it in a list of that way? */
};

static struct nmk_rows_read *rows_of(const struct closing *c, int way)
{
    return &c->r->pieces[c->piece].rows[way];
}

static size_t panel_count(const struct closing *c)
{
    return c->r->pieces[c->piece].panel_count;
}

static bool says_beside(const struct nmk_rows_read *rows)
{
    return rows->count > 1 || rows->all[0].beside_count;
}

static const struct nmk_stretch *stretch_at(const struct nmk_rows_read *rows, const struct nmk_row_read *row, bool last)
{
    return &rows->stretches[row->first + (last ? row->count - 1 : 0)];
}

static size_t rests_of(const struct nmk_rows_read *rows, const struct nmk_row_read *row, bool last)
{
    return stretch_at(rows, row, last)->panel == NMK_NONE;
}

/* ---- the names behind `beside` ---- */

static void refuse_way(const struct closing *c, const struct nmk_beside_read *b, int way)
{
    nmk_read_error(c->r, b->span, "beside-itself", NULL,
                   "A list `%s` runs beside panels of the list `%s`; `%s` stands in the list `%s`", ways[way], ways[!way],
                   nmk_read_quote(b->text, b->size).text, ways[way]);
}

static void refuse_unknown(const struct closing *c, const struct nmk_beside_read *b)
{
    const struct nmk_name *near = nmk_names_near(&c->r->names, NMK_SCOPE_PIECES + c->piece, NMK_NAMED_PANEL, b->text, b->size);
    char hint[120];
    snprintf(hint, sizeof hint, "did you mean %s?", near ? nmk_read_quote(near->text, near->size).text : "");
    nmk_read_error(c->r, b->span, "unknown-name", near ? hint : NULL, "This piece has no panel `%s`",
                   nmk_read_quote(b->text, b->size).text);
}

/* The panel meant by a name behind `beside`. */
static void find_beside(const struct closing *c, struct nmk_beside_read *b, int way)
{
    bool broken = false;
    b->panel = nmk_read_find_panel(c->r, c->piece, b->text, b->size, &broken);
    if (b->panel == NMK_NONE && !broken)
        refuse_unknown(c, b);
    if (b->panel != NMK_NONE && !c->stands[!way][b->panel]) {
        refuse_way(c, b, way);
        b->panel = NMK_NONE;
    }
}

static void find_owners(const struct closing *c, int way)
{
    struct nmk_rows_read *rows = rows_of(c, way);
    for (size_t i = 0; i < rows->count; i++)
        for (size_t k = 0; k < rows->all[i].beside_count; k++) {
            struct nmk_beside_read *b = &rows->besides[rows->all[i].beside + k];
            find_beside(c, b, way);
            if (b->panel == NMK_NONE)
                continue;
            if (c->owner[way][b->panel])
                nmk_read_error(c->r, b->span, "beside-twice", "name each panel behind one `beside` only",
                               "A list `%s` runs beside `%s` already", ways[way], nmk_read_quote(b->text, b->size).text);
            else
                c->owner[way][b->panel] = i + 1;
        }
}

/* One message for each panel that no list runs beside. */
static void find_left_out(const struct closing *c, int way)
{
    const struct nmk_rows_read *rows = rows_of(c, way);
    for (size_t panel = 0; panel < panel_count(c); panel++)
        if (c->stands[!way][panel] && !c->owner[way][panel])
            nmk_read_error(c->r, rows->all[rows->count - 1].end, "beside-left-out",
                           "name it behind a `beside`, or write a list for it", "No list `%s` runs beside `%s`", ways[way],
                           c->r->pieces[c->piece].panels[panel].name);
}

/* ---- rests ---- */

static void check_rests(const struct closing *c, int way)
{
    const struct nmk_rows_read *rows = rows_of(c, way);
    const struct nmk_stretch *rest = NULL;
    bool full = false;
    for (size_t i = 0; i < rows->count; i++) {
        const struct nmk_row_read *row = &rows->all[i];
        size_t rests = rests_of(rows, row, false) + (row->count > 1 ? rests_of(rows, row, true) : 0);
        full = full || !rests;
        if (rests && !rest)
            rest = stretch_at(rows, row, !rests_of(rows, row, false));
        if (rests == row->count)
            nmk_read_error(c->r, stretch_at(rows, row, false)->span, "rest-alone",
                           "name what is left beside it, or take these panels away",
                           "Nothing but `rest` stands in this list, so nothing would be left");
    }
    if (!full)
        nmk_read_error(c->r, rest->span, "rest-everywhere", "write at least one list without `rest`",
                       "Every list `%s` has a `rest`, so that nothing says how wide the piece is", ways[way]);
}

/* ---- a piece ---- */

static void refuse_without_beside(const struct closing *c, int way)
{
    const struct nmk_rows_read *rows = rows_of(c, way);
    for (size_t i = 0; rows->count > 1 && i < rows->count; i++)
        if (!rows->all[i].beside_count)
            nmk_read_error(c->r, rows->all[i].span, "no-beside", "end it in `beside` and the panels that it runs beside",
                           "This piece has several lists `%s`, and this one does not say where its lines run", ways[way]);
}

/* Snips and mitres go by the corners of a whole rectangle. */
static void refuse_corners(const struct closing *c)
{
    const struct nmk_piece *p = nmk_at_piece(c->r->design, c->piece);
    bool rows = false;
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
        rows = rows || says_beside(rows_of(c, way)) || rows_of(c, way)->cut.line;
    if (rows && (p->snipped || p->mitred))
        nmk_read_error(c->r, c->r->pieces[c->piece].corners, "rows-and-corners", "cut the corners away with `rest`",
                       "`%s` does not go with rows (`beside`, `||`, `rest`)", p->snipped ? "corners snipped" : "ends mitred");
}

static void check_rows(const struct closing *c)
{
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        size_t errors = c->r->errors;
        check_rests(c, way);
        refuse_without_beside(c, way);
        if (!says_beside(rows_of(c, way)))
            continue;
        find_owners(c, way);
        if (c->r->errors == errors)
            find_left_out(c, way);
    }
    const struct nmk_rows_read *down = rows_of(c, NMK_DOWN);
    if (says_beside(down) && says_beside(rows_of(c, NMK_ACROSS)))
        nmk_read_error(c->r, down->all[0].end, "beside-both", "write one direction as one list, without `beside`",
                       "Lists that run only beside some panels may be across or down, but not both in one piece");
    refuse_corners(c);
}

/* Does a cut-through line run from edge to edge? Then what lies on its two sides is no longer one piece. */
static void note_apart(const struct closing *c, int way)
{
    const struct nmk_rows_read *rows = rows_of(c, way);
    for (size_t i = 1; rows->count == 1 && i < rows->stretch_count; i++)
        if (rows->through[i]) {
            nmk_read_note(c->r, rows->cut, "falls-apart", "let the list end in `beside` and some panels of the other direction",
                          "`%s` falls apart here: this cut goes from edge to edge", nmk_at_piece(c->r->design, c->piece)->name);
            return;
        }
}

/* ---- the model ---- */

static void fill_row(const struct closing *c, int way, struct nmk_row *out, const struct nmk_row_read *row)
{
    const struct nmk_rows_read *rows = rows_of(c, way);
    size_t *beside = nmk_arena_new(&c->r->design->arena, row->beside_count, sizeof *beside);
    for (size_t i = 0; i < row->beside_count; i++)
        beside[i] = rows->besides[row->beside + i].panel;
    *out = (struct nmk_row){.first = row->first, .count = row->count, .span = row->span};
    out->beside_count = row->beside_count;
    out->beside = beside;
    out->rests[0] = rests_of(rows, row, false);
    out->rests[1] = row->count > 1 && rests_of(rows, row, true);
}

/* The lines of a row, the first of which has the number *line. */
static void fill_lines(const struct nmk_rows_read *rows, struct nmk_line *lines, size_t end, const struct nmk_row_read *row,
                       size_t *line)
{
    struct nmk_stretch *s = &rows->stretches[row->first];
    s[row->count - 1].lines[1] = end;
    for (size_t i = 1; i < row->count; i++, ++*line) {
        bool cut = rows->through[row->first + i] || s[i - 1].panel == NMK_NONE || s[i].panel == NMK_NONE;
        lines[*line] = (struct nmk_line){.row = s->row, .is_cut = cut};
        s[i - 1].lines[1] = s[i].lines[0] = *line;
    }
}

static void fill_list(const struct closing *c, int way, struct nmk_list *list)
{
    const struct nmk_rows_read *rows = rows_of(c, way);
    struct nmk_arena *arena = &c->r->design->arena;
    struct nmk_row *all = nmk_arena_new(arena, rows->count, sizeof *all);
    size_t end = rows->stretch_count - rows->count + 1, line = 1;
    struct nmk_line *lines = nmk_arena_new(arena, end + 1, sizeof *lines);
    lines[0] = lines[end] = (struct nmk_line){.row = NMK_NONE, .is_cut = true};
    for (size_t i = rows->count; i-- > 0;) {
        fill_row(c, way, &all[i], &rows->all[i]);
        if (!all[i].rests[0] && !all[i].rests[1])
            list->widest = i;
    }
    for (size_t i = 0; i < rows->count; i++)
        fill_lines(rows, lines, end, &rows->all[i], &line);
    for (size_t i = 0; i < rows->stretch_count; i++) {
        size_t panel = rows->stretches[i].panel;
        rows->stretches[i].beside = panel == NMK_NONE || !c->owner[!way][panel] ? 0 : c->owner[!way][panel] - 1;
    }
    list->count = rows->stretch_count;
    list->stretches = nmk_arena_copy(arena, rows->stretches, rows->stretch_count, sizeof *rows->stretches);
    list->row_count = rows->count;
    list->rows = all;
    list->line_count = end + 1;
    list->lines = lines;
}

static void begin(struct closing *c)
{
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        const struct nmk_rows_read *rows = rows_of(c, way);
        c->owner[way] = nmk_memory_new(panel_count(c) + 1, sizeof *c->owner[way]);
        c->stands[way] = nmk_memory_new(panel_count(c) + 1, sizeof *c->stands[way]);
        for (size_t i = 0; i < rows->stretch_count; i++)
            if (rows->stretches[i].panel != NMK_NONE)
                c->stands[way][rows->stretches[i].panel] = true;
    }
}

void nmk_close_rows(struct nmk_reader *r, struct nmk_piece *out)
{
    struct nmk_piece_read *read = &r->pieces[r->piece];
    struct closing c = {.r = r, .piece = r->piece};
    size_t errors = r->errors;
    if (read->broken || r->given_up)
        return;
    begin(&c);
    check_rows(&c);
    if (r->errors == errors) {
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
            note_apart(&c, way);
            fill_list(&c, way, &out->lists[way]);
        }
    } else {
        read->broken = true;
    }
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        nmk_memory_free(c.owner[way]);
        nmk_memory_free(c.stands[way]);
    }
}
