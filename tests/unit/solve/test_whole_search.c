/* Elimination, and branch and bound on nets too wide for it, against trying every combination. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdlib.h>
#include <string.h>

#include "solve/whole/whole_search.h"
#include "solve/whole/whole_value.h"
#include "unit/exact/biased.h"

enum { vars = 7, cells = 5, grades = 3 };

static struct nmk_multiset_pool pool;
static uint32_t sets[grades];

static uint32_t draw_code(unsigned percent)
{
    if (biased_below(100) >= percent)
        return 0;
    return 1 + 2 * (biased_below(4) ? 0 : (uint32_t)biased_below(grades)) + !biased_below(6);
}

static void draw_vars(struct nmk_net *net)
{
    *net = (struct nmk_net){.limbs = 1, .sets = sets, .pool = &pool};
    for (uint32_t v = 0; v < vars; v++) {
        uint64_t *costs = nmk_arena_new(&net->arena, cells, sizeof *costs);
        for (int c = 0; c < cells; c++)
            costs[c] = biased_below(2) ? 0 : biased_below(30);
        struct nmk_net_var var = {.cells = cells, .key = v, .costs = costs};
        nmk_net_add_var(net, &var);
    }
}

static void add_pair(struct nmk_net *net, uint32_t a, uint32_t b, unsigned percent)
{
    struct nmk_net_factor *f = nmk_net_add_factor(net, (const uint32_t[]){a, b}, 2);
    for (int k = 0; k < cells * cells; k++)
        f->codes[k] = draw_code(percent);
}

static void draw(struct nmk_net *net, unsigned percent)
{
    draw_vars(net);
    for (uint32_t a = 0; a < vars; a++)
        for (uint32_t b = 0; b < a; b++)
            add_pair(net, a, b, percent);
}

static void draw_order(uint32_t *order)
{
    for (uint32_t k = 0; k < vars; k++) {
        uint32_t at = (uint32_t)biased_below(k + 1);
        order[k] = order[at];
        order[at] = k;
    }
}

/* Maps between any three variables, in any direction, and a few pairs. */
static void draw_maps(struct nmk_net *net, unsigned percent)
{
    draw_vars(net);
    for (int m = 0; m < 4; m++) {
        uint32_t of[vars];
        draw_order(of);
        struct nmk_net_factor *f = nmk_net_add_map(net, of);
        for (int k = 0; k < cells * cells; k++)
            f->map[k] = biased_below(100) < percent ? 1 + (uint32_t)biased_below(cells) : 0;
    }
    for (int k = 0; k < 3; k++) {
        uint32_t of[vars];
        draw_order(of);
        add_pair(net, of[0], of[1], percent);
    }
}

static bool is_allowed(const struct nmk_net *net, const uint32_t *at)
{
    for (size_t f = 0; f < net->factor_count; f++)
        if (!nmk_net_code(net, &net->factors[f], at))
            return false;
    return true;
}

static bool try_all(uint32_t *best, const struct nmk_net *net)
{
    uint32_t at[vars] = {0};
    struct nmk_value value, best_value;
    bool any = false;
    nmk_value_init(&value, net);
    nmk_value_init(&best_value, net);
    for (int v = 0; v < vars;) {
        if (is_allowed(net, at)) {
            nmk_value_set(&value, net, at);
            if (!any || nmk_value_compare(net, &value, at, &best_value, best) < 0) {
                nmk_value_swap(&value, &best_value);
                memcpy(best, at, sizeof at);
                any = true;
            }
        }
        for (v = 0; v < vars && ++at[v] == cells; v++)
            at[v] = 0;
    }
    nmk_value_clear(&value);
    nmk_value_clear(&best_value);
    return any;
}

typedef enum nmk_eliminate_outcome (*finder)(uint32_t *found, const struct nmk_net *net, struct nmk_work *work);

static void compare(unsigned long number, struct nmk_net *net, finder find)
{
    struct nmk_whole_problem none = {0};
    struct nmk_work work;
    uint32_t best[vars], found[vars];
    nmk_work_init(&work, &none);
    bool any = try_all(best, net);
    enum nmk_eliminate_outcome outcome = find(found, net, &work);
    biased_check(outcome == (any ? NMK_ELIMINATE_SOLVED : NMK_ELIMINATE_INFEASIBLE), number, "outcome", NULL, NULL);
    biased_check(!any || !memcmp(best, found, sizeof best), number, "the best", NULL, NULL);
    nmk_net_clear(net);
}

static void open_pool(void)
{
    nmk_multiset_pool_init(&pool, grades);
    for (uint32_t g = 1; g < grades; g++)
        sets[g] = nmk_multiset_single(&pool, g);
}

static void against_all_combinations(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long n = 0; n < biased_cases(200); n++) {
        struct nmk_net net;
        open_pool();
        draw(&net, 55 + 5 * (unsigned)(n % 10));
        compare(n, &net, nmk_search);
        nmk_multiset_pool_clear(&pool);
    }
}

static enum nmk_eliminate_outcome eliminate_in_any_order(uint32_t *found, const struct nmk_net *net, struct nmk_work *work)
{
    uint32_t order[vars];
    draw_order(order);
    return nmk_eliminate(found, net, order, UINT64_MAX, work);
}

static void maps_in_any_order(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long n = 0; n < biased_cases(60); n++) {
        struct nmk_net net;
        open_pool();
        draw_maps(&net, 60 + 4 * (unsigned)(n % 11));
        compare(n, &net, n % 2 ? eliminate_in_any_order : nmk_search);
        nmk_multiset_pool_clear(&pool);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(against_all_combinations), cmocka_unit_test(maps_in_any_order)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
