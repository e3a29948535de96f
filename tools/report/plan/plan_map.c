#include "report/plan/plan_map.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ground/letters.h"
#include "ground/store.h"
#include "report/plan/cue_name.h"

enum { ROWS = 22, MOST_COLUMNS = 66, INDENT = 2 };
enum { NORTH = 1, EAST = 2, SOUTH = 4, WEST = 8 };

/* The places of lines along one way, and where each is drawn. */
struct axis {
    size_t count;
    struct nmk_rat *places; /* borrowed values, sorted */
    int *cells;
    int last;
};

struct map {
    const struct nmk_plan *plan;
    const struct nmk_plan_sheet *sheet;
    struct axis axes[2];
    unsigned char *lines; /* by row and column: which ways a line goes from here */
    char *text;           /* by row and column: a letter in a box, 0: none */
    size_t *keys;         /* by part of the sheet: the number in the key, 0: an offcut */
};

static const struct nmk_plan_part *part_of(const struct map *m, size_t i)
{
    return nmk_plan_part(m->plan, m->sheet->part + i);
}

static bool is_leaf(const struct nmk_plan_part *part)
{
    return part->kind == NMK_PLAN_PIECE || part->kind == NMK_PLAN_OFFCUT;
}

/* ---- places ---- */

static int compare_places(const void *a, const void *b)
{
    return nmk_rat_cmp(a, b);
}

static void list_places(struct map *m, int way)
{
    struct axis *axis = &m->axes[way];
    axis->places = store_new(2 * m->sheet->part_count, sizeof *axis->places);
    for (size_t i = 0; i < m->sheet->part_count; i++) {
        const struct nmk_plan_part *part = part_of(m, i);
        if (!is_leaf(part))
            continue;
        nmk_rat_set(&axis->places[axis->count++], &part->at[way]);
        nmk_rat_add(&axis->places[axis->count++], &part->at[way], &part->size[way]);
    }
    qsort(axis->places, axis->count, sizeof *axis->places, compare_places);
    size_t kept = 0;
    for (size_t i = 0; i < axis->count; i++)
        if (!kept || !nmk_rat_equal(&axis->places[i], &axis->places[kept - 1]))
            nmk_rat_swap(&axis->places[kept++], &axis->places[i]);
    for (size_t i = kept; i < axis->count; i++)
        nmk_rat_clear(&axis->places[i]);
    axis->count = kept;
}

static int64_t scaled(const struct nmk_rat *place, const struct nmk_rat *whole, int64_t cells)
{
    struct nmk_rat x = {0}, times = {0};
    int64_t at = 0;
    nmk_rat_set_frac(&times, cells, 1);
    nmk_rat_mul(&x, place, &times);
    nmk_rat_div(&x, &x, whole);
    nmk_rat_floor(&x, &x);
    nmk_rat_get_int(&at, &x);
    nmk_rat_clear(&x);
    nmk_rat_clear(&times);
    return at;
}

/* To scale, but so that there is room for a letter between two lines as long as they are few. */
static void draw_places(struct axis *axis, const struct nmk_rat *whole, int cells, int most)
{
    int gap = (int)axis->count * 2 <= most ? 2 : (int)axis->count <= most ? 1 : 0;
    axis->cells = store_new(axis->count, sizeof *axis->cells);
    for (size_t i = 0; i < axis->count; i++) {
        int at = (int)scaled(&axis->places[i], whole, cells), least = i ? axis->cells[i - 1] + gap : 0;
        axis->cells[i] = at > least ? at : least;
    }
    axis->last = axis->cells[axis->count - 1];
}

static int cell_of(const struct axis *axis, const struct nmk_rat *place)
{
    const struct nmk_rat *found = bsearch(place, axis->places, axis->count, sizeof *axis->places, compare_places);
    return found ? axis->cells[found - axis->places] : 0;
}

/* ---- boxes ---- */

struct box {
    int left, right, top, bottom;
};

static struct box box_of(const struct map *m, const struct nmk_plan_part *part)
{
    struct nmk_rat end = {0};
    struct box box = {.left = cell_of(&m->axes[0], &part->at[0]), .top = cell_of(&m->axes[1], &part->at[1])};
    nmk_rat_add(&end, &part->at[0], &part->size[0]);
    box.right = cell_of(&m->axes[0], &end);
    nmk_rat_add(&end, &part->at[1], &part->size[1]);
    box.bottom = cell_of(&m->axes[1], &end);
    nmk_rat_clear(&end);
    return box;
}

static size_t at(const struct map *m, int row, int column)
{
    return (size_t)row * (size_t)(m->axes[0].last + 1) + (size_t)column;
}

static void draw_box(struct map *m, struct box b)
{
    for (int c = b.left; c < b.right; c++)
        for (int side = 0; side < 2; side++) {
            m->lines[at(m, side ? b.bottom : b.top, c)] |= EAST;
            m->lines[at(m, side ? b.bottom : b.top, c + 1)] |= WEST;
        }
    for (int r = b.top; r < b.bottom; r++)
        for (int side = 0; side < 2; side++) {
            m->lines[at(m, r, side ? b.right : b.left)] |= SOUTH;
            m->lines[at(m, r + 1, side ? b.right : b.left)] |= NORTH;
        }
}

