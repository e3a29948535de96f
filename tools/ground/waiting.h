/* waiting.h -- a line on the terminal while something long is worked out. */
#ifndef TOOLS_GROUND_WAITING_H
#define TOOLS_GROUND_WAITING_H

#include <stdbool.h>
#include <stdint.h>

struct waiting {
    bool shown, drawn; /* on a terminal; there is a line to wipe */
    int64_t next_ms;
    uint64_t steps;    /* so far */
    const char *doing;
};

void waiting_begin(struct waiting *w, const char *doing); /* "Settling" */
/* The progress function of the library: after a second a line says how far the work is. false: Ctrl-C was noted
 * (ending.h). */
bool waiting_go_on(void *waiting, uint64_t steps);
void waiting_end(struct waiting *w);

#endif
