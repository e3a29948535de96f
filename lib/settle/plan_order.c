/* The cuts in their order: the fewest settings (solve/moves.h).
 *
 * Slices cut one after the other from the same edge of a part are a *row*. They may be cut in any order: each is measured
 * from that edge anew, and what is left at the end is the same. So the cuts of a row wait only for the part they are cut
 * from, what is cut from a slice for that slice, and what is cut from the rest for the whole row. Where things then lie on
 * the sheet follows from the order, so that it is said here. */
#include <stdlib.h>

#include "base/memory.h"
#include "settle/planning.h"
#include "solve/cutting/moves.h"

#define ORDER_EFFORT UINT64_C(20000000) /* a tenth of a second; most designs need a thousandth of it */

struct row {
    size_t left;    /* cuts to be done */
    size_t in_hand; /* the cut of the tree whose part is what is left of it now */
};

struct order {
    struct nmk_plan *plan;
    size_t *cut_of_part, *made_by;         /* by part; NMK_NONE: not cut further, a sheet */
    size_t *by_distance, *starts;          /* cuts, the largest distance first; of each setting from starts[s] on */
    struct row *rows;
    struct nmk_moves_job *jobs;            /* by cut; the group is its row */
    bool *done;                            /* by cut */
    size_t *born;                          /* by part: after so many cuts */
    struct nmk_moves_problem problem;
    size_t strips, offcuts;                /* named so far */
};

/* ---- settings ---- */

struct keyed {
    int64_t distance;
    size_t cut;
};

static int compare_keyed(const void *left, const void *right)
{
    const struct keyed *a = left, *b = right;
    if (a->distance != b->distance)
        return a->distance < b->distance ? 1 : -1;
    return (a->cut > b->cut) - (a->cut < b->cut);
}

static void list_settings(struct order *o)
{
    size_t count = o->plan->cut_count;
    struct keyed *keys = nmk_memory_new(count, sizeof *keys);
    for (size_t i = 0; i < count; i++)
        keys[i] = (struct keyed){o->plan->cuts[i].distance, i};
    if (count)
        qsort(keys, count, sizeof *keys, compare_keyed);
    for (size_t i = 0; i < count; i++) {
        if (!i || keys[i].distance != keys[i - 1].distance)
            o->starts[o->problem.setting_count++] = i;
        o->by_distance[i] = keys[i].cut;
        o->jobs[keys[i].cut].setting = o->problem.setting_count - 1;
    }
    o->starts[o->problem.setting_count] = count;
    nmk_memory_free(keys);
}

/* ---- rows ---- */

static bool is_in_row(const struct nmk_plan_cut *last, const struct nmk_plan_cut *cut)
{
    return last->second == cut->part && last->across == cut->across && last->from_first == cut->from_first;
}

/* A part is cut later in the list than what it comes from. */
static void wait_for(struct order *o, size_t cut)
{
    const struct nmk_plan_cut *c = &o->plan->cuts[cut];
    struct nmk_moves_job *job = &o->jobs[cut];
    size_t before = o->made_by[c->part];
    job->after_job = job->after_group = NMK_MOVES_NONE;
    if (before != NMK_NONE && is_in_row(&o->plan->cuts[before], c)) {
        job->group = o->jobs[before].group;
        job->after_job = o->jobs[before].after_job;
        job->after_group = o->jobs[before].after_group;
        o->rows[job->group].left++;
        return;
    }
    if (before != NMK_NONE && o->plan->cuts[before].first == c->part)
        job->after_job = before;
    else if (before != NMK_NONE)
        job->after_group = o->jobs[before].group;
    job->group = o->problem.group_count++;
    o->rows[job->group] = (struct row){1, cut};
}

