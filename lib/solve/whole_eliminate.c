/* Bucket elimination. Taking out x: all factors and messages that mention x are added, over all combinations of x and
 * its neighbours S, and for each combination of S the best x stays (aims: ordered monoids, so the best of a sum is the
 * sum of bests). Combinations are visited depth first, x outermost, and left as soon as one factor does not allow them:
 * the work is that of a join, not of the full product. */
#include "solve/whole_eliminate.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"
#include "solve/whole_message.h"
#include "solve/whole_value.h"

#ifdef NMK_STRESS
enum { DIRECT = 4 };
#else
enum { DIRECT = 1 << 14 };
#endif

/* A factor or message in the bucket of x. */
struct source {
    const struct nmk_net_factor *factor;
    const struct nmk_message *message;
    const uint32_t *vars;
    uint32_t count, missing; /* variables, and those without a place in the nest yet */
    uint64_t at;             /* the running place */
    uint32_t found;          /* entry + 1 of the present combination */
};

struct move {
    uint32_t source; /* source_count: the outgoing message */
    uint64_t stride;
};

/* One loop of the nest. */
struct level {
    uint32_t var, cells, cell;
    size_t first_move, move_count, first_end, end_count;
};

struct eliminator {
    const struct nmk_net *net;
    struct nmk_work *work;
    struct nmk_arena arena;
    struct nmk_message *messages; /* of each variable */
    uint64_t most_entries;
    uint32_t *uses_first, *uses; /* factors of each variable */
    bool *factor_used;
    uint32_t *pending_first, *pending_next; /* messages waiting at each variable: lists; a message stands in several */
    size_t pending_count, pending_space;
    uint32_t *pending_message;
    bool *message_used;
    uint32_t *level_of; /* of each variable in the present bucket, UINT32_MAX: not in it */
    /* the present bucket */
    struct source *sources;
    size_t source_count, source_space;
    struct level *levels;
    size_t level_count, level_space;
    struct move *moves;
    size_t move_count, move_space;
    uint32_t *ends;
    size_t end_space;
    uint64_t out_at;
    uint32_t *unmet, *set; /* running sums: [depth] before the level */
    uint64_t *cost;
    size_t depth_space, cost_space;
    /* the outgoing message, as it grows */
    struct nmk_message out;
    struct nmk_message_entry *entries;
    size_t entry_space;
    uint64_t *entry_costs;
    size_t entry_cost_space;
    uint32_t *children; /* entry * source_count + source: the entry + 1 taken from each message */
    size_t child_space;
    struct nmk_message_entry now; /* the candidate */
};

static void reserve_u32(uint32_t **array, size_t *space, size_t wanted)
{
    void *data = *array;
    nmk_memory_reserve(&data, space, wanted, sizeof **array);
    *array = data;
}

static void reserve_u64(uint64_t **array, size_t *space, size_t wanted)
{
    void *data = *array;
    nmk_memory_reserve(&data, space, wanted, sizeof **array);
    *array = data;
}

/* ---- collecting the bucket ---- */

static void add_source(struct eliminator *e, const struct nmk_net_factor *factor, const struct nmk_message *message)
{
    void *data = e->sources;
    nmk_memory_reserve(&data, &e->source_space, e->source_count + 1, sizeof *e->sources);
    e->sources = data;
    e->sources[e->source_count++] = (struct source){.factor = factor,
                                                    .message = message,
                                                    .vars = factor ? factor->vars : message->vars,
                                                    .count = factor ? factor->count : message->count};
}

static void collect_sources(struct eliminator *e, uint32_t var)
{
    e->source_count = 0;
    for (uint32_t u = e->uses_first[var]; u < e->uses_first[var + 1]; u++)
        if (!e->factor_used[e->uses[u]]) {
            e->factor_used[e->uses[u]] = true;
            add_source(e, &e->net->factors[e->uses[u]], NULL);
        }
    for (uint32_t p = e->pending_first[var]; p; p = e->pending_next[p])
        if (!e->message_used[e->pending_message[p]]) {
            e->message_used[e->pending_message[p]] = true;
            add_source(e, NULL, &e->messages[e->pending_message[p]]);
        }
}

