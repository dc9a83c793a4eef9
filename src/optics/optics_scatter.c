/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scatter of height maps.
 *
 * Waves: Kirchhoff's tangent-plane picture. U = transform of w exp(i 4 pi z
 * cos/lambda), P = |U|^2 / (N sum w^2), so that the sum of P is one for any taper w
 * (Parseval). Facets: each slope s sends its light to the surface frequency 2 s cos /
 * lambda, the stationary phase of the same integral; slopes are taken over two
 * wavelengths, since finer steps are no mirrors (Li & Torrance, 2005). */
#include "levigate/optics.h"

#include <math.h>
#include <stdlib.h>

#include "mem.h"
#include "optics_fft.h"
#include "optics_figure.h"
#include "optics_relief.h"
#include "optics_screen.h"

static lev_status check_request(const lev_scatter_request *req, lev_error *err)
{
    if (!(req->wavelength_um >= 0.2 && req->wavelength_um <= 20.0))
        return lev_fail(err, LEV_E_RANGE, "light of %g um; 0.2 to 20 um",
                        req->wavelength_um);
    if (!(req->incidence_rad >= 0.0 && req->incidence_rad <= lev_light_rad(89.0)))
        return lev_fail(err, LEV_E_RANGE,
                        "angle of incidence %g degrees; 0 to 89 degrees",
                        req->incidence_rad / lev_light_rad(1.0));
    return LEV_OK;
}

static lev_status check_steps(const lev_height_view *m, const lev_scatter_request *req,
                              lev_error *err)
{
    /* A step of lambda / (4 cos) turns the phase by pi. */
    const double limit = req->wavelength_um / (4.0 * cos(req->incidence_rad));
    const double share = lev_relief_step_share(m, limit);
    if (share <= lev_light_figure("step_share"))
        return LEV_OK;
    return lev_fail(err, LEV_E_RANGE,
                    "the pitch of %g um is too coarse for light of %g um: %.3g %% of "
                    "the steps between points pass %.3g um; a finer map, or facets",
                    m->dx_um, req->wavelength_um, 100.0 * share, limit);
}

/* Hann taper, mean square one. */
static void fill_taper(double *w, ptrdiff_t n)
{
    for (ptrdiff_t i = 0; i < n; i++)
        w[i] = sqrt(8.0 / 3.0) *
               (0.5 - 0.5 * cos(2.0 * LEV_PI * ((double)i + 0.5) / (double)n));
}

static void fill_screen(const lev_height_view *m, const lev_scatter_request *req,
                        const double *taper_x, const double *taper_y, double *u)
{
    const lev_screen_row fill = lev_screen_row_best();
    const lev_plane p = lev_relief_plane(m, req->repeats);
    const double k = 4.0 * LEV_PI * cos(req->incidence_rad) / req->wavelength_um;
    const double ci = (double)(m->nx - 1) / 2.0;
    const double cj = (double)(m->ny - 1) / 2.0;
    for (ptrdiff_t j = 0; j < m->ny; j++) {
        const double z0 = p.mean_um + p.slope_j * ((double)j - cj) - p.slope_i * ci;
        fill(m->z_um + j * m->nx, m->nx, z0, p.slope_i, k, taper_x,
             taper_y != NULL ? taper_y[j] : 1.0, u + 2 * j * m->nx);
    }
}

static lev_status add_waves(const lev_height_view *m, const lev_scatter_request *req,
                            double weight, const double *taper_x, const double *taper_y,
                            fftw_complex *u, float *power, lev_error *err)
{
    lev_status st;
    const double n = (double)m->nx * (double)m->ny;
    LEV_TRY(check_steps(m, req, err));
    fill_screen(m, req, taper_x, taper_y, (double *)u);
    LEV_TRY(lev_fft_complex(u, m->nx, m->ny, err));
    for (ptrdiff_t j = 0; j < m->ny; j++)
        lev_power_row_c((const double *)(u + j * m->nx), m->nx, weight / (n * n),
                        power + j * m->nx);
out:
    return st;
}

static lev_status waves(const lev_height_view *maps, ptrdiff_t n,
                        const lev_scatter_request *req, float *power, lev_error *err)
{
    lev_status st = LEV_OK;
    const ptrdiff_t nx = maps->nx;
    const ptrdiff_t ny = maps->ny;
    double *taper = NULL;
    void *u = NULL;
    LEV_TRY(lev_mem_new((size_t)nx * (size_t)ny, sizeof(fftw_complex), &u, err));
    if (!req->repeats) {
        void *p = NULL;
        LEV_TRY(lev_mem_new((size_t)(nx + ny), sizeof *taper, &p, err));
        taper = p;
        fill_taper(taper, nx);
        fill_taper(taper + nx, ny);
    }
    for (ptrdiff_t k = 0; k < n; k++)
        LEV_TRY(add_waves(&maps[k], req, 1.0 / (double)n, taper,
                          taper != NULL ? taper + nx : NULL, u, power, err));
out:
    lev_mem_free(taper);
    lev_mem_free(u);
    return st;
}

/* ---- facets ---- */

/* Bin of a frequency, or -1 beyond the map's reach. */
static ptrdiff_t bin_of(double f, double step, ptrdiff_t n)
{
    const double b = rint(f / step);
    if (!(fabs(b) < (double)n / 2.0))
        return -1;
    return b < 0.0 ? (ptrdiff_t)b + n : (ptrdiff_t)b;
}

