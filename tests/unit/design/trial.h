/* trial.h -- designs to try the reader with. */
#ifndef TESTS_UNIT_DESIGN_TRIAL_H
#define TESTS_UNIT_DESIGN_TRIAL_H

#include <stddef.h>

#include "nearmark/design.h"

enum { REFERENCES = 3 };
extern const char *const trial_references[REFERENCES]; /* names of files in tests/data */
extern const char trial_small[];                       /* a design with a bit of everything, NUL-terminated */

char *trial_file(const char *name, size_t *size); /* of tests/data; nmk_memory_free */

/* Reads an exact copy of the bytes, so that reading past their end is seen, and holds what is always true. *out is the
 * design (owned by the caller) or NULL. */
enum nmk_status trial_read(const char *text, size_t size, struct nmk_design **out, struct nmk_diagnostics *list);
enum nmk_status trial_status(const char *text, size_t size); /* the status alone */

#endif
