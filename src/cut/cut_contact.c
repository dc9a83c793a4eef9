/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steady surface under springy grains.
 *
 * Rigid tips at depths w under a sheet that comes down v per distance leave a surface
 * with P(depth <= y) = exp(-(n t / v) E[(w - y)+^2]): Poisson grooves, each of half
 * width t (w - y) at depth y. A tip on a spring k = E_b D reaches w where
 * k (z - w) = (pi/2) H t A(w), A being the section it engages on average,
 * A(w) = 2 t int (w - y)+ G(y) dy. Both together fix the surface, without its mean
 * height being asked for: v follows from the load. In lengths of d50 the unknown
 * Lambda = -ln G solves Lambda'' = load * reach(z(y)), z = y + stiffness A / D, from
 * the deep end up, and A'' = 2 t exp(-Lambda) from the shallow end down.
 * Departure: a groove meets the mean section, not its own neighbour's. */
#include "cut_contact.h"

#include <math.h>
#include <stdbool.h>

#include "num.h"
#include "units.h"

enum { COARSE = 44, SWEEPS_MAX = 60 };
static const double BELOW = 4.5, ABOVE = 6.0; /* window at first, in sd of the mean */
/* A levelled sheet is as rough as this share of its first spread of heights. */
static const double LEVEL_ROUGH = 0.2;
static const double TOLERANCE = 5e-4; /* of scale and of load */

int cut_size_nodes(const lev_grain_dist *grain, double d[CUT_SIZES],
                   double weight[CUT_SIZES], double *top)
{
    double x[CUT_SIZES], w[CUT_SIZES], sum = 0.0;
    const double sigma = grain->sigma_ln, mu = -3.0 * sigma * sigma;
    const double usual = exp(3.0 * sigma);
    const double d50 = exp(grain->mu_ln_um);
    *top = grain->top_um > 0.0 ? fmin(grain->top_um / d50, exp(4.0 * sigma)) : usual;
    if (sigma < 1e-3) {
        d[0] = weight[0] = *top = 1.0;
        return 1;
    }
    const double lo = fmin(mu - 3.0 * sigma, log(*top) - sigma), hi = log(*top);
    lev_gauss_legendre(CUT_SIZES, x, w);
    for (int i = 0; i < CUT_SIZES; i++) {
        const double ln_d = 0.5 * ((hi - lo) * x[i] + hi + lo);
        const double u = (ln_d - mu) / sigma;
        d[i] = exp(ln_d);
        weight[i] = w[i] * exp(-0.5 * u * u);
        sum += weight[i];
    }
    for (int i = 0; i < CUT_SIZES; i++)
        weight[i] /= sum;
    return CUT_SIZES;
}

/* Share of grains above z and their mean size. */
static double reach_at(double z, double xi, int n, const double *d,
                       const double *weight, double *size)
{
    double share = 0.0, sized = 0.0;
    for (int i = 0; i < n; i++) {
        const double u = (z / d[i] - 1.0) / xi;
        if (u > 4.6)
            continue;
        const double above = u < -3.5 ? weight[i] : weight[i] * lev_norm_cdf(-u);
        share += above;
        sized += above * d[i];
    }
    *size = share > 0.0 ? sized / share : z;
    return share;
}

void cut_tips_init(const lev_grain_dist *grain, double xi, cut_tips *out)
{
    double d[CUT_SIZES], weight[CUT_SIZES], ln_reach[COARSE], size[COARSE], top;
    const int n = cut_size_nodes(grain, d, weight, &top);
    const double low = 0.2, high = top * (1.0 + 4.5 * xi);
    const double coarse = (high - low) / (COARSE - 1);

    out->mean_square = 0.0;
    for (int i = 0; i < n; i++)
        out->mean_square += weight[i] * d[i] * d[i];
    for (int i = 0; i < COARSE; i++)
        ln_reach[i] =
            log(fmax(reach_at(low + coarse * i, xi, n, d, weight, &size[i]), 1e-30));
    out->low = low;
    out->step = (high - low) / (CUT_TIPS - 1);
    out->top = high;
    for (int i = 0; i < CUT_TIPS; i++) {
        const double at = (COARSE - 1.0) * i / (CUT_TIPS - 1.0);
        const int k = at < COARSE - 2 ? (int)at : COARSE - 2;
        const double part = at - k;
        out->reach[i] = exp(ln_reach[k] + part * (ln_reach[k + 1] - ln_reach[k]));
        out->size[i] = size[k] + part * (size[k + 1] - size[k]);
    }
}

static double tip_at(const cut_tips *tips, const double *column, double z)
{
    const double at = (z - tips->low) / tips->step;
    if (at <= 0.0)
        return column[0];
    if (at >= CUT_TIPS - 1)
        return column[CUT_TIPS - 1];
    const int k = (int)at;
    return column[k] + (at - k) * (column[k + 1] - column[k]);
}

