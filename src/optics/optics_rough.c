/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scatter of surfaces told by a few figures: the Beckmann-Kirchhoff series for normally
 * distributed heights (Beckmann & Spizzichino, 1963), its limit for rough faces (slopes
 * as small mirrors), Bennett & Porteus (1961), and the part of the roughness that light
 * can see (Harvey, Choi, Krywonos & Marcen, 2009).
 *
 * The series is a Poisson mean over m (number g) of Px(m) Py(m), the shares of an
 * m-fold scattered beam inside the opening: terms beyond ten deviations of the Poisson
 * law are below 1e-20 and are left out, so any g costs about 20 sqrt(g) terms. */
#include "levigate/optics.h"

#include <math.h>

#include "num.h"
#include "optics_figure.h"

double lev_optics_g(double sq_um, double wavelength_um, double incidence_rad)
{
    const double phase = 4.0 * LEV_PI * sq_um * cos(incidence_rad) / wavelength_um;
    return phase * phase;
}

/* Share of an m-fold scattered beam between two surface frequencies. */
static double axis_share(lev_acf acf, double length_um, double m, double f_low,
                         double f_high)
{
    if (!(length_um > 0.0)) /* the face does not vary this way: no scatter this way */
        return f_low <= 0.0 && f_high >= 0.0 ? 1.0 : 0.0;
    if (acf == LEV_ACF_EXPONENTIAL) {
        const double w = 2.0 * LEV_PI * length_um / m;
        return (atan(w * f_high) - atan(w * f_low)) / LEV_PI;
    }
    const double q = sqrt(m / 2.0) / (LEV_PI * length_um);
    return lev_norm_cdf(f_high / q) - lev_norm_cdf(f_low / q);
}

/* exp(-g) g^m / m!, without overflow and without the global sign of lgamma. */
static double poisson(double g, double m)
{
    int sign;
    return exp(m * log(g) - g - lgamma_r(m + 1.0, &sign));
}

/* The largest slope the file's figures allow at this angle. */
static double slope_limit(double incidence_rad)
{
    const bool grazing = incidence_rad > lev_light_rad(80.0);
    return lev_light_figure(grazing ? "slope_limit_85" : "slope_limit");
}

static unsigned slope_notes(const lev_rough *s, double incidence_rad)
{
    const double limit = slope_limit(incidence_rad);
    const double a = s->length_in_um > 0.0 ? sqrt(2.0) * s->sq_um / s->length_in_um : 0;
    const double b =
        s->length_cross_um > 0.0 ? sqrt(2.0) * s->sq_um / s->length_cross_um : 0;
    return fmax(a, b) > limit ? (unsigned)LEV_NOTE_OUTSIDE : 0U;
}

double lev_optics_rough_share(const lev_rough *s, double wavelength_um,
                              const lev_window *w, unsigned *notes)
{
    const double g = lev_optics_g(s->sq_um, wavelength_um, w->incidence_rad);
    const double alpha = sin(w->incidence_rad);
    const double f_low = (w->alpha_low - alpha) / wavelength_um;
    const double f_high = (w->alpha_high - alpha) / wavelength_um;
    const double f_cross = w->beta_half / wavelength_um;
    const double reach = 10.0 * sqrt(g) + 20.0;
    const double first = fmax(1.0, floor(g - reach));
    double share = f_low <= 0.0 && f_high >= 0.0 ? exp(-g) : 0.0;
    if (notes != NULL)
        *notes |= slope_notes(s, w->incidence_rad);
    if (!(g > 0.0))
        return share;
    double p = poisson(g, first);
    for (double m = first; m <= g + reach; m += 1.0, p *= g / m)
        share += p * axis_share(s->acf, s->length_in_um, m, f_low, f_high) *
                 axis_share(s->acf, s->length_cross_um, m, -f_cross, f_cross);
    return share;
}

double lev_optics_facet_share(double slope_in, double slope_cross, double in_plane_rad,
                              double cross_rad, double incidence_rad)
{
    const double root = 4.0 * sqrt(2.0);
    const double in = slope_in > 0.0 ? erf(in_plane_rad / (root * slope_in)) : 1.0;
    const double across =
        slope_cross > 0.0 ? erf(cross_rad / (root * slope_cross * cos(incidence_rad)))
                          : 1.0;
    return in * across;
}

double lev_optics_bennett_porteus(double sq_um, double slope, double wavelength_um,
                                  double acceptance_rad)
{
    const double ratio = sq_um / wavelength_um;
    const double scatter = 32.0 * pow(LEV_PI, 4.0) / (slope * slope) * pow(ratio, 4.0) *
                           acceptance_rad * acceptance_rad;
    return exp(-lev_optics_g(sq_um, wavelength_um, 0.0)) + scatter;
}

double lev_optics_band_gauss(double length_um, double wavelength_um)
{
    const double x = LEV_PI * length_um / wavelength_um;
    return -expm1(-x * x);
}

double lev_optics_band_abc(double b_um, double c, double wavelength_um)
{
    const double x = b_um / wavelength_um;
    return 1.0 - pow(1.0 + x * x, -(c - 2.0) / 2.0);
}

double lev_optics_rough_mtf(const lev_rough *s, double wavelength_um,
                            double incidence_rad, double nu_per_rad, bool cross)
{
    const double g = lev_optics_g(s->sq_um, wavelength_um, incidence_rad);
    const double length = cross ? s->length_cross_um : s->length_in_um;
    const double shift =
        wavelength_um * nu_per_rad / (cross ? 1.0 : cos(incidence_rad));
    if (!(length > 0.0))
        return 1.0;
    const double t = shift / length;
    return exp(g * (s->acf == LEV_ACF_GAUSS ? expm1(-t * t) : expm1(-fabs(t))));
}

double lev_optics_comb_clarity(double comb_mm,
                               double (*mtf)(double f_per_mm, void *ctx), void *ctx)
{
    /* The square wave's odd harmonics; the mean of the last two partial sums also
     * converges for a blur that keeps some contrast at any frequency. */
    double sum = 0.0;
    double before = 0.0;
    double sign = 1.0;
    for (int k = 1; k < 2000; k += 2, sign = -sign) {
        before = sum;
        sum += sign * mtf(k / (2.0 * comb_mm), ctx) / k;
    }
    return 100.0 * (4.0 / LEV_PI) * (sum + before) / 2.0;
}
