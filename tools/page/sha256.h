/* sha256.h -- the digest by which a page allows its own script and style, and no others (FIPS 180-4; RFC 4648 base 64). */
#ifndef TOOLS_PAGE_SHA256_H
#define TOOLS_PAGE_SHA256_H

#include <stddef.h>
#include <stdint.h>

void sha256(uint8_t digest[32], const void *bytes, size_t size);
/* The digest in base 64, NUL-terminated. */
void sha256_text(char text[45], const void *bytes, size_t size);

#endif
