/* The sheet planner on cases whose answer is known by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/memory.h"
#include "nearmark/cutting.h"

static struct nmk_cutting_kind one_kind;

static struct nmk_cutting_problem question(int64_t width, int64_t height, const struct nmk_cutting_piece *pieces, size_t count)
{
    one_kind = (struct nmk_cutting_kind){width, height};
    return (struct nmk_cutting_problem){.piece_count = count, .kind_count = 1, .pieces = pieces, .kinds = &one_kind};
}

static struct nmk_cutting_answer solved(const struct nmk_cutting_problem *problem)
{
    struct nmk_cutting_answer answer;
    const char *why = NULL;
    assert_int_equal(nmk_cutting_solve(&answer, problem), NMK_OK);
    if (!nmk_cutting_check(problem, &answer, &why))
        fail_msg("the checker says: %s", why);
    assert_null(why);
    return answer;
}

/* Solved and proved with so many sheets. */
static void takes(const struct nmk_cutting_problem *problem, int64_t sheets)
{
    struct nmk_cutting_answer answer = solved(problem);
    assert_int_equal(answer.outcome, NMK_CUTTING_PROVED);
    assert_int_equal(answer.sheets, sheets);
    assert_int_equal(answer.bound, sheets);
    nmk_cutting_answer_clear(&answer);
}

static void test_nothing_wanted_takes_no_sheet(void **state)
{
    (void)state;
    struct nmk_cutting_piece none[] = {{5, 5, 0, false}, {500, 5, 0, false}};
    struct nmk_cutting_problem problem = question(10, 10, none, 2);
    takes(&problem, 0);
    problem = question(10, 10, NULL, 0);
    takes(&problem, 0);
}

static void test_a_piece_as_large_as_the_sheet_needs_no_cut(void **state)
{
    (void)state;
    struct nmk_cutting_piece whole[] = {{210, 297, 3, false}};
    struct nmk_cutting_problem problem = question(210, 297, whole, 1);
    struct nmk_cutting_answer answer = solved(&problem);
    assert_int_equal(answer.sheets, 3);
    assert_int_equal(answer.settings, 0);
    assert_int_equal(answer.offcut_width, 0);
    assert_int_equal(answer.pattern_count, 1);
    assert_int_equal(answer.patterns[0].copies, 3);
    assert_int_equal(answer.patterns[0].node_count, 1);
    assert_int_equal(answer.patterns[0].nodes[0].use, NMK_CUTTING_PIECE);
    nmk_cutting_answer_clear(&answer);
}

static void test_a_piece_too_big_is_named(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{10, 10, 1, false}, {999, 10, 0, false}, {11, 3, 1, false}, {12, 3, 1, false}};
    struct nmk_cutting_problem problem = question(10, 11, pieces, 4);
    struct nmk_cutting_answer answer = solved(&problem);
    assert_int_equal(answer.outcome, NMK_CUTTING_TOO_BIG);
    assert_int_equal(answer.too_big, 2);
    assert_int_equal(answer.pattern_count, 0);
    nmk_cutting_answer_clear(&answer);
    pieces[2].may_turn = true;
    answer = solved(&problem);
    assert_int_equal(answer.too_big, 3);
    nmk_cutting_answer_clear(&answer);
}

static void test_a_piece_is_turned_where_it_may_be(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{297, 210, 1, true}};
    struct nmk_cutting_problem problem = question(210, 297, pieces, 1);
    struct nmk_cutting_answer answer = solved(&problem);
    assert_int_equal(answer.sheets, 1);
    assert_true(answer.patterns[0].nodes[0].turned);
    nmk_cutting_answer_clear(&answer);
}

/* The pinwheel: four pieces round a fifth fill the sheet, but no cut runs from edge to edge. Turned they all fit. */
static void test_a_pinwheel_cannot_be_cut_edge_to_edge(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{2, 1, 2, false}, {1, 2, 2, false}, {1, 1, 1, false}};
    struct nmk_cutting_problem problem = question(3, 3, pieces, 3);
    takes(&problem, 2);
    pieces[0].may_turn = true;
    takes(&problem, 1);
}

static void test_a_larger_pinwheel_too(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{70, 41, 2, false}, {43, 61, 2, false}, {25, 19, 1, false}};
    struct nmk_cutting_problem problem = question(113, 102, pieces, 3);
    takes(&problem, 2);
    problem = question(113, 103, pieces, 3);
    takes(&problem, 2);
}

/* 60 and 40 lie side by side, but to part them one of the two must be measured. */
static void test_the_reach_is_kept(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{60, 10, 1, false}, {40, 10, 1, false}};
    struct nmk_cutting_problem problem = question(100, 10, pieces, 2);
    takes(&problem, 1);
    problem.reach = 40;
    takes(&problem, 1);
    problem.reach = 39;
    takes(&problem, 2);
}

