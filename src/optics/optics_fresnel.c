/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reflectance of a smooth face from n + ik (Fresnel), and the sRGB coding of light.
 * Letters: N = n + ik, q = sqrt(N^2 - sin^2 theta). */
#include "levigate/optics.h"

#include <complex.h>
#include <math.h>

#include "optics_figure.h"

static double norm2(double complex z)
{
    return creal(z) * creal(z) + cimag(z) * cimag(z);
}

static lev_reflectance fresnel(lev_nk nk, double theta)
{
    const double c = cos(theta);
    const double s = sin(theta);
    const double complex n = nk.n + nk.k * (double complex)I;
    const double complex n2 = n * n;
    const double complex q = csqrt(n2 - s * s);
    lev_reflectance r = {.rs = norm2((c - q) / (c + q)),
                         .rp = norm2((n2 * c - q) / (n2 * c + q))};
    r.mean = (r.rs + r.rp) / 2.0;
    return r;
}

lev_status lev_optics_reflectance(lev_nk nk, double incidence_rad, lev_reflectance *out,
                                  lev_error *err)
{
    if (!(nk.n > 0.0) || !(nk.k >= 0.0) || !isfinite(nk.n) || !isfinite(nk.k))
        return lev_fail(err, LEV_E_RANGE,
                        "optical constants n %g, k %g; n above 0 and k not below 0",
                        nk.n, nk.k);
    if (!(incidence_rad >= 0.0 && incidence_rad < LEV_PI / 2.0))
        return lev_fail(err, LEV_E_RANGE,
                        "angle of incidence %g rad; 0 to less than pi/2",
                        incidence_rad);
    *out = fresnel(nk, incidence_rad);
    return LEV_OK;
}

double lev_optics_glass(double incidence_rad)
{
    return fresnel((lev_nk){lev_light_figure("glass_n"), 0.0}, incidence_rad).mean;
}

/* ---- IEC 61966-2-1: the constants of the coding are its definition ---- */

double lev_srgb_encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear
                               : 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
}

double lev_srgb_decode(double coded)
{
    return coded <= 0.04045 ? coded / 12.92 : pow((coded + 0.055) / 1.055, 2.4);
}

uint8_t lev_srgb_code(double linear)
{
    if (!(linear > 0.0))
        return 0;
    return linear >= 1.0 ? 255 : (uint8_t)lrint(255.0 * lev_srgb_encode(linear));
}

double lev_srgb_linear(uint8_t code)
{
    return lev_srgb_decode((double)code / 255.0);
}

/* ---- CIELAB (ISO/CIE 11664-4): the constants are its definition ---- */

static double lab_root(double share)
{
    const double knee = 6.0 / 29.0;
    return share > knee * knee * knee ? cbrt(share)
                                      : share / (3.0 * knee * knee) + 4.0 / 29.0;
}

static double lab_cube(double root)
{
    const double knee = 6.0 / 29.0;
    return root > knee ? root * root * root : 3.0 * knee * knee * (root - 4.0 / 29.0);
}

void lev_srgb_of_lab(double y, double a, double b, double linear[LEV_COLOURS])
{
    static const double white[3] = {0.9505, 1.0, 1.089}; /* D65, IEC 61966-2-1 */
    static const double to_srgb[LEV_COLOURS][3] = {{3.2406, -1.5372, -0.4986},
                                                   {-0.9689, 1.8758, 0.0415},
                                                   {0.0557, -0.2040, 1.0570}};
    const double f = lab_root(y);
    const double xyz[3] = {white[0] * lab_cube(f + a / 500.0), y,
                           white[2] * lab_cube(f - b / 200.0)};
    for (int c = 0; c < LEV_COLOURS; c++)
        linear[c] =
            to_srgb[c][0] * xyz[0] + to_srgb[c][1] * xyz[1] + to_srgb[c][2] * xyz[2];
}
