/* The independent checker: written from nearmark/cutting.h alone; it shares no code with the solver. */
#include "base/memory.h"
#include "nearmark/cutting.h"

struct audit {
    const struct nmk_cutting_problem *problem;
    const struct nmk_cutting_answer *answer;
    int64_t *made; /* one number a piece */
    int64_t *distances;
    size_t distance_count, distance_space;
    int64_t best_area, stated_seen;
    const char *why;
};

static bool wrong(struct audit *a, const char *why)
{
    a->why = why;
    return false;
}

static bool fits_some_sheet(const struct nmk_cutting_problem *p, const struct nmk_cutting_piece *piece)
{
    for (size_t k = 0; k < p->kind_count; k++) {
        const struct nmk_cutting_kind *kind = &p->kinds[k];
        if (piece->width <= kind->width && piece->height <= kind->height)
            return true;
        if (piece->may_turn && piece->height <= kind->width && piece->width <= kind->height)
            return true;
    }
    return false;
}

static bool check_piece(struct audit *a, const struct nmk_cutting_node *n, int64_t copies)
{
    if (n->piece >= a->problem->piece_count)
        return wrong(a, "no such piece");
    const struct nmk_cutting_piece *piece = &a->problem->pieces[n->piece];
    if (n->turned && !piece->may_turn)
        return wrong(a, "a piece is turned that may not be");
    if (n->width != (n->turned ? piece->height : piece->width) || n->height != (n->turned ? piece->width : piece->height))
        return wrong(a, "a piece has the wrong size");
    if (copies > piece->demand - a->made[n->piece])
        return wrong(a, "more of a piece than wanted");
    a->made[n->piece] += copies;
    return true;
}

static void note_distance(struct audit *a, int64_t distance)
{
    void *room = a->distances;
    nmk_memory_reserve(&room, &a->distance_space, a->distance_count + 1, sizeof *a->distances);
    a->distances = room;
    size_t at = a->distance_count;
    while (at > 0 && a->distances[at - 1] > distance)
        at--;
    if (at > 0 && a->distances[at - 1] == distance)
        return;
    for (size_t i = a->distance_count; i > at; i--)
        a->distances[i] = a->distances[i - 1];
    a->distances[at] = distance;
    a->distance_count++;
}

/* The parts must be exactly what the cut leaves: then they lie within their whole, do not overlap, and nothing is lost. */
static bool check_cut(struct audit *a, const struct nmk_cutting_pattern *p, size_t number, bool *reached)
{
    const struct nmk_cutting_node *n = &p->nodes[number];
    int64_t whole = n->use == NMK_CUTTING_ACROSS ? n->width : n->height;
    if (n->at <= 0 || n->at >= whole)
        return wrong(a, "a cut outside its part");
    if (n->first <= number || n->second <= number || n->first >= p->node_count || n->second >= p->node_count ||
        n->first == n->second || reached[n->first] || reached[n->second])
        return wrong(a, "the parts of a cut are not in order");
    int64_t distance = n->from_first ? n->at : whole - n->at;
    if (a->problem->reach && distance > a->problem->reach)
        return wrong(a, "a cut beyond the reach");
    const struct nmk_cutting_node *f = &p->nodes[n->first], *s = &p->nodes[n->second];
    reached[n->first] = reached[n->second] = true;
    note_distance(a, distance);
    bool same;
    if (n->use == NMK_CUTTING_ACROSS)
        same = f->x == n->x && f->y == n->y && f->width == n->at && f->height == n->height && s->x == n->x + n->at &&
               s->y == n->y && s->width == n->width - n->at && s->height == n->height;
    else
        same = f->x == n->x && f->y == n->y && f->width == n->width && f->height == n->at && s->x == n->x &&
               s->y == n->y + n->at && s->width == n->width && s->height == n->height - n->at;
    return same || wrong(a, "the parts of a cut are not what it leaves");
}

static void note_offcut(struct audit *a, const struct nmk_cutting_node *n)
{
    if (n->width * n->height > a->best_area)
        a->best_area = n->width * n->height;
    if (n->width == a->answer->offcut_width && n->height == a->answer->offcut_height)
        a->stated_seen = 1;
}

