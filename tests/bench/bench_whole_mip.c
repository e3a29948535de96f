/* bench_whole_mip.c -- settling against two general solvers of integer programmes, GLPK and CBC, library call against
 * library call.
 *
 * The same plain problem for all: demands with two bounds, no grades; the fewest moved, then the shortest way. Of a design the
 * bounds are narrowed until every demand is sure, so that `closest` alone is left. For the others: x whole; y = 1 if x is moved
 * (beyond its nearest marks by at most REACH); z >= |x step - goal|; minimise WEIGHT sum y + sum z. What they find is rounded
 * and held against our answer in exact arithmetic. They get LIMIT seconds each, and a run of a second or more is not
 * repeated. Times are of the processor, the median of at least RUNS runs, and of up to MANY
 * until they took ENOUGH ms; a ratio behind `>` is of a run that was stopped. The checks are not part of the times.
 *
 * packages: libglpk-dev coinor-libcbc-dev
 * libs: -lglpk -lCbcSolver -lCbc -lCgl -lOsiClp -lOsi -lClp -lCoinUtils -lstdc++ -lm */
#include <coin/Cbc_C_Interface.h>
#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/utsname.h>
#include <time.h>
#include <unistd.h>

#include "bench/designmake.h"
#include "bench/wholemake.h"
#include "settle/marking.h"
#include "settle/settled.h"

enum { REACH = 60, LIMIT = 10, WEIGHT = 100000, RUNS = 5, MANY = 101, ENOUGH = 30, QUICK = 1000 };

/* Rows a x <= b over columns x_j, y_j, z_j (3 j, 3 j + 1, 3 j + 2), as triplets counted from 0. */
struct programme {
    int columns, rows, entries, space;
    int *row, *column;
    double *value, *low, *high;
};

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static double as_double(const struct nmk_rat *r)
{
    int64_t num, den;
    if (nmk_rat_get_frac(&num, &den, r) != NMK_OK)
        abort();
    return (double)num / (double)den;
}

static void add_entry(struct programme *p, int column, double value)
{
    p->row[p->entries] = p->rows;
    p->column[p->entries] = column;
    p->value[p->entries++] = value;
}

static void end_row(struct programme *p, double low, double high)
{
    p->low[p->rows] = low;
    p->high[p->rows++] = high;
}

static const double none = 1e30;

static int64_t is_moved(const struct nmk_whole_problem *m, size_t j, int64_t x)
{
    int64_t parts[3];
    m->cost(parts, m->context, j, x);
    return parts[0];
}

/* The lowest and the highest nearest mark: two at a tie. */
static void near_marks(int64_t *low, int64_t *high, const struct nmk_whole_problem *m, size_t j)
{
    const struct nmk_whole_unknown *u = &m->unknowns[j];
    for (*low = u->settled_low; is_moved(m, j, *low); ++*low)
        ;
    for (*high = *low; !is_moved(m, j, *high + 1); ++*high)
        ;
}

static void add_unknown_rows(struct programme *p, const struct nmk_whole_problem *m, int j)
{
    const struct nmk_whole_unknown *u = &m->unknowns[j];
    double step = as_double(&u->step), goal = as_double(&u->goal);
    int64_t near[2];
    near_marks(&near[0], &near[1], m, (size_t)j);
    for (int sign = -1; sign <= 1; sign += 2) {
        add_entry(p, 3 * j, sign);
        add_entry(p, 3 * j + 1, -REACH);
        end_row(p, -none, sign * (double)near[sign > 0]);
        add_entry(p, 3 * j, sign * step);
        add_entry(p, 3 * j + 2, -1);
        end_row(p, -none, sign * goal);
    }
}

