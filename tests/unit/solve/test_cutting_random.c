/* Random small questions against a slow search written from the definition: every cut at every whole place, every way of
 * sharing the pieces out. The seed is printed and accepted back in NMK_SEED; NMK_TIMES multiplies the cases.
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
#include "solve/cutting/fewest.h"
#include "unit/exact/biased.h"

enum { MOST = 7, LONGEST = 10 };

struct plain { /* a question with every piece by itself */
    int count;
    int64_t width[MOST], height[MOST];
    bool may_turn[MOST];
    int64_t reach;
    signed char known[1 << MOST][LONGEST + 1][LONGEST + 1]; /* 0: not yet; 1 yes, -1 no */
};

static struct plain plain;

static bool fits(struct plain *p, unsigned set, int64_t width, int64_t height);

static bool is_piece(const struct plain *p, unsigned set, int64_t width, int64_t height)
{
    int i = 0;
    while (!(set >> i & 1))
        i++;
    if (set != 1u << i)
        return false;
    return (p->width[i] == width && p->height[i] == height) ||
           (p->may_turn[i] && p->height[i] == width && p->width[i] == height);
}

static bool may_cut(const struct plain *p, int64_t at, int64_t whole)
{
    return !p->reach || at <= p->reach || whole - at <= p->reach;
}

static bool can_be_cut(struct plain *p, unsigned set, int64_t width, int64_t height)
{
    for (unsigned part = set;; part = (part - 1) & set) {
        for (int64_t at = 1; at < width; at++)
            if (may_cut(p, at, width) && fits(p, part, at, height) && fits(p, set ^ part, width - at, height))
                return true;
        for (int64_t at = 1; at < height; at++)
            if (may_cut(p, at, height) && fits(p, part, width, at) && fits(p, set ^ part, width, height - at))
                return true;
        if (!part)
            return false;
    }
}

static bool fits(struct plain *p, unsigned set, int64_t width, int64_t height)
{
    if (!set)
        return true;
    signed char *known = &p->known[set][width][height];
    if (!*known)
        *known = is_piece(p, set, width, height) || can_be_cut(p, set, width, height) ? 1 : -1;
    return *known > 0;
}

static int64_t fewest(struct plain *p, const struct nmk_cutting_problem *problem)
{
    int64_t best[1 << MOST] = {0};
    memset(p->known, 0, sizeof p->known);
    for (unsigned set = 1; set < 1u << p->count; set++) {
        best[set] = INT64_MAX;
        for (unsigned part = set; part; part = (part - 1) & set)
            for (size_t k = 0; k < problem->kind_count; k++)
                if (best[set ^ part] < INT64_MAX && best[set ^ part] + 1 < best[set] &&
                    fits(p, part, problem->kinds[k].width, problem->kinds[k].height))
                    best[set] = best[set ^ part] + 1;
    }
    return best[(1u << p->count) - 1];
}

static int64_t up_to(int64_t most)
{
    return 1 + (int64_t)biased_below((uint64_t)most);
}

struct drawn {
    struct nmk_cutting_piece pieces[MOST];
    struct nmk_cutting_kind kinds[2];
    struct nmk_cutting_problem problem;
};

/* A tight question: the sheet cut up, by a pinwheel first now and then, and then one size changed by one now and then.
 * Only whether such pieces fit is hard to decide. */
struct rectangle {
    int64_t width, height;
};

static int cut_up(struct rectangle *parts, int64_t width, int64_t height, int wanted)
{
    int count = 1;
    parts[0] = (struct rectangle){width, height};
    if (wanted >= 5 && width >= 3 && height >= 3 && biased_below(3) == 0) {
        int64_t a = up_to(width - 2), b = up_to(height - 2), c = a + up_to(width - a - 1), e = b + up_to(height - b - 1);
        parts[0] = (struct rectangle){c, b};
        parts[1] = (struct rectangle){width - c, e};
        parts[2] = (struct rectangle){width - a, height - e};
        parts[3] = (struct rectangle){a, height - b};
        parts[4] = (struct rectangle){c - a, e - b};
        count = 5;
    }
    for (int tries = 0; count < wanted && tries < 30; tries++) {
        struct rectangle *r = &parts[biased_below((uint64_t)count)];
        int64_t *side = biased_below(2) ? &r->width : &r->height;
        if (*side < 2)
            continue;
        int64_t at = up_to(*side - 1);
        parts[count] = *r;
        *(side == &r->width ? &parts[count].width : &parts[count].height) = *side - at;
        *side = at;
        count++;
    }
    return count;
}

