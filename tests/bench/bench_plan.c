/* bench_plan: planning the designs of tests/data for one maker, and the demo for a class of twenty. A plan for one is there
 * within 50 ms; status 1 if it is not, or if a plan is wrong.
 *
 *     bench_plan */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "nearmark/plan.h"

enum { LIMIT_US = 50000, TEXT_SIZE = 1 << 16 };

static long now_us(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (long)t.tv_sec * 1000000 + t.tv_nsec / 1000;
}

static size_t read_design(char *text, const char *name)
{
    char path[512];
    snprintf(path, sizeof path, "%s/data/%s.design", NEARMARK_TESTS, name);
    FILE *file = fopen(path, "rb");
    if (!file)
        return 0;
    size_t size = fread(text, 1, TEXT_SIZE, file);
    fclose(file);
    return size;
}

static bool run_plan(const char *name, const char *edition, const struct nmk_settled *settled, int64_t makers)
{
    struct nmk_plan_options options;
    struct nmk_plan *plan = NULL;
    const char *why = NULL;
    nmk_plan_options_init(&options);
    options.makers = makers;
    long start = now_us();
    bool right = !nmk_plan_new(&plan, settled, &options, NULL);
    long used = now_us() - start;
    right = right && nmk_plan_check(plan, &why);
    printf("%-8s %-10s makers %2lld  sheets %3zu kinds  settings %3zu  steps %4zu  %7.1f ms%s%s\n", name, edition,
           (long long)makers, right ? nmk_plan_sheet_count(plan) : 0, right ? nmk_plan_moves(plan) : 0,
           right ? nmk_plan_step_count(plan) : 0, (double)used / 1000, right ? "" : "  WRONG ", why ? why : "");
    nmk_plan_free(plan);
    return right && (makers > 1 || used <= LIMIT_US);
}

static bool run(const char *name, const char *edition, int64_t makers)
{
    static char text[TEXT_SIZE];
    struct nmk_design *design = NULL;
    struct nmk_draft *draft = NULL;
    struct nmk_settled *settled = NULL;
    struct nmk_settle_options options;
    nmk_settle_options_init(&options);
    size_t size = read_design(text, name);
    bool good = size && !nmk_design_read(&design, text, size, NULL) &&
                !nmk_draft_new(&draft, design, nmk_design_find_edition(design, edition), NULL, NMK_UNIT_NONE, NULL) &&
                !nmk_settle(&settled, draft, &options, NULL) && run_plan(name, edition, settled, makers);
    nmk_settle_options_clear(&options);
    nmk_settled_free(settled);
    nmk_draft_free(draft);
    nmk_design_free(design);
    return good;
}

int main(void)
{
    static const char *const names[] = {"drawer", "nest", "cover"}, *const editions[] = {"metric", "imperial"};
    bool good = true;
    for (size_t i = 0; i < 6; i++)
        good &= run(names[i / 2], editions[i % 2], 1);
    for (size_t i = 0; i < 2; i++)
        good &= run("drawer", editions[i], 20);
    return good ? 0 : 1;
}
