#include "solve/cutting/moves.h"

#include <stdlib.h>

#include "base/memory.h"
#include "solve/cutting/moveboard.h"
#include "solve/cutting/movestore.h"

enum { PROGRESS_STEPS = 1 << 20, WIDEST = 4096 };

struct mover {
    const struct nmk_moves_problem *problem;
    struct nmk_moveboard board;
    struct nmk_moves_answer best; /* count 0, settings NULL: none yet */
    size_t bound;
    uint64_t asked; /* steps when progress was asked for last */
    bool stopped;
};

/* What a search keeps at a node: where its children go. */
typedef void (*put_child)(void *search, size_t node, size_t to_come);

static bool goes_on(struct mover *m, uint64_t end)
{
    if (m->problem->progress && m->board.steps - m->asked >= PROGRESS_STEPS) {
        m->asked = m->board.steps;
        m->stopped = m->stopped || !m->problem->progress(m->problem->context, m->board.steps);
    }
    return !m->stopped && m->board.steps < end;
}

static bool is_better(const struct mover *m, size_t count)
{
    return !m->best.settings || count < m->best.count;
}

/* The moves that lead to a node become the answer. */
static void keep(struct mover *m, const struct nmk_movestore *store, size_t node)
{
    size_t count = store->nodes[node].moves;
    if (!is_better(m, count))
        return;
    nmk_memory_free(m->best.settings);
    m->best.count = count;
    m->best.settings = nmk_memory_new(count, sizeof *m->best.settings);
    for (; count; node = store->nodes[node].parent)
        m->best.settings[--count] = store->nodes[node].setting;
}

/* ---- the moves from a node ---- */

/* A move that finishes its setting; NMK_MOVES_NONE: there is none. The board is as before. */
static size_t finishing_move(struct nmk_moveboard *b)
{
    for (size_t s = 0; s < b->problem->setting_count; s++) {
        if (!b->left[s])
            continue;
        nmk_moveboard_move(b, s);
        bool finished = !b->left[s];
        nmk_moveboard_undo(b, 0);
        if (finished)
            return s;
    }
    return NMK_MOVES_NONE;
}

static void try_move(struct mover *m, struct nmk_movestore *store, size_t from, size_t setting, put_child put, void *search)
{
    struct nmk_moveboard *b = &m->board;
    if (nmk_moveboard_move(b, setting)) {
        struct nmk_movenode child = {from, setting, store->nodes[from].moves + 1, false};
        size_t to_come = nmk_moveboard_to_come(b);
        size_t node = is_better(m, child.moves + to_come) ? nmk_movestore_put(store, b->done, &child) : NMK_MOVES_NONE;
        b->steps += b->words;
        if (node != NMK_MOVES_NONE && b->done_count == b->problem->job_count)
            keep(m, store, node);
        else if (node != NMK_MOVES_NONE)
            put(search, node, to_come);
    }
    nmk_moveboard_undo(b, 0);
}

/* The last setting first: what is put last is taken up first. */
static void expand(struct mover *m, struct nmk_movestore *store, size_t node, put_child put, void *search)
{
    nmk_moveboard_load(&m->board, nmk_movestore_bits(store, node));
    size_t finishing = finishing_move(&m->board);
    if (finishing != NMK_MOVES_NONE) {
        try_move(m, store, node, finishing, put, search);
        return;
    }
    for (size_t s = m->problem->setting_count; s-- > 0;)
        if (m->board.left[s])
            try_move(m, store, node, s, put, search);
}

static void put_start(struct mover *m, struct nmk_movestore *store)
{
    uint64_t *none = nmk_memory_new(m->board.words, sizeof *none);
    nmk_movestore_init(store, m->board.words);
    nmk_movestore_put(store, none, &(struct nmk_movenode){.parent = NMK_MOVES_NONE});
    nmk_memory_free(none);
}

/* ---- A*: nodes by moves + to come, of equals the last met first ---- */

struct pile {
    size_t *nodes;
    size_t *moves; /* at which it was put: it may have been met again with fewer */
    size_t count, node_space, move_space;
};

struct astar {
    struct nmk_movestore store;
    struct pile *piles; /* by sum, from `low` */
    size_t low, pile_count;
};

static void put_on_pile(void *search, size_t node, size_t to_come)
{
    struct astar *a = search;
    size_t moves = a->store.nodes[node].moves;
    struct pile *pile = &a->piles[moves + to_come - a->low];
    void *nodes = pile->nodes, *all = pile->moves;
    nmk_memory_reserve(&nodes, &pile->node_space, pile->count + 1, sizeof *pile->nodes);
    nmk_memory_reserve(&all, &pile->move_space, pile->count + 1, sizeof *pile->moves);
    pile->nodes = nodes;
    pile->moves = all;
    pile->nodes[pile->count] = node;
    pile->moves[pile->count++] = moves;
}

static void take_from_pile(struct mover *m, struct astar *a, struct pile *pile)
{
    size_t node = pile->nodes[--pile->count], moves = pile->moves[pile->count];
    struct nmk_movenode *n = &a->store.nodes[node];
    if (n->taken || n->moves != moves)
        return;
    n->taken = true;
    expand(m, &a->store, node, put_on_pile, a);
}

