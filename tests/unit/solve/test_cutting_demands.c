/* Few kinds of pieces, many of each, against a slow search written from the definition. The seed is printed and accepted
 * back in NMK_SEED; NMK_TIMES multiplies the cases.
 *
 * valgrind: no, the slow search would take minutes; the sanitizers run it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <string.h>

#include "nearmark/cutting.h"
#include "unit/exact/biased.h"

enum { LOTS = 3, LONGEST = 7, MOST_EACH = 6, MOST_DEMAND = 14 };

struct question {
    struct nmk_cutting_piece pieces[LOTS];
    struct nmk_cutting_kind sheet;
    int64_t reach;
};

static struct question question;
/* known[a][b][c][w][h]: can a, b, c of the three be cut from w x h? 0 not yet, 1 yes, -1 no */
static signed char known[MOST_EACH + 1][MOST_EACH + 1][MOST_EACH + 1][LONGEST + 1][LONGEST + 1];

static bool fits(const int *n, int64_t width, int64_t height);

static bool is_one_piece(const int *n, int64_t width, int64_t height)
{
    for (int i = 0; i < LOTS; i++) {
        const struct nmk_cutting_piece *p = &question.pieces[i];
        if (n[i] == 1 && n[0] + n[1] + n[2] == 1)
            return (p->width == width && p->height == height) || (p->may_turn && p->height == width && p->width == height);
    }
    return false;
}

static bool may_cut(int64_t at, int64_t whole)
{
    return !question.reach || at <= question.reach || whole - at <= question.reach;
}

static bool fits_cut(const int *first, const int *second, int64_t width, int64_t height)
{
    for (int64_t at = 1; at < width; at++)
        if (may_cut(at, width) && fits(first, at, height) && fits(second, width - at, height))
            return true;
    for (int64_t at = 1; at < height; at++)
        if (may_cut(at, height) && fits(first, width, at) && fits(second, width, height - at))
            return true;
    return false;
}

static bool can_be_cut(const int *n, int64_t width, int64_t height)
{
    int part[LOTS], rest[LOTS];
    for (part[0] = 0; part[0] <= n[0]; part[0]++)
        for (part[1] = 0; part[1] <= n[1]; part[1]++)
            for (part[2] = 0; part[2] <= n[2]; part[2]++) {
                for (int i = 0; i < LOTS; i++)
                    rest[i] = n[i] - part[i];
                if (fits_cut(part, rest, width, height))
                    return true;
            }
    return false;
}

static int64_t area(const int *n)
{
    int64_t sum = 0;
    for (int i = 0; i < LOTS; i++)
        sum += n[i] * question.pieces[i].width * question.pieces[i].height;
    return sum;
}

static bool fits(const int *n, int64_t width, int64_t height)
{
    if (n[0] + n[1] + n[2] == 0)
        return true;
    if (area(n) > width * height)
        return false;
    signed char *k = &known[n[0]][n[1]][n[2]][width][height];
    if (!*k)
        *k = is_one_piece(n, width, height) || can_be_cut(n, width, height) ? 1 : -1;
    return *k > 0;
}

/* fewest[a][b][c] for all counts up to the demands */
static int64_t fewest_sheets(void)
{
    static int64_t fewest[MOST_DEMAND + 1][MOST_DEMAND + 1][MOST_DEMAND + 1];
    static int patterns[343][LOTS];
    int count = 0, n[LOTS];
    memset(known, 0, sizeof known);
    for (n[0] = 0; n[0] <= MOST_EACH; n[0]++)
        for (n[1] = 0; n[1] <= MOST_EACH; n[1]++)
            for (n[2] = 0; n[2] <= MOST_EACH; n[2]++)
                if (n[0] + n[1] + n[2] > 0 && fits(n, question.sheet.width, question.sheet.height))
                    memcpy(patterns[count++], n, sizeof n);
    const struct nmk_cutting_piece *p = question.pieces;
    for (int64_t a = 0; a <= p[0].demand; a++)
        for (int64_t b = 0; b <= p[1].demand; b++)
            for (int64_t c = 0; c <= p[2].demand; c++) {
                int64_t best = a + b + c == 0 ? 0 : INT64_MAX;
                for (int i = 0; i < count; i++) {
                    int64_t x = a - patterns[i][0], y = b - patterns[i][1], z = c - patterns[i][2];
                    x = x < 0 ? 0 : x;
                    y = y < 0 ? 0 : y;
                    z = z < 0 ? 0 : z;
                    if (x + y + z < a + b + c && fewest[x][y][z] + 1 < best)
                        best = fewest[x][y][z] + 1;
                }
                fewest[a][b][c] = best;
            }
    return fewest[p[0].demand][p[1].demand][p[2].demand];
}

static int64_t between(int64_t low, int64_t high)
{
    return low + (int64_t)biased_below((uint64_t)(high - low + 1));
}

/* No more than six of a kind go on a sheet. */
static void draw(void)
{
    question.sheet = (struct nmk_cutting_kind){between(3, LONGEST), between(3, LONGEST)};
    question.reach = biased_below(4) ? 0 : between(1, LONGEST);
    for (int i = 0; i < LOTS; i++) {
        struct nmk_cutting_piece *p = &question.pieces[i];
        do
            *p = (struct nmk_cutting_piece){between(1, question.sheet.width), between(1, question.sheet.height), 0,
                                            biased_below(2) == 1};
        while (p->width * p->height * (MOST_EACH + 1) <= question.sheet.width * question.sheet.height);
        p->demand = between(0, MOST_DEMAND);
    }
}

static void check(bool right, unsigned long number, const char *what)
{
    if (!right) {
        printf("# sheet %d x %d, reach %d\n", (int)question.sheet.width, (int)question.sheet.height, (int)question.reach);
        for (int i = 0; i < LOTS; i++)
            printf("# piece %d x %d, %d of it%s\n", (int)question.pieces[i].width, (int)question.pieces[i].height,
                   (int)question.pieces[i].demand, question.pieces[i].may_turn ? ", may be turned" : "");
    }
    biased_check(right, number, what, NULL, NULL);
}

static void test_large_demands_take_the_fewest_sheets(void **state)
{
    (void)state;
    unsigned long cases = biased_cases(1200), proved = 0;
    for (unsigned long n = 0; n < cases; n++) {
        struct nmk_cutting_answer answer;
        const char *why = NULL;
        draw();
        struct nmk_cutting_problem problem = {.piece_count = LOTS, .kind_count = 1, .pieces = question.pieces,
                                              .kinds = &question.sheet, .reach = question.reach, .effort = 100000000,
                                              .any_settings = true, .any_offcut = true};
        int64_t sheets = fewest_sheets();
        check(nmk_cutting_solve(&answer, &problem) == NMK_OK, n, "it is solved");
        check(nmk_cutting_check(&problem, &answer, &why), n, why ? why : "the checker");
        check(answer.bound <= sheets && answer.sheets >= sheets, n, "the bound and the plan");
        proved += answer.outcome == NMK_CUTTING_PROVED;
        nmk_cutting_answer_clear(&answer);
    }
    biased_share("are proved", proved, cases, 0.9, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_large_demands_take_the_fewest_sheets),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
