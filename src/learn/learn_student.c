/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Student's t by the incomplete beta function.
 * Source: continued fraction Abramowitz & Stegun 26.5.8, evaluated by the method of
 * Lentz, Appl. Opt. 15 (1976) 668; relation to t: Abramowitz & Stegun 26.7.1. */
#include "levigate/learn.h"

#include <math.h>

#include "num.h"
#include "units.h"

static double not_zero(double x)
{
    const double tiny = 1e-300;
    return fabs(x) < tiny ? tiny : x;
}

/* The continued fraction of the incomplete beta function. */
static double beta_fraction(double a, double b, double x)
{
    enum { TERMS = 500 };
    double c = 1.0, d = 1.0 / not_zero(1.0 - (a + b) * x / (a + 1.0)), h = d;
    for (int m = 1; m <= TERMS; m++) {
        const double even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        const double odd =
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / not_zero(1.0 + even * d);
        c = not_zero(1.0 + even / c);
        h *= c * d;
        d = 1.0 / not_zero(1.0 + odd * d);
        c = not_zero(1.0 + odd / c);
        const double step = c * d;
        h *= step;
        if (fabs(step - 1.0) < 1e-15)
            break;
    }
    return h;
}

/* Regularised incomplete beta function. */
static double beta_share(double a, double b, double x)
{
    if (!(x > 0.0))
        return 0.0;
    if (!(x < 1.0))
        return 1.0;
    const double front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) +
                             b * log1p(-x)); /* style: lgamma of a positive number */
    if (x < (a + 1.0) / (a + b + 2.0))
        return front * beta_fraction(a, b, x) / a;
    return 1.0 - front * beta_fraction(b, a, 1.0 - x) / b;
}

/* Share beyond t >= 0 on one side, of the standard distribution. */
static double upper_tail(double dof, double t)
{
    return 0.5 * beta_share(0.5 * dof, 0.5, dof / (dof + t * t));
}

double lev_student_cdf(lev_student s, double x)
{
    const double t = (x - s.loc) / s.scale;
    const double tail = upper_tail(s.dof, fabs(t));
    return t < 0.0 ? tail : 1.0 - tail;
}

double lev_student_quantile(lev_student s, double p)
{
    enum { STEPS = 200 };
    const double tail = p < 0.5 ? p : 1.0 - p;
    double low = 0.0, high = 1.0;
    while (upper_tail(s.dof, high) > tail && high < 1e100)
        high *= 2.0;
    for (int i = 0; i < STEPS && high - low > 1e-14 * high; i++) {
        const double middle = 0.5 * (low + high);
        if (upper_tail(s.dof, middle) > tail)
            low = middle;
        else
            high = middle;
    }
    const double t = 0.5 * (low + high);
    return s.loc + s.scale * (p < 0.5 ? -t : t);
}
