#include "solve/whole/whole_value.h"

#include <string.h>

#include "base/memory.h"

void nmk_value_init(struct nmk_value *value, const struct nmk_net *net)
{
    *value = (struct nmk_value){.cost = nmk_memory_new(net->limbs, sizeof *value->cost)};
}

void nmk_value_clear(struct nmk_value *value)
{
    nmk_memory_free(value->cost);
    *value = (struct nmk_value){0};
}

void nmk_value_swap(struct nmk_value *a, struct nmk_value *b)
{
    struct nmk_value old = *a;
    *a = *b;
    *b = old;
}

void nmk_value_set(struct nmk_value *out, const struct nmk_net *net, const uint32_t *cells)
{
    out->unmet = out->set = 0;
    memset(out->cost, 0, net->limbs * sizeof *out->cost);
    for (size_t f = 0; f < net->factor_count; f++) {
        uint32_t code = nmk_net_code(net, &net->factors[f], cells) - 1;
        out->unmet += code & 1;
        out->set = nmk_multiset_add(net->pool, out->set, net->sets[code >> 1]);
    }
    for (size_t v = 0; v < net->var_count; v++)
        if (net->vars[v].costs)
            nmk_cost_add(out->cost, net->vars[v].costs + (size_t)cells[v] * net->limbs, net->limbs);
}

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

int nmk_value_compare(const struct nmk_net *net, const struct nmk_value *a, const uint32_t *cells_a,
                      const struct nmk_value *b, const uint32_t *cells_b)
{
    if (a->unmet != b->unmet)
        return a->unmet < b->unmet ? -1 : 1;
    int order = nmk_multiset_compare(net->pool, a->set, b->set);
    if (order == 0 && net->has_choices)
        order = compare_cells(net, cells_a, cells_b, true);
    if (order == 0)
        order = nmk_cost_compare(a->cost, b->cost, net->limbs);
    return order ? order : compare_cells(net, cells_a, cells_b, false);
}
