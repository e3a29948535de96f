#include "solve/whole/whole_lattice.h"

#include "base/memory.h"

struct lattice {
    size_t rows, columns, pivots; /* the first `pivots` columns are settled */
    struct nmk_rat *cells, *value; /* of the settled columns */
};

static struct nmk_rat *cell(const struct lattice *l, size_t row, size_t column)
{
    return &l->cells[row * l->columns + column];
}

/* The open column with the smallest entry of the row that is not 0; columns if there is none. */
static size_t smallest(const struct lattice *l, size_t row)
{
    size_t best = l->columns;
    struct nmk_rat size = {0}, best_size = {0};
    for (size_t c = l->pivots; c < l->columns; c++) {
        if (nmk_rat_is_zero(cell(l, row, c)))
            continue;
        nmk_rat_abs(&size, cell(l, row, c));
        if (best == l->columns || nmk_rat_cmp(&size, &best_size) < 0) {
            best = c;
            nmk_rat_swap(&size, &best_size);
        }
    }
    nmk_rat_clear(&size);
    nmk_rat_clear(&best_size);
    return best;
}

/* Takes the column `by` off another as often as it goes, from this row on; true if anything is left of its entry. */
static bool reduce(struct lattice *l, size_t row, size_t column, size_t by)
{
    struct nmk_rat times = {0};
    (void)nmk_rat_div(&times, cell(l, row, column), cell(l, row, by));
    nmk_rat_floor(&times, &times);
    nmk_rat_neg(&times, &times);
    for (size_t r = row; r < l->rows && !nmk_rat_is_zero(&times); r++)
        nmk_rat_addmul(cell(l, r, column), &times, cell(l, r, by));
    nmk_rat_clear(&times);
    return !nmk_rat_is_zero(cell(l, row, column));
}

/* Leaves the row one entry at most in the open columns; its column, or `columns`. */
static size_t isolate(struct lattice *l, size_t row)
{
    for (bool left = true; left;) {
        size_t by = smallest(l, row);
        left = false;
        for (size_t c = l->pivots; c < l->columns && by < l->columns; c++)
            if (c != by && reduce(l, row, c, by))
                left = true;
    }
    return smallest(l, row);
}

static bool settle(struct lattice *l, size_t row, int64_t right)
{
    struct nmk_rat rest = {0}, part = {0};
    size_t column = isolate(l, row);
    nmk_rat_set_int(&rest, right);
    for (size_t c = 0; c < l->pivots; c++) {
        nmk_rat_mul(&part, cell(l, row, c), &l->value[c]);
        nmk_rat_sub(&rest, &rest, &part);
    }
    bool possible = nmk_rat_is_zero(&rest);
    if (column < l->columns) {
        for (size_t r = row; r < l->rows; r++)
            nmk_rat_swap(cell(l, r, column), cell(l, r, l->pivots));
        (void)nmk_rat_div(&l->value[l->pivots], &rest, cell(l, row, l->pivots));
        possible = nmk_rat_is_int(&l->value[l->pivots]);
        l->pivots++;
    }
    nmk_rat_clear(&rest);
    nmk_rat_clear(&part);
    return possible;
}

size_t nmk_lattice_first_impossible(const int64_t *times, const int64_t *right, size_t rows, size_t columns,
                                    struct nmk_work *work)
{
    struct lattice l = {.rows = rows, .columns = columns};
    l.cells = nmk_memory_new(rows * columns, sizeof *l.cells);
    l.value = nmk_memory_new(columns, sizeof *l.value);
    for (size_t k = 0; k < rows * columns; k++)
        nmk_rat_set_int(&l.cells[k], times[k]);
    size_t row = 0;
    while (row < rows && settle(&l, row, right[row]))
        row = nmk_work_step(work, rows * columns + 1) ? row + 1 : rows;
    for (size_t k = 0; k < rows * columns; k++)
        nmk_rat_clear(&l.cells[k]);
    for (size_t c = 0; c < columns; c++)
        nmk_rat_clear(&l.value[c]);
    nmk_memory_free(l.cells);
    nmk_memory_free(l.value);
    return row;
}
