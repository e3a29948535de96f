/* What a written list claims, and how the marks of Markdown, wrapped lines and other people's ways of writing are read. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "nearmark.h"
#include "proof/claim.h"
#include "ground/sink.h"
#include "ground/store.h"

static const char design_text[] = "measure wide \"width of your tin\" 86 mm\n"
                                  "stock card \"plain card\" thickness 0.3 mm\n"
                                  "piece sleeve \"Tea sleeve\" 2 of card\n  across face = 40 mm | side = 20 mm | tab = 12 mm glue\n  down high = 30 mm\n"
                                  "piece lid_2 \"Lid 2\" of card\n  across rim = 10 mm | top = 50 mm | rim\n  down rim | top | rim\n  score from both edges\n"
                                  "punches oval 30 x 20 mm\n"
                                  "opening hole from oval through lid_2 on lid_2.top x lid_2.top\n"
                                  "edition metric unit mm marks 1 mm\nedition imperial unit in marks 1/16 in\n";

static const char rows_text[] = "stock s thickness 0.1 mm\n"
                                "piece box of s\n  down top = 20 mm | wall = 50 mm | bottom = 20 mm\n"
                                "  across long = 40 mm | tab = 12 mm glue beside wall\n  across long || rest beside top, bottom\n"
                                "edition metric unit mm marks 1 mm\nedition imperial unit in marks 1/16 in\n";

static const char *const ways[] = {"", "across ", "down "}, *const edges[] = {"", "first ", "last "};

/* One claim in a few words: "1 imperial 0 cut across 133/1". */
static void put(struct sink *out, const struct nmk_design *design, const struct claim *c)
{
    char mm[64];
    nmk_rat_print(mm, sizeof mm, &c->mm);
    sink_format(out, "%s%zu: %s", out->size ? "; " : "", c->line,
                c->edition == NMK_NONE ? "" : nmk_design_edition(design, c->edition)->name);
    sink_format(out, "%s%s ", c->edition == NMK_NONE ? "" : " ",
                c->subject == NMK_NONE ? "-" : entry_subject(design, c->subject));
    sink_format(out, "%s %s%s%s%s", entry_kind_name(c->kind), ways[c->way + 1], edges[c->edge + 1], mm,
                c->unreadable ? " unreadable" : "");
    if (c->row != NMK_NONE)
        sink_format(out, " row %zu", c->row);
    if (c->hint_of != NMK_NONE)
        sink_format(out, " %+d", (int)c->hint_marks);
}

static void claims_of(const char *design_of, const char *text, const char *wanted)
{
    struct nmk_design *design = NULL;
    struct nmk_diagnostics *list;
    struct claims claims;
    struct sink told = {0};
    enum nmk_unit units[] = {NMK_MM, NMK_IN};
    assert_int_equal(nmk_diagnostics_new(&list, 0), NMK_OK);
    assert_int_equal(nmk_design_read(&design, design_of, strlen(design_of), list), NMK_OK);
    claims_read(&claims, design, units, NMK_NONE, text, strlen(text));
    sink_string(&told, "");
    for (size_t i = 0; i < claims.count; i++)
        put(&told, design, &claims.claims[i]);
    assert_string_equal(told.data ? told.data : "", wanted);
    sink_drop(&told);
    claims_clear(&claims);
    nmk_design_free(design);
    nmk_diagnostics_free(list);
}

static void claims_are(const char *text, const char *wanted)
{
    claims_of(design_text, text, wanted);
}

static void test_ways_of_writing(void **state)
{
    (void)state;
    static const char *const wholes[] = {"Tea sleeve: 5 5/16 in wide",
                                         "tea-sleeve, 5-5/16\" wide",
                                         "TEA SLEEVE: 5\xE2\x81\xB5\xE2\x81\x84\xE2\x82\x81\xE2\x82\x86\xE2\x80\xB3 wide",
                                         "**Tea sleeve** width: 5 5/16 inches",
                                         "tea_sleeve across 5 5/16-in",
                                         "the Tea sleeve is 134,9375 mm wide",
                                         "| Tea sleeve | 5 5\\/16 in | across |",
                                         "Sleeve 13.49375cm across"};
    for (size_t i = 0; i < sizeof wholes / sizeof *wholes; i++)
        claims_are(wholes[i], "1: Tea sleeve cut across 2159/16");
}

