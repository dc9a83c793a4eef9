/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plateaus and dales told apart on the material probability curve: heights against the
 * normal quantile of the material ratio, where one random process is a straight line
 * whose slope is its Rq. Symbols of ISO 13565-3, now ISO 21920-2 and ISO 25178-2. The
 * standard finds where the two lines end with a conic section, whose annex could not
 * be read; here the broken line with the least squared miss, its break tried at every
 * point, tells the two regions apart. Each has a line of its own by least squares, the
 * bend between them left out, and the two meet at Rmq. */
#include <math.h>

#include "levigate/surface.h"
#include "num.h"

enum {
    POINTS = 141, /* of the curve, evenly spaced in the quantile */
    LEAST = 10,   /* points on either side of the break */
    TAIL = 10     /* heights beyond the ends: fewer scatter too much */
};

static const double SPAN_MOST = 2.8;  /* quantiles to either side */
static const double BEND = 0.5;       /* quantiles left out on either side */
static const double MISS_MOST = 0.25; /* of one line's squared miss: else it is one */

/* Height at quantile 0 and slope of points first .. last. */
static bool straight(const double *s, const double *z, int first, int last, double x[2])
{
    lev_error err = {0};
    lev_lstsq fit = {.n = 2};
    for (int i = first; i <= last; i++) {
        const double row[] = {1.0, s[i]};
        lev_lstsq_add(&fit, row, z[i]);
    }
    return lev_lstsq_solve(&fit, x, &err) == LEV_OK;
}

/* The two lines beyond the bend at k; what they say of the face. */
static bool two_lines(const double *s, const double *z, double k, lev_plateau *out)
{
    double a[2], b[2];
    int last = LEAST - 1, first = POINTS - LEAST;
    while (s[last + 1] <= k - BEND)
        last++;
    while (s[first - 1] >= k + BEND)
        first--;
    if (!straight(s, z, 0, last, a) || !straight(s, z, first, POINTS - 1, b) ||
        !(a[1] <= 0.0 && b[1] < a[1]))
        return false;
    *out = (lev_plateau){-a[1], -b[1],
                         100.0 * lev_norm_cdf((b[0] - a[0]) / (a[1] - b[1]))};
    return true;
}

/* Squared miss of the line broken at quantile k; x: height at 0, slope, its change. */
static double broken_line(const double *s, const double *z, double k, double x[3])
{
    lev_error err = {0};
    lev_lstsq fit = {.n = 3};
    for (int i = 0; i < POINTS; i++) {
        const double row[] = {1.0, s[i], fmax(s[i] - k, 0.0)};
        lev_lstsq_add(&fit, row, z[i]);
    }
    return lev_lstsq_solve(&fit, x, &err) < 0 ? (double)INFINITY : fit.rss;
}

static double one_line(const double *s, const double *z)
{
    lev_lstsq fit = {.n = 2};
    for (int i = 0; i < POINTS; i++) {
        const double row[] = {1.0, s[i]};
        lev_lstsq_add(&fit, row, z[i]);
    }
    return fit.rss;
}

void lev_ratio_plateau(const lev_ratio *r, lev_plateau *out)
{
    double s[POINTS], z[POINTS];
    double least = (double)INFINITY, at = 0.0;
    *out = (lev_plateau){NAN, NAN, NAN};
    if (r->n < (ptrdiff_t)POINTS)
        return;
    const double span = fmin(SPAN_MOST, lev_norm_quantile(1.0 - TAIL / (double)r->n));
    for (int i = 0; i < POINTS; i++) {
        s[i] = span * (2.0 * i / (POINTS - 1) - 1.0);
        z[i] = lev_ratio_height(r, lev_norm_cdf(s[i]));
    }
    for (int k = LEAST; k < POINTS - LEAST; k++) {
        double x[3];
        const double miss = broken_line(s, z, s[k], x);
        if (miss >= least)
            continue;
        least = miss;
        at = s[k];
    }
    if (!(least < MISS_MOST * one_line(s, z)) || !two_lines(s, z, at, out))
        *out = (lev_plateau){NAN, NAN, NAN};
}
