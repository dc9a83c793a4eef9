/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Form removal: the least-squares line, plane, polynomial, circle or sphere in z.
 *
 * Trace and map share the code: a trace is a map of one row whose y terms are left out.
 * Polynomials are fitted in Legendre terms of x and y scaled to -1 .. 1, where the
 * unknowns hardly depend on one another, and written back in plain powers for the
 * report. Circle and sphere are parametrised by height, slopes and curvature in the
 * middle: unlike centre and radius these stay finite when the piece is flat. */
#include "levigate/surface.h"

#include <math.h>
#include <string.h>

#include "units.h"

enum { DEGREE_MAX = 8, ROUNDS_MAX = 50 };

/* A grid of heights, float or double. */
typedef struct grid {
    double *zd;
    float *zf;
    ptrdiff_t nx, ny;
    double dx_um, dy_um;
    bool is_map;
} grid;

static double grid_at(const grid *g, ptrdiff_t i)
{
    return g->zd != NULL ? g->zd[i] : (double)g->zf[i];
}

static void grid_set(const grid *g, ptrdiff_t i, double z)
{
    if (g->zd != NULL)
        g->zd[i] = z;
    else
        g->zf[i] = (float)z;
}

/* Position of sample i scaled to -1 .. 1. */
static double scaled(ptrdiff_t i, ptrdiff_t n)
{
    return n > 1 ? 2.0 * (double)i / (double)(n - 1) - 1.0 : 0.0;
}

/* Legendre polynomials of degree 0 .. d at x. Source: Abramowitz & Stegun 22.7.10. */
static void legendre(double x, int d, double *p)
{
    p[0] = 1.0;
    if (d > 0)
        p[1] = x;
    for (int k = 1; k < d; k++)
        p[k + 1] = ((2 * k + 1) * x * p[k] - k * p[k - 1]) / (k + 1);
}

/* The terms p_a(x) p_b(y), a + b <= d (b = 0 only in a trace); returns their number. */
static int poly_terms(const double *px, const double *py, int d, bool is_map,
                      double *row)
{
    int n = 0;
    for (int total = 0; total <= d; total++)
        for (int b = 0; b <= (is_map ? total : 0); b++)
            row[n++] = px[total - b] * py[b];
    return n;
}

static double dot(const double *a, const double *b, int n)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += a[i] * b[i];
    return sum;
}

static lev_status poly_fit(const grid *g, int d, double *coef, int *n, lev_error *err)
{
    double px[DEGREE_MAX + 1], py[DEGREE_MAX + 1], row[LEV_LSTSQ_MAX];
    lev_lstsq s = {0};
    legendre(0.0, d, px);
    s.n = *n = poly_terms(px, px, d, g->is_map, row);
    for (ptrdiff_t j = 0; j < g->ny; j++) {
        legendre(scaled(j, g->ny), d, py);
        for (ptrdiff_t i = 0; i < g->nx; i++) {
            const double z = grid_at(g, j * g->nx + i);
            if (isnan(z))
                continue;
            legendre(scaled(i, g->nx), d, px);
            (void)poly_terms(px, py, d, g->is_map, row);
            lev_lstsq_add(&s, row, z);
        }
    }
    return lev_lstsq_solve(&s, coef, err);
}

static void poly_remove(const grid *g, int d, const double *coef)
{
    double px[DEGREE_MAX + 1], py[DEGREE_MAX + 1], row[LEV_LSTSQ_MAX];
    for (ptrdiff_t j = 0; j < g->ny; j++) {
        legendre(scaled(j, g->ny), d, py);
        for (ptrdiff_t i = 0; i < g->nx; i++) {
            const ptrdiff_t at = j * g->nx + i;
            legendre(scaled(i, g->nx), d, px);
            const int n = poly_terms(px, py, d, g->is_map, row);
            grid_set(g, at, grid_at(g, at) - dot(coef, row, n));
        }
    }
}

