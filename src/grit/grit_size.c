/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Size distributions: log-normal by volume, cut off at the largest grain.
 *
 * The published median is kept as it stands, because the standards give it with a
 * tolerance while their limits are one-sided; the limits decide only the spread. */
#include "levigate/grit.h"

#include <math.h>

#include "grit_table.h"
#include "levigate/note.h"
#include "num.h"

/* One published quantile: ln size and its probit. */
typedef struct point {
    double ln_um, z;
} point;

static int points_of(const lev_grit *g, double coarse_pct, double fine_pct, point p[2])
{
    int n = 0;
    if (g->coarse_um > 0.0)
        p[n++] = (point){log(g->coarse_um), -lev_norm_quantile(coarse_pct / 100.0)};
    if (g->fine_um > 0.0)
        p[n++] = (point){log(g->fine_um), -lev_norm_quantile(fine_pct / 100.0)};
    return n;
}

/* Slope of the least-squares line z = b (ln x - ln median): the inverse of lnsd. */
static double slope_through(double ln_median, const point *p, int n)
{
    double zu = 0.0, uu = 0.0;
    for (int i = 0; i < n; i++) {
        const double u = p[i].ln_um - ln_median;
        zu += p[i].z * u;
        uu += u * u;
    }
    return uu > 0.0 ? zu / uu : 0.0;
}

static bool fit(double d50_um, const point *p, int n, lev_grit_size *s)
{
    if (d50_um > 0.0) {
        const double b = slope_through(log(d50_um), p, n);
        if (!(b > 0.0) || !isfinite(b))
            return false;
        s->median_um = d50_um;
        s->lnsd = 1.0 / b;
        return true;
    }
    if (n < 2 || !(p[0].ln_um > p[1].ln_um) || !(p[0].z > p[1].z))
        return false;
    s->lnsd = (p[0].ln_um - p[1].ln_um) / (p[0].z - p[1].z);
    s->median_um = exp(p[0].ln_um - s->lnsd * p[0].z);
    return true;
}

/* Only one size is known, or a half-open range such as 0 to 2 um. */
static bool assume_spread(const lev_grit *g, lev_grit_size *s)
{
    lev_mark mark = LEV_MARK_UNSET;
    const bool sieved = lev_text_same(g->method, "sieve");
    const double top_um = g->coarse_um > 0.0 ? g->coarse_um : g->max_um;
    s->lnsd = lev_grit_default(sieved ? "lnsd_sieve" : "lnsd_other", &mark);
    s->notes |= LEV_NOTE_NO_SPREAD | LEV_NOTE_DEFAULT;
    s->assumption = "no spread of sizes is published: a usual one is assumed";
    if (g->d50_um > 0.0) {
        s->median_um = g->d50_um;
        return true;
    }
    if (!(top_um > 0.0))
        return false;
    /* The top of the range is taken as the size with the usual share above it. */
    const double z = -lev_norm_quantile(lev_grit_default("bound_pct", &mark) / 100.0);
    s->median_um = exp(log(top_um) - s->lnsd * z);
    s->notes |= LEV_NOTE_RANGE_ONLY;
    return true;
}

lev_status lev_grit_size_of(const lev_grit *g, lev_grit_size *out, lev_error *err)
{
    lev_grit_size s = {.max_um = g->max_um > 0.0 ? g->max_um : (double)INFINITY,
                       .notes = g->notes,
                       .assumption = ""};
    double coarse_pct = g->coarse_pct, fine_pct = g->fine_pct;
    point p[2];

    if (!lev_known(coarse_pct) || !lev_known(fine_pct)) {
        lev_mark mark = LEV_MARK_UNSET;
        const double bound_pct = lev_grit_default("bound_pct", &mark);
        if (!lev_known(coarse_pct) && g->coarse_um > 0.0) {
            coarse_pct = bound_pct;
            s.notes |= LEV_NOTE_DEFAULT;
        }
        if (!lev_known(fine_pct) && g->fine_um > 0.0) {
            fine_pct = 100.0 - bound_pct;
            s.notes |= LEV_NOTE_DEFAULT;
        }
    }
    if ((s.notes & LEV_NOTE_DEFAULT) != 0)
        s.assumption = "limits are bounds: a usual share is taken to lie beyond each";
    const int n = points_of(g, coarse_pct, fine_pct, p);
    if (!(n > 0 && fit(g->d50_um, p, n, &s)) && !assume_spread(g, &s))
        return lev_fail(err, LEV_E_RANGE, "%s %s has no published size of grain",
                        g->system, g->label);
    *out = s;
    return LEV_OK;
}

/* Share of the uncut normal below the largest grain. */
static double share_kept(const lev_grit_size *s, double ln_median)
{
    if (!isfinite(s->max_um))
        return 1.0;
    return lev_norm_cdf((log(s->max_um) - ln_median) / s->lnsd);
}

static double quantile(const lev_grit_size *s, double ln_median, double p)
{
    const double kept = share_kept(s, ln_median);
    return exp(ln_median + s->lnsd * lev_norm_quantile(p * kept));
}

static double ln_number_median(const lev_grit_size *s)
{
    return log(s->median_um) - 3.0 * s->lnsd * s->lnsd;
}

double lev_grit_quantile_um(const lev_grit_size *s, double p)
{
    return quantile(s, log(s->median_um), p);
}

double lev_grit_number_quantile_um(const lev_grit_size *s, double p)
{
    return quantile(s, ln_number_median(s), p);
}

double lev_grit_number_median_um(const lev_grit_size *s)
{
    return exp(ln_number_median(s));
}

double lev_grit_share_below(const lev_grit_size *s, double size_um)
{
    if (!(size_um > 0.0))
        return 0.0;
    if (size_um >= s->max_um)
        return 1.0;
    const double ln_median = log(s->median_um);
    return lev_norm_cdf((log(size_um) - ln_median) / s->lnsd) /
           share_kept(s, ln_median);
}

/* Of two normals centred at m with deviations narrow < wide: the narrow one is the
 * higher between the two roots of the quadratic ln f = ln g, the wide one outside. */
static double overlap_unequal(double m_narrow, double narrow, double m_wide,
                              double wide)
{
    const double d = m_wide - m_narrow;
    const double a = wide * wide - narrow * narrow;
    const double root = narrow * wide * sqrt(d * d + 2.0 * a * log(wide / narrow));
    const double mid = -narrow * narrow * d;
    const double lo = (mid - root) / a, hi = (mid + root) / a; /* from m_narrow */
    const double of_wide =
        lev_norm_cdf((hi - d) / wide) - lev_norm_cdf((lo - d) / wide);
    return lev_norm_cdf(lo / narrow) + lev_norm_cdf(-hi / narrow) + of_wide;
}

double lev_grit_overlap(const lev_grit_size *a, const lev_grit_size *b)
{
    const double ma = log(a->median_um), mb = log(b->median_um);
    const double near_equal = 1e-7; /* below it the quadratic loses its digits */
    double share = 0.0;
    if (lev_near(a->lnsd, b->lnsd, near_equal, 0.0))
        share = 2.0 * lev_norm_cdf(-fabs(ma - mb) / (a->lnsd + b->lnsd));
    else if (a->lnsd < b->lnsd)
        share = overlap_unequal(ma, a->lnsd, mb, b->lnsd);
    else
        share = overlap_unequal(mb, b->lnsd, ma, a->lnsd);
    return fmin(fmax(share, 0.0), 1.0);
}
