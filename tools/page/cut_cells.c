#include "page/cut_cells.h"

#include "ground/figure.h"
#include "ground/store.h"
#include "page/escape.h"
#include "page/piece_words.h"

struct cells {
    struct sink *out;
    const struct published *p;
    const struct nmk_piece *piece;
};

/* What every row of a piece begins with. */
static void begin_row(const struct cells *c)
{
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(c->p->settled));
    escape_csv(c->out, published_name(c->p));
    sink_string(c->out, ",");
    escape_csv(c->out, c->piece->label);
    sink_format(c->out, ",%u,", (unsigned)c->piece->copies);
    escape_csv(c->out, nmk_design_stock(design, c->piece->stock)->label);
}

/* The size also as an exact number of millimetres. */
static void end_row(const struct cells *c, const char *way, const char *what, const char *edge, const char *figure,
                    const char *unit, const struct nmk_rat *mm)
{
    struct sink typed = {0};
    char *exact = figure_exact(mm);
    escape_typed(&typed, figure);
    sink_format(c->out, ",%s,%s,%s,", way, what, edge);
    escape_csv(c->out, typed.data);
    sink_format(c->out, ",%s,%s\r\n", unit, exact);
    sink_drop(&typed);
    store_free(exact);
}

/* "down", "across, only beside front", "down, only from the left edge to 15 mm" */
static void add_way(struct sink *cell, const struct cut_row *row, const char *parts)
{
    struct sink way = {0};
    sink_string(&way, row->way == NMK_ACROSS ? "across" : "down");
    if (row->beside)
        sink_format(&way, ", only%s", row->beside);
    if (parts) {
        sink_string(&way, ", only ");
        escape_typed(&way, parts);
    }
    if (row->beside || parts)
        escape_csv(cell, way.data);
    else
        sink_string(cell, way.data);
    sink_drop(&way);
}

static void write_line(const struct cells *c, const struct cut_row *row, bool cut, const char *parts)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, row->marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(nmk_settled_draft(c->p->settled)));
    struct sink cell = {0};
    add_way(&cell, row, parts);
    begin_row(c);
    end_row(c, cell.data, cut ? "cut" : "score", row->cut ? "" : piece_edge(row->way, row->last), row->figure,
            published_unit(c->p), &mm);
    sink_drop(&cell);
    nmk_rat_clear(&mm);
}

/* A score that is cut in parts is told twice: what is cut of it, below it. */
static void write_row(const struct cells *c, const struct cut_row *row)
{
    write_line(c, row, row->cut || row->knife, row->knife ? row->parts : NULL);
    if (row->parts && !row->knife)
        write_line(c, row, true, row->parts);
}

static void write_punched(const struct cells *c)
{
    for (enum nmk_way way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        const struct nmk_rat *mm = nmk_settled_punched(c->p->settled, c->piece->length, way);
        char *figure = figure_bare(mm, NMK_MM);
        begin_row(c);
        end_row(c, way == NMK_ACROSS ? "across" : "down", "punch", "", figure, "mm", mm);
        store_free(figure);
    }
}

static void write_piece(struct cells *c, size_t piece)
{
    struct piece_words words;
    c->piece = nmk_design_piece(nmk_draft_design(nmk_settled_draft(c->p->settled)), piece);
    piece_words_init(&words, c->p, piece);
    for (size_t i = 0; i < words.row_count; i++)
        write_row(c, &words.rows[i]);
    if (words.punched)
        write_punched(c);
    piece_words_clear(&words);
}

void cut_cells_write(struct sink *out, const struct publication *all)
{
    sink_string(out, "edition,piece,copies,stock,direction,what,from edge,size,unit,millimetres\r\n");
    for (size_t i = 0; i < all->count; i++) {
        struct cells c = {.out = out, .p = &all->editions[i]};
        for (size_t piece = 0; c.p->shown && piece < c.p->gallery.count; piece++)
            write_piece(&c, piece);
    }
}