/* Where the mean of the surface stands if the springs took all the load: a start. */
static double start_mean(const cut_tips *tips, double pressure_over_k)
{
    double sum = 0.0, before = 0.0;
    for (int i = CUT_TIPS - 1; i > 0; i--) {
        sum += 0.5 * (tips->reach[i] + tips->reach[i - 1]) * tips->step;
        const double load = sum * tips->size[i - 1];
        if (load > pressure_over_k)
            return tips->low +
                   tips->step * (i - (pressure_over_k - before) / (load - before));
        before = load;
    }
    return tips->low;
}

void cut_tips_level(cut_tips *tips, double xi, double share, double pressure_over_k)
{
    const double mean = start_mean(tips, pressure_over_k);
    const double want = share * tip_at(tips, tips->reach, mean);
    int i = 1;
    while (i < CUT_TIPS - 1 && tips->reach[i] > want)
        i++;
    /* by the logarithm between the two rows */
    const double part =
        log(tips->reach[i - 1] / want) / log(tips->reach[i - 1] / tips->reach[i]);
    const double level = tips->low + tips->step * (i - 1 + part);
    const double rough = LEVEL_ROUGH * xi;
    for (int k = 0; k < CUT_TIPS; k++) {
        const double u = (level - (tips->low + tips->step * k)) / rough;
        if (u < 4.0)
            tips->reach[k] *= u < -8.0 ? 0.0 : lev_norm_cdf(u);
    }
    tips->top = fmin(tips->top, level + 8.0 * rough);
}

/* What one sweep makes of a surface. */
typedef struct swept {
    double rate[CUT_GRID], slope[CUT_GRID];
    double balance;  /* load carried over load given; 1 when both agree */
    bool short_grid; /* some tips reach beyond the deep end of the window */
} swept;

/* A from the surface as it is, then the Lambda the tips would make of it. */
static void sweep(const cut_tips *tips, double stiffness, double load,
                  const cut_steady *s, swept *out)
{
    double reach[CUT_GRID], inner = 0.0, section = 0.0, before = 0.0, carried = 0.0;
    double size = tip_at(tips, tips->size, s->y0);
    const double h = s->step;
    /* both double integrals are exact for columns straight between the points */
    for (int i = 0; i < CUT_GRID; i++) {
        const double here = exp(-s->rate[i]), was_section = section;
        section += 2.0 * s->tangent * h * (inner + h * (before / 3.0 + here / 6.0));
        inner += 0.5 * h * (here + before);
        before = here;
        const double y = s->y0 + h * i;
        /* k of the grains that come this deep: size taken where their tips stand */
        const double z = y + stiffness * section / size;
        size = tip_at(tips, tips->size, z); /* of the next point: they lie close */
        reach[i] = z < tips->top ? tip_at(tips, tips->reach, z) : 0.0;
        if (i > 0)
            carried += 0.5 * (section + was_section) * (reach[i - 1] - reach[i]);
    }
    out->balance = load / (2.0 * s->tangent) * carried;
    out->short_grid = reach[CUT_GRID - 1] > 1e-6 * reach[0];
    out->rate[CUT_GRID - 1] = out->slope[CUT_GRID - 1] = 0.0;
    for (int i = CUT_GRID - 2; i >= 0; i--) {
        out->rate[i] =
            out->rate[i + 1] +
            h * (out->slope[i + 1] + h * load * (reach[i + 1] / 3.0 + reach[i] / 6.0));
        out->slope[i] = out->slope[i + 1] + 0.5 * h * load * (reach[i] + reach[i + 1]);
    }
}

/* Mean, sd and Ra of the distribution exp(-rate), by its differences. */
static void measure(cut_steady *s, const double *rate)
{
    double share[CUT_GRID], before = 0.0, sum = 0.0, first = 0.0, second = 0.0;
    for (int i = 0; i < CUT_GRID; i++) {
        const double here = exp(-rate[i]), u = i - 0.5;
        share[i] = here - before;
        before = here;
        sum += share[i];
        first += share[i] * u;
        second += share[i] * u * u;
    }
    const double mean = first / sum;
    double away = 0.0;
    for (int i = 0; i < CUT_GRID; i++)
        away += share[i] * fabs(i - 0.5 - mean);
    s->mean = s->y0 + s->step * mean;
    s->sd = s->step * sqrt(fmax(second / sum - mean * mean, 1e-6));
    s->ra = s->step * away / sum;
}

static void place(cut_steady *s, double mean, double sd, double above)
{
    s->y0 = mean - BELOW * sd;
    s->step = (BELOW + above) * sd / (CUT_GRID - 1);
    s->mean = mean;
    s->sd = sd;
}