static void add_level(struct eliminator *e, uint32_t var)
{
    if (e->level_of[var] != UINT32_MAX)
        return;
    void *data = e->levels;
    nmk_memory_reserve(&data, &e->level_space, e->level_count + 1, sizeof *e->levels);
    e->levels = data;
    e->level_of[var] = (uint32_t)e->level_count;
    e->levels[e->level_count++] = (struct level){.var = var, .cells = e->net->vars[var].cells};
}

static void count_missing(struct eliminator *e, struct source *s)
{
    s->missing = 0;
    for (uint32_t k = 0; k < s->count; k++)
        s->missing += e->level_of[s->vars[k]] == UINT32_MAX;
}

/* Always next the source that needs the fewest further loops: it can forbid the earliest. */
static void order_levels(struct eliminator *e, uint32_t var)
{
    e->level_count = 0;
    add_level(e, var);
    bool few = e->source_count <= 64;
    for (size_t done = 0; done < e->source_count; done++) {
        struct source *next = &e->sources[done];
        for (size_t k = done; few && k < e->source_count; k++) {
            count_missing(e, &e->sources[k]);
            if (e->sources[k].missing < next->missing || k == done)
                next = &e->sources[k];
        }
        struct source taken = *next;
        *next = e->sources[done];
        e->sources[done] = taken;
        for (uint32_t k = 0; k < taken.count; k++)
            add_level(e, taken.vars[k]);
    }
}

static uint64_t stride_in_source(const struct eliminator *e, const struct source *s, uint32_t k)
{
    if (s->message)
        return s->message->strides[k];
    return nmk_net_size(e->net, s->vars + k + 1, s->count - k - 1);
}

/* Counting sort of all moves by level, and of the sources by the level at which they are complete. */
static void place_moves(struct eliminator *e)
{
    size_t moves = e->level_count; /* the outgoing message has one each but for level 0 */
    for (size_t s = 0; s < e->source_count; s++)
        moves += e->sources[s].count;
    void *data = e->moves;
    nmk_memory_reserve(&data, &e->move_space, moves, sizeof *e->moves);
    e->moves = data;
    reserve_u32(&e->ends, &e->end_space, e->source_count);
    for (size_t s = 0; s < e->source_count; s++) {
        uint32_t last = 0;
        for (uint32_t k = 0; k < e->sources[s].count; k++) {
            uint32_t level = e->level_of[e->sources[s].vars[k]];
            e->levels[level].move_count++;
            last = level > last ? level : last;
        }
        e->sources[s].missing = last;
        e->levels[last].end_count++;
    }
    for (size_t l = 0, move = 0, end = 0; l < e->level_count; l++) {
        e->levels[l].first_move = move;
        e->levels[l].first_end = end;
        move += e->levels[l].move_count + (l > 0);
        end += e->levels[l].end_count;
        e->levels[l].move_count = e->levels[l].end_count = 0;
    }
    for (size_t s = 0; s < e->source_count; s++) {
        struct level *last = &e->levels[e->sources[s].missing];
        e->ends[last->first_end + last->end_count++] = (uint32_t)s;
        for (uint32_t k = 0; k < e->sources[s].count; k++) {
            struct level *l = &e->levels[e->level_of[e->sources[s].vars[k]]];
            e->moves[l->first_move + l->move_count++] =
                (struct move){.source = (uint32_t)s, .stride = stride_in_source(e, &e->sources[s], k)};
        }
    }
}

/* ---- the outgoing message ---- */

