/* diagnostics.h -- what is wrong with an input, and what only looks wrong.
 *
 * A list that the caller makes and passes down; every message in it is owned by the list. Messages are plain UTF-8
 * without control characters, whole sentences without a final full stop, in the words of DEVELOPERS.md. */
#ifndef NEARMARK_DIAGNOSTICS_H
#define NEARMARK_DIAGNOSTICS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "nearmark/status.h"

struct nmk_span {
    uint32_t line;   /* from 1; 0: the input as a whole */
    uint32_t column; /* from 1, in characters (code points) */
    uint32_t length; /* in characters, at least 1 */
};

struct nmk_diagnostic {
    bool is_note;         /* looks wrong but can be meant; the status does not change */
    const char *code;     /* short and stable, "unknown-name"; static */
    struct nmk_span span;
    char *message;        /* what is wrong */
    char *hint;           /* what was expected, or what to type; NULL: none */
    char *source;         /* the line itself, without its end; NULL: none */
};

struct nmk_diagnostics;
enum nmk_status nmk_diagnostics_new(struct nmk_diagnostics **out, size_t most_errors); /* 0: no limit */
void nmk_diagnostics_free(struct nmk_diagnostics *list);                               /* NULL allowed */
size_t nmk_diagnostics_count(const struct nmk_diagnostics *list);
size_t nmk_diagnostics_errors(const struct nmk_diagnostics *list); /* how many are not notes, also those over the limit */
const struct nmk_diagnostic *nmk_diagnostics_get(const struct nmk_diagnostics *list, size_t index);

/* Writes one for a person, NUL-terminated, as snprintf does: returns the length without the NUL, also when `size` was
 * too small for it (then what fits is written). buffer may be NULL when size is 0. Lines, each with its end:
 *     FILE:LINE:COLUMN: message           (`note: ` before the message of a note; without FILE: or place where there is none)
 *       the line itself                   (tabs as spaces; of a long one the part round the place, between `...`)
 *       ^^^^                              (under the exact span)
 *       hint                              (these three only where there is something to show) */
size_t nmk_diagnostic_print(char *buffer, size_t size, const struct nmk_diagnostic *d, const char *file);

#endif
