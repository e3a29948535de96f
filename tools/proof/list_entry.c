#include "proof/list_entry.h"

#include "ground/figure.h"
#include "ground/store.h"
#include "nearmark/runs.h"
#include "report/edition_text.h"
#include "report/row_words.h"

static const struct nmk_draft *draft_of(const struct entry_list *list)
{
    return nmk_settled_draft(list->settled);
}

const char *entry_edition(const struct entry_list *list)
{
    return nmk_draft_edition(draft_of(list))->name;
}

/* ---- making it ---- */

static struct entry *add(struct entry_list *list, enum entry_kind kind, size_t subject, enum nmk_way way, bool last)
{
    if ((list->count & (list->count - 1)) == 0)
        list->entries = store_resize(list->entries, (list->count ? list->count * 2 : 1) * sizeof *list->entries);
    struct entry *e = &list->entries[list->count++];
    *e = (struct entry){.kind = kind, .subject = subject, .way = way, .last = last, .row = NMK_NONE};
    return e;
}

static void set_marks(struct nmk_rat *out, const struct entry_list *list, int64_t marks)
{
    nmk_rat_set_int(out, marks);
    nmk_rat_mul(out, out, &list->step);
}

/* The line of a list in marks from its own edge, or from the other one. */
static int64_t place(const struct entry_list *list, enum nmk_column column, size_t piece, enum nmk_way way, size_t line,
                     bool last)
{
    size_t lines = nmk_draft_line_count(draft_of(list), piece, way);
    int64_t at = nmk_settled_line(list->settled, column, piece, way, line);
    return last ? nmk_settled_line(list->settled, column, piece, way, lines - 1) - at : at;
}

static enum nmk_column column_of(const struct entry_list *list)
{
    return nmk_settled_holds_together(list->settled) ? NMK_SETTLED : NMK_ROUNDED;
}

/* The row, where there are several. */
static size_t row_among(const struct nmk_list *list, size_t row)
{
    return list->row_count > 1 ? row : NMK_NONE;
}

static void add_line(struct entry_list *list, size_t piece, enum nmk_way way, size_t line, bool cut)
{
    const struct nmk_piece *of = nmk_design_piece(list->design, piece);
    bool last = !cut && nmk_draft_from_last(draft_of(list), piece, way, line), knife = row_line_is_cut(of, way, line);
    int64_t at = place(list, column_of(list), piece, way, line, last);
    if (knife && (!at || !place(list, column_of(list), piece, way, line, !last)))
        return; /* nothing is left to be cut away */
    struct entry *e = add(list, cut ? ENTRY_CUT : knife ? ENTRY_KNIFE : ENTRY_SCORE, piece, way, last);
    if (!cut && of->kind == NMK_PIECE_PANELS)
        e->row = row_among(&of->lists[way], of->lists[way].lines[line].row);
    set_marks(&e->mm, list, place(list, column_of(list), piece, way, line, last));
    set_marks(&e->rounded, list, place(list, NMK_ROUNDED, piece, way, line, last));
    if (!cut)
        set_marks(&e->other, list, place(list, column_of(list), piece, way, line, !last));
    e->wanted = true;
}

/* The places within the piece where a line begins, ends or changes between cut and score, each once. */
static void add_ends(struct entry_list *list, size_t piece, enum nmk_way along, const struct nmk_run *runs, size_t count)
{
    int64_t whole = place(list, column_of(list), piece, along, nmk_draft_line_count(draft_of(list), piece, along) - 1, false),
            told = 0;
    for (size_t i = 0; i < count; i++)
        for (int end = 0; end < 2; end++) {
            int64_t at = end ? runs[i].to : runs[i].from;
            if (at <= told || at >= whole)
                continue;
            set_marks(&add(list, ENTRY_END, piece, along, false)->mm, list, at);
            told = at;
        }
}

