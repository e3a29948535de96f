/* The cuts in their order. A cut can be done once its part is in hand; cuts at one distance share a setting. The rule: of
 * the settings at which everything that needs them can now be done, the largest first (long cuts, so that each later one
 * has a straight edge to lie on); where there is none, the one at which most is done. */
#include <stdlib.h>

#include "base/memory.h"
#include "settle/planning.h"

struct setting { /* cuts by_distance[from..to) */
    int64_t distance;
    size_t from, to;
    int64_t left, ready; /* cuts to be done; those that can be done now without moving the trimmer */
};

struct order {
    struct nmk_plan *plan;
    size_t *by_distance;   /* cuts, by distance, then by number */
    int64_t *chain;        /* by cut: the cuts at its distance that come ready with it, itself included */
    size_t *cut_of_part;   /* NMK_NONE: not cut further */
    bool *ready, *done;    /* by cut */
    struct setting *settings;
    size_t *setting_of;    /* by cut */
    size_t setting_count;
    size_t strips, offcuts; /* named so far */
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
            o->settings[o->setting_count++] = (struct setting){.distance = keys[i].distance, .from = i};
        struct setting *s = &o->settings[o->setting_count - 1];
        s->to = i + 1;
        s->left++;
        o->by_distance[i] = keys[i].cut;
        o->setting_of[keys[i].cut] = o->setting_count - 1;
    }
    nmk_memory_free(keys);
}

static size_t next_cut(const struct order *o, size_t cut, bool second)
{
    const struct nmk_plan_cut *c = &o->plan->cuts[cut];
    return o->cut_of_part[second ? c->second : c->first];
}

/* Parts are cut later than the part they come from, so that they are counted before it from the end. */
static void count_chains(struct order *o)
{
    for (size_t i = o->plan->cut_count; i-- > 0;) {
        o->chain[i] = 1;
        for (int side = 0; side < 2; side++) {
            size_t next = next_cut(o, i, side);
            if (next != NMK_NONE && o->setting_of[next] == o->setting_of[i])
                o->chain[i] += o->chain[next];
        }
    }
}

static void make_ready(struct order *o, size_t cut, bool inside)
{
    o->ready[cut] = true;
    if (!inside)
        o->settings[o->setting_of[cut]].ready += o->chain[cut];
}

static void order_init(struct order *o, struct nmk_plan *plan)
{
    size_t cuts = plan->cut_count;
    *o = (struct order){.plan = plan};
    o->by_distance = nmk_memory_new(cuts, sizeof *o->by_distance);
    o->chain = nmk_memory_new(cuts, sizeof *o->chain);
    o->cut_of_part = nmk_memory_new(plan->part_count, sizeof *o->cut_of_part);
    o->ready = nmk_memory_new(cuts, sizeof *o->ready);
    o->done = nmk_memory_new(cuts, sizeof *o->done);
    o->settings = nmk_memory_new(cuts, sizeof *o->settings);
    o->setting_of = nmk_memory_new(cuts, sizeof *o->setting_of);
    for (size_t i = 0; i < plan->part_count; i++)
        o->cut_of_part[i] = NMK_NONE;
    for (size_t i = 0; i < cuts; i++)
        o->cut_of_part[plan->cuts[i].part] = i;
    list_settings(o);
    count_chains(o);
    for (size_t i = 0; i < plan->sheet_count; i++)
        if (o->cut_of_part[plan->sheets[i].part] != NMK_NONE)
            make_ready(o, o->cut_of_part[plan->sheets[i].part], false);
}

static void order_clear(struct order *o)
{
    nmk_memory_free(o->by_distance);
    nmk_memory_free(o->chain);
    nmk_memory_free(o->cut_of_part);
    nmk_memory_free(o->ready);
    nmk_memory_free(o->done);
    nmk_memory_free(o->settings);
    nmk_memory_free(o->setting_of);
}

/* ---- doing a cut ---- */

static void name_part(struct order *o, size_t part)
{
    struct nmk_plan_part *p = &o->plan->parts[part];
    if (p->kind == NMK_PLAN_STRIP)
        p->number = ++o->strips;
    else if (p->kind == NMK_PLAN_OFFCUT)
        p->number = ++o->offcuts;
}

static void put_cut(struct order *o, size_t cut)
{
    struct nmk_plan *plan = o->plan;
    const struct nmk_plan_cut *c = &plan->cuts[cut];
    struct nmk_plan_step *step = nmk_plan_add_step(plan, NMK_PLAN_CUT);
    step->count = plan->parts[c->part].count;
    nmk_rat_set_int(&step->at, c->distance);
    nmk_rat_mul(&step->at, &step->at, &plan->grid);
    step->marks = c->distance % plan->step ? 0 : c->distance / plan->step;
    step->part = c->part;
    step->first = c->first;
    step->second = c->second;
    step->way = c->across ? NMK_ACROSS : NMK_DOWN;
    nmk_plan_lay_edges(step, c->across, c->from_first);
    name_part(o, c->first);
    name_part(o, c->second);
}

static void do_cut(struct order *o, size_t cut)
{
    struct setting *s = &o->settings[o->setting_of[cut]];
    put_cut(o, cut);
    o->done[cut] = true;
    s->left--;
    s->ready--;
    for (int side = 0; side < 2; side++) {
        size_t next = next_cut(o, cut, side);
        if (next != NMK_NONE)
            make_ready(o, next, o->setting_of[next] == o->setting_of[cut]);
    }
}

static bool lies_so(const struct order *o, size_t cut, int lie)
{
    const struct nmk_plan_cut *c = &o->plan->cuts[cut];
    return c->across == !(lie & 2) && c->from_first == !(lie & 1);
}

/* The cut, then what it leaves as long as that lies the same way: three alike from one strip, one after the other. */
static void do_run(struct order *o, size_t cut, int lie)
{
    while (cut != NMK_NONE) {
        do_cut(o, cut);
        size_t next = next_cut(o, cut, true);
        bool goes_on = next != NMK_NONE && o->setting_of[next] == o->setting_of[cut] && lies_so(o, next, lie);
        cut = goes_on ? next : NMK_NONE;
    }
}

/* Everything that can be done at a setting, each way of lying by itself, so that nothing is turned more than need be. */
static void do_setting(struct order *o, size_t setting)
{
    const struct setting *s = &o->settings[setting];
    o->plan->numbers++;
    o->plan->moves++;
    while (s->ready > 0)
        for (int lie = 0; lie < 4; lie++)
            for (size_t i = s->from; i < s->to; i++) {
                size_t cut = o->by_distance[i];
                if (o->ready[cut] && !o->done[cut] && lies_so(o, cut, lie))
                    do_run(o, cut, lie);
            }
}

static size_t pick_setting(const struct order *o)
{
    size_t best = NMK_NONE;
    bool best_whole = false;
    for (size_t i = 0; i < o->setting_count; i++) {
        const struct setting *s = &o->settings[i];
        bool whole = s->ready == s->left;
        if (s->ready && (best == NMK_NONE || (whole && !best_whole) ||
                         (!whole && !best_whole && s->ready > o->settings[best].ready))) {
            best = i;
            best_whole = whole;
        }
    }
    return best;
}

void nmk_plan_order_cuts(struct nmk_plan *plan)
{
    struct order o;
    size_t setting;
    order_init(&o, plan);
    while ((setting = pick_setting(&o)) != NMK_NONE)
        do_setting(&o, setting);
    order_clear(&o);
}
