#include "report/check_table.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "report/edition_text.h"

/* Words: one more than a state has. */
enum { LABEL_COLUMN = 12, VIEW_COLUMN = 14, PLACES = 4, COLUMNS = 3, STATES = 5, WORDS = 4 };

static const char *const column_names[COLUMNS] = {"as drawn", "rounded", "settled"};

static const struct nmk_design *design_of(const struct nmk_settled *settled)
{
    return nmk_draft_design(nmk_settled_draft(settled));
}

static const struct nmk_demand *demand_of(const struct nmk_settled *settled, size_t demand)
{
    return nmk_design_demand(design_of(settled), demand);
}

/* A column is there unless nothing meets all demands: then nothing is settled. */
static int columns_of(const struct nmk_settled *settled)
{
    return nmk_settled_holds_together(settled) ? COLUMNS : COLUMNS - 1;
}

/* ---- one demand ---- */

static void add_cell(struct sink *out, const char *text, enum tint tint)
{
    sink_tint(out, tint, text);
    sink_spaces(out, VIEW_COLUMN - letters_width(text));
}

/* A line ends without spaces. */
static void end_row(struct sink *out)
{
    while (out->size && out->data[out->size - 1] == ' ')
        out->size--;
    sink_string(out, "\n");
}

static void begin_row(struct sink *out, const char *label)
{
    sink_format(out, "    %-*s", LABEL_COLUMN, label);
}

static void show_states(struct sink *out, const struct nmk_settled *settled, size_t demand)
{
    begin_row(out, "");
    for (int c = 0; c < columns_of(settled); c++) {
        enum nmk_state state = nmk_settled_view(settled, demand, (enum nmk_column)c)->state;
        add_cell(out, nmk_state_word(state, demand_of(settled, demand)), state_tint(state));
    }
    end_row(out);
}

static char *nominal_figure(const struct nmk_view *view)
{
    return figure_near(&view->nominal, PLACES);
}

/* Outward, so that what is said is never better than it is. */
static char *least_figure(const struct nmk_view *view)
{
    return figure_down(&view->least, PLACES);
}

static char *most_figure(const struct nmk_view *view)
{
    return figure_up(&view->most, PLACES);
}

static char *chance_figure(const struct nmk_view *view)
{
    return figure_chance(&view->chance);
}

static void show_row(struct sink *out, const struct nmk_settled *settled, size_t demand, const char *label,
                     char *(*figure)(const struct nmk_view *))
{
    begin_row(out, label);
    for (int c = 0; c < columns_of(settled); c++) {
        char *text = figure(nmk_settled_view(settled, demand, (enum nmk_column)c));
        add_cell(out, text, TINT_NONE);
        store_free(text);
    }
    end_row(out);
}

static void show_title(struct sink *out, const struct nmk_settled *settled, size_t demand)
{
    struct sink line = {0};
    char *title = demand_title(demand_of(settled, demand));
    sink_format(&line, "%s: ", title);
    demand_room(&line, settled, demand);
    sink_words(out, 0, line.data);
    sink_drop(&line);
    store_free(title);
}

void check_table_demand(struct sink *out, const struct nmk_settled *settled, size_t demand)
{
    sink_string(out, "\n");
    show_title(out, settled, demand);
    begin_row(out, "");
    for (int c = 0; c < columns_of(settled); c++)
        add_cell(out, column_names[c], TINT_FAINT);
    end_row(out);
    show_states(out, settled, demand);
    show_row(out, settled, demand, "as marked", nominal_figure);
    if (demand_of(settled, demand)->exact)
        return;
    show_row(out, settled, demand, "tightest", least_figure);
    show_row(out, settled, demand, "loosest", most_figure);
    show_row(out, settled, demand, "chance", chance_figure);
}

/* ---- what is said of all of them ---- */

void check_table_unwatched(struct sink *out, const struct nmk_settled *settled)
{
    struct sink names = {0};
    for (size_t i = 0; i < nmk_design_length_count(design_of(settled)); i++)
        if (nmk_settled_unwatched(settled, i))
            sink_format(&names, "%s%s",
                        names.size ? ", " : "No demand watches: ", nmk_design_length(design_of(settled), i)->name);
    if (names.size) {
        sink_string(&names, ".");
        sink_string(out, "\n");
        sink_words(out, 0, names.data);
    }
    sink_drop(&names);
}

