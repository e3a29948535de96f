#include "page/sha256.h"

#include <string.h>

/* FIPS 180-4, section 4.2.2. */
static const uint32_t constants[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98, 0x12835b01,
    0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc,
    0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147,
    0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08,
    0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208,
    0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t turn(uint32_t x, unsigned n)
{
    return x >> n | x << (32 - n);
}

static void spread(uint32_t w[64], const uint8_t block[64])
{
    for (size_t i = 0; i < 16; i++)
        w[i] = (uint32_t)block[4 * i] << 24 | (uint32_t)block[4 * i + 1] << 16 | (uint32_t)block[4 * i + 2] << 8 |
               block[4 * i + 3];
    for (size_t i = 16; i < 64; i++) {
        uint32_t a = w[i - 15], b = w[i - 2];
        w[i] = w[i - 16] + (turn(a, 7) ^ turn(a, 18) ^ a >> 3) + w[i - 7] + (turn(b, 17) ^ turn(b, 19) ^ b >> 10);
    }
}

/* Section 6.2.2; s[0..7] are a to h. */
static void take_block(uint32_t h[8], const uint8_t block[64])
{
    uint32_t w[64], s[8];
    spread(w, block);
    memcpy(s, h, sizeof s);
    for (size_t i = 0; i < 64; i++) {
        uint32_t one =
            s[7] + (turn(s[4], 6) ^ turn(s[4], 11) ^ turn(s[4], 25)) + ((s[4] & s[5]) ^ (~s[4] & s[6])) + constants[i] + w[i];
        uint32_t two = (turn(s[0], 2) ^ turn(s[0], 13) ^ turn(s[0], 22)) + ((s[0] & s[1]) ^ (s[0] & s[2]) ^ (s[1] & s[2]));
        memmove(s + 1, s, 7 * sizeof *s);
        s[4] += one;
        s[0] = one + two;
    }
    for (size_t i = 0; i < 8; i++)
        h[i] += s[i];
}

/* The last bytes, a bit 1, zeros, and the length in bits: one block or two. */
static void take_rest(uint32_t h[8], const uint8_t *rest, size_t left, uint64_t bits)
{
    uint8_t last[128] = {0};
    size_t total = left < 56 ? 64 : 128;
    memcpy(last, rest, left);
    last[left] = 0x80;
    for (size_t i = 0; i < 8; i++)
        last[total - 1 - i] = (uint8_t)(bits >> 8 * i);
    take_block(h, last);
    if (total > 64)
        take_block(h, last + 64);
}

void sha256(uint8_t digest[32], const void *bytes, size_t size)
{
    uint32_t h[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    const uint8_t *at = bytes;
    size_t left = size;
    for (; left >= 64; at += 64, left -= 64)
        take_block(h, at);
    take_rest(h, at, left, (uint64_t)size * 8);
    for (size_t i = 0; i < 32; i++)
        digest[i] = (uint8_t)(h[i / 4] >> (24 - 8 * (i % 4)));
}

void sha256_text(char text[45], const void *bytes, size_t size)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    uint8_t digest[33] = {0};
    sha256(digest, bytes, size);
    for (size_t i = 0; i < 11; i++) {
        uint32_t three = (uint32_t)digest[3 * i] << 16 | (uint32_t)digest[3 * i + 1] << 8 | digest[3 * i + 2];
        for (size_t k = 0; k < 4; k++)
            text[4 * i + k] = letters[three >> (18 - 6 * k) & 63];
    }
    text[43] = '=';
    text[44] = '\0';
}
