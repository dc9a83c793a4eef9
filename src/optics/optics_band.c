/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The part of a map's roughness that light can see: the sum of its power spectrum below
 * the spatial frequency 1 / lambda (Harvey, Choi, Krywonos & Marcen, 2009, for normal
 * incidence). */
#include "levigate/optics.h"

#include <math.h>

#include "mem.h"
#include "optics_fft.h"
#include "optics_relief.h"

/* Mean square below f_max of a transformed map (rows of nx / 2 + 1 pairs). */
static double below(const double *a, const lev_height_view *m, double f_max)
{
    const double fx = 1.0 / ((double)m->nx * m->dx_um);
    const double fy = 1.0 / ((double)m->ny * m->dy_um);
    const ptrdiff_t half = m->nx / 2;
    double sum = 0.0;
    for (ptrdiff_t j = 0; j < m->ny; j++) {
        const double y = fy * (double)(j <= m->ny / 2 ? j : j - m->ny);
        for (ptrdiff_t i = 0; i <= half; i++) {
            const double *const u = a + 2 * (j * (half + 1) + i);
            const bool twice = i > 0 && 2 * i < m->nx;
            if (hypot((double)i * fx, y) <= f_max)
                sum += (twice ? 2.0 : 1.0) * (u[0] * u[0] + u[1] * u[1]);
        }
    }
    const double n = (double)m->nx * (double)m->ny;
    return sum / (n * n);
}

static void fill(const lev_height_view *m, double *a)
{
    const lev_plane p = lev_relief_plane(m, false);
    const double ci = (double)(m->nx - 1) / 2.0;
    const double cj = (double)(m->ny - 1) / 2.0;
    const ptrdiff_t row = 2 * (m->nx / 2 + 1);
    for (ptrdiff_t j = 0; j < m->ny; j++)
        for (ptrdiff_t i = 0; i < m->nx; i++)
            a[j * row + i] = (double)m->z_um[j * m->nx + i] - p.mean_um -
                             p.slope_i * ((double)i - ci) -
                             p.slope_j * ((double)j - cj);
}

lev_status lev_optics_band_map(const lev_height_view *maps, ptrdiff_t n,
                               double wavelength_um, double *sq_um, lev_error *err)
{
    lev_status st;
    void *a = NULL;
    double sum = 0.0;
    LEV_TRY(lev_relief_check(maps, n, err));
    const double finest = fmin(maps->dx_um, maps->dy_um);
    if (finest >= wavelength_um / sqrt(2.0)) { /* no wave of the map is that fine */
        lev_relief_stats r = {0};
        LEV_TRY(lev_optics_relief_stats(maps, n, &r, err));
        *sq_um = r.sq_um;
        goto out;
    }
    const size_t cells = (size_t)maps->ny * 2 * (size_t)(maps->nx / 2 + 1);
    LEV_TRY(lev_mem_new(cells, sizeof(double), &a, err));
    for (ptrdiff_t k = 0; k < n; k++) {
        fill(&maps[k], a);
        LEV_TRY(lev_fft_forward(a, maps->nx, maps->ny, err));
        sum += below(a, &maps[k], 1.0 / wavelength_um);
    }
    *sq_um = sqrt(sum / (double)n);
out:
    lev_mem_free(a);
    return st;
}
