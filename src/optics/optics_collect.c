/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a receptor collects of a scatter, and the contrast that is left of a picture.
 * The plane of incidence may lie at any azimuth: the bins are turned, not the map. */
#include "optics_collect.h"

#include <math.h>
#include <stdlib.h>

#include "mem.h"
#include "optics_figure.h"

static ptrdiff_t signed_bin(ptrdiff_t i, ptrdiff_t n)
{
    return i < (n + 1) / 2 ? i : i - n;
}

lev_turn lev_turn_of(const lev_scatter *s, double azimuth_rad)
{
    const double c = cos(azimuth_rad);
    const double d = sin(azimuth_rad);
    const double x = s->wavelength_um * s->fx_per_um;
    const double y = s->wavelength_um * s->fy_per_um;
    return (lev_turn){.in_p = c * x,
                      .in_q = d * y,
                      .cross_p = -d * x,
                      .cross_q = c * y,
                      .width_in = fabs(c) * x + fabs(d) * y,
                      .width_cross = fabs(d) * x + fabs(c) * y};
}

/* Share sent below the horizon: waves that do not travel. */
static double evanescent(const lev_scatter *s, const lev_turn *t)
{
    const double alpha = sin(s->incidence_rad);
    const double far = hypot(s->wavelength_um * s->fx_per_um * (double)s->nx / 2.0,
                             s->wavelength_um * s->fy_per_um * (double)s->ny / 2.0);
    double sum = 0.0;
    if (alpha + far <= 1.0)
        return 0.0;
    for (ptrdiff_t j = 0; j < s->ny; j++) {
        const double q = (double)signed_bin(j, s->ny);
        const float *const row = s->power + j * s->nx;
        for (ptrdiff_t i = 0; i < s->nx; i++) {
            const double p = (double)signed_bin(i, s->nx);
            const double a = alpha + t->in_p * p + t->in_q * q;
            const double b = t->cross_p * p + t->cross_q * q;
            if (a * a + b * b > 1.0)
                sum += (double)row[i];
        }
    }
    return sum;
}

/* Share of a bin of this width, centred at x, between low and high. */
static double overlap(double x, double width, double low, double high)
{
    const double a = fmax(x - width / 2.0, low);
    const double b = fmin(x + width / 2.0, high);
    return b > a ? (b - a) / width : 0.0;
}

typedef struct box {
    ptrdiff_t p_max, q_max;
} box;

/* The bins that can reach into the window: its corners, turned back to the map. */
static lev_status window_box(const lev_scatter *s, const lev_window *w, double azimuth,
                             box *out, lev_error *err)
{
    const double alpha = sin(s->incidence_rad);
    const double in = fmax(fabs(w->alpha_low - alpha), fabs(w->alpha_high - alpha));
    const double c = fabs(cos(azimuth));
    const double d = fabs(sin(azimuth));
    const double x = (c * in + d * w->beta_half) / s->wavelength_um;
    const double y = (d * in + c * w->beta_half) / s->wavelength_um;
    const double reach_x = s->fx_per_um * (double)s->nx / 2.0;
    const double reach_y = s->fy_per_um * (double)s->ny / 2.0;
    if (x > reach_x || y > reach_y)
        return lev_fail(err, LEV_E_RANGE,
                        "the pitch of the map (%.3g x %.3g um) is too coarse for light "
                        "of %g um at %.3g degrees; at most %.3g x %.3g um",
                        0.5 / reach_x, 0.5 / reach_y, s->wavelength_um,
                        s->incidence_rad / lev_light_rad(1.0), 0.5 / x, 0.5 / y);
    const double p = fmin(ceil(x / s->fx_per_um) + 1.0, (double)((s->nx - 1) / 2));
    const double q = fmin(ceil(y / s->fy_per_um) + 1.0, (double)((s->ny - 1) / 2));
    *out = (box){(ptrdiff_t)p, (ptrdiff_t)q};
    return LEV_OK;
}

static double bin_power(const lev_scatter *s, ptrdiff_t p, ptrdiff_t q)
{
    if (labs(p) <= s->mirror_bins && labs(q) <= s->mirror_bins)
        return s->floor; /* the beam itself is no bin but a point: see below */
    return (double)s->power[(q < 0 ? q + s->ny : q) * s->nx + (p < 0 ? p + s->nx : p)];
}