/* What is cut of a score: a list may tell it as a cut. */
static void add_parts(struct entry_list *list, size_t piece, enum nmk_way way, size_t line)
{
    size_t count = nmk_settled_runs(NULL, 0, list->settled, column_of(list), piece, way, line);
    struct nmk_run *runs = store_new(count, sizeof *runs);
    nmk_settled_runs(runs, count, list->settled, column_of(list), piece, way, line);
    bool cut = false;
    for (size_t i = 0; i < count; i++)
        cut = cut || runs[i].is_cut;
    if (cut && !row_line_is_cut(nmk_design_piece(list->design, piece), way, line)) {
        add_line(list, piece, way, line, false);
        list->entries[list->count - 1].kind = ENTRY_KNIFE;
        list->entries[list->count - 1].wanted = false;
    }
    add_ends(list, piece, way == NMK_ACROSS ? NMK_DOWN : NMK_ACROSS, runs, count);
    store_free(runs);
}

static int64_t gap(const struct entry_list *list, size_t piece, enum nmk_way way, const struct nmk_stretch *stretch)
{
    return place(list, column_of(list), piece, way, stretch->lines[1], false) -
           place(list, column_of(list), piece, way, stretch->lines[0], false);
}

static void add_stretch(struct entry_list *list, size_t piece, enum nmk_way way, enum entry_kind kind, size_t i)
{
    const struct nmk_list *of = &nmk_design_piece(list->design, piece)->lists[way];
    const struct nmk_stretch *stretch = &of->stretches[i];
    const struct nmk_row *row = &of->rows[stretch->row];
    size_t first = row->first + (kind == ENTRY_REST ? 0 : row->rests[0]);
    struct entry *e = add(list, kind, piece, way, i > first);
    e->part = stretch->panel;
    e->row = row_among(of, stretch->row);
    set_marks(&e->mm, list, gap(list, piece, way, stretch));
}

static void add_stretches(struct entry_list *list, size_t piece, enum nmk_way way)
{
    const struct nmk_piece *of = nmk_design_piece(list->design, piece);
    const struct nmk_list *stretches = &of->lists[way];
    for (size_t i = 0; of->kind == NMK_PIECE_PANELS && i < stretches->count; i++) {
        const struct nmk_stretch *stretch = &stretches->stretches[i];
        add_stretch(list, piece, way, stretch->panel == NMK_NONE ? ENTRY_REST : ENTRY_PANEL, i);
        if (stretch->glue)
            add_stretch(list, piece, way, ENTRY_GLUE, i);
    }
}

static void add_snips(struct entry_list *list, size_t piece)
{
    const struct nmk_piece *of = nmk_design_piece(list->design, piece);
    if (!of->snipped)
        return;
    set_marks(&add(list, ENTRY_SNIP, piece, of->snipped_way, false)->mm, list,
              gap(list, piece, of->snipped_way, of->lists[of->snipped_way].stretches));
    set_marks(&add(list, ENTRY_SNIP, piece, of->snipped_way, true)->mm, list,
              gap(list, piece, of->snipped_way, &of->lists[of->snipped_way].stretches[of->lists[of->snipped_way].count - 1]));
    if (of->tapered)
        nmk_rat_set(&add(list, ENTRY_TAPER, piece, of->snipped_way, false)->mm, nmk_draft_twin(draft_of(list), &of->taper));
}

static void add_punched(struct entry_list *list, size_t subject, size_t length)
{
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        const struct nmk_rat *mm = nmk_settled_punched(list->settled, length, way);
        if (!mm)
            continue;
        struct entry *e = add(list, ENTRY_PUNCH, subject, way, false);
        nmk_rat_set(&e->mm, mm);
        nmk_rat_set(&e->rounded, mm);
        e->wanted = true;
    }
}

static void add_sheets(struct entry_list *list, size_t piece)
{
    const struct nmk_sheet *sheets;
    const struct nmk_stock *stock = nmk_design_stock(list->design, nmk_design_piece(list->design, piece)->stock);
    size_t count = nmk_stock_sheets(&sheets, nmk_draft_edition(draft_of(list)), stock);
    for (size_t i = 0; i < count; i++) {
        nmk_rat_set(&add(list, ENTRY_SHEET, piece, NMK_ACROSS, false)->mm, &sheets[i].width);
        nmk_rat_set(&add(list, ENTRY_SHEET, piece, NMK_DOWN, false)->mm, &sheets[i].height);
    }
}

