/* bench_start.c -- how long the whole of `nearmark calc` takes, from fork to exit, against a program that links nothing but
 * GMP and adds the same two lengths. Both in turn, in the same run; the ratio of the medians may not be above 1.3.
 *
 *     bench_start [PROGRAM]       build/nearmark, or $NEARMARK, as a rule
 *
 * The other program is this one, called with --only-gmp: it links the C library and GMP alone. */
#define _GNU_SOURCE
#include <fcntl.h>
#include <gmp.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { ROUNDS = 1001, WARM = 50, MOST_PERCENT = 130 };

/* 4 7/16 in + 3 mm. */
static int add_with_gmp(void)
{
    mpq_t a, b;
    mpq_init(a);
    mpq_init(b);
    mpq_set_str(a, "9017/80", 10);
    mpq_set_si(b, 3, 1);
    mpq_add(a, a, b);
    gmp_printf("%Qd mm\n", a);
    mpq_clear(a);
    mpq_clear(b);
    return 0;
}

static int64_t now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000000000 + t.tv_nsec;
}

/* Nanoseconds from fork to exit; -1: it failed. */
static int64_t time_run(char *const words[])
{
    int64_t start = now();
    int status;
    pid_t child = vfork();
    if (!child) {
        execv(words[0], words);
        _exit(127);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || status)
        return -1;
    return now() - start;
}

static int compare(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

int main(int argc, char **argv)
{
    if (argc > 1 && !strcmp(argv[1], "--only-gmp"))
        return add_with_gmp();
    const char *given = argc > 1 ? argv[1] : getenv("NEARMARK");
    char *calc[] = {(char *)(given ? given : "build/nearmark"), "calc", "4 7/16 in + 3 mm", NULL};
    char *plain[] = {argv[0], "--only-gmp", NULL};
    static int64_t times[2][ROUNDS];
    int told = dup(1), nowhere = open("/dev/null", O_WRONLY);
    dup2(nowhere, 1);
    for (int i = -WARM; i < ROUNDS; i++) {
        int64_t ours = time_run(calc), theirs = time_run(plain);
        if (ours < 0 || theirs < 0) {
            fprintf(stderr, "%s cannot be run\n", ours < 0 ? calc[0] : plain[0]);
            return 2;
        }
        if (i >= 0) {
            times[0][i] = ours;
            times[1][i] = theirs;
        }
    }
    dup2(told, 1);
    for (int k = 0; k < 2; k++)
        qsort(times[k], ROUNDS, sizeof times[k][0], compare);
    int64_t ours = times[0][ROUNDS / 2], theirs = times[1][ROUNDS / 2];
    printf(
        "nearmark calc %lld us, with GMP alone %lld us (medians of %d runs, in turn); ratio %lld.%02lld, least against least "
        "%lld.%02lld\n",
        (long long)(ours / 1000), (long long)(theirs / 1000), ROUNDS, (long long)(ours / theirs),
        (long long)(ours * 100 / theirs % 100), (long long)(times[0][0] / times[1][0]),
        (long long)(times[0][0] * 100 / times[1][0] % 100));
    return ours * 100 > theirs * MOST_PERCENT;
}
