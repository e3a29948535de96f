/* ending.h -- how the program ends early: no memory, a signal. What it was writing is removed first. */
#ifndef TOOLS_GROUND_ENDING_H
#define TOOLS_GROUND_ENDING_H

#include <stdbool.h>
#include <stddef.h>

/* The exit statuses of DEVELOPERS.md. */
enum ending { ENDING_DONE = 0, ENDING_UNMET = 1, ENDING_WRONG = 2, ENDING_FAILED = 3 };

/* The worse of two. */
enum ending ending_worse(enum ending a, enum ending b);
/* Signals that end the program shall remove what is half-written; a reader that goes away is no signal. */
void ending_prepare(void);
/* For work that can stop in good order: from now on the first Ctrl-C is only noted; a second one ends the program as ever.
 * ending_interrupt ends it as the first one would have, ending_heed_interrupts if there was one: the work is done. */
void ending_note_interrupts(void);
bool ending_was_interrupted(void);
void ending_interrupt(void);
void ending_heed_interrupts(void);
/* For the desk: only the work is given up; ending_interrupt forgets the Ctrl-C and returns. */
void ending_survive_interrupts(void);
/* The file that is half-written just now; NULL: none. The text must live until the next call. */
void ending_unfinished(const char *path);
/* For nmk_memory_handler_set: says that memory ran out, ends with ENDING_FAILED. Allocates nothing. */
_Noreturn void ending_without_memory(size_t wanted);

#endif
