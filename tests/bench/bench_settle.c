/* bench_settle.c -- whole designs settled: boxes in boxes, plain and with small cycles, and dense ones.
 *
 *     bench_settle                 the table: processor time, and instructions as callgrind counts them
 *     bench_settle KIND N          one design of N boxes or lengths (KIND nested, turned or dense) read, drawn up and settled
 *     bench_settle KIND N text     that design as a file, on standard output
 *
 * packages: valgrind */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "bench/designmake.h"
#include "settle/marking.h"
#include "settle/settled.h"

static const double most_a_doubling = 2.1;

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static char *make_text(const char *kind, size_t n)
{
    return !strcmp(kind, "dense") ? make_dense_design(n, 5, 1) : make_nested_design(n, !strcmp(kind, "turned"));
}

/* What was found is allowed: said by the checker that shares nothing with the solver. */
static bool is_allowed(const struct nmk_settled *settled)
{
    struct nmk_marking_plan plan = nmk_settled_plan(settled, false);
    struct nmk_marking *marking;
    nmk_marking_new(&marking, &plan);
    bool allowed = nmk_whole_check(nmk_marking_problem(marking), settled->marks);
    nmk_marking_free(marking);
    return allowed;
}

/* Instructions of this program for one design, in millions, counted by callgrind; < 0: it cannot be had. */
static double count_instructions(const char *self, const char *kind, size_t n)
{
    char command[1024], line[256];
    double count = -1;
    snprintf(command, sizeof command, "valgrind --tool=callgrind --callgrind-out-file=/dev/null '%s' %s %zu 2>&1 >/dev/null",
             self, kind, n);
    FILE *out = popen(command, "r");
    while (out && fgets(line, sizeof line, out)) {
        const char *found = strstr(line, "Collected : ");
        if (found)
            count = strtod(found + strlen("Collected : "), NULL) / 1e6;
    }
    if (out && pclose(out))
        count = -1;
    return count;
}

static void run(const char *self, const char *kind, size_t n, bool counted, double *before)
{
    struct made_design made;
    char *text = make_text(kind, n);
    double start = now();
    make_settled(&made, text);
    double taken = now() - start;
    if (!nmk_settled_holds_together(made.settled) || !is_allowed(made.settled)) {
        printf("%s %zu: no allowed marks\n", kind, n);
        exit(1);
    }
    printf("%-8s %6zu %8zu %8zu %8zu %10.1f", kind, n, made.settled->length_count, made.settled->demand_count,
           nmk_settled_moved(made.settled), taken);
    fflush(stdout);
    if (counted) {
        double count = count_instructions(self, kind, n);
        printf(" %12.1f", count);
        if (*before > 0)
            printf(" %10.3f  wanted %.1f: %s", count / *before, most_a_doubling,
                   count <= most_a_doubling * *before ? "met" : "NOT met");
        *before = count;
    }
    printf("\n");
    fflush(stdout);
    make_settled_free(&made);
    free(text);
}

static void run_all(const char *self)
{
    printf("%-8s %6s %8s %8s %8s %10s %12s %10s\n", "design", "size", "lengths", "demands", "moved", "ms", "10^6 instr.",
           "a doubling");
    for (int turned = 0; turned <= 1; turned++) {
        const char *kind = turned ? "turned" : "nested";
        double before = 0;
        run(self, kind, 5, false, &before);
        run(self, kind, 20, false, &before);
        for (size_t boxes = 100; boxes <= 800; boxes *= 2)
            run(self, kind, boxes, true, &before);
        run(self, kind, 500, false, &before);
        run(self, kind, 2000, false, &before);
    }
    for (size_t n = 10; n <= 40; n *= 2) {
        double before = 0;
        run(self, "dense", n, false, &before);
    }
}

int main(int argc, char **argv)
{
    if (argc < 3) {
        run_all(argv[0]);
        return 0;
    }
    char *text = make_text(argv[1], (size_t)strtoul(argv[2], NULL, 10));
    if (argc > 3 && !strcmp(argv[3], "text")) {
        fputs(text, stdout);
    } else {
        struct made_design made;
        make_settled(&made, text);
        make_settled_free(&made);
    }
    free(text);
    return 0;
}