static void test_pairs_and_lists(void **state)
{
    (void)state;
    claims_are("Sleeve: cut 2, 72 x 30 mm", "1: Tea sleeve copies 2; 1: Tea sleeve cut across 72; 1: Tea sleeve cut down 30");
    claims_are("Sleeve 72 mm by 3 cm", "1: Tea sleeve cut across 72; 1: Tea sleeve cut down 30");
    claims_are("Sleeve\nscore at 40 and 60 mm from the left edge",
               "2: Tea sleeve score across first 40; 2: Tea sleeve score across first 60");
    claims_are("Sleeve: score 1 in from the left, 2 in from the right",
               "1: Tea sleeve score across first 127/5; 1: Tea sleeve score across last 254/5");
    claims_are("Lid 2: score 10 mm from both edges across", "1: Lid 2 score across first 10; 1: Lid 2 score across last 10");
    claims_are("Lid 2: score 10 mm from all four sides",
               "1: Lid 2 score across first 10; 1: Lid 2 score across last 10; 1: Lid 2 score down first 10; 1: Lid 2 score down last 10");
    claims_are("Lid 2: score 1 cm from left and right", "1: Lid 2 score across first 10; 1: Lid 2 score across last 10");
}

static void test_what_stands_above(void **state)
{
    (void)state;
    claims_are("# Imperial\n## Lid 2\ndown\n 2 in cut\nScores:\n 3/8 in from the top\n## Other things\n 4 in",
               "4: imperial Lid 2 cut down 254/5; 6: imperial Lid 2 score down first 381/40; 8: imperial - any 508/5");
    claims_are("Edition metric: a mark every 1 mm, \xC2\xB1 0.2 mm.", "1: metric - marks 1; 1: metric - true 1/5");
    claims_are("Inches\nSleeve 2 x 1\n", "2: imperial Tea sleeve cut across 254/5; 2: imperial Tea sleeve cut down 127/5");
    claims_are("| Piece | Across | Down |\n|--|--|--|\n| Lid 2 | 70 mm | 7 cm |",
               "3: Lid 2 cut across 70; 3: Lid 2 cut down 70");
    claims_are("| | Across | Copies |\n|--|--|--|\n| Sleeve | 72 mm | 2 |",
               "3: Tea sleeve copies 2; 3: Tea sleeve cut across 72");
}

static void test_one_unit_beside_the_other(void **state)
{
    (void)state;
    claims_are(
        "Sleeve: 72 x 30 mm (2 7/8 x 1 1/4 in)",
        "1: Tea sleeve cut across 72; 1: Tea sleeve cut down 30; 1: Tea sleeve cut across 2921/40; 1: Tea sleeve cut down 127/4");
    claims_are("Sleeve: cut 72 mm (2 7/8 in)", "1: Tea sleeve cut 72; 1: Tea sleeve cut 2921/40");
    claims_are("Lid 2: 10 mm (3/8 in) from the top edge", "1: Lid 2 score down first 10; 1: Lid 2 score down first 381/40");
}

