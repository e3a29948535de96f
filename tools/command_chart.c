/* command_chart.c -- chart: the settled marks of a design over a grid of sizes. */
#include <inttypes.h>
#include <unistd.h>

#include "commands.h"
#include "editions.h"
#include "ground/message.h"
#include "ground/progress.h"
#include "ground/store.h"
#include "load.h"
#include "report/sizes/chart_lines.h"
#include "report/sizes/chart_table.h"
#include "size_grid.h"

enum form { FORM_TABLE, FORM_CSV, FORM_JSON };
enum { FLUSH_BYTES = 1 << 16 };

struct charting {
    const struct call *call;
    struct sink *out;
    struct nmk_design *design;
    struct size_grid grid;
    enum form form;
    struct progress progress;
    int64_t done, unmet, at_risk; /* rows, of all editions */
    struct nmk_rat *sizes;
    struct chart_table table;
};

/* ---- one edition ---- */

/* The marks, sizes that cannot be drawn up: the message was given, with the sizes it is about. */
static enum ending refuse_row(const struct charting *c, enum nmk_status status, const struct nmk_diagnostics *list,
                              size_t edition)
{
    struct sink where = {0};
    for (size_t i = 0; i < c->grid.measure_count; i++) {
        char size[80];
        nmk_length_print(size, sizeof size, &c->sizes[i], c->grid.varies[i]->unit, 4, NMK_FRACTION_PLAIN);
        sink_format(&where, "%s%s = %s", i ? ", " : "", c->grid.varies[i]->name, size);
    }
    enum ending ending = editions_ending(status, list, c->call->words[0], c->design, edition);
    message_more("at %s", where.data);
    sink_drop(&where);
    return ending;
}

static bool draft_at(const struct charting *c, int64_t row, size_t edition, struct nmk_diagnostics *list,
                     enum nmk_status *status, struct nmk_draft **draft)
{
    size_grid_put(&c->grid, c->design, row, c->sizes);
    *status = editions_draft(draft, c->design, edition, c->call, list);
    return *status == NMK_OK;
}

/* Sizes for which the design cannot be drawn up are mostly at a corner: found before anything is written. */
static enum ending try_corners(const struct charting *c, size_t edition)
{
    enum ending ending = ENDING_DONE;
    for (unsigned corner = 0; corner < 1u << c->grid.measure_count && !ending; corner++) {
        struct nmk_diagnostics *list;
        struct nmk_draft *draft = NULL;
        enum nmk_status status;
        if (nmk_diagnostics_new(&list, 0))
            return ENDING_FAILED;
        if (!draft_at(c, size_grid_corner(&c->grid, corner), edition, list, &status, &draft))
            ending = refuse_row(c, status, list, edition);
        nmk_draft_free(draft);
        nmk_diagnostics_free(list);
    }
    return ending;
}

static void put_row(struct charting *c, const struct chart_view *view, const struct nmk_chart_row *row)
{
    if (c->form == FORM_CSV)
        chart_lines_csv(c->out, view, c->sizes, row);
    else if (c->form == FORM_JSON)
        chart_lines_json(c->out, view, c->sizes, row);
    else
        chart_table_add(&c->table, c->sizes, row);
    if (c->form != FORM_TABLE && c->out->size >= FLUSH_BYTES)
        sink_flush(c->out);
    c->unmet += !row->holds_together || row->state > NMK_AT_RISK;
    c->at_risk += row->holds_together && row->state == NMK_AT_RISK;
    progress_tell(&c->progress, ++c->done);
}

static enum ending chart_rows(struct charting *c, const struct chart_view *view, struct nmk_chart *chart, size_t edition,
                              struct nmk_diagnostics *list)
{
    for (int64_t row = 0; row < c->grid.row_count && !c->out->error && !ending_was_interrupted(); row++) {
        struct nmk_chart_row found;
        size_grid_put(&c->grid, c->design, row, c->sizes);
        enum nmk_status status = nmk_chart_settle(&found, chart, list);
        if (status == NMK_STOPPED)
            break;
        if (status)
            return refuse_row(c, status, list, edition);
        put_row(c, view, &found);
    }
    return ENDING_DONE;
}

static bool go_on(void *context, uint64_t steps)
{
    struct charting *c = context;
    (void)steps;
    progress_tell(&c->progress, c->done);
    return !ending_was_interrupted();
}

