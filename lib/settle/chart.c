#include "nearmark/chart.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "settle/alone.h"
#include "settle/findings.h"
#include "settle/settled.h"
#include "settle/subset.h"

struct nmk_chart {
    const struct nmk_design *design;
    size_t edition;
    bool has_step;
    struct nmk_rat step;
    enum nmk_unit step_unit;
    struct nmk_settle_options options;
    /* Made with the first row; they do not depend on sizes: */
    struct nmk_draft *first;
    struct nmk_clearances *clearances;
    struct nmk_marking *marking;
    struct nmk_parts *parts;
    struct nmk_parts *bound; /* the same where mats bind what they lie on: in them are the conflicts */
    struct nmk_alone *alone; /* NULL: no part is settled by itself */
    bool whole;              /* ... but where a measure multiplies a length they may: then each row is settled as one */
    struct nmk_findings findings;
    struct nmk_found **row;       /* by part, then by bound part, of the present sizes; NULL: not known yet */
    struct nmk_affine (*mats)[2]; /* by piece: what a mat's sizes are made of, in mm a mark; else the form 0 */
    int64_t *marks;
    size_t *bad, bad_count;
};

/* ---- one row ---- */

/* The parts, then the bound parts. */
static const struct nmk_part *part_at(const struct nmk_chart *c, size_t i)
{
    return i < c->parts->count ? &c->parts->all[i] : &c->bound->all[i - c->parts->count];
}

static size_t all_parts(const struct nmk_chart *c)
{
    return c->parts->count + c->bound->count;
}

static struct nmk_found *remember(struct nmk_chart *c, size_t part, const struct nmk_draft *draft)
{
    return nmk_findings_add(&c->findings, part, part_at(c, part), draft);
}

/* What is known at the present sizes of the parts [from, to). */
static void look_up(struct nmk_chart *c, size_t from, size_t to, const struct nmk_draft *draft)
{
    for (size_t i = from; i < to; i++)
        c->row[i] = nmk_findings_get(&c->findings, i, part_at(c, i), draft);
}

static bool is_stuck(const struct nmk_chart *c)
{
    for (size_t i = 0; i < c->parts->count; i++)
        if (c->row[i] && !c->row[i]->feasible)
            return true;
    return false;
}

/* Are the marks of all parts known? */
static bool is_marked(const struct nmk_chart *c)
{
    for (size_t i = 0; i < c->parts->count; i++)
        if (!c->row[i] || !c->row[i]->marks)
            return false;
    return true;
}

static void *copied(const void *from, size_t count, size_t size)
{
    void *to = nmk_memory_new(count, size);
    if (count)
        memcpy(to, from, count * size);
    return to;
}

/* Settles by themselves the parts that are not known, where that can be done, until one cannot be met. */
static enum nmk_status settle_alone(struct nmk_chart *c, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    enum nmk_status status = NMK_OK;
    for (size_t i = 0; c->alone && i < c->parts->count && status == NMK_OK && !is_stuck(c); i++) {
        struct nmk_alone_found found;
        struct nmk_found *f = c->row[i];
        if ((f && f->marks) || !nmk_alone_can(c->alone, i))
            continue;
        status = nmk_alone_settle(&found, c->alone, i, draft, list);
        if (status != NMK_OK)
            continue;
        f = c->row[i] = f ? f : remember(c, i, draft);
        f->feasible = found.feasible;
        if (!found.feasible)
            continue;
        f->state = found.state;
        f->marks = copied(found.marks, c->parts->all[i].length_count, sizeof *f->marks);
        nmk_memory_free(f->bad);
        f->bad = copied(found.bad, found.bad_count, sizeof *f->bad);
        f->bad_count = found.bad_count;
    }
    return status;
}

static void harvest(struct nmk_chart *c, size_t i, const struct nmk_settled *s)
{
    const struct nmk_part *part = &c->parts->all[i];
    struct nmk_found *f = c->row[i] ? c->row[i] : (c->row[i] = remember(c, i, s->draft));
    f->feasible = true;
    f->marks = nmk_memory_new(part->length_count, sizeof *f->marks);
    nmk_memory_free(f->bad);
    f->bad = nmk_memory_new(part->demand_count, sizeof *f->bad);
    for (size_t k = 0; k < part->length_count; k++) {
        bool choice = nmk_design_length(c->design, part->lengths[k])->kind == NMK_LENGTH_CHOICE;
        f->marks[k] = choice ? nmk_settled_choice(s, part->lengths[k]) : s->marks[part->lengths[k]];
    }
    for (size_t k = 0; k < part->demand_count; k++) {
        enum nmk_state state = s->views[part->demands[k]][NMK_SETTLED].state;
        f->state = state > f->state ? state : f->state;
        if (state != NMK_HOLDS)
            f->bad[f->bad_count++] = part->demands[k];
    }
}