static bool start_message(struct eliminator *e, uint32_t var)
{
    struct nmk_message *out = &e->out;
    *out = (struct nmk_message){.var = var, .count = (uint32_t)e->level_count - 1};
    uint32_t *vars = nmk_arena_new(&e->arena, out->count, sizeof *vars);
    uint64_t *strides = nmk_arena_new(&e->arena, out->count, sizeof *strides);
    uint64_t size = 1;
    for (size_t k = 0; k < out->count; k++) {
        struct level *l = &e->levels[k + 1];
        vars[k] = l->var;
        strides[k] = size;
        e->moves[l->first_move + l->move_count++] =
            (struct move){.source = (uint32_t)e->source_count, .stride = size};
        if (__builtin_mul_overflow(size, l->cells, &size) || size > UINT64_MAX / 4)
            return false;
    }
    out->vars = vars;
    out->strides = strides;
    if (size <= DIRECT) {
        out->direct = nmk_arena_new(&e->arena, (size_t)size, sizeof *out->direct);
        return true;
    }
    out->slots = 64;
    out->hashed_places = nmk_memory_new(out->slots, sizeof *out->hashed_places);
    out->hashed_entries = nmk_memory_new(out->slots, sizeof *out->hashed_entries);
    return true;
}

static void put_hashed(struct nmk_message *m, uint64_t place, uint32_t entry)
{
    size_t at = nmk_message_hash(place) & (m->slots - 1);
    while (m->hashed_entries[at])
        at = (at + 1) & (m->slots - 1);
    m->hashed_places[at] = place;
    m->hashed_entries[at] = entry;
}

static void widen_hash(struct nmk_message *m)
{
    struct nmk_message old = *m;
    m->slots *= 2;
    m->hashed_places = nmk_memory_new(m->slots, sizeof *m->hashed_places);
    m->hashed_entries = nmk_memory_new(m->slots, sizeof *m->hashed_entries);
    for (size_t k = 0; k < old.slots; k++)
        if (old.hashed_entries[k])
            put_hashed(m, old.hashed_places[k], old.hashed_entries[k]);
    nmk_memory_free(old.hashed_places);
    nmk_memory_free(old.hashed_entries);
}

static void put_message(struct nmk_message *m, uint64_t place, uint32_t entry)
{
    if (m->direct) {
        m->direct[place] = entry;
        return;
    }
    if (2 * (size_t)entry > m->slots)
        widen_hash(m);
    put_hashed(m, place, entry);
}

/* ---- comparing two ways to the same combination ---- */

static void take_first(struct nmk_lex_difference *best, struct nmk_lex_difference other)
{
    if (other.key < best->key)
        *best = other;
}

static struct nmk_lex_difference differ(const struct eliminator *e, bool choices, const uint32_t *a, uint32_t cell_a,
                                        const uint32_t *b, uint32_t cell_b)
{
    struct nmk_lex_difference first = {NMK_LEX_SAME, 0};
    for (size_t s = 0; s < e->source_count; s++) {
        const struct nmk_message *m = e->sources[s].message;
        if (m && a[s] != b[s])
            take_first(&first, nmk_lex_differ(choices ? &m->choices : &m->values, a[s] - 1, b[s] - 1));
    }
    const struct nmk_net_var *var = &e->net->vars[e->out.var];
    if (cell_a == cell_b || (var->ranks != NULL) != choices || var->key >= first.key)
        return first;
    bool less = choices ? var->ranks[cell_a] < var->ranks[cell_b] : cell_a < cell_b;
    return (struct nmk_lex_difference){var->key, less ? -1 : 1};
}

/* Is the candidate better than the entry? */
static bool is_better(const struct eliminator *e, uint32_t entry, const uint32_t *children, const uint64_t *cost)
{
    const struct nmk_message_entry *old = &e->entries[entry], *now = &e->now;
    const uint32_t *old_children = e->children + (size_t)entry * e->source_count;
    unsigned limbs = e->net->limbs;
    if (now->unmet != old->unmet)
        return now->unmet < old->unmet;
    int order = nmk_multiset_compare(e->net->pool, now->set, old->set);
    if (order == 0 && e->net->has_choices)
        order = differ(e, true, children, now->best, old_children, old->best).sign;
    if (order == 0)
        order = nmk_cost_compare(cost, e->entry_costs + (size_t)entry * limbs, limbs);
    if (order == 0)
        order = differ(e, false, children, now->best, old_children, old->best).sign;
    return order < 0;
}

/* ---- the nest of loops ---- */

