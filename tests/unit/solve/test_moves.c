/* The fewest moves: held against trying every order, and every answer carried out from the definition. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "solve/cutting/moves.h"
#include "unit/exact/biased.h"

enum { MOST_JOBS = 14, NONE_YET = 1000 };

static bool waits(const struct nmk_moves_problem *p, size_t job, uint32_t done)
{
    const struct nmk_moves_job *j = &p->jobs[job];
    if (j->after_job != NMK_MOVES_NONE)
        return !(done >> j->after_job & 1);
    if (j->after_group != NMK_MOVES_NONE)
        for (size_t i = 0; i < p->job_count; i++)
            if (p->jobs[i].group == j->after_group && !(done >> i & 1))
                return true;
    return false;
}

/* What is done after a move: all that can be, again and again until nothing more can. */
static uint32_t moved(const struct nmk_moves_problem *p, uint32_t done, size_t setting)
{
    for (size_t i = 0; i < p->job_count;)
        if (p->jobs[i].setting == setting && !(done >> i & 1) && !waits(p, i, done)) {
            done |= UINT32_C(1) << i;
            i = 0;
        } else {
            i++;
        }
    return done;
}

/* The fewest moves from each set, from the full one backward: fewest[set], by trying every setting. */
static size_t reference(const struct nmk_moves_problem *p)
{
    size_t count = (size_t)1 << p->job_count;
    uint16_t *fewest = calloc(count, sizeof *fewest);
    assert_non_null(fewest);
    for (size_t set = count - 1; set-- > 0;) { /* a move only adds to a set, so that the larger ones are known */
        fewest[set] = NONE_YET;
        for (size_t s = 0; s < p->setting_count; s++) {
            uint32_t next = moved(p, (uint32_t)set, s);
            if (next != set && fewest[next] + 1 < fewest[set])
                fewest[set] = (uint16_t)(fewest[next] + 1);
        }
    }
    size_t best = fewest[0];
    free(fewest);
    return best;
}

static void check(const struct nmk_moves_problem *p, const struct nmk_moves_answer *answer)
{
    uint32_t done = 0;
    for (size_t i = 0; i < answer->count; i++) {
        assert_true(answer->settings[i] < p->setting_count);
        done = moved(p, done, answer->settings[i]);
    }
    assert_int_equal(done, (UINT32_C(1) << p->job_count) - 1);
    assert_true(answer->bound <= answer->count);
}

/* Jobs one after the other, each waiting for nothing, for an earlier job, or for a group that is closed by then. */
static void guess(struct nmk_moves_problem *p, struct nmk_moves_job *jobs)
{
    size_t settings = 1 + biased_below(5), groups = 0, open = 0; /* groups before `open` get no more jobs */
    p->job_count = 1 + biased_below(MOST_JOBS);
    p->setting_count = settings;
    for (size_t i = 0; i < p->job_count; i++) {
        struct nmk_moves_job job = {biased_below(settings), 0, NMK_MOVES_NONE, NMK_MOVES_NONE};
        size_t kind = biased_below(4);
        if (i && kind < 2)
            job.after_job = biased_below(i);
        else if (groups && kind == 2) {
            job.after_group = biased_below(groups);
            open = job.after_group >= open ? job.after_group + 1 : open;
        }
        job.group = open < groups && biased_below(2) ? open + biased_below(groups - open) : groups;
        groups = job.group == groups ? groups + 1 : groups;
        jobs[i] = job;
    }
    p->jobs = jobs;
    p->group_count = groups;
}

static void test_random(void **state)
{
    (void)state;
    struct nmk_moves_job jobs[MOST_JOBS];
    unsigned long cases = biased_cases(400);
    size_t dearer = 0;
    for (unsigned long i = 0; i < cases; i++) {
        struct nmk_moves_problem p = {.effort = 100000000};
        struct nmk_moves_answer answer;
        guess(&p, jobs);
        assert_int_equal(nmk_moves_solve(&answer, &p), NMK_OK);
        check(&p, &answer);
        size_t fewest = reference(&p), used = 0;
        for (size_t s = 0; s < p.setting_count; s++) {
            bool any = false;
            for (size_t k = 0; k < p.job_count; k++)
                any = any || jobs[k].setting == s;
            used += any;
        }
        assert_int_equal(answer.count, fewest);
        assert_int_equal(answer.bound, fewest);
        dearer += fewest > used;
        nmk_moves_answer_clear(&answer);
    }
    biased_share("need a setting twice", dearer, cases, 0.125, 1);
}

/* With any effort the answer is an order that does everything, and the bound is one. */
static void test_every_effort(void **state)
{
    (void)state;
    struct nmk_moves_job jobs[MOST_JOBS];
    unsigned long cases = biased_cases(40);
    for (unsigned long i = 0; i < cases; i++) {
        struct nmk_moves_problem p = {.effort = 0};
        guess(&p, jobs);
        size_t fewest = reference(&p);
        for (uint64_t effort = 0; effort < 30000; effort += effort < 100 ? 7 : effort / 3) {
            struct nmk_moves_answer answer;
            p.effort = effort;
            assert_int_equal(nmk_moves_solve(&answer, &p), NMK_OK);
            check(&p, &answer);
            assert_true(answer.bound <= fewest && answer.count >= fewest);
            nmk_moves_answer_clear(&answer);
        }
    }
}