/* Nothing meets all demands: whether a part can be met, and if not its smallest conflict. */
static enum nmk_status harvest_conflict(struct nmk_chart *c, size_t i, const struct nmk_settled *s)
{
    const struct nmk_part *part = part_at(c, i);
    bool *among = nmk_memory_new(s->demand_count, sizeof *among), *in = nmk_memory_new(s->demand_count, sizeof *in);
    bool feasible;
    for (size_t k = 0; k < part->demand_count; k++)
        among[part->demands[k]] = true;
    enum nmk_status status = nmk_conflict_among(in, &feasible, s, among);
    if (status == NMK_OK) {
        struct nmk_found *f = c->row[i] = remember(c, i, s->draft);
        f->feasible = feasible;
        f->bad = nmk_memory_new(part->demand_count, sizeof *f->bad);
        for (size_t k = 0; k < part->demand_count; k++)
            if (in[part->demands[k]])
                f->bad[f->bad_count++] = part->demands[k];
    }
    nmk_memory_free(among);
    nmk_memory_free(in);
    return status;
}

/* Is every mat at least one mark with the marks of the row? */
static bool mats_are_whole(const struct nmk_chart *c, const struct nmk_draft *draft)
{
    struct nmk_rat size = {0}, marks = {0};
    bool whole = true;
    for (size_t i = 0; i < 2 * nmk_design_piece_count(c->design) && whole; i++) {
        const struct nmk_affine *mat = &c->mats[i / 2][i % 2];
        nmk_rat_set_int(&size, 0);
        for (size_t k = 0; k < mat->count; k++) {
            nmk_rat_set_int(&marks, c->marks[mat->terms[k].name]);
            nmk_rat_addmul(&size, &marks, &mat->terms[k].times);
        }
        whole = !mat->count || nmk_rat_cmp(&size, nmk_draft_step(draft)) >= 0;
    }
    nmk_rat_clear(&size);
    nmk_rat_clear(&marks);
    return whole;
}

/* Settles the present sizes with mats unbound and remembers what was found for each part. *small: a mat came out below
 * one mark; such a row says nothing of others. */
static enum nmk_status find_row(bool *small, struct nmk_chart *c, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct nmk_settled *settled;
    enum nmk_status status = nmk_settle_how(&settled, draft, &c->options, &(struct nmk_settle_how){.mats_unbound = true}, list);
    if (status != NMK_OK)
        return status;
    if (settled->holds_together)
        memcpy(c->marks, settled->marks, settled->length_count * sizeof *c->marks);
    *small = settled->holds_together && !nmk_draft_edition(draft)->as_designed && !mats_are_whole(c, draft);
    if (*small) {
        nmk_settled_free(settled);
        return NMK_OK;
    }
    for (size_t i = 0; i < c->parts->count && status == NMK_OK; i++) {
        if (settled->holds_together && !(c->row[i] && c->row[i]->marks))
            harvest(c, i, settled);
        else if (!c->row[i])
            status = harvest_conflict(c, i, settled);
    }
    nmk_settled_free(settled);
    return status;
}

static int by_number(const void *a, const void *b)
{
    size_t x = *(const size_t *)a, y = *(const size_t *)b;
    return x < y ? -1 : x > y;
}

/* The smaller conflict, of two equally small ones the first in file order. */
static bool is_smaller(const struct nmk_found *a, const struct nmk_found *b)
{
    size_t i = 0;
    if (!b || a->bad_count != b->bad_count)
        return !b || a->bad_count < b->bad_count;
    while (i < a->bad_count && a->bad[i] == b->bad[i])
        i++;
    return i < a->bad_count && a->bad[i] < b->bad[i];
}

static void join_marks(struct nmk_chart_row *row, struct nmk_chart *c)
{
    c->bad_count = 0;
    for (size_t i = 0; i < c->parts->count; i++) {
        const struct nmk_found *f = c->row[i];
        row->state = f->state > row->state ? f->state : row->state;
        for (size_t k = 0; k < c->parts->all[i].length_count; k++)
            c->marks[c->parts->all[i].lengths[k]] = f->marks[k];
        for (size_t k = 0; k < f->bad_count; k++)
            c->bad[c->bad_count++] = f->bad[k];
    }
    if (c->bad_count)
        qsort(c->bad, c->bad_count, sizeof *c->bad, by_number);
}