static void store(struct eliminator *e, uint32_t entry, const uint64_t *cost)
{
    unsigned limbs = e->net->limbs;
    e->entries[entry] = e->now;
    memcpy(e->entry_costs + (size_t)entry * limbs, cost, limbs * sizeof *cost);
    for (size_t s = 0; s < e->source_count; s++)
        e->children[(size_t)entry * e->source_count + s] = e->sources[s].found;
}

static void make_room(struct eliminator *e, size_t entries)
{
    void *data = e->entries;
    nmk_memory_reserve(&data, &e->entry_space, entries, sizeof *e->entries);
    e->entries = data;
    reserve_u64(&e->entry_costs, &e->entry_cost_space, entries * e->net->limbs);
    /* one set of children more: that of the candidate */
    reserve_u32(&e->children, &e->child_space, (entries + 1) * e->source_count);
}

/* A complete combination; false when the table has become too wide. */
static bool offer(struct eliminator *e, uint32_t best)
{
    size_t depth = e->level_count;
    const uint64_t *cost = e->cost + depth * e->net->limbs;
    e->now = (struct nmk_message_entry){.unmet = e->unmet[depth], .set = e->set[depth], .best = best};
    uint32_t entry = nmk_message_find(&e->out, e->out_at);
    if (!entry) {
        if (e->out.entry_count >= e->most_entries)
            return false;
        entry = (uint32_t)++e->out.entry_count;
        make_room(e, e->out.entry_count);
        put_message(&e->out, e->out_at, entry);
        store(e, entry - 1, cost);
        return true;
    }
    uint32_t *children = e->children + e->out.entry_count * e->source_count;
    for (size_t s = 0; s < e->source_count; s++)
        children[s] = e->sources[s].found;
    if (is_better(e, entry - 1, children, cost))
        store(e, entry - 1, cost);
    return true;
}

static void shift(struct eliminator *e, const struct level *l, uint64_t times)
{
    for (size_t k = l->first_move; k < l->first_move + l->move_count; k++) {
        const struct move *m = &e->moves[k];
        if (m->source == e->source_count)
            e->out_at += m->stride * times;
        else
            e->sources[m->source].at += m->stride * times;
    }
}

/* The running sums with what is complete at this level; false if it is not allowed. */
static bool add_level_values(struct eliminator *e, size_t depth)
{
    const struct level *l = &e->levels[depth];
    unsigned limbs = e->net->limbs;
    uint32_t unmet = e->unmet[depth], set = e->set[depth];
    for (size_t k = l->first_end; k < l->first_end + l->end_count; k++) {
        struct source *s = &e->sources[e->ends[k]];
        s->found = s->message ? nmk_message_find(s->message, s->at) : s->factor->codes[s->at];
        if (!s->found)
            return false;
    }
    uint64_t *cost = e->cost + (depth + 1) * limbs;
    memcpy(cost, e->cost + depth * limbs, limbs * sizeof *cost);
    for (size_t k = l->first_end; k < l->first_end + l->end_count; k++) {
        const struct source *s = &e->sources[e->ends[k]];
        if (s->message) {
            const struct nmk_message_entry *entry = &s->message->entries[s->found - 1];
            unmet += entry->unmet;
            set = nmk_multiset_add(e->net->pool, set, entry->set);
            nmk_cost_add(cost, s->message->costs + (size_t)(s->found - 1) * limbs, limbs);
        } else if (s->found > 1) {
            unmet += (s->found - 1) & 1;
            set = nmk_multiset_add(e->net->pool, set, e->net->sets[(s->found - 1) >> 1]);
        }
    }
    e->unmet[depth + 1] = unmet;
    e->set[depth + 1] = set;
    return true;
}

static void set_own_cost(struct eliminator *e, uint32_t cell)
{
    unsigned limbs = e->net->limbs;
    const uint64_t *costs = e->net->vars[e->out.var].costs;
    if (costs)
        memcpy(e->cost, costs + (size_t)cell * limbs, limbs * sizeof *costs);
    else
        memset(e->cost, 0, limbs * sizeof *e->cost);
}