static double window_sum(const lev_scatter *s, const lev_window *w, const lev_turn *t,
                         box b)
{
    const double alpha = sin(s->incidence_rad);
    const bool sees_mirror = w->alpha_low <= alpha && w->alpha_high >= alpha;
    double sum = sees_mirror ? s->mirror : 0.0;
    for (ptrdiff_t q = -b.q_max; q <= b.q_max; q++)
        for (ptrdiff_t p = -b.p_max; p <= b.p_max; p++) {
            const double x = (double)p;
            const double y = (double)q;
            const double in = alpha + t->in_p * x + t->in_q * y;
            const double cross = t->cross_p * x + t->cross_q * y;
            const double part =
                overlap(in, t->width_in, w->alpha_low, w->alpha_high) *
                overlap(cross, t->width_cross, -w->beta_half, w->beta_half);
            if (part > 0.0)
                sum += part * bin_power(s, p, q);
        }
    return sum;
}

lev_status lev_optics_collect(const lev_scatter *s, const lev_window *w,
                              double azimuth_rad, double *share, lev_error *err)
{
    lev_status st;
    box b = {0};
    const lev_turn t = lev_turn_of(s, azimuth_rad);
    LEV_TRY(window_box(s, w, azimuth_rad, &b, err));
    *share = window_sum(s, w, &t, b) / (1.0 - evanescent(s, &t));
out:
    return st;
}

/* ---- contrast ---- */

/* The scatter seen as a line: summed square to one direction. */
lev_status lev_line_new(const lev_scatter *s, double azimuth_rad, bool cross,
                        lev_line *out, lev_error *err)
{
    lev_status st;
    void *w = NULL;
    const lev_turn t = lev_turn_of(s, azimuth_rad);
    const double step_p = cross ? t.cross_p : t.in_p;
    const double step_q = cross ? t.cross_q : t.in_q;
    const double width = cross ? t.width_cross : t.width_in;
    const double far =
        (fabs(step_p) * (double)s->nx + fabs(step_q) * (double)s->ny) / 2;
    const ptrdiff_t half = (ptrdiff_t)ceil(far / width) + 1;
    LEV_TRY(lev_mem_new((size_t)(2 * half + 1), sizeof(double), &w, err));
    *out = (lev_line){.w = w, .half = half, .step = width, .mirror = s->mirror};
    for (ptrdiff_t j = 0; j < s->ny; j++)
        for (ptrdiff_t i = 0; i < s->nx; i++) {
            const ptrdiff_t p = signed_bin(i, s->nx);
            const ptrdiff_t q = signed_bin(j, s->ny);
            const double x = (step_p * (double)p + step_q * (double)q) / width;
            const double low = floor(x);
            const double power = labs(p) <= s->mirror_bins && labs(q) <= s->mirror_bins
                                     ? s->floor
                                     : (double)s->power[j * s->nx + i];
            double *const at = out->w + half + (ptrdiff_t)low;
            at[0] += power * (1.0 - (x - low));
            if (x > low)
                at[1] += power * (x - low);
        }
out:
    return st;
}

void lev_line_release(lev_line *l)
{
    lev_mem_free(l->w);
    *l = (lev_line){0};
}

double lev_line_mtf(const lev_line *l, double cycles)
{
    const double turn = 2.0 * LEV_PI * cycles * l->step;
    const double x = turn / 2.0; /* a bin is as wide as it is: its own blur */
    const double blur = fabs(x) > 1e-6 ? sin(x) / x : 1.0;
    double re = 0.0;
    double im = 0.0;
    if (fabs(x) > LEV_PI) /* shifts longer than the map: it knows nothing of them */
        return l->mirror;
    for (ptrdiff_t i = -l->half; i <= l->half; i++) {
        re += l->w[l->half + i] * cos(turn * (double)i);
        im += l->w[l->half + i] * sin(turn * (double)i);
    }
    return hypot(l->mirror + blur * re, blur * im);
}

double lev_optics_mtf(const lev_scatter *s, double azimuth_rad, bool cross,
                      double nu_per_rad)
{
    lev_line l = {0};
    if (lev_line_new(s, azimuth_rad, cross, &l, NULL) < 0)
        return NAN;
    const double cycles = cross ? nu_per_rad : nu_per_rad / cos(s->incidence_rad);
    const double c = lev_line_mtf(&l, cycles);
    lev_line_release(&l);
    return c;
}