static void put_row(struct nmk_chart_row *row, struct nmk_chart *c)
{
    row->marks = row->holds_together ? c->marks : NULL;
    row->bad = c->bad;
    row->bad_count = c->bad_count;
}

/* ---- rows that cannot be met ---- */

/* What is in conflict is looked for with the mats bound: that they are at least one mark always stays. */
static enum nmk_status find_conflicts(struct nmk_chart *c, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct nmk_settled *s = NULL;
    enum nmk_status status = NMK_OK;
    look_up(c, c->parts->count, all_parts(c), draft);
    for (size_t i = c->parts->count; i < all_parts(c) && status == NMK_OK; i++) {
        if (!c->row[i] && !s)
            status = nmk_settle(&s, draft, &c->options, list);
        if (!c->row[i] && status == NMK_OK)
            status = harvest_conflict(c, i, s);
    }
    nmk_settled_free(s);
    return status;
}

static enum nmk_status join_conflict(struct nmk_chart_row *row, struct nmk_chart *c, const struct nmk_draft *draft,
                                     struct nmk_diagnostics *list)
{
    const struct nmk_found *smallest = NULL;
    enum nmk_status status = find_conflicts(c, draft, list);
    if (status != NMK_OK)
        return status;
    for (size_t i = c->parts->count; i < all_parts(c); i++)
        if (!c->row[i]->feasible && is_smaller(c->row[i], smallest))
            smallest = c->row[i];
    c->bad_count = smallest->bad_count;
    if (c->bad_count)
        memcpy(c->bad, smallest->bad, c->bad_count * sizeof *c->bad);
    *row = (struct nmk_chart_row){.holds_together = false};
    put_row(row, c);
    return NMK_OK;
}

/* ---- rows that mats bind ---- */

static enum nmk_status whole_conflict(struct nmk_chart *c, const struct nmk_settled *s)
{
    bool *all = nmk_memory_new(s->demand_count, sizeof *all), *in = nmk_memory_new(s->demand_count, sizeof *in), feasible;
    memset(all, true, s->demand_count * sizeof *all);
    enum nmk_status status = nmk_conflict_among(in, &feasible, s, all);
    for (size_t i = 0; i < s->demand_count && status == NMK_OK; i++)
        if (in[i])
            c->bad[c->bad_count++] = i;
    nmk_memory_free(all);
    nmk_memory_free(in);
    return status;
}

/* A mat came out below one mark, so that its parts are bound after all, or the parts are not known: the row is settled as
 * one. */
static enum nmk_status settle_bound(struct nmk_chart_row *row, struct nmk_chart *c, const struct nmk_draft *draft,
                                    struct nmk_diagnostics *list)
{
    struct nmk_settled *s;
    enum nmk_status status = nmk_settle(&s, draft, &c->options, list);
    if (status != NMK_OK)
        return status;
    c->bad_count = 0;
    for (size_t i = 0; s->holds_together && i < s->length_count; i++)
        c->marks[i] = nmk_draft_designed(draft, i) ? s->marks[i] : nmk_settled_choice(s, i);
    for (size_t i = 0; s->holds_together && i < s->demand_count; i++)
        if (s->views[i][NMK_SETTLED].state != NMK_HOLDS)
            c->bad[c->bad_count++] = i;
    if (!s->holds_together)
        status = whole_conflict(c, s);
    if (status == NMK_OK) {
        *row = (struct nmk_chart_row){.holds_together = s->holds_together, .state = s->state};
        put_row(row, c);
    }
    nmk_settled_free(s);
    return status;
}

/* ---- the chart ---- */

static void keep_mats(struct nmk_chart *c, const struct nmk_marking *marking)
{
    c->mats = nmk_memory_new(nmk_design_piece_count(c->design), sizeof *c->mats);
    for (size_t i = 0; i < nmk_design_piece_count(c->design); i++)
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
            if (nmk_design_piece(c->design, i)->kind == NMK_PIECE_MAT)
                nmk_affine_set(&c->mats[i][way], nmk_marking_whole(marking, i, (enum nmk_way)way));
}

static enum nmk_status draw_up(struct nmk_draft **out, const struct nmk_chart *c, struct nmk_diagnostics *list)
{
    return nmk_draft_new(out, c->design, c->edition, c->has_step ? &c->step : NULL, c->step_unit, list);
}