static enum nmk_eliminate_outcome visit_all(struct eliminator *e)
{
    size_t depth = 0;
    e->out_at = 0;
    e->unmet[0] = e->set[0] = 0;
    e->levels[0].cell = 0;
    set_own_cost(e, 0);
    for (;;) {
        struct level *l = &e->levels[depth];
        if (!nmk_work_step(e->work, 1))
            return NMK_ELIMINATE_ENDED;
        if (add_level_values(e, depth)) {
            if (depth + 1 < e->level_count) {
                e->levels[++depth].cell = 0;
                continue;
            }
            if (!offer(e, e->levels[0].cell))
                return NMK_ELIMINATE_TOO_WIDE;
        }
        for (;;) { /* the next cell, of this loop or of one further out */
            shift(e, l, 1);
            if (++l->cell < l->cells)
                break;
            shift(e, l, 0 - (uint64_t)l->cells);
            if (depth-- == 0)
                return e->out.entry_count ? NMK_ELIMINATE_SOLVED : NMK_ELIMINATE_INFEASIBLE;
            l = &e->levels[depth];
        }
        if (depth == 0)
            set_own_cost(e, l->cell);
    }
}

/* ---- finishing the message ---- */

struct comparison {
    const struct eliminator *e;
    bool choices;
};

static struct nmk_lex_difference compare_entries(const void *context, uint32_t a, uint32_t b)
{
    const struct comparison *c = context;
    const struct eliminator *e = c->e;
    return differ(e, c->choices, e->children + (size_t)a * e->source_count, e->entries[a].best,
                  e->children + (size_t)b * e->source_count, e->entries[b].best);
}

static void finish_message(struct eliminator *e)
{
    struct nmk_message *out = &e->out;
    unsigned limbs = e->net->limbs;
    struct nmk_message_entry *entries = nmk_arena_new(&e->arena, out->entry_count, sizeof *entries);
    uint64_t *costs = nmk_arena_new(&e->arena, out->entry_count * limbs, sizeof *costs);
    memcpy(entries, e->entries, out->entry_count * sizeof *entries);
    memcpy(costs, e->entry_costs, out->entry_count * limbs * sizeof *costs);
    out->entries = entries;
    out->costs = costs;
    struct comparison c = {e, true};
    if (e->net->has_choices)
        nmk_lex_build(&out->choices, &e->arena, out->entry_count, compare_entries, &c);
    c.choices = false;
    nmk_lex_build(&out->values, &e->arena, out->entry_count, compare_entries, &c);
}

static void file_message(struct eliminator *e)
{
    uint32_t var = e->out.var;
    e->messages[var] = e->out;
    for (uint32_t k = 0; k < e->out.count; k++) {
        size_t p = ++e->pending_count, space = e->pending_space;
        reserve_u32(&e->pending_message, &space, p + 1);
        reserve_u32(&e->pending_next, &e->pending_space, p + 1);
        e->pending_message[p] = var;
        e->pending_next[p] = e->pending_first[e->out.vars[k]];
        e->pending_first[e->out.vars[k]] = (uint32_t)p;
    }
    e->out = (struct nmk_message){0};
}

static void clear_message(struct nmk_message *m)
{
    nmk_memory_free(m->hashed_places);
    nmk_memory_free(m->hashed_entries);
}

static enum nmk_eliminate_outcome take_out(struct eliminator *e, uint32_t var)
{
    collect_sources(e, var);
    order_levels(e, var);
    place_moves(e);
    size_t depths = e->level_count + 1, space = e->depth_space;
    reserve_u32(&e->unmet, &space, depths);
    reserve_u32(&e->set, &e->depth_space, depths);
    reserve_u64(&e->cost, &e->cost_space, depths * e->net->limbs);
    make_room(e, 1);
    enum nmk_eliminate_outcome outcome = start_message(e, var) ? visit_all(e) : NMK_ELIMINATE_TOO_WIDE;
    for (size_t l = 0; l < e->level_count; l++)
        e->level_of[e->levels[l].var] = UINT32_MAX;
    if (outcome != NMK_ELIMINATE_SOLVED) {
        clear_message(&e->out);
        return outcome;
    }
    finish_message(e);
    file_message(e);
    return NMK_ELIMINATE_SOLVED;
}

