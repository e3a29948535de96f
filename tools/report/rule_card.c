#include "report/rule_card.h"

#include <string.h>

#include "report/edition_text.h"
#include "report/figure.h"
#include "report/letters.h"
#include "report/on_text.h"
#include "report/store.h"

enum { INDENT = 2, MOST_NAME = 30, PLACES = 4, FEW = 3 };

struct card {
    struct sink *out;
    const struct nmk_rules *rules;
    const struct nmk_draft *draft;
    const struct nmk_design *design;
};

/* ---- small parts ---- */

static const char *measure_name(const struct card *c, size_t i)
{
    return nmk_design_measure(c->design, i)->name;
}

static bool is_read(const struct card *c, size_t i)
{
    return nmk_rules_measure(c->rules, i)->read != NMK_READ_FIXED;
}

static size_t read_count(const struct card *c)
{
    size_t count = 0;
    for (size_t i = 0; i < nmk_design_measure_count(c->design); i++)
        count += is_read(c, i);
    return count;
}

/* A reading is a whole number of reading steps. */
static char *reading_figure(const struct card *c, int64_t reading)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, reading);
    nmk_rat_mul(&mm, &mm, nmk_rules_reading_step(c->rules));
    char *figure = figure_length(&mm, draft_unit(c->draft));
    nmk_rat_clear(&mm);
    return figure;
}

/* "2 13/16 in to 6 1/4 in"; no reading may be sure to lie in the range. */
static void add_readings(struct sink *out, const struct card *c, const struct nmk_rule_measure *rule)
{
    if (rule->first > rule->last) {
        sink_string(out, "(no reading is sure to lie in its range)");
        return;
    }
    char *first = reading_figure(c, rule->first), *last = reading_figure(c, rule->last);
    sink_format(out, "from %s to %s", first, last);
    store_free(first);
    store_free(last);
}

static const char *reading_way(enum nmk_reading read)
{
    return read == NMK_READ_UP ? "rounded up to" : read == NMK_READ_DOWN ? "rounded down to" : "to the nearest";
}

/* "to the nearest mark", "rounded up to a mark"; where scores are on fewer marks: "to the nearest 1/8 in". */
static void add_way(struct sink *out, const struct card *c, enum nmk_reading read)
{
    bool nearest = read == NMK_READ_NEAREST;
    if (nmk_draft_score_marks(c->draft) == 1) {
        sink_format(out, "%s %s", reading_way(read), nearest ? "mark" : "a mark");
        return;
    }
    char *step = reading_figure(c, 1);
    sink_format(out, "%s %s%s", reading_way(read), nearest ? "" : "a whole ", step);
    store_free(step);
}

/* The text of one row beside its name; the name takes a line of its own if it is long. */
static void show_row(struct sink *out, const char *name, int column, const char *text)
{
    struct sink words = {0};
    int used = INDENT + letters_width(name);
    bool beside = used + 2 <= column;
    sink_spaces(out, INDENT);
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
    if (width <= MOST_NAME && INDENT + width + 2 > *column)
        *column = INDENT + width + 2;
}

static void show_heading(const struct card *c, const char *text)
{
    sink_string(c->out, "\n");
    sink_tint(c->out, TINT_STRONG, text);
    sink_string(c->out, "\n");
}

static void say(const struct card *c, int indent, struct sink *words)
{
    if (words->size)
        sink_words(c->out, indent, words->data);
    sink_drop(words);
}

/* ---- what is measured ---- */

static void add_own_size(struct sink *out, const struct card *c, const struct nmk_measure *measure)
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

static void show_measure(const struct card *c, size_t i, int column)
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
        add_way(&text, c, rule->read);
        sink_string(&text, ", ");
        add_readings(&text, c, rule);
    }
    show_row(c->out, measure->name, column, text.data);
    sink_drop(&text);
}

