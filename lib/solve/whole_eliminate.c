/* Bucket elimination. Taking out x: all factors and messages that mention x are added, over all combinations of x and
 * its neighbours S, and for each combination of S the best x stays (aims: ordered monoids, so the best of a sum is the
 * sum of bests). Combinations are visited depth first, x outermost, and left as soon as one factor does not allow them:
 * the work is that of a join, not of the full product. */
#include "solve/whole_eliminate.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"
#include "solve/whole_nest.h"
#include "solve/whole_value.h"

#ifdef NMK_STRESS
enum { DIRECT = 4 };
#else
enum { DIRECT = 1 << 14 };
#endif

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
    struct nmk_nest nest; /* of the present variable */
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

static void collect_sources(struct eliminator *e, uint32_t var)
{
    for (uint32_t u = e->uses_first[var]; u < e->uses_first[var + 1]; u++)
        if (!e->factor_used[e->uses[u]]) {
            e->factor_used[e->uses[u]] = true;
            nmk_nest_add(&e->nest, &e->net->factors[e->uses[u]], NULL);
        }
    for (uint32_t p = e->pending_first[var]; p; p = e->pending_next[p])
        if (!e->message_used[e->pending_message[p]]) {
            e->message_used[e->pending_message[p]] = true;
            nmk_nest_add(&e->nest, NULL, &e->messages[e->pending_message[p]]);
        }
}

/* ---- the outgoing message ---- */