static void order_init(struct order *o, struct nmk_plan *plan)
{
    size_t cuts = plan->cut_count;
    *o = (struct order){.plan = plan, .problem = {.job_count = cuts}};
    o->cut_of_part = nmk_memory_new(plan->part_count, sizeof *o->cut_of_part);
    o->made_by = nmk_memory_new(plan->part_count, sizeof *o->made_by);
    o->by_distance = nmk_memory_new(cuts, sizeof *o->by_distance);
    o->starts = nmk_memory_new(cuts + 1, sizeof *o->starts);
    o->rows = nmk_memory_new(cuts, sizeof *o->rows);
    o->jobs = nmk_memory_new(cuts, sizeof *o->jobs);
    o->done = nmk_memory_new(cuts, sizeof *o->done);
    o->born = nmk_memory_new(plan->part_count, sizeof *o->born);
    o->problem.jobs = o->jobs;
    for (size_t i = 0; i < plan->part_count; i++)
        o->cut_of_part[i] = o->made_by[i] = NMK_NONE;
    for (size_t i = 0; i < cuts; i++) {
        o->cut_of_part[plan->cuts[i].part] = i;
        o->made_by[plan->cuts[i].first] = o->made_by[plan->cuts[i].second] = i;
    }
    list_settings(o);
    for (size_t i = 0; i < cuts; i++)
        wait_for(o, i);
}

static void order_clear(struct order *o)
{
    nmk_memory_free(o->cut_of_part);
    nmk_memory_free(o->made_by);
    nmk_memory_free(o->by_distance);
    nmk_memory_free(o->starts);
    nmk_memory_free(o->rows);
    nmk_memory_free(o->jobs);
    nmk_memory_free(o->done);
    nmk_memory_free(o->born);
}

/* ---- doing a cut ---- */

/* Where the two parts of a cut lie, and how large they are. */
static void lay_parts(struct nmk_plan *plan, const struct nmk_plan_step *step, bool from_first)
{
    const struct nmk_plan_part *from = &plan->parts[step->part];
    struct nmk_plan_part *first = &plan->parts[step->first], *second = &plan->parts[step->second];
    enum nmk_way along = step->way;
    for (int w = 0; w < 2; w++) {
        nmk_rat_set(&first->at[w], &from->at[w]);
        nmk_rat_set(&second->at[w], &from->at[w]);
        nmk_rat_set(&first->size[w], &from->size[w]);
        nmk_rat_set(&second->size[w], &from->size[w]);
    }
    nmk_rat_set(&first->size[along], &step->at);
    nmk_rat_sub(&second->size[along], &from->size[along], &step->at);
    struct nmk_plan_part *later = from_first ? second : first; /* the right or lower one */
    nmk_rat_add(&later->at[along], &later->at[along], from_first ? &first->size[along] : &second->size[along]);
}

/* Cuts the slice from what is left of the row now. */
static void put_cut(struct order *o, size_t cut)
{
    struct nmk_plan *plan = o->plan;
    const struct nmk_plan_cut *c = &plan->cuts[cut], *now = &plan->cuts[o->rows[o->jobs[cut].group].in_hand];
    struct nmk_plan_step *step = nmk_plan_add_step(plan, NMK_PLAN_CUT);
    step->count = plan->parts[c->part].count;
    nmk_rat_set_int(&step->at, c->distance);
    nmk_rat_mul(&step->at, &step->at, &plan->grid);
    step->marks = c->distance % plan->step ? 0 : c->distance / plan->step;
    step->part = now->part;
    step->first = c->first;
    step->second = now->second;
    step->way = c->across ? NMK_ACROSS : NMK_DOWN;
    nmk_plan_lay_edges(step, c->across, c->from_first);
    lay_parts(plan, step, c->from_first);
    o->born[step->first] = o->born[step->second] = plan->step_count;
}

static void do_cut(struct order *o, size_t cut)
{
    struct row *row = &o->rows[o->jobs[cut].group];
    put_cut(o, cut);
    o->done[cut] = true;
    row->left--;
    row->in_hand = o->cut_of_part[o->plan->cuts[row->in_hand].second];
}

static bool is_ready(const struct order *o, size_t cut)
{
    const struct nmk_moves_job *job = &o->jobs[cut];
    if (o->done[cut])
        return false;
    if (job->after_job != NMK_MOVES_NONE)
        return o->done[job->after_job];
    return job->after_group == NMK_MOVES_NONE || !o->rows[job->after_group].left;
}

/* A slice like the one just cut first: three alike are cut one after the other. */
static bool gives_alike(const struct order *o, size_t cut, size_t other)
{
    const struct nmk_plan_part *a = &o->plan->parts[o->plan->cuts[cut].first], *b = &o->plan->parts[o->plan->cuts[other].first];
    return a->kind == b->kind && a->piece == b->piece;
}

