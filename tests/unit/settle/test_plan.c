/* Plans: every one is done by the checker; what a person would expect of them; random designs. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "nearmark/plan.h"
#include "unit/exact/biased.h"
#include "unit/fit/fitting.h"
#include "unit/settle/guess.h"

static struct nmk_plan *plan_for(struct fitting *f, int64_t makers, uint64_t effort)
{
    struct nmk_plan *plan = NULL;
    struct nmk_plan_options options;
    const char *why = NULL;
    nmk_plan_options_init(&options);
    options.makers = makers;
    options.effort = effort;
    assert_int_equal(nmk_plan_new(&plan, f->settled, &options, f->list), NMK_OK);
    bool right = nmk_plan_check(plan, &why);
    if (!right)
        print_message("# %s\n", why);
    assert_true(right);
    return plan;
}

static size_t count_acts(const struct nmk_plan *plan, enum nmk_plan_act act)
{
    size_t count = 0;
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++)
        count += nmk_plan_step(plan, i)->act == act;
    return count;
}

static int64_t sheets_in_all(const struct nmk_plan *plan)
{
    int64_t sheets = 0;
    for (size_t i = 0; i < nmk_plan_stock_count(plan); i++)
        sheets += nmk_plan_stock(plan, i)->sheets;
    return sheets;
}

static char *read_data(const char *name)
{
    char path[512];
    snprintf(path, sizeof path, "%s/data/%s.design", NEARMARK_TESTS, name);
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    char *text = calloc(1, 1 << 16);
    assert_non_null(text);
    assert_true(fread(text, 1, (1 << 16) - 1, file) > 0);
    fclose(file);
    return text;
}

/* ---- the designs that there are ---- */

static void test_every_design(void **state)
{
    static const char *const names[] = {"drawer", "nest", "cover"};
    (void)state;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char *text = read_data(names[i]);
        size_t planned = 0;
        struct fitting *first = fitting_draft(text, NULL);
        for (size_t e = 0; e < nmk_design_declared_count(first->design); e++) {
            struct fitting *f = fitting_of(text, nmk_design_edition(first->design, e)->name);
            for (int64_t makers = 1; nmk_settled_holds_together(f->settled) && makers < 4; makers += 2, planned++)
                nmk_plan_free(plan_for(f, makers, 100000));
            fitting_free(f);
        }
        assert_true(planned > 2);
        fitting_free(first);
        free(text);
    }
}

/* Twenty drawers on Letter: a tray of 5 5/16 x 6 1/2, a sleeve of 9 1/8 x 4 1/4 and two labels of 2 15/16 x 4 1/16 are 97 of
 * the 93.5 square inches of a sheet, so that more than twenty are needed. */
static void test_a_class_of_twenty(void **state)
{
    (void)state;
    char *text = read_data("drawer");
    struct fitting *f = fitting_of(text, "imperial");
    struct nmk_plan *one = plan_for(f, 1, 100000), *many = plan_for(f, 20, 2000000);
    assert_int_equal(sheets_in_all(one), 2);
    assert_int_equal(nmk_plan_moves(one), nmk_plan_stock(one, 0)->settings); /* each setting once */
    assert_true(sheets_in_all(many) > 20 && sheets_in_all(many) < 40);
    assert_true(nmk_plan_moves(many) < 4 * nmk_plan_moves(one));
    assert_int_equal(nmk_plan_piece(many, 2)->count, 40);
    nmk_plan_free(one);
    nmk_plan_free(many);
    fitting_free(f);
    free(text);
}

static void test_a_thousand_pieces(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        "stock card thickness 0.3 mm sheet 12x12\npiece tag 10 of card\n across a = 2 in | b = 1 in\n down c = 4 in\n"
        "edition e unit in marks 1/16 in\n",
        NULL);
    struct nmk_plan *plan = plan_for(f, 100, 0);
    assert_int_equal(sheets_in_all(plan), 84); /* twelve of 3 x 4 to a sheet of 12 x 12; 83 sheets are 996 */
    assert_int_equal(nmk_plan_stock(plan, 0)->bound, 84);
    assert_int_equal(nmk_plan_stock(plan, 0)->settings, 2);
    nmk_plan_free(plan);
    fitting_free(f);
}