static void test_the_rest(void **state)
{
    (void)state;
    claims_are("Sleeve\n 72 mm cut one mark more than 71", "2: Tea sleeve cut 72; 2: Tea sleeve hint 71 +1");
    claims_are("Sleeve\n Glue: the 12 mm at the right edge.", "2: Tea sleeve glue across last 12");
    claims_are("Lid 2\nCorners: snip 10 mm down along each score. Taper each tab by 2 mm.",
               "2: Lid 2 snip down 10; 2: Lid 2 taper 2");
    claims_are("Lid 2\n- Opening hole: punch 30 x 20 mm\n- 70 mm across",
               "2: hole punch across 30; 2: hole punch down 20; 3: Lid 2 cut across 70");
    claims_are("Sleeve: score at 40 mm,\nand 60 mm from the left edge",
               "1: Tea sleeve score across first 40; 2: Tea sleeve score across first 60");
    claims_are("Lid 2: fold 2 in half", "");
    claims_are("Lid 2: score first, then cut 70 mm across", "1: Lid 2 cut across 70");
    claims_are("width of your tin: 86 mm", "1: width of your tin measure 86");
    claims_are("Sleeve: 1,125 in wide", "1: Tea sleeve cut across 0 unreadable");
    claims_are("Cut 1 sheet of 250 gsm, fold 2 in half, wait 10 minutes: see A4, page 3. Lid 2", "");
    claims_are("Take a\nfew of these very long words so that this line is surely wrapped by\n7 cm", "3: - any 70");
}

/* A panel's name behind "beside" is no word of the trade; what is cut from an edge is no whole size. */
static void test_rows(void **state)
{
    (void)state;
    static const char *const lines[][2] = {
        {"Box: score at 40 mm from the left edge, beside wall", "1: box score across first 40 row 0"},
        {"Box: cut at 40 mm from the left edge, beside top and bottom", "1: box knife across first 40 row 1"},
        {"Box: cut at 40 mm from the left, beside the bottom", "1: box knife across first 40 row 1"},
        {"Box: cut 52 mm across", "1: box cut across 52"},
        {"Box: cut away the 12 mm at the right edge, beside top and bottom", "1: box rest across last 12 row 1"},
        {"Box: glue the 12 mm at the right edge, beside wall", "1: box glue across last 12 row 0"},
        {"Box: cut 1, 52 x 90 mm\n  score the longest of them all at 40 mm from the left edge, beside wall\n"
         "  cut it right through at 40 mm from the left edge, beside top and bottom\n  score 20 mm from the top edge\n",
         "1: box copies 1; 1: box cut across 52; 1: box cut down 90; 2: box score across first 40 row 0; 3: box knife across first 40 row 1; "
         "4: box score down first 20"},
        {"Box\nacross, only beside wall\n  40 mm   score from the left edge\nacross, only beside top and bottom\n  40 mm   cut from the left edge\ndown\n  "
         "20 mm   score from the upper edge",
         "3: box score across first 40 row 0; 5: box knife across first 40 row 1; 7: box score down first 20"},
        {"# Box\n| | | |\n|--|--|--|\n| across | 52 mm | cut |\n| only beside wall | 40 mm | score from the left edge |\n| | 41 mm | score from the left edge "
         "|\n\n- Glue: the 12 mm at the right edge",
         "4: box cut across 52; 5: box score across first 40 row 0; 6: box score across first 41 row 0; 8: box glue across last 12"}};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        claims_of(rows_text, lines[i][0], lines[i][1]);
    claims_are("Sleeve: cut away 12 mm beside the face", "1: Tea sleeve cut 12");
}

