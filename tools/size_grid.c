#include "size_grid.h"

#include <inttypes.h>
#include <string.h>

#include "ground/message.h"
#include "known_names.h"

static bool is_set(const struct call *call, const char *name)
{
    for (size_t i = 0; i < call->set_count; i++)
        if (!strcmp(call->sets[i].name, name))
            return true;
    return false;
}

static bool add_measure(struct size_grid *grid, const struct nmk_design *design, const struct varying *v)
{
    size_t measure;
    if (!known_measure(&measure, design, v->name, "--vary: "))
        return false;
    for (size_t i = 0; i < grid->measure_count; i++)
        if (grid->measures[i] == measure) {
            message_error("--vary: %s is varied twice", v->name);
            return false;
        }
    if (grid->measure_count == GRID_MOST_MEASURES) {
        message_error("--vary: a chart goes over at most %d measures", GRID_MOST_MEASURES);
        return false;
    }
    grid->measures[grid->measure_count] = measure;
    grid->varies[grid->measure_count] = v;
    grid->units[grid->measure_count] = v->unit;
    grid->counts[grid->measure_count++] = varying_count(v);
    return true;
}

static bool count_rows(struct size_grid *grid)
{
    grid->row_count = 1;
    for (size_t i = 0; i < grid->measure_count; i++) {
        if (grid->counts[i] > GRID_MOST_ROWS / grid->row_count) {
            message_error("--vary: that is a chart of more than 10 million rows, the most there can be; take larger steps");
            return false;
        }
        grid->row_count *= grid->counts[i];
    }
    return true;
}

/* An example with a measure of the design's own, best one that says its range. */
static bool ask_for_one(const struct nmk_design *design)
{
    const struct nmk_measure *example = NULL;
    for (size_t i = 0; i < nmk_design_measure_count(design); i++) {
        const struct nmk_measure *m = nmk_design_measure(design, i);
        if (!example || (m->has_range && !example->has_range))
            example = m;
    }
    if (example)
        message_error("chart needs to know which size goes from where to where; for example --vary %s=80mm..150mm/5mm",
                      example->name);
    else
        message_error("the design measures nothing, so there is no size to go through; cuts gives its one list");
    return false;
}

bool size_grid_make(struct size_grid *out, const struct nmk_design *design, const struct call *call)
{
    struct size_grid grid = {0};
    if (!call->vary_count)
        return ask_for_one(design);
    for (size_t i = 0; i < call->vary_count; i++) {
        if (is_set(call, call->varies[i].name)) {
            message_error("--vary: %s cannot be both varied and --set", call->varies[i].name);
            return false;
        }
        if (!add_measure(&grid, design, &call->varies[i]))
            return false;
    }
    if (!count_rows(&grid))
        return false;
    *out = grid;
    return true;
}

void size_grid_put(const struct size_grid *grid, struct nmk_design *design, int64_t row, struct nmk_rat *sizes)
{
    for (size_t i = grid->measure_count; i-- > 0;) {
        varying_at(&sizes[i], grid->varies[i], row % grid->counts[i]);
        row /= grid->counts[i];
        (void)nmk_design_set_measure(design, grid->measures[i], &sizes[i]); /* they are all more than 0 */
    }
}

int64_t size_grid_corner(const struct size_grid *grid, unsigned corner)
{
    int64_t row = 0;
    for (size_t i = 0; i < grid->measure_count; i++)
        row = row * grid->counts[i] + (corner >> i & 1 ? grid->counts[i] - 1 : 0);
    return row;
}