/* One wide part among many narrow ones: the narrow ones are cut off one by one, though together they are too wide. */
static void test_narrow_parts_are_measured_one_by_one(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{50, 10, 1, false}, {20, 10, 3, false}};
    struct nmk_cutting_problem problem = question(110, 10, pieces, 2);
    problem.reach = 20;
    takes(&problem, 1);
    problem.reach = 19;
    takes(&problem, 4);
}

static void test_what_is_beyond_the_reach_is_cut_off_in_turns(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{60, 10, 1, false}};
    struct nmk_cutting_problem problem = question(100, 10, pieces, 1);
    problem.reach = 15;
    struct nmk_cutting_answer answer = solved(&problem);
    assert_int_equal(answer.sheets, 1);
    assert_int_equal(answer.settings, 2); /* 15, 15 and 10 */
    nmk_cutting_answer_clear(&answer);
    problem.reach = 30; /* 20 and 20 */
    answer = solved(&problem);
    assert_int_equal(answer.settings, 1);
    nmk_cutting_answer_clear(&answer);
}

static void test_of_several_kinds_the_fewest_sheets_are_used(void **state)
{
    (void)state;
    struct nmk_cutting_kind kinds[] = {{10, 10}, {20, 10}, {12, 12}};
    struct nmk_cutting_piece pieces[] = {{10, 10, 4, false}, {12, 12, 1, false}};
    struct nmk_cutting_problem problem = {.piece_count = 2, .kind_count = 3, .pieces = pieces, .kinds = kinds};
    struct nmk_cutting_answer answer = solved(&problem);
    assert_int_equal(answer.sheets, 3);
    assert_int_equal(answer.outcome, NMK_CUTTING_PROVED);
    nmk_cutting_answer_clear(&answer);
}

/* Six strips of one size side by side: one setting does them all. */
static void test_cuts_at_one_distance_are_one_setting(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{30, 100, 6, false}};
    struct nmk_cutting_problem problem = question(200, 100, pieces, 1);
    struct nmk_cutting_answer answer = solved(&problem);
    assert_int_equal(answer.sheets, 1);
    assert_int_equal(answer.settings, 1);
    assert_int_equal(answer.offcut_width, 20);
    assert_int_equal(answer.offcut_height, 100);
    nmk_cutting_answer_clear(&answer);
}

/* Half a sheet beside half a sheet: either edge is measured at 50. And 40 beside 60: one cut, one setting. */
static void test_the_largest_offcut_is_kept_whole(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{40, 30, 1, false}};
    struct nmk_cutting_problem problem = question(100, 100, pieces, 1);
    struct nmk_cutting_answer answer = solved(&problem);
    assert_int_equal(answer.settings, 2);
    assert_int_equal(answer.offcut_width * answer.offcut_height, 70 * 100);
    nmk_cutting_answer_clear(&answer);
}

/* Equal pieces that stand apart in the list each get their own number. */
static void test_equal_pieces_keep_their_numbers(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{50, 50, 5, true}, {50, 50, 7, false}, {100, 20, 1, true}, {20, 100, 4, true}};
    struct nmk_cutting_problem problem = question(100, 100, pieces, 4);
    takes(&problem, 4);
}

/* Only one of two equal pieces may be turned, and one must be. */
static void test_equal_pieces_may_differ_in_turning(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[] = {{40, 20, 2, false}, {40, 20, 1, true}, {40, 20, 2, false}};
    struct nmk_cutting_problem problem = question(60, 40, pieces, 2);
    takes(&problem, 1);
    problem = question(60, 40, pieces + 1, 2);
    takes(&problem, 1);
}

static void test_sizes_may_share_a_large_divisor(void **state)
{
    (void)state;
    int64_t mark = INT64_C(100000000);
    struct nmk_cutting_piece pieces[] = {{2 * mark, mark, 2, false}, {mark, 2 * mark, 2, false}, {mark, mark, 1, false}};
    struct nmk_cutting_problem problem = question(3 * mark, 3 * mark, pieces, 3);
    takes(&problem, 2);
    problem.reach = mark - 1; /* now nothing can be parted */
    takes(&problem, 5);
    problem.reach = mark;
    takes(&problem, 2);
}

static void refused(const struct nmk_cutting_problem *problem, enum nmk_status status)
{
    struct nmk_cutting_answer answer, before;
    memset(&answer, 0x5a, sizeof answer);
    before = answer;
    assert_int_equal(nmk_cutting_solve(&answer, problem), status);
    assert_memory_equal(&answer, &before, sizeof answer);
}