/* Where along its line something is cut; of a piece with rows only. */
static void test_ends_of_lines(void **state)
{
    (void)state;
    static const char *const lines[][2] = {
        {"Box: score 20 mm from the upper edge, cut through from 40 mm to the right edge",
         "1: box score down first 20; 1: box end across 40"},
        {"Box: score 20 mm from the upper edge cut through from 40 to the right edge",
         "1: box score down first 20; 1: box end across 40"},
        {"Box: cut at 20, 70 mm from the upper edge, only from the left edge to 3 mm, and from 40 mm to the right edge",
         "1: box knife down first 20; 1: box knife down first 70; 1: box end across 3; 1: box end across 40"},
        {"Box: cut at 20 mm from the upper edge, only from 40 mm (1 9/16 in) to 52 mm",
         "1: box knife down first 20; 1: box end 40; 1: box end 635/16; 1: box end 52"},
        {"Box: cut at 40 mm from the left edge, from the top edge to 20 mm and from 70 mm to the bottom edge",
         "1: box knife across first 40; 1: box end down 20; 1: box end down 70"},
        {"# Box\n| | | |\n|--|--|--|\n| down | 90 mm | cut |\n| | 20 mm | score from the upper edge |\n| | | cut through from 40 mm to the right edge |\n"
         "| | 70 mm | score from the upper edge; cut through from 40 mm to the right edge |",
         "4: box cut down 90; 5: box score down first 20; 6: box end across 40; 7: box score down first 70; 7: box end across 40"},
        {"Box\ndown\n    20 mm         score from the upper edge\n                  cut through from the left edge to 15 mm, and from\n"
         "                  40 mm to the right edge\n    70 mm         score from the upper edge",
         "3: box score down first 20; 4: box end across 15; 5: box end across 40; 6: box score down first 70"}};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        claims_of(rows_text, lines[i][0], lines[i][1]);
    claims_of(rows_text, "Box: cut 1, 52 x 90 mm\n  cut at 40 mm from the right edge, only from the upper edge to 20 mm\n"
                         "  cut at 70 mm from the upper edge, beside top\n  score 20 mm from the upper edge",
              "1: box copies 1; 1: box cut across 52; 1: box cut down 90; 2: box knife across last 40; 2: box end down 20; "
              "3: box knife down first 70 row 1; 4: box score down first 20");
    claims_are("Sleeve: score from the left edge to 40 mm", "1: Tea sleeve score across first 40");
}

/* A label that is an article, too: a mark every 1 mm is none of the measure. */
static void test_short_labels(void **state)
{
    (void)state;
    static const char text[] =
        "measure w \"A\" 86 mm\nstock s thickness 0.1 mm\npiece box \"An\" of s\n  across a = w\n  down b = 20 mm\n"
        "edition e unit mm marks 1 mm\nedition f unit in marks 1/16 in\n";
    claims_of(text, "Edition e: a mark every 1 mm", "1: e - marks 1");
    claims_of(text, "A: 86 mm\nAn: cut 86 mm across", "1: A measure 86; 2: An cut across 86");
}

/* Cut short, the label of a piece is also the beginning of the title. */
static void test_labels_cut_short(void **state)
{
    (void)state;
    static const char text[] =
        "design \"Sleeve for the recipe cards of a whole family\"\nstock s \"Sleeve for the recipe tins\" thickness 0.1 mm\n"
        "piece box \"Sleeve for the recipe cards of a whole family, second version\" of s\n  across a = 86 mm\n  down b = 20 mm\n";
    claims_of(text, "Sleeve for the recipe cards of a who\xE2\x80\xA6: cut 86 mm across",
              "1: Sleeve for the recipe cards of a whole family, second version cut across 86");
    static const char two[] =
        "stock s thickness 0.1 mm\npiece p \"Sleeve for the recipe cards, the second\" of s\n  across a = 86 mm\n  down b = 20 mm\n"
        "piece q \"Sleeve for the recipe cards, the first\" of s\n  across a = 86 mm\n  down b = 20 mm\n";
    claims_of(
        two,
        "Sleeve for the recipe cards, the\xE2\x80\xA6: cut 86 mm across\nSleeve for the recipe cards, the\xE2\x80\xA6: cut 85 mm across",
        "1: Sleeve for the recipe cards, the second cut across 86; 2: Sleeve for the recipe cards, the first cut across 85");
}

/* A step's number is no figure; its sentence goes on below where its words begin. */
static void test_steps(void **state)
{
    (void)state;
    claims_are("1. Sleeve: cut 2, 72 x 30 mm\n12) Lid 2: score 10 mm from the top edge",
               "1: Tea sleeve copies 2; 1: Tea sleeve cut across 72; 1: Tea sleeve cut down 30; 2: Lid 2 score down first 10");
    claims_are(
        "  13. Lid 2. Snip 10 mm down along each score: four snips. Taper the free side of\n      each tab by 2 mm.\n  4. Glue.",
        "1: Lid 2 snip down 10; 2: Lid 2 taper 2");
    claims_are("3. Lid 2, each of 1. Fold every score.", "1: Lid 2 copies 1");
}

