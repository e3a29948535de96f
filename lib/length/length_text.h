/* length_text.h -- what printing and saying a length share. */
#ifndef LIB_LENGTH_LENGTH_TEXT_H
#define LIB_LENGTH_LENGTH_TEXT_H

#include "base/text.h"
#include "nearmark/length.h"

/* mm in `unit`. */
void nmk_length_in_unit(struct nmk_rat *out, const struct nmk_rat *mm, enum nmk_unit unit);
/* |value| = *whole + *num / *den in lowest terms, *num < *den. False, the outputs untouched, where the denominator is no
 * power of two, or above `most`. */
bool nmk_length_is_binary(struct nmk_rat *whole, int64_t *num, int64_t *den, const struct nmk_rat *value, int64_t most);
/* A decimal of at most `places` digits behind the point, without trailing zeros. */
void nmk_length_add_decimal(struct nmk_text *t, const struct nmk_rat *value, unsigned places);
/* Copies t to buffer as snprintf would and clears t. */
size_t nmk_length_put(char *buffer, size_t size, struct nmk_text *t);

#endif