static void make_programme(struct programme *p, const struct nmk_whole_problem *m)
{
    size_t n = m->unknown_count, rows = 4 * n + m->demand_count;
    *p = (struct programme){.columns = (int)(3 * n)};
    size_t space = 8 * n + 4 * m->demand_count;
    p->row = calloc(space, sizeof *p->row);
    p->column = calloc(space, sizeof *p->column);
    p->value = calloc(space, sizeof *p->value);
    p->low = calloc(rows, sizeof *p->low);
    p->high = calloc(rows, sizeof *p->high);
    if (!p->row || !p->column || !p->value || !p->low || !p->high)
        abort();
    for (size_t j = 0; j < n; j++)
        add_unknown_rows(p, m, (int)j);
    for (size_t i = 0; i < m->demand_count; i++) {
        const struct nmk_whole_demand *d = &m->demands[i];
        for (size_t k = 0; k < d->count; k++)
            add_entry(p, 3 * (int)d->terms[k].unknown, as_double(&d->terms[k].times));
        double constant = as_double(&d->constant);
        end_row(p, d->has_least ? as_double(&d->least) - constant : -none, d->has_most ? as_double(&d->most) - constant : none);
    }
}

static void free_programme(struct programme *p)
{
    free(p->row);
    free(p->column);
    free(p->value);
    free(p->low);
    free(p->high);
}

static double column_cost(int column)
{
    return column % 3 == 1 ? WEIGHT : column % 3 == 2 ? 1 : 0;
}

static int64_t rounded(double x)
{
    return (int64_t)(x + 0.5);
}

/* ---- the others; true if they say that it is proved ---- */

/* GLPK's own limit is of the clock: this one is of the processor, as CBC's. */
static void stop_glpk(glp_tree *tree, void *start)
{
    if (now() - *(const double *)start > LIMIT * 1e3)
        glp_ios_terminate(tree);
}

static bool solve_glpk(int64_t *out, const struct programme *p)
{
    glp_prob *lp = glp_create_prob();
    glp_term_out(GLP_OFF);
    glp_add_cols(lp, p->columns);
    glp_add_rows(lp, p->rows);
    for (int c = 0; c < p->columns; c++) {
        glp_set_obj_coef(lp, c + 1, column_cost(c));
        glp_set_col_bnds(lp, c + 1, c % 3 == 1 ? GLP_DB : GLP_LO, c % 3 == 0 ? 1 : 0, 1);
        glp_set_col_kind(lp, c + 1, c % 3 == 2 ? GLP_CV : GLP_IV);
    }
    for (int r = 0; r < p->rows; r++)
        glp_set_row_bnds(lp, r + 1, p->low[r] <= -none ? GLP_UP : p->high[r] >= none ? GLP_LO : GLP_DB, p->low[r], p->high[r]);
    int *row = calloc((size_t)p->entries + 1, sizeof *row), *column = calloc((size_t)p->entries + 1, sizeof *column);
    double *value = calloc((size_t)p->entries + 1, sizeof *value);
    for (int k = 0; k < p->entries; k++) {
        row[k + 1] = p->row[k] + 1;
        column[k + 1] = p->column[k] + 1;
        value[k + 1] = p->value[k];
    }
    glp_load_matrix(lp, p->entries, row, column, value);
    glp_iocp options;
    glp_init_iocp(&options);
    options.presolve = GLP_ON;
    options.msg_lev = GLP_MSG_OFF;
    double start = now();
    options.cb_func = stop_glpk;
    options.cb_info = &start;
    bool proved = glp_intopt(lp, &options) == 0 && glp_mip_status(lp) == GLP_OPT;
    for (int j = 0; 3 * j < p->columns; j++)
        out[j] = rounded(glp_mip_col_val(lp, 3 * j + 1));
    glp_delete_prob(lp);
    glp_free_env();
    free(row);
    free(column);
    free(value);
    return proved;
}

