/* The checker of sheet plans: a right plan passes; each way of spoiling it is found, and said. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "nearmark/cutting.h"

/* A sheet of 100 x 60, cut once across at 70 (measured 30 from the other edge), its left part down at 60 - no cut -
 * but at 40: piece 0 (70 x 40) above an offcut 70 x 20; on the right piece 1, turned, 30 x 60. */
static struct nmk_cutting_piece pieces[] = {{70, 40, 2, false}, {60, 30, 2, true}, {9, 9, 0, false}};
static struct nmk_cutting_kind kinds[] = {{100, 60}};
static struct nmk_cutting_problem problem;
static struct nmk_cutting_node nodes[5];
static struct nmk_cutting_pattern pattern;
static struct nmk_cutting_answer answer;

static void lay_out(void)
{
    problem = (struct nmk_cutting_problem){.piece_count = 3, .kind_count = 1, .pieces = pieces, .kinds = kinds,
                                           .reach = 40};
    pieces[1].may_turn = true;
    const struct nmk_cutting_node right[] = {
        {.width = 100, .height = 60, .use = NMK_CUTTING_ACROSS, .at = 70, .from_first = false, .first = 1, .second = 4},
        {.width = 70, .height = 60, .use = NMK_CUTTING_DOWN, .at = 40, .from_first = true, .first = 2, .second = 3},
        {.width = 70, .height = 40, .use = NMK_CUTTING_PIECE, .piece = 0},
        {.y = 40, .width = 70, .height = 20, .use = NMK_CUTTING_OFFCUT},
        {.x = 70, .width = 30, .height = 60, .use = NMK_CUTTING_PIECE, .piece = 1, .turned = true},
    };
    memcpy(nodes, right, sizeof nodes);
    pattern = (struct nmk_cutting_pattern){0, 2, 5, nodes};
    answer = (struct nmk_cutting_answer){.outcome = NMK_CUTTING_PROVED, .sheets = 2, .bound = 2, .settings = 2,
                                         .offcut_width = 70, .offcut_height = 20, .pattern_count = 1,
                                         .patterns = &pattern};
}

static void is_found(const char *what)
{
    const char *why = NULL;
    assert_false(nmk_cutting_check(&problem, &answer, &why));
    assert_non_null(why);
    assert_string_equal(why, what);
    assert_false(nmk_cutting_check(&problem, &answer, NULL));
    lay_out();
}

static void test_a_right_plan_passes(void **state)
{
    (void)state;
    const char *why = "something";
    lay_out();
    assert_true(nmk_cutting_check(&problem, &answer, &why));
    assert_null(why);
    assert_true(nmk_cutting_check(&problem, &answer, NULL));
    answer.outcome = NMK_CUTTING_FOUND;
    answer.bound = 1;
    assert_true(nmk_cutting_check(&problem, &answer, NULL));
}

static void test_wrong_pieces_are_found(void **state)
{
    (void)state;
    lay_out();
    nodes[2].piece = 3;
    is_found("no such piece");
    nodes[2].piece = 1;
    is_found("a piece has the wrong size");
    pieces[1].may_turn = false;
    is_found("a piece is turned that may not be");
    nodes[4].turned = false;
    is_found("a piece has the wrong size");
    pattern.copies = 3;
    is_found("more of a piece than wanted");
    pattern.copies = 1;
    is_found("fewer of a piece than wanted");
    nodes[2].use = NMK_CUTTING_OFFCUT;
    is_found("fewer of a piece than wanted");
}

static void test_wrong_cuts_are_found(void **state)
{
    (void)state;
    lay_out();
    nodes[0].at = 100;
    is_found("a cut outside its part");
    nodes[0].at = 0;
    is_found("a cut outside its part");
    nodes[0].from_first = true;
    is_found("a cut beyond the reach");
    problem.reach = 39;
    is_found("a cut beyond the reach");
    nodes[0].second = 1;
    is_found("the parts of a cut are not in order");
    nodes[1].first = 1;
    is_found("the parts of a cut are not in order");
    nodes[1].second = 5;
    is_found("the parts of a cut are not in order");
    nodes[1].second = 4;
    is_found("the parts of a cut are not in order");
    pattern.node_count = 6;
    struct nmk_cutting_node more[6];
    memcpy(more, nodes, sizeof nodes);
    more[5] = nodes[3];
    pattern.nodes = more;
    is_found("a part that no cut makes");
    nodes[1].use = (enum nmk_cutting_use)9;
    is_found("a part of no use");
}

