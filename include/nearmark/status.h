/* status.h -- what a call answers, and the one way in which memory runs out.
 *
 * Every function that can fail returns an `enum nmk_status` and leaves its outputs untouched when it fails. Outcomes
 * (nothing meets all demands, an expression has no unit) are not failures; they are told in the outputs. */
#ifndef NEARMARK_STATUS_H
#define NEARMARK_STATUS_H

#include <stddef.h>

enum nmk_status {
    NMK_OK = 0,
    NMK_INVALID, /* the input is wrong; where a list of diagnostics is passed it says how */
    NMK_DIVISION_BY_ZERO,
    NMK_NEGATIVE_ROOT,
    NMK_OVERFLOW,  /* a value does not fit the type asked for */
    NMK_TOO_LARGE, /* beyond a stated limit (bits, digits, depth, panels, bytes) */
    NMK_BUDGET,    /* the budget of steps is used up; deterministic, never a clock */
    NMK_STOPPED    /* the caller's progress function asked to stop */
};

/* A short stable name, "division by zero"; never NULL, static storage. */
const char *nmk_status_name(enum nmk_status status);

/* Memory. All of the library's memory, GMP's included, goes through one funnel. When none is left the handler is
 * called with the size that was wanted; it must not return (if it does, abort() is called: the library has no way to go
 * on). Without a handler the library calls abort(). Process-wide: set it once, before any other call. GMP's own memory
 * functions are set at the same time. */
typedef void (*nmk_memory_handler)(size_t wanted);
void nmk_memory_handler_set(nmk_memory_handler handler);

#endif
