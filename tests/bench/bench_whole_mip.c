/* bench_whole_mip.c -- the solver of whole numbers against two general solvers of integer programmes, GLPK and CBC.
 *
 * The same plain problem for all: demands with two bounds, no grades; the fewest moved, then the shortest way. For the
 * others: x whole; y = 1 if x is moved (|x - near| <= REACH y); z >= |x step - goal|; minimise WEIGHT sum y + sum z. What
 * they find is rounded and held against our answer in exact arithmetic. They get LIMIT seconds each.
 *
 * packages: libglpk-dev coinor-libcbc-dev
 * libs: -lglpk -lCbcSolver -lCbc -lCgl -lOsiClp -lOsi -lClp -lCoinUtils -lstdc++ -lm */
#include <coin/Cbc_C_Interface.h>
#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "bench/wholemake.h"

enum { REACH = 60, LIMIT = 10, WEIGHT = 100000 };

/* Rows a x <= b over columns x_j, y_j, z_j (3 j, 3 j + 1, 3 j + 2), as triplets counted from 0. */
struct programme {
    int columns, rows, entries, space;
    int *row, *column;
    double *value, *low, *high;
};

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
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

static void add_unknown_rows(struct programme *p, const struct nmk_whole_unknown *u, int j)
{
    double near = (double)u->settled_low, step = as_double(&u->step), goal = as_double(&u->goal);
    for (int sign = -1; sign <= 1; sign += 2) {
        add_entry(p, 3 * j, sign);
        add_entry(p, 3 * j + 1, -REACH);
        end_row(p, -none, sign * near);
        add_entry(p, 3 * j, sign * step);
        add_entry(p, 3 * j + 2, -1);
        end_row(p, -none, sign * goal);
    }
}

static void make_programme(struct programme *p, const struct made *m)
{
    size_t n = m->problem.unknown_count, rows = 4 * n + m->problem.demand_count;
    *p = (struct programme){.columns = (int)(3 * n)};
    size_t space = 8 * n + 4 * m->problem.demand_count;
    p->row = calloc(space, sizeof *p->row);
    p->column = calloc(space, sizeof *p->column);
    p->value = calloc(space, sizeof *p->value);
    p->low = calloc(rows, sizeof *p->low);
    p->high = calloc(rows, sizeof *p->high);
    if (!p->row || !p->column || !p->value || !p->low || !p->high)
        abort();
    for (size_t j = 0; j < n; j++)
        add_unknown_rows(p, &m->unknowns[j], (int)j);
    for (size_t i = 0; i < m->problem.demand_count; i++) {
        const struct nmk_whole_demand *d = &m->demands[i];
        for (size_t k = 0; k < d->count; k++)
            add_entry(p, 3 * (int)d->terms[k].unknown, as_double(&d->terms[k].times));
        double constant = as_double(&d->constant);
        end_row(p, as_double(&d->least) - constant, as_double(&d->most) - constant);
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
        glp_set_row_bnds(lp, r + 1, p->low[r] <= -none ? GLP_UP : GLP_DB, p->low[r], p->high[r]);
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
    options.tm_lim = LIMIT * 1000;
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
static size_t cost_of(struct nmk_rat *way, const struct made *m, const int64_t *values)
{
    struct nmk_rat x = {0};
    size_t moved = 0;
    nmk_rat_set_int(way, 0);
    for (size_t j = 0; j < m->problem.unknown_count; j++) {
        moved += values[j] != m->unknowns[j].settled_low;
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
static int compare_costs(const struct made *m, const int64_t *a, const int64_t *b)
{
    struct nmk_rat way_a = {0}, way_b = {0};
    size_t moved_a = cost_of(&way_a, m, a), moved_b = cost_of(&way_b, m, b);
    int order = moved_a != moved_b ? (moved_a < moved_b ? -1 : 1) : nmk_rat_cmp(&way_a, &way_b);
    nmk_rat_clear(&way_a);
    nmk_rat_clear(&way_b);
    return order;
}

static void report(const char *who, bool proved, double taken, double ours, const struct made *m, const int64_t *found,
                   const int64_t *best)
{
    const char *said = "not proved";
    if (proved) {
        int order = nmk_whole_check(&m->problem, found) ? compare_costs(m, found, best) : 1;
        said = order ? "is wrong" : "agrees";
        if (order < 0) { /* ours must never be beaten */
            printf("%s found something better\n", who);
            exit(1);
        }
    }
    printf("  %s %10.1f ms %8.1f x %-10s", who, taken, taken / ours, said);
}

static void run(const char *name, struct made *m)
{
    size_t n = m->problem.unknown_count;
    for (size_t i = 0; i < m->problem.demand_count; i++)
        m->demands[i].graded = false;
    struct nmk_whole_answer answer = {0};
    double start = now();
    if (nmk_whole_solve(&answer, &m->problem) != NMK_OK || !answer.feasible)
        exit(1);
    double ours = now() - start;
    printf("%-18s %6zu %10.2f ms", name, n, ours);
    fflush(stdout);
    struct programme p;
    int64_t *found = calloc(n, sizeof *found);
    make_programme(&p, m);
    start = now();
    bool proved = solve_glpk(found, &p);
    report("GLPK", proved, now() - start, ours, m, found, answer.values);
    fflush(stdout);
    start = now();
    proved = solve_cbc(found, &p);
    report("CBC", proved, now() - start, ours, m, found, answer.values);
    printf("\n");
    fflush(stdout);
    free_programme(&p);
    free(found);
    nmk_whole_answer_clear(&answer);
    make_clear(m);
}

int main(void)
{
    struct made m;
    char name[64];
    for (size_t boxes = 5; boxes <= 45; boxes *= 3) {
        make_chain(&m, boxes, false);
        snprintf(name, sizeof name, "chain %zu", boxes);
        run(name, &m);
    }
    for (size_t n = 10; n <= 40; n *= 2)
        for (size_t degree = 3; degree <= 7; degree += 2) {
            make_dense(&m, n, degree, 40, 1);
            snprintf(name, sizeof name, "dense %zu, %zu", n, degree);
            run(name, &m);
        }
    return 0;
}
