#include "report/plan/plan_text.h"

#include <string.h>

#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "report/plan/cue.h"
#include "report/plan/cue_name.h"
#include "report/plan/plan_map.h"

enum { INDENT = 5, MARK_COLUMN = 16 };

static const struct nmk_design *design_of(const struct nmk_plan *plan)
{
    return nmk_draft_design(nmk_settled_draft(nmk_plan_settled(plan)));
}

static void show_words(struct sink *out, int indent, struct sink *words)
{
    sink_words(out, indent, words->data ? words->data : "");
    sink_drop(words);
    *words = (struct sink){0};
}

static void show_title(struct sink *out, const char *title)
{
    sink_string(out, "\n");
    sink_tint(out, TINT_STRONG, title);
    sink_string(out, "\n");
}

/* "Letter, 8 1/2 in x 11 in"; the caller's. */
static char *sheet_name(const struct nmk_sheet *sheet)
{
    const struct nmk_rat *sides[2] = {&sheet->width, &sheet->height};
    struct sink s = {0};
    if (sheet->name)
        sink_format(&s, "%s, ", sheet->name);
    for (int w = 0; w < 2; w++) {
        char *side = figure_length(sides[w], sheet->unit); /* as it is bought */
        sink_format(&s, "%s%s", w ? " x " : "", side);
        store_free(side);
    }
    char *name = store_copy(s.data, s.size);
    sink_drop(&s);
    return name;
}

/* ---- what fits no sheet ---- */

static void show_sheets_of(struct sink *words, const struct nmk_plan *plan, size_t stock)
{
    const struct nmk_sheet *sheets;
    size_t count = nmk_stock_sheets(&sheets, nmk_draft_edition(nmk_settled_draft(nmk_plan_settled(plan))),
                                    nmk_design_stock(design_of(plan), stock));
    for (size_t i = 0; i < count; i++) {
        char *name = sheet_name(&sheets[i]);
        sink_format(words, "%s%s", i ? " or " : "", name);
        store_free(name);
    }
}

void plan_text_unfit(struct sink *out, const struct nmk_plan *plan)
{
    for (size_t i = 0; i < nmk_plan_unfit_count(plan); i++) {
        size_t at = nmk_plan_unfit(plan, i);
        const struct nmk_piece *piece = nmk_design_piece(design_of(plan), at);
        struct sink words = {0};
        char *size = cue_size(plan, nmk_plan_piece(plan, at)->size);
        sink_format(&words, "%s, %s, is larger than every sheet of %s (", piece->label, size,
                    nmk_design_stock(design_of(plan), piece->stock)->label);
        show_sheets_of(&words, plan, piece->stock);
        sink_format(&words, ") in the edition %s.", nmk_draft_edition(nmk_settled_draft(nmk_plan_settled(plan)))->name);
        show_words(out, 0, &words);
        store_free(size);
    }
    if (nmk_plan_unfit_count(plan))
        sink_words(out, 0, "So nothing is planned: give the stock a larger sheet, or join the piece from two.");
}

/* ---- what to buy ---- */

static int64_t sheets_like(const struct nmk_plan *plan, const struct nmk_plan_sheet *like, size_t from)
{
    int64_t count = 0;
    for (size_t i = from; i < nmk_plan_sheet_count(plan); i++) {
        const struct nmk_plan_sheet *sheet = nmk_plan_sheet(plan, i);
        if (sheet->stock == like->stock && sheet->sheet == like->sheet)
            count += sheet->copies;
    }
    return count;
}

static bool is_first_of_kind(const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_sheet *sheet = nmk_plan_sheet(plan, i);
    for (size_t k = 0; k < i; k++)
        if (nmk_plan_sheet(plan, k)->stock == sheet->stock && nmk_plan_sheet(plan, k)->sheet == sheet->sheet)
            return false;
    return true;
}

