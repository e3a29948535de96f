#include "nearmark/cutting.h"

#include <assert.h>

#include "base/memory.h"
#include "solve/cutting/cuttree.h"
#include "solve/cutting/sheeter.h"

enum { NEAT_RULES = 1500 };

struct planner {
    const struct nmk_cutting_problem *problem;
    struct nmk_sheeter sheeter;
    struct nmk_cuttree tree; /* the best by all aims */
    bool has_tree;
};

/* --- the question --- */

static bool is_valid(const struct nmk_cutting_problem *p)
{
    if (!p->kind_count || !p->kinds || (p->piece_count && !p->pieces) || p->reach < 0)
        return false;
    for (size_t i = 0; i < p->kind_count; i++)
        if (p->kinds[i].width < 1 || p->kinds[i].height < 1)
            return false;
    for (size_t i = 0; i < p->piece_count; i++)
        if (p->pieces[i].width < 1 || p->pieces[i].height < 1 || p->pieces[i].demand < 0)
            return false;
    return true;
}

static int64_t common_divisor(int64_t a, int64_t b)
{
    return b ? common_divisor(b, a % b) : a;
}

static bool is_small_enough(const struct nmk_cutting_problem *p)
{
    int64_t unit = 0, pieces = 0;
    for (size_t i = 0; i < p->piece_count; i++) {
        if (p->pieces[i].demand > NMK_CUTTING_MOST_PIECES - pieces)
            return false;
        pieces += p->pieces[i].demand;
        if (p->pieces[i].demand)
            unit = common_divisor(common_divisor(unit, p->pieces[i].width), p->pieces[i].height);
    }
    for (size_t i = 0; i < p->kind_count; i++)
        unit = common_divisor(common_divisor(unit, p->kinds[i].width), p->kinds[i].height);
    /* areas are counted in the caller's sizes too */
    for (size_t i = 0; i < p->kind_count; i++)
        if (p->kinds[i].width / unit > NMK_CUTTING_LARGEST || p->kinds[i].height / unit > NMK_CUTTING_LARGEST ||
            p->kinds[i].width > INT64_MAX / p->kinds[i].height)
            return false;
    return p->kind_count <= NMK_CUTTING_MOST_KINDS;
}

static bool fits_a_kind(const struct nmk_cutting_problem *p, const struct nmk_cutting_piece *piece)
{
    for (size_t k = 0; k < p->kind_count; k++) {
        int64_t width = p->kinds[k].width, height = p->kinds[k].height;
        if ((piece->width <= width && piece->height <= height) ||
            (piece->may_turn && piece->height <= width && piece->width <= height))
            return true;
    }
    return false;
}

/* The first piece wanted that fits no sheet; piece_count: none. */
static size_t find_too_big(const struct nmk_cutting_problem *p)
{
    size_t i = 0;
    while (i < p->piece_count && (!p->pieces[i].demand || fits_a_kind(p, &p->pieces[i])))
        i++;
    return i;
}

/* --- the best plan by all aims --- */

static bool is_better(const struct planner *p, const struct nmk_cuttree *new)
{
    const struct nmk_cuttree *old = &p->tree;
    if (!p->problem->any_settings && new->settings != old->settings)
        return new->settings < old->settings;
    return !p->problem->any_offcut &&
           new->offcut_width * new->offcut_height > old->offcut_width * old->offcut_height;
}

/* Lays a plan out in every way and keeps the best; the plan must have the fewest sheets known. */
static bool consider(struct planner *p, const struct nmk_cutplan *plan)
{
    for (int way = 0; way < NMK_SPARE_WAYS; way++) {
        struct nmk_cuttree tree;
        if (!nmk_cuttree_make(&tree, &p->sheeter.job, plan, p->problem->reach, (enum nmk_spare_way)way))
            return p->has_tree;
        nmk_cutjob_spend(&p->sheeter.job, 8 * tree.node_count);
        if (!p->has_tree || is_better(p, &tree)) {
            nmk_cuttree_clear(&p->tree);
            p->tree = tree;
            p->has_tree = true;
        } else {
            nmk_cuttree_clear(&tree);
        }
    }
    return true;
}

/* --- the second and third aim --- */

/* Other plans with as few sheets, for the second and third aim. */
static void look_for_neat(struct planner *p)
{
    struct nmk_cutplan plan = {0};
    uint64_t enough = p->sheeter.job.steps + p->sheeter.job.most_steps / 16;
    for (uint64_t rule = 0; rule < NEAT_RULES && p->sheeter.job.steps < enough && nmk_cutjob_goes_on(&p->sheeter.job); rule++)
        if (nmk_bestfit_plan(&p->sheeter.bestfit, &p->sheeter.job, rule, p->sheeter.best.total, &plan) &&
            plan.total == p->sheeter.best.total)
            consider(p, &plan);
    nmk_cutplan_clear(&plan);
}

/* --- the answer --- */

struct naming {
    int64_t *left;  /* of each piece */
    int64_t *taken; /* by the pattern in hand */
    size_t *of_lot; /* the pieces of each lot, one lot after the other */
    size_t *starts;
};

static void naming_init(struct naming *n, const struct planner *p)
{
    size_t pieces = p->problem->piece_count, lots = p->sheeter.job.lot_count;
    n->left = nmk_memory_new(pieces, sizeof *n->left);
    n->taken = nmk_memory_new(pieces, sizeof *n->taken);
    n->of_lot = nmk_memory_new(pieces, sizeof *n->of_lot);
    n->starts = nmk_memory_new(lots + 2, sizeof *n->starts);
    for (size_t i = 0; i < pieces; i++) {
        n->left[i] = p->problem->pieces[i].demand;
        if (n->left[i])
            n->starts[p->sheeter.job.lot_of_piece[i] + 2]++;
    }
    for (size_t i = 2; i < lots + 2; i++)
        n->starts[i] += n->starts[i - 1];
    for (size_t i = 0; i < pieces; i++)
        if (n->left[i])
            n->of_lot[n->starts[p->sheeter.job.lot_of_piece[i] + 1]++] = i;
}

