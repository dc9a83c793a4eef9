/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parameters of a roughness profile, ISO 21920-2 and ISO 4287. */
#include "surface_inner.h"

#include <math.h>

#include "units.h"

enum { SECTIONS_MAX = 40 };

/* Moments and ends of a run of samples about 0. */
typedef struct run {
    double m1, m2, m3, m4; /* mean |z|, z^2, z^3, z^4 */
    double low, high;
    ptrdiff_t n;
} run;

static run run_of(const double *z, ptrdiff_t n)
{
    run r = {.low = (double)INFINITY, .high = -(double)INFINITY};
    for (ptrdiff_t i = 0; i < n; i++) {
        const double x = z[i], x2 = x * x;
        if (isnan(x))
            continue;
        r.m1 += fabs(x);
        r.m2 += x2;
        r.m3 += x2 * x;
        r.m4 += x2 * x2;
        r.low = x < r.low ? x : r.low;
        r.high = x > r.high ? x : r.high;
        r.n++;
    }
    r.m1 /= (double)r.n;
    r.m2 /= (double)r.n;
    r.m3 /= (double)r.n;
    r.m4 /= (double)r.n;
    return r;
}

static void take_mean_off(lev_trace *t, double *mean)
{
    double sum = 0.0;
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < t->n; i++) {
        if (isnan(t->z_um[i]))
            continue;
        sum += t->z_um[i];
        n++;
    }
    *mean = sum / (double)n;
    for (ptrdiff_t i = 0; i < t->n; i++)
        t->z_um[i] -= *mean;
}

static void whole_length(const run *r, lev_profile *p)
{
    p->Ra_um = r->m1;
    p->Rq_um = sqrt(r->m2);
    p->Rsk = r->m3 / (r->m2 * p->Rq_um);
    p->Rku = r->m4 / (r->m2 * r->m2);
    p->Rpt_um = r->high;
    p->Rvt_um = -r->low;
    p->Rt_um = r->high - r->low;
}

/* What both standards take section by section, and what only the older one does. */
static lev_status by_section(const lev_trace *t, lev_rule rule, lev_profile *p,
                             lev_error *err)
{
    double q = 0.0, sk = 0.0, ku = 0.0, a = 0.0;
    const double k = (double)p->sections;
    for (int s = 0; s < p->sections; s++) {
        const ptrdiff_t from = t->n * s / p->sections;
        const run r = run_of(t->z_um + from, t->n * (s + 1) / p->sections - from);
        if (r.n == 0)
            return lev_fail(err, LEV_E_RANGE, "section %d of %d has no measured height",
                            s + 1, p->sections);
        p->Ra_section_um[s] = r.m1;
        p->Rz_section_um[s] = r.high - r.low;
        p->Rp_um += r.high / k;
        p->Rv_um -= r.low / k;
        p->Rz_um += p->Rz_section_um[s] / k;
        p->Rzx_um = fmax(p->Rzx_um, p->Rz_section_um[s]);
        a += r.m1 / k;
        q += sqrt(r.m2) / k;
        sk += r.m3 / (r.m2 * sqrt(r.m2)) / k;
        ku += r.m4 / (r.m2 * r.m2) / k;
    }
    if (rule == LEV_RULE_ISO4287) {
        p->Ra_um = a;
        p->Rq_um = q;
        p->Rsk = sk;
        p->Rku = ku;
    }
    return LEV_OK;
}

/* Sums over slopes laid out one after the other, four at a time; a NaN is left out. */
typedef struct slope_sums {
    double squares, sizes, lengths;
    ptrdiff_t n;
} slope_sums;

static void add_slopes(const double *d, ptrdiff_t n, bool length, slope_sums *s)
{
    double squares[4] = {0.0}, sizes[4] = {0.0}, good[4] = {0.0};
    for (ptrdiff_t i = 0; i < n; i++) {
        const double x = d[i], here = x == x ? x : 0.0; /* NaN is not itself */
        squares[i % 4] += length ? sqrt(1.0 + here * here) - 1.0 : here * here;
        sizes[i % 4] += fabs(here);
        good[i % 4] += x == x ? 1.0 : 0.0;
    }
    const double sum = squares[0] + squares[1] + squares[2] + squares[3];
    if (length)
        s->lengths += sum;
    else
        s->squares += sum;
    s->sizes += sizes[0] + sizes[1] + sizes[2] + sizes[3];
    s->n += (ptrdiff_t)(good[0] + good[1] + good[2] + good[3]);
}

