/* progress.h -- how far long work is, on a terminal: one line of standard error, gone when the work is done. */
#ifndef TOOLS_GROUND_PROGRESS_H
#define TOOLS_GROUND_PROGRESS_H

#include <stdbool.h>
#include <stdint.h>

struct progress {
    bool shown;        /* standard error is a terminal that can */
    int64_t total;
    int64_t next_ms;   /* when it is drawn again */
    bool drawn;
};

/* `beside_rows`: rows go to the same terminal all the while, so that no line is drawn. */
void progress_begin(struct progress *p, int64_t total, bool beside_rows);
void progress_tell(struct progress *p, int64_t done); /* draws at most ten times a second, and not in the first half second */
void progress_end(struct progress *p);

#endif
