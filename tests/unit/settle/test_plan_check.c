/* The checker of plans finds what is wrong: a true plan, spoilt in one place after the other. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "settle/planning.h"
#include "unit/fit/fitting.h"

static const char design[] =
    "stock card thickness 0.3 mm sheet A4 grain long\npunches oval 20 x 10 mm\n"
    "piece box 2 of card grain down\n say \"0\"\n across w = 20 mm | a = 50 mm | w\n say \"1\"\n down w | b = 70 mm | w\n score from both edges\n say \"2\"\n"
    " corners snipped down\n say \"3\"\n say \"4\"\npiece case of card\n across d = 20 mm | e = 70 mm\n down f = 30 mm | tab = 10 mm glue\n say \"0\"\n"
    "mat top of card on box.a x box.b, smaller by 5 mm ends mitred\npiece ring of card from oval\nopening hole from oval through box, top on box.a x box.b\n"
    "edition e unit mm marks 1 mm reach 200 mm\n";

static struct nmk_plan_step *first_of(struct nmk_plan *plan, enum nmk_plan_act act)
{
    size_t i = 0;
    while (i < plan->step_count && plan->steps[i].act != act)
        i++;
    assert_true(i < plan->step_count);
    return &plan->steps[i];
}

static struct nmk_plan_part *first_piece(struct nmk_plan *plan)
{
    size_t i = 0;
    while (plan->parts[i].kind != NMK_PLAN_PIECE || plan->parts[i].piece != 0)
        i++;
    return &plan->parts[i];
}

static void another_size(struct nmk_plan *plan)
{
    struct nmk_plan_step *cut = first_of(plan, NMK_PLAN_CUT);
    nmk_rat_set_int(&cut->at, ++cut->marks);
}

static void another_mark(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_CUT)->marks++;
}

static void another_edge(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_CUT)->edge ^= 2;
}

static void another_fence(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_CUT)->fence ^= 1;
}

static void another_half(struct nmk_plan *plan)
{
    struct nmk_plan_step *cut = first_of(plan, NMK_PLAN_CUT);
    size_t first = cut->first;
    cut->first = cut->second;
    cut->second = first;
}

static void cut_twice(struct nmk_plan *plan)
{
    struct nmk_plan_step *cut = first_of(plan, NMK_PLAN_CUT);
    cut[1].part = cut->part;
}

static void cut_fewer(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_CUT)->count++;
}

static void turn_piece(struct nmk_plan *plan)
{
    first_piece(plan)->turned ^= true;
}

static void call_it_offcut(struct nmk_plan *plan)
{
    first_piece(plan)->kind = NMK_PLAN_OFFCUT;
}

static void another_piece(struct nmk_plan *plan)
{
    first_piece(plan)->piece = 1;
}

static void more_sheets(struct nmk_plan *plan)
{
    plan->stocks[0].sheets++;
}

static void more_copies(struct nmk_plan *plan)
{
    plan->sheets[0].copies++;
    plan->stocks[0].sheets++;
}

static void more_makers(struct nmk_plan *plan)
{
    plan->makers++;
}

static void score_beside(struct nmk_plan *plan)
{
    struct nmk_plan_step *score = first_of(plan, NMK_PLAN_SCORE);
    score->marks++;
    nmk_rat_set_int(&score->at, score->marks);
}

static void score_twice(struct nmk_plan *plan)
{
    struct nmk_plan_step *score = first_of(plan, NMK_PLAN_SCORE);
    score[1].line = score->line;
    score[1].way = score->way;
    score[1].edge = score->edge;
    score[1].fence = score->fence;
}

static void score_not_all(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_SCORE)->count--;
}

static void score_from_afar(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_SCORE)->edge ^= 2;
}

static void say_it_is_beyond(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_SCORE)->beyond = true;
}

static void no_score(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_SCORE)->act = NMK_PLAN_SAY;
}

static void lay_too_soon(struct nmk_plan *plan)
{
    struct nmk_plan_step *fold = first_of(plan, NMK_PLAN_FOLD), *last = &plan->steps[plan->step_count - 1];
    assert_int_equal(last->act, NMK_PLAN_LAY);
    fold->act = NMK_PLAN_LAY;
    last->act = NMK_PLAN_FOLD;
    size_t piece = fold->piece;
    int64_t count = fold->count;
    fold->piece = last->piece;
    fold->count = last->count;
    last->piece = piece;
    last->count = count;
}

static void fewer_moves(struct nmk_plan *plan)
{
    plan->moves--;
}

static void no_such_bound(struct nmk_plan *plan)
{
    plan->moves_bound = plan->moves + 1;
}

static void no_fold(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_FOLD)->piece = 3;
}

static void glue_twice(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_FOLD)->act = NMK_PLAN_GLUE;
}

static void no_punch(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_PUNCH)->act = NMK_PLAN_SAY;
}

static void no_opening(struct nmk_plan *plan)
{
    first_of(plan, NMK_PLAN_OPENING)->piece = 1;
}

static void another_number(struct nmk_plan *plan)
{
    plan->steps[plan->step_count - 1].number++;
}

static struct nmk_plan_step *said(struct nmk_plan *plan, size_t piece, size_t say)
{
    size_t i = 0;
    while (i < plan->step_count &&
           (plan->steps[i].act != NMK_PLAN_SAY || plan->steps[i].piece != piece || plan->steps[i].say != say))
        i++;
    assert_true(i > 0 && i + 1 < plan->step_count);
    return &plan->steps[i];
}

/* Two neighbouring steps change places; their numbers stay. */
static void swap_with(struct nmk_plan_step *step, int by)
{
    struct nmk_plan_step kept = step[by];
    size_t number = step->number, other = kept.number;
    step[by] = *step;
    step[by].number = other;
    *step = kept;
    step->number = number;
}