static void add_piece(struct entry_list *list, size_t piece)
{
    const struct nmk_piece *of = nmk_design_piece(list->design, piece);
    struct entry *copies = add(list, ENTRY_COPIES, piece, NMK_ACROSS, false);
    nmk_rat_set_int(&copies->mm, of->copies);
    copies->wanted = of->copies > 1;
    add_sheets(list, piece);
    if (of->kind == NMK_PIECE_PUNCHED) {
        add_punched(list, piece, of->length);
        return;
    }
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        size_t lines = nmk_draft_line_count(draft_of(list), piece, way);
        add_line(list, piece, way, lines - 1, true);
        for (size_t line = 1; line + 1 < lines; line++)
            add_line(list, piece, way, line, false);
        for (size_t line = 1; nmk_piece_has_rows(of) && line + 1 < lines; line++)
            add_parts(list, piece, way, line);
        add_stretches(list, piece, way);
    }
    add_snips(list, piece);
}

static void add_edition(struct entry_list *list)
{
    const struct nmk_draft *draft = draft_of(list);
    set_marks(&add(list, ENTRY_MARKS, NMK_NONE, NMK_ACROSS, false)->mm, list, 1);
    set_marks(&add(list, ENTRY_SCORE_MARKS, NMK_NONE, NMK_ACROSS, false)->mm, list, nmk_draft_score_marks(draft));
    nmk_rat_set(&add(list, ENTRY_TRUE, NMK_NONE, NMK_ACROSS, false)->mm, &nmk_draft_edition(draft)->cut);
    if (nmk_settled_holds_together(list->settled))
        nmk_rat_set(&add(list, ENTRY_OFF, NMK_NONE, NMK_ACROSS, false)->mm, nmk_settled_deviation(list->settled));
}

void entry_list_init(struct entry_list *out, const struct nmk_settled *settled)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    struct entry_list list = {.settled = settled, .design = nmk_draft_design(draft), .unit = draft_unit(draft)};
    size_t pieces = nmk_design_piece_count(list.design), openings = nmk_design_opening_count(list.design);
    nmk_rat_set(&list.step, nmk_draft_step(draft));
    for (size_t i = 0; i < pieces; i++)
        add_piece(&list, i);
    for (size_t i = 0; i < openings; i++)
        add_punched(&list, pieces + i, nmk_design_opening(list.design, i)->length);
    for (size_t i = 0; i < nmk_design_measure_count(list.design); i++)
        nmk_rat_set(&add(&list, ENTRY_MEASURE, pieces + openings + i, NMK_ACROSS, false)->mm,
                    &nmk_design_measure(list.design, i)->size);
    add_edition(&list);
    *out = list;
}

void entry_list_clear(struct entry_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        nmk_rat_clear(&list->entries[i].mm);
        nmk_rat_clear(&list->entries[i].other);
        nmk_rat_clear(&list->entries[i].rounded);
    }
    store_free(list->entries);
    nmk_rat_clear(&list->step);
    *list = (struct entry_list){0};
}

/* ---- in words ---- */

const char *entry_subject(const struct nmk_design *design, size_t subject)
{
    size_t pieces = nmk_design_piece_count(design), openings = nmk_design_opening_count(design);
    if (subject == NMK_NONE)
        return "";
    if (subject < pieces)
        return nmk_design_piece(design, subject)->label;
    if (subject < pieces + openings)
        return nmk_design_opening(design, subject - pieces)->name;
    return nmk_design_measure(design, subject - pieces - openings)->label;
}

static const char *edge_name(enum nmk_way way, bool last)
{
    static const char *const names[2][2] = {{"left edge", "right edge"}, {"upper edge", "lower edge"}};
    return names[way][last];
}

