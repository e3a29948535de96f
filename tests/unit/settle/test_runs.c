/* Where lines run and what is cut away, by hand and, for random designs, cell by cell: a cell of one mark each way is kept
 * unless a rest of the row beside it covers it, and a line runs between cells of which one at least is kept. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "base/text.h"
#include "nearmark/runs.h"
#include "unit/exact/biased.h"
#include "unit/fit/fitting.h"
#include "unit/settle/guess.h"

static void check_runs(const struct fitting *f, enum nmk_way way, size_t line, const char *expected)
{
    struct nmk_run runs[8];
    struct nmk_text text = {0};
    size_t count = nmk_settled_runs(runs, 8, f->settled, NMK_SETTLED, 0, way, line);
    for (size_t i = 0; i < count; i++)
        nmk_text_add_format(&text, "%s%s %lld-%lld", i ? ", " : "", runs[i].is_cut ? "cut" : "score", (long long)runs[i].from,
                            (long long)runs[i].to);
    if (strcmp(nmk_text_get(&text), expected))
        fail_msg("line %zu: %s, not %s", line, nmk_text_get(&text), expected);
    nmk_text_clear(&text);
}

/* 40 + 110 + 100 down; 15 + 155 + 15 = 185 across, the rests beside flap and back 15 each. */
static void test_an_envelope(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        "stock card thickness 0.3 mm\npiece p of card\n down flap = 40 mm | front = 110 mm | back = 100 mm\n"
        " across tab = 15 mm glue | body = 155 mm | tab glue beside front\n across rest | body | rest beside flap, back\n",
        "metric");
    check_runs(f, NMK_ACROSS, 0, "cut 40-150");
    check_runs(f, NMK_ACROSS, 1, "score 40-150");
    check_runs(f, NMK_ACROSS, 2, "score 40-150");
    check_runs(f, NMK_ACROSS, 3, "cut 0-40, cut 150-250");
    check_runs(f, NMK_ACROSS, 4, "cut 0-40, cut 150-250");
    check_runs(f, NMK_ACROSS, 5, "cut 40-150");
    check_runs(f, NMK_DOWN, 0, "cut 15-170");
    check_runs(f, NMK_DOWN, 1, "cut 0-15, score 15-170, cut 170-185");
    check_runs(f, NMK_DOWN, 2, "cut 0-15, score 15-170, cut 170-185");
    check_runs(f, NMK_DOWN, 3, "cut 15-170");
    struct nmk_away away[4];
    assert_int_equal(nmk_settled_away(away, 4, f->settled, NMK_SETTLED, 0), 4);
    assert_true(away[1].from[NMK_ACROSS] == 170 && away[1].to[NMK_ACROSS] == 185 && away[1].from[NMK_DOWN] == 0 &&
                away[1].to[NMK_DOWN] == 40);
    assert_true(away[2].from[NMK_ACROSS] == 0 && away[2].to[NMK_ACROSS] == 15 && away[2].from[NMK_DOWN] == 150 &&
                away[2].to[NMK_DOWN] == 250);
    fitting_free(f);
}

/* The flaps of neighbours above and below the wall fold along its edges; between them they are cut through. */
static void test_a_carton(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        "stock card thickness 0.3 mm\npiece p of card\n across a = 30 mm | b = 20 mm | a | b | tab = 8 mm glue beside wall\n"
        " across a || b || a || b || rest beside top, bottom\n down top = 9 mm | wall = 50 mm | bottom = 10 mm\n",
        "metric");
    check_runs(f, NMK_ACROSS, 1, "score 9-59");
    check_runs(f, NMK_ACROSS, 5, "cut 0-9, cut 59-69");
    check_runs(f, NMK_ACROSS, 8, "cut 0-9, cut 59-69");
    check_runs(f, NMK_ACROSS, 9, "cut 9-59");
    check_runs(f, NMK_DOWN, 1, "score 0-100, cut 100-108");
    check_runs(f, NMK_DOWN, 3, "cut 0-100");
    fitting_free(f);
}

