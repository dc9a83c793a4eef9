/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shaded relief: brightness of a matt face, the cosine between its normal and the
 * lamp (Lambert, Photometria, 1760). Slopes by central differences, one-sided at the
 * edges. */
#include <math.h>

#include "levigate/simulate.h"
#include "units.h"

/* Usual stretch: the root mean square slope becomes this. */
static const double USUAL_SLOPE = 0.5;

typedef struct relief {
    const float *h_um;
    ptrdiff_t nx, ny;
    double pitch_um;
} relief;

static double height(const relief *r, ptrdiff_t i, ptrdiff_t j)
{
    return (double)r->h_um[j * r->nx + i];
}

static void slopes(const relief *r, ptrdiff_t i, ptrdiff_t j, double *sx, double *sy)
{
    const ptrdiff_t i0 = i > 0 ? i - 1 : i, i1 = i + 1 < r->nx ? i + 1 : i;
    const ptrdiff_t j0 = j > 0 ? j - 1 : j, j1 = j + 1 < r->ny ? j + 1 : j;
    *sx = i1 > i0 ? (height(r, i1, j) - height(r, i0, j)) /
                        ((double)(i1 - i0) * r->pitch_um)
                  : 0.0;
    *sy = j1 > j0 ? (height(r, i, j1) - height(r, i, j0)) /
                        ((double)(j1 - j0) * r->pitch_um)
                  : 0.0;
}

static double usual_stretch(const relief *r)
{
    double sum = 0.0;
    ptrdiff_t n = 0;
    for (ptrdiff_t j = 0; j < r->ny; j++) {
        for (ptrdiff_t i = 0; i < r->nx; i++) {
            double sx, sy;
            slopes(r, i, j, &sx, &sy);
            if (isnan(sx) || isnan(sy))
                continue;
            sum += sx * sx + sy * sy;
            n++;
        }
    }
    return sum > 0.0 ? USUAL_SLOPE / sqrt(sum / (double)n) : 1.0;
}

static uint8_t grey_of(double bright)
{
    return (uint8_t)lrint(255.0 * fmin(fmax(bright, 0.0), 1.0));
}

lev_status lev_relief_shade(const float *h_um, ptrdiff_t nx, ptrdiff_t ny,
                            double pitch_um, double azimuth_rad, double altitude_rad,
                            double stretch, uint8_t *grey, lev_error *err)
{
    if (nx < 1 || ny < 1 || !(pitch_um > 0.0))
        return lev_fail(err, LEV_E_RANGE, "map of %td x %td points %g um apart", nx, ny,
                        pitch_um);
    if (!(altitude_rad > 0.0 && altitude_rad <= LEV_PI / 2.0))
        return lev_fail(err, LEV_E_RANGE, "lamp at %g rad is not in 0 to pi/2",
                        altitude_rad);
    const relief r = {h_um, nx, ny, pitch_um};
    const double k = stretch > 0.0 ? stretch : usual_stretch(&r);
    const double lx = cos(altitude_rad) * sin(azimuth_rad);
    const double ly = cos(altitude_rad) * cos(azimuth_rad), lz = sin(altitude_rad);
    for (ptrdiff_t j = 0; j < ny; j++) {
        for (ptrdiff_t i = 0; i < nx; i++) {
            double sx, sy;
            slopes(&r, i, j, &sx, &sy);
            sx *= k;
            sy *= k;
            const double bright =
                (lz - sx * lx - sy * ly) / sqrt(1.0 + sx * sx + sy * sy);
            grey[j * nx + i] = isnan(bright) ? 0 : grey_of(bright);
        }
    }
    return LEV_OK;
}