/* ---- the whole ---- */

static void list_uses(struct eliminator *e)
{
    const struct nmk_net *net = e->net;
    size_t total = 0;
    e->uses_first = nmk_memory_new(net->var_count + 2, sizeof *e->uses_first);
    for (size_t f = 0; f < net->factor_count; f++)
        for (uint32_t k = 0; k < net->factors[f].count; k++, total++)
            e->uses_first[net->factors[f].vars[k] + 2]++;
    for (size_t v = 2; v < net->var_count + 2; v++)
        e->uses_first[v] += e->uses_first[v - 1];
    e->uses = nmk_memory_new(total, sizeof *e->uses);
    for (size_t f = 0; f < net->factor_count; f++)
        for (uint32_t k = 0; k < net->factors[f].count; k++)
            e->uses[e->uses_first[net->factors[f].vars[k] + 1]++] = (uint32_t)f;
}

static void init(struct eliminator *e, const struct nmk_net *net, uint64_t most_entries, struct nmk_work *work)
{
    *e = (struct eliminator){.net = net, .work = work};
    e->most_entries = most_entries < UINT32_MAX / 2 ? most_entries : UINT32_MAX / 2;
    e->messages = nmk_memory_new(net->var_count, sizeof *e->messages);
    e->factor_used = nmk_memory_new(net->factor_count, sizeof *e->factor_used);
    e->pending_first = nmk_memory_new(net->var_count, sizeof *e->pending_first);
    e->message_used = nmk_memory_new(net->var_count, sizeof *e->message_used);
    e->level_of = nmk_memory_new(net->var_count, sizeof *e->level_of);
    for (size_t v = 0; v < net->var_count; v++)
        e->level_of[v] = UINT32_MAX;
    list_uses(e);
}

static void clear(struct eliminator *e)
{
    for (size_t v = 0; v < e->net->var_count; v++)
        clear_message(&e->messages[v]);
    nmk_memory_free(e->messages);
    nmk_memory_free(e->uses_first);
    nmk_memory_free(e->uses);
    nmk_memory_free(e->factor_used);
    nmk_memory_free(e->pending_first);
    nmk_memory_free(e->pending_next);
    nmk_memory_free(e->pending_message);
    nmk_memory_free(e->message_used);
    nmk_memory_free(e->level_of);
    nmk_memory_free(e->sources);
    nmk_memory_free(e->levels);
    nmk_memory_free(e->moves);
    nmk_memory_free(e->ends);
    nmk_memory_free(e->unmet);
    nmk_memory_free(e->set);
    nmk_memory_free(e->cost);
    nmk_memory_free(e->entries);
    nmk_memory_free(e->entry_costs);
    nmk_memory_free(e->children);
    nmk_arena_clear(&e->arena);
}

/* Backwards: each variable's neighbours of then are known when its turn comes. */
static void trace(uint32_t *cells, const struct eliminator *e, const uint32_t *order)
{
    for (size_t k = e->net->var_count; k-- > 0;) {
        const struct nmk_message *m = &e->messages[order[k]];
        uint64_t place = 0;
        for (uint32_t s = 0; s < m->count; s++)
            place += m->strides[s] * cells[m->vars[s]];
        uint32_t entry = nmk_message_find(m, place);
        assert(entry);
        cells[order[k]] = m->entries[entry - 1].best;
    }
}

enum nmk_eliminate_outcome nmk_eliminate(uint32_t *cells, const struct nmk_net *net, const uint32_t *order,
                                         uint64_t most_entries, struct nmk_work *work)
{
    struct eliminator e;
    init(&e, net, most_entries, work);
    enum nmk_eliminate_outcome outcome = NMK_ELIMINATE_SOLVED;
    for (size_t k = 0; k < net->var_count && outcome == NMK_ELIMINATE_SOLVED; k++)
        outcome = take_out(&e, order[k]);
    if (outcome == NMK_ELIMINATE_SOLVED)
        trace(cells, &e, order);
    clear(&e);
    return outcome;
}
