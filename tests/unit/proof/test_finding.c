/* A written list held against the settled one: what is right, what is wrong and why, what is missing. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "ground/store.h"
#include "nearmark.h"
#include "proof/proof_text.h"

/* Each rim and top is 0.4 mm more than a mark, so that the lid as a whole, rounded by itself, is 71 mm: a mark more than in
 * marks. */
static const char design_text[] = "measure wide \"width of your tin\" 86 mm\n"
                                  "stock card thickness 0.3 mm\n"
                                  "piece lid of card\n  across rim = 10.4 mm | top = 50.4 mm | rim\n  down rim | high = 30 mm | rim\n"
                                  "  score from both edges\n  corners snipped down, tapered 2 mm\n"
                                  "piece band 3 of card\n  across face = 41 mm | tab = 12 mm glue\n  down high = 25 mm\n"
                                  "punches oval 30 x 20 mm\nopening hole from oval through lid on lid.top x lid.high\n";
/* Scores 10, 25 and 45 mm from the left edge, a square, a piece with rows. */
static const char strips_text[] =
    "stock card thickness 0.3 mm\npiece strip of card\n  across a = 10 mm | b = 15 mm | c = 20 mm | d = 35 mm\n  down e = 30 mm\n"
    "piece square of card\n  across f = 40 mm\n  down g = 40 mm\n"
    "piece box of card\n  down top = 20 mm | wall = 50 mm\n  across long = 40 mm | short = 12 mm beside wall\n  across short | long beside top\n";
static const char metric[] = "edition metric unit mm marks 1 mm\n";
static const char both[] = "edition metric unit mm marks 1 mm\nedition imperial unit in marks 1/16 in\n";
static const char two_of_mm[] = "edition coarse unit mm marks 2 mm\nedition metric unit mm marks 1 mm\n";
static const char twelfths[] = "edition twelfths unit in marks 1/12 in\n";

enum { MOST_EDITIONS = 3 };

static const char *const verdicts[] = {"right", "wrong", "foreign", "unsure", "elsewhere"};

/* "2: 71 mm wrong, 70 mm (rounded by itself; ...)" of each figure that is not right, then how many are missing. */
static void put(struct sink *out, const struct proof *p)
{
    for (size_t i = 0; i < p->claims.count; i++) {
        const struct finding *f = &p->findings[i];
        struct sink reason = {0};
        if (f->verdict == VERDICT_RIGHT || (f->verdict != VERDICT_UNSURE && !proof_is_shown(p, i)))
            continue;
        char *belongs = proof_belongs(p, i);
        proof_reason(&reason, p, f);
        sink_format(out, "%zu: %s %s%s%s%s%s%s; ", p->claims.claims[i].line, p->claims.claims[i].written, verdicts[f->verdict],
                    belongs ? ", " : "", belongs ? belongs : "", reason.size ? " (" : "", reason.size ? reason.data : "",
                    reason.size ? ")" : "");
        store_free(belongs);
        sink_drop(&reason);
    }
    for (size_t i = 0; i < p->count; i++)
        for (size_t e = 0; e < p->editions[i].list.count; e++) {
            if (!proof_is_missing(p, i, e))
                continue;
            const struct entry *is = &p->editions[i].list.entries[e];
            sink_format(out, "no %s ", entry_subject(p->editions[i].list.design, is->subject));
            entry_what(out, p->editions[i].list.design, is);
            sink_string(out, "; ");
        }
}

static void findings_of(const char *design_of, const char *editions_of, const char *text, const char *wanted)
{
    struct nmk_diagnostics *list = NULL;
    struct nmk_design *design = NULL;
    struct nmk_draft *drafts[MOST_EDITIONS] = {NULL};
    struct nmk_settled *settled[MOST_EDITIONS] = {NULL};
    const struct nmk_settled *borrowed[MOST_EDITIONS];
    size_t editions[MOST_EDITIONS] = {0, 1, 2};
    struct nmk_settle_options options;
    struct proof proof;
    struct sink whole = {0}, told = {0};
    sink_format(&whole, "%s%s", design_of, editions_of);
    nmk_settle_options_init(&options);
    assert_int_equal(nmk_diagnostics_new(&list, 0), NMK_OK);
    assert_int_equal(nmk_design_read(&design, whole.data, whole.size, list), NMK_OK);
    size_t count = nmk_design_declared_count(design);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(nmk_draft_new(&drafts[i], design, i, NULL, NMK_UNIT_NONE, list), NMK_OK);
        assert_int_equal(nmk_settle(&settled[i], drafts[i], &options, list), NMK_OK);
        borrowed[i] = settled[i];
    }
    proof_init(&proof, borrowed, editions, count, false, text, strlen(text));
    sink_string(&told, "");
    put(&told, &proof);
    assert_string_equal(told.data ? told.data : "", wanted);
    sink_drop(&told);
    sink_drop(&whole);
    proof_clear(&proof);
    for (size_t i = 0; i < count; i++) {
        nmk_settled_free(settled[i]);
        nmk_draft_free(drafts[i]);
    }
    nmk_settle_options_clear(&options);
    nmk_design_free(design);
    nmk_diagnostics_free(list);
}

