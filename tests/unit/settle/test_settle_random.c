/* Random designs: settled values from the definition, conflicts that are smallest, changes and finer marks that serve,
 * charts that say what nmk_settle says. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "base/memory.h"
#include "nearmark/chart.h"
#include "settle/marking.h"
#include "settle/settled.h"
#include "unit/exact/biased.h"
#include "unit/fit/fitting.h"
#include "unit/settle/guess.h"

static void check(bool right, unsigned long number, const char *what, const struct guess *g)
{
    if (!right) {
        print_message("# %s\n", nmk_text_get(&g->text));
        biased_check(false, number, what, NULL, NULL);
    }
}

/* ---- settled values ---- */

static void take_sizes(struct guess_sizes *s, const struct fitting *f, size_t *choices)
{
    guess_sizes_init(s, f->draft);
    for (size_t i = 0; i < nmk_design_measure_count(f->design); i++)
        nmk_rat_set(&s->measures[i], &nmk_design_measure(f->design, i)->size);
    for (size_t i = 0; i < nmk_design_length_count(f->design); i++) {
        if (!nmk_draft_designed(f->draft, i)) {
            choices[i] = (size_t)nmk_settled_choice(f->settled, i);
            continue;
        }
        nmk_rat_set_int(&s->lengths[i], nmk_settled_marks(f->settled, i));
        nmk_rat_mul(&s->lengths[i], &s->lengths[i], nmk_draft_step(f->draft));
    }
    s->choices = choices;
}

/* Every demand is met as marked, and its nominal is what its formulas come to. */
static void check_nominals(const struct fitting *f, unsigned long number, const struct guess *g)
{
    struct guess_sizes sizes;
    size_t choices[40];
    struct nmk_rat nominal = {0};
    take_sizes(&sizes, f, choices);
    for (size_t i = 0; i < nmk_design_demand_count(f->design); i++) {
        const struct nmk_view *v = nmk_settled_view(f->settled, i, NMK_SETTLED);
        const struct nmk_rat *low = nmk_settled_low(f->settled, i), *high = nmk_settled_high(f->settled, i);
        guess_nominal(&nominal, &sizes, nmk_design_demand(f->design, i));
        check(nmk_rat_equal(&nominal, &v->nominal), number, "nominal", g);
        check(!low || nmk_rat_cmp(low, &nominal) <= 0, number, "met below", g);
        check(!high || nmk_rat_cmp(&nominal, high) <= 0, number, "met above", g);
        check(v->state == NMK_HOLDS || v->state == NMK_AT_RISK, number, "state", g);
    }
    nmk_rat_clear(&nominal);
    guess_sizes_clear(&sizes);
}

/* Every score of the settled cut list stands on a score mark, counted from its own edge. */
static void check_scores(const struct fitting *f, unsigned long number, const struct guess *g)
{
    for (size_t p = 0; p < nmk_design_piece_count(f->design); p++)
        for (int way = 0; nmk_design_piece(f->design, p)->kind == NMK_PIECE_PANELS && way < 2; way++) {
            size_t last = nmk_draft_line_count(f->draft, p, (enum nmk_way)way) - 1;
            int64_t whole = nmk_settled_line(f->settled, NMK_SETTLED, p, (enum nmk_way)way, last);
            for (size_t i = 1; i < last; i++) {
                if (nmk_design_piece(f->design, p)->lists[way].lines[i].is_cut)
                    continue;
                int64_t at = nmk_settled_line(f->settled, NMK_SETTLED, p, (enum nmk_way)way, i);
                if (nmk_draft_from_last(f->draft, p, (enum nmk_way)way, i))
                    at = whole - at;
                check(at > 0 && at % nmk_draft_score_marks(f->draft) == 0, number, "score mark", g);
            }
        }
}

