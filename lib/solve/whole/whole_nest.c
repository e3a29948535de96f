#include "solve/whole/whole_nest.h"

#include "base/memory.h"

enum { FEW_SOURCES = 64 }; /* of more the order is not looked at */

void nmk_nest_init(struct nmk_nest *n, const struct nmk_net *net)
{
    *n = (struct nmk_nest){.net = net};
    n->level_of = nmk_memory_new(net->var_count, sizeof *n->level_of);
    for (size_t v = 0; v < net->var_count; v++)
        n->level_of[v] = UINT32_MAX;
}

void nmk_nest_clear(struct nmk_nest *n)
{
    nmk_memory_free(n->level_of);
    nmk_memory_free(n->sources);
    nmk_memory_free(n->levels);
    nmk_memory_free(n->moves);
    nmk_memory_free(n->followers);
    nmk_memory_free(n->ends);
    *n = (struct nmk_nest){0};
}

void nmk_nest_reset(struct nmk_nest *n)
{
    for (size_t l = 0; l < n->level_count; l++)
        n->level_of[n->levels[l].var] = UINT32_MAX;
    n->level_count = n->source_count = n->follower_count = 0;
}

void nmk_nest_add(struct nmk_nest *n, const struct nmk_net_factor *factor, const struct nmk_message *message)
{
    void *data = n->sources;
    nmk_memory_reserve(&data, &n->source_space, n->source_count + 1, sizeof *n->sources);
    n->sources = data;
    n->sources[n->source_count++] = (struct nmk_nest_source){.factor = factor,
                                                    .message = message,
                                                    .vars = factor ? factor->vars : message->vars,
                                                    .count = message ? message->count : factor->map ? 2 : factor->count};
}

static void add_level(struct nmk_nest *n, uint32_t var)
{
    if (n->level_of[var] != UINT32_MAX)
        return;
    void *data = n->levels;
    nmk_memory_reserve(&data, &n->level_space, n->level_count + 1, sizeof *n->levels);
    n->levels = data;
    n->level_of[var] = (uint32_t)n->level_count;
    n->levels[n->level_count++] = (struct nmk_nest_level){.var = var, .cells = n->net->vars[var].cells};
}

static void count_missing(struct nmk_nest *n, struct nmk_nest_source *s)
{
    s->missing = 0;
    for (uint32_t k = 0; k < s->count; k++)
        s->missing += n->level_of[s->vars[k]] == UINT32_MAX;
}

/* Always next the source that needs the fewest further loops: it can forbid the earliest. */
static void order_levels(struct nmk_nest *n, uint32_t var)
{
    n->level_count = 0;
    add_level(n, var);
    bool few = n->source_count <= FEW_SOURCES;
    for (size_t done = 0; done < n->source_count; done++) {
        struct nmk_nest_source *next = &n->sources[done];
        for (size_t k = done; few && k < n->source_count; k++) {
            count_missing(n, &n->sources[k]);
            if (n->sources[k].missing < next->missing || k == done)
                next = &n->sources[k];
        }
        struct nmk_nest_source taken = *next;
        *next = n->sources[done];
        n->sources[done] = taken;
        for (uint32_t k = 0; k < taken.count; k++)
            add_level(n, taken.vars[k]);
    }
}

static bool is_map(const struct nmk_nest_source *s)
{
    return s->factor && s->factor->map;
}

/* What two maps give gets a loop: they have to agree. */
static void add_levels_given_twice(struct nmk_nest *n)
{
    for (size_t s = 0; s < n->source_count; s++)
        for (size_t t = 0; t < s && is_map(&n->sources[s]); t++)
            if (is_map(&n->sources[t]) && n->sources[s].vars[2] == n->sources[t].vars[2])
                add_level(n, n->sources[s].vars[2]);
}

/* What the maps give: a loop's variable, or one that follows. */
static void place_given(struct nmk_nest *n)
{
    add_levels_given_twice(n);
    for (size_t s = 0; s < n->source_count; s++) {
        struct nmk_nest_source *source = &n->sources[s];
        if (!is_map(source))
            continue;
        uint32_t given = source->vars[2];
        source->given_level = n->level_of[given];
        if (source->given_level != NMK_NEST_FOLLOWS)
            continue;
        void *data = n->followers;
        nmk_memory_reserve(&data, &n->follower_space, n->follower_count + 1, sizeof *n->followers);
        n->followers = data;
        n->followers[n->follower_count++] = (struct nmk_nest_follower){.var = given, .source = (uint32_t)s};
    }
}

static bool is_filter(const struct nmk_nest_source *s)
{
    return is_map(s) && s->given_level != NMK_NEST_FOLLOWS;
}

static uint64_t stride_in_source(const struct nmk_nest *n, const struct nmk_nest_source *s, uint32_t k)
{
    if (s->message)
        return s->message->strides[k];
    return nmk_net_size(n->net, s->vars + k + 1, s->count - k - 1);
}

/* Counting sort of all moves by level, and of the sources by the level at which they are complete. */
static void place_moves(struct nmk_nest *n)
{
    size_t moves = n->level_count; /* the outgoing message has one each but for level 0 */
    for (size_t s = 0; s < n->source_count; s++)
        moves += n->sources[s].count;
    void *data = n->moves;
    nmk_memory_reserve(&data, &n->move_space, moves, sizeof *n->moves);
    n->moves = data;
    data = n->ends;
    nmk_memory_reserve(&data, &n->end_space, n->source_count, sizeof *n->ends);
    n->ends = data;
    for (size_t s = 0; s < n->source_count; s++) {
        uint32_t last = 0;
        for (uint32_t k = 0; k < n->sources[s].count; k++) {
            uint32_t level = n->level_of[n->sources[s].vars[k]];
            n->levels[level].move_count++;
            last = level > last ? level : last;
        }
        if (is_filter(&n->sources[s]) && n->sources[s].given_level > last)
            last = n->sources[s].given_level;
        n->sources[s].missing = last;
        n->levels[last].end_count++;
    }
    for (size_t l = 0, move = 0, end = 0; l < n->level_count; l++) {
        n->levels[l].first_move = move;
        n->levels[l].first_end = end;
        move += n->levels[l].move_count + (l > 0);
        end += n->levels[l].end_count;
        n->levels[l].move_count = n->levels[l].end_count = 0;
    }
    for (size_t s = 0; s < n->source_count; s++) {
        struct nmk_nest_level *last = &n->levels[n->sources[s].missing];
        n->ends[last->first_end + last->end_count++] = (uint32_t)s;
        for (uint32_t k = 0; k < n->sources[s].count; k++) {
            struct nmk_nest_level *l = &n->levels[n->level_of[n->sources[s].vars[k]]];
            uint64_t stride = stride_in_source(n, &n->sources[s], k);
            n->moves[l->first_move + l->move_count++] = (struct nmk_nest_move){.source = (uint32_t)s, .stride = stride};
            if (l == n->levels)
                n->sources[s].own_stride = stride;
        }
    }
}

void nmk_nest_lay_out(struct nmk_nest *n, uint32_t var)
{
    order_levels(n, var);
    place_given(n);
    place_moves(n);
}

void nmk_nest_shift(struct nmk_nest *n, const struct nmk_nest_level *l, uint64_t times)
{
    for (size_t k = l->first_move; k < l->first_move + l->move_count; k++) {
        const struct nmk_nest_move *m = &n->moves[k];
        if (m->source == n->source_count)
            n->out_at += m->stride * times;
        else
            n->sources[m->source].at += m->stride * times;
    }
}