#define LID "lid: cut 1, 70 x 50 mm\n  score 10 mm from all four sides\n  opening hole: punch 30 x 20 mm\n"
#define BAND "band: cut 3, 53 x 25 mm\n  score 41 mm from the left edge\n"

static void findings_are(const char *text, const char *wanted)
{
    findings_of(design_text, metric, text, wanted);
}

static void test_a_list_that_is_right(void **state)
{
    (void)state;
    findings_are(LID BAND, "");
    findings_are(BAND LID, "");
    findings_are(
        "metric\nlid: 70 x 50 mm, scores 10 mm and 60 mm from the left edge, 10 mm and 40 mm from the top\nhole: punch 30 x 20 mm\n"
        "band: cut 3, 5.3 cm x 25 mm, score 12 mm from the right edge\n",
        "");
}

/* Why a figure may have become wrong: the nearest guess is told. */
static void test_reasons(void **state)
{
    (void)state;
    static const char *const bands[][2] = {
        {"band: cut 3, 35 x 25 mm\n  score 41 mm from the left edge\n",
         "4: 35 wrong, 53 mm (two of its digits have changed places); "},
        {"band: cut 3, 53 x 25 cm\n  score 41 mm from the left edge\n",
         "4: 53 wrong, 53 mm (the number is right, its unit is not); 4: 25 cm wrong, 25 mm (the number is right, its unit is not); "},
        {"band: cut 3, 5.3 x 25 mm\n  score 41 mm from the left edge\n",
         "4: 5.3 wrong, 53 mm (the number is right, its unit is not); "},
        {"band: cut 3, 50 x 25 mm\n  score 41 mm from the left edge\n", "4: 50 wrong, 53 mm (three marks too little); "},
        {"band: cut 3, 56 x 25 mm\n  score 41 mm from the left edge\n", "4: 56 wrong, 53 mm (three marks too much); "},
        {"band: cut 3, 57 x 25 mm\n  score 41 mm from the left edge\n", "4: 57 wrong, 53 mm; "},
        {"band: cut 3, 53 x 25.5 mm\n  score 41 mm from the left edge\n",
         "4: 25.5 mm wrong, 25 mm (the trimmer of this edition has no mark there); "},
        {"band: cut 3, 53 x 25 mm\n  score 12 mm from the left edge\n",
         "5: 12 mm wrong, 41 mm (that is its distance from the other edge); "},
        {"band: cut 3, 41 x 25 mm\n  score 41 mm from the left edge\n",
         "4: 41 wrong, 53 mm (that is: score from the left edge); "},
        {"band: cut 3, 53 x 25 mm\n  score 28 mm from the left edge\n",
         "5: 28 mm wrong, 41 mm (that is the difference of two others that stand there); "},
        {"band: cut 3, 53 x 94 mm\n  score 41 mm from the left edge\n",
         "4: 94 mm wrong, 25 mm (that is the sum of two others that stand there); "},
        {"band: cut 4, 53 x 25 mm\n  score 41 mm from the left edge\n", "4: 4 wrong, 3; "},
        {"band: cut 3, 1,125 x 25 mm\n  score 41 mm from the left edge\n",
         "4: 1,125 wrong, 53 mm (it can be read in more than one way, or not at all); "},
        {"band: cut 3, 53 x 25 mm\n  score 41 mm  one mark more than 41 from the left edge\n", "5: 41 wrong, 40 mm; "}};
    for (size_t i = 0; i < sizeof bands / sizeof *bands; i++) {
        struct sink text = {0};
        sink_format(&text, "%s%s", LID, bands[i][0]);
        findings_are(text.data, bands[i][1]);
        sink_drop(&text);
    }
    findings_are("lid: cut 1, 71 x 50 mm\n  score 10 mm from all four sides\n  opening hole: punch 30 x 20 mm\n" BAND,
                 "1: 71 wrong, 70 mm (rounded by itself; the settled list has another mark); ");
    findings_of(design_text, both, "# metric\n" LID "band: cut 3, 1 in across, 25 mm down\n  score 41 mm from the left edge\n",
                "5: 1 in wrong, 53 mm (the trimmer of this edition has no mark there); ");
    findings_of(design_text, both,
                "# metric\n" LID "band: cut 3, 2 1/8 in across, 25 mm down\n  score 41 mm from the left edge\n",
                "5: 2 1/8 in wrong, 53 mm (that is the figure of the edition imperial); ");
}

