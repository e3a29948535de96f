#include "report/cut_list.h"

#include <stdio.h>
#include <string.h>

#include "ground/figure.h"
#include "ground/hint.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/on_text.h"
#include "report/row_words.h"

enum { MARK_COLUMN = 14, WHAT_COLUMN = 28, INDENT = 4, LINE = 72 };

/* One list of one piece in one column. */
struct view {
    struct sink *out;
    const struct nmk_settled *settled;
    enum nmk_column column;
    size_t piece;
    enum nmk_way way;
};

static const struct nmk_draft *draft_of(const struct view *v)
{
    return nmk_settled_draft(v->settled);
}

static const struct nmk_design *design_of(const struct view *v)
{
    return nmk_draft_design(draft_of(v));
}

static const struct nmk_piece *piece_of(const struct view *v)
{
    return nmk_design_piece(design_of(v), v->piece);
}

static const char *way_name(enum nmk_way way)
{
    return way == NMK_ACROSS ? "across" : "down";
}

static const char *edge_name(enum nmk_way way, bool last)
{
    if (way == NMK_ACROSS)
        return last ? "right edge" : "left edge";
    return last ? "lower edge" : "upper edge";
}

/* ---- a line of the list: the mark, what it is, how to find it ---- */

static void add_tinted(struct sink *out, const char *text)
{
    sink_tint(out, TINT_STRONG, text);
}

static void show_setting(const struct view *v, int64_t marks, const char *what)
{
    const struct nmk_draft *draft = draft_of(v);
    char *mark = edition_mark(v->settled, marks);
    char *hint = hint_mark(marks, nmk_draft_step(draft), nmk_draft_step_unit(draft), edition_unit(v->settled));
    int used = INDENT + MARK_COLUMN + WHAT_COLUMN;
    sink_spaces(v->out, INDENT);
    add_tinted(v->out, mark);
    sink_spaces(v->out, MARK_COLUMN - letters_width(mark));
    sink_string(v->out, what);
    if (hint && used + letters_width(hint) <= LINE)
        sink_spaces(v->out, WHAT_COLUMN - letters_width(what));
    else if (hint) {
        sink_string(v->out, "\n");
        sink_spaces(v->out, INDENT + MARK_COLUMN);
    }
    sink_string(v->out, hint ? hint : "");
    sink_string(v->out, "\n");
    store_free(mark);
    store_free(hint);
}

static void write_marks(struct sink *out, const void *with, int64_t marks)
{
    char *mark = edition_mark(with, marks);
    sink_string(out, mark);
    store_free(mark);
}

/* Below a score where it is a cut instead, below a cut where it is one, if that is not all along the line. */
static void show_cut_runs(const struct view *v, size_t line, bool cut)
{
    struct sink words = {0};
    sink_string(&words, cut ? "only " : "cut through ");
    if (row_add_cut_runs(&words, v->settled, v->column, v->piece, v->way, line, !cut, write_marks, v->settled))
        sink_words(v->out, INDENT + MARK_COLUMN, words.data);
    sink_drop(&words);
}

static void show_line(const struct view *v, size_t line, int64_t whole)
{
    char what[40];
    bool last = nmk_draft_from_last(draft_of(v), v->piece, v->way, line), cut = row_line_is_cut(piece_of(v), v->way, line);
    int64_t at = nmk_settled_line(v->settled, v->column, v->piece, v->way, line);
    if (cut && (at == 0 || at == whole))
        return; /* as designed nothing may be left to be cut away */
    snprintf(what, sizeof what, "%s from the %s", cut ? "cut" : "score", edge_name(v->way, last));
    show_setting(v, last ? whole - at : at, what);
    show_cut_runs(v, line, cut);
}

static void say_words(const struct view *v, struct sink *words)
{
    sink_words(v->out, 2, words->data);
    sink_drop(words);
}

static int64_t stretch_marks(const struct view *v, const struct nmk_stretch *stretch)
{
    return nmk_settled_line(v->settled, v->column, v->piece, v->way, stretch->lines[1]) -
           nmk_settled_line(v->settled, v->column, v->piece, v->way, stretch->lines[0]);
}