/* All cuts of the row at its setting, or only those that give the same as `cut`. */
static void do_row(struct order *o, size_t cut, bool alike)
{
    size_t setting = o->jobs[cut].setting, row = o->jobs[cut].group;
    for (size_t i = o->starts[setting]; i < o->starts[setting + 1]; i++) {
        size_t other = o->by_distance[i];
        if (o->jobs[other].group == row && is_ready(o, other) && (!alike || gives_alike(o, cut, other)))
            do_cut(o, other);
    }
}

static bool lies_so(const struct order *o, size_t cut, int lie)
{
    const struct nmk_plan_cut *c = &o->plan->cuts[cut];
    return c->across == !(lie & 2) && c->from_first == !(lie & 1);
}

/* What the cut is made in: what is left of its row. */
static size_t part_in_hand(const struct order *o, size_t cut)
{
    return o->plan->cuts[o->rows[o->jobs[cut].group].in_hand].part;
}

/* What the last cut left is in hand; else the older part is taken first. */
static bool is_taken_first(const struct order *o, size_t cut, size_t other)
{
    size_t part = part_in_hand(o, cut), than = part_in_hand(o, other);
    size_t held = o->plan->step_count ? o->plan->steps[o->plan->step_count - 1].second : NMK_NONE;
    return part != than && than != held && (part == held || o->born[part] < o->born[than]);
}

/* Of the cuts that can be done at a setting and lie so; NMK_NONE: there is none. */
static size_t next_cut(const struct order *o, size_t setting, int lie)
{
    size_t best = NMK_NONE;
    for (size_t i = o->starts[setting]; i < o->starts[setting + 1]; i++) {
        size_t cut = o->by_distance[i];
        if (is_ready(o, cut) && lies_so(o, cut, lie) && (best == NMK_NONE || is_taken_first(o, cut, best)))
            best = cut;
    }
    return best;
}

/* Everything that can be done at a setting, each way of lying by itself, so that nothing is turned more than need be. */
static void do_setting(struct order *o, size_t setting)
{
    bool any = true;
    o->plan->numbers++;
    o->plan->moves++;
    while (any) {
        any = false;
        for (int lie = 0; lie < 4; lie++)
            for (size_t cut; (cut = next_cut(o, setting, lie)) != NMK_NONE; any = true) {
                do_row(o, cut, true);
                do_row(o, cut, false);
            }
    }
}

/* ---- names ---- */

static void name_part(struct order *o, size_t part)
{
    struct nmk_plan_part *p = &o->plan->parts[part];
    if (p->kind == NMK_PLAN_STRIP)
        p->number = ++o->strips;
    else if (p->kind == NMK_PLAN_OFFCUT)
        p->number = ++o->offcuts;
}

/* What is left between two slices that are alike: nobody lays it aside, nor asks for its name. */
static bool is_passing(const struct order *o, size_t step)
{
    const struct nmk_plan_step *now = &o->plan->steps[step], *next = now + 1;
    return step + 1 < o->plan->step_count && next->number == now->number && next->part == now->second &&
           next->edge == now->edge && o->plan->parts[now->first].kind != NMK_PLAN_OFFCUT &&
           gives_alike(o, o->made_by[now->first], o->made_by[next->first]);
}

static void name_parts(struct order *o)
{
    for (int passing = 0; passing < 2; passing++)
        for (size_t i = 0; i < o->plan->step_count; i++) {
            if (!passing)
                name_part(o, o->plan->steps[i].first);
            if (is_passing(o, i) == (bool)passing)
                name_part(o, o->plan->steps[i].second);
        }
}

enum nmk_status nmk_plan_order_cuts(struct nmk_plan *plan, const struct nmk_plan_options *options)
{
    struct order o;
    struct nmk_moves_answer answer = {.count = 0};
    order_init(&o, plan);
    o.problem.effort = options->effort ? options->effort : ORDER_EFFORT;
    o.problem.progress = options->progress;
    o.problem.context = options->context;
    enum nmk_status status = nmk_moves_solve(&answer, &o.problem);
    for (size_t i = 0; i < answer.count; i++)
        do_setting(&o, answer.settings[i]);
    name_parts(&o);
    plan->moves_bound = answer.bound;
    nmk_moves_answer_clear(&answer);
    order_clear(&o);
    return status;
}
