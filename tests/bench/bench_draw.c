/* bench_draw.c -- what drawing costs, and what everything else is spared: the program started without drawing, drawing as
 * SVG (no drawing library is loaded), as PDF and PNG by nearmark-draw, and a design published from end to end, which must
 * take less than two seconds. Best of several runs, in milliseconds.
 *
 *     bench_draw [PROGRAM]       (build/nearmark) */
#include <fcntl.h>
#include <spawn.h>
#include <stdbool.h>
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

/* most: nanoseconds that are still good; 0: any. */
static int measure(const char *name, char **words, int64_t most)
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
    bool good = !most || best <= most;
    printf("%-28s %9.2f ms%s\n", name, (double)best / 1e6, good ? "" : "  TOO LONG");
    return !good;
}

int main(int argc, char **argv)
{
    char *program = argc > 1 ? argv[1] : (char[]){"build/nearmark"}, design[] = NEARMARK_TESTS "/data/cover.design";
    char drawer[] = NEARMARK_TESTS "/data/drawer.design", folder[] = "build/published";
    int failed = measure("--version", (char *[]){program, "--version", NULL}, 0);
    failed += measure("cuts", (char *[]){program, "cuts", design, "--edition", "metric", NULL}, 0);
    failed += measure("draw, a page as SVG", (char *[]){program, "draw", design, "--edition", "metric", NULL}, 0);
    failed += measure("draw, a page as PDF",
                      (char *[]){program, "draw", design, "--edition", "metric", "--format", "pdf", NULL}, 0);
    failed += measure("draw, a picture as PNG", (char *[]){program, "draw", design, "--edition", "metric", "--view", "picture",
                                                           "--format", "png", NULL}, 0);
    failed += measure("publish, the demo's design", (char *[]){program, "publish", drawer, "-o", folder, "--force", NULL},
                      2000000000);
    return failed > 0;
}
