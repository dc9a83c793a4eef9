/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sorting by radix, least digit first, on the bit patterns of IEEE numbers turned so
 * that their order as unsigned integers is the falling order of the numbers. Eight bits
 * a pass: more buckets would outgrow the address cache. A pass whose digit is the same
 * everywhere is left out. */
#include "surface_inner.h"

#include <stdint.h>
#include <string.h>

#include "mem.h"

enum { DIGIT_BITS = 8, DIGITS = 1 << DIGIT_BITS };

/* Falling order: flip all bits but the sign of positives, none of negatives. */
static uint64_t key_of_double(double x)
{
    uint64_t u;
    memcpy(&u, &x, sizeof u);
    return (u >> 63) != 0 ? u : u ^ UINT64_C(0x7fffffffffffffff);
}

static double double_of_key(uint64_t k)
{
    double x;
    const uint64_t u = (k >> 63) != 0 ? k : k ^ UINT64_C(0x7fffffffffffffff);
    memcpy(&x, &u, sizeof x);
    return x;
}

static uint32_t key_of_float(float x)
{
    uint32_t u;
    memcpy(&u, &x, sizeof u);
    return (u >> 31) != 0 ? u : u ^ UINT32_C(0x7fffffff);
}

static float float_of_key(uint32_t k)
{
    float x;
    const uint32_t u = (k >> 31) != 0 ? k : k ^ UINT32_C(0x7fffffff);
    memcpy(&x, &u, sizeof x);
    return x;
}

static int digit_of(uint64_t key, int pass)
{
    return (int)((key >> (pass * DIGIT_BITS)) & (DIGITS - 1));
}

/* Turn counts into first positions; false when one digit holds everything. */
static bool positions(ptrdiff_t *count, ptrdiff_t n)
{
    ptrdiff_t at = 0;
    for (int d = 0; d < DIGITS; d++) {
        const ptrdiff_t c = count[d];
        if (c == n)
            return false;
        count[d] = at;
        at += c;
    }
    return true;
}

lev_status lev_sort_radix(double *x, ptrdiff_t n, lev_error *err)
{
    enum { PASSES = 8 };
    static const size_t wide = sizeof(uint64_t);
    void *p = NULL, *q = NULL;
    const lev_status st = lev_mem_new(2 * (size_t)n, wide, &p, err);
    if (st < 0)
        return st;
    const lev_status st2 =
        lev_mem_new((size_t)PASSES * DIGITS, sizeof(ptrdiff_t), &q, err);
    if (st2 < 0) {
        lev_mem_free(p);
        return st2;
    }
    uint64_t *from = p, *to = from + n;
    ptrdiff_t *count = q;
    for (ptrdiff_t i = 0; i < n; i++) {
        from[i] = key_of_double(x[i]);
        for (int pass = 0; pass < PASSES; pass++)
            count[pass * DIGITS + digit_of(from[i], pass)]++;
    }
    for (int pass = 0; pass < PASSES; pass++) {
        ptrdiff_t *c = count + (ptrdiff_t)pass * DIGITS;
        if (!positions(c, n))
            continue;
        for (ptrdiff_t i = 0; i < n; i++)
            to[c[digit_of(from[i], pass)]++] = from[i];
        uint64_t *swap = from;
        from = to;
        to = swap;
    }
    for (ptrdiff_t i = 0; i < n; i++)
        x[i] = double_of_key(from[i]);
    lev_mem_free(p);
    lev_mem_free(q);
    return LEV_OK;
}

/* Sort n pairs of key (high half) and payload (low half) by key. */
static lev_status sort_pairs(uint64_t *a, ptrdiff_t n, lev_error *err)
{
    enum { PASSES = 4 };
    void *p = NULL;
    const lev_status st = lev_mem_new((size_t)n, sizeof *a, &p, err);
    if (st < 0)
        return st;
    uint64_t *from = a, *to = p;
    for (int pass = 0; pass < PASSES; pass++) {
        ptrdiff_t c[DIGITS] = {0};
        for (ptrdiff_t i = 0; i < n; i++)
            c[digit_of(from[i] >> 32, pass)]++;
        if (!positions(c, n))
            continue;
        for (ptrdiff_t i = 0; i < n; i++)
            to[c[digit_of(from[i] >> 32, pass)]++] = from[i];
        uint64_t *swap = from;
        from = to;
        to = swap;
    }
    if (from != a)
        memcpy(a, from, (size_t)n * sizeof *a);
    lev_mem_free(p);
    return LEV_OK;
}

lev_status lev_sort_falling_f(float *x, ptrdiff_t n, lev_error *err)
{
    enum { PASSES = 4 };
    void *p = NULL;
    const lev_status st = lev_mem_new((size_t)n, sizeof(uint32_t), &p, err);
    if (st < 0)
        return st;
    uint32_t *key = p;
    for (ptrdiff_t i = 0; i < n; i++)
        key[i] = key_of_float(x[i]);
    for (int pass = 0; pass < PASSES; pass++) { /* key and x change places each pass */
        ptrdiff_t c[DIGITS] = {0};
        for (ptrdiff_t i = 0; i < n; i++)
            c[digit_of(key[i], pass)]++;
        if (!positions(c, n))
            continue;
        for (ptrdiff_t i = 0; i < n; i++)
            x[c[digit_of(key[i], pass)]++] = float_of_key(key[i]);
        for (ptrdiff_t i = 0; i < n; i++)
            key[i] = key_of_float(x[i]);
    }
    lev_mem_free(p);
    return LEV_OK;
}

lev_status lev_sort_index_f(const float *x, ptrdiff_t n, int *index, lev_error *err)
{
    void *p = NULL;
    lev_status st = LEV_OK;
    LEV_TRY(lev_mem_new((size_t)n, sizeof(uint64_t), &p, err));
    uint64_t *pair = p;
    for (ptrdiff_t i = 0; i < n; i++)
        pair[i] = (uint64_t)key_of_float(x[i]) << 32 | (uint64_t)i;
    LEV_TRY(sort_pairs(pair, n, err));
    for (ptrdiff_t i = 0; i < n; i++)
        index[i] = (int)(pair[i] & UINT32_MAX);
out:
    lev_mem_free(p);
    return st;
}

/* The k-th smallest, k from 0, by Hoare's selection; reorders x. */
static double select_kth(double *x, ptrdiff_t n, ptrdiff_t k)
{
    ptrdiff_t low = 0, high = n - 1;
    while (low < high) {
        const double pivot = x[low + (high - low) / 2];
        ptrdiff_t i = low, j = high;
        while (i <= j) {
            while (x[i] < pivot)
                i++;
            while (x[j] > pivot)
                j--;
            if (i > j)
                break;
            const double t = x[i];
            x[i++] = x[j];
            x[j--] = t;
        }
        if (k <= j)
            high = j;
        else if (k >= i)
            low = i;
        else
            break;
    }
    return x[k];
}

double lev_median(double *x, ptrdiff_t n)
{
    const double upper = select_kth(x, n, n / 2);
    if (n % 2 != 0)
        return upper;
    double lower = x[0]; /* the largest of the lower half */
    for (ptrdiff_t i = 1; i < n / 2; i++)
        lower = x[i] > lower ? x[i] : lower;
    return 0.5 * (lower + upper);
}