/* ---- sheets ---- */

static void test_a_piece_as_large_as_the_sheet(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of("stock card thickness 0.3 mm sheet A4\npiece big of card\n across a = 297 mm\n down b = 210 mm\n"
                   "edition e unit mm marks 1 mm\n",
                   NULL);
    struct nmk_plan *plan = plan_for(f, 3, 50000);
    assert_int_equal(sheets_in_all(plan), 3);
    assert_int_equal(count_acts(plan, NMK_PLAN_CUT), 0);
    assert_int_equal(nmk_plan_part(plan, 0)->kind, NMK_PLAN_PIECE);
    assert_true(nmk_plan_part(plan, 0)->turned);
    nmk_plan_free(plan);
    fitting_free(f);
}

static void test_larger_than_every_sheet(void **state)
{
    (void)state;
    struct fitting *f = fitting_of("stock card thickness 0.3 mm sheet A4\npiece good of card\n across a = 100 mm\n down a\n"
                                   "piece large of card\n across a = 298 mm\n down b = 20 mm\npiece wide of card\n across a = 211 mm\n down a\n"
                                   "edition e unit mm marks 1 mm\n", NULL);
    struct nmk_plan *plan = plan_for(f, 1, 50000);
    assert_int_equal(nmk_plan_unfit_count(plan), 2);
    assert_int_equal(nmk_plan_unfit(plan, 0), 1);
    assert_int_equal(nmk_plan_unfit(plan, 1), 2);
    assert_int_equal(nmk_plan_step_count(plan), 0);
    nmk_plan_free(plan);
    fitting_free(f);
}

/* A stock on the edition's sheet if it comes in it, else on its own; without `sheet` on the edition's, which is A4 for
 * millimetres and Letter for inches where none is stated. */
static void test_which_sheets(void **state)
{
    static const struct {
        const char *stock, *edition, *width, *height;
        size_t count;
    } rows[] = {
        {"", "unit mm marks 1 mm", "210", "297", 1},
        {"", "unit in marks 1/16 in", "2159/10", "1397/5", 1},
        {"", "unit mm marks 1 mm sheet A3", "297", "420", 1},
        {"sheet 12x12", "unit mm marks 1 mm", "1524/5", "1524/5", 1},
        {"sheet A4 or Letter", "unit in marks 1/16 in", "2159/10", "1397/5", 1},
        {"sheet A4 or Letter", "unit mm marks 1 mm sheet A5", "210", "297", 2},
        {"sheet A5", "unit mm marks 1 mm sheet A4 or A5", "148", "210", 1},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[512], width[40], height[40];
        const struct nmk_sheet *sheets = NULL;
        snprintf(text, sizeof text,
                 "stock card thickness 0.3 mm %s\npiece p of card\n across a = 50 mm\n down a\nedition e %s\n", rows[i].stock,
                 rows[i].edition);
        struct fitting *f = fitting_of(text, NULL);
        assert_int_equal(nmk_stock_sheets(&sheets, nmk_draft_edition(f->draft), nmk_design_stock(f->design, 0)), rows[i].count);
        nmk_rat_print(width, sizeof width, &sheets[0].width);
        nmk_rat_print(height, sizeof height, &sheets[0].height);
        assert_string_equal(width, rows[i].width);
        assert_string_equal(height, rows[i].height);
        nmk_plan_free(plan_for(f, 2, 50000));
        fitting_free(f);
    }
}

/* ---- grain ---- */

#define STRIPS(grain, piece_grain) "stock card thickness 0.3 mm sheet A4 " grain "\npiece p 3 of card " piece_grain \
    "\n across a = 190 mm\n down b = 90 mm\nedition e unit mm marks 1 mm\n"

