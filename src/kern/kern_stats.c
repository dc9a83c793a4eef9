/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See stats.h. One loop per moment, written so that lanes are visible. */
#include "stats.h"

#include <math.h>

enum { LANES = 8 };

static double add_lanes(const double s[LANES])
{
    return ((s[0] + s[4]) + (s[2] + s[6])) + ((s[1] + s[5]) + (s[3] + s[7]));
}

double lev_stats_sum(const double *h, ptrdiff_t n)
{
    double s[LANES] = {0.0};
    for (ptrdiff_t i = 0; i < n; i++)
        s[i % LANES] += h[i];
    return add_lanes(s);
}

double lev_stats_sum_abs(const double *h, ptrdiff_t n, double middle)
{
    double s[LANES] = {0.0};
    for (ptrdiff_t i = 0; i < n; i++)
        s[i % LANES] += fabs(h[i] - middle);
    return add_lanes(s);
}

double lev_stats_sum_square(const double *h, ptrdiff_t n, double middle)
{
    double s[LANES] = {0.0};
    for (ptrdiff_t i = 0; i < n; i++)
        s[i % LANES] += (h[i] - middle) * (h[i] - middle);
    return add_lanes(s);
}

double lev_stats_sum_product(const double *a, double a_middle, const float *b,
                             ptrdiff_t n)
{
    double s[LANES] = {0.0};
    for (ptrdiff_t i = 0; i < n; i++)
        s[i % LANES] += (a[i] - a_middle) * (double)b[i];
    return add_lanes(s);
}

double lev_stats_sum_square_f(const float *b, ptrdiff_t n)
{
    double s[LANES] = {0.0};
    for (ptrdiff_t i = 0; i < n; i++)
        s[i % LANES] += (double)b[i] * (double)b[i];
    return add_lanes(s);
}

double lev_stats_max(const double *h, ptrdiff_t n)
{
    double s[LANES], top = -INFINITY;
    ptrdiff_t i = 0;
    for (int k = 0; k < LANES; k++)
        s[k] = -INFINITY;
    for (; i + LANES <= n; i += LANES)
        for (int k = 0; k < LANES; k++)
            s[k] = h[i + k] > s[k] ? h[i + k] : s[k];
    for (; i < n; i++)
        top = h[i] > top ? h[i] : top;
    for (int k = 0; k < LANES; k++)
        top = s[k] > top ? s[k] : top;
    return top;
}

double lev_stats_min(const double *h, ptrdiff_t n)
{
    double s[LANES], low = INFINITY;
    ptrdiff_t i = 0;
    for (int k = 0; k < LANES; k++)
        s[k] = INFINITY;
    for (; i + LANES <= n; i += LANES)
        for (int k = 0; k < LANES; k++)
            s[k] = h[i + k] < s[k] ? h[i + k] : s[k];
    for (; i < n; i++)
        low = h[i] < low ? h[i] : low;
    for (int k = 0; k < LANES; k++)
        low = s[k] < low ? s[k] : low;
    return low;
}

double lev_stats_min_older(const double *h, const uint8_t *mark, ptrdiff_t n,
                           uint8_t stamp, ptrdiff_t *count)
{
    double low = INFINITY;
    *count = 0;
    for (ptrdiff_t i = 0; i < n; i++) {
        if (mark[i] >= stamp)
            continue;
        ++*count;
        low = h[i] < low ? h[i] : low;
    }
    return low;
}
