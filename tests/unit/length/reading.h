/* reading.h -- reading written lengths in tests: always from a block of exactly its size, so that a byte read beyond the
 * text is found. */
#ifndef TESTS_UNIT_LENGTH_READING_H
#define TESTS_UNIT_LENGTH_READING_H

#include "nearmark/length.h"

/* nmk_length_parse on a copy; after it every promise of length.h that any outcome must keep is checked (the test fails
 * where one is broken): offsets inside the text, canonical value, a known code, a plain message, nothing touched on
 * failure. */
enum nmk_status reading_parse(struct nmk_length_read *out, const char *text, size_t size, bool allow_minus,
                              struct nmk_length_error *error);
/* The whole of the text must be one length; its mm. */
struct nmk_rat reading_mm(const char *text);
/* text is UTF-8 without control characters. By a reader of its own. */
bool reading_is_plain(const char *text);

#endif
