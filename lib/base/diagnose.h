/* diagnose.h -- filling a list of diagnostics; the public side is nearmark/diagnostics.h. */
#ifndef LIB_BASE_DIAGNOSE_H
#define LIB_BASE_DIAGNOSE_H

#include <stdarg.h>

#include "nearmark/diagnostics.h"

/* Adds one; `source` is the line without its end (copied), may be NULL; `hint` may be NULL. `list` may be NULL: then
 * nothing happens. Control characters in the texts become U+FFFD. Errors beyond the list's limit are only counted. */
void nmk_diagnostics_add(struct nmk_diagnostics *list, bool is_note, const char *code, struct nmk_span span,
                         const char *source, size_t source_size, const char *message, const char *hint);
__attribute__((format(printf, 6, 7))) void nmk_diagnostics_say(struct nmk_diagnostics *list, bool is_note, const char *code,
                                                               struct nmk_span span, const char *hint, const char *format, ...);

#endif
