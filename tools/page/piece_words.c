#include "page/piece_words.h"

#include <string.h>

#include "ground/figure.h"
#include "ground/hint.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/row_words.h"

static const struct nmk_piece *piece_of(const struct published *p, size_t i)
{
    return nmk_design_piece(nmk_draft_design(nmk_settled_draft(p->settled)), i);
}

const char *piece_edge(enum nmk_way way, bool last)
{
    static const char *const edges[2][2] = {{"left", "right"}, {"upper", "lower"}};
    return edges[way][last];
}

/* ---- sheets ---- */

size_t piece_sheets(const struct nmk_sheet **out, const struct nmk_draft *draft, const struct nmk_piece *piece)
{
    return nmk_stock_sheets(out, nmk_draft_edition(draft), nmk_design_stock(nmk_draft_design(draft), piece->stock));
}

void piece_sheet_name(struct sink *out, const struct nmk_sheet *sheet)
{
    if (sheet->name) {
        sink_string(out, sheet->name);
        return;
    }
    char *width = figure_length(&sheet->width, sheet->unit), *height = figure_length(&sheet->height, sheet->unit);
    sink_format(out, "%s x %s", width, height);
    store_free(width);
    store_free(height);
}

/* " (A4 or Letter)" */
static void add_sheet_names(struct sink *out, const struct published *p, const struct shape *shape)
{
    const struct nmk_sheet *sheets;
    size_t count = piece_sheets(&sheets, nmk_settled_draft(p->settled), piece_of(p, shape->piece));
    for (size_t i = 0; i < count; i++) {
        sink_string(out, i ? " or " : " (");
        piece_sheet_name(out, &sheets[i]);
    }
    sink_string(out, ")");
}

static char *task_of(const struct published *p, const struct shape *shape)
{
    struct sink words = {0};
    sink_string(&words, shape->task);
    add_sheet_names(&words, p, shape);
    return words.data;
}

/* ---- how many sheets ---- */

static void add_sheets(struct sink *out, const struct published *p, const struct nmk_plan_sheet *sheet, int64_t count)
{
    const struct nmk_stock *stock = nmk_design_stock(nmk_draft_design(nmk_settled_draft(p->settled)), sheet->stock);
    sink_format(out, "%s%lld \xC3\x97 %s, ", out->size ? "; " : "", (long long)count, stock->label);
    piece_sheet_name(out, sheet->sheet);
}

static bool is_alike(const struct nmk_plan_sheet *a, const struct nmk_plan_sheet *b)
{
    return a->stock == b->stock && a->sheet == b->sheet;
}

bool published_sheets(struct sink *out, const struct published *p)
{
    size_t count = p->plan && !nmk_plan_unfit_count(p->plan) ? nmk_plan_sheet_count(p->plan) : 0;
    for (size_t i = 0; i < count; i++) {
        const struct nmk_plan_sheet *sheet = nmk_plan_sheet(p->plan, i);
        int64_t copies = 0;
        bool told = false;
        for (size_t k = 0; k < count; k++) {
            const struct nmk_plan_sheet *other = nmk_plan_sheet(p->plan, k);
            told = told || (k < i && is_alike(other, sheet));
            copies += is_alike(other, sheet) ? other->copies : 0;
        }
        if (!told)
            add_sheets(out, p, sheet, copies);
    }
    return count > 0;
}

/* ---- rows ---- */

static const char *what_of(enum nmk_way way, bool cut, bool knife, bool last)
{
    static const char *const lines[2][2][2] = {{{"score from the left edge", "score from the right edge"},
                                                {"score from the upper edge", "score from the lower edge"}},
                                               {{"cut from the left edge", "cut from the right edge"},
                                                {"cut from the upper edge", "cut from the lower edge"}}};
    return cut ? "cut" : lines[knife][way][last];
}

static int64_t marks_of(const struct published *p, const struct shape *shape, enum nmk_way way, size_t line)
{
    const struct shape_list *list = &shape->lists[way];
    int64_t at = nmk_settled_line(p->settled, NMK_SETTLED, shape->piece, way, line);
    return list->from_last[line] ? nmk_settled_line(p->settled, NMK_SETTLED, shape->piece, way, list->line_count - 1) - at : at;
}

static char *size_of_marks(const struct nmk_settled *settled, int64_t marks)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(nmk_settled_draft(settled)));
    char *size = size_with_unit(settled, &mm);
    nmk_rat_clear(&mm);
    return size;
}

