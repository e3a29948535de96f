#include "report/sizes/rule_card.h"

#include <string.h>

#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/on_text.h"
#include "report/row_words.h"
#include "report/sizes/rule_promise.h"

enum { MOST_NAME = 30, PLACES = 4 };

/* ---- rows ---- */

/* The text of one row beside its name; the name takes a line of its own if it is long. */
static void show_row(struct sink *out, const char *name, int column, const char *text)
{
    struct sink words = {0};
    int used = CARD_INDENT + letters_width(name);
    bool beside = used + 2 <= column;
    sink_spaces(out, CARD_INDENT);
    sink_plain(out, name);
    sink_words(&words, column, text);
    sink_string(out, beside ? "" : "\n");
    sink_spaces(out, beside ? column - used : column);
    sink_string(out, words.data + column);
    sink_drop(&words);
}

static void widen_column(int *column, const char *name)
{
    int width = letters_width(name);
    if (width <= MOST_NAME && CARD_INDENT + width + 2 > *column)
        *column = CARD_INDENT + width + 2;
}

static void show_heading(const struct rule_card *c, const char *text)
{
    sink_string(c->out, "\n");
    sink_tint(c->out, TINT_STRONG, text);
    sink_string(c->out, "\n");
}

/* ---- what is measured ---- */

static void add_own_size(struct sink *out, const struct rule_card *c, const struct nmk_measure *measure)
{
    char *size = draft_size(c->draft, &measure->size);
    sink_format(out, "%s as it is", size);
    store_free(size);
    if (nmk_rat_sign(&measure->off) > 0) {
        char *off = figure_near(&measure->off, PLACES);
        sink_format(out, ", ± %s mm", off);
        store_free(off);
    }
}

static void show_measure(const struct rule_card *c, size_t i, int column)
{
    const struct nmk_measure *measure = nmk_design_measure(c->design, i);
    const struct nmk_rule_measure *rule = nmk_rules_measure(c->rules, i);
    struct sink text = {0};
    if (strcmp(measure->label, measure->name) != 0) {
        sink_plain(&text, measure->label);
        sink_string(&text, ": ");
    }
    if (rule->read == NMK_READ_FIXED) {
        add_own_size(&text, c, measure);
    } else {
        card_add_way(&text, c, rule->read);
        sink_string(&text, ", ");
        card_add_readings(&text, c, rule);
    }
    show_row(c->out, measure->name, column, text.data);
    sink_drop(&text);
}

static void show_measures(const struct rule_card *c)
{
    int column = 0;
    size_t count = nmk_design_measure_count(c->design);
    for (size_t i = 0; i < count; i++)
        widen_column(&column, card_measure_name(c, i));
    if (!count)
        return;
    show_heading(c, card_read_count(c) ? "Measure your own" : "Measured");
    for (size_t i = 0; i < count; i++)
        show_measure(c, i, column);
}

/* ---- lengths ---- */

static void add_sign(struct sink *out, bool negative)
{
    if (out->size)
        sink_string(out, negative ? " - " : " + ");
    else if (negative)
        sink_string(out, "-");
}

static void add_term(struct sink *out, const struct rule_card *c, const struct nmk_rule_term *term)
{
    struct nmk_rat times = {0};
    nmk_rat_abs(&times, &term->times);
    add_sign(out, nmk_rat_sign(&term->times) < 0);
    if (nmk_rat_cmp_int(&times, 1) != 0) {
        char *figure = figure_rat(&times);
        sink_format(out, "%s x ", figure);
        store_free(figure);
    }
    sink_plain(out, card_measure_name(c, term->measure));
    nmk_rat_clear(&times);
}

static void add_plus(struct sink *out, const struct rule_card *c, int64_t plus)
{
    if (!plus && out->size)
        return;
    add_sign(out, plus < 0);
    char *figure = draft_mark(c->draft, plus < 0 ? -plus : plus);
    sink_string(out, figure);
    store_free(figure);
}

