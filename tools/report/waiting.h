/* waiting.h -- a line on the terminal while something long is worked out. */
#ifndef TOOLS_REPORT_WAITING_H
#define TOOLS_REPORT_WAITING_H

#include <stdbool.h>
#include <stdint.h>

struct waiting {
    bool shown, drawn; /* on a terminal; there is a line to wipe */
    int64_t next_ms;
};

void waiting_begin(struct waiting *w);
/* The progress function of the library: after a second a line says how far the work is. Always true: Ctrl-C
 * ends the program as ever (ending.h). */
bool waiting_go_on(void *waiting, uint64_t steps);
void waiting_end(struct waiting *w);

#endif
