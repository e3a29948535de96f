#include "report/sizes/chart_lines.h"

#include <string.h>

#include "ground/letters.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/verdict_json.h"

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

void chart_lines_csv(struct sink *out, const struct chart_view *view, const struct nmk_rat *sizes,
                     const struct nmk_chart_row *row)
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

static void put_sizes(struct json *j, const struct chart_view *view, const struct nmk_rat *sizes)
{
    json_object(j, "sizes_mm");
    for (size_t i = 0; i < view->measure_count; i++)
        json_rat(j, nmk_design_measure(view->design, view->measures[i])->name, &sizes[i]);
    json_close(j);
}

static void put_lengths(struct json *j, const struct chart_view *view, const struct nmk_chart_row *row)
{
    json_list(j, "lengths");
    for (size_t i = 0; i < nmk_design_length_count(view->design); i++) {
        const struct nmk_length *length = nmk_design_length(view->design, i);
        json_object(j, NULL);
        json_text(j, "name", length->name);
        json_whole_if(j, length->kind == NMK_LENGTH_CHOICE ? "choice" : "marks", row->marks, row->marks ? row->marks[i] : 0);
        json_close(j);
    }
    json_close(j);
}

static void put_bad(struct json *j, const struct chart_view *view, const struct nmk_chart_row *row)
{
    json_list(j, "not_held");
    for (size_t i = 0; i < row->bad_count; i++) {
        json_object(j, NULL);
        verdict_json_demand(j, nmk_design_demand(view->design, row->bad[i]));
        json_close(j);
    }
    json_close(j);
}

void chart_lines_json(struct sink *out, const struct chart_view *view, const struct nmk_rat *sizes,
                      const struct nmk_chart_row *row)
{
    const struct nmk_edition *edition = nmk_draft_edition(view->draft);
    struct json j;
    json_begin(&j, out, JSON_LINE);
    json_object(&j, NULL);
    json_text(&j, "design", nmk_design_title(view->design));
    json_text(&j, "edition", edition->name);
    json_text(&j, "unit", nmk_unit_name(edition->unit));
    json_rat(&j, "step_mm", nmk_draft_step(view->draft));
    put_sizes(&j, view, sizes);
    json_text(&j, "state", chart_view_state(row));
    put_lengths(&j, view, row);
    put_bad(&j, view, row);
    json_end(&j);
    sink_string(out, "\n");
}
