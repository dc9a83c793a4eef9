/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The checksum that X3P asks for. It guards against damage, not against malice.
 * Source: RFC 1321 (1992), section 3. */
#include "format.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

static uint32_t turn_left(uint32_t x, int by)
{
    return x << by | x >> (32 - by);
}

static uint32_t word_at(const unsigned char *p)
{
    return (uint32_t)p[0] | (uint32_t)p[1] << 8 | (uint32_t)p[2] << 16 |
           (uint32_t)p[3] << 24;
}

/* One block of 64 bytes. The constants are floor(2^32 |sin(i + 1)|). */
static void block(uint32_t s[4], const unsigned char *p)
{
    static const int turn[4][4] = {
        {7, 12, 17, 22}, {5, 9, 14, 20}, {4, 11, 16, 23}, {6, 10, 15, 21}};
    uint32_t x[16], a = s[0], b = s[1], c = s[2], d = s[3];
    for (int i = 0; i < 16; i++)
        x[i] = word_at(p + (size_t)4 * (size_t)i);
    for (int i = 0; i < 64; i++) {
        uint32_t f = 0;
        int k = 0;
        if (i < 16) {
            f = (b & c) | (~b & d);
            k = i;
        } else if (i < 32) {
            f = (b & d) | (c & ~d);
            k = (5 * i + 1) % 16;
        } else if (i < 48) {
            f = b ^ c ^ d;
            k = (3 * i + 5) % 16;
        } else {
            f = c ^ (b | ~d);
            k = 7 * i % 16;
        }
        const uint32_t t = (uint32_t)(4294967296.0 * fabs(sin((double)(i + 1))));
        const uint32_t next = b + turn_left(a + f + x[k] + t, turn[i / 16][i % 4]);
        a = d;
        d = c;
        c = b;
        b = next;
    }
    s[0] += a;
    s[1] += b;
    s[2] += c;
    s[3] += d;
}

void lev_md5(const void *data, size_t n, char out[33])
{
    static const char hex[] = "0123456789abcdef";
    uint32_t s[4] = {0x67452301U, 0xefcdab89U, 0x98badcfeU, 0x10325476U};
    const unsigned char *p = data;
    unsigned char tail[128] = {0};
    size_t done = 0;
    for (; n - done >= 64; done += 64)
        block(s, p + done);
    if (n > done)
        memcpy(tail, p + done, n - done);
    tail[n - done] = 0x80;
    const size_t blocks = n - done + 9 > 64 ? 2 : 1;
    for (size_t i = 0; i < 8; i++)
        tail[64 * blocks - 8 + i] = (unsigned char)((uint64_t)n * 8 >> (8 * i));
    for (size_t i = 0; i < blocks; i++)
        block(s, tail + 64 * i);
    for (size_t i = 0; i < 16; i++) {
        const unsigned byte = s[i / 4] >> (8 * (i % 4)) & 0xffU;
        out[2 * i] = hex[byte >> 4];
        out[2 * i + 1] = hex[byte & 15U];
    }
    out[32] = '\0';
}
