#include "solve/whole/whole_net.h"

#include <string.h>

#include "base/memory.h"

uint32_t nmk_net_add_var(struct nmk_net *net, const struct nmk_net_var *var)
{
    void *vars = net->vars;
    nmk_memory_reserve(&vars, &net->var_space, net->var_count + 1, sizeof *net->vars);
    net->vars = vars;
    net->vars[net->var_count] = *var;
    net->has_choices = net->has_choices || var->ranks;
    return (uint32_t)net->var_count++;
}

uint64_t nmk_net_size(const struct nmk_net *net, const uint32_t *vars, size_t count)
{
    uint64_t size = 1;
    for (size_t k = 0; k < count; k++)
        if (__builtin_mul_overflow(size, net->vars[vars[k]].cells, &size))
            return UINT64_MAX;
    return size;
}

static struct nmk_net_factor *new_factor(struct nmk_net *net)
{
    void *factors = net->factors;
    nmk_memory_reserve(&factors, &net->factor_space, net->factor_count + 1, sizeof *net->factors);
    net->factors = factors;
    return &net->factors[net->factor_count++];
}

static struct nmk_net_factor *add_scope(struct nmk_net *net, const uint32_t *vars, size_t count)
{
    struct nmk_net_factor *f = new_factor(net);
    *f = (struct nmk_net_factor){.count = (uint32_t)count};
    f->vars = nmk_arena_new(&net->arena, count, sizeof *f->vars);
    if (count)
        memcpy(f->vars, vars, count * sizeof *f->vars);
    return f;
}

struct nmk_net_factor *nmk_net_add_map(struct nmk_net *net, const uint32_t vars[3])
{
    struct nmk_net_factor *f = add_scope(net, vars, 3);
    f->map = nmk_arena_new(&net->arena, (size_t)nmk_net_size(net, vars, 2), sizeof *f->map);
    return f;
}

uint32_t nmk_net_code(const struct nmk_net *net, const struct nmk_net_factor *f, const uint32_t *cells)
{
    size_t at = 0;
    for (uint32_t k = 0; k < (f->map ? 2 : f->count); k++)
        at = at * net->vars[f->vars[k]].cells + cells[f->vars[k]];
    return f->map ? f->map[at] == cells[f->vars[2]] + 1 : f->codes[at];
}

struct nmk_net_factor *nmk_net_add_factor(struct nmk_net *net, const uint32_t *vars, size_t count)
{
    struct nmk_net_factor *f = add_scope(net, vars, count);
    f->codes = nmk_arena_new(&net->arena, (size_t)nmk_net_size(net, vars, count), sizeof *f->codes);
    return f;
}

void nmk_net_share_factor(struct nmk_net *net, const struct nmk_net_factor *factor)
{
    *new_factor(net) = *factor;
}

void nmk_net_clear(struct nmk_net *net)
{
    nmk_memory_free(net->vars);
    nmk_memory_free(net->factors);
    nmk_arena_clear(&net->arena);
    memset(net, 0, sizeof *net);
}