static bool solve_cbc(int64_t *out, const struct programme *p)
{
    Cbc_Model *model = Cbc_newModel();
    char limit[16];
    snprintf(limit, sizeof limit, "%d", LIMIT);
    Cbc_setParameter(model, "log", "0");
    Cbc_setParameter(model, "sec", limit);
    Cbc_setParameter(model, "ratio", "0");
    Cbc_setParameter(model, "allow", "0");
    for (int c = 0; c < p->columns; c++)
        Cbc_addCol(model, "", c % 3 == 0 ? 1 : 0, c % 3 == 1 ? 1 : none, column_cost(c), c % 3 != 2, 0, NULL, NULL);
    for (int r = 0, k = 0; r < p->rows; r++) {
        int first = k, columns[4];
        double values[4];
        for (; k < p->entries && p->row[k] == r; k++) {
            columns[k - first] = p->column[k];
            values[k - first] = p->value[k];
        }
        if (p->high[r] < none)
            Cbc_addRow(model, "", k - first, columns, values, 'L', p->high[r]);
        if (p->low[r] > -none)
            Cbc_addRow(model, "", k - first, columns, values, 'G', p->low[r]);
    }
    Cbc_solve(model);
    bool proved = Cbc_isProvenOptimal(model);
    const double *solution = Cbc_getColSolution(model);
    for (int j = 0; 3 * j < p->columns; j++)
        out[j] = solution ? rounded(solution[3 * j]) : 0;
    Cbc_deleteModel(model);
    return proved;
}

/* ---- comparing ---- */

/* Moved, and the way in all, exactly. */
static int64_t cost_of(struct nmk_rat *way, const struct nmk_whole_problem *m, const int64_t *values)
{
    struct nmk_rat x = {0};
    int64_t moved = 0;
    nmk_rat_set_int(way, 0);
    for (size_t j = 0; j < m->unknown_count; j++) {
        moved += is_moved(m, j, values[j]);
        nmk_rat_set_int(&x, values[j]);
        nmk_rat_mul(&x, &x, &m->unknowns[j].step);
        nmk_rat_sub(&x, &x, &m->unknowns[j].goal);
        nmk_rat_abs(&x, &x);
        nmk_rat_add(way, way, &x);
    }
    nmk_rat_clear(&x);
    return moved;
}