static void show_stock(struct sink *out, const struct nmk_plan *plan, const struct nmk_plan_stock *stock)
{
    struct sink words = {0};
    bool any = false;
    const struct nmk_stock *s = nmk_design_stock(design_of(plan), stock->stock);
    sink_format(&words, "%s: ", s->label);
    for (size_t i = 0; i < nmk_plan_sheet_count(plan); i++) {
        const struct nmk_plan_sheet *sheet = nmk_plan_sheet(plan, i);
        if (sheet->stock != stock->stock || !is_first_of_kind(plan, i))
            continue;
        int64_t count = sheets_like(plan, sheet, i);
        char *name = sheet_name(sheet->sheet);
        sink_format(&words, "%s%lld sheet%s of %s", any ? " and " : "", (long long)count, count == 1 ? "" : "s", name);
        store_free(name);
        any = true;
    }
    if (s->weight)
        sink_format(&words, ", %s", s->weight);
    if (stock->bound == stock->sheets)
        sink_string(&words, stock->sheets == 1 ? "." : "; fewer cannot do.");
    else
        sink_format(&words, "; at least %lld are needed, and whether fewer than %lld can do is not proved.",
                    (long long)stock->bound, (long long)stock->sheets);
    show_words(out, 2, &words);
    if (stock->has_offcut) {
        char *size = cue_size(plan, stock->offcut);
        sink_format(&words, "The largest offcut is %s.", size);
        show_words(out, 4, &words);
        store_free(size);
    }
}

static void show_buying(struct sink *out, const struct nmk_plan *plan)
{
    struct sink title = {0};
    sink_string(&title, "To buy");
    if (nmk_plan_makers(plan) > 1)
        sink_format(&title, ", for %lld makers", (long long)nmk_plan_makers(plan));
    show_title(out, title.data);
    sink_drop(&title);
    for (size_t i = 0; i < nmk_plan_stock_count(plan); i++)
        show_stock(out, plan, nmk_plan_stock(plan, i));
}

/* Pieces that fit their sheets only across the grain. */
static void show_grain(struct sink *out, const struct nmk_plan *plan)
{
    for (size_t i = 0; i < nmk_design_piece_count(design_of(plan)); i++) {
        const struct nmk_piece *piece = nmk_design_piece(design_of(plan), i);
        struct sink words = {0};
        if (!nmk_plan_piece(plan, i)->against_grain)
            continue;
        sink_format(&words,
                    "%s fits its sheet only across the grain, and is cut so here: its folds may crack. A larger sheet would "
                    "let the grain run %s.",
                    piece->label, piece->grain == NMK_ACROSS ? "across" : "down");
        sink_string(out, "\n");
        show_words(out, 0, &words);
    }
}

/* ---- maps ---- */

static void show_sheet(struct sink *out, const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_sheet *sheet = nmk_plan_sheet(plan, i);
    const struct nmk_stock *stock = nmk_design_stock(design_of(plan), sheet->stock);
    struct sink words = {0};
    char *name = sheet_name(sheet->sheet);
    if (sheet->copies == 1)
        sink_format(&words, "Sheet %zu: ", sheet->number);
    else
        sink_format(&words, "Sheets %zu %s %zu, alike: ", sheet->number, sheet->copies == 2 ? "and" : "to",
                    sheet->number + (size_t)sheet->copies - 1);
    sink_format(&words, "%s, %s", stock->label, name);
    if (stock->grain != NMK_GRAIN_NONE)
        sink_format(&words, "; the grain runs %s", stock->grain == NMK_GRAIN_LONG ? "up and down" : "from side to side");
    sink_string(out, "\n");
    show_words(out, 0, &words);
    plan_map_show(out, plan, i);
    store_free(name);
}

/* ---- steps ---- */

static const char *const part_titles[] = {
    [CUE_CUT] = "Cuts", [CUE_PUNCH] = "Punches and mitres", [CUE_SCORE] = "Scores", [CUE_MAKE] = "Making up"};

static void show_setting(struct sink *out, const struct cue *cue)
{
    int used = INDENT + letters_width(cue->figure);
    sink_tint(out, TINT_STRONG, cue->figure);
    if (cue->other) {
        sink_format(out, "  (%s)", cue->other);
        used += letters_width(cue->other) + 4;
    }
    if (cue->hint) {
        sink_spaces(out, used < INDENT + MARK_COLUMN ? INDENT + MARK_COLUMN - used : 2);
        sink_tint(out, TINT_FAINT, cue->hint);
    }
    sink_string(out, "\n");
}

