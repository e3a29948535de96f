#include "solve/cutting/sheeter.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"
#include "solve/cutting/fewest.h"
#include "solve/cutting/mixture.h"

enum { KEPT_DUALS = 40, FIRST_RULES = 1000, MOST_MIXED_LOTS = 64, MOST_COLUMNS = 20000 };

void nmk_sheeter_init(struct nmk_sheeter *s, const struct nmk_cutting_problem *problem)
{
    *s = (struct nmk_sheeter){.problem = problem};
    nmk_cutjob_init(&s->job, problem);
}

void nmk_sheeter_clear(struct nmk_sheeter *s)
{
    nmk_cutplan_clear(&s->best);
    nmk_bestfit_clear(&s->bestfit);
    nmk_duals_clear(&s->duals);
    nmk_cutjob_clear(&s->job);
}

static bool is_done(const struct nmk_sheeter *s)
{
    return s->best.total && s->best.total <= s->bound;
}

/* --- quick plans --- */

/* The first plan is made whatever it costs, so that there is always an answer. */
static bool make_plan(struct nmk_sheeter *s, struct nmk_cutplan *plan)
{
    uint64_t most = s->job.most_steps;
    s->job.most_steps = s->best.total ? most : UINT64_MAX;
    int64_t sheets = s->best.total ? s->best.total - 1 : INT64_MAX;
    bool made = nmk_bestfit_plan(&s->bestfit, &s->job, s->rule++, sheets, plan);
    s->job.most_steps = most;
    return made;
}

static void look_quickly(struct nmk_sheeter *s, uint64_t steps, uint64_t rules)
{
    struct nmk_cutplan plan = {0};
    uint64_t enough = s->job.steps + steps;
    while (!is_done(s) && !s->job.stopped && (!s->best.total || (s->job.steps < enough && s->rule < rules)))
        if (make_plan(s, &plan))
            nmk_cutplan_swap(&plan, &s->best);
        else if (!nmk_cutjob_goes_on(&s->job))
            break;
    nmk_cutplan_clear(&plan);
}

/* --- the exact search --- */

/* Within `share` of what is left of the budget. */
static void prove(struct nmk_sheeter *s, uint64_t share)
{
    if (!s->job.small || is_done(s))
        return;
    struct nmk_fewest search;
    struct nmk_cutplan plan = {0};
    uint64_t most = s->job.most_steps;
    if (s->job.steps < most)
        s->job.most_steps = s->job.steps + (most - s->job.steps) / share;
    nmk_fewest_init(&search, &s->job, &s->duals);
    while (!is_done(s) && nmk_cutjob_goes_on(&s->job)) {
        enum nmk_fit fit = nmk_fewest_try(&search, s->bound, &plan);
        if (fit == NMK_FIT_UNKNOWN)
            break;
        if (fit == NMK_FIT_NO)
            s->bound++;
        else
            nmk_cutplan_swap(&plan, &s->best);
    }
    s->job.most_steps = most;
    nmk_cutplan_clear(&plan);
    nmk_fewest_clear(&search);
}

/* --- patterns in fractions --- */

/* The same lots with other demands, in the same order where none is 0. */
static void other_demands(const struct nmk_sheeter *s, const int64_t *demands, struct nmk_cutting_piece *pieces,
                          struct nmk_cutting_problem *problem)
{
    for (size_t i = 0; i < s->job.lot_count; i++) {
        const struct nmk_lot *lot = &s->job.lots[i];
        pieces[i] = (struct nmk_cutting_piece){lot->width * s->job.unit, lot->height * s->job.unit, demands[i], lot->may_turn};
    }
    *problem = *s->problem;
    problem->piece_count = s->job.lot_count;
    problem->pieces = pieces;
}

struct mixer {
    struct nmk_sheeter *sheeter;
    struct nmk_cutjob job; /* demands no larger than fit a sheet by area */
    struct nmk_cutting_piece *pieces;
    int64_t *demands;
    int32_t *counts;
    struct nmk_duals duals;
    struct nmk_fewest search;
    struct nmk_mixture mixture;
    struct nmk_cutplan known; /* columns found by filling a sheet: their builds; copies: the number of the column */
};

static void mixer_init(struct mixer *m, struct nmk_sheeter *s)
{
    size_t lots = s->job.lot_count;
    *m = (struct mixer){.sheeter = s};
    m->pieces = nmk_memory_new(lots, sizeof *m->pieces);
    m->demands = nmk_memory_new(lots, sizeof *m->demands);
    m->counts = nmk_memory_new(lots, sizeof *m->counts);
    int64_t largest = 0;
    for (size_t f = 0; f < s->job.format_count; f++) {
        int64_t area = (int64_t)s->job.formats[f].width * s->job.formats[f].height;
        largest = area > largest ? area : largest;
    }
    for (size_t i = 0; i < lots; i++) {
        int64_t most = largest / s->job.lots[i].area;
        m->demands[i] = s->job.lots[i].demand < most ? s->job.lots[i].demand : most;
    }
    struct nmk_cutting_problem problem;
    other_demands(s, m->demands, m->pieces, &problem);
    nmk_cutjob_init(&m->job, &problem);
    assert(m->job.lot_count == lots);
}

