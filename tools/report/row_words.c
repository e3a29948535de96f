#include "report/row_words.h"

#include <stdlib.h>

#include "ground/store.h"

bool row_line_is_cut(const struct nmk_piece *piece, enum nmk_way way, size_t line)
{
    const struct nmk_list *list = &piece->lists[way];
    return piece->kind == NMK_PIECE_PANELS && line > 0 && line + 1 < list->line_count && list->lines[line].is_cut;
}

const struct nmk_row *row_of_line(const struct nmk_piece *piece, enum nmk_way way, size_t line)
{
    const struct nmk_list *list = &piece->lists[way];
    if (piece->kind != NMK_PIECE_PANELS || list->row_count < 2 || list->lines[line].row == NMK_NONE)
        return NULL;
    return &list->rows[list->lines[line].row];
}

void row_add_panels(struct sink *out, const struct nmk_piece *piece, const struct nmk_row *row, bool spoken)
{
    for (size_t i = 0; i < row->beside_count; i++) {
        const char *name = piece->panels[row->beside[i]].name;
        sink_string(out, !i ? "" : i + 1 < row->beside_count ? ", " : " and ");
        for (size_t k = 0; name[k]; k++)
            sink_add(out, spoken && name[k] == '_' ? " " : name + k, 1);
    }
}

/* ---- what is cut of a line ---- */

struct along { /* the direction in which the line runs */
    enum nmk_way way;
    int64_t end;
    bool whole;
    row_write_marks *write;
    const void *with;
};

static void add_place(struct sink *out, const struct along *along, int64_t at)
{
    static const char *const edges[2][2] = {{"left edge", "right edge"}, {"upper edge", "lower edge"}};
    if (at == 0 || at == along->end)
        sink_format(out, "the %s", edges[along->way][at > 0]);
    else
        along->write(out, along->with, at);
}

static size_t add_cut_runs(struct sink *out, const struct along *along, const struct nmk_run *runs, size_t count)
{
    size_t told = 0;
    for (size_t i = 0; i < count; i++) {
        if (!runs[i].is_cut || (!along->whole && runs[i].from == 0 && runs[i].to == along->end))
            continue;
        sink_string(out, told++ ? ", and from " : "from ");
        add_place(out, along, runs[i].from);
        sink_string(out, " to ");
        add_place(out, along, runs[i].to);
    }
    return told;
}

bool row_add_cut_runs(struct sink *out, const struct nmk_settled *settled, enum nmk_column column, size_t piece,
                      enum nmk_way way, size_t line, bool whole, row_write_marks *write, const void *with)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    const struct nmk_piece *of = nmk_design_piece(nmk_draft_design(draft), piece);
    struct along along = {.way = way == NMK_ACROSS ? NMK_DOWN : NMK_ACROSS, .whole = whole, .write = write, .with = with};
    if (of->kind != NMK_PIECE_PANELS || of->lists[along.way].row_count < 2)
        return false;
    along.end = nmk_settled_line(settled, column, piece, along.way, nmk_draft_line_count(draft, piece, along.way) - 1);
    size_t count = nmk_settled_runs(NULL, 0, settled, column, piece, way, line);
    struct nmk_run *runs = store_new(count, sizeof *runs);
    nmk_settled_runs(runs, count, settled, column, piece, way, line);
    size_t told = add_cut_runs(out, &along, runs, count);
    store_free(runs);
    return told > 0;
}

/* ---- lines in order ---- */

struct placed {
    int64_t at;
    size_t line;
};

static int by_place(const void *left, const void *right)
{
    const struct placed *a = left, *b = right;
    if (a->at != b->at)
        return a->at < b->at ? -1 : 1;
    return a->line < b->line ? -1 : a->line > b->line;
}

void row_lines_make(struct row_lines *out, const struct nmk_settled *settled, enum nmk_column column, size_t piece,
                    enum nmk_way way)
{
    size_t lines = nmk_draft_line_count(nmk_settled_draft(settled), piece, way), count = lines > 2 ? lines - 2 : 0;
    struct placed *placed = store_new(count, sizeof *placed);
    for (size_t i = 0; i < count; i++)
        placed[i] = (struct placed){nmk_settled_line(settled, column, piece, way, i + 1), i + 1};
    if (count)
        qsort(placed, count, sizeof *placed, by_place);
    out->count = count;
    out->all = store_new(count, sizeof *out->all);
    for (size_t i = 0; i < count; i++)
        out->all[i] = placed[i].line;
    store_free(placed);
}

void row_lines_clear(struct row_lines *lines)
{
    store_free(lines->all);
    *lines = (struct row_lines){0};
}

/* ---- JSON ---- */

void row_json_beside(struct json *j, const struct nmk_piece *piece, const struct nmk_row *row)
{
    if (!row || !row->beside_count)
        return;
    json_list(j, "beside");
    for (size_t i = 0; i < row->beside_count; i++)
        json_text(j, NULL, piece->panels[row->beside[i]].name);
    json_close(j);
}

static void put_size(struct json *j, const char *key, const struct nmk_settled *settled, int64_t marks)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(nmk_settled_draft(settled)));
    json_rat(j, key, &mm);
    nmk_rat_clear(&mm);
}

void row_json_runs(struct json *j, const struct nmk_settled *settled, size_t piece, enum nmk_way way, size_t line)
{
    size_t count = nmk_settled_runs(NULL, 0, settled, NMK_SETTLED, piece, way, line);
    struct nmk_run *runs = store_new(count, sizeof *runs);
    nmk_settled_runs(runs, count, settled, NMK_SETTLED, piece, way, line);
    json_list(j, "runs");
    for (size_t i = 0; i < count; i++) {
        json_object(j, NULL);
        json_whole(j, "from", runs[i].from);
        json_whole(j, "to", runs[i].to);
        put_size(j, "from_mm", settled, runs[i].from);
        put_size(j, "to_mm", settled, runs[i].to);
        json_truth(j, "cut", runs[i].is_cut);
        json_close(j);
    }
    json_close(j);
    store_free(runs);
}
