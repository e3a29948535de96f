#include "ground/waiting.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "ground/ending.h"

enum { FIRST_MS = 1000, AGAIN_MS = 200 };

static int64_t now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

void waiting_begin(struct waiting *w, const char *doing)
{
    const char *kind = getenv("TERM");
    *w = (struct waiting){.doing = doing, .shown = isatty(STDERR_FILENO) && kind && *kind && strcmp(kind, "dumb") != 0};
    w->next_ms = now_ms() + FIRST_MS;
}

bool waiting_go_on(void *waiting, uint64_t steps)
{
    struct waiting *w = waiting;
    w->steps = steps;
    int64_t now = w->shown ? now_ms() : 0;
    if (w->shown && now >= w->next_ms) {
        fprintf(stderr, "\r%s, %" PRIu64 " thousand steps so far; Ctrl-C stops it.", w->doing, steps / 1000);
        w->drawn = true;
        w->next_ms = now + AGAIN_MS;
    }
    return !ending_was_interrupted();
}

void waiting_end(struct waiting *w)
{
    if (w->drawn)
        fprintf(stderr, "\r\033[K");
    w->shown = w->drawn = false;
}
