/* bench_chart: a chart of 10,000 sizes against 10,000 runs of the program, of which a sample is run and scaled. The marks of
 * the sample are compared. Status 1 if any differ. Twice: of a grid of two sizes, as charts are made, where most parts have
 * been met before; and of one size in steps so small that no row has anything to learn from another.
 *
 *     bench_chart [ROWS [RUNS]] */
#include <errno.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "nearmark/chart.h"

#define DESIGN NEARMARK_TESTS "/data/drawer.design"

struct bench {
    struct nmk_design *design;
    size_t edition, measures[2], lengths;
    bool grid;
    int64_t rows, runs, every; /* every so many'th row is also run */
    int64_t *marks;            /* of the sampled rows */
};

static double seconds_now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* ---- the chart, through the library ---- */

static bool read_design(struct bench *b)
{
    static char text[1 << 20];
    struct nmk_diagnostics *list;
    FILE *file = fopen(DESIGN, "rb");
    if (!file || nmk_diagnostics_new(&list, 0)) {
        printf("WRONG: %s: %s\n", DESIGN, strerror(errno));
        return false;
    }
    size_t size = fread(text, 1, sizeof text, file);
    fclose(file);
    enum nmk_status status = nmk_design_read(&b->design, text, size, list);
    nmk_diagnostics_free(list);
    if (status)
        return false;
    b->edition = nmk_design_find_edition(b->design, "imperial");
    b->measures[0] = nmk_design_find_measure(b->design, "long");
    b->measures[1] = nmk_design_find_measure(b->design, "short");
    b->lengths = nmk_design_length_count(b->design);
    return true;
}

/* Of the first measure 80 mm and on, a hundredth of a millimetre a row, the second as it is in the file; of a grid both in
 * half millimetres, SIDE by SIDE. */
enum { SIDE = 100, HALF = 50, AS_IN_FILE = 7400 };

static void hundredths(int64_t sizes[2], const struct bench *b, int64_t row)
{
    sizes[0] = 8000 + (b->grid ? HALF * (row / SIDE % SIDE) : row);
    sizes[1] = b->grid ? 5500 + HALF * (row % SIDE) : AS_IN_FILE;
}

static bool set_sizes(const struct bench *b, int64_t row)
{
    struct nmk_rat size = {0};
    int64_t sizes[2];
    bool good = true;
    hundredths(sizes, b, row);
    for (int i = 0; i < 2 && good; i++)
        good = !nmk_rat_set_frac(&size, sizes[i], 100) && !nmk_design_set_measure(b->design, b->measures[i], &size);
    nmk_rat_clear(&size);
    return good;
}

static bool chart_rows(const struct bench *b, struct nmk_chart *chart)
{
    struct nmk_diagnostics *list;
    if (nmk_diagnostics_new(&list, 0))
        return false;
    bool good = true;
    for (int64_t i = 0; i < b->rows && good; i++) {
        struct nmk_chart_row row;
        good = set_sizes(b, i) && !nmk_chart_settle(&row, chart, list) && row.marks;
        if (good && i % b->every == 0 && i / b->every < b->runs)
            memcpy(b->marks + (size_t)(i / b->every) * b->lengths, row.marks, b->lengths * sizeof *b->marks);
    }
    nmk_diagnostics_free(list);
    return good;
}

static bool chart(const struct bench *b)
{
    struct nmk_settle_options options;
    struct nmk_chart *chart = NULL;
    nmk_settle_options_init(&options);
    bool good = !nmk_chart_new(&chart, b->design, b->edition, NULL, NMK_UNIT_NONE, &options) && chart_rows(b, chart);
    nmk_chart_free(chart);
    nmk_settle_options_clear(&options);
    return good;
}

/* ---- runs of the program ---- */

/* The marks in what `cuts --json` said: the number behind each "marks": of its lengths, which come first. */
static bool same_marks(FILE *told, const int64_t *marks, size_t count)
{
    static char text[1 << 20];
    size_t size = fread(text, 1, sizeof text - 1, told);
    const char *at = text;
    text[size] = '\0';
    for (size_t i = 0; i < count; i++) {
        at = strstr(at, "\"marks\": ");
        if (!at || strtoll(at + 9, NULL, 10) != marks[i])
            return false;
        at++;
    }
    return true;
}

static bool run(const struct bench *b, const char *program, int64_t k)
{
    char command[4000];
    int64_t sizes[2];
    hundredths(sizes, b, k * b->every);
    snprintf(command, sizeof command,
             "'%.1000s' cuts '%.2000s' --edition imperial --json --set long=%" PRId64 ".%02" PRId64 "mm --set short=%" PRId64 ".%02" PRId64 "mm 2>/dev/null",
             program, DESIGN, sizes[0] / 100, sizes[0] % 100, sizes[1] / 100, sizes[1] % 100);
    FILE *told = popen(command, "r");
    bool same = told && same_marks(told, b->marks + (size_t)k * b->lengths, b->lengths);
    if (told)
        pclose(told);
    if (!same)
        printf("WRONG: not the marks of: %s\n", command);
    return same;
}

static bool compare(struct bench *b, const char *program)
{
    double start = seconds_now();
    bool good = chart(b);
    double charted = seconds_now() - start;
    start = seconds_now();
    for (int64_t k = 0; k < b->runs && good; k++)
        good = run(b, program, k);
    double ran = (seconds_now() - start) / (double)b->runs * (double)b->rows;
    printf("chart  %" PRId64 " sizes%s  %.3f s\n", b->rows, b->grid ? " of a grid" : ", all different", charted);
    printf("cuts   %" PRId64 " runs   %.1f s, scaled from %" PRId64 " runs that were made\n", b->rows, ran, b->runs);
    printf("ratio  %.0f; the marks of these %" PRId64 " are %s\n", ran / charted, b->runs, good ? "the same" : "NOT THE SAME");
    fflush(stdout);
    return good;
}

int main(int argc, char **argv)
{
    const char *build = getenv("BUILD"), *program = getenv("NEARMARK");
    char beside[1000];
    struct bench b = {.rows = argc > 1 ? atoll(argv[1]) : SIDE * SIDE, .runs = argc > 2 ? atoll(argv[2]) : 100};
    snprintf(beside, sizeof beside, "%s/nearmark", build ? build : "build");
    if (b.rows < 1 || b.runs < 1 || b.runs > b.rows || !read_design(&b))
        return 1;
    b.every = b.rows / b.runs;
    b.every -= b.every > 1; /* so that a sample of a grid does not run along one side of it */
    b.marks = calloc((size_t)b.runs * b.lengths, sizeof *b.marks);
    bool good = b.marks != NULL;
    for (int grid = 1; grid >= 0 && good; grid--) {
        b.grid = grid;
        good = compare(&b, program ? program : beside);
    }
    free(b.marks);
    nmk_design_free(b.design);
    return !good;
}