static void draw_tight(struct drawn *d, struct plain *p)
{
    struct rectangle parts[MOST];
    d->kinds[0] = (struct nmk_cutting_kind){1 + up_to(LONGEST - 1), 1 + up_to(LONGEST - 1)};
    if (biased_below(2))
        d->kinds[0].height = d->kinds[0].width;
    p->count = cut_up(parts, d->kinds[0].width, d->kinds[0].height, 2 + (int)biased_below(MOST - 1));
    int turning = (int)biased_below(3);
    for (int i = 0; i < p->count; i++) {
        if (biased_below(20) == 0)
            parts[i].width += biased_below(2) && parts[i].width > 1 ? -1 : 1;
        bool turn = turning == 2 ? biased_below(2) == 1 : turning == 1;
        bool swap = turn && biased_below(2);
        p->width[i] = swap ? parts[i].height : parts[i].width;
        p->height[i] = swap ? parts[i].width : parts[i].height;
        p->may_turn[i] = turn;
        d->pieces[i] = (struct nmk_cutting_piece){p->width[i], p->height[i], 1, turn};
    }
    p->reach = biased_below(4) ? 0 : up_to(LONGEST);
    d->problem = (struct nmk_cutting_problem){.piece_count = (size_t)p->count, .kind_count = 1, .pieces = d->pieces,
                                              .kinds = d->kinds, .reach = p->reach};
}

static void draw(struct drawn *d, struct plain *p)
{
    int64_t longest = 2 + up_to(LONGEST - 2);
    int turning = (int)biased_below(3);
    size_t kinds = biased_below(4) ? 1 : 2;
    for (size_t k = 0; k < kinds; k++)
        d->kinds[k] = (struct nmk_cutting_kind){up_to(longest), up_to(longest)};
    size_t wanted = (size_t)up_to(MOST), pieces = 0;
    p->count = 0;
    while ((size_t)p->count < wanted) {
        struct nmk_cutting_piece piece = {up_to(longest), up_to(longest), 0,
                                          turning == 2 ? biased_below(2) == 1 : turning == 1};
        piece.demand = up_to(biased_below(3) ? 1 : (int64_t)wanted - p->count);
        for (int64_t n = 0; n < piece.demand; n++) {
            p->width[p->count] = piece.width;
            p->height[p->count] = piece.height;
            p->may_turn[p->count++] = piece.may_turn;
        }
        d->pieces[pieces++] = piece;
    }
    p->reach = biased_below(3) ? 0 : up_to(longest);
    d->problem = (struct nmk_cutting_problem){.piece_count = pieces, .kind_count = kinds, .pieces = d->pieces,
                                              .kinds = d->kinds, .reach = p->reach};
}

static void print_question(const struct nmk_cutting_problem *p)
{
    for (size_t i = 0; i < p->kind_count; i++)
        printf("# sheet %d x %d, reach %d\n", (int)p->kinds[i].width, (int)p->kinds[i].height, (int)p->reach);
    for (size_t i = 0; i < p->piece_count; i++)
        printf("# piece %d x %d, %d of it%s\n", (int)p->pieces[i].width, (int)p->pieces[i].height,
               (int)p->pieces[i].demand, p->pieces[i].may_turn ? ", may be turned" : "");
}

/* The exact search alone, from one sheet up, with nothing found quickly before. */
static int64_t fewest_by_search(const struct nmk_cutting_problem *problem)
{
    struct nmk_cutjob job;
    struct nmk_duals duals;
    struct nmk_fewest search;
    struct nmk_cutplan plan = {0};
    int64_t sheets = 1;
    nmk_cutjob_init(&job, problem);
    nmk_duals_init(&duals, &job, 40);
    nmk_fewest_init(&search, &job, &duals);
    while (nmk_fewest_try(&search, sheets, &plan) == NMK_FIT_NO)
        sheets++;
    bool right = plan.total <= sheets && plan.total > 0;
    nmk_fewest_clear(&search);
    nmk_cutplan_clear(&plan);
    nmk_duals_clear(&duals);
    nmk_cutjob_clear(&job);
    return right ? sheets : -1;
}

static void check(bool right, unsigned long number, const struct nmk_cutting_problem *problem, const char *what)
{
    if (!right)
        print_question(problem);
    biased_check(right, number, what, NULL, NULL);
}

static void test_the_fewest_sheets_are_those_of_the_definition(void **state)
{
    (void)state;
    unsigned long cases = biased_cases(600);
    unsigned long planned = 0;
    for (unsigned long n = 0; n < cases; n++) {
        struct drawn d;
        struct nmk_cutting_answer answer;
        const char *why = NULL;
        if (n % 2)
            draw_tight(&d, &plain);
        else
            draw(&d, &plain);
        int64_t sheets = fewest(&plain, &d.problem);
        check(nmk_cutting_solve(&answer, &d.problem) == NMK_OK, n, &d.problem, "it is solved");
        check(nmk_cutting_check(&d.problem, &answer, &why), n, &d.problem, why ? why : "the checker");
        if (sheets == INT64_MAX) {
            check(answer.outcome == NMK_CUTTING_TOO_BIG, n, &d.problem, "a piece is too big");
        } else {
            planned++;
            check(answer.outcome == NMK_CUTTING_PROVED, n, &d.problem, "it is proved");
            check(answer.sheets == sheets, n, &d.problem, "the fewest sheets");
            check(fewest_by_search(&d.problem) == sheets, n, &d.problem, "the fewest sheets by search");
        }
        nmk_cutting_answer_clear(&answer);
    }
    biased_share("fit on sheets", planned, cases, 0.125, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_fewest_sheets_are_those_of_the_definition),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