/* The panels of a row as they follow each other in the settled cut list. */
static void check_row_lines(const struct fitting *f, size_t p, enum nmk_way way, size_t row_index, unsigned long number,
                            const struct guess *g)
{
    const struct nmk_piece *piece = nmk_design_piece(f->design, p);
    const struct nmk_row *row = &piece->lists[way].rows[row_index];
    int64_t rests[2] = {0, 0};
    for (size_t i = 0; i < row->count; i++) {
        const struct nmk_stretch *s = &piece->lists[way].stretches[row->first + i];
        int64_t size = nmk_settled_line(f->settled, NMK_SETTLED, p, way, s->lines[1]) -
                       nmk_settled_line(f->settled, NMK_SETTLED, p, way, s->lines[0]);
        if (s->panel == NMK_NONE)
            rests[i > 0] = size;
        else
            check(size == nmk_settled_marks(f->settled, piece->panels[s->panel].length), number,
                  "a stretch as wide as its length", g);
    }
    check(!row->rests[0] || rests[0] >= 1, number, "the first rest is at least a mark", g);
    check(!row->rests[1] || rests[1] >= 1, number, "the last rest is at least a mark", g);
    check(!row->rests[0] || !row->rests[1] || rests[1] == rests[0] || rests[1] == rests[0] + 1, number, "halves", g);
}

/* Every list fills the whole width. */
static void check_rows(const struct fitting *f, unsigned long number, const struct guess *g)
{
    for (size_t p = 0; p < nmk_design_piece_count(f->design); p++)
        for (int way = 0; nmk_design_piece(f->design, p)->kind == NMK_PIECE_PANELS && way < 2; way++)
            for (size_t row = 0; row < nmk_design_piece(f->design, p)->lists[way].row_count; row++)
                check_row_lines(f, p, (enum nmk_way)way, row, number, g);
}

/* ---- conflicts ---- */

/* Can the demands in the set be met, one of them with one bound moved outwards? `unknown` where the budget is used up. */
static bool can_meet(const struct fitting *f, const bool *in, size_t moved, bool high, const struct nmk_rat *by, bool unknown)
{
    struct nmk_marking *marking;
    struct nmk_marking_plan plan = nmk_settled_plan(f->settled, true);
    nmk_marking_new(&marking, &plan);
    struct nmk_whole_problem problem = *nmk_marking_problem(marking);
    struct nmk_whole_demand *demands = nmk_memory_new(problem.demand_count, sizeof *demands);
    struct nmk_whole_answer answer = {0};
    struct nmk_rat bound = {0};
    size_t count = 0;
    for (size_t i = 0; i < problem.demand_count; i++) {
        if (i < nmk_design_demand_count(f->design) && !in[i])
            continue;
        demands[count] = problem.demands[i];
        if (by && i == moved) {
            (high ? nmk_rat_add : nmk_rat_sub)(&bound, high ? &demands[count].most : &demands[count].least, by);
            *(high ? &demands[count].most : &demands[count].least) = bound; /* borrowed */
        }
        count++;
    }
    problem.demands = demands;
    problem.demand_count = count;
    enum nmk_status status = nmk_whole_solve(&answer, &problem);
    assert_true(status == NMK_OK || status == NMK_BUDGET);
    bool feasible = status == NMK_OK ? answer.feasible : unknown;
    nmk_whole_answer_clear(&answer);
    nmk_memory_free(demands);
    nmk_rat_clear(&bound);
    nmk_marking_free(marking);
    return feasible;
}

/* No set that is smaller, or as small and before it in file order, is a conflict: all subsets are tried. */
static bool is_first_smallest(const struct fitting *f, const bool *in)
{
    size_t count = nmk_design_demand_count(f->design), size = 0;
    unsigned found = 0;
    bool trial[16];
    assert_true(count <= 15);
    for (size_t i = 0; i < count; i++) {
        size += in[i];
        found |= (unsigned)in[i] << i;
    }
    for (unsigned set = 0; set < 1u << count; set++) {
        size_t bits = (size_t)__builtin_popcount(set);
        unsigned differ = set ^ found;
        bool before = bits < size || (bits == size && differ && (set & differ & -differ));
        if (!before || (bits + 1 < size)) /* of the smaller ones the next smaller stand for all: a superset of a conflict is one */
            continue;
        for (size_t i = 0; i < count; i++)
            trial[i] = set >> i & 1;
        if (!can_meet(f, trial, 0, false, NULL, true))
            return false;
    }
    return true;
}