/* Of several alike: in their order if that is as near as any other; else each by its size. */
static void test_which_is_meant(void **state)
{
    (void)state;
    findings_are(LID "band: cut 3, 25 x 53 mm\n  score 41 mm from the left edge\n",
                 "4: 25 wrong, 53 mm (that is: cut down); 4: 53 mm wrong, 25 mm (that is: cut across); ");
    findings_are(
        "lid: cut 1, 70 x 50 mm\n  score 60 mm and 10 mm from the left edge, 10 and 40 mm from the top\n  opening hole: punch 30 x 20 mm\n" BAND,
        "");
    findings_are(
        "lid: cut 1, 70 x 50 mm\n  score 11 mm and 60 mm from the left edge, 10 and 40 mm from the top\n  opening hole: punch 30 x 20 mm\n" BAND,
        "2: 11 mm wrong, 10 mm (one mark too much); ");
    findings_are(LID "band: cut 3, 53 x 25 mm\n  score 41 mm from the left edge, 41 mm from the left edge\n", "");
    findings_are("lid: cut 1, 70 x 50 mm\n  score 11 mm from all four sides\n  opening hole: punch 30 x 20 mm\n" BAND,
                 "2: 11 mm wrong, 10 mm (one mark too much); ");
}

#define STRIP                                                                                                                  \
    "strip: cut 1, 80 x 30 mm\n  score 10 mm from the left edge\n  score 25 mm from the left edge\n  score 45 mm from the left edge\n"
#define SQUARE "square: cut 1, 40 x 40 mm\n"
#define BOX "box: cut 1, 52 x 70 mm\n  score 20 mm from the upper edge\n"
#define ROWS "  score 40 mm from the left edge, beside wall\n  score 12 mm from the left edge, beside top\n"

static void strips_are(const char *text, const char *wanted)
{
    findings_of(strips_text, metric, text, wanted);
}

static void test_several_alike(void **state)
{
    (void)state;
    strips_are(STRIP SQUARE BOX ROWS, "");
    strips_are(
        "strip: cut 1, 80 x 30 mm\n  score 25 mm from the left edge\n  score 25 mm from the left edge\n  score 45 mm from the left edge\n" SQUARE
            BOX ROWS,
        "2: 25 mm wrong, 10 mm (that is: score from the left edge); ");
    strips_are("strip: cut 1, 80 x 30 mm\n  score 10 mm from the left edge\n  score 10 mm from the left edge\n" SQUARE BOX ROWS,
               "3: 10 mm wrong (that is: score from the left edge); no strip score from the left edge; no strip score from the left edge; ");
    strips_are(STRIP "  the b is 15 mm\n" SQUARE BOX ROWS, "");
    strips_are(STRIP "  the b is 16 mm\n" SQUARE BOX ROWS, "5: 16 mm wrong, 15 mm (one mark too much); ");
    strips_are(STRIP "square: cut to 40 and 40 mm\n" BOX ROWS, "");
    strips_are("strip: cut to 30 and 81 mm\n  score 10, 25 and 45 mm from the left edge\n" SQUARE BOX ROWS,
               "1: 81 mm wrong, 80 mm (one mark too much); ");
    strips_are(STRIP SQUARE BOX "  score 12 mm from the left edge, beside wall\n  score 40 mm from the left edge, beside top\n",
               "8: 12 mm wrong, 40 mm (that is its distance from the other edge); 9: 40 mm wrong, 12 mm (that is its distance from the other edge); ");
}

