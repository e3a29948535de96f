#include "report/sizes/chart_table.h"

#include <string.h>

#include "ground/letters.h"
#include "ground/store.h"
#include "report/edition_text.h"

enum { LINE = 72, INDENT = 2, GAP = 2 };

struct chart_table_row {
    struct nmk_rat *sizes;
    struct nmk_chart_row row; /* its lists are copies */
    int64_t *marks;
    size_t *bad;
};

/* ---- rows ---- */

void chart_table_init(struct chart_table *t, const struct chart_view *view, size_t most_rows)
{
    *t = (struct chart_table){.view = *view, .rows = store_new(most_rows + 1, sizeof *t->rows)};
}

void chart_table_add(struct chart_table *t, const struct nmk_rat *sizes, const struct nmk_chart_row *row)
{
    struct chart_table_row *r = &t->rows[t->row_count++];
    size_t lengths = nmk_design_length_count(t->view.design);
    r->row = *row;
    r->sizes = store_new(t->view.measure_count + 1, sizeof *r->sizes);
    for (size_t i = 0; i < t->view.measure_count; i++)
        nmk_rat_set(&r->sizes[i], &sizes[i]);
    r->marks = store_new(lengths + 1, sizeof *r->marks);
    if (row->marks)
        memcpy(r->marks, row->marks, lengths * sizeof *r->marks);
    r->bad = store_new(row->bad_count + 1, sizeof *r->bad);
    if (row->bad_count)
        memcpy(r->bad, row->bad, row->bad_count * sizeof *r->bad);
    r->row.marks = row->marks ? r->marks : NULL;
    r->row.bad = r->bad;
}

void chart_table_clear(struct chart_table *t)
{
    for (size_t i = 0; i < t->row_count; i++) {
        for (size_t k = 0; k < t->view.measure_count; k++)
            nmk_rat_clear(&t->rows[i].sizes[k]);
        store_free(t->rows[i].sizes);
        store_free(t->rows[i].marks);
        store_free(t->rows[i].bad);
    }
    store_free(t->rows);
    *t = (struct chart_table){0};
}

/* ---- what is the same everywhere ---- */

/* Of the rows that have marks: the first one, and whether a length is the same in all. */
static const struct chart_table_row *first_marked(const struct chart_table *t)
{
    for (size_t i = 0; i < t->row_count; i++)
        if (t->rows[i].row.marks)
            return &t->rows[i];
    return NULL;
}

static bool is_same(const struct chart_table *t, size_t length)
{
    const struct chart_table_row *first = first_marked(t);
    for (size_t i = 0; first && i < t->row_count; i++)
        if (t->rows[i].row.marks && t->rows[i].marks[length] != first->marks[length])
            return false;
    return first != NULL;
}

static void show_same(struct sink *out, const struct chart_table *t)
{
    struct sink words = {0};
    for (size_t i = 0; i < nmk_design_length_count(t->view.design); i++) {
        if (!is_same(t, i))
            continue;
        char *figure = chart_view_length(&t->view, &first_marked(t)->row, i);
        sink_format(&words, "%s%s %s", words.size ? ", " : "At every size: ", nmk_design_length(t->view.design, i)->name,
                    figure);
        store_free(figure);
    }
    if (words.size) {
        sink_string(&words, ".");
        sink_string(out, "\n");
        sink_words(out, 0, words.data);
    }
    sink_drop(&words);
}

/* ---- the table ---- */

struct column {
    char *piece; /* "tray", above */
    char *name;  /* "wall" */
    int width;
    size_t length;
};

static void widen(struct column *c, const char *text)
{
    int width = letters_width(text);
    c->width = width > c->width ? width : c->width;
}

static void begin_column(struct column *c, const char *name)
{
    const char *point = strchr(name, '.');
    size_t before = point ? (size_t)(point - name) : 0;
    c->piece = store_copy(name, before);
    c->name = letters_plain(point ? point + 1 : name, strlen(point ? point + 1 : name));
    c->width = 0;
    widen(c, c->piece);
    widen(c, c->name);
}