static void show_number(struct sink *out, size_t number)
{
    sink_format(out, "%3zu. ", number);
}

static void show_spoken(struct sink *out, const struct cue *cue)
{
    struct sink words = {0};
    sink_format(&words, "\"%s\"", cue->say);
    show_words(out, INDENT + 4, &words);
}

/* The step's number and setting, then what is done, a line each; the sentence below. */
static void show_cue(struct sink *out, const struct cue *cue, const struct cue *before, bool spoken)
{
    struct sink words = {0};
    bool same_thing = !cue->opens && before && !strcmp(cue->what, before->what);
    if (cue->opens && cue->figure) {
        show_number(out, cue->number);
        show_setting(out, cue);
    } else if (cue->opens) {
        show_number(out, cue->number);
    }
    if (cue->figure)
        sink_format(&words, "%s: %s", cue->what, cue->how);
    else
        sink_format(&words, cue->own && spoken ? "%s. \"%s\"" : "%s. %s", cue->what, cue->how);
    if (cue->figure && same_thing && cue->part == CUE_SCORE) {
        sink_drop(&words);
        words = (struct sink){0};
        sink_format(&words, "%s", cue->how);
    }
    if (cue->opens && !cue->figure) {
        struct sink filled = {0};
        sink_words(&filled, INDENT, words.data);
        sink_string(out, filled.data + INDENT);
        sink_drop(&filled);
        sink_drop(&words);
    } else {
        show_words(out, INDENT, &words);
    }
    if (cue->gives) {
        sink_format(&words, "gives %s", cue->gives);
        show_words(out, INDENT + 2, &words);
    }
    if (spoken && cue->say && !cue->own)
        show_spoken(out, cue);
}

static void add_moves(struct sink *words, size_t moves, size_t bound)
{
    if (!moves)
        sink_string(words, "Nothing is cut: each piece is a whole sheet.");
    else if (moves == 1)
        sink_string(words, "1 setting.");
    else if (moves == bound)
        sink_format(words, "%zu settings, the fewest for sheets cut so.", moves);
    else
        sink_format(words, "%zu settings; sheets cut so need at least %zu, and whether fewer than %zu can do is not proved.",
                    moves, bound, moves);
}

static void show_part_note(struct sink *out, const struct nmk_plan *plan, enum cue_part part)
{
    struct sink words = {0};
    if (part == CUE_CUT) {
        add_moves(&words, nmk_plan_moves(plan), nmk_plan_moves_bound(plan));
        if (nmk_plan_moves(plan))
            sink_string(
                &words,
                " The edges are named as the sheet lies on its map; what lies between the mark and the blade comes off. "
                "Cut one or two sheets at a time.");
        show_words(out, 0, &words);
    } else if (part == CUE_SCORE) {
        sink_words(out, 0, "Each piece lies as its across and down say.");
    }
}

static void show_part(struct sink *out, const struct nmk_plan *plan, enum cue_part part)
{
    show_title(out, part_titles[part]);
    show_part_note(out, plan, part);
}

static void show_steps(struct sink *out, const struct nmk_plan *plan, bool both, bool spoken)
{
    struct cue_list list;
    cue_list_make(&list, plan, both);
    if (!list.count || list.all[0].part != CUE_CUT)
        show_part(out, plan, CUE_CUT);
    for (size_t i = 0; i < list.count; i++) {
        const struct cue *before = i ? &list.all[i - 1] : NULL;
        if (!before || before->part != list.all[i].part)
            show_part(out, plan, list.all[i].part);
        show_cue(out, &list.all[i], before, spoken);
    }
    cue_list_clear(&list);
}

void plan_text_show(struct sink *out, const struct nmk_plan *plan)
{
    show_buying(out, plan);
    show_grain(out, plan);
    for (size_t i = 0; i < nmk_plan_sheet_count(plan); i++)
        show_sheet(out, plan, i);
    show_steps(out, plan, false, false);
}

void plan_text_cue(struct sink *out, const struct nmk_plan *plan, bool both)
{
    show_buying(out, plan);
    show_grain(out, plan);
    show_steps(out, plan, both, true);
}