static void test_a_wrong_question_is_refused(void **state)
{
    (void)state;
    struct nmk_cutting_piece piece = {1, 1, 1, false};
    struct nmk_cutting_problem problem = question(3, 3, &piece, 1), good = problem;
    refused(NULL, NMK_INVALID);
    assert_int_equal(nmk_cutting_solve(NULL, &problem), NMK_INVALID);
    problem.kind_count = 0;
    refused(&problem, NMK_INVALID);
    problem = good;
    problem.kinds = NULL;
    refused(&problem, NMK_INVALID);
    problem = good;
    problem.pieces = NULL;
    refused(&problem, NMK_INVALID);
    problem = good;
    problem.reach = -1;
    refused(&problem, NMK_INVALID);
    static const struct nmk_cutting_piece wrong[] = {{0, 1, 1, false}, {1, 0, 1, false}, {1, 1, -1, false}, {-4, 1, 1, true}};
    for (size_t i = 0; i < 4; i++) {
        piece = wrong[i];
        refused(&good, NMK_INVALID);
    }
    piece = (struct nmk_cutting_piece){1, 1, 1, false};
    one_kind.height = 0;
    refused(&good, NMK_INVALID);
}

static void test_limits_are_stated(void **state)
{
    (void)state;
    struct nmk_cutting_piece piece = {1, 1, NMK_CUTTING_MOST_PIECES, false};
    struct nmk_cutting_problem problem = question(1000, 1000, &piece, 1);
    takes(&problem, 1);
    piece.demand++;
    refused(&problem, NMK_TOO_LARGE);
    piece.demand = INT64_MAX;
    refused(&problem, NMK_TOO_LARGE);
    piece = (struct nmk_cutting_piece){1, 1, 1, false};
    problem = question(NMK_CUTTING_LARGEST, 3, &piece, 1);
    takes(&problem, 1);
    problem = question(NMK_CUTTING_LARGEST + 1, 3, &piece, 1);
    refused(&problem, NMK_TOO_LARGE);
    piece = (struct nmk_cutting_piece){INT64_C(1) << 40, INT64_C(1) << 40, 1, false}; /* areas beyond 63 bits */
    problem = question(INT64_C(1) << 41, INT64_C(1) << 41, &piece, 1);
    refused(&problem, NMK_TOO_LARGE);
    static struct nmk_cutting_kind many[NMK_CUTTING_MOST_KINDS + 1];
    for (size_t i = 0; i < sizeof many / sizeof *many; i++)
        many[i] = (struct nmk_cutting_kind){9, 9};
    piece = (struct nmk_cutting_piece){1, 1, 1, false};
    problem = (struct nmk_cutting_problem){1, NMK_CUTTING_MOST_KINDS, &piece, many, 0, false, false, 0, NULL, NULL};
    takes(&problem, 1);
    problem.kind_count++;
    refused(&problem, NMK_TOO_LARGE);
}

static void test_a_reach_far_too_small_is_refused(void **state)
{
    (void)state;
    struct nmk_cutting_piece piece = {1, 1, 1, false};
    struct nmk_cutting_problem problem = question(NMK_CUTTING_LARGEST, NMK_CUTTING_LARGEST, &piece, 1);
    piece.width = 3;
    problem.reach = 1;
    refused(&problem, NMK_TOO_LARGE);
}

/* Twelve pieces that need some search. */
static const struct nmk_cutting_piece a_dozen[] = {{61, 37, 1, false}, {29, 52, 2, true}, {44, 44, 1, false},
                                                   {83, 17, 2, true},  {31, 71, 1, true}, {15, 66, 2, false},
                                                   {58, 23, 2, true},  {39, 19, 1, true}};

/* Whatever the effort: a right plan, a bound that is not above the proven value, never below it once proved. */
static void test_any_effort_gives_a_right_plan(void **state)
{
    (void)state;
    struct nmk_cutting_problem problem = question(100, 100, a_dozen, 8);
    struct nmk_cutting_answer best = solved(&problem);
    assert_int_equal(best.outcome, NMK_CUTTING_PROVED);
    bool proved = false;
    for (uint64_t effort = 1; effort < 4 * best.steps; effort += effort / 3 + 1) {
        problem.effort = effort;
        struct nmk_cutting_answer answer = solved(&problem);
        assert_true(answer.bound <= best.sheets && answer.sheets >= best.sheets);
        proved = proved || answer.outcome == NMK_CUTTING_PROVED;
        nmk_cutting_answer_clear(&answer);
    }
    assert_true(proved);
    nmk_cutting_answer_clear(&best);
}