/* Of strips of 190 x 90 mm, three go on an A4 sheet as they are, two at the most if each must be turned. */
static void test_grain(void **state)
{
    static const struct {
        const char *text;
        int64_t sheets;
        bool turned;
    } rows[] = {
        {STRIPS("", ""), 1, false},
        {STRIPS("grain long", ""), 1, false},
        {STRIPS("", "grain across"), 1, false},
        {STRIPS("grain long", "grain down"), 1, false},
        {STRIPS("grain short", "grain across"), 1, false},
        {STRIPS("grain long", "grain across"), 2, true},
        {STRIPS("grain short", "grain down"), 2, true},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct fitting *f = fitting_of(rows[i].text, NULL);
        struct nmk_plan *plan = plan_for(f, 1, 50000);
        assert_int_equal(sheets_in_all(plan), rows[i].sheets);
        for (size_t k = 0; k < nmk_plan_part_count(plan); k++)
            if (nmk_plan_part(plan, k)->kind == NMK_PLAN_PIECE)
                assert_int_equal(nmk_plan_part(plan, k)->turned, rows[i].turned);
        assert_false(nmk_plan_piece(plan, 0)->against_grain);
        nmk_plan_free(plan);
        fitting_free(f);
    }
}

static void test_against_the_grain(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of("stock card thickness 0.3 mm sheet A4 grain long\npiece p of card grain down\n across a = 250 mm\n"
                   " down b = 90 mm\nedition e unit mm marks 1 mm\n",
                   NULL);
    struct nmk_plan *plan = plan_for(f, 1, 50000);
    assert_true(nmk_plan_piece(plan, 0)->against_grain);
    nmk_plan_free(plan);
    fitting_free(f);
}

/* ---- reach ---- */

static void test_a_reach_shorter_than_a_piece(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        "stock card thickness 0.3 mm sheet 12x12\npiece p 2 of card\n across a = 11 in | b = 1/2 in\n down c = 5 in\n"
        "edition e unit in marks 1/16 in reach 6 in\n",
        NULL);
    struct nmk_plan *plan = plan_for(f, 1, 50000);
    bool from_last = false;
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++) {
        const struct nmk_plan_step *step = nmk_plan_step(plan, i);
        if (step->act == NMK_PLAN_CUT || step->act == NMK_PLAN_SCORE) {
            assert_true(step->marks > 0 && step->marks <= 96);
            from_last |= step->edge == NMK_PLAN_RIGHT || step->edge == NMK_PLAN_LOWER;
        }
    }
    assert_true(from_last);
    assert_int_equal(sheets_in_all(plan), 1);
    nmk_plan_free(plan);
    fitting_free(f);
}

/* A4 is 11.69... in long: 11 1/2 in can be left only by cutting off 4.9 mm, which is on no mark of a sixteenth. */
static void test_a_setting_between_the_marks(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of("stock card thickness 0.3 mm sheet A4\npiece p of card\n across a = 11 1/2 in\n down c = 8 in\n"
                   "edition e unit in marks 1/16 in reach 9 in sheet A4\n",
                   NULL);
    struct nmk_plan *plan = plan_for(f, 1, 50000);
    bool met = false;
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++) {
        const struct nmk_plan_step *step = nmk_plan_step(plan, i);
        char at[40];
        nmk_rat_print(at, sizeof at, &step->at);
        met |= step->act == NMK_PLAN_CUT && !step->marks && !strcmp(at, "49/10");
    }
    assert_true(met);
    nmk_plan_free(plan);
    fitting_free(f);
}

static void test_a_score_beyond_the_reach(void **state)
{
    (void)state;
    struct fitting *f = fitting_of("stock card thickness 0.3 mm\npiece p of card\n across a = 90 mm | a\n down c = 50 mm\n"
                                   "edition e unit mm marks 1 mm reach 60 mm\n", NULL);
    struct nmk_plan *plan = plan_for(f, 1, 50000);
    assert_int_equal(count_acts(plan, NMK_PLAN_SCORE), 1);
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++)
        if (nmk_plan_step(plan, i)->act == NMK_PLAN_SCORE)
            assert_true(nmk_plan_step(plan, i)->beyond);
    nmk_plan_free(plan);
    fitting_free(f);
}

