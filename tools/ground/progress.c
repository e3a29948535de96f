#include "ground/progress.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { FIRST_MS = 500, AGAIN_MS = 100, CELLS = 30 };

static int64_t now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

static bool is_terminal(void)
{
    const char *kind = getenv("TERM");
    return isatty(STDERR_FILENO) && kind && *kind && strcmp(kind, "dumb") != 0;
}

void progress_begin(struct progress *p, int64_t total, bool beside_rows)
{
    *p = (struct progress){.shown = total > 0 && !beside_rows && is_terminal(), .total = total};
    if (p->shown)
        p->next_ms = now_ms() + FIRST_MS;
}

static void draw(struct progress *p, int64_t done)
{
    char bar[CELLS + 1];
    int64_t filled = done * CELLS / p->total;
    for (int i = 0; i < CELLS; i++)
        bar[i] = i < filled ? '#' : '.';
    bar[CELLS] = '\0';
    fprintf(stderr, "\r[%s] %3" PRId64 " %%  %" PRId64 " of %" PRId64, bar, done * 100 / p->total, done, p->total);
    p->drawn = true;
}

void progress_tell(struct progress *p, int64_t done)
{
    int64_t now = p->shown ? now_ms() : 0;
    if (!p->shown || now < p->next_ms)
        return;
    draw(p, done);
    p->next_ms = now + AGAIN_MS;
}

void progress_end(struct progress *p)
{
    if (p->drawn)
        fprintf(stderr, "\r\033[K");
    *p = (struct progress){0};
}