/* Points on which a slope is taken: two wavelengths, at least one pitch. */
static ptrdiff_t base_points(double pitch_um, double wavelength_um, ptrdiff_t n)
{
    const ptrdiff_t b = (ptrdiff_t)ceil(2.0 * wavelength_um / pitch_um);
    return b < 1 ? 1 : b > n / 4 ? n / 4 : b;
}

static double add_facets(const lev_height_view *m, const lev_scatter_request *req,
                         double weight, const lev_scatter *s)
{
    const lev_plane p = lev_relief_plane(m, req->repeats);
    const ptrdiff_t bx = base_points(m->dx_um, req->wavelength_um, m->nx);
    const ptrdiff_t by = base_points(m->dy_um, req->wavelength_um, m->ny);
    const double to_f = 2.0 * cos(req->incidence_rad) / req->wavelength_um;
    const double each = weight / ((double)(m->nx - bx) * (double)(m->ny - by));
    double lost = 0.0;
    for (ptrdiff_t j = 0; j + by < m->ny; j++) {
        const float *const row = m->z_um + j * m->nx;
        const float *const up = row + by * m->nx;
        for (ptrdiff_t i = 0; i + bx < m->nx; i++) {
            const double rise_x = (double)row[i + bx] - (double)row[i];
            const double rise_y = (double)up[i] - (double)row[i];
            const double sx = (rise_x / (double)bx - p.slope_i) / m->dx_um;
            const double sy = (rise_y / (double)by - p.slope_j) / m->dy_um;
            const ptrdiff_t a = bin_of(to_f * sx, s->fx_per_um, s->nx);
            const ptrdiff_t b = bin_of(to_f * sy, s->fy_per_um, s->ny);
            if (a < 0 || b < 0)
                lost += each;
            else
                s->power[b * s->nx + a] += (float)each;
        }
    }
    return lost;
}

/* ---- the mirror beam ---- */

static int by_size(const void *a, const void *b)
{
    const float x = *(const float *)a;
    const float y = *(const float *)b;
    return (x > y) - (x < y);
}

static float power_at(const lev_scatter *s, ptrdiff_t p, ptrdiff_t q)
{
    return s->power[((q + s->ny) % s->ny) * s->nx + (p + s->nx) % s->nx];
}

/* The beam is what rises above the middle one of the bins around it: the middle, not
 * the mean, so that the orders of a grating are no scatter. */
static void find_mirror(lev_scatter *s)
{
    enum { RING_MAX = 16 };
    float ring[RING_MAX];
    int n = 0;
    double sum = 0.0;
    const ptrdiff_t b = s->mirror_bins;
    for (ptrdiff_t q = -b - 1; q <= b + 1; q++)
        for (ptrdiff_t p = -b - 1; p <= b + 1; p++) {
            if (labs(p) > b || labs(q) > b)
                ring[n++] = power_at(s, p, q);
            else
                sum += (double)power_at(s, p, q);
        }
    qsort(ring, (size_t)n, sizeof *ring, by_size);
    const double bins = (double)((2 * b + 1) * (2 * b + 1));
    s->floor = fmin((double)ring[n / 2], sum / bins);
    s->mirror = sum - bins * s->floor;
}

static lev_status fill_power(const lev_height_view *maps, ptrdiff_t n,
                             const lev_scatter_request *req, lev_scatter *s,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    if (req->way == LEV_SCATTER_WAVES) {
        LEV_TRY(waves(maps, n, req, s->power, err));
        s->mirror_bins = req->repeats ? 0 : 1;
        find_mirror(s);
    } else {
        for (ptrdiff_t k = 0; k < n; k++)
            s->lost += add_facets(&maps[k], req, 1.0 / (double)n, s);
        s->mirror_bins = -1;
    }
out:
    return st;
}

lev_status lev_optics_scatter(const lev_height_view *maps, ptrdiff_t n,
                              const lev_scatter_request *req, lev_scatter *out,
                              lev_error *err)
{
    lev_status st;
    lev_scatter s = {0};
    lev_scatter_request r = *req;
    void *power = NULL;
    if (!(r.wavelength_um > 0.0) && !(r.wavelength_um < 0.0))
        r.wavelength_um = lev_optics_wavelength_um(LEV_GREEN);
    LEV_TRY(check_request(&r, err));
    LEV_TRY(lev_relief_check(maps, n, err));
    s = (lev_scatter){.nx = maps->nx,
                      .ny = maps->ny,
                      .fx_per_um = 1.0 / ((double)maps->nx * maps->dx_um),
                      .fy_per_um = 1.0 / ((double)maps->ny * maps->dy_um),
                      .wavelength_um = r.wavelength_um,
                      .incidence_rad = r.incidence_rad};
    LEV_TRY(lev_mem_new((size_t)s.nx * (size_t)s.ny, sizeof(float), &power, err));
    s.power = power;
    LEV_TRY(fill_power(maps, n, &r, &s, err));
    *out = s;
    s = (lev_scatter){0};
out:
    lev_scatter_release(&s);
    return st;
}

void lev_scatter_release(lev_scatter *s)
{
    if (s == NULL)
        return;
    lev_mem_free(s->power);
    *s = (lev_scatter){0};
}