static void test_without_rows(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        "stock card thickness 0.3 mm\npunches oval 9 x 8 mm\npiece p of card\n across a = 30 mm | b = 20 mm || a\n down d = 9 mm | e = 5 mm\n"
        "mat m of card on p, smaller by 4 mm\npiece q of card from oval\n",
        "metric");
    check_runs(f, NMK_ACROSS, 0, "cut 0-14");
    check_runs(f, NMK_ACROSS, 1, "score 0-14");
    check_runs(f, NMK_ACROSS, 2, "cut 0-14");
    check_runs(f, NMK_DOWN, 1, "score 0-80");
    struct nmk_run run;
    assert_int_equal(nmk_settled_runs(&run, 1, f->settled, NMK_SETTLED, 1, NMK_ACROSS, 1), 1);
    assert_true(run.from == 0 && run.to == 10 && run.is_cut);
    assert_int_equal(nmk_settled_runs(&run, 1, f->settled, NMK_SETTLED, 2, NMK_ACROSS, 0), 0);
    assert_int_equal(nmk_settled_runs(&run, 1, f->settled, NMK_DESIGNED, 0, NMK_ACROSS, 0), 0);
    assert_int_equal(nmk_settled_runs(&run, 1, f->settled, NMK_SETTLED, 9, NMK_ACROSS, 0), 0);
    assert_int_equal(nmk_settled_runs(NULL, 0, f->settled, NMK_ROUNDED, 0, NMK_ACROSS, 0), 1);
    assert_int_equal(nmk_settled_away(NULL, 0, f->settled, NMK_SETTLED, 0), 0);
    assert_int_equal(nmk_settled_away(NULL, 0, f->settled, NMK_SETTLED, 1), 0);
    fitting_free(f);
}

/* Only what there is room for is written. */
static void test_room(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        "stock card thickness 0.3 mm\npiece p of card\n down u = 4 mm | v = 5 mm\n across a = 9 mm | b = 3 mm beside u\n across rest | a | rest beside v\n",
        "metric");
    struct nmk_run runs[3] = {{7, 7, false}, {7, 7, false}, {7, 7, false}};
    assert_int_equal(nmk_settled_runs(runs, 2, f->settled, NMK_SETTLED, 0, NMK_DOWN, 1), 3);
    assert_true(runs[0].from == 0 && runs[0].to == 1 && runs[1].from == 1 && runs[1].to == 10 && runs[2].from == 7);
    struct nmk_away away[2] = {{{9, 9}, {9, 9}}, {{9, 9}, {9, 9}}};
    assert_int_equal(nmk_settled_away(away, 1, f->settled, NMK_SETTLED, 0), 2);
    assert_true(away[0].from[0] == 0 && away[0].to[0] == 1 && away[1].from[0] == 9);
    fitting_free(f);
}

/* ---- cell by cell ---- */

struct cells {
    const struct fitting *f;
    const struct nmk_piece *piece;
    size_t index;
    int64_t size[2];
    const struct guess *g;
    unsigned long number;
};

static void check(const struct cells *c, bool right, const char *what)
{
    if (right)
        return;
    print_message("# %s", nmk_text_get(&c->g->text));
    biased_check(false, c->number, what, NULL, NULL);
}

static int64_t at(const struct cells *c, int way, size_t line)
{
    return nmk_settled_line(c->f->settled, NMK_SETTLED, c->index, (enum nmk_way)way, line);
}

/* The stretch of a row that covers a cell. */
static const struct nmk_stretch *stretch_at(const struct cells *c, int way, size_t row, int64_t cell)
{
    const struct nmk_list *list = &c->piece->lists[way];
    for (size_t i = 0; i < list->count; i++) {
        const struct nmk_stretch *s = &list->stretches[i];
        if (s->row == row && at(c, way, s->lines[0]) <= cell && cell < at(c, way, s->lines[1]))
            return s;
    }
    fail_msg("nothing covers a cell");
    return NULL;
}

/* The row of a way that is told of beside a cell of the other direction. */
static size_t row_at(const struct cells *c, int way, int64_t other)
{
    const struct nmk_list *list = &c->piece->lists[way];
    if (list->row_count == 1)
        return 0;
    const struct nmk_stretch *s = stretch_at(c, !way, 0, other);
    for (size_t r = 0; r < list->row_count; r++)
        for (size_t i = 0; i < list->rows[r].beside_count; i++)
            if (list->rows[r].beside[i] == s->panel)
                return r;
    fail_msg("no row");
    return 0;
}

static bool is_kept(const struct cells *c, int64_t across, int64_t down)
{
    if (across < 0 || down < 0 || across >= c->size[0] || down >= c->size[1])
        return false;
    return stretch_at(c, NMK_ACROSS, row_at(c, NMK_ACROSS, down), across)->panel != NMK_NONE &&
           stretch_at(c, NMK_DOWN, row_at(c, NMK_DOWN, across), down)->panel != NMK_NONE;
}