const char *entry_kind_name(enum entry_kind kind)
{
    static const char *const names[] = {
        [ENTRY_CUT] = "cut",         [ENTRY_SCORE] = "score", [ENTRY_KNIFE] = "knife",
        [ENTRY_REST] = "rest",       [ENTRY_END] = "end",     [ENTRY_PUNCH] = "punch",
        [ENTRY_COPIES] = "copies",   [ENTRY_GLUE] = "glue",   [ENTRY_SNIP] = "snip",
        [ENTRY_TAPER] = "taper",     [ENTRY_PANEL] = "panel", [ENTRY_SHEET] = "sheet",
        [ENTRY_MEASURE] = "measure", [ENTRY_MARKS] = "marks", [ENTRY_SCORE_MARKS] = "score marks",
        [ENTRY_TRUE] = "true",       [ENTRY_OFF] = "off",     [ENTRY_HINT] = "hint",
        [ENTRY_ANY] = "any"};
    return names[kind];
}

bool entry_is_line(enum entry_kind kind)
{
    return kind == ENTRY_SCORE || kind == ENTRY_KNIFE;
}

/* " beside flap and back" */
static void add_row(struct sink *out, const struct nmk_design *design, const struct entry *e)
{
    if (e->row == NMK_NONE || e->kind == ENTRY_PANEL)
        return;
    const struct nmk_piece *piece = nmk_design_piece(design, e->subject);
    sink_string(out, " beside ");
    row_add_panels(out, piece, &piece->lists[e->way].rows[e->row], false);
}

static void add_what(struct sink *out, const struct nmk_design *design, const struct entry *e)
{
    const char *way = e->way == NMK_ACROSS ? "across" : "down";
    switch (e->kind) {
    case ENTRY_CUT: sink_format(out, "cut %s", way); break;
    case ENTRY_SCORE: sink_format(out, "score from the %s", edge_name(e->way, e->last)); break;
    case ENTRY_KNIFE: sink_format(out, "cut from the %s", edge_name(e->way, e->last)); break;
    case ENTRY_REST: sink_format(out, "cut away at the %s", edge_name(e->way, e->last)); break;
    case ENTRY_END: sink_format(out, "end of a line, from the %s", edge_name(e->way, false)); break;
    case ENTRY_PUNCH: sink_format(out, "punched %s", way); break;
    case ENTRY_COPIES: sink_string(out, "how many"); break;
    case ENTRY_GLUE: sink_format(out, "glue at the %s", edge_name(e->way, e->last)); break;
    case ENTRY_SNIP: sink_format(out, "snip at the %s", edge_name(e->way, e->last)); break;
    case ENTRY_TAPER: sink_string(out, "taper"); break;
    case ENTRY_PANEL: sink_format(out, "%s", nmk_design_piece(design, e->subject)->panels[e->part].name); break;
    case ENTRY_SHEET: sink_format(out, "sheet %s", way); break;
    case ENTRY_MARKS: sink_string(out, "a mark every"); break;
    case ENTRY_SCORE_MARKS: sink_string(out, "scores every"); break;
    case ENTRY_TRUE: sink_string(out, "cut true to ±"); break;
    case ENTRY_OFF: sink_string(out, "off the designed sizes"); break;
    default: sink_string(out, "as measured"); break;
    }
}

void entry_what(struct sink *out, const struct nmk_design *design, const struct entry *e)
{
    add_what(out, design, e);
    add_row(out, design, e);
}

char *entry_figure(const struct entry_list *list, const struct entry *e)
{
    if (e->kind == ENTRY_COPIES)
        return figure_near(&e->mm, 0);
    if (e->kind == ENTRY_TRUE || e->kind == ENTRY_OFF)
        return figure_length(&e->mm, NMK_MM);
    if (e->kind == ENTRY_MARKS)
        return figure_length(&e->mm, nmk_draft_step_unit(draft_of(list)));
    if (e->kind == ENTRY_MEASURE) {
        size_t before = nmk_design_piece_count(list->design) + nmk_design_opening_count(list->design);
        return figure_length(&e->mm, nmk_design_measure(list->design, e->subject - before)->unit);
    }
    return edition_size(list->settled, &e->mm);
}
