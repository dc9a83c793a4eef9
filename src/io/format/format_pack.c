/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bytes of a file being put together, and numbers as files store them. */
#include "format.h"

#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "mem.h"
#include "num.h"

void lev_pack_add(lev_pack *p, const void *data, size_t n)
{
    if (p->st < 0)
        return;
    if (p->cap - p->b.n < n + 1) {
        void *q = p->b.data;
        const size_t cap = 2 * (p->b.n + n) + 1024;
        p->st = lev_mem_grow(&q, p->cap, cap, 1, NULL);
        if (p->st < 0)
            return;
        p->b.data = q;
        p->cap = cap;
    }
    memcpy(p->b.data + p->b.n, data, n);
    p->b.n += n;
    p->b.data[p->b.n] = '\0';
}

void lev_pack_text(lev_pack *p, const char *s)
{
    lev_pack_add(p, s, strlen(s));
}

void lev_pack_print(lev_pack *p, const char *format, ...)
{
    char text[512];
    va_list ap;
    va_start(ap, format);
    const int n = vsnprintf(text, sizeof text, format, ap);
    va_end(ap);
    if (n < 0 || (size_t)n >= sizeof text)
        p->st = LEV_E_LIMIT;
    else
        lev_pack_add(p, text, (size_t)n);
}

void lev_pack_number(lev_pack *p, double x, int digits)
{
    char text[LEV_NUM_TEXT];
    lev_num_write(x, digits, text);
    lev_pack_text(p, text);
}

size_t lev_cell_bytes(int type)
{
    static const size_t bytes[LEV_CELLS] = {1, 2, 4, 4, 1, 2, 4, 8};
    return bytes[type];
}

static uint64_t bits_at(const unsigned char *p, size_t n)
{
    uint64_t u = 0;
    for (size_t i = 0; i < n; i++)
        u |= (uint64_t)p[i] << (8 * i);
    return u;
}

double lev_cell_read(const unsigned char *p, int type)
{
    const uint64_t u = bits_at(p, lev_cell_bytes(type));
    float f;
    double d;
    switch (type) {
    case LEV_CELL_I8:
        return (double)(int8_t)u;
    case LEV_CELL_I16:
        return (double)(int16_t)u;
    case LEV_CELL_I32:
        return (double)(int32_t)u;
    case LEV_CELL_F32: {
        const uint32_t half = (uint32_t)u;
        memcpy(&f, &half, sizeof f);
        return (double)f;
    }
    case LEV_CELL_F64:
        memcpy(&d, &u, sizeof d);
        return d;
    default:
        return (double)u;
    }
}

void lev_pack_le(lev_pack *p, double x, int type)
{
    unsigned char bytes[8];
    uint64_t u = 0;
    const float f = (float)x;
    if (type == LEV_CELL_F64) {
        memcpy(&u, &x, sizeof x);
    } else if (type == LEV_CELL_F32) {
        uint32_t half;
        memcpy(&half, &f, sizeof half);
        u = half;
    } else {
        u = (uint64_t)(int64_t)nearbyint(x);
    }
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (unsigned char)(u >> (8 * i));
    lev_pack_add(p, bytes, lev_cell_bytes(type));
}

lev_status lev_pack_take(lev_pack *p, lev_bytes *out, lev_error *err)
{
    if (p->st < 0) {
        lev_bytes_release(&p->b);
        return lev_fail(err, p->st, "%s", lev_status_text(p->st));
    }
    *out = p->b;
    *p = (lev_pack){0};
    return LEV_OK;
}