static void say_rests(const struct view *v, const struct nmk_row *row)
{
    const struct nmk_stretch *first = &piece_of(v)->lists[v->way].stretches[row->first];
    struct sink words = {0};
    for (int end = 0; end < 2; end++) {
        int64_t marks = row->rests[end] ? stretch_marks(v, end ? first + row->count - 1 : first) : 0;
        if (!marks)
            continue;
        char *size = edition_mark(v->settled, marks);
        sink_format(&words, "%s the %s at the %s", words.size ? " and" : "Cut away", size, edge_name(v->way, end));
        store_free(size);
    }
    if (!words.size)
        return;
    sink_string(&words, ".");
    sink_words(v->out, INDENT, words.data);
    sink_drop(&words);
}

/* The lines of one list, and beside what they run. */
static void show_row(const struct view *v, const struct nmk_row *row, int64_t whole)
{
    const struct nmk_list *list = &piece_of(v)->lists[v->way];
    struct sink title = {0};
    if (row->count < 2)
        return;
    sink_format(&title, "%s, only beside ", way_name(v->way));
    row_add_panels(&title, piece_of(v), row, false);
    sink_words(v->out, 2, title.data);
    sink_drop(&title);
    for (size_t i = row->first + 1; i < row->first + row->count; i++)
        show_line(v, list->stretches[i].lines[0], whole);
    say_rests(v, row);
}

static void show_direction(struct view *v, enum nmk_way way)
{
    v->way = way;
    size_t lines = nmk_draft_line_count(draft_of(v), v->piece, way);
    if (!lines)
        return;
    int64_t whole = nmk_settled_line(v->settled, v->column, v->piece, way, lines - 1);
    const struct nmk_list *list = &piece_of(v)->lists[way];
    sink_format(v->out, "  %s\n", way_name(way));
    show_setting(v, whole, "cut");
    for (size_t i = 0; list->row_count > 1 && i < list->row_count; i++)
        show_row(v, &list->rows[i], whole);
    for (size_t line = 1; list->row_count < 2 && line + 1 < lines; line++)
        show_line(v, line, whole);
}

/* ---- what else is said of a piece ---- */

static int64_t gap(const struct view *v, enum nmk_way way, size_t line)
{
    return nmk_settled_line(v->settled, v->column, v->piece, way, line + 1) -
           nmk_settled_line(v->settled, v->column, v->piece, way, line);
}

static void say_glue(struct view *v, enum nmk_way way)
{
    const struct nmk_list *list = &piece_of(v)->lists[way];
    v->way = way;
    for (size_t i = 0; i < list->count; i++) {
        const struct nmk_row *row = &list->rows[list->stretches[i].row];
        if (!list->stretches[i].glue)
            continue;
        struct sink words = {0};
        char *size = edition_mark(v->settled, stretch_marks(v, &list->stretches[i]));
        sink_format(&words, "Glue: the %s at the %s", size, edge_name(way, i > row->first + row->rests[0]));
        if (list->row_count > 1) {
            sink_string(&words, ", beside ");
            row_add_panels(&words, piece_of(v), row, false);
        }
        sink_string(&words, ".");
        say_words(v, &words);
        store_free(size);
    }
}

/* A snip runs along a score, from the edge to the first score of the other direction. */
static void say_snips(const struct view *v)
{
    const struct nmk_piece *piece = piece_of(v);
    if (!piece->snipped)
        return;
    enum nmk_way way = piece->snipped_way;
    size_t last = piece->lists[way].count - 1;
    char *first_size = edition_mark(v->settled, gap(v, way, 0)), *last_size = edition_mark(v->settled, gap(v, way, last));
    struct sink words = {0};
    sink_format(&words, "Corners: snip %s", first_size);
    if (strcmp(first_size, last_size) != 0)
        sink_format(&words, " at the %s, %s at the %s,", edge_name(way, false), last_size, edge_name(way, true));
    sink_format(&words, " %s along each outer score.", way_name(way));
    if (piece->tapered) {
        char *taper = edition_size(v->settled, nmk_draft_twin(draft_of(v), &piece->taper));
        sink_format(&words, " Taper the free side of each tab by %s.", taper);
        store_free(taper);
    }
    say_words(v, &words);
    store_free(first_size);
    store_free(last_size);
}

