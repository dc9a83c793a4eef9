/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sliding speeds of the drives, by their geometry alone. */
#include <math.h>

#include "levigate/cut.h"
#include "num.h"
#include "units.h"

static const double M_PER_MM = LEV_UM_PER_MM / LEV_UM_PER_M;

double lev_cut_speed_strokes(double stroke_mm, double rate_hz)
{
    return 2.0 * stroke_mm * M_PER_MM * rate_hz;
}

double lev_cut_speed_disc(double diameter_mm, double rev_hz)
{
    return 2.0 / 3.0 * lev_cut_speed_rim(diameter_mm, rev_hz);
}

double lev_cut_speed_rim(double diameter_mm, double rev_hz)
{
    return LEV_PI * diameter_mm * M_PER_MM * rev_hz;
}

double lev_cut_speed_orbit(double orbit_mm, double orbit_hz)
{
    return lev_cut_speed_rim(orbit_mm, orbit_hz);
}

double lev_cut_ellipe(double m)
{
    if (!(m >= 0.0 && m <= 1.0))
        return NAN;
    if (m > 1.0 - 1e-15)
        return 1.0;
    double a = 1.0, b = sqrt(1.0 - m), c = sqrt(m), power = 0.5, sum = power * c * c;
    while (fabs(c) > 1e-16) {
        const double next = 0.5 * (a + b);
        c = 0.5 * (a - b);
        b = sqrt(a * b);
        a = next;
        power *= 2.0;
        sum += power * c * c;
    }
    return LEV_PI / (2.0 * a) * (1.0 - sum);
}

/* Mean length of the sum of two velocities that turn against each other. */
static double mean_sum(double a, double b)
{
    if (!(a + b > 0.0))
        return 0.0;
    const double m = 4.0 * a * b / ((a + b) * (a + b));
    return 2.0 / LEV_PI * (a + b) * lev_cut_ellipe(fmin(m, 1.0));
}

double lev_cut_speed_random_orbit(double orbit_mm, double orbit_hz, double pad_mm,
                                  double spin_hz)
{
    enum { NODES = 32 };
    double x[NODES], w[NODES], sum = 0.0;
    const double orbit = lev_cut_speed_orbit(orbit_mm, orbit_hz);
    const double rim = lev_cut_speed_rim(pad_mm, spin_hz);
    lev_gauss_legendre(NODES, x, w);
    for (int i = 0; i < NODES; i++) {
        const double r = 0.5 * (x[i] + 1.0); /* over the radius of the pad */
        sum += w[i] * r * mean_sum(orbit, rim * r);
    }
    return sum; /* 2 r dr over 0..1, half of it in the weights */
}