static enum ending chart_with(struct charting *c, size_t edition, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct chart_view view = {.draft = draft, .design = c->design, .measures = c->grid.measures, .units = c->grid.units,
                              .measure_count = c->grid.measure_count};
    struct nmk_settle_options options;
    struct nmk_chart *chart = NULL;
    editions_options(&options, c->call);
    options.progress = go_on;
    options.context = c;
    enum nmk_status status = nmk_chart_new(&chart, c->design, edition, c->call->has_marks ? &c->call->step : NULL,
                                           c->call->step_unit, &options);
    if (c->form == FORM_CSV && !c->done)
        chart_lines_csv_head(c->out, &view);
    if (c->form == FORM_TABLE)
        chart_table_init(&c->table, &view, (size_t)c->grid.row_count);
    enum ending ending = status ? refuse_row(c, status, list, edition) : chart_rows(c, &view, chart, edition, list);
    if (c->form == FORM_TABLE && !ending && !ending_was_interrupted()) {
        sink_string(c->out, c->out->size ? "\n\n" : "");
        chart_table_show(c->out, &c->table);
    }
    chart_table_clear(&c->table);
    nmk_chart_free(chart);
    nmk_settle_options_clear(&options);
    return ending;
}

static enum ending chart_edition(struct charting *c, size_t edition)
{
    struct nmk_diagnostics *list;
    struct nmk_draft *draft = NULL;
    enum nmk_status status;
    if (nmk_diagnostics_new(&list, 0))
        return ENDING_FAILED;
    enum ending ending = draft_at(c, 0, edition, list, &status, &draft) ? chart_with(c, edition, draft, list)
                                                                          : refuse_row(c, status, list, edition);
    nmk_draft_free(draft);
    nmk_diagnostics_free(list);
    return ending;
}

/* ---- how it ends ---- */

static enum ending say_outcome(const struct charting *c)
{
    if (c->unmet)
        message_error("at %" PRId64 " of %" PRId64 " sizes a demand is not met", c->unmet, c->done);
    if (c->at_risk)
        message_error("at %" PRId64 " of %" PRId64 " sizes a demand is at risk", c->at_risk, c->done);
    return c->unmet || (c->at_risk && c->call->given[OPTION_STRICT]) ? ENDING_UNMET : ENDING_DONE;
}

/* Whole rows stay on standard output; a file is not left half-written. */
static enum ending end_interrupted(struct charting *c)
{
    if (c->out->target)
        sink_drop(c->out);
    else
        sink_flush(c->out);
    message_error("stopped after %" PRId64 " sizes", c->done);
    ending_interrupt();
    return ENDING_WRONG;
}

static enum ending chart_editions(struct charting *c, const struct edition_range *range)
{
    enum ending ending = ENDING_DONE;
    for (size_t i = 0; i < range->count && !ending; i++)
        ending = try_corners(c, range->first + i);
    progress_begin(&c->progress, ending ? 0 : c->grid.row_count * (int64_t)range->count,
                   c->form != FORM_TABLE && isatty(STDOUT_FILENO));
    for (size_t i = 0; i < range->count && !ending && !ending_was_interrupted(); i++)
        ending = chart_edition(c, range->first + i);
    progress_end(&c->progress);
    if (ending_was_interrupted())
        return end_interrupted(c);
    if (!ending && sink_flush(c->out)) /* messages come behind the result */
        ending = say_outcome(c);
    return ending;
}

static bool form_of(struct charting *c)
{
    const struct call *call = c->call;
    c->form = call->given[OPTION_JSON] ? FORM_JSON : call->given[OPTION_CSV] ? FORM_CSV : FORM_TABLE;
    if (call->given[OPTION_JSON] && call->given[OPTION_CSV])
        message_error("--csv or --json, not both");
    else if (c->form == FORM_TABLE && c->grid.row_count > CHART_TABLE_MOST_ROWS)
        message_error("a table of %" PRId64 " rows is not for reading; take larger steps, or --csv or --json",
                      c->grid.row_count);
    else
        return true;
    return false;
}

enum ending command_chart(const struct call *call, struct sink *out)
{
    enum ending ending;
    struct edition_range range;
    struct charting c = {.call = call, .out = out};
    c.design = load_design(call->words[0], call, &ending);
    if (!c.design)
        return ending;
    ending = editions_pick(&range, c.design, call);
    if (!ending && (!size_grid_make(&c.grid, c.design, call) || !form_of(&c)))
        ending = ENDING_WRONG;
    if (!ending) {
        c.sizes = store_new(c.grid.measure_count, sizeof *c.sizes);
        ending_note_interrupts();
        ending = chart_editions(&c, &range);
        for (size_t i = 0; i < c.grid.measure_count; i++)
            nmk_rat_clear(&c.sizes[i]);
        store_free(c.sizes);
    }
    nmk_design_free(c.design);
    return ending;
}