/* < 0: a costs less. */
static int compare_costs(const struct nmk_whole_problem *m, const int64_t *a, const int64_t *b)
{
    struct nmk_rat way_a = {0}, way_b = {0};
    int64_t moved_a = cost_of(&way_a, m, a), moved_b = cost_of(&way_b, m, b);
    int order = moved_a != moved_b ? (moved_a < moved_b ? -1 : 1) : nmk_rat_cmp(&way_a, &way_b);
    nmk_rat_clear(&way_a);
    nmk_rat_clear(&way_b);
    return order;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

struct timed {
    double ms;   /* the median */
    bool proved; /* in the last run */
};

typedef bool (*solver)(int64_t *out, const struct programme *p);

struct runs {
    double all[MANY], sum;
    size_t count;
};

static void add_run(struct runs *r, double ms)
{
    r->all[r->count++] = ms;
    r->sum += ms;
}

/* A slow one is not run again. */
static bool is_enough(const struct runs *r)
{
    return r->count == MANY || (r->count >= RUNS && r->sum > ENOUGH) || (r->count && r->all[r->count - 1] >= QUICK);
}

static double median(struct runs *r)
{
    qsort(r->all, r->count, sizeof *r->all, by_size);
    return r->all[r->count / 2];
}

static struct timed time_other(int64_t *found, solver solve, const struct programme *p)
{
    struct timed t = {0};
    struct runs runs = {0};
    while (!is_enough(&runs)) {
        double start = now();
        t.proved = solve(found, p);
        add_run(&runs, now() - start);
    }
    t.ms = median(&runs);
    return t;
}

static double time_ours(struct nmk_whole_answer *answer, const struct nmk_whole_problem *m)
{
    struct runs runs = {0};
    while (!is_enough(&runs)) {
        nmk_whole_answer_clear(answer);
        double start = now();
        enum nmk_status status = nmk_whole_solve(answer, m);
        add_run(&runs, now() - start);
        if (status != NMK_OK || !answer->feasible || !nmk_whole_check(m, answer->values)) {
            printf("no allowed marks\n");
            exit(1);
        }
    }
    return median(&runs);
}

static void report(const char *who, struct timed t, double ours, const struct nmk_whole_problem *m, const int64_t *found,
                   const int64_t *best)
{
    const char *said = "stopped";
    if (t.proved) {
        int order = nmk_whole_check(m, found) ? compare_costs(m, found, best) : 1;
        said = order ? "is wrong" : "agrees";
        if (order < 0) { /* ours must never be beaten */
            printf("%s found something better\n", who);
            exit(1);
        }
    }
    printf("  %s %9.1f ms %s%8.1f x %-8s", who, t.ms, t.proved ? " " : ">", t.ms / ours, said);
    fflush(stdout);
}

/* CBC's time, in ms. `target`: so many times as fast as the better of the others ours is to be. */
static struct timed compare(const char *name, const struct nmk_whole_problem *m, double target)
{
    struct nmk_whole_answer answer = {0};
    double ours = time_ours(&answer, m);
    printf("%-15s %5zu %8.2f ms", name, m->unknown_count, ours);
    fflush(stdout);
    struct programme p;
    int64_t *found = calloc(m->unknown_count, sizeof *found);
    if (!found)
        abort();
    make_programme(&p, m);
    struct timed glpk = time_other(found, solve_glpk, &p);
    report("GLPK", glpk, ours, m, found, answer.values);
    struct timed cbc = time_other(found, solve_cbc, &p);
    report("CBC", cbc, ours, m, found, answer.values);
    double better = (glpk.ms < cbc.ms ? glpk.ms : cbc.ms) / ours;
    if (target > 0)
        printf("  wanted %g x: %s", target, better >= target ? "met" : "NOT met");
    printf("\n");
    fflush(stdout);
    free_programme(&p);
    free(found);
    nmk_whole_answer_clear(&answer);
    return cbc;
}

static void compare_made(const char *name, struct made *m, double target)
{
    for (size_t i = 0; i < m->problem.demand_count; i++)
        m->demands[i].graded = false;
    compare(name, &m->problem, target);
    make_clear(m);
}

/* ---- designs ---- */

static void narrow(struct nmk_whole_demand *d)
{
    if (!d->graded)
        return;
    if (d->has_sure_least && (!d->has_least || nmk_rat_cmp(&d->sure_least, &d->least) > 0))
        nmk_rat_set(&d->least, &d->sure_least);
    if (d->has_sure_most && (!d->has_most || nmk_rat_cmp(&d->sure_most, &d->most) < 0))
        nmk_rat_set(&d->most, &d->sure_most);
    d->has_least |= d->has_sure_least;
    d->has_most |= d->has_sure_most;
    d->graded = false;
}

static struct timed compare_design(const char *kind, size_t n, char *text, double target)
{
    struct made_design made;
    struct nmk_marking *marking;
    char name[64];
    make_settled(&made, text);
    struct nmk_marking_plan plan = nmk_settled_plan(made.settled, false);
    nmk_marking_new(&marking, &plan);
    const struct nmk_whole_problem *problem = nmk_marking_problem(marking);
    for (size_t i = 0; i < problem->demand_count; i++)
        narrow((struct nmk_whole_demand *)&problem->demands[i]); /* the marking is ours */
    snprintf(name, sizeof name, "%s %zu", kind, n);
    struct timed cbc = compare(name, problem, target);
    nmk_marking_free(marking);
    make_settled_free(&made);
    free(text);
    return cbc;
}

/* ---- the whole program ---- */

/* Processor time of all programs that were run, in ms. */
static double children_ms(void)
{
    struct rusage u;
    getrusage(RUSAGE_CHILDREN, &u);
    return (double)(u.ru_utime.tv_sec + u.ru_stime.tv_sec) * 1e3 + (double)(u.ru_utime.tv_usec + u.ru_stime.tv_usec) / 1e3;
}

/* Its processor time for one file, in ms: `nearmark cuts FILE --edition imperial --json`; < 0: it fails. */
static double time_program(const char *program, const char *text)
{
    char file[] = "/tmp/nearmark-bench-XXXXXX", command[4096];
    int fd = mkstemp(file);
    FILE *out = fd < 0 ? NULL : fdopen(fd, "w");
    if (!out || fputs(text, out) < 0 || fclose(out))
        return -1;
    snprintf(command, sizeof command, "'%s' cuts %s --edition imperial --json >/dev/null 2>&1", program, file);
    double all[RUNS];
    bool failed = false;
    for (size_t i = 0; i < RUNS && !failed; i++) {
        double before = children_ms();
        if (system(command) != 0)
            failed = true;
        all[i] = children_ms() - before;
    }
    unlink(file);
    if (failed)
        return -1;
    qsort(all, RUNS, sizeof *all, by_size);
    return all[RUNS / 2];
}

/* The program stands two folders above this one's. */
static void compare_program(const char *self, struct timed cbc)
{
    char program[2048];
    const char *end = strstr(self, "tests/bench/");
    snprintf(program, sizeof program, "%.*snearmark", end ? (int)(end - self) : 0, self);
    char *text = make_nested_design(2000, false);
    double ours = time_program(program, text);
    free(text);
    if (ours < 0)
        printf("nearmark cuts --json, nested 2000: %s cannot be run\n", program);
    else
        printf("nearmark cuts --json, nested 2000: %.0f ms; CBC, nested 100: %s%.0f ms; wanted at most a third: %s\n", ours,
               cbc.proved ? "" : "stopped after ", cbc.ms, 3 * ours <= cbc.ms ? "met" : "NOT met");
}

/* ---- all ---- */

static void say_machine(void)
{
    struct utsname machine;
    char line[256], *model = NULL;
    FILE *f = fopen("/proc/cpuinfo", "r");
    while (f && !model && fgets(line, sizeof line, f))
        if (!strncmp(line, "model name", 10))
            model = strchr(line, ':');
    if (f)
        fclose(f);
    if (uname(&machine) == 0)
        printf("on %s %s, %ld processors%s", machine.sysname, machine.machine, sysconf(_SC_NPROCESSORS_ONLN),
               model ? model : "\n");
}

static void compare_chains(void)
{
    static const struct { size_t boxes; double target; } all[] = {{5, 100}, {20, 0}, {100, 2000}};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        struct made m;
        char name[64];
        make_chain(&m, all[i].boxes, false);
        snprintf(name, sizeof name, "chain %zu", all[i].boxes);
        compare_made(name, &m, all[i].target);
    }
}

static double dense_target(size_t n)
{
    return n <= 10 ? 10 : n <= 20 ? 4 : 1;
}

static void compare_dense(void)
{
    for (size_t n = 10; n <= 40; n *= 2)
        for (size_t degree = 3; degree <= 7; degree += 2) {
            struct made m;
            char name[64];
            make_dense(&m, n, degree, 40, 1);
            snprintf(name, sizeof name, "dense %zu, %zu", n, degree);
            compare_made(name, &m, dense_target(n));
        }
    for (size_t n = 10; n <= 40; n *= 2)
        for (uint64_t seed = 1; seed <= 3; seed++)
            compare_design("dense design", n, make_dense_design(n, 5, seed), dense_target(n));
}

int main(int argc, char **argv)
{
    (void)argc;
    say_machine();
    static const size_t boxes[] = {5, 20, 100};
    static const double targets[] = {8, 0, 2000};
    struct timed cbc = {0};
    for (int turned = 1; turned >= 0; turned--)
        for (size_t i = 0; i < 3; i++)
            cbc = compare_design(turned ? "turned" : "nested", boxes[i], make_nested_design(boxes[i], turned), targets[i]);
    compare_program(argv[0], cbc);
    compare_chains();
    compare_dense();
    return 0;
}