static void show_measures(const struct card *c)
{
    int column = 0;
    size_t count = nmk_design_measure_count(c->design);
    for (size_t i = 0; i < count; i++)
        widen_column(&column, measure_name(c, i));
    if (!count)
        return;
    show_heading(c, read_count(c) ? "Measure your own" : "Measured");
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

static void add_term(struct sink *out, const struct card *c, const struct nmk_rule_term *term)
{
    struct nmk_rat times = {0};
    nmk_rat_abs(&times, &term->times);
    add_sign(out, nmk_rat_sign(&term->times) < 0);
    if (nmk_rat_cmp_int(&times, 1) != 0) {
        char *figure = figure_rat(&times);
        sink_format(out, "%s x ", figure);
        store_free(figure);
    }
    sink_plain(out, measure_name(c, term->measure));
    nmk_rat_clear(&times);
}

static void add_plus(struct sink *out, const struct card *c, int64_t plus)
{
    if (!plus && out->size)
        return;
    add_sign(out, plus < 0);
    char *figure = draft_mark(c->draft, plus < 0 ? -plus : plus);
    sink_string(out, figure);
    store_free(figure);
}

/* "short + 3/16 in", "4 in - 1/2 x short", "1/2 x short + 1/8 in, then to the nearest mark". */
static void add_formula(struct sink *out, const struct card *c, const struct nmk_rule_length *rule)
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

static void add_choice(struct sink *out, const struct card *c, const struct nmk_length *length, size_t choice)
{
    const struct nmk_punches *punches = nmk_design_punches(c->design, length->punches);
    char *across = draft_size(c->draft, &punches->sizes[choice - 1][NMK_ACROSS]);
    char *down = draft_size(c->draft, &punches->sizes[choice - 1][NMK_DOWN]);
    sink_format(out, "punched, %s x %s", across, down);
    store_free(across);
    store_free(down);
}

static void show_length(const struct card *c, size_t i, int column)
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

static void show_lengths(const struct card *c)
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

static void add_stretches(struct sink *out, const struct nmk_piece *piece, enum nmk_way way)
{
    const struct nmk_list *list = &piece->lists[way];
    for (size_t i = 0; i < list->count; i++)
        sink_format(out, "%s%s", i ? " | " : "", piece->panels[list->stretches[i].panel].name);
}

static void show_stretches(const struct card *c, const struct nmk_piece *piece, enum nmk_way way)
{
    struct sink list = {0};
    add_stretches(&list, piece, way);
    show_row(c->out, way == NMK_ACROSS ? "  across" : "  down", INDENT + 10, list.data);
    sink_drop(&list);
}

static void add_layer(struct sink *out, const struct card *c, const struct nmk_piece *piece)
{
    sink_string(out, ": lies on ");
    on_text_add(out, c->design, &piece->on);
    sink_format(out, ", and is %s less each way", nmk_design_length(c->design, piece->smaller_length)->name);
}

static void show_piece(const struct card *c, const struct nmk_piece *piece)
{
    struct sink title = {0};
    sink_plain(&title, piece->label);
    if (piece->kind == NMK_PIECE_MAT)
        add_layer(&title, c, piece);
    if (piece->kind == NMK_PIECE_PUNCHED)
        sink_format(&title, ": %s", nmk_design_length(c->design, piece->length)->name);
    say(c, INDENT, &title);
    if (piece->kind != NMK_PIECE_PANELS)
        return;
    show_stretches(c, piece, NMK_ACROSS);
    show_stretches(c, piece, NMK_DOWN);
}

static void show_pieces(const struct card *c)
{
    show_heading(c, "The pieces, from edge to edge");
    for (size_t i = 0; i < nmk_design_piece_count(c->design); i++)
        show_piece(c, nmk_design_piece(c->design, i));
}

/* ---- the statement ---- */

static void count_demands(const struct card *c, size_t *holds, size_t *risks, size_t *fails, size_t *charted)
{
    *holds = *risks = *fails = *charted = 0;
    for (size_t i = 0; i < nmk_design_demand_count(c->design); i++) {
        const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
        size_t *count = rule->chart_only ? charted : rule->view.state == NMK_HOLDS ? holds : rule->met ? risks : fails;
        ++*count;
    }
}

/* "For every long from ... to ..., read to the nearest mark, and every short ..., " */
static void add_domain(struct sink *out, const struct card *c)
{
    size_t left = read_count(c);
    const char *before = left ? "For every " : "";
    for (size_t i = 0; i < nmk_design_measure_count(c->design); i++) {
        if (!is_read(c, i))
            continue;
        const struct nmk_rule_measure *rule = nmk_rules_measure(c->rules, i);
        sink_string(out, before);
        sink_plain(out, measure_name(c, i));
        sink_string(out, " ");
        add_readings(out, c, rule);
        sink_string(out, rule->read == NMK_READ_NEAREST ? ", read " : ", ");
        add_way(out, c, rule->read);
        left--;
        before = left > 1 ? ", every " : ", and every ";
    }
    sink_string(out, out->size ? ", " : "For the sizes as they are, ");
}

static void add_outcome(struct sink *out, size_t holds, size_t risks, size_t fails, size_t charted)
{
    const char *said = charted ? "every demand that the card can speak for" : "every demand";
    if (!fails && !risks)
        sink_format(out, "%s holds.", said);
    else if (!fails)
        sink_format(out, "%s is met as marked, but %zu %s at risk.", said, risks, risks == 1 ? "is" : "are");
    else if (holds + risks)
        sink_format(out, "%s but %zu is met as marked.", said, fails);
    else
        sink_string(out, "no demand is met.");
}

static void show_statement(const struct card *c)
{
    size_t holds, risks, fails, charted;
    struct sink words = {0};
    count_demands(c, &holds, &risks, &fails, &charted);
    if (!nmk_design_demand_count(c->design)) {
        sink_string(&words, "The design has no demands; nothing watches whether it fits.");
    } else if (holds + risks + fails) {
        add_domain(&words, c);
        add_outcome(&words, holds, risks, fails, charted);
    }
    if (charted)
        sink_format(&words, "%sThe card cannot speak for %zu demand%s, about lengths by the chart only.", words.size ? " " : "",
                    charted, charted == 1 ? "" : "s");
    sink_string(c->out, "\n");
    say(c, 0, &words);
}

/* ---- the weakest ---- */

static bool is_weaker(const struct nmk_rule_demand *a, const struct nmk_rule_demand *b)
{
    return nmk_rat_cmp(&a->view.chance, &b->view.chance) < 0;
}

/* The weakest but those told already; NMK_NONE: every other is met always. */
static size_t weakest(const struct card *c, const bool *told)
{
    size_t best = NMK_NONE;
    for (size_t i = 0; i < nmk_design_demand_count(c->design); i++) {
        const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
        bool speaks = !rule->chart_only && rule->met && !told[i] && nmk_rat_cmp_int(&rule->view.chance, 1) < 0;
        if (speaks && (best == NMK_NONE || is_weaker(rule, nmk_rules_demand(c->rules, best))))
            best = i;
    }
    return best;
}

/* A clearance is weakest at an end of a range, unless all sizes are the same to it. */
static bool is_end(const struct card *c, const struct nmk_rule_size *size)
{
    const struct nmk_rule_measure *rule = nmk_rules_measure(c->rules, size->measure);
    return nmk_rat_equal(&size->mm, &rule->from) || nmk_rat_equal(&size->mm, &rule->to);
}

/* " at long = 70 mm, short = 120 mm"; false, and nothing, where no size matters. */
static bool add_sizes(struct sink *out, const struct card *c, const struct nmk_rule_size *sizes, size_t count)
{
    const char *before = " at ";
    for (size_t i = 0; i < count; i++) {
        if (!is_end(c, &sizes[i]))
            continue;
        char *size = draft_size(c->draft, &sizes[i].mm);
        sink_string(out, before);
        sink_plain(out, measure_name(c, sizes[i].measure));
        sink_format(out, " = %s", size);
        store_free(size);
        before = ", ";
    }
    return *before == ',';
}

static void show_weak(const struct card *c, size_t i)
{
    const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
    struct sink words = {0};
    char *title = demand_title(nmk_design_demand(c->design, i)), *chance = figure_chance(&rule->view.chance);
    sink_format(&words, "%s: %s, met in %s of all cases", title, nmk_state_name(rule->view.state), chance);
    add_sizes(&words, c, rule->weakest, rule->size_count);
    say(c, INDENT, &words);
    store_free(title);
    store_free(chance);
}

/* All that are at risk, and the few weakest of those that hold. */
static void show_weakest(const struct card *c)
{
    bool *told = store_new(nmk_design_demand_count(c->design) + 1, sizeof *told);
    size_t at, few = 0;
    while ((at = weakest(c, told)) != NMK_NONE) {
        told[at] = true;
        if (nmk_rules_demand(c->rules, at)->view.state == NMK_HOLDS && few >= FEW)
            break;
        if (!few++)
            sink_string(c->out, "\nThe weakest:\n");
        show_weak(c, at);
    }
    store_free(told);
}

/* ---- what does not hold ---- */

static void add_widening(struct sink *out, const struct card *c, size_t demand, const struct nmk_rule_demand *rule)
{
    const struct nmk_rat *bound = rule->widen.high ? nmk_rules_high(c->rules, demand) : nmk_rules_low(c->rules, demand);
    if (nmk_design_demand(c->design, demand)->exact || !rule->widen.helps || !bound) {
        sink_string(out, "no wider bound of it would help");
        return;
    }
    struct nmk_rat wider = {0};
    if (rule->widen.high)
        nmk_rat_add(&wider, bound, &rule->widen.amount);
    else
        nmk_rat_sub(&wider, bound, &rule->widen.amount);
    char *was = figure_near(bound, PLACES), *now = rule->widen.high ? figure_up(&wider, PLACES) : figure_down(&wider, PLACES);
    sink_format(out, "it would help to allow at %s %s mm of room instead of %s mm", rule->widen.high ? "most" : "least", now, was);
    store_free(was);
    store_free(now);
    nmk_rat_clear(&wider);
}

static void show_failure(const struct card *c, size_t i)
{
    const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
    const struct nmk_demand *demand = nmk_design_demand(c->design, i);
    struct sink words = {0}, help = {0};
    char *title = demand_title(demand);
    sink_format(&words, "%s: %s", title, nmk_state_word(rule->view.state, demand));
    if (!add_sizes(&words, c, rule->fails, rule->size_count))
        sink_string(&words, " at every size");
    say(c, INDENT, &words);
    add_widening(&help, c, i, rule);
    say(c, INDENT + 4, &help);
    store_free(title);
}

static void show_failures(const struct card *c)
{
    bool first = true;
    for (size_t i = 0; i < nmk_design_demand_count(c->design); i++) {
        const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, i);
        if (rule->chart_only || rule->met)
            continue;
        if (first)
            sink_string(c->out, "\nNot met for all these sizes; the chart shows for which:\n");
        first = false;
        show_failure(c, i);
    }
}