static void mixer_clear(struct mixer *m)
{
    nmk_cutplan_clear(&m->known);
    nmk_mixture_clear(&m->mixture);
    nmk_fewest_clear(&m->search);
    nmk_duals_clear(&m->duals);
    nmk_cutjob_clear(&m->job);
    nmk_memory_free(m->pieces);
    nmk_memory_free(m->demands);
    nmk_memory_free(m->counts);
}

static bool take_column(void *context, uint64_t set)
{
    struct mixer *m = context;
    for (size_t i = 0; i < m->job.lot_count; i++)
        m->counts[i] = (int32_t)nmk_set_count(&m->job, set, i);
    nmk_mixture_add(&m->mixture, m->counts);
    return m->mixture.column_count < MOST_COLUMNS;
}

/* How many of each lot fit a sheet alone. False if the budget runs out. */
static bool count_singles(struct mixer *m)
{
    for (size_t i = 0; i < m->job.lot_count; i++) {
        enum nmk_fit fit = NMK_FIT_YES;
        m->counts[i] = 0;
        while (m->counts[i] < m->job.lots[i].demand &&
               (fit = nmk_fewest_fits(&m->search, nmk_set_one(&m->job, i) * (uint64_t)(m->counts[i] + 1))) == NMK_FIT_YES)
            m->counts[i]++;
        if (fit == NMK_FIT_UNKNOWN || !m->counts[i])
            return false;
    }
    return true;
}

/* All patterns, and the best mixture of them; the bound then follows. False: too many, or the budget ran out. */
static bool mix(struct mixer *m)
{
    struct nmk_sheeter *s = m->sheeter;
    int64_t *demands = m->demands;
    if (!m->job.small)
        return false;
    nmk_duals_init(&m->duals, &m->job, KEPT_DUALS);
    nmk_fewest_init(&m->search, &m->job, &m->duals);
    for (size_t i = 0; i < m->job.lot_count; i++)
        demands[i] = s->job.lots[i].demand;
    if (!count_singles(m))
        return false;
    nmk_mixture_init(&m->mixture, m->job.lot_count, demands, m->counts);
    if (!nmk_fewest_list(&m->search, take_column, m) || !nmk_mixture_solve(&m->mixture, &m->job))
        return false;
    int64_t bound = nmk_mixture_bound(&m->mixture);
    s->bound = bound > s->bound ? bound : s->bound;
    return true;
}

/* The build of a column found by filling a sheet; NULL for one of the list. */
static const struct nmk_cutplan_sheet *known_build(const struct mixer *m, size_t column)
{
    for (size_t i = 0; i < m->known.count; i++)
        if ((size_t)m->known.sheets[i].copies == column)
            return &m->known.sheets[i];
    return NULL;
}

/* One more sheet of the plan with counts[] of a column. */
static bool lay_column(struct mixer *m, size_t column, const int64_t *counts, int64_t copies, struct nmk_cutplan *plan)
{
    const struct nmk_cutplan_sheet *known = known_build(m, column);
    size_t lots = m->job.lot_count;
    if (known) {
        int64_t *keep = nmk_memory_new(lots, sizeof *keep);
        for (size_t i = 0; i < lots; i++)
            keep[i] = counts[i];
        nmk_cutplan_add(plan, known->format, nmk_builds_append_some(&plan->builds, &m->known.builds, known->root, keep),
                        copies);
        nmk_memory_free(keep);
        return true;
    }
    uint64_t set = 0;
    for (size_t i = 0; i < lots; i++)
        set += nmk_set_one(&m->job, i) * (uint64_t)counts[i];
    if (nmk_fewest_fits(&m->search, set) != NMK_FIT_YES)
        return false;
    nmk_fewest_lay(&m->search, set, copies, plan);
    return true;
}

/* Cuts a pattern `copies` times, each time no more of a lot than is still wanted. */
static void keep_pattern(struct mixer *m, size_t column, int64_t copies, int64_t *left, struct nmk_cutplan *plan)
{
    size_t lots = m->job.lot_count;
    int64_t *counts = nmk_memory_new(lots, sizeof *counts);
    while (copies > 0) {
        int64_t times = copies, pieces = 0;
        for (size_t i = 0; i < lots; i++) {
            int64_t most = m->mixture.columns[column * lots + i];
            counts[i] = most < left[i] ? most : left[i];
            pieces += counts[i];
            if (counts[i] && left[i] / counts[i] < times)
                times = left[i] / counts[i];
        }
        if (!pieces || !lay_column(m, column, counts, times, plan))
            break;
        for (size_t i = 0; i < lots; i++)
            left[i] -= times * counts[i];
        copies -= times;
    }
    nmk_memory_free(counts);
}