/* ---- order ---- */

/* Thirty-six of 60 x 60 mm from each of two stocks: the trimmer is set once for all of them. */
static void test_one_setting_for_all(void **state)
{
    (void)state;
    struct fitting *f = fitting_of("stock card thickness 0.3 mm sheet A4\nstock print thickness 0.2 mm sheet A4\n"
                                   "piece p 9 of card\n across a = 60 mm\n down a\npiece q 9 of print\n across a = 60 mm\n down a\n"
                                   "edition e unit mm marks 1 mm\n", NULL);
    struct nmk_plan *plan = plan_for(f, 4, 2000000);
    assert_int_equal(nmk_plan_moves(plan), 1);
    nmk_plan_free(plan);
    fitting_free(f);
}

/* In the order of the cover's tree seventeen settings are needed in metric and fifteen in inches; with slices that change
 * places fourteen and twelve, and it is proved that no order needs fewer. Without effort there is an order, and a bound. */
static void test_fewest_settings(void **state)
{
    static const struct {
        const char *edition;
        size_t moves;
    } rows[] = {{"metric", 14}, {"imperial", 12}};
    (void)state;
    char *text = read_data("cover");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct fitting *f = fitting_of(text, rows[i].edition);
        struct nmk_plan *plan = plan_for(f, 1, 0), *hasty = plan_for(f, 1, 1);
        assert_int_equal(nmk_plan_moves(plan), rows[i].moves);
        assert_int_equal(nmk_plan_moves_bound(plan), rows[i].moves);
        assert_true(nmk_plan_moves_bound(hasty) <= nmk_plan_moves(hasty));
        nmk_plan_free(plan);
        nmk_plan_free(hasty);
        fitting_free(f);
    }
    free(text);
}

/* Two alike scores of a tray's two directions are one setting. */
static void test_scores_share_settings(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of("stock card thickness 0.3 mm\npiece p of card\n across w = 20 mm | a = 50 mm | w\n down w | b = 70 mm | w\n"
                   " score from both edges\nedition e unit mm marks 1 mm\n",
                   NULL);
    struct nmk_plan *plan = plan_for(f, 1, 50000);
    size_t number = 0;
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++)
        if (nmk_plan_step(plan, i)->act == NMK_PLAN_SCORE) {
            assert_true(!number || number == nmk_plan_step(plan, i)->number);
            number = nmk_plan_step(plan, i)->number;
        }
    assert_int_equal(count_acts(plan, NMK_PLAN_SCORE), 4);
    nmk_plan_free(plan);
    fitting_free(f);
}

/* ---- what is said ---- */

/* The steps in short, but for the cuts: "S" a score, a word each for the rest, a sentence in quotes. */
static void list_steps(char *out, size_t size, const struct nmk_plan *plan)
{
    static const char *const acts[] = {
        [NMK_PLAN_CUT] = "cut",   [NMK_PLAN_PUNCH] = "punch", [NMK_PLAN_OPENING] = "opening", [NMK_PLAN_MITRE] = "mitre",
        [NMK_PLAN_SCORE] = "S",   [NMK_PLAN_SNIP] = "snip",   [NMK_PLAN_FOLD] = "fold",       [NMK_PLAN_GLUE] = "glue",
        [NMK_PLAN_LAY] = "lay",   [NMK_PLAN_KNIFE] = "K",
    };
    const struct nmk_design *of = nmk_draft_design(nmk_settled_draft(nmk_plan_settled(plan)));
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < nmk_plan_step_count(plan); i++) {
        const struct nmk_plan_step *step = nmk_plan_step(plan, i);
        const char *word =
            step->act == NMK_PLAN_SAY ? nmk_design_piece(of, step->piece)->says[step->say].text : acts[step->act];
        used += (size_t)snprintf(out + used, size - used, "%s%s", used ? " " : "", word);
        assert_true(used < size);
    }
}