static void test_what_is_missing(void **state)
{
    (void)state;
    findings_are(LID "band: 53 x 25 mm\n", "no band how many; no band score from the left edge; ");
    findings_are(LID, "no band how many; no band cut across; no band score from the left edge; no band cut down; ");
    findings_are("More pieces are on the page.\n" LID, "");
    findings_are("The scores are on the page.\nlid: cut 1, 70 x 50 mm\nhole: punch 30 x 20 mm\nband: cut 3, 53 x 25 mm\n", "");
    findings_are("The notes are on the page.\nlid: cut 1, 70 x 50 mm\n  score 10 mm from all four sides\n" BAND, "");
    findings_are("lid: cut 1, 70 x 50 mm\n  score 10 mm from all four sides\n" BAND,
                 "no hole punched across; no hole punched down; ");
    findings_are("Press the lid for ten minutes.\n", "");
    findings_of(design_text, both, "# metric\n" LID BAND, "");
    findings_of(design_text, both, LID "band: cut 3, 53 mm (2 1/8 in) across, 25 mm down\n  score 41 mm from the left edge\n",
                "");
}

/* The heading says it, else the unit, else which list fits best. */
static void test_which_edition(void **state)
{
    (void)state;
    findings_of(design_text, two_of_mm,
                "lid: cut 1, 70 x 50 mm\n  score 10 mm from all four sides\n  opening hole: punch 30 x 20 mm\n" BAND, "");
    findings_of(design_text, two_of_mm, "# coarse\n" LID BAND,
                "5: 53 wrong, 52 mm (that is the figure of the edition metric); 5: 25 mm wrong, 24 mm (that is the figure of the edition metric); "
                "6: 41 mm wrong, 40 mm (that is the figure of the edition metric); ");
}

/* A mark of 1/12 in is no short decimal, and is written as one. */
static void test_rounded_decimals(void **state)
{
    (void)state;
    static const char list[] = "a mark every 0.0833 in\nlid: cut 1, 2.8333 x 2 in\n  score 0.4167 in from all four sides\n"
                               "  opening hole: punch 30 x 20 mm\nband: cut 3, %s x 1 in, score 1.5833 in  one mark more than %s from the left edge\n";
    static const char *const bands[][3] = {
        {"2.0833", "1 1/2", ""},
        {"2.083", "1 1/2", ""},
        {"2.08", "1 1/2", "5: 2.08 wrong, 2.0833 in (the trimmer of this edition has no mark there); "},
        {"2.0832", "1 1/2", "5: 2.0832 wrong, 2.0833 in (the trimmer of this edition has no mark there); "},
        {"2.1667", "1 1/2", "5: 2.1667 wrong, 2.0833 in (one mark too much); "},
        {"2.8330", "1 1/2", "5: 2.8330 wrong, 2.0833 in (the trimmer of this edition has no mark there); "},
        {"2.0833", "1.4167", "5: 1.4167 wrong, 1 1/2 in; "}};
    for (size_t i = 0; i < sizeof bands / sizeof *bands; i++) {
        struct sink text = {0};
        sink_format(&text, list, bands[i][0], bands[i][1]);
        findings_of(design_text, twelfths, text.data, bands[i][2]);
        sink_drop(&text);
    }
}

/* 0.1000 mm of 0.10003 mm, without its zeros. */
static void test_rounded_without_zeros(void **state)
{
    (void)state;
    static const char edition[] = "edition metric unit mm marks 1 mm cut \xC2\xB1 0.10003 mm\n";
    findings_of(design_text, edition, "Edition metric: a mark every 1 mm, \xC2\xB1 0.1 mm.\n" LID BAND, "");
    findings_of(design_text, edition, "Edition metric: a mark every 1 mm, \xC2\xB1 0.1001 mm.\n" LID BAND,
                "1: 0.1001 mm. wrong, 0.1 mm; ");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_list_that_is_right), cmocka_unit_test(test_reasons),
        cmocka_unit_test(test_which_is_meant),       cmocka_unit_test(test_several_alike),
        cmocka_unit_test(test_what_is_missing),      cmocka_unit_test(test_which_edition),
        cmocka_unit_test(test_rounded_decimals),     cmocka_unit_test(test_rounded_without_zeros)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
