/* bench_draw.c -- what drawing costs, and what everything else is spared: the program started without drawing, drawing as
 * SVG (no drawing library is loaded), and as PDF and PNG by nearmark-draw. Best of several runs, in milliseconds.
 *
 *     bench_draw [PROGRAM]       (build/nearmark) */
#include <fcntl.h>
#include <spawn.h>
#include <stdint.h>
#include <stdio.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

extern char **environ;

enum { RUNS = 12 };

static int64_t now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000000000 + t.tv_nsec;
}

/* Nanoseconds; -1: it did not end well. */
static int64_t run(char **words)
{
    pid_t child;
    int status = 0;
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    int64_t start = now();
    int error = posix_spawn(&child, words[0], &actions, NULL, words, environ);
    if (!error)
        waitpid(child, &status, 0);
    posix_spawn_file_actions_destroy(&actions);
    return error || !WIFEXITED(status) || WEXITSTATUS(status) ? -1 : now() - start;
}

static int measure(const char *name, char **words)
{
    int64_t best = INT64_MAX;
    for (int i = 0; i < RUNS; i++) {
        int64_t took = run(words);
        if (took < 0) {
            fprintf(stderr, "%s: it did not end well\n", name);
            return 1;
        }
        best = took < best ? took : best;
    }
    printf("%-28s %9.2f ms\n", name, (double)best / 1e6);
    return 0;
}

int main(int argc, char **argv)
{
    char *program = argc > 1 ? argv[1] : (char[]){"build/nearmark"}, design[] = NEARMARK_TESTS "/data/cover.design";
    int failed = measure("--version", (char *[]){program, "--version", NULL});
    failed += measure("cuts", (char *[]){program, "cuts", design, "--edition", "metric", NULL});
    failed += measure("draw, a page as SVG", (char *[]){program, "draw", design, "--edition", "metric", NULL});
    failed += measure("draw, a page as PDF",
                      (char *[]){program, "draw", design, "--edition", "metric", "--format", "pdf", NULL});
    failed += measure("draw, a picture as PNG", (char *[]){program, "draw", design, "--edition", "metric", "--view", "picture",
                                                           "--format", "png", NULL});
    return failed > 0;
}