static char *size_cell(const struct chart_table *t, const struct chart_table_row *r, size_t i)
{
    return chart_view_size(&t->view, r->sizes, i);
}

static char *length_cell(const struct chart_table *t, const struct chart_table_row *r, size_t length)
{
    return r->row.marks ? chart_view_length(&t->view, &r->row, length) : store_copy("-", 1);
}

static void make_column(struct column *c, const struct chart_table *t, size_t i, bool is_size)
{
    begin_column(c, is_size ? nmk_design_measure(t->view.design, t->view.measures[i])->name
                            : nmk_design_length(t->view.design, i)->name);
    c->length = i;
    for (size_t k = 0; k < t->row_count; k++) {
        char *cell = is_size ? size_cell(t, &t->rows[k], i) : length_cell(t, &t->rows[k], i);
        widen(c, cell);
        store_free(cell);
    }
}

static void add_right(struct sink *out, const char *text, int width)
{
    sink_spaces(out, width - letters_width(text));
    sink_string(out, text);
}

static void end_line(struct sink *out)
{
    while (out->size && out->data[out->size - 1] == ' ')
        out->size--;
    sink_string(out, "\n");
}

/* One line of a block: sizes on the left, then the columns from `first` to before `end`. */
static void show_row(struct sink *out, const struct chart_table *t, const struct column *sizes, const struct column *lengths,
                     size_t first, size_t end, const struct chart_table_row *r)
{
    sink_spaces(out, INDENT);
    for (size_t i = 0; i < t->view.measure_count; i++) {
        char *cell = size_cell(t, r, i);
        sink_spaces(out, i ? GAP : 0);
        add_right(out, cell, sizes[i].width);
        store_free(cell);
    }
    sink_string(out, r->row.bad_count ? " *" : "  ");
    for (size_t i = first; i < end; i++) {
        char *cell = length_cell(t, r, lengths[i].length);
        sink_spaces(out, GAP);
        add_right(out, cell, lengths[i].width);
        store_free(cell);
    }
    end_line(out);
}

static void show_head(struct sink *out, const struct chart_table *t, const struct column *sizes, const struct column *lengths,
                      size_t first, size_t end, bool pieces)
{
    sink_spaces(out, INDENT);
    for (size_t i = 0; i < t->view.measure_count; i++) {
        sink_spaces(out, i ? GAP : 0);
        add_right(out, pieces ? "" : sizes[i].name, sizes[i].width);
    }
    sink_string(out, "  ");
    for (size_t i = first; i < end; i++) {
        sink_spaces(out, GAP);
        add_right(out, pieces ? lengths[i].piece : lengths[i].name, lengths[i].width);
    }
    end_line(out);
}

static void show_block(struct sink *out, const struct chart_table *t, const struct column *sizes, const struct column *lengths,
                       size_t first, size_t end)
{
    bool pieces = false;
    for (size_t i = first; i < end; i++)
        pieces |= *lengths[i].piece;
    sink_string(out, "\n");
    if (pieces)
        show_head(out, t, sizes, lengths, first, end, true);
    show_head(out, t, sizes, lengths, first, end, false);
    for (size_t k = 0; k < t->row_count; k++)
        show_row(out, t, sizes, lengths, first, end, &t->rows[k]);
}

static void show_blocks(struct sink *out, const struct chart_table *t, const struct column *sizes, const struct column *lengths,
                        size_t count)
{
    int left = INDENT + 2;
    for (size_t i = 0; i < t->view.measure_count; i++)
        left += sizes[i].width + (i ? GAP : 0);
    size_t first = 0;
    do {
        size_t end = first;
        int used = left;
        while (end < count && (end == first || used + GAP + lengths[end].width <= LINE))
            used += GAP + lengths[end++].width;
        show_block(out, t, sizes, lengths, first, end);
        first = end;
    } while (first < count);
}

