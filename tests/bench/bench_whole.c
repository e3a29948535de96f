/* bench_whole.c -- the solver of whole numbers on chains of boxes, grids and dense problems.
 *
 *     bench_whole             all of them
  *     bench_whole dense       the dense ones
 *     bench_whole chain N     one chain of N boxes (for counting instructions) */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "bench/wholemake.h"

static int64_t now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000000000 + t.tv_nsec;
}

static void run(const char *name, struct made *m)
{
    struct nmk_whole_answer answer = {0};
    m->problem.most_steps = UINT64_C(2000000000);
    int64_t start = now();
    enum nmk_status status = nmk_whole_solve(&answer, &m->problem);
    int64_t taken = now() - start;
    size_t moved = 0;
    for (size_t j = 0; answer.values && j < m->problem.unknown_count; j++)
        moved += answer.values[j] != m->unknowns[j].settled_low;
    if (answer.values && !nmk_whole_check(&m->problem, answer.values)) {
        printf("%s: the answer is not allowed\n", name);
        exit(1);
    }
    printf("%-22s %7zu %7zu  %-10s %6zu %8zu %12llu %9.1f %9.0f\n", name, m->problem.unknown_count, m->problem.demand_count,
           status != NMK_OK ? nmk_status_name(status) : answer.feasible ? "best" : "none", moved, m->grade_calls,
           (unsigned long long)answer.steps, (double)taken / 1e6, (double)taken / (double)m->problem.unknown_count);
    fflush(stdout);
    nmk_whole_answer_clear(&answer);
    make_clear(m);
}

static void run_chain(size_t boxes, bool graded)
{
    struct made m;
    char name[64];
    make_chain(&m, boxes, graded);
    snprintf(name, sizeof name, "chain %zu%s", boxes, graded ? " graded" : "");
    run(name, &m);
}

static void run_dense(void)
{
    struct made m;
    char name[64];
    for (size_t n = 10; n <= 40; n *= 2)
        for (size_t degree = 3; degree <= 9; degree += 2)
            for (int64_t width = 40; width <= 80; width += 40) {
                make_dense(&m, n, degree, width, 1);
                snprintf(name, sizeof name, "dense %zu, %zu, %d mm", n, degree, (int)(width / 10));
                run(name, &m);
            }
}

static void run_all(void)
{
    struct made m;
    char name[64];
    for (size_t boxes = 125; boxes <= 2000; boxes *= 2)
        run_chain(boxes, false);
    for (size_t boxes = 125; boxes <= 2000; boxes *= 2)
        run_chain(boxes, true);
    for (size_t boxes = 250; boxes <= 2000; boxes *= 2) {
        make_anchored(&m, boxes);
        snprintf(name, sizeof name, "anchored %zu", boxes);
        run(name, &m);
    }
    for (size_t side = 3; side <= 6; side++) {
        make_grid(&m, side, 20, 1);
        snprintf(name, sizeof name, "grid %zu x 20", side);
        run(name, &m);
    }
    run_dense();
}

int main(int argc, char **argv)
{
    printf("%-22s %7s %7s  %-10s %6s %8s %12s %9s %9s\n", "problem", "unknown", "demands", "outcome", "moved", "grades",
           "steps", "ms", "ns/unkn.");
    if (argc == 3 && !strcmp(argv[1], "chain"))
        run_chain((size_t)strtoul(argv[2], NULL, 10), true);
    else if (argc == 2 && !strcmp(argv[1], "dense"))
        run_dense();
    else
        run_all();
    return 0;
}