/* What a line is beside a cell of the other direction: 0 nothing, 1 a score, 2 a cut. */
static int line_at(const struct cells *c, int way, size_t line, int64_t other)
{
    const struct nmk_line *l = &c->piece->lists[way].lines[line];
    int64_t place = at(c, way, line);
    bool before = way == NMK_ACROSS ? is_kept(c, place - 1, other) : is_kept(c, other, place - 1);
    bool behind = way == NMK_ACROSS ? is_kept(c, place, other) : is_kept(c, other, place);
    if ((l->row != NMK_NONE && l->row != row_at(c, way, other)) || (!before && !behind))
        return 0;
    return before && behind && !l->is_cut ? 1 : 2;
}

static void check_line(const struct cells *c, int way, size_t line)
{
    size_t count = nmk_settled_runs(NULL, 0, c->f->settled, NMK_SETTLED, c->index, (enum nmk_way)way, line);
    struct nmk_run *runs = nmk_memory_new(count, sizeof *runs);
    int *said = nmk_memory_new((size_t)c->size[!way], sizeof *said);
    nmk_settled_runs(runs, count, c->f->settled, NMK_SETTLED, c->index, (enum nmk_way)way, line);
    for (size_t i = 0; i < count; i++) {
        check(c, 0 <= runs[i].from && runs[i].from < runs[i].to && runs[i].to <= c->size[!way], "a run on the card");
        check(c,
              !i || runs[i - 1].to < runs[i].from || (runs[i - 1].to == runs[i].from && runs[i - 1].is_cut != runs[i].is_cut),
              "runs in order");
        for (int64_t k = runs[i].from; k < runs[i].to; k++)
            said[k] = runs[i].is_cut ? 2 : 1;
    }
    for (int64_t k = 0; k < c->size[!way]; k++)
        check(c, said[k] == line_at(c, way, line, k), "what a line is beside a cell");
    nmk_memory_free(runs);
    nmk_memory_free(said);
}

static void check_away(const struct cells *c)
{
    size_t count = nmk_settled_away(NULL, 0, c->f->settled, NMK_SETTLED, c->index);
    struct nmk_away *away = nmk_memory_new(count, sizeof *away);
    nmk_settled_away(away, count, c->f->settled, NMK_SETTLED, c->index);
    for (int64_t across = 0; across < c->size[0]; across++)
        for (int64_t down = 0; down < c->size[1]; down++) {
            int covered = 0;
            for (size_t i = 0; i < count; i++)
                covered +=
                    away[i].from[0] <= across && across < away[i].to[0] && away[i].from[1] <= down && down < away[i].to[1];
            check(c, covered == !is_kept(c, across, down), "what is cut away");
        }
    nmk_memory_free(away);
}

static void check_design(unsigned long number, size_t *met)
{
    struct guess g;
    struct guess_wish wish = {.rows = true, .halves = biased_below(2), .scores = biased_below(2)};
    guess_make(&g, &wish);
    struct fitting *f = fitting_draft(nmk_text_get(&g.text), "e");
    f->options.most_steps = 100000;
    if (nmk_settle(&f->settled, f->draft, &f->options, f->list) == NMK_OK && nmk_settled_holds_together(f->settled)) {
        size_t last = nmk_design_piece_count(f->design) - 1;
        struct cells c = {f, nmk_design_piece(f->design, last), last, {0, 0}, &g, number};
        for (int way = 0; way < 2; way++)
            c.size[way] = at(&c, way, c.piece->lists[way].line_count - 1);
        for (int way = 0; way < 2; way++)
            for (size_t line = 0; line < c.piece->lists[way].line_count; line++)
                check_line(&c, way, line);
        check_away(&c);
        ++*met;
    }
    fitting_free(f);
    guess_clear(&g);
}

static void test_cells(void **state)
{
    (void)state;
    unsigned long cases = biased_cases(40);
    size_t met = 0;
    biased_start();
    for (unsigned long i = 0; i < cases; i++)
        check_design(i, &met);
    biased_share("are met", met, cases, 0.25, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_an_envelope), cmocka_unit_test(test_a_carton),
                                       cmocka_unit_test(test_without_rows), cmocka_unit_test(test_room),
                                       cmocka_unit_test(test_cells)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