static void say_after_the_cut(struct nmk_plan *plan)
{
    swap_with(said(plan, 0, 0), 1);
}

static void say_a_setting_too_soon(struct nmk_plan *plan)
{
    swap_with(said(plan, 0, 0), -1);
}

static void say_after_the_first_score(struct nmk_plan *plan)
{
    swap_with(said(plan, 0, 1), 1);
}

static void say_before_the_last_score(struct nmk_plan *plan)
{
    swap_with(said(plan, 0, 2), -1);
}

static void say_the_other_first(struct nmk_plan *plan)
{
    swap_with(said(plan, 0, 3), 1);
}

static void say_after_the_snip(struct nmk_plan *plan)
{
    swap_with(said(plan, 0, 4), 1);
}

static void say_before_the_fold(struct nmk_plan *plan)
{
    swap_with(said(plan, 1, 0), -1);
}

static void say_it_glued(struct nmk_plan *plan)
{
    swap_with(said(plan, 1, 0), 1);
}

static void say_nothing(struct nmk_plan *plan)
{
    said(plan, 0, 3)->say = 5;
}

static void say_twice(struct nmk_plan *plan)
{
    said(plan, 0, 3)->say = 4;
}

static void say_too_little(struct nmk_plan *plan)
{
    struct nmk_plan_step *last = said(plan, 0, 4);
    size_t left = plan->step_count - (size_t)(last - plan->steps) - 1;
    for (size_t i = 0; i < left; i++) {
        last[i] = last[i + 1];
        last[i].number--;
    }
    plan->step_count--;
}

static void unfit_after_all(struct nmk_plan *plan)
{
    plan->unfit_count = 1;
}

static const struct {
    const char *name;
    void (*spoil)(struct nmk_plan *plan);
} spoilers[] = {
    {"another size", another_size},     {"another mark", another_mark},       {"another edge", another_edge},
    {"another fence", another_fence},   {"another half", another_half},       {"cut twice", cut_twice},
    {"cut fewer", cut_fewer},           {"turn a piece", turn_piece},         {"call it offcut", call_it_offcut},
    {"another piece", another_piece},   {"more sheets", more_sheets},         {"more copies", more_copies},
    {"more makers", more_makers},       {"score beside", score_beside},       {"score twice", score_twice},
    {"score not all", score_not_all},   {"score from afar", score_from_afar}, {"say it is beyond", say_it_is_beyond},
    {"no score", no_score},             {"lay too soon", lay_too_soon},     {"no punch", no_punch},
    {"no opening", no_opening},         {"another number", another_number},   {"unfit after all", unfit_after_all},
    {"fewer moves", fewer_moves},
    {"no such bound", no_such_bound},
    {"no fold", no_fold},
    {"glue twice", glue_twice},
    {"say after the cut", say_after_the_cut},
    {"say a setting too soon", say_a_setting_too_soon},
    {"say after the first score", say_after_the_first_score},
    {"say before the last score", say_before_the_last_score},
    {"say the other first", say_the_other_first},
    {"say after the snip", say_after_the_snip},
    {"say before the fold", say_before_the_fold},
    {"say it glued", say_it_glued},
    {"say nothing", say_nothing},
    {"say twice", say_twice},
    {"say too little", say_too_little},
};

static void test_spoilt_plans(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(design, NULL);
    struct nmk_plan_options options;
    nmk_plan_options_init(&options);
    options.effort = 50000;
    for (size_t i = 0; i < sizeof spoilers / sizeof *spoilers; i++) {
        struct nmk_plan *plan = NULL;
        const char *why = NULL;
        assert_int_equal(nmk_plan_new(&plan, f->settled, &options, f->list), NMK_OK);
        assert_true(nmk_plan_check(plan, &why));
        assert_null(why);
        spoilers[i].spoil(plan);
        bool right = nmk_plan_check(plan, &why);
        if (right || !why)
            print_message("# not found: %s\n", spoilers[i].name);
        assert_false(right);
        assert_non_null(why);
        if (spoilers[i].spoil == unfit_after_all)
            plan->unfit_count = 0;
        nmk_plan_free(plan);
    }
    fitting_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_spoilt_plans)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