static void check_member(const struct fitting *f, const struct nmk_conflict_member *m, const bool *in, unsigned long number,
                         const struct guess *g)
{
    struct nmk_rat less = {0};
    bool without[16];
    for (size_t i = 0; i < nmk_design_demand_count(f->design); i++)
        without[i] = in[i] && i != m->demand;
    check(can_meet(f, without, 0, false, NULL, true), number, "possible without it", g);
    check(!m->can_change || !nmk_design_demand(f->design, m->demand)->exact, number, "exact cannot change", g);
    if (m->can_change) {
        nmk_rat_set_frac(&less, 1, 1000);
        check(nmk_rat_sign(&m->change) > 0, number, "a change is more than 0", g);
        check(can_meet(f, in, m->demand, m->high, &m->change, true), number, "the change serves", g);
        nmk_rat_sub(&less, &m->change, &less);
        check(!can_meet(f, in, m->demand, m->high, &less, false), number, "no less serves", g);
        if (m->high == (nmk_settled_low(f->settled, m->demand) != NULL)) /* there is another bound */
            check(!can_meet(f, in, m->demand, !m->high, &less, false), number, "nor at the other bound", g);
    }
    nmk_rat_clear(&less);
}

/* The coarsest of six halvings of the marks with which the whole design holds together. */
static void check_finer(const struct fitting *f, const struct nmk_conflict *conflict, unsigned long number,
                        const struct guess *g)
{
    struct nmk_rat step = {0}, half = {0};
    bool helped = false, unknown = false;
    nmk_rat_set(&step, nmk_draft_step(f->draft));
    nmk_rat_set_frac(&half, 1, 2);
    for (int i = 0; i < 6 && !helped; i++) {
        struct nmk_draft *draft;
        struct nmk_settled *settled;
        nmk_rat_mul(&step, &step, &half);
        assert_int_equal(nmk_draft_new(&draft, f->design, nmk_design_find_edition(f->design, "e"), &step,
                                       nmk_draft_step_unit(f->draft), f->list),
                         NMK_OK);
        enum nmk_status status = nmk_settle(&settled, draft, &f->options, f->list);
        helped = status == NMK_OK && nmk_settled_holds_together(settled);
        unknown |= status == NMK_BUDGET;
        if (status == NMK_OK)
            nmk_settled_free(settled);
        nmk_draft_free(draft);
    }
    const struct nmk_rat *finer = nmk_conflict_finer(conflict);
    check(unknown || (helped == (finer != NULL) && (!finer || nmk_rat_equal(finer, &step))), number, "finer marks", g);
    nmk_rat_clear(&step);
    nmk_rat_clear(&half);
}

/* false: the budget is used up. */
static bool check_conflict(const struct fitting *f, unsigned long number, const struct guess *g)
{
    struct nmk_conflict *conflict;
    bool in[16] = {false};
    enum nmk_status status = nmk_conflict_new(&conflict, f->settled);
    if (status == NMK_BUDGET)
        return false;
    assert_int_equal(status, NMK_OK);
    for (size_t i = 0; i < nmk_conflict_count(conflict); i++)
        in[nmk_conflict_member(conflict, i)->demand] = true;
    check(nmk_conflict_count(conflict) > 0, number, "a member", g);
    check(!can_meet(f, in, 0, false, NULL, false), number, "it cannot be met", g);
    check(is_first_smallest(f, in), number, "the first smallest", g);
    for (size_t i = 0; i < nmk_conflict_count(conflict); i++)
        check_member(f, nmk_conflict_member(conflict, i), in, number, g);
    check_finer(f, conflict, number, g);
    nmk_conflict_free(conflict);
    return true;
}

static void check_one(unsigned long number, size_t *conflicts)
{
    struct guess g;
    struct guess_wish wish = {.punches = biased_below(3) == 0,
                              .mats = biased_below(2),
                              .tight = biased_below(2),
                              .scores = true,
                              .halves = biased_below(2)};
    wish.rows = !wish.mats && !wish.punches; /* no more demands than all subsets can be tried of */
    guess_make(&g, &wish);
    struct fitting *f = fitting_draft(nmk_text_get(&g.text), "e");
    f->options.most_steps = 100000;
    enum nmk_status status = nmk_settle(&f->settled, f->draft, &f->options, f->list);
    if (status != NMK_OK) {
        check(status == NMK_BUDGET, number, "settles", &g);
    } else if (nmk_settled_holds_together(f->settled)) {
        check_nominals(f, number, &g);
        check_scores(f, number, &g);
        check_rows(f, number, &g);
    } else {
        *conflicts += check_conflict(f, number, &g);
    }
    fitting_free(f);
    guess_clear(&g);
}