static bool start_message(struct eliminator *e, uint32_t var)
{
    struct nmk_message *out = &e->out;
    *out = (struct nmk_message){.var = var, .count = (uint32_t)e->nest.level_count - 1};
    uint32_t *vars = nmk_arena_new(&e->arena, out->count, sizeof *vars);
    uint64_t *strides = nmk_arena_new(&e->arena, out->count, sizeof *strides);
    uint64_t size = 1;
    for (size_t k = 0; k < out->count; k++) {
        struct nmk_nest_level *l = &e->nest.levels[k + 1];
        vars[k] = l->var;
        strides[k] = size;
        e->nest.moves[l->first_move + l->move_count++] =
            (struct nmk_nest_move){.source = (uint32_t)e->nest.source_count, .stride = size};
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
    for (size_t s = 0; s < e->nest.source_count; s++) {
        const struct nmk_message *m = e->nest.sources[s].message;
        if (m && a[s] != b[s])
            take_first(&first, nmk_lex_differ(choices ? &m->choices : &m->values, a[s] - 1, b[s] - 1));
    }
    const struct nmk_net_var *var = &e->net->vars[e->out.var];
    if (cell_a == cell_b || (var->ranks != NULL) != choices || var->key >= first.key)
        return first;
    bool less = choices ? var->ranks[cell_a] < var->ranks[cell_b] : cell_a < cell_b;
    return (struct nmk_lex_difference){var->key, less ? -1 : 1};
}

/* The children of an entry, one a source; NULL without sources. */
static uint32_t *children_of(const struct eliminator *e, size_t entry)
{
    return e->children ? e->children + entry * e->nest.source_count : NULL;
}

/* Is the candidate better than the entry? */
static bool is_better(const struct eliminator *e, uint32_t entry, const uint32_t *children, const uint64_t *cost)
{
    const struct nmk_message_entry *old = &e->entries[entry], *now = &e->now;
    const uint32_t *old_children = children_of(e, entry);
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
    for (size_t s = 0; s < e->nest.source_count; s++)
        e->children[(size_t)entry * e->nest.source_count + s] = e->nest.sources[s].found;
}

static void make_room(struct eliminator *e, size_t entries)
{
    void *data = e->entries;
    nmk_memory_reserve(&data, &e->entry_space, entries, sizeof *e->entries);
    e->entries = data;
    reserve_u64(&e->entry_costs, &e->entry_cost_space, entries * e->net->limbs);
    /* one set of children more: that of the candidate */
    reserve_u32(&e->children, &e->child_space, (entries + 1) * e->nest.source_count);
}

/* A complete combination; false when the table has become too wide. */
static bool offer(struct eliminator *e, uint32_t best)
{
    size_t depth = e->nest.level_count;
    const uint64_t *cost = e->cost + depth * e->net->limbs;
    e->now = (struct nmk_message_entry){.unmet = e->unmet[depth], .set = e->set[depth], .best = best};
    uint32_t entry = nmk_message_find(&e->out, e->nest.out_at);
    if (!entry) {
        if (e->out.entry_count >= e->most_entries)
            return false;
        entry = (uint32_t)++e->out.entry_count;
        make_room(e, e->out.entry_count);
        nmk_message_put(&e->out, e->nest.out_at, entry);
        store(e, entry - 1, cost);
        return true;
    }
    uint32_t *children = children_of(e, e->out.entry_count);
    for (size_t s = 0; s < e->nest.source_count; s++)
        children[s] = e->nest.sources[s].found;
    if (is_better(e, entry - 1, children, cost))
        store(e, entry - 1, cost);
    return true;
}

/* The running sums with what is complete at this level; false if it is not allowed. */
static bool add_level_values(struct eliminator *e, size_t depth)
{
    const struct nmk_nest_level *l = &e->nest.levels[depth];
    unsigned limbs = e->net->limbs;
    uint32_t unmet = e->unmet[depth], set = e->set[depth];
    for (size_t k = l->first_end; k < l->first_end + l->end_count; k++) {
        struct nmk_nest_source *s = &e->nest.sources[e->nest.ends[k]];
        s->found = s->message ? nmk_message_find(s->message, s->at) : s->factor->codes[s->at];
        if (!s->found)
            return false;
    }
    uint64_t *cost = e->cost + (depth + 1) * limbs;
    memcpy(cost, e->cost + depth * limbs, limbs * sizeof *cost);
    for (size_t k = l->first_end; k < l->first_end + l->end_count; k++) {
        const struct nmk_nest_source *s = &e->nest.sources[e->nest.ends[k]];
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
    e->nest.out_at = 0;
    e->unmet[0] = e->set[0] = 0;
    e->nest.levels[0].cell = 0;
    set_own_cost(e, 0);
    for (;;) {
        struct nmk_nest_level *l = &e->nest.levels[depth];
        if (!nmk_work_step(e->work, 1))
            return NMK_ELIMINATE_ENDED;
        if (add_level_values(e, depth)) {
            if (depth + 1 < e->nest.level_count) {
                e->nest.levels[++depth].cell = 0;
                continue;
            }
            if (!offer(e, e->nest.levels[0].cell))
                return NMK_ELIMINATE_TOO_WIDE;
        }
        for (;;) { /* the next cell, of this loop or of one further out */
            nmk_nest_shift(&e->nest, l, 1);
            if (++l->cell < l->cells)
                break;
            nmk_nest_shift(&e->nest, l, 0 - (uint64_t)l->cells);
            if (depth-- == 0)
                return e->out.entry_count ? NMK_ELIMINATE_SOLVED : NMK_ELIMINATE_INFEASIBLE;
            l = &e->nest.levels[depth];
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
    return differ(e, c->choices, children_of(e, a), e->entries[a].best,
                  children_of(e, b), e->entries[b].best);
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

static enum nmk_eliminate_outcome take_out(struct eliminator *e, uint32_t var)
{
    collect_sources(e, var);
    nmk_nest_lay_out(&e->nest, var);
    size_t depths = e->nest.level_count + 1, space = e->depth_space;
    reserve_u32(&e->unmet, &space, depths);
    reserve_u32(&e->set, &e->depth_space, depths);
    reserve_u64(&e->cost, &e->cost_space, depths * e->net->limbs);
    make_room(e, 1);
    enum nmk_eliminate_outcome outcome = start_message(e, var) ? visit_all(e) : NMK_ELIMINATE_TOO_WIDE;
    if (outcome != NMK_ELIMINATE_SOLVED) {
        nmk_message_clear(&e->out);
        return outcome;
    }
    finish_message(e);
    file_message(e);
    nmk_nest_reset(&e->nest);
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
    nmk_nest_init(&e->nest, net);
    list_uses(e);
}

static void clear(struct eliminator *e)
{
    for (size_t v = 0; v < e->net->var_count; v++)
        nmk_message_clear(&e->messages[v]);
    nmk_memory_free(e->messages);
    nmk_memory_free(e->uses_first);
    nmk_memory_free(e->uses);
    nmk_memory_free(e->factor_used);
    nmk_memory_free(e->pending_first);
    nmk_memory_free(e->pending_next);
    nmk_memory_free(e->pending_message);
    nmk_memory_free(e->message_used);
    nmk_nest_clear(&e->nest);
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
