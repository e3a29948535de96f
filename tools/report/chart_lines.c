#include "report/chart_lines.h"

#include <string.h>

#include "report/edition_text.h"
#include "report/letters.h"
#include "report/store.h"
#include "report/tree.h"

/* ---- CSV ---- */

static void add_quoted(struct sink *out, const char *text)
{
    sink_string(out, "\"");
    for (; *text; text++) {
        sink_string(out, *text == '"' ? "\"" : "");
        sink_add(out, text, 1);
    }
    sink_string(out, "\"");
}

static void add_cell(struct sink *out, const char *text)
{
    struct sink cell = {0};
    char *plain = letters_plain(text, strlen(text));
    bool guarded = *text && strchr("=+-@\t\r\n", *text);
    sink_string(&cell, guarded ? "'" : "");
    sink_string(&cell, plain);
    if (strpbrk(cell.data, ",;\" "))
        add_quoted(out, cell.data);
    else
        sink_string(out, cell.data);
    sink_drop(&cell);
    store_free(plain);
}

void chart_lines_csv_head(struct sink *out, const struct chart_view *view)
{
    sink_string(out, "edition");
    for (size_t i = 0; i < view->measure_count; i++) {
        sink_string(out, ",");
        add_cell(out, nmk_design_measure(view->design, view->measures[i])->label);
    }
    for (size_t i = 0; i < nmk_design_length_count(view->design); i++) {
        sink_string(out, ",");
        add_cell(out, nmk_design_length(view->design, i)->name);
    }
    sink_string(out, ",state,does not hold\r\n");
}

void chart_lines_csv(struct sink *out, const struct chart_view *view, const struct nmk_rat *sizes, const struct nmk_chart_row *row)
{
    char *bad = chart_view_bad(view, row->bad, row->bad_count);
    add_cell(out, nmk_draft_edition(view->draft)->name);
    for (size_t i = 0; i < view->measure_count; i++) {
        char *size = chart_view_size(view, sizes, i);
        sink_string(out, ",");
        add_cell(out, size);
        store_free(size);
    }
    for (size_t i = 0; i < nmk_design_length_count(view->design); i++) {
        char *figure = chart_view_length(view, row, i);
        sink_string(out, ",");
        add_cell(out, figure);
        store_free(figure);
    }
    sink_string(out, ",");
    add_cell(out, chart_view_state(row));
    sink_string(out, ",");
    add_cell(out, bad);
    sink_string(out, "\r\n");
    store_free(bad);
}

/* ---- JSON ---- */

static void set(json_t *object, const char *key, json_t *value)
{
    json_object_set_new_nocheck(object, key, value);
}

static json_t *sizes_tree(const struct chart_view *view, const struct nmk_rat *sizes)
{
    json_t *tree = json_object();
    for (size_t i = 0; i < view->measure_count; i++)
        set(tree, nmk_design_measure(view->design, view->measures[i])->name, tree_rat(&sizes[i]));
    return tree;
}

static json_t *lengths_tree(const struct chart_view *view, const struct nmk_chart_row *row)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_length_count(view->design); i++) {
        const struct nmk_length *length = nmk_design_length(view->design, i);
        json_t *tree = json_object();
        set(tree, "name", tree_text(length->name));
        set(tree, length->kind == NMK_LENGTH_CHOICE ? "choice" : "marks", row->marks ? json_integer(row->marks[i]) : json_null());
        json_array_append_new(all, tree);
    }
    return all;
}

static json_t *bad_tree(const struct chart_view *view, const struct nmk_chart_row *row)
{
    json_t *all = json_array();
    for (size_t i = 0; i < row->bad_count; i++) {
        const struct nmk_demand *demand = nmk_design_demand(view->design, row->bad[i]);
        json_t *tree = json_object();
        set(tree, "kind", json_string(demand_kind(demand)));
        set(tree, "name", tree_text(demand->name));
        if (demand_way(demand))
            set(tree, "direction", json_string(demand_way(demand)));
        json_array_append_new(all, tree);
    }
    return all;
}

void chart_lines_json(struct sink *out, const struct chart_view *view, const struct nmk_rat *sizes, const struct nmk_chart_row *row)
{
    const struct nmk_edition *edition = nmk_draft_edition(view->draft);
    json_t *tree = json_object();
    set(tree, "design", tree_text(nmk_design_title(view->design)));
    set(tree, "edition", tree_text(edition->name));
    set(tree, "unit", json_string(nmk_unit_name(edition->unit)));
    set(tree, "step_mm", tree_rat(nmk_draft_step(view->draft)));
    set(tree, "sizes_mm", sizes_tree(view, sizes));
    set(tree, "state", json_string(chart_view_state(row)));
    set(tree, "lengths", lengths_tree(view, row));
    set(tree, "not_held", bad_tree(view, row));
    tree_write_line(out, tree);
    sink_string(out, "\n");
}