/* Adds another plan for some of the lots; lots[i] is what lot i of it is called here, and its sizes are in a unit that is
 * `times` as large. */
static void add_plan(struct nmk_cutplan *plan, const struct nmk_cutplan *more, const size_t *lots, int32_t times)
{
    for (size_t i = 0; i < more->count; i++) {
        uint32_t first = (uint32_t)plan->builds.count;
        uint32_t root = nmk_builds_append(&plan->builds, &more->builds, more->sheets[i].root);
        for (size_t b = first; b < plan->builds.count; b++) {
            struct nmk_build *build = &plan->builds.at[b];
            build->width *= times;
            build->height *= times;
            if (build->kind == NMK_BUILD_PIECE)
                build->lot = (int32_t)lots[build->lot];
        }
        nmk_cutplan_add(plan, more->sheets[i].format, root, more->sheets[i].copies);
    }
}

/* Plans what is left by itself and adds it. */
static void plan_rest(struct nmk_sheeter *s, const int64_t *left, uint64_t steps, struct nmk_cutplan *plan)
{
    size_t lots = s->job.lot_count;
    struct nmk_cutting_piece *pieces = nmk_memory_new(lots, sizeof *pieces);
    size_t *names = nmk_memory_new(lots, sizeof *names);
    struct nmk_cutting_problem problem;
    other_demands(s, left, pieces, &problem);
    problem.effort = steps ? steps : 1;
    struct nmk_sheeter rest;
    nmk_sheeter_init(&rest, &problem);
    rest.is_rest = true;
    if (rest.job.lot_count) {
        nmk_sheeter_plan(&rest);
        for (size_t i = 0; i < lots; i++)
            if (left[i])
                names[rest.job.lot_of_piece[i]] = i;
        add_plan(plan, &rest.best, names, (int32_t)(rest.job.unit / s->job.unit));
    }
    s->job.stopped = s->job.stopped || rest.job.stopped;
    nmk_cutjob_spend(&s->job, rest.job.steps);
    nmk_sheeter_clear(&rest);
    nmk_memory_free(pieces);
    nmk_memory_free(names);
}

/* The whole parts of the mixture, each less `fewer`, and a plan for the rest. */
static void round_mixture(struct mixer *m, int64_t fewer, uint64_t steps)
{
    struct nmk_sheeter *s = m->sheeter;
    struct nmk_cutplan plan = {0};
    int64_t *left = m->demands;
    for (size_t i = 0; i < m->job.lot_count; i++)
        left[i] = s->job.lots[i].demand;
    for (size_t r = 0; r < m->mixture.rows; r++) {
        int64_t whole = nmk_mixture_whole(&m->mixture, r) - fewer;
        if (whole > 0)
            keep_pattern(m, m->mixture.basis[r], whole, left, &plan);
    }
    plan_rest(s, left, steps, &plan);
    if (!s->job.stopped && plan.total < s->best.total)
        nmk_cutplan_swap(&plan, &s->best);
    nmk_cutplan_clear(&plan);
}

/* --- patterns found by filling sheets --- */

/* Keeps the sheet just filled as a column. */
static void keep_filled(struct mixer *m, size_t format)
{
    for (size_t i = 0; i < m->job.lot_count; i++)
        m->counts[i] = (int32_t)m->sheeter->bestfit.used[i];
    uint32_t root = nmk_bestfit_build(&m->sheeter->bestfit, &m->job, &m->known.builds);
    nmk_cutplan_add(&m->known, format, root, (int64_t)m->mixture.column_count);
    nmk_mixture_add(&m->mixture, m->counts);
}

/* Fills a sheet with one lot alone, as often as it goes in; the format with the most. */
static size_t fill_single(struct mixer *m, size_t lot, int64_t *limits, int64_t *prices)
{
    size_t best = 0;
    int64_t most = 0;
    limits[lot] = m->job.lots[lot].demand;
    prices[lot] = 1;
    for (size_t f = 0; f < m->job.format_count; f++) {
        int64_t value = nmk_bestfit_priced(&m->sheeter->bestfit, &m->job, 0, limits, prices, &m->job.formats[f]);
        best = value > most ? f : best;
        most = value > most ? value : most;
    }
    nmk_bestfit_priced(&m->sheeter->bestfit, &m->job, 0, limits, prices, &m->job.formats[best]);
    limits[lot] = prices[lot] = 0;
    return best;
}