static void test_settled_or_not(void **state)
{
    (void)state;
    unsigned long cases = biased_cases(60);
    size_t conflicts = 0;
    biased_start();
    for (unsigned long i = 0; i < cases; i++)
        check_one(i, &conflicts);
    biased_share("are in conflict", conflicts, cases, 0.1, 0.9); /* both are met, within the budget */
}

/* ---- charts ---- */

static void check_row(struct fitting *f, struct nmk_chart *chart, unsigned long number, const struct guess *g)
{
    struct nmk_chart_row row = {0};
    struct nmk_settled *s;
    struct nmk_draft *draft;
    size_t bad = 0;
    enum nmk_status status = nmk_draft_new(&draft, f->design, 0, NULL, NMK_MM, NULL);
    if (status != NMK_OK) { /* a mat has no size left */
        assert_int_equal(nmk_chart_settle(&row, chart, f->list), NMK_INVALID);
        return;
    }
    status = nmk_settle(&s, draft, &f->options, f->list);
    if (status == NMK_BUDGET || nmk_chart_settle(&row, chart, f->list) == NMK_BUDGET) {
        if (status == NMK_OK)
            nmk_settled_free(s);
        nmk_draft_free(draft);
        return;
    }
    check(row.holds_together == nmk_settled_holds_together(s), number, "chart holds together", g);
    check(row.holds_together == (row.marks != NULL), number, "chart marks", g);
    for (size_t i = 0; row.marks && i < nmk_design_length_count(f->design); i++)
        check(row.marks[i] == (nmk_draft_designed(draft, i) ? nmk_settled_marks(s, i) : nmk_settled_choice(s, i)), number,
              "chart mark", g);
    if (row.marks) {
        check(row.state == nmk_settled_state(s), number, "chart state", g);
        for (size_t i = 0; i < nmk_design_demand_count(f->design); i++)
            if (nmk_settled_view(s, i, NMK_SETTLED)->state != NMK_HOLDS)
                check(bad < row.bad_count && row.bad[bad++] == i, number, "chart bad", g);
        check(bad == row.bad_count, number, "chart bad count", g);
    } else {
        struct nmk_conflict *conflict;
        if (nmk_conflict_new(&conflict, s) != NMK_OK)
            goto out;
        check(nmk_conflict_count(conflict) == row.bad_count, number, "chart conflict count", g);
        for (size_t i = 0; i < row.bad_count; i++)
            check(nmk_conflict_member(conflict, i)->demand == row.bad[i], number, "chart conflict", g);
        nmk_conflict_free(conflict);
    }
out:
    nmk_settled_free(s);
    nmk_draft_free(draft);
}

static void check_chart(unsigned long number)
{
    struct guess g;
    struct guess_wish wish = {.punches = biased_below(3) == 0,
                              .mats = biased_below(2),
                              .tight = biased_below(3) == 0,
                              .scores = true,
                              .halves = biased_below(2)};
    wish.rows = !wish.mats && !wish.punches; /* no more demands than all subsets can be tried of */
    struct nmk_chart *chart;
    struct nmk_rat size = {0};
    guess_make(&g, &wish);
    struct fitting *f = fitting_draft(nmk_text_get(&g.text), "e");
    f->options.most_steps = 100000;
    f->options.prefer = biased_below(2) ? NMK_EASIEST : NMK_CLOSEST;
    nmk_rat_set_frac(&f->options.sure, 100 - 5 * (int64_t)biased_below(2), 100);
    assert_int_equal(nmk_chart_new(&chart, f->design, 0, NULL, NMK_MM, &f->options), NMK_OK);
    for (int i = 0; i < 14; i++) {
        size_t measure = biased_below(2);
        nmk_rat_set_frac(&size, (measure ? 12 : 16) + (int64_t)biased_below(40), 1 + (int64_t)biased_below(2));
        assert_int_equal(nmk_design_set_measure(f->design, measure, &size), NMK_OK);
        check_row(f, chart, number, &g);
    }
    nmk_chart_free(chart);
    nmk_rat_clear(&size);
    fitting_free(f);
    guess_clear(&g);
}

static void test_charts(void **state)
{
    (void)state;
    biased_start();
    for (unsigned long i = 0; i < biased_cases(30); i++)
        check_chart(i);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_settled_or_not), cmocka_unit_test(test_charts)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