static void naming_clear(struct naming *n)
{
    nmk_memory_free(n->left);
    nmk_memory_free(n->taken);
    nmk_memory_free(n->of_lot);
    nmk_memory_free(n->starts);
}

/* The next piece of the lot that is still wanted. */
static size_t take_piece(struct naming *n, size_t lot)
{
    size_t i = n->starts[lot];
    while (n->left[n->of_lot[i]] <= n->taken[n->of_lot[i]])
        i++;
    assert(i < n->starts[lot + 1]);
    n->taken[n->of_lot[i]]++;
    return n->of_lot[i];
}

static void name_node(struct nmk_cutting_node *node, const struct nmk_cutting_piece *piece, size_t number)
{
    node->piece = number;
    node->turned = node->width != piece->width || node->height != piece->height;
}

/* Names the pieces of one pattern; returns how many copies can be cut with those. */
static int64_t name_pattern(struct naming *n, const struct planner *p, struct nmk_cutting_pattern *pattern)
{
    int64_t copies = pattern->copies;
    size_t pieces = p->problem->piece_count;
    for (size_t i = 0; i < pieces; i++)
        n->taken[i] = 0;
    for (size_t i = 0; i < pattern->node_count; i++)
        if (pattern->nodes[i].use == NMK_CUTTING_PIECE) {
            size_t piece = take_piece(n, pattern->nodes[i].piece);
            name_node(&pattern->nodes[i], &p->problem->pieces[piece], piece);
        }
    for (size_t i = 0; i < pieces; i++)
        if (n->taken[i] && n->left[i] / n->taken[i] < copies)
            copies = n->left[i] / n->taken[i];
    for (size_t i = 0; i < pieces; i++)
        n->left[i] -= copies * n->taken[i];
    return copies;
}

static void add_pattern(struct nmk_cutting_answer *answer, size_t *space, const struct nmk_cutting_pattern *pattern)
{
    void *patterns = answer->patterns;
    nmk_memory_reserve(&patterns, space, answer->pattern_count + 1, sizeof *answer->patterns);
    answer->patterns = patterns;
    answer->patterns[answer->pattern_count++] = *pattern;
}

/* Lots become pieces again; where equal pieces stand several times in the caller's list, a pattern may have to be said
 * once for each. */
static void name_pieces(struct nmk_cutting_answer *answer, struct planner *p)
{
    struct naming naming;
    size_t space = 0;
    naming_init(&naming, p);
    for (size_t i = 0; i < p->tree.sheet_count; i++)
        while (p->tree.patterns[i].copies) {
            const struct nmk_cutting_pattern *from = &p->tree.patterns[i];
            struct nmk_cutting_pattern pattern = *from;
            pattern.nodes = nmk_memory_new(from->node_count, sizeof *pattern.nodes);
            for (size_t n = 0; n < from->node_count; n++)
                pattern.nodes[n] = from->nodes[n];
            pattern.copies = name_pattern(&naming, p, &pattern);
            p->tree.patterns[i].copies -= pattern.copies;
            add_pattern(answer, &space, &pattern);
        }
    naming_clear(&naming);
}

static void give_answer(struct nmk_cutting_answer *out, struct planner *p)
{
    struct nmk_cutting_answer answer = {.outcome =
                                            p->sheeter.bound < p->sheeter.best.total ? NMK_CUTTING_FOUND : NMK_CUTTING_PROVED,
                                        .sheets = p->sheeter.best.total,
                                        .bound = p->sheeter.bound,
                                        .settings = p->tree.settings,
                                        .offcut_width = p->tree.offcut_width,
                                        .offcut_height = p->tree.offcut_height,
                                        .steps = p->sheeter.job.steps};
    name_pieces(&answer, p);
    *out = answer;
}

static enum nmk_status make_plan(struct planner *p)
{
    nmk_sheeter_plan(&p->sheeter);
    if (p->sheeter.job.stopped)
        return NMK_STOPPED;
    if (!consider(p, &p->sheeter.best))
        return NMK_TOO_LARGE;
    if (!p->problem->any_settings || !p->problem->any_offcut)
        look_for_neat(p);
    return p->sheeter.job.stopped ? NMK_STOPPED : NMK_OK;
}

enum nmk_status nmk_cutting_solve(struct nmk_cutting_answer *out, const struct nmk_cutting_problem *problem)
{
    if (!out || !problem || !is_valid(problem))
        return NMK_INVALID;
    size_t too_big = find_too_big(problem);
    if (too_big < problem->piece_count) {
        *out = (struct nmk_cutting_answer){.outcome = NMK_CUTTING_TOO_BIG, .too_big = too_big};
        return NMK_OK;
    }
    if (!is_small_enough(problem))
        return NMK_TOO_LARGE;
    struct planner p = {.problem = problem};
    nmk_sheeter_init(&p.sheeter, problem);
    enum nmk_status status = NMK_OK;
    if (p.sheeter.job.lot_count)
        status = make_plan(&p);
    if (status == NMK_OK)
        give_answer(out, &p);
    nmk_cuttree_clear(&p.tree);
    nmk_sheeter_clear(&p.sheeter);
    return status;
}

void nmk_cutting_answer_clear(struct nmk_cutting_answer *answer)
{
    for (size_t i = 0; i < answer->pattern_count; i++)
        nmk_memory_free(answer->patterns[i].nodes);
    nmk_memory_free(answer->patterns);
    *answer = (struct nmk_cutting_answer){0};
}