/* Slopes by seven points and the length of the joined samples. A NaN among the points
 * leaves the place out. */
static void slopes(const lev_trace *t, lev_profile *p)
{
    enum { CHUNK = 256 };
    double d[CHUNK];
    const double *z = t->z_um;
    slope_sums seven = {0}, joined = {0};
    for (ptrdiff_t from = 3; from + 3 < t->n; from += CHUNK) {
        const ptrdiff_t left = t->n - 3 - from, n = left < CHUNK ? left : CHUNK;
        for (ptrdiff_t k = 0; k < n; k++) {
            const double *at = z + from + k;
            d[k] = (at[3] - 9.0 * at[2] + 45.0 * at[1] - 45.0 * at[-1] + 9.0 * at[-2] -
                    at[-3]) /
                   (60.0 * t->dx_um);
        }
        add_slopes(d, n, false, &seven);
    }
    for (ptrdiff_t from = 0; from + 1 < t->n; from += CHUNK) {
        const ptrdiff_t left = t->n - 1 - from, n = left < CHUNK ? left : CHUNK;
        for (ptrdiff_t k = 0; k < n; k++)
            d[k] = (z[from + k + 1] - z[from + k]) / t->dx_um;
        add_slopes(d, n, true, &joined);
    }
    const double many = (double)seven.n;
    p->Rdq = seven.n > 0 ? sqrt(seven.squares / many) : (double)NAN;
    p->Rda = seven.n > 0 ? seven.sizes / many : (double)NAN;
    p->Rdr_pct = joined.n > 0 ? 100.0 * joined.lengths / (double)joined.n : (double)NAN;
}

static void elements(const lev_trace *t, lev_rule rule, lev_profile *p)
{
    lev_elements e;
    const double share = lev_texture("rsm_height");
    const bool older = rule == LEV_RULE_ISO4287;
    const double section_um = (double)t->n * t->dx_um / p->sections;
    lev_elements_of(t->z_um, t->n, t->dx_um, share * (older ? p->Rz_um : p->Rp_um),
                    share * (older ? p->Rz_um : p->Rv_um),
                    lev_texture("rsm_width") * section_um, &e);
    p->RSm_um = e.width_um;
    p->Rc_um = e.height_um;
    p->RSm_count = e.count;
}

lev_status lev_profile_of(const lev_trace *t, lev_rule rule, int sections,
                          lev_profile *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace z = {0};
    lev_ratio ratio = {0};
    lev_profile p = {.sections =
                         sections > 0 ? sections : (int)lev_texture("sections")};

    if (p.sections > SECTIONS_MAX || sections < 0 || t->n < p.sections)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "%d sections of %td points; 1 to %d",
                         p.sections, t->n, SECTIONS_MAX));
    if (lev_trace_missing(t) == t->n)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "no measured height"));
    LEV_TRY(lev_trace_part(t, 0, t->n, &z, err));
    take_mean_off(&z, &p.mean_um);
    const run all = run_of(z.z_um, z.n);
    whole_length(&all, &p);
    LEV_TRY(by_section(&z, rule, &p, err));
    slopes(&z, &p);
    elements(&z, rule, &p);
    LEV_TRY(lev_ratio_of_trace(&z, &ratio, err));
    lev_ratio_core(&ratio, &p.core);
    lev_ratio_plateau(&ratio, &p.plateau);
    *out = p;
out:
    lev_ratio_release(&ratio);
    lev_trace_release(&z);
    return st;
}

double lev_trace_ratio(const lev_trace *t, double height_um)
{
    double sum = 0.0, mean = 0.0;
    ptrdiff_t n = 0, measured = 0;
    for (ptrdiff_t i = 0; i < t->n; i++) {
        if (isnan(t->z_um[i]))
            continue;
        mean += t->z_um[i];
        measured++;
    }
    const double c = height_um + mean / (double)measured;
    for (ptrdiff_t i = 0; i + 1 < t->n; i++) {
        const double a = t->z_um[i], b = t->z_um[i + 1];
        if (isnan(a) || isnan(b))
            continue;
        const double high = fmax(a, b), low = fmin(a, b);
        n++;
        if (low >= c)
            sum += 1.0;
        else if (high >= c)
            sum += high > low ? (high - c) / (high - low) : 1.0;
    }
    return n > 0 ? sum / (double)n : (double)NAN;
}