/* The number of the piece; of an offcut its own in parentheses. Left out where it has no room. */
static void letter_box(struct map *m, size_t i, struct box b)
{
    char text[24];
    if (m->keys[i])
        snprintf(text, sizeof text, "%zu", m->keys[i]);
    else
        snprintf(text, sizeof text, "(%zu)", part_of(m, i)->number);
    int size = (int)strlen(text), room = b.right - b.left - 1, row = (b.top + b.bottom) / 2;
    if (size > room || b.bottom - b.top < 2)
        return;
    memcpy(&m->text[at(m, row, b.left + 1 + (room - size) / 2)], text, (size_t)size);
}

/* ---- the key ---- */

static bool is_alike(const struct nmk_plan_part *a, const struct nmk_plan_part *b)
{
    return a->kind == b->kind && a->piece == b->piece && a->turned == b->turned;
}

static void number_pieces(struct map *m)
{
    size_t next = 1;
    for (size_t i = 0; i < m->sheet->part_count; i++) {
        if (part_of(m, i)->kind != NMK_PLAN_PIECE)
            continue;
        for (size_t k = 0; k < i && !m->keys[i]; k++)
            if (is_alike(part_of(m, k), part_of(m, i)))
                m->keys[i] = m->keys[k];
        if (!m->keys[i])
            m->keys[i] = next++;
    }
}

static size_t how_many(const struct map *m, size_t i)
{
    size_t count = 0;
    for (size_t k = 0; k < m->sheet->part_count; k++)
        count += m->keys[k] == m->keys[i];
    return count;
}

static void show_key(struct sink *out, const struct map *m, size_t i)
{
    const struct nmk_plan_part *part = part_of(m, i);
    struct sink line = {0};
    char *size = cue_size(m->plan, part->size);
    if (part->kind == NMK_PLAN_PIECE) {
        const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(nmk_plan_settled(m->plan)));
        size_t times = how_many(m, i);
        sink_format(&line, "%zu = %s%s, ", m->keys[i], nmk_plan_piece(m->plan, part->piece)->blank ? "blank for " : "",
                    nmk_design_piece(design, part->piece)->label);
        if (times > 1)
            sink_format(&line, "%zu of ", times);
        sink_format(&line, "%s%s", size, part->turned ? ", turned" : "");
    } else {
        sink_format(&line, "(%zu) = offcut, %s", part->number, size);
    }
    sink_words(out, 2 * INDENT, line.data);
    sink_drop(&line);
    store_free(size);
}

/* The offcut with the next number; NMK_NONE: there is none. */
static size_t next_offcut(const struct map *m, size_t number)
{
    size_t best = NMK_NONE;
    for (size_t i = 0; i < m->sheet->part_count; i++)
        if (part_of(m, i)->kind == NMK_PLAN_OFFCUT && part_of(m, i)->number > number &&
            (best == NMK_NONE || part_of(m, i)->number < part_of(m, best)->number))
            best = i;
    return best;
}

static void show_keys(struct sink *out, const struct map *m)
{
    size_t shown = 0;
    for (size_t i = 0; i < m->sheet->part_count; i++)
        if (m->keys[i] > shown) {
            shown = m->keys[i];
            show_key(out, m, i);
        }
    for (size_t i = next_offcut(m, 0); i != NMK_NONE; i = next_offcut(m, part_of(m, i)->number))
        show_key(out, m, i);
}

/* ---- the whole ---- */

static void show_rows(struct sink *out, const struct map *m)
{
    static const char *const glyphs[16] = {" ", "╵", "╶", "└", "╷", "│", "┌", "├", "╴", "┘", "─", "┴", "┐", "┤", "┬", "┼"};
    for (int r = 0; r <= m->axes[1].last; r++) {
        sink_spaces(out, INDENT);
        int end = m->axes[0].last;
        for (int c = 0; c <= end; c++) {
            char letter = m->text[at(m, r, c)];
            if (letter)
                sink_add(out, &letter, 1);
            else
                sink_string(out, glyphs[m->lines[at(m, r, c)]]);
        }
        sink_string(out, "\n");
    }
}

void plan_map_show(struct sink *out, const struct nmk_plan *plan, size_t sheet)
{
    struct map m = {.plan = plan, .sheet = nmk_plan_sheet(plan, sheet)};
    int columns = (int)(2 * scaled(&m.sheet->size[0], &m.sheet->size[1], ROWS));
    m.keys = store_new(m.sheet->part_count, sizeof *m.keys);
    list_places(&m, 0);
    list_places(&m, 1);
    draw_places(&m.axes[0], &m.sheet->size[0], columns > 8 ? columns : 8, MOST_COLUMNS);
    draw_places(&m.axes[1], &m.sheet->size[1], ROWS, 2 * ROWS);
    size_t cells = (size_t)(m.axes[0].last + 1) * (size_t)(m.axes[1].last + 1);
    m.lines = store_new(cells, 1);
    m.text = store_new(cells, 1);
    number_pieces(&m);
    for (size_t i = 0; i < m.sheet->part_count; i++)
        if (is_leaf(part_of(&m, i)))
            draw_box(&m, box_of(&m, part_of(&m, i)));
    for (size_t i = 0; i < m.sheet->part_count; i++)
        if (is_leaf(part_of(&m, i)))
            letter_box(&m, i, box_of(&m, part_of(&m, i)));
    show_rows(out, &m);
    show_keys(out, &m);
    for (int way = 0; way < 2; way++) {
        for (size_t i = 0; i < m.axes[way].count; i++)
            nmk_rat_clear(&m.axes[way].places[i]);
        store_free(m.axes[way].places);
        store_free(m.axes[way].cells);
    }
    store_free(m.lines);
    store_free(m.text);
    store_free(m.keys);
}
