/* bench_cutting: every proven instance at the default effort, then large ones. One line each; status 1 if a proven value
 * is missed or a plan is wrong.
 *
 *     bench_cutting [EFFORT] */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "unit/solve/instances.h"

struct tally {
    size_t rows, reached, proved;
    double seconds, longest;
};

static double seconds_now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static bool solve(struct nmk_cutting_answer *answer, const struct nmk_cutting_problem *problem, double *seconds)
{
    const char *why = NULL;
    double start = seconds_now();
    enum nmk_status status = nmk_cutting_solve(answer, problem);
    *seconds = seconds_now() - start;
    if (status == NMK_OK && nmk_cutting_check(problem, answer, &why))
        return true;
    printf("WRONG: %s %s\n", nmk_status_name(status), why ? why : "");
    return false;
}

static void show(const char *name, bool turning, const struct nmk_cutting_answer *a, double seconds)
{
    printf("%-14s turning %d  sheets %3" PRId64 "  bound %3" PRId64 "  settings %3" PRId64 "  offcut %" PRId64 " x %" PRId64
           "  steps %" PRIu64 "  %.2f s\n",
           name, turning, a->sheets, a->bound, a->settings, a->offcut_width, a->offcut_height, a->steps, seconds);
    fflush(stdout);
}

/* A row holds if the plan has no more sheets than proved and the bound is no higher; it is proved if both are equal. */
static bool run_row(const struct proven *row, uint64_t effort, struct tally *tally)
{
    static struct instance instance;
    struct nmk_cutting_answer answer;
    double seconds;
    if (!instance_read(&instance, row->onesheet ? "onesheet" : "class20", row->name, row->turning))
        return false;
    struct nmk_cutting_problem problem = instance_problem(&instance);
    problem.effort = effort;
    if (!solve(&answer, &problem, &seconds))
        return false;
    show(row->name, row->turning, &answer, seconds);
    bool one = answer.sheets == 1;
    bool proved = row->onesheet ? (row->value ? one : answer.bound > 1) : answer.bound == answer.sheets;
    bool reached = row->onesheet ? (row->value ? one : !one) : answer.sheets == row->value;
    bool right = row->onesheet ? (row->value ? answer.bound == 1 : !one)
                               : answer.sheets >= row->value && answer.bound <= row->value;
    tally->rows++;
    tally->reached += reached;
    tally->proved += proved && reached;
    tally->seconds += seconds;
    tally->longest = seconds > tally->longest ? seconds : tally->longest;
    nmk_cutting_answer_clear(&answer);
    if (!right || !proved)
        printf("%s: the value is %" PRId64 "\n", right ? "OPEN" : "WRONG", row->value);
    return right;
}

static bool run_published(uint64_t effort)
{
    struct proven rows[300];
    struct tally tally = {0};
    size_t count = proven_read(rows, 300);
    bool right = count > 0;
    for (size_t i = 0; i < count; i++)
        right = run_row(&rows[i], effort, &tally) && right;
    printf("%zu rows, %zu reached, %zu proved, %.1f s, longest %.2f s\n", tally.rows, tally.reached, tally.proved,
           tally.seconds, tally.longest);
    return right;
}

/* Pieces of box-like sizes in marks of a millimetre on A4. */
static void make_large(struct instance *out, size_t kinds, int64_t demand, bool turning)
{
    uint32_t state = 12345;
    out->sheet = (struct nmk_cutting_kind){210, 297};
    out->count = kinds;
    for (size_t i = 0; i < kinds; i++) {
        state = state * 1103515245u + 12345u;
        int64_t width = 12 + state / 65536 % 130;
        state = state * 1103515245u + 12345u;
        out->pieces[i] = (struct nmk_cutting_piece){width, 15 + state / 65536 % 200, demand, turning};
    }
}

static bool run_large(uint64_t effort)
{
    static const struct {
        size_t kinds;
        int64_t demand;
    } sizes[] = {{8, 1}, {16, 1}, {30, 1}, {40, 1}, {60, 1}, {100, 1}, {8, 20}, {16, 20}, {50, 20}, {200, 5}, {20, 1000}};
    static struct instance instance;
    bool right = true;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        for (int turning = 0; turning < 2; turning++) {
            struct nmk_cutting_answer answer;
            double seconds;
            char name[40];
            make_large(&instance, sizes[i].kinds, sizes[i].demand, turning);
            struct nmk_cutting_problem problem = instance_problem(&instance);
            problem.effort = effort;
            if (!solve(&answer, &problem, &seconds)) {
                right = false;
                continue;
            }
            snprintf(name, sizeof name, "%zu x %d", sizes[i].kinds, (int)sizes[i].demand);
            show(name, turning, &answer, seconds);
            nmk_cutting_answer_clear(&answer);
        }
    return right;
}

int main(int argc, char **argv)
{
    uint64_t effort = argc > 1 ? strtoull(argv[1], NULL, 10) : 0;
    bool right = run_published(effort);
    return run_large(effort) && right ? 0 : 1;
}