/* What is said of demands, sheets, settings and rules is no list, whatever figures are in it. */
static void test_other_things(void **state)
{
    (void)state;
    static const char *const passages[] = {
        ("These cannot be met together; without any one of them the others can:\n  keep sleeve.across at most 31 mm\n"
         "      it would help to allow at most 9.525 mm of room instead of\n      -3.5 mm"),
        "This one cannot be met, even alone:\n  keep lid_2.across at least 31 mm",
        "Finer marks would serve: every 1/32 in.",
        "As drawn: 2 hold, 1 too wide. Rounded by itself: 3 hold. Settled: 5\nhold, 1 at risk.\n  keep sleeve.tab at least 24 mm: too small",
        "To buy\n  plain card: 2 sheets of Letter, 8 1/2 in x 11 in; fewer cannot do.\n    The largest offcut is 5 in x 11 in.",
        "Cuts\n2 settings, the fewest for sheets cut so.\n  1. 71 mm\n     sheet 1: upper edge at the mark, right edge to the fence\n       gives Tea sleeve, 71 mm x 31 mm",
        "Making up\n  8. Tea sleeve. Punch the opening, 46 mm x 46 mm.",
        "Sheet 1: plain card, A4, 210 mm x 297 mm\n    1 = Tea sleeve, 71 mm x 31 mm\n    (1) = offcut, 20 mm x 297 mm",
        "Tea sleeve, 400 mm x 30 mm, is larger than every sheet of plain card (A4,\n210 mm x 297 mm) in the edition metric.",
        "Measure your own\n  wide  width of your tin: to the nearest mark, from 51 mm to 79 mm",
        "Measured\n  wide  width of your tin: 85 mm as it is, \xC2\xB1 0.5 mm",
        "Then make\n  sleeve.tab  = wide + 2 mm",
        "For every wide from 51 mm to 79 mm, read to the nearest mark, every\ndemand holds.",
        "Not met for all these sizes; the chart shows for which:\n  keep sleeve.tab at least 24 mm: too small at wide = 51 mm"};
    for (size_t i = 0; i < sizeof passages / sizeof *passages; i++) {
        struct sink text = {0};
        sink_format(&text, "%s\n\nLid 2: 70 mm across\n", passages[i]);
        size_t line = 1;
        for (size_t k = 0; k < text.size; k++)
            line += text.data[k] == '\n';
        char wanted[64];
        snprintf(wanted, sizeof wanted, "%zu: Lid 2 cut across 70", line - 1);
        claims_are(text.data, wanted);
        sink_drop(&text);
    }
    claims_are(
        "As drawn: 2 hold.\n3 lengths are not at a nearest mark; all lengths together are 46.9 mm\noff their designed sizes.",
        "2: - off 469/10");
    claims_are("As drawn, the Tea sleeve is 72 mm wide", "1: Tea sleeve cut across 72");
    claims_are("Sheet 1: the Tea sleeve, 72 mm x 30 mm", "1: Tea sleeve cut across 72; 1: Tea sleeve cut down 30");
    claims_are("Sleeve: cut at 72 mm, the edge at the mark, across", "1: Tea sleeve cut across 72");
}

/* "12x12" is a sheet. */
static void test_sheets(void **state)
{
    (void)state;
    claims_are("# Metric\n## Tea sleeve\nCut 2 from plain card (12x12)",
               "3: metric Tea sleeve copies 2; 3: metric Tea sleeve sheet across 1524/5; 3: metric Tea sleeve sheet down 1524/5");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_ways_of_writing),
                                       cmocka_unit_test(test_pairs_and_lists),
                                       cmocka_unit_test(test_what_stands_above),
                                       cmocka_unit_test(test_ends_of_lines),
                                       cmocka_unit_test(test_one_unit_beside_the_other),
                                       cmocka_unit_test(test_the_rest),
                                       cmocka_unit_test(test_rows),
                                       cmocka_unit_test(test_short_labels),
                                       cmocka_unit_test(test_labels_cut_short),
                                       cmocka_unit_test(test_steps),
                                       cmocka_unit_test(test_other_things),
                                       cmocka_unit_test(test_sheets)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