/* Of two pieces that are cut at shared settings, each sentence comes with the work on its own piece: before the setting at
 * which it first comes off, before its first and after its last score, before its snips, mitres and glue. */
static void test_what_is_said_and_when(void **state)
{
    static const struct {
        const char *pieces, *steps;
    } rows[] = {
        {"piece a of card\n say \"1\"\n across w = 20 mm | h = 150 mm | w\n say \"2\"\n down w | y = 80 mm | w\n score from both edges\n say \"3\"\n"
         " corners snipped down\n say \"4\"\n say \"5\"\npiece b of card\n say \"6\"\n across v = 150 mm | t = 10 mm glue\n down u = 100 mm\n say \"7\"\n",
         "cut cut 1 cut 6 cut 2 S S S S 3 S 4 5 snip fold glue fold 7 glue"},
        {"piece a of card\n say \"1\"\n across w = 297 mm\n down y = 210 mm\n say \"2\"\n",
         "1 2"}, /* the sheet as it is; nothing to glue */
        {"piece a of card\n across w = 297 mm\n down y = 210 mm\n say \"1\"\n ends mitred\n say \"2\"\n", "2 mitre 1"},
        {"piece a of card\n across w = 297 mm\n say \"1\"\n down y = 100 mm | z = 110 mm\n say \"2\"\n", "1 S fold 2"},
        {"piece a of card\n corners snipped across\n say \"1\"\n across w = 100 mm | v = 97 mm | w\n down y = 100 mm | z = 110 mm\n say \"2\"\n",
         "S S S 1 snip fold 2 glue"}, /* below the last list: once folded */
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[1024], steps[512];
        snprintf(text, sizeof text, "stock card thickness 0.3 mm sheet A4\n%sedition e unit mm marks 1 mm\n", rows[i].pieces);
        struct fitting *f = fitting_of(text, NULL);
        struct nmk_plan *plan = plan_for(f, 1, 50000);
        list_steps(steps, sizeof steps, plan);
        assert_string_equal(steps, rows[i].steps);
        nmk_plan_free(plan);
        fitting_free(f);
    }
}

/* Cut over two sheets and several settings, a piece is spoken of once. */
static void test_said_once_for_all_copies(void **state)
{
    (void)state;
    struct fitting *f =
        fitting_of("stock card thickness 0.3 mm sheet A4\npiece a 5 of card\n say \"1\"\n across h = 160 mm\n down y = 100 mm\n"
                   "edition e unit mm marks 1 mm\n",
                   NULL);
    struct nmk_plan *plan = plan_for(f, 3, 50000);
    assert_int_equal(count_acts(plan, NMK_PLAN_SAY), 1);
    nmk_plan_free(plan);
    fitting_free(f);
}

static void test_what_is_refused(void **state)
{
    (void)state;
    struct fitting *f = fitting_of(
        "stock card thickness 0.3 mm\npiece p 10000 of card\n across a = 20 mm\n down a\nedition e unit mm marks 1 mm\n", NULL);
    struct nmk_plan *plan = NULL;
    struct nmk_plan_options options;
    nmk_plan_options_init(&options);
    options.makers = 7; /* 70,000 pieces; 65,536 are the most */
    assert_int_equal(nmk_plan_new(&plan, f->settled, &options, f->list), NMK_TOO_LARGE);
    assert_int_equal(nmk_diagnostics_errors(f->list), 1);
    options.makers = 0;
    assert_int_equal(nmk_plan_new(&plan, f->settled, &options, f->list), NMK_INVALID);
    options.makers = INT64_MAX;
    assert_int_equal(nmk_plan_new(&plan, f->settled, &options, f->list), NMK_TOO_LARGE);
    assert_null(plan);
    fitting_free(f);
    f = fitting_of(
        "stock card thickness 0.3 mm sheet 210.1234567 x 297 mm\npiece p of card\n across a = 20 mm\n down a\nedition e unit mm marks 1 mm\n",
        NULL);
    options.makers = 1;
    assert_int_equal(nmk_plan_new(&plan, f->settled, &options, f->list), NMK_TOO_LARGE);
    fitting_free(f);
}