static enum nmk_status make_parts(struct nmk_chart *c, struct nmk_diagnostics *list)
{
    enum nmk_status status = c->first ? NMK_OK : draw_up(&c->first, c, list);
    if (status == NMK_OK)
        status = nmk_clearances_new(&c->clearances, c->first, list);
    if (status != NMK_OK)
        return status;
    bool as_designed = nmk_draft_edition(c->first)->as_designed;
    nmk_marking_new(&c->marking,
                    &(struct nmk_marking_plan){
                        .draft = c->first, .clearances = c->clearances, .options = &c->options, .mats_unbound = !as_designed});
    nmk_parts_new(&c->parts, c->clearances, c->marking);
    struct nmk_marking *bound;
    nmk_marking_new(&bound, &(struct nmk_marking_plan){.draft = c->first, .clearances = c->clearances, .options = &c->options});
    nmk_parts_new(&c->bound, c->clearances, bound);
    nmk_marking_free(bound);
    for (size_t i = 0; i < c->clearances->count; i++)
        c->whole |= c->clearances->all[i].fixes;
    if (!c->whole && !as_designed)
        nmk_alone_new(&c->alone, c->parts, c->clearances, c->marking, &c->options);
    keep_mats(c, c->marking);
    c->row = nmk_memory_new(all_parts(c), sizeof(struct nmk_found *));
    return NMK_OK;
}

enum nmk_status nmk_chart_new(struct nmk_chart **out, const struct nmk_design *design, size_t edition,
                              const struct nmk_rat *step, enum nmk_unit step_unit, const struct nmk_settle_options *options)
{
    if (!out || !design || edition >= nmk_design_edition_count(design) || !options || !nmk_settle_options_are_good(options))
        return NMK_INVALID;
    struct nmk_chart *c = nmk_memory_new(1, sizeof *c);
    c->design = design;
    c->edition = edition;
    c->has_step = step != NULL;
    if (step)
        nmk_rat_set(&c->step, step);
    c->step_unit = step_unit;
    c->options = *options;
    c->options.sure = (struct nmk_rat){0};
    nmk_rat_set(&c->options.sure, &options->sure);
    c->marks = nmk_memory_new(nmk_design_length_count(design), sizeof *c->marks);
    c->bad = nmk_memory_new(nmk_design_demand_count(design), sizeof *c->bad);
    *out = c;
    return NMK_OK;
}

void nmk_chart_free(struct nmk_chart *chart)
{
    if (!chart)
        return;
    nmk_findings_clear(&chart->findings);
    nmk_alone_free(chart->alone);
    nmk_parts_free(chart->parts);
    nmk_parts_free(chart->bound);
    nmk_marking_free(chart->marking);
    nmk_clearances_free(chart->clearances);
    nmk_draft_free(chart->first);
    for (size_t i = 0; chart->mats && i < 2 * nmk_design_piece_count(chart->design); i++)
        nmk_affine_clear(&chart->mats[i / 2][i % 2]);
    nmk_memory_free(chart->mats);
    nmk_settle_options_clear(&chart->options);
    nmk_rat_clear(&chart->step);
    nmk_memory_free(chart->row);
    nmk_memory_free(chart->marks);
    nmk_memory_free(chart->bad);
    nmk_memory_free(chart);
}

static enum nmk_status settle_row(struct nmk_chart_row *row, struct nmk_chart *c, const struct nmk_draft *draft,
                                  struct nmk_diagnostics *list)
{
    struct nmk_chart_row joined = {.holds_together = true};
    bool small = false;
    if (c->whole)
        return settle_bound(row, c, draft, list);
    nmk_findings_make_room(&c->findings, all_parts(c));
    look_up(c, 0, c->parts->count, draft);
    enum nmk_status status = settle_alone(c, draft, list);
    if (status == NMK_OK && !is_stuck(c) && !is_marked(c))
        status = find_row(&small, c, draft, list);
    if (status != NMK_OK)
        return status;
    if (is_stuck(c))
        return join_conflict(row, c, draft, list);
    if (!small)
        join_marks(&joined, c);
    if (small || (!nmk_draft_edition(draft)->as_designed && !mats_are_whole(c, draft)))
        return settle_bound(row, c, draft, list);
    put_row(&joined, c);
    *row = joined;
    return NMK_OK;
}

enum nmk_status nmk_chart_settle(struct nmk_chart_row *row, struct nmk_chart *chart, struct nmk_diagnostics *list)
{
    struct nmk_draft *draft;
    if (!row || !chart)
        return NMK_INVALID;
    enum nmk_status status = draw_up(&draft, chart, list);
    if (status != NMK_OK)
        return status;
    if (!chart->parts)
        status = make_parts(chart, list);
    if (status == NMK_OK)
        status = settle_row(row, chart, draft, list);
    nmk_draft_free(draft);
    return status;
}