struct counted {
    const char *word;
    size_t count;
};

/* How many demands are in a state, by the words that are said of them; the words in file order. All of them: how many. */
static size_t count_words(struct counted words[WORDS], const struct nmk_settled *settled, enum nmk_column column,
                          enum nmk_state state)
{
    size_t all = 0;
    memset(words, 0, WORDS * sizeof *words);
    for (size_t i = 0; i < nmk_design_demand_count(design_of(settled)); i++) {
        if (nmk_settled_view(settled, i, column)->state != state)
            continue;
        const char *word = nmk_state_word(state, demand_of(settled, i));
        size_t w = 0;
        while (words[w].word && strcmp(words[w].word, word))
            w++;
        assert(w < WORDS);
        words[w].word = word;
        words[w].count++;
        all++;
    }
    return all;
}

/* "As drawn: all 10 hold." "Rounded: 7 hold, 2 at risk, 1 too tight, 1 too small." */
static void add_counts(struct sink *out, const struct nmk_settled *settled, enum nmk_column column, const char *name)
{
    struct counted words[WORDS];
    size_t all = nmk_design_demand_count(design_of(settled)), holding = count_words(words, settled, column, NMK_HOLDS);
    sink_format(out, "%s: ", name);
    if (holding == all)
        sink_format(out, all == 1 ? "it holds" : "all %zu hold", all);
    else if (holding)
        sink_format(out, "%zu hold%s", holding, holding == 1 ? "s" : "");
    const char *between = holding ? ", " : "";
    for (int state = NMK_HOLDS + 1; state < STATES; state++) {
        count_words(words, settled, column, (enum nmk_state)state);
        for (size_t w = 0; w < WORDS && words[w].word; w++, between = ", ")
            sink_format(out, "%s%zu %s", between, words[w].count, words[w].word);
    }
    sink_string(out, ".");
}

static void add_moved(struct sink *out, const struct nmk_settled *settled)
{
    size_t moved = nmk_settled_moved(settled);
    char *deviation = figure_near(nmk_settled_deviation(settled), PLACES);
    if (nmk_draft_edition(nmk_settled_draft(settled))->as_designed)
        sink_string(out, " As designed: nothing is moved from its nearest mark.");
    else if (!moved)
        sink_string(out, " Every length is at its nearest mark.");
    else
        sink_format(out, " %zu length%s not at a nearest mark; all lengths together are %s mm off their designed sizes.", moved,
                    moved == 1 ? " is" : "s are", deviation);
    store_free(deviation);
}

void check_table_summary(struct sink *out, const struct nmk_settled *settled)
{
    static const char *const names[COLUMNS] = {"As drawn", "Rounded by itself", "Settled"};
    struct sink words = {0};
    if (!nmk_design_demand_count(design_of(settled)))
        sink_string(&words, "The design has no demands; nothing watches whether it fits.");
    else
        for (int c = 0; c < columns_of(settled); c++) {
            sink_string(&words, c ? " " : "");
            add_counts(&words, settled, (enum nmk_column)c, names[c]);
        }
    if (nmk_settled_holds_together(settled))
        add_moved(&words, settled);
    sink_string(out, "\n");
    sink_words(out, 0, words.data);
    sink_drop(&words);
}

size_t check_table_broken(struct sink *out, const struct nmk_settled *settled, enum nmk_column column)
{
    size_t broken = 0;
    for (size_t i = 0; i < nmk_design_demand_count(design_of(settled)); i++) {
        const struct nmk_view *view = nmk_settled_view(settled, i, column);
        if (view->state == NMK_HOLDS)
            continue;
        struct sink line = {0};
        const struct nmk_demand *demand = demand_of(settled, i);
        char *title = demand_title(demand), *chance = figure_chance(&view->chance);
        sink_format(&line, "%s: %s", title, nmk_state_word(view->state, demand));
        if (!demand->exact) /* a broken one is never met always */
            sink_format(&line, ", met in %s of all cases", chance);
        sink_words(out, 2, line.data);
        sink_drop(&line);
        store_free(title);
        store_free(chance);
        broken++;
    }
    return broken;
}

void check_table_show(struct sink *out, const struct nmk_settled *settled)
{
    for (size_t i = 0; i < nmk_design_demand_count(design_of(settled)); i++)
        check_table_demand(out, settled, i);
    check_table_unwatched(out, settled);
    check_table_summary(out, settled);
}