#define FREE NMK_MOVES_NONE, NMK_MOVES_NONE

static void test_by_hand(void **state)
{
    (void)state;
    /* 0 before 1 on one sheet, 1 before 0 on the other: one of the two comes twice */
    const struct nmk_moves_job crossed[] = {{0, 0, FREE}, {1, 1, 0, NMK_MOVES_NONE}, {1, 2, FREE}, {0, 3, 2, NMK_MOVES_NONE}};
    /* the same where the second of each waits for the whole group of both firsts: all firsts, then all seconds */
    const struct nmk_moves_job grouped[] = {{0, 0, FREE}, {1, 0, FREE}, {0, 1, NMK_MOVES_NONE, 0}, {1, 1, NMK_MOVES_NONE, 0}};
    /* one after the other at one setting: one move */
    const struct nmk_moves_job run[] = {{0, 0, FREE}, {0, 1, 0, NMK_MOVES_NONE}, {0, 2, NMK_MOVES_NONE, 1}};
    const struct {
        struct nmk_moves_problem problem;
        size_t count;
    } rows[] = {
        {{.job_count = 4, .setting_count = 2, .group_count = 4, .jobs = crossed, .effort = 10000}, 3},
        {{.job_count = 4, .setting_count = 2, .group_count = 2, .jobs = grouped, .effort = 10000}, 3},
        {{.job_count = 3, .setting_count = 1, .group_count = 3, .jobs = run, .effort = 10000}, 1},
        {{.job_count = 0, .setting_count = 0, .group_count = 0, .effort = 10000}, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_moves_answer answer;
        assert_int_equal(nmk_moves_solve(&answer, &rows[i].problem), NMK_OK);
        assert_int_equal(answer.count, rows[i].count);
        assert_int_equal(answer.bound, rows[i].count);
        nmk_moves_answer_clear(&answer);
    }
}

static void test_what_is_refused(void **state)
{
    (void)state;
    struct nmk_moves_answer answer = {.count = 77};
    const struct nmk_moves_job rows[][2] = {
        {{0, 0, FREE}, {2, 0, FREE}},                              /* no such setting */
        {{0, 0, FREE}, {0, 2, FREE}},                              /* no such group */
        {{0, 0, FREE}, {0, 0, 1, NMK_MOVES_NONE}},                 /* after itself */
        {{0, 0, FREE}, {0, 1, NMK_MOVES_NONE, 1}},                 /* after its own group */
        {{0, 0, NMK_MOVES_NONE, 1}, {0, 1, FREE}},                 /* after what stands later */
        {{0, 0, FREE}, {0, 1, 0, 0}},                              /* after both */
        {{0, 0, FREE}, {0, 1, NMK_MOVES_NONE, 5}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_moves_problem p = {.job_count = 2, .setting_count = 2, .group_count = 2, .jobs = rows[i], .effort = 1000};
        assert_int_equal(nmk_moves_solve(&answer, &p), NMK_INVALID);
    }
    assert_int_equal(nmk_moves_solve(NULL, &(struct nmk_moves_problem){.job_count = 0}), NMK_INVALID);
    assert_int_equal(answer.count, 77);
}

static bool stop(void *context, uint64_t steps)
{
    (void)context;
    return steps == UINT64_MAX;
}

/* Sixty sheets, each with its own order of twelve settings: far more than can be tried. The search is asked to stop; left
 * alone it ends with an order and a bound below it. */
static void test_too_much_to_try(void **state)
{
    (void)state;
    enum { SHEETS = 60, EACH = 12 };
    static struct nmk_moves_job jobs[SHEETS * EACH];
    for (size_t i = 0; i < SHEETS * EACH; i++)
        jobs[i] = (struct nmk_moves_job){biased_below(EACH), i, i % EACH ? i - 1 : NMK_MOVES_NONE, NMK_MOVES_NONE};
    struct nmk_moves_problem p = {
        .job_count = SHEETS * EACH, .setting_count = EACH, .group_count = SHEETS * EACH, .jobs = jobs, .effort = 4000000};
    struct nmk_moves_answer narrow, wide;
    assert_int_equal(nmk_moves_solve(&wide, &p), NMK_OK);
    assert_true(wide.bound < wide.count);
    p.effort = 0;
    assert_int_equal(nmk_moves_solve(&narrow, &p), NMK_OK);
    assert_true(wide.count <= narrow.count);
    nmk_moves_answer_clear(&narrow);
    nmk_moves_answer_clear(&wide);
    p.effort = 40000000;
    p.progress = stop;
    assert_int_equal(nmk_moves_solve(&wide, &p), NMK_STOPPED);
}

int main(void)
{
    biased_start();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random),  cmocka_unit_test(test_every_effort), cmocka_unit_test(test_by_hand),
        cmocka_unit_test(test_what_is_refused), cmocka_unit_test(test_too_much_to_try),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
