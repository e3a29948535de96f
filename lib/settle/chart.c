#include "nearmark/chart.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "settle/parts.h"
#include "settle/settled.h"
#include "settle/subset.h"

struct found { /* what a part settles to at one key */
    size_t part;
    char *key;
    size_t key_size;
    uint64_t hash;
    bool feasible;
    enum nmk_state state;
    int64_t *marks; /* by length of the part; NULL where it was only seen that it can be met, beside one that cannot */
    size_t *bad, bad_count; /* not feasible: a smallest conflict */
};

struct nmk_chart {
    const struct nmk_design *design;
    size_t edition;
    bool has_step;
    struct nmk_rat step;
    enum nmk_unit step_unit;
    struct nmk_settle_options options;
    struct nmk_parts *parts; /* made with the first row: they do not depend on sizes */
    bool whole;              /* ... but where a measure multiplies a length they may: then each row is settled as one */
    struct found **table;    /* open addressing */
    size_t table_size, table_used;
    struct nmk_text key;
    struct found **row;      /* by part, of the present sizes; NULL: not known yet */
    struct nmk_affine (*mats)[2]; /* by piece: what a mat's sizes are made of, in mm a mark; else the form 0 */
    int64_t *marks;
    size_t *bad, bad_count;
};

enum { MOST_FOUND = 1 << 17 }; /* then everything is forgotten: memory stays bounded over any grid */

/* ---- what is remembered ---- */

static void free_found(struct found *f)
{
    if (!f)
        return;
    nmk_memory_free(f->key);
    nmk_memory_free(f->marks);
    nmk_memory_free(f->bad);
    nmk_memory_free(f);
}

static uint64_t hash_of(size_t part, const struct nmk_text *key)
{
    uint64_t hash = 1469598103934665603u + part;
    for (size_t i = 0; i < key->size; i++)
        hash = (hash ^ (unsigned char)key->data[i]) * 1099511628211u;
    return hash ^ hash >> 29;
}

static struct found **place_of(struct nmk_chart *c, size_t part, const char *key, size_t size, uint64_t hash)
{
    size_t i = (size_t)hash & (c->table_size - 1);
    for (; c->table[i]; i = (i + 1) & (c->table_size - 1)) {
        const struct found *f = c->table[i];
        if (f->hash == hash && f->part == part && f->key_size == size && (!size || !memcmp(f->key, key, size)))
            break;
    }
    return &c->table[i];
}

static void forget(struct nmk_chart *c)
{
    for (size_t i = 0; i < c->table_size; i++)
        free_found(c->table[i]);
    memset(c->table, 0, c->table_size * sizeof(struct found *));
    c->table_used = 0;
}

static void grow(struct nmk_chart *c)
{
    struct found **old = c->table;
    size_t size = c->table_size;
    c->table_size = size ? 2 * size : 256;
    c->table = nmk_memory_new(c->table_size, sizeof(struct found *));
    for (size_t i = 0; i < size; i++)
        if (old[i])
            *place_of(c, old[i]->part, old[i]->key, old[i]->key_size, old[i]->hash) = old[i];
    nmk_memory_free(old);
}

static struct found *remember(struct nmk_chart *c, size_t part, const struct nmk_draft *draft)
{
    struct found *f = nmk_memory_new(1, sizeof *f);
    nmk_part_key(&c->key, &c->parts->all[part], draft);
    f->part = part;
    f->key_size = c->key.size;
    f->key = nmk_memory_copy_text(nmk_text_get(&c->key), c->key.size);
    f->hash = hash_of(part, &c->key);
    *place_of(c, part, f->key, f->key_size, f->hash) = f;
    c->table_used++;
    return f;
}

/* ---- one row ---- */

/* Which parts are known at the present sizes? true: all, as far as the row needs: where one cannot be met no marks. */
static bool look_up(struct nmk_chart *c, const struct nmk_draft *draft)
{
    bool all = true, marked = true, stuck = false;
    for (size_t i = 0; i < c->parts->count; i++) {
        nmk_part_key(&c->key, &c->parts->all[i], draft);
        c->row[i] = *place_of(c, i, nmk_text_get(&c->key), c->key.size, hash_of(i, &c->key));
        all &= c->row[i] != NULL;
        marked &= c->row[i] && (c->row[i]->marks || !c->row[i]->feasible);
        stuck |= c->row[i] && !c->row[i]->feasible;
    }
    return all && (marked || stuck);
}

