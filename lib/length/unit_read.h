/* unit_read.h -- the unit behind a number. */
#ifndef LIB_LENGTH_UNIT_READ_H
#define LIB_LENGTH_UNIT_READ_H

#include "length/number.h"

struct nmk_unit_read {
    enum nmk_unit unit; /* NMK_UNIT_NONE: none stands there */
    size_t end;         /* offset behind it, a full stop of an abbreviation included */
};

/* Reads the unit behind the number *n, which begins at `start`. A word that only looks like a unit (pt, m, px ...) and an
 * area are NMK_INVALID; any other word is no unit. */
enum nmk_status nmk_unit_read(struct nmk_unit_read *out, const struct nmk_written *w, const struct nmk_number *n, size_t start);

#endif