/* The swept shape, its own mean and sd (in `shape`) laid on the window of s. */
static void adopt(cut_steady *s, const swept *w, const cut_steady *shape)
{
    for (int i = 0; i < CUT_GRID; i++) {
        const double u = (s->y0 + s->step * i - s->mean) / s->sd;
        const double at = (shape->mean + u * shape->sd - shape->y0) / shape->step;
        if (at >= CUT_GRID - 1) {
            s->rate[i] = 0.0;
        } else if (at <= 0.0) {
            s->rate[i] = w->rate[0] - at * shape->step * w->slope[0];
        } else { /* cubic by values and slopes */
            const int k = (int)at;
            const double p = at - k, q = 1.0 - p, h = shape->step;
            s->rate[i] = q * q * (1.0 + 2.0 * p) * w->rate[k] +
                         p * p * (1.0 + 2.0 * q) * w->rate[k + 1] -
                         p * q * h * (q * w->slope[k] - p * w->slope[k + 1]);
        }
    }
}

/* Mean height above a level of the tips that pass it: I / reach. */
static double stand_out(const cut_tips *tips, double z)
{
    const double here = tip_at(tips, tips->reach, z);
    const double at = fmax((z - tips->low) / tips->step, 0.0);
    double sum = 0.0;
    int i = CUT_TIPS - 1;
    for (; i - 1 > at; i--)
        sum += 0.5 * (tips->reach[i] + tips->reach[i - 1]);
    sum += 0.5 * (tips->reach[i] + here) * fmax(i - at, 0.0);
    return here > 0.0 ? sum * tips->step / here : tips->step;
}

void cut_steady_solve(const cut_tips *tips, double tangent, double stiffness,
                      double load, cut_steady *out)
{
    swept w;
    /* p / (n E_b) in d50^3: what stiffness and load say of the pressure */
    double mean = start_mean(tips, 2.0 * tangent * stiffness / load);
    const double touching = fmax(tip_at(tips, tips->reach, mean), 1e-9);
    double sd = 0.5 * sqrt(2.0 / (load * touching)); /* groove b of A = t b^2 */

    double above = ABOVE;
    out->tangent = tangent;
    place(out, mean, sd, above);
    for (int i = 0; i < CUT_GRID; i++) {
        const double u = fmin((out->y0 + out->step * i - mean) / sd - 4.0, 0.0);
        out->rate[i] = 0.04 * u * u;
    }
    for (int k = 0; k < SWEEPS_MAX; k++) {
        sweep(tips, stiffness, load, out, &w);
        cut_steady shape = *out;
        measure(&shape, w.rate);
        const double grow = log(shape.sd / sd), sink = log(w.balance);
        if (w.short_grid)
            above *= 1.2;
        else if (fabs(grow) < TOLERANCE && fabs(sink) < TOLERANCE)
            break;
        sd *= exp(0.8 * fmax(fmin(grow, 0.7), -0.7));
        mean += fmax(fmin(sink, 1.0), -1.0) * stand_out(tips, mean);
        place(out, mean, sd, above);
        adopt(out, &w, &shape);
    }
    for (int i = 0; i < CUT_GRID; i++) {
        out->rate[i] = w.rate[i];
        out->slope[i] = w.slope[i];
    }
    measure(out, w.rate);
    out->touching = tip_at(tips, tips->reach, out->mean);
    out->stand_out = stand_out(tips, out->mean);
}

/* Grid position where a falling column passes a value. */
static double crossing(const double *column, double value)
{
    for (int i = CUT_GRID - 1; i > 0; i--)
        if (column[i - 1] > value) {
            const double rise = column[i - 1] - column[i];
            return rise > 0.0 ? i - (value - column[i]) / rise : i;
        }
    return 0.0;
}

double cut_steady_depth(const cut_steady *s, double share)
{
    const double rate = -log1p(-share);
    return s->y0 + s->step * crossing(s->rate, rate) - s->mean;
}

/* The density of depths g = -Lambda' exp(-Lambda), times half the slope 1/t of every
 * flank, counts the grooves deeper than y per length (Rice). */
double cut_steady_extreme(const cut_steady *s, double length, double count, int side)
{
    const double want = 2.0 * s->tangent * count / length;
    int i = side > 0 ? CUT_GRID - 1 : 0, last = i;
    double before = 0.0;
    for (; i >= 0 && i < CUT_GRID; i -= side) {
        const double here = s->slope[i] * exp(-s->rate[i]);
        if (here > want && i != last) {
            const double part = log(want / fmax(before, 1e-30 * want)) /
                                log(here / fmax(before, 1e-30 * want));
            return side * (s->y0 + s->step * (last + part * (i - last)) - s->mean);
        }
        before = here;
        last = i;
    }
    return 0.0;
}