/* Coefficients in powers of x (mm from the middle) from those in Legendre terms. */
static void plain_powers(const grid *g, int d, const double *legendre_coef,
                         double *coef)
{
    double p[DEGREE_MAX + 1][DEGREE_MAX + 1] = {{1.0}, {0.0, 1.0}};
    for (int k = 1; k < d; k++)
        for (int m = 0; m <= k + 1; m++)
            p[k + 1][m] =
                ((m > 0 ? (2 * k + 1) * p[k][m - 1] : 0.0) - k * p[k - 1][m]) / (k + 1);
    const double half_mm = 0.5 * (double)(g->nx - 1) * g->dx_um / LEV_UM_PER_MM;
    for (int m = 0; m <= d; m++) {
        double sum = 0.0;
        for (int k = m; k <= d; k++)
            sum += legendre_coef[k] * p[k][m];
        coef[m] = sum / pow(half_mm > 0.0 ? half_mm : 1.0, m);
    }
}

/* For a plane: height at the first sample, slope per column, slope per row. */
static void plane_report(const grid *g, const double *c, double *coef)
{
    coef[0] = c[0] - (g->nx > 1 ? c[1] : 0.0) - (g->ny > 1 ? c[2] : 0.0);
    coef[1] = g->nx > 1 ? 2.0 * c[1] / (double)(g->nx - 1) : 0.0;
    coef[2] = g->ny > 1 ? 2.0 * c[2] / (double)(g->ny - 1) : 0.0;
}

static lev_status remove_polynomial(const grid *g, int d, lev_form_fit *fit,
                                    lev_error *err)
{
    double c[LEV_LSTSQ_MAX] = {0};
    int n = 0;
    if (d < 0 || d > DEGREE_MAX)
        return lev_fail(err, LEV_E_RANGE, "polynomial of degree %d; 0 to %d", d,
                        DEGREE_MAX);
    const lev_status st = poly_fit(g, d, c, &n, err);
    if (st < 0)
        return st;
    poly_remove(g, d, c);
    fit->n = n;
    if (!g->is_map)
        plain_powers(g, d, c, fit->coef);
    else if (d == 1)
        plane_report(g, c, fit->coef);
    else
        memcpy(fit->coef, c, sizeof c);
    return LEV_OK;
}

/* Height of the sphere p = {height, slope x, slope y, curvature} at (x, y) above its
 * height in the middle: the root near 0 of
 *   curvature/2 (x^2 + y^2 + w^2) + s (bx x + by y) - s w = 0, s = 1/sqrt(1+bx^2+by^2),
 * and its derivatives by the four parameters. NaN beyond the sphere. */
static double sphere_height(const double p[4], double x, double y, double grad[4])
{
    const double s = 1.0 / sqrt(1.0 + p[1] * p[1] + p[2] * p[2]), k = p[3];
    const double t = p[1] * x + p[2] * y, q = k * (x * x + y * y) + 2.0 * s * t;
    const double root = sqrt(s * s - k * q);
    const double w = q / (s + root);
    const double by_w = k * w - s;
    grad[0] = 1.0;
    grad[1] = -(s * x + (t - w) * (-p[1] * s * s * s)) / by_w;
    grad[2] = -(s * y + (t - w) * (-p[2] * s * s * s)) / by_w;
    grad[3] = -0.5 * (x * x + y * y + w * w) / by_w;
    return w;
}

static double centred_um(ptrdiff_t i, ptrdiff_t n, double dx_um)
{
    return ((double)i - 0.5 * (double)(n - 1)) * dx_um;
}