static bool check_node(struct audit *a, const struct nmk_cutting_pattern *p, size_t number, bool *reached)
{
    const struct nmk_cutting_node *n = &p->nodes[number];
    if (!reached[number])
        return wrong(a, "a part that no cut makes");
    switch (n->use) {
    case NMK_CUTTING_ACROSS:
    case NMK_CUTTING_DOWN:
        return check_cut(a, p, number, reached);
    case NMK_CUTTING_PIECE:
        return check_piece(a, n, p->copies);
    case NMK_CUTTING_OFFCUT:
        note_offcut(a, n);
        return true;
    default:
        return wrong(a, "a part of no use");
    }
}

static bool check_pattern(struct audit *a, const struct nmk_cutting_pattern *p)
{
    if (p->kind >= a->problem->kind_count || p->copies < 1 || p->node_count < 1 || !p->nodes)
        return wrong(a, "a pattern without a sheet");
    const struct nmk_cutting_kind *kind = &a->problem->kinds[p->kind];
    const struct nmk_cutting_node *root = &p->nodes[0];
    if (root->x || root->y || root->width != kind->width || root->height != kind->height)
        return wrong(a, "a pattern does not begin with its sheet");
    bool *reached = nmk_memory_new(p->node_count, sizeof *reached);
    reached[0] = true;
    bool right = true;
    for (size_t i = 0; right && i < p->node_count; i++)
        right = check_node(a, p, i, reached);
    nmk_memory_free(reached);
    return right;
}

static bool check_sums(struct audit *a)
{
    const struct nmk_cutting_answer *answer = a->answer;
    int64_t sheets = 0;
    for (size_t i = 0; i < answer->pattern_count; i++)
        sheets += answer->patterns[i].copies;
    for (size_t i = 0; i < a->problem->piece_count; i++)
        if (a->made[i] != a->problem->pieces[i].demand)
            return wrong(a, "fewer of a piece than wanted");
    if (sheets != answer->sheets)
        return wrong(a, "the number of sheets is not as stated");
    if (answer->settings != (int64_t)a->distance_count)
        return wrong(a, "the number of settings is not as stated");
    if (answer->offcut_width * answer->offcut_height != a->best_area || (a->best_area && !a->stated_seen))
        return wrong(a, "the largest offcut is not as stated");
    if (answer->bound > sheets || (answer->outcome == NMK_CUTTING_PROVED) != (answer->bound == sheets))
        return wrong(a, "the bound and the outcome do not agree");
    return true;
}

static bool check_plan(struct audit *a)
{
    if (a->answer->pattern_count && !a->answer->patterns)
        return wrong(a, "no patterns");
    for (size_t i = 0; i < a->answer->pattern_count; i++)
        if (!check_pattern(a, &a->answer->patterns[i]))
            return false;
    return check_sums(a);
}

static bool check_too_big(struct audit *a)
{
    const struct nmk_cutting_answer *answer = a->answer;
    if (answer->pattern_count || answer->too_big >= a->problem->piece_count)
        return wrong(a, "a piece is said to be too big, but which?");
    for (size_t i = 0; i <= answer->too_big; i++) {
        const struct nmk_cutting_piece *piece = &a->problem->pieces[i];
        if (piece->demand && fits_some_sheet(a->problem, piece) == (i == answer->too_big))
            return wrong(a, "the first piece that is too big is another");
    }
    return a->problem->pieces[answer->too_big].demand > 0 || wrong(a, "the piece that is too big is not wanted");
}

bool nmk_cutting_check(const struct nmk_cutting_problem *problem, const struct nmk_cutting_answer *answer,
                       const char **why)
{
    struct audit a = {.problem = problem, .answer = answer};
    bool right;
    if (answer->outcome == NMK_CUTTING_TOO_BIG) {
        right = check_too_big(&a);
    } else {
        a.made = nmk_memory_new(problem->piece_count, sizeof *a.made);
        right = check_plan(&a);
        nmk_memory_free(a.made);
        nmk_memory_free(a.distances);
    }
    if (why)
        *why = a.why;
    return right;
}