static void clear_columns(struct column *columns, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        store_free(columns[i].piece);
        store_free(columns[i].name);
    }
    store_free(columns);
}

static void show_columns(struct sink *out, const struct chart_table *t)
{
    size_t lengths = nmk_design_length_count(t->view.design), count = 0;
    struct column *sizes = store_new(t->view.measure_count + 1, sizeof *sizes),
                  *columns = store_new(lengths + 1, sizeof *columns);
    for (size_t i = 0; i < t->view.measure_count; i++)
        make_column(&sizes[i], t, i, true);
    for (size_t i = 0; i < lengths; i++)
        if (!is_same(t, i))
            make_column(&columns[count++], t, i, false);
    show_blocks(out, t, sizes, columns, count);
    clear_columns(sizes, t->view.measure_count);
    clear_columns(columns, count);
}

/* ---- sizes at which something does not hold ---- */

static bool is_alike(const struct chart_table_row *a, const struct chart_table_row *b)
{
    return a->row.holds_together == b->row.holds_together && (!a->row.holds_together || a->row.state == b->row.state) &&
           a->row.bad_count == b->row.bad_count && !memcmp(a->bad, b->bad, a->row.bad_count * sizeof *a->bad);
}

/* Do the two rows differ only in the measure that goes through first? */
static bool is_run(const struct chart_table *t, const struct chart_table_row *a, const struct chart_table_row *b)
{
    for (size_t i = 0; i + 1 < t->view.measure_count; i++)
        if (!nmk_rat_equal(&a->sizes[i], &b->sizes[i]))
            return false;
    return true;
}

static void add_sizes(struct sink *out, const struct chart_table *t, const struct chart_table_row *first,
                      const struct chart_table_row *last)
{
    for (size_t i = 0; i < t->view.measure_count; i++) {
        bool range = i + 1 == t->view.measure_count && first != last;
        char *from = size_cell(t, first, i), *to = size_cell(t, last, i);
        sink_format(out, "%s%s %s%s%s", i ? ", " : "", nmk_design_measure(t->view.design, t->view.measures[i])->name, from,
                    range ? " to " : "", range ? to : "");
        store_free(from);
        store_free(to);
    }
}

static const char *what_of(const struct chart_table *t, const struct chart_table_row *row)
{
    if (!row->row.holds_together)
        return "nothing meets every demand; in the way";
    if (row->row.state == NMK_AT_RISK || row->row.bad_count == 1)
        return nmk_state_word(row->row.state, nmk_design_demand(t->view.design, row->bad[0]));
    return "not held";
}

static void show_run(struct sink *out, const struct chart_table *t, const struct chart_table_row *first,
                     const struct chart_table_row *last)
{
    struct sink words = {0};
    char *bad = chart_view_bad(&t->view, first->bad, first->row.bad_count);
    add_sizes(&words, t, first, last);
    sink_format(&words, ": %s: %s", what_of(t, first), bad);
    sink_words(out, INDENT, words.data);
    sink_drop(&words);
    store_free(bad);
}

static void show_bad(struct sink *out, const struct chart_table *t)
{
    bool any = false;
    for (size_t i = 0; i < t->row_count; i++) {
        size_t last = i;
        if (!t->rows[i].row.bad_count)
            continue;
        while (last + 1 < t->row_count && is_alike(&t->rows[i], &t->rows[last + 1]) &&
               is_run(t, &t->rows[i], &t->rows[last + 1]))
            last++;
        if (!any)
            sink_string(out, "\n* At these sizes not every demand holds:\n");
        any = true;
        show_run(out, t, &t->rows[i], &t->rows[last]);
        i = last;
    }
    if (!any && nmk_design_demand_count(t->view.design))
        sink_string(out, "\nEvery demand holds at each of these sizes.\n");
}

void chart_table_show(struct sink *out, const struct chart_table *t)
{
    draft_heading(out, t->view.draft);
    show_same(out, t);
    if (first_marked(t))
        show_columns(out, t);
    show_bad(out, t);
}