static void say_layer(const struct view *v)
{
    const struct nmk_piece *piece = piece_of(v);
    if (piece->kind != NMK_PIECE_MAT)
        return;
    struct sink words = {0};
    sink_string(&words, "A layer: it lies on ");
    on_text_add(&words, design_of(v), &piece->on);
    sink_string(&words, ".");
    say_words(v, &words);
}

static void say_grain(const struct view *v)
{
    const struct nmk_piece *piece = piece_of(v);
    struct sink words = {0};
    if (piece->has_grain) {
        sink_format(&words, "The grain runs %s.", way_name(piece->grain));
        say_words(v, &words);
    }
    if (piece->mitred) {
        sink_string(&words, "Mitre both ends; the length is that of the longer edge.");
        say_words(v, &words);
    }
}

/* ---- punched sizes ---- */

/* "63 mm x 38 mm", or that none was found; the caller's (sink_drop). */
static struct sink punched_size(const struct view *v, size_t length)
{
    struct sink words = {0};
    const struct nmk_rat *across = nmk_settled_punched(v->settled, length, NMK_ACROSS);
    const struct nmk_rat *down = nmk_settled_punched(v->settled, length, NMK_DOWN);
    if (!across || !down) {
        sink_string(&words, "no size of the punches can be chosen");
        return words;
    }
    char *first = edition_size(v->settled, across), *second = edition_size(v->settled, down);
    sink_format(&words, "%s x %s", first, second);
    store_free(first);
    store_free(second);
    return words;
}

static void show_punched(const struct view *v)
{
    struct sink size = punched_size(v, piece_of(v)->length);
    sink_spaces(v->out, INDENT);
    add_tinted(v->out, size.data);
    sink_string(v->out, "  punched\n");
    sink_drop(&size);
}

static void show_opening(const struct view *v, const struct nmk_opening *opening)
{
    struct sink size = punched_size(v, opening->length), words = {0};
    sink_string(v->out, "\n");
    sink_format(&words, "Opening %s, in the middle", opening->name);
    sink_words(v->out, 0, words.data);
    sink_drop(&words);
    sink_spaces(v->out, INDENT);
    add_tinted(v->out, size.data);
    sink_string(v->out, "  punched\n");
    sink_drop(&size);
    sink_string(&words, "Punch it through ");
    for (size_t i = 0; i < opening->through_count; i++)
        sink_format(&words, "%s%s", i ? ", " : "", nmk_design_piece(design_of(v), opening->through[i])->label);
    sink_string(&words, ", in the middle of ");
    on_text_add(&words, design_of(v), &opening->on);
    sink_string(&words, ".");
    say_words(v, &words);
}

/* ---- the whole ---- */

static void show_title(const struct view *v)
{
    const struct nmk_piece *piece = piece_of(v);
    struct sink title = {0}, plain = {0};
    sink_plain(&plain, piece->label);
    sink_string(v->out, "\n");
    add_tinted(v->out, plain.data);
    sink_format(&title, ": %s %u from %s", piece->kind == NMK_PIECE_PUNCHED ? "punch" : "cut", (unsigned)piece->copies,
                nmk_design_stock(design_of(v), piece->stock)->label);
    sink_plain(v->out, title.data);
    sink_string(v->out, "\n");
    sink_drop(&title);
    sink_drop(&plain);
}

static void show_piece(struct view *v)
{
    show_title(v);
    if (piece_of(v)->kind == NMK_PIECE_PUNCHED) {
        show_punched(v);
        return;
    }
    show_direction(v, NMK_ACROSS);
    show_direction(v, NMK_DOWN);
    say_glue(v, NMK_ACROSS);
    say_glue(v, NMK_DOWN);
    say_snips(v);
    say_grain(v);
    say_layer(v);
}

void cut_list_show(struct sink *out, const struct nmk_settled *settled, enum nmk_column column)
{
    struct view v = {.out = out, .settled = settled, .column = column};
    for (v.piece = 0; v.piece < nmk_design_piece_count(design_of(&v)); v.piece++)
        show_piece(&v);
    for (size_t i = 0; i < nmk_design_opening_count(design_of(&v)); i++)
        show_opening(&v, nmk_design_opening(design_of(&v), i));
}

void cut_list_caution(struct sink *out)
{
    sink_words(out, 0, "A trimmer's blade cuts: mind your fingers, and follow the maker's instructions and your local rules.");
}
