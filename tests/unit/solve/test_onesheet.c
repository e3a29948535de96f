/* One sheet, decided exactly, without the quick plans that usually come first: against a search from the definition. The
 * seed is printed and accepted back in NMK_SEED; NMK_TIMES multiplies the cases.
 *
 * valgrind: no, the slow search would take minutes; the sanitizers run it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <string.h>

#include "solve/cutting/onesheet.h"
#include "unit/exact/biased.h"
#include "unit/solve/instances.h"

enum { MOST = 8, LONGEST = 11 };

struct plain {
    int count;
    struct nmk_cutting_piece pieces[MOST]; /* one of each */
    struct nmk_cutting_kind sheet;
    int64_t reach;
    signed char known[1 << MOST][LONGEST + 1][LONGEST + 1];
};

static struct plain plain;

static bool fits(unsigned set, int64_t width, int64_t height);

static int64_t area_of(unsigned set)
{
    int64_t area = 0;
    for (int i = 0; i < plain.count; i++)
        if (set >> i & 1)
            area += plain.pieces[i].width * plain.pieces[i].height;
    return area;
}

static bool is_piece(unsigned set, int64_t width, int64_t height)
{
    for (int i = 0; i < plain.count; i++) {
        const struct nmk_cutting_piece *p = &plain.pieces[i];
        if (set == 1u << i)
            return (p->width == width && p->height == height) || (p->may_turn && p->height == width && p->width == height);
    }
    return false;
}

static bool may_cut(int64_t at, int64_t whole)
{
    return !plain.reach || at <= plain.reach || whole - at <= plain.reach;
}

static bool can_be_cut(unsigned set, int64_t width, int64_t height)
{
    for (unsigned part = set;; part = (part - 1) & set) {
        for (int64_t at = 1; at < width; at++)
            if (may_cut(at, width) && fits(part, at, height) && fits(set ^ part, width - at, height))
                return true;
        for (int64_t at = 1; at < height; at++)
            if (may_cut(at, height) && fits(part, width, at) && fits(set ^ part, width, height - at))
                return true;
        if (!part)
            return false;
    }
}

static bool fits(unsigned set, int64_t width, int64_t height)
{
    if (!set)
        return true;
    if (area_of(set) > width * height)
        return false;
    signed char *known = &plain.known[set][width][height];
    if (!*known)
        *known = is_piece(set, width, height) || can_be_cut(set, width, height) ? 1 : -1;
    return *known > 0;
}

static int64_t between(int64_t low, int64_t high)
{
    return low + (int64_t)biased_below((uint64_t)(high - low + 1));
}

/* The sheet cut up, by a pinwheel first now and then; then a few sizes changed by one. */
static void draw(void)
{
    int64_t w = between(4, LONGEST), h = biased_below(2) ? w : between(4, LONGEST);
    int wanted = (int)between(4, MOST), turning = (int)biased_below(3);
    plain.sheet = (struct nmk_cutting_kind){w, h};
    plain.reach = biased_below(3) ? 0 : between(1, LONGEST);
    plain.count = 1;
    plain.pieces[0] = (struct nmk_cutting_piece){w, h, 1, false};
    if (wanted >= 5 && biased_below(2)) {
        int64_t a = between(1, w - 2), b = between(1, h - 2), c = between(a + 1, w - 1), e = between(b + 1, h - 1);
        const struct nmk_cutting_piece wheel[] = {{c, b, 1, false}, {w - c, e, 1, false}, {w - a, h - e, 1, false},
                                                  {a, h - b, 1, false}, {c - a, e - b, 1, false}};
        memcpy(plain.pieces, wheel, sizeof wheel);
        plain.count = 5;
    }
    for (int tries = 0; plain.count < wanted && tries < 40; tries++) {
        struct nmk_cutting_piece *p = &plain.pieces[biased_below((uint64_t)plain.count)], half = *p;
        bool across = biased_below(2);
        int64_t size = across ? p->width : p->height;
        if (size < 2)
            continue;
        int64_t at = between(1, size - 1);
        *(across ? &p->width : &p->height) = at;
        *(across ? &half.width : &half.height) = size - at;
        plain.pieces[plain.count++] = half;
    }
    for (int i = 0; i < plain.count; i++) {
        struct nmk_cutting_piece *p = &plain.pieces[i];
        p->may_turn = turning == 2 ? biased_below(2) : turning == 1;
        if (biased_below(6) == 0 && p->width > 1)
            p->width--;
        if (i && biased_below(4) == 0) /* one like another, which makes room or takes it */
            *p = plain.pieces[biased_below((uint64_t)i)];
    }
}

