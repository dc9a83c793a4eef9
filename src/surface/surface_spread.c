/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sorting by height: numbers are dealt into buckets of equal steps of height, and each
 * bucket again, until a few are left for insertion. Two rounds serve a million heights,
 * the second within the nearest cache. Heights so uneven that dealing does not part
 * them are sorted by radix, which is also the reference. */
#include "surface_inner.h"

#include <math.h>
#include <string.h>

#include "mem.h"

enum { FEW = 24, EACH = 8, BUCKETS_MAX = 2048, ROUNDS_MAX = 6 };

static void insert_falling(double *x, ptrdiff_t n)
{
    for (ptrdiff_t i = 1; i < n; i++) {
        const double v = x[i];
        ptrdiff_t j = i;
        for (; j > 0 && x[j - 1] < v; j--)
            x[j] = x[j - 1];
        x[j] = v;
    }
}

typedef struct dealer {
    double high, scale;
    ptrdiff_t last; /* bucket */
} dealer;

/* false when the numbers cannot be dealt: all alike, or no finite range. */
static bool dealer_init(dealer *d, const double *x, ptrdiff_t n)
{
    double low = x[0], high = x[0];
    for (ptrdiff_t i = 1; i < n; i++) {
        low = x[i] < low ? x[i] : low;
        high = x[i] > high ? x[i] : high;
    }
    const ptrdiff_t buckets = n / EACH < BUCKETS_MAX ? n / EACH : BUCKETS_MAX;
    *d = (dealer){high, (double)buckets / (high - low), buckets - 1};
    return isfinite(d->scale) && d->scale > 0.0 && isfinite(high - low);
}

/* Falling height, rising bucket: each step of the sum keeps the order. */
static ptrdiff_t bucket_of(const dealer *d, double x)
{
    const ptrdiff_t b = (ptrdiff_t)((d->high - x) * d->scale);
    return b < d->last ? b : d->last;
}

/* From x into other by bucket; end[b] is where bucket b ends. */
static void deal(const dealer *d, const double *x, double *other, ptrdiff_t n,
                 ptrdiff_t *end)
{
    memset(end, 0, (size_t)(d->last + 1) * sizeof *end);
    for (ptrdiff_t i = 0; i < n; i++)
        end[bucket_of(d, x[i])]++;
    ptrdiff_t at = 0;
    for (ptrdiff_t b = 0; b <= d->last; b++) {
        const ptrdiff_t count = end[b];
        end[b] = at;
        at += count;
    }
    for (ptrdiff_t i = 0; i < n; i++)
        other[end[bucket_of(d, x[i])]++] = x[i];
}

/* The numbers of x in falling order, left in x or, with `to_other`, in other; at most
 * ROUNDS_MAX deep. */
static lev_status spread(double *x, double *other, ptrdiff_t n, bool to_other,
                         int round, lev_error *err)
{
    lev_status st = LEV_OK;
    ptrdiff_t end[BUCKETS_MAX], from = 0;
    dealer d;
    const size_t bytes = (size_t)n * sizeof *x;
    if (n <= FEW || round == ROUNDS_MAX || !dealer_init(&d, x, n)) {
        if (n <= FEW)
            insert_falling(x, n);
        else
            LEV_TRY(lev_sort_radix(x, n, err));
        if (to_other)
            memcpy(other, x, bytes);
        return st;
    }
    deal(&d, x, other, n, end);
    for (ptrdiff_t b = 0; b <= d.last; from = end[b], b++)
        if (end[b] > from)
            LEV_TRY(spread(other + from, x + from, end[b] - from, !to_other, round + 1,
                           err));
out:
    return st;
}

lev_status lev_sort_falling(double *x, ptrdiff_t n, lev_error *err)
{
    void *p = NULL;
    lev_status st = lev_mem_new((size_t)n, sizeof *x, &p, err);
    if (st < 0)
        return st;
    st = spread(x, p, n, false, 0, err);
    lev_mem_free(p);
    return st;
}