static void harvest(struct nmk_chart *c, size_t i, const struct nmk_settled *s)
{
    const struct nmk_part *part = &c->parts->all[i];
    struct found *f = c->row[i] ? c->row[i] : (c->row[i] = remember(c, i, s->draft));
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

/* Nothing meets all demands: of each part that is not known, whether it can be met, and if not its smallest conflict. */
static enum nmk_status harvest_conflict(struct nmk_chart *c, size_t i, const struct nmk_settled *s)
{
    const struct nmk_part *part = &c->parts->all[i];
    bool *among = nmk_memory_new(s->demand_count, sizeof *among), *in = nmk_memory_new(s->demand_count, sizeof *in);
    bool feasible;
    for (size_t k = 0; k < part->demand_count; k++)
        among[part->demands[k]] = true;
    enum nmk_status status = nmk_conflict_among(in, &feasible, s, among);
    if (status == NMK_OK) {
        struct found *f = c->row[i] = remember(c, i, s->draft);
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
    while (2 * (c->table_used + c->parts->count) > c->table_size && c->table_size < 2 * MOST_FOUND)
        grow(c);
    if (2 * (c->table_used + c->parts->count) > c->table_size) {
        forget(c);
        look_up(c, draft);
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
static bool is_smaller(const struct found *a, const struct found *b)
{
    size_t i = 0;
    if (!b || a->bad_count != b->bad_count)
        return !b || a->bad_count < b->bad_count;
    while (i < a->bad_count && a->bad[i] == b->bad[i])
        i++;
    return i < a->bad_count && a->bad[i] < b->bad[i];
}

static void join_conflict(struct nmk_chart *c)
{
    const struct found *smallest = NULL;
    for (size_t i = 0; i < c->parts->count; i++)
        if (!c->row[i]->feasible && is_smaller(c->row[i], smallest))
            smallest = c->row[i];
    c->bad_count = smallest->bad_count;
    if (c->bad_count)
        memcpy(c->bad, smallest->bad, c->bad_count * sizeof *c->bad);
}

static void join_marks(struct nmk_chart_row *row, struct nmk_chart *c)
{
    c->bad_count = 0;
    for (size_t i = 0; i < c->parts->count; i++) {
        const struct found *f = c->row[i];
        row->state = f->state > row->state ? f->state : row->state;
        for (size_t k = 0; k < c->parts->all[i].length_count; k++)
            c->marks[c->parts->all[i].lengths[k]] = f->marks[k];
        for (size_t k = 0; k < f->bad_count; k++)
            c->bad[c->bad_count++] = f->bad[k];
    }
    if (c->bad_count)
        qsort(c->bad, c->bad_count, sizeof *c->bad, by_number);
}

static void join_row(struct nmk_chart_row *row, struct nmk_chart *c)
{
    *row = (struct nmk_chart_row){.holds_together = true};
    for (size_t i = 0; i < c->parts->count && row->holds_together; i++)
        row->holds_together = c->row[i]->feasible;
    if (row->holds_together)
        join_marks(row, c);
    else
        join_conflict(c);
    row->marks = row->holds_together ? c->marks : NULL;
    row->bad = c->bad;
    row->bad_count = c->bad_count;
}

/* ---- rows that mats bind ---- */

/* A mat came out below one mark, so that its parts are bound after all, or the parts are not known: the row is settled as
 * one. */
static enum nmk_status settle_bound(struct nmk_chart_row *row, struct nmk_chart *c, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct nmk_settled *s;
    struct nmk_conflict *conflict = NULL;
    enum nmk_status status = nmk_settle(&s, draft, &c->options, list);
    if (status != NMK_OK)
        return status;
    size_t bad = 0;
    for (size_t i = 0; s->holds_together && i < s->length_count; i++)
        c->marks[i] = nmk_draft_designed(draft, i) ? s->marks[i] : nmk_settled_choice(s, i);
    for (size_t i = 0; s->holds_together && i < s->demand_count; i++)
        if (s->views[i][NMK_SETTLED].state != NMK_HOLDS)
            c->bad[bad++] = i;
    if (!s->holds_together)
        status = nmk_conflict_new(&conflict, s);
    for (size_t i = 0; conflict && i < nmk_conflict_count(conflict); i++)
        c->bad[bad++] = nmk_conflict_member(conflict, i)->demand;
    if (status == NMK_OK)
        *row = (struct nmk_chart_row){.holds_together = s->holds_together, .state = s->state,
                                      .marks = s->holds_together ? c->marks : NULL, .bad_count = bad, .bad = c->bad};
    nmk_conflict_free(conflict);
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

static enum nmk_status make_parts(struct nmk_chart *c, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct nmk_clearances *clearances;
    struct nmk_marking *marking;
    enum nmk_status status = nmk_clearances_new(&clearances, draft, list);
    if (status != NMK_OK)
        return status;
    nmk_marking_new(&marking, &(struct nmk_marking_plan){.draft = draft, .clearances = clearances, .options = &c->options,
                                                         .mats_unbound = !nmk_draft_edition(draft)->as_designed});
    nmk_parts_new(&c->parts, clearances, marking);
    for (size_t i = 0; i < clearances->count; i++)
        c->whole |= clearances->all[i].fixes;
    keep_mats(c, marking);
    c->row = nmk_memory_new(c->parts->count, sizeof(struct found *));
    nmk_marking_free(marking);
    nmk_clearances_free(clearances);
    return NMK_OK;
}

enum nmk_status nmk_chart_new(struct nmk_chart **out, const struct nmk_design *design, size_t edition, const struct nmk_rat *step,
                              enum nmk_unit step_unit, const struct nmk_settle_options *options)
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
    grow(c);
    *out = c;
    return NMK_OK;
}

void nmk_chart_free(struct nmk_chart *chart)
{
    if (!chart)
        return;
    forget(chart);
    nmk_parts_free(chart->parts);
    for (size_t i = 0; chart->mats && i < 2 * nmk_design_piece_count(chart->design); i++)
        nmk_affine_clear(&chart->mats[i / 2][i % 2]);
    nmk_memory_free(chart->mats);
    nmk_settle_options_clear(&chart->options);
    nmk_rat_clear(&chart->step);
    nmk_text_clear(&chart->key);
    nmk_memory_free(chart->table);
    nmk_memory_free(chart->row);
    nmk_memory_free(chart->marks);
    nmk_memory_free(chart->bad);
    nmk_memory_free(chart);
}

static enum nmk_status settle_row(struct nmk_chart_row *row, struct nmk_chart *c, const struct nmk_draft *draft, struct nmk_diagnostics *list)
{
    struct nmk_chart_row joined = {0};
    enum nmk_status status = NMK_OK;
    bool small = c->whole;
    if (!small && !look_up(c, draft))
        status = find_row(&small, c, draft, list);
    if (status != NMK_OK)
        return status;
    if (small)
        return settle_bound(row, c, draft, list);
    join_row(&joined, c);
    if (joined.holds_together && !nmk_draft_edition(draft)->as_designed && !mats_are_whole(c, draft))
        return settle_bound(row, c, draft, list);
    *row = joined;
    return NMK_OK;
}

enum nmk_status nmk_chart_settle(struct nmk_chart_row *row, struct nmk_chart *chart, struct nmk_diagnostics *list)
{
    struct nmk_draft *draft;
    if (!row || !chart)
        return NMK_INVALID;
    enum nmk_status status =
        nmk_draft_new(&draft, chart->design, chart->edition, chart->has_step ? &chart->step : NULL, chart->step_unit, list);
    if (status != NMK_OK)
        return status;
    if (!chart->parts)
        status = make_parts(chart, draft, list);
    if (status == NMK_OK)
        status = settle_row(row, chart, draft, list);
    nmk_draft_free(draft);
    return status;
}