/* One Gauss-Newton step: p += change; *size = largest share of a parameter's reach. */
static lev_status sphere_step(const grid *g, double p[4], double scale_um, double *size,
                              lev_error *err)
{
    lev_lstsq s = {.n = g->is_map ? 4 : 3};
    double change[4] = {0}, grad[4];
    for (ptrdiff_t at = 0; at < g->nx * g->ny; at++) {
        const double z = grid_at(g, at);
        if (isnan(z))
            continue;
        const double w = sphere_height(p, centred_um(at % g->nx, g->nx, g->dx_um),
                                       centred_um(at / g->nx, g->ny, g->dy_um), grad);
        if (isnan(w))
            return lev_fail(err, LEV_E_RANGE,
                            "the piece is too steep for a circle or sphere");
        double row[4] = {1.0, grad[1] / scale_um, grad[3] / (scale_um * scale_um),
                         grad[2] / scale_um};
        lev_lstsq_add(&s, row, z - p[0] - w);
    }
    const lev_status st = lev_lstsq_solve(&s, change, err);
    if (st < 0)
        return st;
    *size = fmax(fmax(fabs(change[0]), fabs(change[1])),
                 fmax(fabs(change[2]), fabs(change[3])));
    p[0] += change[0];
    p[1] += change[1] / scale_um;
    p[3] += change[2] / (scale_um * scale_um);
    p[2] += change[3] / scale_um;
    return LEV_OK;
}

static lev_status remove_sphere(const grid *g, lev_form_fit *fit, lev_error *err)
{
    double p[4] = {0}, grad[4], size = (double)INFINITY;
    const double scale = 0.5 * fmax((double)g->nx * g->dx_um, (double)g->ny * g->dy_um);
    for (int round = 0; round < ROUNDS_MAX && size > 1e-12 * (1.0 + fabs(p[0]));
         round++) {
        const lev_status st = sphere_step(g, p, scale, &size, err);
        if (st < 0)
            return st;
    }
    for (ptrdiff_t at = 0; at < g->nx * g->ny; at++) {
        const double w = sphere_height(p, centred_um(at % g->nx, g->nx, g->dx_um),
                                       centred_um(at / g->nx, g->ny, g->dy_um), grad);
        grid_set(g, at, grid_at(g, at) - p[0] - w);
    }
    memcpy(fit->coef, p, sizeof p);
    fit->n = g->is_map ? 4 : 3;
    fit->radius_um = -1.0 / p[3];
    return LEV_OK;
}

static double grid_rms(const grid *g)
{
    double sum = 0.0;
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < g->nx * g->ny; i++) {
        const double z = grid_at(g, i);
        if (isnan(z))
            continue;
        sum += z * z;
        n++;
    }
    return n > 0 ? sqrt(sum / (double)n) : (double)NAN;
}

static lev_status level(const grid *g, lev_form form, int degree, lev_form_fit *fit,
                        lev_error *err)
{
    lev_form_fit local = {0};
    lev_status st = LEV_OK;
    if (fit == NULL)
        fit = &local;
    *fit = (lev_form_fit){0};
    if (form == LEV_FORM_MEAN)
        st = remove_polynomial(g, 0, fit, err);
    else if (form == LEV_FORM_LINE)
        st = remove_polynomial(g, 1, fit, err);
    else if (form == LEV_FORM_POLYNOMIAL)
        st = remove_polynomial(g, degree, fit, err);
    else if (form == LEV_FORM_CIRCLE)
        st = remove_sphere(g, fit, err);
    if (st == LEV_OK)
        fit->rms_um = grid_rms(g);
    return st;
}

lev_status lev_trace_level(lev_trace *t, lev_form form, int degree, lev_form_fit *fit,
                           lev_error *err)
{
    const grid g = {
        .zd = t->z_um, .nx = t->n, .ny = 1, .dx_um = t->dx_um, .dy_um = 1.0};
    return level(&g, form, degree, fit, err);
}

lev_status lev_map_level(lev_map *m, lev_form form, int degree, lev_form_fit *fit,
                         lev_error *err)
{
    const grid g = {.zf = m->z_um,
                    .nx = m->nx,
                    .ny = m->ny,
                    .dx_um = m->dx_um,
                    .dy_um = m->dy_um,
                    .is_map = true};
    return level(&g, form, degree, fit, err);
}
