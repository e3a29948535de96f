#include "solve/whole_search.h"

#include <string.h>

#include "base/memory.h"
#include "solve/whole_order.h"

#ifdef NMK_STRESS
enum { MOST_ENTRIES = 8 };
#else
enum { MOST_ENTRIES = 1 << 20 };
#endif

/* ---- whole combinations compared ---- */

struct value {
    uint32_t unmet, set;
    uint64_t *cost;
};

static void add_cost(uint64_t *sum, const uint64_t *more, unsigned limbs)
{
    unsigned carry = 0;
    for (unsigned k = limbs; k-- > 0;) {
        uint64_t with = more[k] + carry;
        carry = with < carry;
        sum[k] += with;
        carry |= sum[k] < with;
    }
}

static void set_value(struct value *out, const struct nmk_net *net, const uint32_t *cells)
{
    out->unmet = out->set = 0;
    memset(out->cost, 0, net->limbs * sizeof *out->cost);
    for (size_t f = 0; f < net->factor_count; f++) {
        const struct nmk_net_factor *factor = &net->factors[f];
        size_t at = 0;
        for (uint32_t k = 0; k < factor->count; k++)
            at = at * net->vars[factor->vars[k]].cells + cells[factor->vars[k]];
        uint32_t code = factor->codes[at] - 1;
        out->unmet += code & 1;
        out->set = nmk_multiset_add(net->pool, out->set, net->sets[code >> 1]);
    }
    for (size_t v = 0; v < net->var_count; v++)
        if (net->vars[v].costs)
            add_cost(out->cost, net->vars[v].costs + (size_t)cells[v] * net->limbs, net->limbs);
}

/* < 0: a is better. */
static int compare_cells(const struct nmk_net *net, const uint32_t *a, const uint32_t *b, bool choices)
{
    uint32_t key = NMK_NET_NO_KEY;
    int sign = 0;
    for (size_t v = 0; v < net->var_count; v++) {
        const struct nmk_net_var *var = &net->vars[v];
        if (a[v] == b[v] || var->key >= key || (var->ranks != NULL) != choices)
            continue;
        key = var->key;
        sign = (choices ? var->ranks[a[v]] < var->ranks[b[v]] : a[v] < b[v]) ? -1 : 1;
    }
    return sign;
}

static int compare(const struct nmk_net *net, const uint32_t *a, const struct value *va, const uint32_t *b,
                   const struct value *vb)
{
    if (va->unmet != vb->unmet)
        return va->unmet < vb->unmet ? -1 : 1;
    int order = nmk_multiset_compare(net->pool, va->set, vb->set);
    if (order == 0)
        order = compare_cells(net, a, b, true);
    for (unsigned k = 0; order == 0 && k < net->limbs; k++)
        if (va->cost[k] != vb->cost[k])
            order = va->cost[k] < vb->cost[k] ? -1 : 1;
    return order ? order : compare_cells(net, a, b, false);
}

/* ---- fixing a variable ---- */

static void copy_codes(struct nmk_net_factor *out, const struct nmk_net *net, const struct nmk_net_factor *f, uint32_t var,
                       uint32_t cell)
{
    size_t inner = 1, outer = 1;
    uint32_t at = 0;
    while (f->vars[at] != var)
        outer *= net->vars[f->vars[at++]].cells;
    for (uint32_t k = at + 1; k < f->count; k++)
        inner *= net->vars[f->vars[k]].cells;
    for (size_t o = 0; o < outer; o++)
        memcpy(out->codes + o * inner, f->codes + (o * net->vars[var].cells + cell) * inner, inner * sizeof *f->codes);
}

static bool mentions(const struct nmk_net_factor *f, uint32_t var)
{
    for (uint32_t k = 0; k < f->count; k++)
        if (f->vars[k] == var)
            return true;
    return false;
}

/* The net with one variable held at one cell; shares what does not change. */
static void fix(struct nmk_net *out, const struct nmk_net *net, uint32_t var, uint32_t cell)
{
    *out = (struct nmk_net){.limbs = net->limbs, .sets = net->sets, .pool = net->pool};
    for (size_t v = 0; v < net->var_count; v++) {
        struct nmk_net_var copy = net->vars[v];
        if (v == var) {
            copy.cells = 1;
            copy.costs = copy.costs ? copy.costs + (size_t)cell * net->limbs : NULL;
            copy.ranks = copy.ranks ? copy.ranks + cell : NULL;
        }
        nmk_net_add_var(out, &copy);
    }
    for (size_t f = 0; f < net->factor_count; f++) {
        const struct nmk_net_factor *factor = &net->factors[f];
        if (mentions(factor, var))
            copy_codes(nmk_net_add_factor(out, factor->vars, factor->count), net, factor, var, cell);
        else
            nmk_net_share_factor(out, factor);
    }
}

/* The variable in the most factors that is not fixed yet; of equals the first. */
static uint32_t choose(const struct nmk_net *net)
{
    size_t *uses = nmk_memory_new(net->var_count, sizeof *uses);
    for (size_t f = 0; f < net->factor_count; f++)
        for (uint32_t k = 0; k < net->factors[f].count; k++)
            uses[net->factors[f].vars[k]]++;
    size_t best = 0;
    for (size_t v = 1; v < net->var_count; v++)
        if (net->vars[v].cells > 1 && (net->vars[best].cells < 2 || uses[v] > uses[best]))
            best = v;
    nmk_memory_free(uses);
    return (uint32_t)best;
}

static enum nmk_eliminate_outcome search_cells(uint32_t *best, const struct nmk_net *net, struct nmk_work *work)
{
    uint32_t var = choose(net);
    uint32_t *cells = nmk_memory_new(net->var_count, sizeof *cells);
    struct value value = {.cost = nmk_memory_new(net->limbs, sizeof *value.cost)};
    struct value best_value = {.cost = nmk_memory_new(net->limbs, sizeof *value.cost)};
    enum nmk_eliminate_outcome outcome = NMK_ELIMINATE_INFEASIBLE;
    for (uint32_t c = 0; c < net->vars[var].cells && outcome != NMK_ELIMINATE_ENDED; c++) {
        struct nmk_net fixed;
        fix(&fixed, net, var, c);
        enum nmk_eliminate_outcome found = nmk_search(cells, &fixed, work);
        nmk_net_clear(&fixed);
        cells[var] = c;
        if (found == NMK_ELIMINATE_ENDED)
            outcome = found;
        if (found != NMK_ELIMINATE_SOLVED)
            continue;
        set_value(&value, net, cells);
        if (outcome == NMK_ELIMINATE_INFEASIBLE || compare(net, cells, &value, best, &best_value) < 0) {
            struct value worse = best_value;
            best_value = value;
            value = worse;
            memcpy(best, cells, net->var_count * sizeof *best);
        }
        outcome = NMK_ELIMINATE_SOLVED;
    }
    nmk_memory_free(value.cost);
    nmk_memory_free(best_value.cost);
    nmk_memory_free(cells);
    return outcome;
}

enum nmk_eliminate_outcome nmk_search(uint32_t *cells, const struct nmk_net *net, struct nmk_work *work)
{
    uint32_t *order = nmk_memory_new(net->var_count, sizeof *order);
    nmk_order_find(order, net);
    enum nmk_eliminate_outcome outcome = nmk_eliminate(cells, net, order, MOST_ENTRIES, work);
    nmk_memory_free(order);
    return outcome == NMK_ELIMINATE_TOO_WIDE ? search_cells(cells, net, work) : outcome;
}