static bool stop(void *context, uint64_t steps)
{
    (void)context;
    return steps == UINT64_MAX;
}

static void test_stopping(void **state)
{
    (void)state;
    char *text = read_data("cover");
    struct fitting *f = fitting_of(text, "imperial");
    struct nmk_plan *plan = NULL;
    struct nmk_plan_options options;
    nmk_plan_options_init(&options);
    options.makers = 7;
    options.progress = stop;
    assert_int_equal(nmk_plan_new(&plan, f->settled, &options, f->list), NMK_STOPPED);
    assert_null(plan);
    fitting_free(f);
    free(text);
}

/* ---- random designs ---- */

/* Settles with a budget: what is asked here is the plan. false: it was not enough, or nothing meets every demand. */
static bool settle_soon(struct fitting *f)
{
    f->options.most_steps = 300000;
    enum nmk_status status = nmk_settle(&f->settled, f->draft, &f->options, f->list);
    assert_true(status == NMK_OK || status == NMK_BUDGET);
    return status == NMK_OK && nmk_settled_holds_together(f->settled);
}

static void try_plan(const struct fitting *f, const char *text)
{
    struct nmk_plan_options options;
    struct nmk_plan *plan = NULL;
    const char *why = NULL;
    nmk_plan_options_init(&options);
    options.makers = 1 + (int64_t)biased_below(9);
    options.effort = 200000;
    enum nmk_status status = nmk_plan_new(&plan, f->settled, &options, f->list);
    bool right = status == NMK_OK && nmk_plan_check(plan, &why);
    if (!right)
        print_message("# %s: %s\n%s\n", nmk_status_name(status), why ? why : "", text);
    assert_true(right);
    nmk_plan_free(plan);
}

static void test_random(void **state)
{
    (void)state;
    size_t planned = 0;
    unsigned long cases = biased_cases(60);
    for (unsigned long i = 0; i < cases; i++) {
        struct guess_wish wish = {.punches = biased_below(2), .mats = biased_below(2), .scores = true, .rows = biased_below(2)};
        struct guess g;
        guess_make(&g, &wish);
        struct fitting *f = fitting_draft(nmk_text_get(&g.text), g.edition);
        if (settle_soon(f)) {
            try_plan(f, nmk_text_get(&g.text));
            planned++;
        }
        fitting_free(f);
        guess_clear(&g);
    }
    biased_share("are planned", planned, cases, 0.25, 1);
}

int main(void)
{
    biased_start();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_design),
        cmocka_unit_test(test_a_class_of_twenty),
        cmocka_unit_test(test_a_thousand_pieces),
        cmocka_unit_test(test_a_piece_as_large_as_the_sheet),
        cmocka_unit_test(test_larger_than_every_sheet),
        cmocka_unit_test(test_which_sheets),
        cmocka_unit_test(test_grain),
        cmocka_unit_test(test_against_the_grain),
        cmocka_unit_test(test_a_reach_shorter_than_a_piece),
        cmocka_unit_test(test_a_setting_between_the_marks),
        cmocka_unit_test(test_a_score_beyond_the_reach),
        cmocka_unit_test(test_one_setting_for_all),
        cmocka_unit_test(test_fewest_settings),
        cmocka_unit_test(test_scores_share_settings),
        cmocka_unit_test(test_what_is_said_and_when),
        cmocka_unit_test(test_said_once_for_all_copies),
        cmocka_unit_test(test_what_is_refused),
        cmocka_unit_test(test_stopping),
        cmocka_unit_test(test_random),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