/* "short + 3/16 in", "4 in - 1/2 x short", "1/2 x short + 1/8 in, then to the nearest mark". */
static void add_formula(struct sink *out, const struct rule_card *c, const struct nmk_rule_length *rule)
{
    static const char *const rounds[] = {[NMK_ROUND_EXACT] = "", [NMK_ROUND_NEAREST] = ", then to the nearest mark",
                                         [NMK_ROUND_DOWN] = ", then down to a mark", [NMK_ROUND_UP] = ", then up to a mark"};
    struct sink sum = {0};
    bool first = rule->plus > 0 && rule->term_count && nmk_rat_sign(&rule->terms[0].times) < 0;
    if (first)
        add_plus(&sum, c, rule->plus);
    for (size_t i = 0; i < rule->term_count; i++)
        add_term(&sum, c, &rule->terms[i]);
    if (!first)
        add_plus(&sum, c, rule->plus);
    sink_format(out, "= %s%s", sum.data, rounds[rule->round]);
    sink_drop(&sum);
}

static void add_choice(struct sink *out, const struct rule_card *c, const struct nmk_length *length, size_t choice)
{
    const struct nmk_punches *punches = nmk_design_punches(c->design, length->punches);
    char *across = draft_size(c->draft, &punches->sizes[choice - 1][NMK_ACROSS]);
    char *down = draft_size(c->draft, &punches->sizes[choice - 1][NMK_DOWN]);
    sink_format(out, "punched, %s x %s", across, down);
    store_free(across);
    store_free(down);
}

static void show_length(const struct rule_card *c, size_t i, int column)
{
    const struct nmk_rule_length *rule = nmk_rules_length(c->rules, i);
    const struct nmk_length *length = nmk_design_length(c->design, i);
    struct sink text = {0};
    if (rule->choice)
        add_choice(&text, c, length, rule->choice);
    else if (rule->chart_only)
        sink_string(&text, "by the chart only");
    else
        add_formula(&text, c, rule);
    show_row(c->out, length->name, column, text.data);
    sink_drop(&text);
}

static void show_lengths(const struct rule_card *c)
{
    int column = 0;
    size_t count = nmk_design_length_count(c->design);
    for (size_t i = 0; i < count; i++)
        widen_column(&column, nmk_design_length(c->design, i)->name);
    show_heading(c, "Then make");
    for (size_t i = 0; i < count; i++)
        show_length(c, i, column);
}

/* ---- which lengths make each piece ---- */

static void add_stretches(struct sink *out, const struct nmk_piece *piece, enum nmk_way way, const struct nmk_row *row)
{
    const struct nmk_list *list = &piece->lists[way];
    for (size_t i = row->first; i < row->first + row->count; i++) {
        const struct nmk_stretch *stretch = &list->stretches[i];
        bool beside_rest = i > row->first && (stretch->panel == NMK_NONE || stretch[-1].panel == NMK_NONE);
        const char *bar = i == row->first ? "" : list->lines[stretch->lines[0]].is_cut && !beside_rest ? " || " : " | ";
        sink_format(out, "%s%s", bar, stretch->panel == NMK_NONE ? "rest" : piece->panels[stretch->panel].name);
    }
    if (list->row_count < 2)
        return;
    sink_string(out, " beside ");
    row_add_panels(out, piece, row, false);
}

static void show_stretches(const struct rule_card *c, const struct nmk_piece *piece, enum nmk_way way)
{
    for (size_t i = 0; i < piece->lists[way].row_count; i++) {
        struct sink list = {0};
        add_stretches(&list, piece, way, &piece->lists[way].rows[i]);
        show_row(c->out, i ? "" : way == NMK_ACROSS ? "  across" : "  down", CARD_INDENT + 10, list.data);
        sink_drop(&list);
    }
}

