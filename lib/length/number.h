/* number.h -- one written number: `84`, `8.4`, `8,4`, `4 7/16`, `4-7/16`, `4⅞`, `7/16`, `⁷⁄₁₆`. */
#ifndef LIB_LENGTH_NUMBER_H
#define LIB_LENGTH_NUMBER_H

#include "length/written.h"

enum { NMK_NUMBER_DIGITS = 1000 };

struct nmk_number {
    struct nmk_rat value;
    size_t end;    /* offset behind it */
    size_t slash;  /* offset of the `/` of a lone fraction, `7/16`; else 0 */
    bool doubtful; /* could be read another way */
};

void nmk_number_clear(struct nmk_number *n);

/* Reads the number that begins at `at`. No number there is no failure: NMK_OK and out->end == at.
 *   number   = fraction | digits [sign digits] | digits gap fraction
 *   gap      = spaces | one hyphen; may be empty before a fraction that does not begin with a plain digit
 *   sign     = "." | ","
 *   fraction = vulgar | digits slash digits | raised slash lowered | raised slash digits
 * NMK_INVALID, NMK_TOO_LARGE. */
enum nmk_status nmk_number_read(struct nmk_number *out, const struct nmk_written *w, size_t at);

#endif