static void print_plain(void)
{
    printf("# sheet %d x %d, reach %d\n", (int)plain.sheet.width, (int)plain.sheet.height, (int)plain.reach);
    for (int i = 0; i < plain.count; i++)
        printf("# piece %d x %d%s\n", (int)plain.pieces[i].width, (int)plain.pieces[i].height,
               plain.pieces[i].may_turn ? ", may be turned" : "");
}

static enum nmk_fit decide(const struct nmk_cutting_problem *problem, struct nmk_onesheet *room, struct nmk_builds *out,
                           uint32_t *root)
{
    struct nmk_cutjob job;
    struct nmk_duals duals;
    nmk_cutjob_init(&job, problem);
    nmk_duals_init(&duals, &job, 40);
    enum nmk_fit fit = NMK_FIT_NO;
    if (duals.bound <= 1)
        fit = nmk_onesheet_try(room, &job, &duals, job.all, &job.formats[0], out, root);
    nmk_duals_clear(&duals);
    nmk_cutjob_clear(&job);
    return fit;
}

static void test_fitting_is_that_of_the_definition(void **state)
{
    (void)state;
    unsigned long cases = biased_cases(800), yes = 0;
    struct nmk_onesheet room = {0};
    for (unsigned long n = 0; n < cases; n++) {
        draw();
        memset(plain.known, 0, sizeof plain.known);
        bool right = fits((1u << plain.count) - 1, plain.sheet.width, plain.sheet.height);
        bool too_big = false;
        for (int i = 0; i < plain.count; i++) /* as the planner has asked before */
            too_big = too_big || !fits(1u << i, plain.sheet.width, plain.sheet.height);
        struct nmk_cutting_problem problem = {.piece_count = (size_t)plain.count, .kind_count = 1, .pieces = plain.pieces,
                                              .kinds = &plain.sheet, .reach = plain.reach};
        struct nmk_builds out = {0};
        uint32_t root = 0;
        enum nmk_fit fit = too_big ? NMK_FIT_NO : decide(&problem, &room, &out, &root);
        if (fit != (right ? NMK_FIT_YES : NMK_FIT_NO))
            print_plain();
        biased_check(fit == (right ? NMK_FIT_YES : NMK_FIT_NO), n, "it fits or does not", NULL, NULL);
        yes += right;
        nmk_builds_clear(&out);
    }
    nmk_onesheet_clear(&room);
    biased_share("fit", yes, cases, 0.05, 0.9);
}

/* Long sizes, whose sums run over several words; a sheet beyond the size for which sums are marked. */
static void test_long_sizes_are_decided_too(void **state)
{
    (void)state;
    struct nmk_onesheet room = {0};
    for (int64_t times = 1; times < 2000; times = times * 5 / 2 + 1) {
        struct nmk_cutting_piece pieces[] = {{61 * times, 40 * times, 1, false}, {39 * times + 1, 70 * times, 1, false},
                                             {30 * times, 60 * times - 1, 1, false}, {30 * times, 29 * times, 1, false}};
        struct nmk_cutting_kind sheet = {100 * times + 1, 100 * times - 1};
        struct nmk_cutting_problem problem = {.piece_count = 4, .kind_count = 1, .pieces = pieces, .kinds = &sheet};
        struct nmk_builds out = {0};
        uint32_t root = 0;
        assert_int_equal(decide(&problem, &room, &out, &root), NMK_FIT_YES);
        assert_true(out.at[root].width <= sheet.width && out.at[root].height <= sheet.height);
        nmk_builds_clear(&out);
        sheet.width--;
        assert_int_equal(decide(&problem, &room, NULL, NULL), NMK_FIT_NO);
    }
    nmk_onesheet_clear(&room);
}

static void test_published_sheets_without_quick_plans(void **state)
{
    (void)state;
    static const char *const names[] = {"E00N10", "E02F17", "E03N16", "E05F15", "E10N10", "E15N10"};
    struct nmk_onesheet room = {0};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        for (int turning = 0; turning < 2; turning++) {
            static struct instance instance;
            assert_true(instance_read(&instance, "onesheet", names[i], turning));
            struct nmk_cutting_problem problem = instance_problem(&instance);
            bool right = turning && i > 0; /* values.csv */
            assert_int_equal(decide(&problem, &room, NULL, NULL), right ? NMK_FIT_YES : NMK_FIT_NO);
        }
    nmk_onesheet_clear(&room);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fitting_is_that_of_the_definition),
        cmocka_unit_test(test_long_sizes_are_decided_too),
        cmocka_unit_test(test_published_sheets_without_quick_plans),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