/* The first columns: each lot alone, and the sheets of the best plan. */
static void start_filled(struct mixer *m)
{
    struct nmk_sheeter *s = m->sheeter;
    size_t lots = m->job.lot_count;
    int64_t *limits = nmk_memory_new(3 * lots, sizeof *limits), *prices = limits + lots, *counts = prices + lots;
    int32_t *singles = nmk_memory_new(lots, sizeof *singles);
    for (size_t i = 0; i < lots; i++) {
        size_t format = fill_single(m, i, limits, prices);
        singles[i] = (int32_t)s->bestfit.used[i];
        nmk_cutplan_add(&m->known, format, nmk_bestfit_build(&s->bestfit, &m->job, &m->known.builds), (int64_t)i);
        m->demands[i] = s->job.lots[i].demand;
    }
    nmk_mixture_init(&m->mixture, lots, m->demands, singles);
    for (size_t p = 0; p < s->best.count; p++) {
        memset(counts, 0, lots * sizeof *counts);
        nmk_builds_count(&s->best.builds, s->best.sheets[p].root, counts);
        for (size_t i = 0; i < lots; i++)
            m->counts[i] = (int32_t)counts[i];
        uint32_t root = nmk_builds_append(&m->known.builds, &s->best.builds, s->best.sheets[p].root);
        nmk_cutplan_add(&m->known, s->best.sheets[p].format, root, (int64_t)m->mixture.column_count);
        nmk_mixture_add(&m->mixture, m->counts);
    }
    nmk_memory_free(singles);
    nmk_memory_free(limits);
}

/* Fills sheets for the prices of the mixture; keeps those worth more than any before, if worth more than a sheet. */
static bool fill_priced(struct mixer *m, uint64_t *rule, const int64_t *limits)
{
    enum { FILLS = 60 };
    int64_t best = ((int64_t)1 << NMK_MIXTURE_SCALE) + (1 << (NMK_MIXTURE_SCALE - 10));
    bool found = false;
    for (int i = 0; i < FILLS && nmk_cutjob_goes_on(&m->job); i++) {
        size_t format = (size_t)(*rule % m->job.format_count);
        int64_t value = nmk_bestfit_priced(&m->sheeter->bestfit, &m->job, NMK_BESTFIT_RULES + (*rule)++, limits,
                                           m->mixture.scaled, &m->job.formats[format]);
        if (value <= best)
            continue;
        best = value;
        found = true;
        keep_filled(m, format);
    }
    return found;
}

/* A good mixture, though it proves nothing: columns come from filling sheets for the prices (column generation as in
 * (1) of mixture.h, with a quick search in place of an exact one). */
static bool mix_filled(struct mixer *m)
{
    uint64_t rule = 0;
    int64_t *limits = nmk_memory_new(m->job.lot_count, sizeof *limits);
    for (size_t i = 0; i < m->job.lot_count; i++)
        limits[i] = m->job.lots[i].demand;
    nmk_mixture_clear(&m->mixture);
    start_filled(m);
    bool solved = nmk_mixture_solve(&m->mixture, &m->job);
    for (int dry = 0; solved && dry < 3;) {
        dry = fill_priced(m, &rule, limits) ? 0 : dry + 1;
        solved = nmk_mixture_solve(&m->mixture, &m->job);
    }
    nmk_memory_free(limits);
    return true;
}

static void mix_patterns(struct nmk_sheeter *s)
{
    enum { ROUNDINGS = 4 };
    if (is_done(s) || s->is_rest || s->job.lot_count > MOST_MIXED_LOTS || s->job.pieces < 2 * (int64_t)s->job.lot_count ||
        s->job.steps >= s->job.most_steps)
        return;
    struct mixer m;
    uint64_t left = s->job.most_steps - s->job.steps;
    mixer_init(&m, s);
    m.job.most_steps = left / 4;
    m.job.progress = s->job.progress;
    m.job.context = s->job.context;
    bool mixed = mix(&m);
    m.job.most_steps = m.job.steps + left / 8;
    mixed = mixed || (!m.job.stopped && mix_filled(&m));
    nmk_cutjob_spend(&s->job, m.job.steps);
    s->job.stopped = s->job.stopped || m.job.stopped;
    m.job.most_steps = UINT64_MAX;
    for (int64_t fewer = 0; mixed && fewer < ROUNDINGS && !is_done(s) && nmk_cutjob_goes_on(&s->job); fewer++)
        round_mixture(&m, fewer, left / 8);
    mixer_clear(&m);
}

/* --- all --- */

void nmk_sheeter_plan(struct nmk_sheeter *s)
{
    uint64_t effort = s->job.most_steps;
    nmk_duals_init(&s->duals, &s->job, KEPT_DUALS);
    s->bound = s->duals.bound;
    look_quickly(s, effort / 32, s->job.small ? FIRST_RULES : UINT64_MAX);
    mix_patterns(s);
    prove(s, 1);
    if (!s->job.small)
        look_quickly(s, effort / 8, UINT64_MAX);
}
