/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a pad gives way to waves. A layer bonded to a hard back under a wave of pressure,
 * plane strain, no friction on top: solved from the stress function
 * (a + b z) cosh k z + (c + d z) sinh k z. Its limits are the half-space,
 * lambda / (pi E*) (Johnson, Contact Mechanics, 1985, section 13.2), and the layer held
 * at its back, h / E_held. */
#include <math.h>

#include "levigate/cut.h"
#include "units.h"

double lev_cut_pad_give(double wave_um, double thick_um, double modulus_mpa,
                        double poisson)
{
    const double deep = wave_um / (LEV_PI * modulus_mpa);
    if (!(thick_um > 0.0))
        return deep;
    const double q = 2.0 * LEV_PI * thick_um / wave_um;
    const double nu = poisson, kappa = 3.0 - 4.0 * nu;
    const double held = thick_um / modulus_mpa * (1.0 - 2.0 * nu) / pow(1.0 - nu, 2.0);
    if (q < 1e-3)
        return held;
    const double sech = 1.0 / cosh(fmin(2.0 * q, 700.0));
    return deep * (kappa * tanh(2.0 * q) - 2.0 * q * sech) /
           (kappa + (2.0 * q * q + 5.0 - 12.0 * nu + 8.0 * nu * nu) * sech);
}

/* Spherical Bessel functions of order 0 and 1. */
static double bessel0(double q)
{
    return q < 1e-3 ? 1.0 - q * q / 6.0 : sin(q) / q;
}

static double bessel1(double q)
{
    return q < 1e-2 ? q / 3.0 * (1.0 - q * q / 10.0) : (sin(q) / q - cos(q)) / q;
}

double lev_cut_pad_follows(double per_um_x, double per_um_y, double side_um)
{
    const double qx = LEV_PI * per_um_x * side_um, qy = LEV_PI * per_um_y * side_um;
    const double x0 = bessel0(qx), x1 = bessel1(qx);
    const double y0 = bessel0(qy), y1 = bessel1(qy);
    return x0 * x0 * y0 * y0 + 3.0 * (x1 * x1 * y0 * y0 + x0 * x0 * y1 * y1);
}