/* What the signs of rows mean, where there are any. */
static void explain_rows(const struct rule_card *c, const struct nmk_piece *piece)
{
    struct sink words = {0};
    bool rests = false, pairs = false;
    if (!nmk_piece_has_rows(piece))
        return;
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
        for (size_t i = 0; i < piece->lists[way].row_count; i++) {
            const struct nmk_row *row = &piece->lists[way].rows[i];
            rests = rests || row->rests[0] || row->rests[1];
            pairs = pairs || (row->rests[0] && row->rests[1]);
        }
    sink_string(&words, "Cut through at ||, score at |.");
    if (rests)
        sink_format(&words, " Cut away each rest: what is left of the whole width%s.",
                    pairs ? "; of two the same at both ends, an odd mark at the last" : "");
    card_say(c, CARD_INDENT + 2, &words);
}

static void add_layer(struct sink *out, const struct rule_card *c, const struct nmk_piece *piece)
{
    sink_string(out, ": lies on ");
    on_text_add(out, c->design, &piece->on);
    sink_format(out, ", and is %s less each way", nmk_design_length(c->design, piece->smaller_length)->name);
}

static void show_piece(const struct rule_card *c, const struct nmk_piece *piece)
{
    struct sink title = {0};
    sink_plain(&title, piece->label);
    if (piece->kind == NMK_PIECE_MAT)
        add_layer(&title, c, piece);
    if (piece->kind == NMK_PIECE_PUNCHED)
        sink_format(&title, ": %s", nmk_design_length(c->design, piece->length)->name);
    card_say(c, CARD_INDENT, &title);
    if (piece->kind != NMK_PIECE_PANELS)
        return;
    show_stretches(c, piece, NMK_ACROSS);
    show_stretches(c, piece, NMK_DOWN);
    explain_rows(c, piece);
}

static void show_pieces(const struct rule_card *c)
{
    show_heading(c, "The pieces, from edge to edge");
    for (size_t i = 0; i < nmk_design_piece_count(c->design); i++)
        show_piece(c, nmk_design_piece(c->design, i));
}

/* ---- what outgrows ---- */

/* The largest mark at which it still fits, so that what is said is safe. */
static char *still_figure(const struct rule_card *c, const struct nmk_rat *from)
{
    struct nmk_rat marks = {0};
    int64_t count = 0;
    nmk_rat_div(&marks, from, nmk_draft_step(c->draft));
    nmk_rat_floor(&marks, &marks);
    bool whole = nmk_rat_get_int(&count, &marks) == NMK_OK;
    nmk_rat_clear(&marks);
    return whole ? draft_mark(c->draft, count) : draft_size(c->draft, from);
}

static void show_outgrow(const struct rule_card *c, const struct nmk_outgrow *outgrow)
{
    const char *way = outgrow->way == NMK_ACROSS ? "across" : "down", *what = outgrow->reach ? "the reach" : "the sheet";
    const struct nmk_measure *measure = outgrow->measure == NMK_NONE ? NULL : nmk_design_measure(c->design, outgrow->measure);
    struct sink words = {0};
    sink_plain(&words, nmk_design_piece(c->design, outgrow->piece)->label);
    if (!measure) {
        sink_format(&words, " is larger %s than %s at every size", way, what);
    } else if (nmk_rat_cmp(&outgrow->from, &measure->from) <= 0) {
        sink_format(&words, " is larger %s than %s for every %s", way, what, measure->name);
    } else {
        char *still = still_figure(c, &outgrow->from);
        sink_format(&words, " is within %s %s up to %s = %s", what, way, measure->name, still);
        store_free(still);
    }
    card_say(c, CARD_INDENT, &words);
}

static void show_outgrown(const struct rule_card *c)
{
    size_t count = nmk_rules_outgrow_count(c->rules);
    if (count)
        sink_string(c->out, "\nToo large for the sheet or reach beyond these sizes, others as drawn:\n");
    for (size_t i = 0; i < count; i++)
        show_outgrow(c, nmk_rules_outgrow(c->rules, i));
}

void rule_card_show(struct sink *out, const struct nmk_rules *rules)
{
    const struct nmk_draft *draft = nmk_rules_draft(rules);
    struct rule_card c = {.out = out, .rules = rules, .draft = draft, .design = nmk_draft_design(draft)};
    draft_heading(out, draft);
    show_measures(&c);
    show_lengths(&c);
    show_pieces(&c);
    rule_promise_show(&c);
    show_outgrown(&c);
}