/* ---- what outgrows ---- */

/* The largest mark at which it still fits, so that what is said is safe. */
static char *still_figure(const struct card *c, const struct nmk_rat *from)
{
    struct nmk_rat marks = {0};
    int64_t count = 0;
    nmk_rat_div(&marks, from, nmk_draft_step(c->draft));
    nmk_rat_floor(&marks, &marks);
    bool whole = nmk_rat_get_int(&count, &marks) == NMK_OK;
    nmk_rat_clear(&marks);
    return whole ? draft_mark(c->draft, count) : draft_size(c->draft, from);
}

static void show_outgrow(const struct card *c, const struct nmk_outgrow *outgrow)
{
    const char *way = outgrow->way == NMK_ACROSS ? "across" : "down", *what = outgrow->reach ? "the reach" : "the sheet";
    const struct nmk_measure *measure = nmk_design_measure(c->design, outgrow->measure);
    struct sink words = {0};
    sink_plain(&words, nmk_design_piece(c->design, outgrow->piece)->label);
    if (nmk_rat_cmp(&outgrow->from, &measure->from) <= 0) {
        sink_format(&words, " is larger %s than %s for every %s", way, what, measure->name);
    } else {
        char *still = still_figure(c, &outgrow->from);
        sink_format(&words, " is within %s %s up to %s = %s", what, way, measure->name, still);
        store_free(still);
    }
    say(c, INDENT, &words);
}

static void show_outgrown(const struct card *c)
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
    struct card c = {.out = out, .rules = rules, .draft = draft, .design = nmk_draft_design(draft)};
    draft_heading(out, draft);
    show_measures(&c);
    show_lengths(&c);
    show_pieces(&c);
    show_statement(&c);
    show_weakest(&c);
    show_failures(&c);
    show_outgrown(&c);
}