/* Of plans with as few sheets the one with fewer settings is taken, unless the caller does not mind. */
static void test_fewer_settings_are_wanted_next(void **state)
{
    (void)state;
    struct nmk_cutting_problem problem = question(100, 100, a_dozen, 8);
    struct nmk_cutting_answer few = solved(&problem);
    problem.any_settings = true;
    struct nmk_cutting_answer any = solved(&problem);
    assert_int_equal(few.sheets, any.sheets);
    assert_true(few.settings < any.settings);
    assert_true(any.offcut_width * any.offcut_height >= few.offcut_width * few.offcut_height);
    nmk_cutting_answer_clear(&few);
    nmk_cutting_answer_clear(&any);
}

static bool same_nodes(const struct nmk_cutting_pattern *p, const struct nmk_cutting_pattern *q)
{
    if (p->node_count != q->node_count || p->copies != q->copies || p->kind != q->kind)
        return false;
    for (size_t i = 0; i < p->node_count; i++) {
        const struct nmk_cutting_node *m = &p->nodes[i], *n = &q->nodes[i];
        if (m->x != n->x || m->y != n->y || m->width != n->width || m->height != n->height || m->use != n->use ||
            m->at != n->at || m->piece != n->piece)
            return false;
    }
    return true;
}

static void test_the_same_question_gives_the_same_answer(void **state)
{
    (void)state;
    struct nmk_cutting_problem problem = question(100, 100, a_dozen, 8);
    struct nmk_cutting_answer first = solved(&problem), second = solved(&problem);
    assert_int_equal(first.steps, second.steps);
    assert_int_equal(first.pattern_count, second.pattern_count);
    for (size_t i = 0; i < first.pattern_count; i++)
        assert_true(same_nodes(&first.patterns[i], &second.patterns[i]));
    nmk_cutting_answer_clear(&first);
    nmk_cutting_answer_clear(&second);
}

static bool stop_after(void *context, uint64_t steps)
{
    (void)steps;
    int *left = context;
    return (*left)-- > 0;
}

/* A question that takes many steps: no plan of the bound's sheets is there to be found. */
static void test_the_caller_may_stop_the_search(void **state)
{
    (void)state;
    struct nmk_cutting_piece pieces[40];
    for (int64_t i = 0; i < 40; i++)
        pieces[i] = (struct nmk_cutting_piece){13 + i * 37 % 71, 11 + i * 53 % 83, 1, true};
    struct nmk_cutting_problem problem = question(160, 155, pieces, 40);
    int calls = 3;
    problem.progress = stop_after;
    problem.context = &calls;
    refused(&problem, NMK_STOPPED);
    assert_int_equal(calls, -1);
}

static void test_an_answer_can_be_cleared_twice(void **state)
{
    (void)state;
    struct nmk_cutting_problem problem = question(100, 100, a_dozen, 8);
    struct nmk_cutting_answer answer = solved(&problem);
    nmk_cutting_answer_clear(&answer);
    nmk_cutting_answer_clear(&answer);
    assert_null(answer.patterns);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing_wanted_takes_no_sheet),
        cmocka_unit_test(test_a_piece_as_large_as_the_sheet_needs_no_cut),
        cmocka_unit_test(test_a_piece_too_big_is_named),
        cmocka_unit_test(test_a_piece_is_turned_where_it_may_be),
        cmocka_unit_test(test_a_pinwheel_cannot_be_cut_edge_to_edge),
        cmocka_unit_test(test_a_larger_pinwheel_too),
        cmocka_unit_test(test_the_reach_is_kept),
        cmocka_unit_test(test_narrow_parts_are_measured_one_by_one),
        cmocka_unit_test(test_what_is_beyond_the_reach_is_cut_off_in_turns),
        cmocka_unit_test(test_of_several_kinds_the_fewest_sheets_are_used),
        cmocka_unit_test(test_cuts_at_one_distance_are_one_setting),
        cmocka_unit_test(test_the_largest_offcut_is_kept_whole),
        cmocka_unit_test(test_equal_pieces_keep_their_numbers),
        cmocka_unit_test(test_equal_pieces_may_differ_in_turning),
        cmocka_unit_test(test_sizes_may_share_a_large_divisor),
        cmocka_unit_test(test_a_wrong_question_is_refused),
        cmocka_unit_test(test_limits_are_stated),
        cmocka_unit_test(test_a_reach_far_too_small_is_refused),
        cmocka_unit_test(test_any_effort_gives_a_right_plan),
        cmocka_unit_test(test_fewer_settings_are_wanted_next),
        cmocka_unit_test(test_the_same_question_gives_the_same_answer),
        cmocka_unit_test(test_the_caller_may_stop_the_search),
        cmocka_unit_test(test_an_answer_can_be_cleared_twice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