/* Below the best that is known; every sum that is gone through raises the bound. */
static void search_exactly(struct mover *m, uint64_t end)
{
    struct astar a = {.low = m->bound, .pile_count = m->best.count - m->bound};
    a.piles = nmk_memory_new(a.pile_count, sizeof *a.piles);
    put_start(m, &a.store);
    put_on_pile(&a, 0, m->bound);
    size_t sum = a.low;
    while (sum < m->best.count && goes_on(m, end)) {
        struct pile *pile = &a.piles[sum - a.low];
        if (pile->count)
            take_from_pile(m, &a, pile);
        else
            sum++;
    }
    m->bound = sum;
    for (size_t i = 0; i < a.pile_count; i++) {
        nmk_memory_free(a.piles[i].nodes);
        nmk_memory_free(a.piles[i].moves);
    }
    nmk_memory_free(a.piles);
    nmk_movestore_clear(&a.store);
}

/* ---- a beam: of each number of moves the most promising sets alone ---- */

struct candidate {
    size_t node, to_come, done;
};

struct beam {
    struct nmk_movestore store;
    struct candidate *next;
    size_t next_count, next_space;
    const struct nmk_moveboard *board;
};

static void put_candidate(void *search, size_t node, size_t to_come)
{
    struct beam *b = search;
    void *next = b->next;
    nmk_memory_reserve(&next, &b->next_space, b->next_count + 1, sizeof *b->next);
    b->next = next;
    b->next[b->next_count++] = (struct candidate){node, to_come, b->board->done_count};
}

/* Fewer to come; more done; met later (the earlier setting). */
static int compare_candidates(const void *left, const void *right)
{
    const struct candidate *a = left, *b = right;
    if (a->to_come != b->to_come)
        return a->to_come < b->to_come ? -1 : 1;
    if (a->done != b->done)
        return a->done > b->done ? -1 : 1;
    return (a->node < b->node) - (a->node > b->node);
}

static void search_beam(struct mover *m, size_t width, uint64_t end)
{
    struct beam b = {.board = &m->board};
    put_start(m, &b.store);
    size_t *level = nmk_memory_new(width, sizeof *level), level_count = 1;
    while (level_count && goes_on(m, end)) {
        b.next_count = 0;
        for (size_t i = 0; i < level_count && goes_on(m, end); i++)
            expand(m, &b.store, level[i], put_candidate, &b);
        if (b.next_count)
            qsort(b.next, b.next_count, sizeof *b.next, compare_candidates);
        level_count = b.next_count < width ? b.next_count : width;
        for (size_t i = 0; i < level_count; i++)
            level[i] = b.next[i].node;
    }
    nmk_memory_free(level);
    nmk_memory_free(b.next);
    nmk_movestore_clear(&b.store);
}

/* ---- the whole ---- */

static bool is_valid(const struct nmk_moves_problem *p)
{
    size_t *last = nmk_memory_new(p->group_count, sizeof *last); /* by group: its last job + 1 */
    bool valid = true;
    for (size_t i = 0; i < p->job_count && valid; i++) {
        valid = p->jobs[i].setting < p->setting_count && p->jobs[i].group < p->group_count;
        if (valid)
            last[p->jobs[i].group] = i + 1;
    }
    for (size_t i = 0; i < p->job_count && valid; i++) {
        const struct nmk_moves_job *job = &p->jobs[i];
        bool after_job = job->after_job != NMK_MOVES_NONE, after_group = job->after_group != NMK_MOVES_NONE;
        valid = !(after_job && after_group) && (!after_job || job->after_job < i) &&
                (!after_group || (job->after_group < p->group_count && last[job->after_group] <= i));
    }
    nmk_memory_free(last);
    return valid;
}

/* A narrow beam always ends: it is no part of the effort. Then exactly with half of it; then as wide as the rest allows. */
static void search(struct mover *m)
{
    const struct nmk_moves_problem *p = m->problem;
    search_beam(m, 1, UINT64_MAX);
    if (m->best.count > m->bound && !m->stopped)
        search_exactly(m, m->board.steps + p->effort / 2);
    uint64_t one = 8 * (uint64_t)(p->job_count + p->setting_count) * (m->best.count + 1), width = p->effort / 2 / one;
    if (m->best.count > m->bound && !m->stopped && width > 1)
        search_beam(m, width < WIDEST ? (size_t)width : WIDEST, m->board.steps + p->effort / 2);
}

enum nmk_status nmk_moves_solve(struct nmk_moves_answer *out, const struct nmk_moves_problem *problem)
{
    if (!out || !problem || (problem->job_count && !problem->jobs) || !is_valid(problem))
        return NMK_INVALID;
    struct mover m = {.problem = problem};
    nmk_moveboard_init(&m.board, problem);
    m.bound = nmk_moveboard_to_come(&m.board);
    if (problem->job_count)
        search(&m);
    nmk_moveboard_clear(&m.board);
    if (m.stopped) {
        nmk_moves_answer_clear(&m.best);
        return NMK_STOPPED;
    }
    m.best.bound = m.bound < m.best.count ? m.bound : m.best.count;
    *out = m.best;
    return NMK_OK;
}

void nmk_moves_answer_clear(struct nmk_moves_answer *answer)
{
    nmk_memory_free(answer->settings);
    *answer = (struct nmk_moves_answer){.count = 0};
}