static void write_marks(struct sink *out, const void *with, int64_t marks)
{
    char *size = size_of_marks(with, marks);
    sink_string(out, size);
    store_free(size);
}

/* Where a line within the piece is cut, if that is not all along it. */
static char *parts_of(const struct published *p, size_t piece, enum nmk_way way, size_t line)
{
    struct sink words = {0};
    row_add_cut_runs(&words, p->settled, NMK_SETTLED, piece, way, line, !row_line_is_cut(piece_of(p, piece), way, line),
                     write_marks, p->settled);
    return words.data;
}

const char *piece_row_parts(const struct cut_row *row)
{
    return !row->parts ? "" : row->knife ? "only " : "cut through ";
}

static void add_row(struct piece_words *words, const struct published *p, const struct shape *shape, enum nmk_way way,
                    size_t line)
{
    const struct nmk_draft *draft = nmk_settled_draft(p->settled);
    const struct shape_list *list = &shape->lists[way];
    bool cut = line + 1 == list->line_count, last = list->from_last[line],
         knife = row_line_is_cut(piece_of(p, shape->piece), way, line);
    int64_t marks = marks_of(p, shape, way, line);
    if (knife && (list->lines[line] <= 0 || list->lines[line] >= shape_whole(list)))
        return; /* as designed nothing may be left to be cut away */
    words->rows[words->row_count++] = (struct cut_row){
        .way = way, .cut = cut, .knife = knife, .last = last, .beside = list->beside ? list->beside[line] : NULL,
        .figure = list->figures[line], .marks = marks, .what = what_of(way, cut, knife, last),
        .hint = hint_mark(marks, nmk_draft_step(draft), nmk_draft_step_unit(draft), edition_unit(p->settled)),
        .parts = cut ? NULL : parts_of(p, shape->piece, way, line)};
}

/* The cut first, then the scores. */
static void add_rows(struct piece_words *words, const struct published *p, const struct shape *shape)
{
    size_t count = shape->lists[NMK_ACROSS].line_count + shape->lists[NMK_DOWN].line_count;
    words->rows = store_new(count, sizeof *words->rows);
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        add_row(words, p, shape, way, shape->lists[way].line_count - 1);
        for (size_t line = 1; line + 1 < shape->lists[way].line_count; line++)
            add_row(words, p, shape, way, line);
    }
}

bool piece_row_turns(const struct piece_words *words, size_t row)
{
    const char *beside = words->rows[row].beside, *before = row ? words->rows[row - 1].beside : NULL;
    return beside && !(before && !strcmp(before, beside));
}

static char *size_of(const struct published *p, const struct shape *shape)
{
    struct sink size = {0};
    const char *across = shape->lists[NMK_ACROSS].figures[shape->lists[NMK_ACROSS].line_count - 1];
    const char *down = shape->lists[NMK_DOWN].figures[shape->lists[NMK_DOWN].line_count - 1];
    if (shape->punched) /* these have their unit */
        sink_format(&size, "%s \xC3\x97 %s", across, down);
    else
        sink_format(&size, "%s \xC3\x97 %s %s", across, down, published_unit(p));
    return size.data;
}

/* ---- remarks ---- */

static void add_remark(struct piece_words *words, const char *text, const struct nmk_say *say, bool lasting)
{
    words->remarks = store_resize(words->remarks, (words->remark_count + 1) * sizeof *words->remarks);
    words->remarks[words->remark_count++] = (struct piece_remark){store_copy(text, strlen(text)), say, lasting};
}

static void add_says(struct piece_words *words, const struct nmk_piece *piece, enum nmk_say_place place)
{
    for (size_t i = 0; i < piece->say_count; i++)
        if (piece->says[i].place == place)
            add_remark(words, piece->says[i].text, &piece->says[i], true);
}

static void say_glue(struct sink *out, const struct published *p, size_t piece, enum nmk_way way, size_t i)
{
    const struct nmk_list *list = &piece_of(p, piece)->lists[way];
    const struct nmk_stretch *stretch = &list->stretches[i];
    const struct nmk_row *row = &list->rows[stretch->row];
    char *size = size_of_marks(p->settled, nmk_settled_line(p->settled, NMK_SETTLED, piece, way, stretch->lines[1]) -
                                               nmk_settled_line(p->settled, NMK_SETTLED, piece, way, stretch->lines[0]));
    sink_format(out, "Glue: the %s at the %s edge", size, piece_edge(way, i > row->first + row->rests[0]));
    if (list->row_count > 1) {
        sink_string(out, ", beside ");
        row_add_panels(out, piece_of(p, piece), row, false);
    }
    store_free(size);
}

