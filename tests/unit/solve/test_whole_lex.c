/* Ranks with first differences, held against the lists themselves. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdlib.h>

#include "solve/whole/whole_lex.h"
#include "unit/exact/biased.h"

enum { keys = 6 };

struct lists {
    unsigned char (*list)[keys];
};

static struct nmk_lex_difference differ(const void *context, uint32_t a, uint32_t b)
{
    const struct lists *l = context;
    for (uint32_t k = 0; k < keys; k++)
        if (l->list[a][k] != l->list[b][k])
            return (struct nmk_lex_difference){k, l->list[a][k] < l->list[b][k] ? -1 : 1};
    return (struct nmk_lex_difference){NMK_LEX_SAME, 0};
}

static void all_pairs(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long n = 0; n < biased_cases(40); n++) {
        size_t count = 1 + biased_below(1 + biased_below(400));
        struct lists l = {.list = calloc(count, sizeof *l.list)};
        assert_non_null(l.list);
        for (size_t e = 0; e < count; e++)
            for (int k = 0; k < keys; k++)
                l.list[e][k] = (unsigned char)biased_below(k < 3 ? 2 : 4);
        struct nmk_arena arena = {0};
        struct nmk_lex lex;
        nmk_lex_build(&lex, &arena, count, differ, &l);
        for (uint32_t a = 0; a < count; a++)
            for (uint32_t b = 0; b < count; b++) {
                struct nmk_lex_difference wanted = differ(&l, a, b), got = nmk_lex_differ(&lex, a, b);
                biased_check(wanted.key == got.key && wanted.sign == got.sign, n, "differ", NULL, NULL);
            }
        nmk_arena_clear(&arena);
        free(l.list);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(all_pairs)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
