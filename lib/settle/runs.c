#include "nearmark/runs.h"

struct place { /* a piece in a column */
    const struct nmk_settled *settled;
    enum nmk_column column;
    size_t index;
    const struct nmk_piece *piece;
};

static int64_t at(const struct place *p, int way, size_t line)
{
    return nmk_settled_line(p->settled, p->column, p->index, (enum nmk_way)way, line);
}

/* Is there such a column, and has the piece lines in it? */
static bool find(struct place *p, const struct nmk_settled *settled, enum nmk_column column, size_t index)
{
    *p = (struct place){settled, column, index, nmk_design_piece(nmk_draft_design(nmk_settled_draft(settled)), index)};
    return p->piece && p->piece->kind != NMK_PIECE_PUNCHED && column != NMK_DESIGNED &&
           (column != NMK_SETTLED || nmk_settled_holds_together(settled));
}

/* ---- runs ---- */

struct runs {
    struct nmk_run *all, last;
    size_t room, count;
};

static void put(struct runs *runs)
{
    if (runs->count && runs->count <= runs->room)
        runs->all[runs->count - 1] = runs->last;
}

static void add(struct runs *runs, int64_t from, int64_t to, bool is_cut)
{
    if (from >= to)
        return;
    if (runs->count && runs->last.to == from && runs->last.is_cut == is_cut) {
        runs->last.to = to;
    } else {
        put(runs);
        runs->last = (struct nmk_run){from, to, is_cut};
        runs->count++;
    }
}

/* A line of a direction whose rows run beside the stretches of the other, which stand in one row. */
static void add_beside(struct runs *runs, const struct place *p, int way, size_t line)
{
    const struct nmk_list *list = &p->piece->lists[way], *other = &p->piece->lists[!way];
    for (size_t i = 0; i < other->count; i++) {
        size_t beside = other->stretches[i].beside;
        const struct nmk_row *row = &list->rows[beside];
        bool runs_here = line == 0                      ? !row->rests[0]
                         : line + 1 == list->line_count ? !row->rests[1]
                                                        : list->lines[line].row == beside;
        if (runs_here)
            add(runs, at(p, !way, other->stretches[i].lines[0]), at(p, !way, other->stretches[i].lines[1]),
                list->lines[line].is_cut);
    }
}

struct span {
    int64_t from, to;
};

/* What is left of the card beside stretch `i`, which the row `beside` of the other direction has its lines beside. */
static struct span left_beside(const struct place *p, int other_way, size_t beside)
{
    const struct nmk_list *other = &p->piece->lists[other_way];
    const struct nmk_row *row = &other->rows[beside];
    const struct nmk_stretch *first = &other->stretches[row->first], *last = first + row->count - 1;
    return (struct span){at(p, other_way, first->lines[row->rests[0] ? 1 : 0]),
                         at(p, other_way, last->lines[row->rests[1] ? 0 : 1])};
}

static bool holds(const struct span *s, int64_t from)
{
    return s->from <= from && from < s->to;
}

static int64_t next_after(const struct span sides[2], int64_t after)
{
    int64_t next = INT64_MAX;
    for (int i = 0; i < 2; i++) {
        if (sides[i].from > after && sides[i].from < next)
            next = sides[i].from;
        if (sides[i].to > after && sides[i].to < next)
            next = sides[i].to;
    }
    return next;
}

/* A line of a direction with one row, while the other has several: cut where the card is left on one side only. */
static void add_between(struct runs *runs, const struct place *p, int way, size_t line)
{
    const struct nmk_list *list = &p->piece->lists[way];
    struct span sides[2] = {{0, 0}, {0, 0}};
    if (line > 0)
        sides[0] = left_beside(p, !way, list->stretches[line - 1].beside);
    if (line + 1 < list->line_count)
        sides[1] = left_beside(p, !way, list->stretches[line].beside);
    for (int64_t from = 0, to; (to = next_after(sides, from)) != INT64_MAX; from = to) {
        bool before = holds(&sides[0], from), behind = holds(&sides[1], from);
        if (before || behind)
            add(runs, from, to, list->lines[line].is_cut || before != behind);
    }
}

size_t nmk_settled_runs(struct nmk_run *out, size_t room, const struct nmk_settled *settled, enum nmk_column column,
                        size_t piece, enum nmk_way way, size_t line)
{
    struct place p;
    struct runs runs = {.all = out, .room = out ? room : 0};
    if (!settled || !find(&p, settled, column, piece) || line >= nmk_draft_line_count(nmk_settled_draft(settled), piece, way))
        return 0;
    if (p.piece->kind == NMK_PIECE_MAT)
        add(&runs, 0, at(&p, !way, 1), true);
    else if (p.piece->lists[!way].row_count == 1)
        add_beside(&runs, &p, (int)way, line);
    else
        add_between(&runs, &p, (int)way, line);
    put(&runs);
    return runs.count;
}

/* ---- what is cut away ---- */

/* The rests of a row beside the stretches [from, to) of the other direction. */
static size_t put_rests(struct nmk_away *out, size_t room, size_t count, const struct place *p, int way,
                        const struct nmk_row *row, int64_t from, int64_t to)
{
    const struct nmk_list *list = &p->piece->lists[way];
    for (int end = 0; end < 2; end++) {
        const struct nmk_stretch *rest = &list->stretches[row->first + (end ? row->count - 1 : 0)];
        struct nmk_away away;
        if (!row->rests[end])
            continue;
        away.from[way] = at(p, way, rest->lines[0]);
        away.to[way] = at(p, way, rest->lines[1]);
        away.from[!way] = from;
        away.to[!way] = to;
        if (count < room)
            out[count] = away;
        count++;
    }
    return count;
}

size_t nmk_settled_away(struct nmk_away *out, size_t room, const struct nmk_settled *settled, enum nmk_column column,
                        size_t piece)
{
    struct place p;
    size_t count = 0;
    if (!settled || !find(&p, settled, column, piece) || p.piece->kind != NMK_PIECE_PANELS)
        return 0;
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        const struct nmk_list *list = &p.piece->lists[way], *other = &p.piece->lists[!way];
        for (size_t i = 0, end; list->row_count > 1 && i < other->count; i = end) {
            size_t beside = other->stretches[i].beside;
            for (end = i + 1; end < other->count && other->stretches[end].beside == beside; end++)
                ;
            count = put_rests(out, out ? room : 0, count, &p, way, &list->rows[beside],
                              at(&p, !way, other->stretches[i].lines[0]), at(&p, !way, other->stretches[end - 1].lines[1]));
        }
    }
    return count;
}