static void add_glue(struct piece_words *words, const struct published *p, size_t piece, enum nmk_way way)
{
    const struct nmk_list *list = &piece_of(p, piece)->lists[way];
    for (size_t i = 0; i < list->count; i++) {
        if (!list->stretches[i].glue)
            continue;
        struct sink note = {0};
        say_glue(&note, p, piece, way, i);
        add_remark(words, note.data, NULL, false);
        sink_drop(&note);
    }
}

/* The notes of a shape that hold for every size stand first: what it lies on, its snips, its mitres, its knife cuts. What is
 * said comes before the note on the same work. */
static size_t add_lasting(struct piece_words *words, const struct shape *shape, const struct nmk_piece *piece)
{
    size_t done = 0;
    if (piece->kind == NMK_PIECE_MAT)
        add_remark(words, shape->notes[done++], NULL, true);
    add_says(words, piece, NMK_SAY_SNIP);
    if (piece->snipped)
        add_remark(words, shape->notes[done++], NULL, true);
    add_says(words, piece, NMK_SAY_MITRE);
    if (piece->mitred)
        add_remark(words, shape->notes[done++], NULL, true);
    if (shape->has_knife)
        add_remark(words, shape->notes[done++], NULL, true);
    return done;
}

static const char *grain_note(const struct published *p, const struct shape *shape)
{
    static const char *const notes[2][2] = {
        {"The grain runs across", "The grain runs down"},
        {"The grain should run across, but so it fits no sheet: cut across the grain, its folds may crack",
         "The grain should run down, but so it fits no sheet: cut across the grain, its folds may crack"},
    };
    return notes[p->plan && nmk_plan_piece(p->plan, shape->piece)->against_grain][shape->grain == NMK_DOWN];
}

/* The calculator has words of its own for it, at the viewer's size. */
static void add_unfit(struct piece_words *words, const struct published *p, const struct shape *shape)
{
    for (size_t i = 0; p->plan && i < nmk_plan_unfit_count(p->plan); i++) {
        if (nmk_plan_unfit(p->plan, i) != shape->piece)
            continue;
        struct sink note = {0};
        sink_string(&note, "This piece is larger than its sheet");
        add_sheet_names(&note, p, shape);
        sink_string(&note, ": take a larger one, or join two parts");
        add_remark(words, note.data, NULL, false);
        sink_drop(&note);
    }
}

static void add_remarks(struct piece_words *words, const struct published *p, const struct shape *shape)
{
    const struct nmk_piece *piece = piece_of(p, shape->piece);
    add_says(words, piece, NMK_SAY_CUT);
    add_says(words, piece, NMK_SAY_SCORE);
    words->above_count = words->remark_count;
    add_unfit(words, p, shape);
    add_says(words, piece, NMK_SAY_SCORED);
    for (size_t i = add_lasting(words, shape, piece); i < shape->note_count; i++)
        add_remark(words, shape->notes[i], NULL, false);
    if (shape->has_grain)
        add_remark(words, grain_note(p, shape), NULL, false);
    add_says(words, piece, NMK_SAY_GLUE);
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN && !shape->punched; way++)
        add_glue(words, p, shape->piece, way);
}

/* ---- the whole ---- */

void piece_words_init(struct piece_words *words, const struct published *p, size_t piece)
{
    const struct shape *shape = &p->gallery.shapes[piece];
    *words = (struct piece_words){.punched = shape->punched, .task = task_of(p, shape), .size = size_of(p, shape)};
    if (!shape->punched)
        add_rows(words, p, shape);
    add_remarks(words, p, shape);
}

void piece_words_clear(struct piece_words *words)
{
    for (size_t i = 0; i < words->row_count; i++) {
        store_free(words->rows[i].hint);
        store_free(words->rows[i].parts);
    }
    for (size_t i = 0; i < words->remark_count; i++)
        store_free(words->remarks[i].text);
    store_free(words->rows);
    store_free(words->remarks);
    store_free(words->task);
    store_free(words->size);
    *words = (struct piece_words){0};
}
