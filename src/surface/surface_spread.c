/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sorting by height: numbers are dealt into buckets of equal steps of height, and each
 * crowded bucket again. Where twice as many buckets as numbers leave only a few in any
 * one, a single insertion over the whole run ends it: hardly a number is out of place,
 * so hardly a branch is mispredicted. Two rounds serve a million heights, the second
 * within the nearest cache. Heights so uneven that dealing does not part them are
 * sorted by radix, which is also the reference. */
#include "surface_inner.h"

#include <math.h>
#include <string.h>

#include "mem.h"

enum { FEW = 24, BUCKETS_EACH = 2, BUCKETS_MAX = 2048, ROUNDS_MAX = 6, LANES = 4 };

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
    double low[LANES], high[LANES];
    for (int k = 0; k < LANES; k++)
        low[k] = high[k] = x[0];
    for (ptrdiff_t i = 0; i < n; i++) {
        const ptrdiff_t k = i % LANES;
        low[k] = x[i] < low[k] ? x[i] : low[k];
        high[k] = x[i] > high[k] ? x[i] : high[k];
    }
    for (int k = 1; k < LANES; k++) {
        low[0] = low[k] < low[0] ? low[k] : low[0];
        high[0] = high[k] > high[0] ? high[k] : high[0];
    }
    const double range = high[0] - low[0];
    const ptrdiff_t buckets =
        n < BUCKETS_MAX / BUCKETS_EACH ? n * BUCKETS_EACH : BUCKETS_MAX;
    *d = (dealer){high[0], (double)buckets / range, buckets - 1};
    return isfinite(d->scale) && d->scale > 0.0 && isfinite(range);
}

/* Falling height, rising bucket: each step of the sum keeps the order. */
static ptrdiff_t bucket_of(const dealer *d, double x)
{
    const ptrdiff_t b = (ptrdiff_t)((d->high - x) * d->scale);
    return b < d->last ? b : d->last;
}

/* From x into other by bucket; end[b] is where bucket b ends. The largest bucket. */
static ptrdiff_t deal(const dealer *d, const double *x, double *other, ptrdiff_t n,
                      ptrdiff_t *end)
{
    memset(end, 0, (size_t)(d->last + 1) * sizeof *end);
    for (ptrdiff_t i = 0; i < n; i++)
        end[bucket_of(d, x[i])]++;
    ptrdiff_t at = 0, most = 0;
    for (ptrdiff_t b = 0; b <= d->last; b++) {
        const ptrdiff_t count = end[b];
        end[b] = at;
        at += count;
        most = count > most ? count : most;
    }
    for (ptrdiff_t i = 0; i < n; i++)
        other[end[bucket_of(d, x[i])]++] = x[i];
    return most;
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
    if (deal(&d, x, other, n, end) <= FEW) {
        insert_falling(other, n);
        if (!to_other)
            memcpy(x, other, bytes);
        return st;
    }
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
    lev_status st = lev_mem_raw((size_t)n, sizeof *x, &p, err);
    if (st < 0)
        return st;
    st = spread(x, p, n, false, 0, err);
    lev_mem_free(p);
    return st;
}