static void test_parts_that_are_not_what_the_cut_leaves_are_found(void **state)
{
    (void)state;
    const char *moved = "the parts of a cut are not what it leaves";
    lay_out();
    for (size_t i = 1; i < 5; i++) {
        int64_t *sizes[] = {&nodes[i].x, &nodes[i].y, &nodes[i].width, &nodes[i].height};
        for (size_t s = 0; s < 4; s++)
            for (int by = -1; by <= 1; by += 2) {
                *sizes[s] += by;
                is_found(moved);
            }
    }
}

static void test_a_wrong_sheet_is_found(void **state)
{
    (void)state;
    const char *start = "a pattern does not begin with its sheet", *none = "a pattern without a sheet";
    lay_out();
    nodes[0].width = 99;
    is_found(start);
    nodes[0].height = 61;
    is_found(start);
    nodes[0].x = 1;
    is_found(start);
    nodes[0].y = -1;
    is_found(start);
    pattern.kind = 1;
    is_found(none);
    pattern.copies = 0;
    is_found(none);
    pattern.nodes = NULL;
    is_found(none);
    pattern.node_count = 0;
    is_found(none);
    answer.patterns = NULL;
    is_found("no patterns");
}

static void test_wrong_sums_are_found(void **state)
{
    (void)state;
    lay_out();
    answer.sheets = 1;
    is_found("the number of sheets is not as stated");
    answer.settings = 3;
    is_found("the number of settings is not as stated");
    answer.offcut_width = 71;
    is_found("the largest offcut is not as stated");
    answer.offcut_width = 35; /* the area is right, but there is no such offcut */
    answer.offcut_height = 40;
    is_found("the largest offcut is not as stated");
    answer.offcut_width = answer.offcut_height = 0;
    is_found("the largest offcut is not as stated");
    answer.bound = 1;
    is_found("the bound and the outcome do not agree");
    answer.bound = 3;
    is_found("the bound and the outcome do not agree");
    answer.outcome = NMK_CUTTING_FOUND;
    is_found("the bound and the outcome do not agree");
}

static void test_a_wrong_claim_that_a_piece_is_too_big_is_found(void **state)
{
    (void)state;
    lay_out();
    struct nmk_cutting_piece big[] = {{200, 200, 0, true}, {101, 60, 1, false}, {60, 100, 1, false}};
    problem.pieces = big;
    answer = (struct nmk_cutting_answer){.outcome = NMK_CUTTING_TOO_BIG, .too_big = 1};
    assert_true(nmk_cutting_check(&problem, &answer, NULL));
    answer.too_big = 2;
    const char *why = NULL;
    assert_false(nmk_cutting_check(&problem, &answer, &why));
    assert_string_equal(why, "the first piece that is too big is another");
    answer.too_big = 0;
    assert_false(nmk_cutting_check(&problem, &answer, &why));
    assert_string_equal(why, "the piece that is too big is not wanted");
    answer.too_big = 3;
    assert_false(nmk_cutting_check(&problem, &answer, &why));
    assert_string_equal(why, "a piece is said to be too big, but which?");
    big[1].width = 100;
    answer.too_big = 2;
    assert_true(nmk_cutting_check(&problem, &answer, NULL));
    big[2].may_turn = true;
    assert_false(nmk_cutting_check(&problem, &answer, &why));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_right_plan_passes),
        cmocka_unit_test(test_wrong_pieces_are_found),
        cmocka_unit_test(test_wrong_cuts_are_found),
        cmocka_unit_test(test_parts_that_are_not_what_the_cut_leaves_are_found),
        cmocka_unit_test(test_a_wrong_sheet_is_found),
        cmocka_unit_test(test_wrong_sums_are_found),
        cmocka_unit_test(test_a_wrong_claim_that_a_piece_is_too_big_is_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
